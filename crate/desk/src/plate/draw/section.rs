//! The section across the weld, enlarged, with the sizes of the joint.

use specimen::joint::{Bevel, WeldSide};
use specimen::plate::Plate;
use specimen::section::{Line, Outline};

use super::sheet::{self, Anchor, Frame, Sheet};
use super::{COLUMN, number};

/// Room for the section, mm on paper, and its upper edge.
const ROOM: [f64; 2] = [136.0, 100.0];
const TOP: f64 = 44.0;
/// Plate beside the weld that is drawn, mm.
const BESIDE_MM: f64 = 8.0;

/// Draws it and gives its scale.
pub fn draw(sheet: &mut Sheet, plate: &Plate, with_map: bool) -> f64 {
    let (outline, thickness) = (plate.outline(), plate.thickness_mm);
    let half = half_window_mm(plate, &outline);
    let deepest = outline.root.iter().chain(&outline.cap).flatten().map(|p| p[1]).fold(thickness, f64::max);
    let scale = sheet::scale([2.0 * half, deepest], ROOM);
    let middle = f64::midpoint(COLUMN[0], COLUMN[1]);
    let frame = Frame { origin: [middle, TOP], scale };
    let title = if plate.block.is_some() { "Section along the block" } else { "Section across the weld" };
    sheet.text([COLUMN[0], 14.0], Anchor::Start, 3.4, &format!("{title}, side A left"));
    let mut lines = |lines: &[Line], class: &str| {
        for line in lines {
            for part in within(line, half) {
                let points: Vec<[f64; 2]> = part.into_iter().map(|p| frame.at(p)).collect();
                sheet.line(&points, class);
            }
        }
    };
    lines(&outline.upper_face, "edge");
    lines(&outline.lower_face, "edge");
    lines(&outline.cap, "edge");
    lines(&outline.root, "edge");
    lines(&outline.preparation, "thin");
    lines(&outline.runs, "run");
    lines(&outline.heat_affected, "dash");
    for x in [-half, half] {
        sheet.line(
            &[frame.at([x, 0.0]), frame.at([x, thickness])],
            if plate.block.is_some() { "edge" } else { "size" },
        );
    }
    let right = frame.at([half, 0.0])[0];
    sheet.size_along(
        [right, frame.at([0.0, 0.0])[1]],
        [right, frame.at([0.0, thickness])[1]],
        right + 11.0,
        &number(thickness),
    );
    if plate.block.is_none() {
        joint_sizes(sheet, plate, &outline, frame, frame.at([0.0, deepest])[1] + 8.0);
    }
    if with_map {
        hidden(sheet, plate, frame, half);
    }
    scale
}

/// Least distance of two numbers below each other, mm on paper.
const NUMBER_MM: f64 = 4.2;

/// The flaws, each with a line to its number outside on its own side: boxes of several flaws lie over each other.
fn hidden(sheet: &mut Sheet, plate: &Plate, frame: Frame, half: f64) {
    let mut boxes = Vec::new();
    for (number, flaw) in (1_u32..).zip(&plate.flaws) {
        let extent = flaw.extent(plate);
        let ([x0, x1], [z0, z1]) = (extent.across_mm, extent.depth_mm);
        sheet.rectangle(frame.at([x0, z0]), frame.at([x1, z1]), "flaw");
        let middle = frame.at([f64::midpoint(x0, x1), f64::midpoint(z0, z1)]);
        boxes.push((middle, number, if x0 + x1 < 0.0 { -1.0 } else { 1.0 }));
    }
    boxes.sort_by(|a, b| a.0[1].total_cmp(&b.0[1]));
    for (out, anchor) in [(-1.0, Anchor::End), (1.0, Anchor::Start)] {
        let edge = frame.at([out * half, 0.0])[0];
        let mut free = f64::NEG_INFINITY;
        for &(middle, number, _) in boxes.iter().filter(|of| of.2 == out) {
            let y = f64::max(middle[1], free);
            free = y + NUMBER_MM;
            sheet.line(&[middle, [edge, y]], "size");
            sheet.text([edge + out * 1.2, y + 1.1], anchor, 3.4, &number.to_string());
        }
    }
}

