//! The plate from above and from side A, and the list of what is hidden in it.

use specimen::plate::Plate;

use super::sheet::{self, Anchor, Frame, Sheet};
use super::{number, stretch};

/// Left and upper edge of the view from above, and the room for it, mm on paper.
const CORNER: [f64; 2] = [34.0, 34.0];
const ROOM: [f64; 2] = [190.0, 130.0];

/// Draws both views one below the other; gives their scale and how far down they reach.
pub fn draw(sheet: &mut Sheet, plate: &Plate, with_map: bool) -> (f64, f64) {
    let outline = plate.outline();
    let (length, half) = (plate.length_mm, plate.width_mm / 2.0);
    let scale = sheet::scale([length, plate.width_mm], ROOM);
    let plan = Frame { origin: [CORNER[0], CORNER[1] + scale * half], scale };
    let side = Frame { origin: [CORNER[0], CORNER[1] + 2.0 * scale * half + 24.0], scale };
    // Sheet x is along the weld, sheet y across it.
    let (upper, lower) = (plan.at([0.0, -half]), plan.at([length, half]));
    sheet.text([CORNER[0], 14.0], Anchor::Start, 3.4, "From above; the datum is the stamped end, left");
    sheet.rectangle(upper, lower, "edge");
    sheet.size_across(upper, [lower[0], upper[1]], upper[1] - 8.0, &number(length));
    sheet.size_along(upper, [upper[0], lower[1]], upper[0] - 8.0, &number(plate.width_mm));
    if plate.block.is_none() {
        for x in outline.upper_edges_mm {
            sheet.line(&[plan.at([0.0, x]), plan.at([length, x])], "edge");
        }
        sheet.line(&[plan.at([-4.0 / scale, 0.0]), plan.at([length + 4.0 / scale, 0.0])], "dash");
    }
    for (name, sign) in [("A", -1.0), ("B", 1.0)] {
        let at = plan.at([length / 2.0, sign * half * 0.7]);
        sheet.text([at[0], at[1] + 2.0], Anchor::Middle, 6.0, name);
    }
    let (top, bottom) = (side.at([0.0, 0.0]), side.at([length, plate.thickness_mm]));
    sheet.text([CORNER[0], top[1] - 5.0], Anchor::Start, 3.4, "From side A");
    sheet.rectangle(top, bottom, "edge");
    sheet.size_along([bottom[0], top[1]], bottom, bottom[0] + 6.0, &number(plate.thickness_mm));
    if with_map {
        for (index, flaw) in plate.flaws.iter().enumerate() {
            let extent = flaw.extent(plate);
            let ([y0, y1], [x0, x1], [z0, z1]) = (extent.along_mm, extent.across_mm, extent.depth_mm);
            sheet.rectangle(plan.at([y0, x0]), plan.at([y1, x1]), "flaw");
            sheet.rectangle(side.at([y0, z0]), side.at([y1, z1]), "flaw");
            let middle = f64::midpoint(y0, y1);
            let label = format!("{}", index + 1);
            let [x, y] = plan.at([middle, outline.upper_edges_mm[0]]);
            sheet.text([x, y - 1.5], Anchor::Middle, 3.4, &label);
            let [x, _] = side.at([middle, 0.0]);
            sheet.text([x, top[1] - 1.2], Anchor::Middle, 3.0, &label);
        }
    }
    (scale, bottom[1])
}

/// Height of a row of the list, mm, and the lowest one on the sheet.
const ROW: f64 = 4.4;
const LOWEST: f64 = 286.0;

/// Lists the flaws below the views.
pub fn hidden(sheet: &mut Sheet, plate: &Plate, below: f64) {
    let columns = [0.0, 7.0, 58.0, 72.0, 104.0, 136.0, 172.0];
    let mut top = below + 12.0;
    let mut row = |sheet: &mut Sheet, cells: [&str; 7]| {
        for (cell, x) in cells.into_iter().zip(columns) {
            sheet.text([CORNER[0] + x, top], Anchor::Start, 3.0, cell);
        }
        top += ROW;
        top <= LOWEST
    };
    row(sheet, ["", "hidden", "ISO 6520-1", "", "along, mm", "across, mm", "depth, mm"]);
    for (index, flaw) in plate.flaws.iter().enumerate() {
        let extent = flaw.extent(plate);
        let [from, to] = extent.across_mm;
        let cells = [
            &format!("{}", index + 1),
            flaw.kind.words(),
            &flaw.kind.iso_6520_number().to_string(),
            "",
            &stretch(extent.along_mm),
            &format!("{from:+.1} to {to:+.1}"),
            &stretch(extent.depth_mm),
        ];
        if !row(sheet, cells) {
            break;
        }
    }
    let room = ((LOWEST - below - 12.0) / ROW) as usize;
    if plate.flaws.len() > room {
        let text = format!("{} more are drawn but find no room in this list", plate.flaws.len() - room);
        sheet.text([CORNER[0] + 60.0, below + 7.0], Anchor::Start, 3.0, &text);
    }
}
