//! The three views of the debrief.

use instrument::pose::Side;
use specimen::section::Outline;

use crate::marking::{Marks, Outcome, place_across};
use crate::matching::middle;
use crate::paper::Paper;
use crate::said::{Language, Said, said};
use crate::sheet::{AnswerSheet, Call};

use super::canvas::{Area, Canvas, Role, spread};
use super::ruler::{Mark, Ruler};

/// Height of letters in the long views and in the end view, mm.
pub(crate) const LONG_VIEW_LETTER_MM: f64 = 5.0;
pub(crate) const END_VIEW_LETTER_MM: f64 = 2.2;

/// How far the views show the plate beside the weld, mm.
pub(crate) const BESIDE_MM: f64 = 15.0;

/// How wide a call is drawn across the weld, to each side, mm: the sheet has no field for it.
const CALL_HALF_WIDTH_MM: f64 = 1.0;

/// Half the height a call without a height is drawn with, mm.
const CALL_HALF_HEIGHT_MM: f64 = 0.5;

/// Something to draw, with its box along, across and in depth; `None` where a call does not say.
struct Thing {
    role: Role,
    number: u32,
    along: Option<[f64; 2]>,
    across: Option<[f64; 2]>,
    depth: Option<[f64; 2]>,
}

fn things(seen: &Seen) -> Vec<Thing> {
    let plate = &seen.paper.plate;
    let truth = seen.marks.into_iter().flat_map(|marks| &marks.flaws).map(|row| Thing {
        role: Role::Truth,
        number: row.number,
        along: Some(row.extent.along_mm),
        across: Some(row.extent.across_mm),
        depth: Some(row.extent.depth_mm),
    });
    let calls = seen.sheet.calls.iter().zip(1..).map(|(call, number)| {
        // What lies outside the plate is drawn at its edge.
        let kept = |ends: [f64; 2], low: f64, high: f64| ends.map(|value| value.clamp(low, high));
        let half = plate.width_mm / 2.0;
        Thing {
            role: Role::Call,
            number,
            along: call.along_mm().map(|ends| kept(ends, 0.0, plate.length_mm)),
            across: around(call.offset_mm, CALL_HALF_WIDTH_MM).map(|ends| kept(ends, -half, half)),
            depth: around(call.depth_mm, half_height(call)).map(|ends| kept(ends, 0.0, plate.thickness_mm)),
        }
    });
    truth.chain(calls).collect()
}

fn half_height(call: &Call) -> f64 {
    call.height_mm
        .filter(|height| height.is_finite())
        .map_or(CALL_HALF_HEIGHT_MM, |height| height.abs() / 2.0)
}

fn around(middle: Option<f64>, half: f64) -> Option<[f64; 2]> {
    middle.filter(|value| value.is_finite()).map(|value| [value - half, value + half])
}

/// The words for those who do not see the drawing: every row of the marks, or every call.
fn description(view: &'static str, seen: &Seen, left_out: &[Said]) -> String {
    let view = said!(view);
    let mut said = match seen.marks {
        Some(_) => vec![said!("said.about.both", view = view)],
        None => vec![said!("said.about.calls", view = view)],
    };
    match seen.marks {
        Some(marks) => marked(&mut said, seen.paper, marks),
        None => said.extend(seen.sheet.calls.iter().zip(1..).map(|(call, number): (_, u32)| {
            call.along_mm().map_or_else(
                || said!("said.about.placeless", call = number),
                |[from, to]| said!("said.about.call", call = number, from_mm = from, to_mm = to),
            )
        })),
    }
    if !left_out.is_empty() {
        said.push(said!("said.about.left_out", them = left_out.to_vec()));
    }
    said.iter().map(|said| seen.language.say(said)).collect::<Vec<_>>().join(" ")
}