/// Half of what is drawn across, mm.
fn half_window_mm(plate: &Plate, outline: &Outline) -> f64 {
    if plate.block.is_some() {
        return plate.width_mm / 2.0;
    }
    let weld = outline.cap.iter().chain(&outline.root).chain(&outline.heat_affected).flatten();
    let widest = weld.map(|point| point[0].abs()).fold(0.0, f64::max);
    (widest + BESIDE_MM).min(plate.width_mm / 2.0)
}

/// The parts of a line that lie within the window.
fn within(line: &Line, half: f64) -> Vec<Line> {
    let mut parts: Vec<Line> = Vec::new();
    for pair in line.windows(2) {
        let [[x0, z0], [x1, z1]] = [pair[0], pair[1]];
        let inside = |x: f64| x.abs() <= half;
        if !inside(x0) && !inside(x1) && (x0 > 0.0) == (x1 > 0.0) {
            continue;
        }
        let cut = |x: f64| {
            let bound = x.clamp(-half, half);
            let share = if x1 == x0 { 0.0 } else { (bound - x0) / (x1 - x0) };
            if bound == x { None } else { Some([bound, z0 + share * (z1 - z0)]) }
        };
        let (from, to) = (cut(x0).unwrap_or([x0, z0]), cut(x1).unwrap_or([x1, z1]));
        match parts.last_mut().filter(|part| part.last() == Some(&from)) {
            Some(part) => part.push(to),
            None => parts.push(vec![from, to]),
        }
    }
    parts
}

/// Width of the cap, root gap, root face and groove angle.
fn joint_sizes(sheet: &mut Sheet, plate: &Plate, outline: &Outline, frame: Frame, below: f64) {
    let (joint, thickness) = (&plate.joint, plate.thickness_mm);
    let [a, b] = outline.upper_edges_mm;
    let above = TOP - frame.scale * joint.cap.height_mm.max(0.0) - 6.0;
    sheet.size_across(frame.at([a, 0.0]), frame.at([b, 0.0]), above, &format!("{:.1}", b - a));
    let [_, bottom] = joint.root_face_depth_mm(thickness);
    let gap = joint.root_gap_mm / 2.0;
    sheet.size_across(frame.at([-gap, bottom]), frame.at([gap, bottom]), below, &number(joint.root_gap_mm));
    if joint.groove_angle_deg <= 0.0 {
        return;
    }
    if joint.root_face_mm > 0.0 {
        root_face(sheet, plate, outline, frame);
    }
    // The two edges, straight on upwards above the cap, and the angle between them.
    let slopes = WeldSide::BOTH.map(|side| joint.bevel_slope(side));
    let [out_a, out_b] = WeldSide::BOTH.map(|side| joint.edge_mm(thickness, side, 0.0));
    if joint.bevel_depth_mm(thickness, WeldSide::A, Bevel::Upper).is_none() || slopes[0] + slopes[1] <= 0.0 {
        return;
    }
    let apex_z = (out_a + out_b) / (slopes[0] + slopes[1]);
    let apex = frame.at([out_b - slopes[1] * apex_z, apex_z]);
    // The arc stands above the width of the cap.
    let radius = (apex[1] - above) + 9.0;
    let end = |slope: f64, sign: f64| {
        let norm = f64::sqrt(1.0 + slope * slope);
        [apex[0] + sign * slope / norm * radius, apex[1] - radius / norm]
    };
    let ends = [end(slopes[0], -1.0), end(slopes[1], 1.0)];
    for (end, x) in ends.into_iter().zip([-out_a, out_b]) {
        sheet.line(&[frame.at([x, 0.0]), end], "size");
    }
    sheet.arc(ends[0], ends[1], radius, "size");
    let high = [f64::midpoint(ends[0][0], ends[1][0]), apex[1] - radius - 1.5];
    sheet.text(high, Anchor::Middle, 3.0, &format!("{}°", number(joint.groove_angle_deg)));
}

/// Height of the root face, left of the heat-affected zone.
fn root_face(sheet: &mut Sheet, plate: &Plate, outline: &Outline, frame: Frame) {
    let (joint, gap) = (&plate.joint, plate.joint.root_gap_mm / 2.0);
    let ends = joint.root_face_depth_mm(plate.thickness_mm).map(|z| frame.at([-gap, z]));
    let zone = outline.heat_affected.iter().flatten().map(|p| p[0]);
    let outermost = zone.fold(outline.upper_edges_mm[0], f64::min);
    sheet.size_along(ends[0], ends[1], frame.at([outermost - 3.0, 0.0])[0], &number(joint.root_face_mm));
}
