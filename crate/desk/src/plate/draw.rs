//! A plate on one sheet: from above, from the side and across the weld, with sizes; with what is hidden in it if asked.

use std::path::PathBuf;

use clap::Args;
use exam::paper::Paper;
use exam::words;

use crate::failure::Failure;
use crate::files;

mod section;
mod sheet;
mod views;

use sheet::{Anchor, Sheet};

/// Arguments of `plate draw`.
#[derive(Args)]
pub struct Draw {
    /// Plate file.
    file: PathBuf,
    /// SVG file to write.
    #[arg(short, long)]
    output: PathBuf,
    /// Draw the hidden flaws as well: not for trainees.
    #[arg(long)]
    with_map: bool,
}

/// Draws a plate file.
///
/// # Errors
/// When the file is wrong or cannot be written.
pub fn run(arguments: &Draw) -> Result<(), Failure> {
    let paper = files::paper(&arguments.file)?;
    files::write(&arguments.output, drawn(&paper, arguments.with_map).as_bytes())
}

/// The left edge of the right column, and the right edge of the sheet's frame, mm on paper.
const COLUMN: [f64; 2] = [242.0, 408.0];
/// Letters of a line in the title block.
const LETTERS: usize = 96;

/// The sheet as SVG text.
fn drawn(paper: &Paper, with_map: bool) -> String {
    let plate = &paper.plate;
    let mut sheet = Sheet::new(&format!("Drawing of plate {}", plate.id));
    let (plan_scale, below) = views::draw(&mut sheet, plate, with_map);
    let section_scale = section::draw(&mut sheet, plate, with_map);
    sizes(&mut sheet, paper);
    if with_map {
        views::hidden(&mut sheet, plate, below);
    }
    title_block(&mut sheet, paper, [plan_scale, section_scale], with_map);
    sheet.to_svg()
}

/// A scale as drawings state it: `1:2`, `5:1`.
fn scale_words(scale: f64) -> String {
    if scale >= 1.0 { format!("{scale}:1") } else { format!("1:{}", libm::round(1.0 / scale)) }
}

/// A number without needless noughts: 2, 2.5, 13.75.
fn number(value: f64) -> String {
    format!("{}", libm::round(value * 100.0) / 100.0 + 0.0)
}

/// Most lines in the room above the title block.
const MOST_ROWS: usize = 24;

/// The sizes of the joint in words, in two columns; of more than fit the last line tells.
fn sizes(sheet: &mut Sheet, paper: &Paper) {
    let (plate, joint) = (&paper.plate, &paper.plate.joint);
    let mut rows: Vec<String> = vec![format!("thickness {}", number(plate.thickness_mm))];
    let mut add = |name: &str, value: String| rows.push(format!("{name} {value}"));
    if let Some(block) = &plate.block {
        for hole in &block.holes {
            let at = [hole.offset_mm, hole.depth_mm].map(number);
            add("hole", format!("⌀ {} at {}, depth {}", number(hole.diameter_mm), at[0], at[1]));
        }
        for notch in &block.notches {
            add("notch", format!("{} high at {}", number(notch.height_mm), number(notch.offset_mm)));
        }
        for radius in &block.radii {
            add("radius", format!("{} round {}", number(radius.radius_mm), number(radius.centre_mm)));
        }
    } else {
        add("joint:", joint.preparation.words().to_owned());
        if joint.preparation.is_one_sided() {
            add("prepared edge: side", format!("{:?}", joint.prepared_side()));
        }
        if joint.groove_angle_deg > 0.0 {
            add("groove angle", format!("{}°", number(joint.groove_angle_deg)));
            add("root face", number(joint.root_face_mm));
        }
        add("root gap", number(joint.root_gap_mm));
        if let Some(radius) = joint.j_radius_mm {
            add("radius of the foot", number(radius));
        }
        let cap = &joint.cap;
        if cap.height_mm > 0.0 {
            add("cap", format!("{} high, {} past the edge", number(cap.height_mm), number(cap.overlap_mm)));
        } else {
            add("cap", "ground flush".to_owned());
        }
        match (joint.root_bead, joint.backing_bar) {
            (Some(bead), _) if bead.height_mm < 0.0 => {
                add(
                    "root drawn in",
                    format!("{} deep, {} wide", number(-bead.height_mm), number(bead.width_mm)),
                );
            }
            (Some(bead), _) => {
                add("root bead", format!("{} high, {} wide", number(bead.height_mm), number(bead.width_mm)));
            }
            (None, Some(bar)) => {
                add("backing bar", format!("{} × {}", number(bar.width_mm), number(bar.thickness_mm)))
            }
            (None, None) if joint.preparation.is_double() => {}
            (None, None) => add("root", "ground flush".to_owned()),
        }
        if joint.misalignment_mm != 0.0 {
            let way = if joint.misalignment_mm > 0.0 { "side B lower by" } else { "side B higher by" };
            add(way, number(joint.misalignment_mm.abs()));
        }
        for cut in &joint.undercuts {
            add(
                "undercut",
                format!("side {:?}, {} deep, {} wide", cut.side, number(cut.depth_mm), number(cut.width_mm)),
            );
        }
        add("heat-affected zone", number(joint.heat_affected_mm()));
    }
    if rows.len() > MOST_ROWS {
        let more = rows.len() - (MOST_ROWS - 1);
        rows.truncate(MOST_ROWS - 1);
        rows.push(format!("and {more} more, as in the plate file"));
    }
    let (top, half) = (186.0, rows.len().div_ceil(2));
    sheet.text([COLUMN[0], top - 6.0], Anchor::Start, 3.4, "Sizes in mm");
    for (index, row) in rows.iter().enumerate() {
        let (column, line) = (index / half.max(1), index % half.max(1));
        let at = [COLUMN[0] + 84.0 * column as f64, top + 4.4 * line as f64];
        sheet.text(at, Anchor::Start, 3.0, row);
    }
}