fn marked(said: &mut Vec<Said>, paper: &Paper, marks: &Marks) {
    for row in &marks.flaws {
        let Some(flaw) = paper.plate.flaws.get(row.index as usize) else { continue };
        let ([from, to], [top, bottom]) = (row.extent.along_mm, row.extent.depth_mm);
        let found = row
            .call
            .map_or_else(|| said!("said.about.missed"), |call| said!("said.about.found", call = call));
        said.push(said!(
            "said.about.flaw",
            flaw = row.number,
            kind = flaw.kind,
            from_mm = from,
            to_mm = to,
            across = place_across(middle(row.extent.across_mm)),
            top_mm = top,
            bottom_mm = bottom,
            found = found
        ));
    }
    said.extend(marks.calls.iter().map(|row| match row.outcome {
        Outcome::Hit { flaw } => said!("said.about.hit", call = row.number, flaw = flaw),
        Outcome::Duplicate { flaw } => said!("said.about.again", call = row.number, flaw = flaw),
        Outcome::Geometry => said!("said.about.geometry", call = row.number),
        Outcome::False => said!("said.about.false", call = row.number),
    }));
}

/// What is drawn, and in which language its words are.
pub(super) struct Seen<'a> {
    pub(super) language: &'a Language,
    pub(super) paper: &'a Paper,
    pub(super) sheet: &'a AnswerSheet,
    pub(super) marks: Option<&'a Marks>,
}

impl<'a> Seen<'a> {
    /// The empty drawing.
    fn canvas(
        &self,
        [title, view]: [&'static str; 2],
        window: [f64; 4],
        letter: f64,
        left_out: &[Said],
    ) -> Canvas<'a> {
        let what = said!(if self.marks.is_some() { "said.drawn.both" } else { "said.drawn.calls" });
        let title = said!(title, plate = &*self.paper.plate.id, what = what);
        Canvas::new(self.language, window, letter, &title, &description(view, self, left_out))
    }
}

/// Sorts out what can be drawn: the boxes, and the labels of those without a place in this view.
fn placed(things: Vec<Thing>, area: impl Fn(&Thing) -> Option<Area>) -> (Vec<(Role, u32, Area)>, Vec<Said>) {
    let mut boxes = Vec::new();
    let mut left_out = Vec::new();
    for thing in things {
        match area(&thing) {
            Some(area) => boxes.push((thing.role, thing.number, area)),
            None => left_out.push(thing.role.label(thing.number)),
        }
    }
    (boxes, left_out)
}

/// Puts labels of flaws above a long view and those of calls below it.
fn draw_long(canvas: &mut Canvas, boxes: &[(Role, u32, Area)], rows: [f64; 2], length_mm: f64) {
    let room = 4.2 * canvas.letter_mm;
    for (role, row) in [(Role::Truth, rows[0]), (Role::Call, rows[1])] {
        let of_role: Vec<_> = boxes.iter().filter(|thing| thing.0 == role).collect();
        let wanted: Vec<f64> = of_role.iter().map(|thing| middle(thing.2[0])).collect();
        let places = spread(&wanted, room, [room / 2.0, length_mm - room / 2.0]);
        for ((role, number, area), x) in of_role.into_iter().zip(places) {
            canvas.thing(*role, *area, *number, [x, row], "middle");
        }
    }
}

pub(crate) fn tape(canvas: &mut Canvas, length_mm: f64, y: f64) {
    let letter = canvas.letter_mm;
    canvas.plate_line(&[[0.0, y], [length_mm, y]], false);
    for Mark { at_mm: x, number } in Ruler::tape(canvas.language).marks(length_mm) {
        canvas.plate_line(&[[x, y], [x, y + letter * if number.is_some() { 0.5 } else { 0.25 }]], false);
        if let Some(number) = number {
            canvas.plate_text([x, y + letter * 1.5], "middle", &number);
        }
    }
}

/// From above.
pub(super) fn top(seen: &Seen) -> String {
    let plate = &seen.paper.plate;
    let letter = LONG_VIEW_LETTER_MM;
    let toes = plate.outline().upper_edges_mm;
    let half = (toes[1] + BESIDE_MM).min(plate.width_mm / 2.0);
    // Side B is up, so what is across is drawn upside down.
    let (boxes, left_out) = placed(things(seen), |thing| {
        let across = thing.across?;
        Some([thing.along?, [-across[1], -across[0]]])
    });
    let window = [-3.0 * letter, -half - 3.0 * letter, plate.length_mm + 3.0 * letter, half + 6.5 * letter];
    let mut canvas = seen.canvas(["said.drawn.top", "said.about.top"], window, letter, &left_out);
    let length = plate.length_mm;
    canvas.plate_line(&[[0.0, -half], [length, -half], [length, half], [0.0, half], [0.0, -half]], false);
    for x in toes {
        canvas.plate_line(&[[0.0, -x], [length, -x]], false);
    }
    canvas.plate_line(&[[0.0, 0.0], [length, 0.0]], true);
    canvas.plate_text([-letter, -half + letter], "end", "B");
    canvas.plate_text([-letter, half], "end", "A");
    tape(&mut canvas, length, half + 2.0 * letter);
    draw_long(&mut canvas, &boxes, [-half - letter, half + 1.4 * letter], length);
    canvas.key(seen.marks.is_some());
    canvas.finish()
}

