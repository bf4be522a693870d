//! A plate on one sheet: from above, across the weld and from the side, with sizes; with what is hidden in it if asked.

use std::path::PathBuf;

use clap::Args;
use exam::paper::Paper;
use svg::Document;
use svg::node::element::{Group, Line, Polyline, Rectangle, Style, Text, Title};

use crate::failure::Failure;
use crate::files;

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

/// Units of the sheet per mm, along the weld and in the enlarged section.
const SCALE: f64 = 2.4;
const LEFT: f64 = 60.0;
const GAP: f64 = 70.0;
const HEAD: f64 = 66.0;
/// Letters of a line of the note, and the height of a line.
const NOTE_LETTERS: usize = 100;
const NOTE_LINE: f64 = 18.0;
/// Half the width of the section that is drawn, mm.
const SECTION_HALF_MM: f64 = 60.0;

const STYLE: &str = "svg { background: #fff; color: #1c2b2a; font: 15px sans-serif }
text { fill: currentColor } .small { font-size: 13px }
.edge { fill: none; stroke: currentColor; stroke-width: 1.6 } .thin { fill: none; stroke: currentColor; stroke-width: 0.8; stroke-dasharray: 9 3 2 3 }
.size { stroke: currentColor; stroke-width: 0.8 }
.flaw { fill: #d55e00; fill-opacity: 0.45; stroke: #d55e00; stroke-width: 1.4 }
@media (prefers-color-scheme: dark) { svg { background: #14201f; color: #e6efec } .flaw { fill: #f0a04b; stroke: #f0a04b } }";

/// Draws a plate file.
///
/// # Errors
/// When the file is wrong or cannot be written.
pub fn run(arguments: &Draw) -> Result<(), Failure> {
    let paper = files::paper(&arguments.file)?;
    files::write(&arguments.output, sheet(&paper, arguments.with_map).to_string().as_bytes())
}

fn words(x: f64, y: f64, class: &str, text: impl Into<String>) -> Text {
    Text::new(text.into()).set("x", x).set("y", y).set("class", class)
}

/// The note in lines; SVG does not break them.
fn wrapped(note: &str) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in note.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.len() + word.len() < NOTE_LETTERS => *line = format!("{line} {word}"),
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// A size along x with its ends, and its number above the line.
fn size(from: f64, to: f64, y: f64, text: &str) -> Group {
    let tick = |x: f64| {
        Line::new().set("x1", x).set("x2", x).set("y1", y - 5.0).set("y2", y + 5.0).set("class", "size")
    };
    Group::new()
        .add(Line::new().set("x1", from).set("x2", to).set("y1", y).set("y2", y).set("class", "size"))
        .add(tick(from))
        .add(tick(to))
        .add(words(0.5 * (from + to), y - 5.0, "small", text).set("text-anchor", "middle"))
}

fn rectangle([x0, x1]: [f64; 2], [y0, y1]: [f64; 2], class: &str) -> Rectangle {
    Rectangle::new()
        .set("x", x0)
        .set("y", y0)
        .set("width", (x1 - x0).max(1.0))
        .set("height", (y1 - y0).max(1.0))
        .set("class", class)
}

fn line(points: &[[f64; 2]], class: &str) -> Polyline {
    let points: Vec<String> = points.iter().map(|[x, y]| format!("{x:.1},{y:.1}")).collect();
    Polyline::new().set("points", points.join(" ")).set("class", class)
}

/// The three views below each other.
fn sheet(paper: &Paper, with_map: bool) -> Document {
    let plate = &paper.plate;
    let outline = plate.outline();
    let (length, width, thickness) =
        (SCALE * plate.length_mm, SCALE * plate.width_mm, SCALE * plate.thickness_mm);
    let note = wrapped(&plate.note);
    let plan_y = HEAD + 40.0 + NOTE_LINE * note.len() as f64;
    let side_y = plan_y + width + GAP;
    let section_y = side_y + thickness + GAP + 30.0;
    let height = section_y + 2.0 * thickness + 96.0;
    let sheet_width = (LEFT + length + 60.0).max(LEFT + 4.0 * SCALE * SECTION_HALF_MM + 60.0);
    let along = |y: f64| LEFT + SCALE * y;
    let across = |x: f64| plan_y + 0.5 * width + SCALE * x;
    let deep = |z: f64| side_y + SCALE * z;
    let in_section =
        |[x, z]: [f64; 2]| [LEFT + 2.0 * SCALE * (x + SECTION_HALF_MM), section_y + 2.0 * SCALE * z];
    let mut drawing = Document::new()
        .set("viewBox", format!("0 0 {sheet_width:.0} {height:.0}"))
        .set("role", "img")
        .add(Title::new(format!("Plate {}", plate.id)))
        .add(Style::new(STYLE))
        .add(words(LEFT, 30.0, "", format!("{}  {}", plate.id, plate.title)))
        .add(words(
            LEFT,
            50.0,
            "small",
            "Training only: a fictional plate. No finding on a real weld may rest on it.",
        ))
        .add(words(LEFT, plan_y - 22.0, "small", "From above, side B below; datum at the left"))
        .add(rectangle([along(0.0), along(plate.length_mm)], [plan_y, plan_y + width], "edge"))
        .add(line(&[[along(0.0), across(0.0)], [along(plate.length_mm), across(0.0)]], "thin"))
        .add(size(along(0.0), along(plate.length_mm), plan_y - 6.0, &format!("{} mm", plate.length_mm)))
        .add(words(LEFT - 52.0, across(0.0), "small", format!("{} mm", plate.width_mm)))
        .add(words(LEFT, side_y - 14.0, "small", "From side A"))
        .add(rectangle([along(0.0), along(plate.length_mm)], [side_y, side_y + thickness], "edge"))
        .add(words(LEFT - 52.0, side_y + 0.5 * thickness, "small", format!("{} mm", plate.thickness_mm)))
        .add(words(LEFT, section_y - 26.0, "small", "Section across the weld, twice as large, side A left"));
    for (row, text) in note.into_iter().enumerate() {
        drawing = drawing.add(words(LEFT, HEAD + 4.0 + NOTE_LINE * row as f64, "small", text));
    }
    for x in outline.upper_edges_mm {
        drawing = drawing.add(line(&[[along(0.0), across(x)], [along(plate.length_mm), across(x)]], "edge"));
    }
    let near = |line: &&Vec<[f64; 2]>| line.len() > 1;
    let faces = outline.upper_face.iter().chain(&outline.lower_face);
    for face in faces.chain(&outline.cap).chain(&outline.root).filter(near) {
        let clipped: Vec<[f64; 2]> =
            face.iter().map(|&[x, z]| in_section([x.clamp(-SECTION_HALF_MM, SECTION_HALF_MM), z])).collect();
        drawing = drawing.add(line(&clipped, "edge"));
    }
    for edge in outline.preparation.iter().chain(&outline.runs).filter(near) {
        drawing = drawing.add(line(&edge.iter().map(|&p| in_section(p)).collect::<Vec<_>>(), "thin"));
    }
    let [a, b] =
        [[outline.upper_edges_mm[0], plate.thickness_mm], [outline.upper_edges_mm[1], plate.thickness_mm]]
            .map(in_section);
    let weld_width = outline.upper_edges_mm[1] - outline.upper_edges_mm[0];
    drawing = drawing.add(size(a[0], b[0], a[1] + 44.0, &format!("{weld_width:.1} mm")));
    if with_map {
        for (number, flaw) in plate.flaws.iter().enumerate() {
            let extent = flaw.extent(plate);
            let ends = extent.along_mm.map(along);
            let corners =
                [[extent.across_mm[0], extent.depth_mm[0]], [extent.across_mm[1], extent.depth_mm[1]]]
                    .map(in_section);
            drawing = drawing
                .add(rectangle(ends, extent.across_mm.map(across), "flaw"))
                .add(rectangle(ends, extent.depth_mm.map(deep), "flaw"))
                .add(rectangle([corners[0][0], corners[1][0]], [corners[0][1], corners[1][1]], "flaw"))
                .add(words(
                    ends[0],
                    across(extent.across_mm[1]) + 16.0,
                    "small",
                    format!("{} {} ({})", number + 1, flaw.kind.words(), flaw.kind.iso_6520_number()),
                ));
        }
    }
    drawing
}

#[cfg(test)]
mod tests {
    use exam::paper::Paper;
    use specimen::generator::Design;

    use super::sheet;

    /// A trainee's sheet must not give the flaws away, in any joint.
    #[test]
    fn the_map_is_drawn_only_when_asked_for() {
        for design in Design::all() {
            let paper = Paper::generate(design, 3, 7);
            let (plain, map) = (sheet(&paper, false).to_string(), sheet(&paper, true).to_string());
            assert!(!plain.contains("class=\"flaw\"") && plain.contains("Training only"));
            assert_eq!(map.matches("class=\"flaw\"").count(), 3 * paper.plate.flaws.len());
            for flaw in &paper.plate.flaws {
                assert!(!plain.contains(flaw.kind.words()) && map.contains(flaw.kind.words()));
            }
        }
    }
}
