//! What a call was made from, drawn: the sound in the section and below it the trace, in millimetres.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use instrument::pose::Face;
use instrument::sensitivity::REFERENCE_HEIGHT_PERCENT;
use svg::node::element::{Image, SVG};

use super::canvas::{Canvas, Role};
use super::ruler::{Mark, Ruler};
use super::views::{BESIDE_MM, END_VIEW_LETTER_MM, section};
use crate::matching::middle;
use crate::paper::Paper;
use crate::said::{Language, Value, said};
use crate::snapshot::{Shot, Snapshot};

/// Height of the trace's drawing for the whole screen, mm.
const SCREEN_MM: f64 = 16.0;
/// Most points that the trace is drawn with: finer than anything that is printed.
const MOST_POINTS: usize = 500;
/// How the address of a picture begins that is in the page itself.
const ADDRESS: &str = "data:image/png;base64,";
/// Room between the wedge front and the edge of the drawing, mm.
const BEFORE_MM: f64 = 12.0;

/// What a shot is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Subject {
    /// What a call was made from; its number from 1.
    Call(u32),
    /// Where a flaw shows best from one side; its number as in the marks.
    Flaw(u32),
}

/// A shot in a sentence.
pub fn sentence(
    language: &Language,
    paper: &Paper,
    subject: Subject,
    snapshot: &Snapshot,
    shot: &Shot,
) -> String {
    let pose = &snapshot.pose;
    let nothing = || Value::from("");
    let face = match pose.face {
        Face::Upper => nothing(),
        Face::Lower => said!("said.shot.lower").into(),
    };
    let turned = match pose.skew_deg.abs() < 0.05 {
        true => nothing(),
        false => said!("said.shot.turned", skew_deg = pose.skew_deg).into(),
    };
    let read = shot.reading.as_ref().map_or_else(
        || said!("said.shot.silent"),
        |reading| {
            said!(
                if reading.clipped { "said.shot.clipped" } else { "said.shot.read" },
                level_db = reading.amplitude_db,
                percent = libm::round(reading.amplitude_percent),
                path_mm = reading.sound_path_mm
            )
        },
    );
    let from = match subject {
        Subject::Call(_) => said!("said.shot.call", t_ms = snapshot.t_ms as f64),
        Subject::Flaw(_) => said!("said.shot.flaw"),
    };
    language.tell(said!(
        "said.shot",
        from = from,
        side = pose.side,
        face = face,
        y_mm = pose.y_mm,
        offset_mm = pose.index_offset_mm,
        turned = turned,
        angle_deg = shot.angle_deg,
        over_db = snapshot.gain_db - paper.procedure.reference_gain_db,
        read = read
    ))
}

/// Draws a shot. `picture` is its picture as a data address; anything else is left out.
pub fn figure(
    language: &Language,
    paper: &Paper,
    subject: Subject,
    snapshot: &Snapshot,
    shot: &Shot,
    picture: &str,
) -> String {
    let (plate, letter) = (&paper.plate, END_VIEW_LETTER_MM);
    let outline = plate.outline();
    let thickness = plate.thickness_mm;
    let toe = outline.upper_edges_mm[1].max(outline.lower_edges_mm[1]);
    let half_width = plate.width_mm / 2.0;
    let near = (toe + BESIDE_MM).min(half_width);
    let far = (snapshot.pose.index_offset_mm + BEFORE_MM).clamp(near, half_width.max(near));
    // The probe's side is drawn as far as the probe stands.
    let sign = snapshot.pose.side.sign();
    let [left, right] = if sign > 0.0 { [-far, near] } else { [-near, far] };
    let base = thickness + 5.0 * letter + SCREEN_MM;
    let signed = shot.trace.percent.iter().any(|&percent| percent < 0.0);
    let foot = base + if signed { SCREEN_MM } else { 0.0 };
    let window = [left - 5.0 * letter, -4.0 * letter, right + 2.0 * letter, foot + 3.2 * letter];
    let about = sentence(language, paper, subject, snapshot, shot);
    let (role, number, title) = match subject {
        Subject::Call(number) => (Role::Call, number, said!("said.drawn.shot", call = number)),
        Subject::Flaw(number) => {
            let title = said!("said.drawn.sight", flaw = number, side = snapshot.pose.side);
            (Role::Truth, number, title)
        }
    };
    let mut canvas = Canvas::new(language, window, letter, &title, &about);

    if is_picture(picture) {
        let place = &shot.place;
        let [near_mm, far_mm] = place.forward_mm;
        let wide = far_mm - near_mm;
        // Forward counts from the wedge front, depth from the face the probe stands on.
        let mirror = if sign > 0.0 { 1.0 } else { -1.0 };
        let at = -sign * snapshot.pose.index_offset_mm + mirror * near_mm;
        let (turn, top) = match snapshot.pose.face {
            Face::Upper => (1.0, place.depth_mm[0]),
            Face::Lower => (-1.0, thickness - place.depth_mm[0]),
        };
        let image = Image::new()
            .set("href", picture)
            .set("width", format!("{wide:.2}"))
            .set("height", format!("{:.2}", place.depth_mm[1] - place.depth_mm[0]))
            .set("preserveAspectRatio", "none")
            .set("transform", format!("translate({at:.2} {top:.2}) scale({mirror} {turn})"));
        // Sound is shown between the faces, and as far beyond as cap and root stand out.
        let beyond = |lines: &[Vec<[f64; 2]>]| {
            let points = lines.iter().flatten();
            points.map(|point| (-point[1]).max(point[1] - thickness)).fold(0.0, f64::max)
        };
        let (above, below) = (beyond(&outline.cap), beyond(&outline.root));
        let metal = SVG::new()
            .set("x", left)
            .set("y", -above)
            .set("width", right - left)
            .set("height", thickness + above + below)
            .set("viewBox", (left, -above, right - left, thickness + above + below))
            .add(image);
        canvas.add(metal);
    }
    section(&mut canvas, &outline, [left, right]);
    let front = -sign * snapshot.pose.index_offset_mm;
    let probe_face = if snapshot.pose.face == Face::Upper { 0.0 } else { thickness };
    let out = if snapshot.pose.face == Face::Upper { -1.0 } else { 1.0 };
    canvas.plate_line(
        &[
            [front, probe_face],
            [front, probe_face + out * 2.4 * letter],
            [front - sign * 6.0 * letter, probe_face + out * 2.4 * letter],
        ],
        false,
    );
    if let Some(reading) = &shot.reading {
        let spot = [
            [reading.offset_mm - 1.0, reading.offset_mm + 1.0],
            [reading.depth_mm - 1.0, reading.depth_mm + 1.0],
        ];
        let label = [middle(spot[0]), thickness + 2.6 * letter];
        canvas.thing(role, spot, number, label, "middle");
    }
    trace(&mut canvas, paper, snapshot, shot, [left, right, base, foot]);
    canvas.finish()
}