/// From side A.
pub(super) fn side(seen: &Seen) -> String {
    let plate = &seen.paper.plate;
    let letter = LONG_VIEW_LETTER_MM;
    let (length, thickness) = (plate.length_mm, plate.thickness_mm);
    let (boxes, left_out) = placed(things(seen), |thing| Some([thing.along?, thing.depth?]));
    let window = [-3.0 * letter, -3.0 * letter, length + 3.0 * letter, thickness + 6.5 * letter];
    let mut canvas = seen.canvas(["said.drawn.long", "said.about.long"], window, letter, &left_out);
    canvas.plate_line(&[[0.0, 0.0], [length, 0.0], [length, thickness], [0.0, thickness], [0.0, 0.0]], false);
    canvas.plate_text([-letter, letter * 0.7], "end", "0");
    canvas.plate_text([-letter, thickness], "end", &seen.language.bare_length(thickness));
    tape(&mut canvas, length, thickness + 2.0 * letter);
    draw_long(&mut canvas, &boxes, [-letter, thickness + 1.4 * letter], length);
    canvas.key(seen.marks.is_some());
    canvas.finish()
}

/// The weld in section with the names of its sides.
pub(crate) fn section(canvas: &mut Canvas, outline: &Outline, [left, right]: [f64; 2]) {
    let visible = |line: &Vec<[f64; 2]>| -> Vec<[f64; 2]> {
        line.iter().map(|point| [point[0].clamp(left, right), point[1]]).collect()
    };
    for line in outline.upper_face.iter().chain(&outline.lower_face).chain(&outline.cap).chain(&outline.root)
    {
        canvas.plate_line(&visible(line), false);
    }
    for line in &outline.preparation {
        canvas.plate_line(&visible(line), true);
    }
    let letter = canvas.letter_mm;
    canvas.side([left, -letter], "start", Side::A);
    canvas.side([right, -letter], "end", Side::B);
}

/// Along the weld.
pub(super) fn end(seen: &Seen) -> String {
    let plate = &seen.paper.plate;
    let letter = END_VIEW_LETTER_MM;
    let outline = plate.outline();
    let thickness = plate.thickness_mm;
    let toe = outline.upper_edges_mm[1].max(outline.lower_edges_mm[1]);
    let half = (toe + BESIDE_MM).min(plate.width_mm / 2.0);
    let (boxes, left_out) = placed(things(seen), |thing| {
        let half_view = |x: f64| x.clamp(-half, half);
        Some([thing.across?.map(half_view), thing.depth?])
    });
    // Flaws are labelled on the left, calls on the right, one below the other.
    let labels = [Role::Truth, Role::Call]
        .map(|role| boxes.iter().filter(|thing| thing.0 == role).count())
        .into_iter()
        .max()
        .unwrap_or(0) as f64;
    let row = 1.4 * letter;
    let tall = thickness.max(labels * row);
    let margin = 6.0 * letter;
    let window = [-half - margin, -4.0 * letter, half + margin, tall + 5.0 * letter];
    let mut canvas = seen.canvas(["said.drawn.end", "said.about.end"], window, letter, &left_out);
    section(&mut canvas, &outline, [-half, half]);
    for (role, x, anchor) in
        [(Role::Truth, -half - letter / 2.0, "end"), (Role::Call, half + letter / 2.0, "start")]
    {
        let of_role: Vec<_> = boxes.iter().filter(|thing| thing.0 == role).collect();
        let wanted: Vec<f64> = of_role.iter().map(|thing| middle(thing.2[1])).collect();
        let places = spread(&wanted, row, [letter, tall]);
        for ((role, number, area), y) in of_role.into_iter().zip(places) {
            canvas.thing(*role, *area, *number, [x, y], anchor);
        }
    }
    canvas.key(seen.marks.is_some());
    canvas.finish()
}