/// The caution in full, as it stands in written procedures.
const CAUTION: &str = "Training only: plate and yard are invented. No finding on a real weld may rest on it: real work follows \
                       the code, the written procedure and certified people.";

fn title_block(sheet: &mut Sheet, paper: &Paper, scales: [f64; 2], with_map: bool) {
    let plate = &paper.plate;
    let [left, right] = COLUMN;
    let note = sheet::wrapped(&plate.note, LETTERS);
    let kind =
        if with_map { "With the hidden flaws: for instructors only." } else { "As handed to trainees." };
    let [plan, section] = scales.map(scale_words);
    let top = 240.0;
    sheet.rectangle([left, top], [right, 286.0], "edge");
    sheet.text([left + 3.0, top + 7.0], Anchor::Start, 5.0, &plate.id);
    sheet.text([right - 3.0, top + 7.0], Anchor::End, 3.2, kind);
    sheet.text([left + 3.0, top + 13.0], Anchor::Start, 3.6, &plate.title);
    for (row, text) in (0..4).zip(&note) {
        sheet.text([left + 3.0, top + 18.0 + 4.0 * f64::from(row)], Anchor::Start, 3.0, text);
    }
    let text =
        format!("Views {plan}, section {section}, if printed on A3 in full. Digest {}.", paper.digest());
    sheet.text([left + 3.0, top + 34.5], Anchor::Start, 3.0, &text);
    for (row, text) in (0..2).zip(&sheet::wrapped(CAUTION, LETTERS)) {
        sheet.text([left + 3.0, top + 39.0 + 4.0 * f64::from(row)], Anchor::Start, 3.0, text);
    }
}

/// A stretch in mm without its unit, which the sheet states once.
fn stretch(ends_mm: [f64; 2]) -> String {
    words::stretch_mm(ends_mm).trim_end_matches(" mm").to_owned()
}

#[cfg(test)]
mod tests {
    use exam::paper::Paper;
    use specimen::generator::Design;

    use super::drawn;

    /// A block with more holes than lines: the drawing says that some are missing.
    #[test]
    fn sizes_that_do_not_fit_are_told_of() {
        let file = include_bytes!("../../../../scenarios/blocks/radius-block.toml");
        let mut paper = Paper::parse("block", file).unwrap();
        assert!(!drawn(&paper, false).contains("more, as in the plate file"));
        let block = paper.plate.block.as_mut().unwrap();
        let hole = block.holes[0];
        block.holes = vec![hole; 40];
        // 40 holes, two radii and the thickness, of which 23 are told.
        assert!(drawn(&paper, false).contains("and 20 more, as in the plate file"));
    }

    /// A trainee's sheet must not give the flaws away, in any joint.
    #[test]
    fn the_map_is_drawn_only_when_asked_for() {
        for design in Design::all() {
            let paper = Paper::generate(design, 3, 7);
            let (plain, map) = (drawn(&paper, false), drawn(&paper, true));
            assert!(!plain.contains("class=\"flaw\"") && plain.contains("Training only"));
            assert_eq!(map.matches("class=\"flaw\"").count(), 3 * paper.plate.flaws.len());
            for flaw in &paper.plate.flaws {
                assert!(!plain.contains(flaw.kind.words()) && map.contains(flaw.kind.words()));
            }
        }
    }

    /// Every size that a reader needs to draw the section again stands on the sheet.
    #[test]
    fn the_sizes_of_every_joint_stand_on_its_sheet() {
        for design in Design::all() {
            let paper = Paper::generate(design, 4, 3);
            let (plate, svg) = (&paper.plate, drawn(&paper, false));
            let joint = &plate.joint;
            let mut sizes = vec![plate.thickness_mm, plate.length_mm, plate.width_mm, joint.root_gap_mm];
            sizes.extend((joint.root_face_mm > 0.0).then_some(joint.root_face_mm));
            for size in sizes {
                let text = super::number(size);
                assert!(svg.lines().any(|line| line.trim() == text), "{design:?}: {text}");
            }
            assert_eq!(svg.contains(&format!("{}°", joint.groove_angle_deg)), joint.groove_angle_deg > 0.0);
            assert!(!svg.contains("NaN") && !svg.contains("inf"), "{design:?}");
        }
    }
}