/// The trace of the beam over its sound path, from `left` to `right`; the line without an echo lies at `base`.
fn trace(canvas: &mut Canvas, paper: &Paper, snapshot: &Snapshot, shot: &Shot, room: [f64; 4]) {
    let [left, right, base, foot] = room;
    let letter = canvas.letter_mm;
    let range_mm = (shot.trace.step_mm * shot.trace.percent.len() as f64).max(1.0);
    let x = |path_mm: f64| left + (right - left) * (path_mm / range_mm).clamp(0.0, 1.0);
    let y =
        |percent: f64| base - SCREEN_MM * (percent / 100.0).clamp(if foot > base { -1.0 } else { 0.0 }, 1.05);
    for percent in [0.0, 50.0, 100.0] {
        canvas.plate_line(&[[left, y(percent)], [right, y(percent)]], percent > 0.0);
        canvas.plate_text([left - letter / 2.0, y(percent) + letter * 0.35], "end", &format!("{percent} %"));
    }
    for Mark { at_mm, number } in Ruler::path(canvas.language, range_mm).marks(range_mm) {
        canvas.plate_line(&[[x(at_mm), foot], [x(at_mm), foot + letter * 0.4]], false);
        canvas.plate_text([x(at_mm), foot + letter * 1.5], "middle", &number.unwrap_or_default());
    }
    let axis = format!("{}, {}", canvas.language.text("said.shot.axis"), canvas.language.unit());
    canvas.plate_text([right, foot + letter * 2.7], "end", &axis);
    // Of the values that fall on one point the farthest from the line is drawn.
    let each = shot.trace.percent.len().div_ceil(MOST_POINTS).max(1);
    let points: Vec<[f64; 2]> = shot
        .trace
        .percent
        .chunks(each)
        .enumerate()
        .filter_map(|(index, part)| {
            let highest = part.iter().copied().max_by(|a, b| a.abs().total_cmp(&b.abs()))?;
            let path = (index * each) as f64 * shot.trace.step_mm;
            Some([x(path), y(f64::from(highest))])
        })
        .collect();
    canvas.plate_line(&points, false);
    let gate = &snapshot.gate;
    let at = y(gate.threshold_percent);
    let ends = [gate.start_mm, gate.start_mm + gate.length_mm].map(x);
    canvas.gate([ends[0], ends[1]], at);
    let procedure = &paper.procedure;
    let over_db = procedure.recording_level_db + snapshot.gain_db - procedure.reference_gain_db;
    let recording = REFERENCE_HEIGHT_PERCENT * libm::exp10(over_db / 20.0);
    if recording < 100.0 {
        canvas.plate_text(
            [right, y(recording) - letter * 0.4],
            "end",
            canvas.language.text("said.shot.level"),
        );
        canvas.plate_line(&[[left, y(recording)], [right, y(recording)]], true);
    }
}

/// A PNG file as an address that a figure shows.
pub fn address(png: &[u8]) -> String {
    format!("{ADDRESS}{}", STANDARD.encode(png))
}

/// Only pictures in the page itself are shown.
fn is_picture(address: &str) -> bool {
    let letters = |text: &str| text.bytes().all(|b| b.is_ascii_alphanumeric() || b"+/=".contains(&b));
    address.strip_prefix(ADDRESS).is_some_and(letters)
}
