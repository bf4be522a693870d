//! The welder's report: for every call that the rule rejects, a sketch of the groove that takes it out.

use instrument::pose::Face;
use maud::{Markup, PreEscaped, html};
use specimen::flaw::FlawKind;
use specimen::plate::Plate;

use super::repair::{BEYOND_MM, BOTTOM_RADIUS_MM, FLANK_DEG, Repair, THIN_MM};
use super::{Sitting, facts, verdict};
use crate::debrief::canvas::{Canvas, Role};
use crate::debrief::views::{BESIDE_MM, END_VIEW_LETTER_MM, LONG_VIEW_LETTER_MM, section, tape};
use crate::matching::middle;
use crate::paper::Paper;
use crate::said::Said;
use crate::sheet::{Call, Decision};
use crate::words;

pub(super) fn body(paper: &Paper, sitting: &Sitting) -> Markup {
    let calls: Vec<(usize, &Call, Option<Decision>, Said)> = (1..)
        .zip(&sitting.sheet.calls)
        .map(|(number, call)| {
            let (decision, why) = verdict::of(paper, call);
            (number, call, decision, why)
        })
        .collect();
    let rejected = || calls.iter().filter(|(_, _, decision, _)| *decision == Some(Decision::Reject));
    let open = || {
        calls
            .iter()
            .filter(|(_, call, decision, _)| decision.is_none() && call.decision == Some(Decision::Reject))
    };
    html! {
        p { (paper.scheme.acceptance.words()) " Only calls that it rejects are drawn: " (rejected().count()) " of " (calls.len()) "." }
        @if rejected().count() == 0 { p.result { "Nothing is to be ground out." } }
        h2 { "Before you grind" }
        ul {
            li { "Places are as called, not measured again: find the flaw by touch or dye as you grind, and stop when it is gone." }
            li { "The groove goes " (words::mm(BEYOND_MM)) " beyond the called ends and depth, has a round bottom of " (words::mm(BOTTOM_RADIUS_MM)) " radius, flanks " (words::degrees(FLANK_DEG)) " from upright, and runs out at 45° at both ends (common practice, no source)." }
            li { "It is ground from the face nearer to the call; both faces can be reached. Depths count from the plate’s face, without cap or root bead." }
            li { "Welding it up, preheat and examination afterwards follow the repair procedure, which is not part of this." }
        }
        @for (number, call, _, why) in rejected() { (one(&paper.plate, *number, call, why)) }
        @for (number, _, _, why) in open() {
            p { "Call " (number) " was rejected by whoever called it, but the rule cannot be held against it: " (why) ". Ask before you grind." }
        }
    }
}

fn one(plate: &Plate, number: usize, call: &Call, why: &str) -> Markup {
    let kind = call.kind.map_or("flaw", FlawKind::words);
    html! {
        section.repair {
            h2 { "Call " (number) ": " (kind) }
            p { "Rejected, " (why) "." }
            @match Repair::of(plate, call) {
                Err(missing) => p { "No sketch: " (words::list(&missing.into_iter().map(str::to_owned).collect::<Vec<_>>())) " missing on the sheet. Ask before you grind." },
                Ok(repair) => {
                    (facts(&rows(call, &repair)))
                    figure { figcaption { "In section" } (PreEscaped(across(plate, number, &repair))) }
                    figure { figcaption { "Along the tape, from the " (face(repair.face)) } (PreEscaped(along(plate, number, &repair))) }
                }
            }
        }
    }
}

fn face(face: Face) -> &'static str {
    match face {
        Face::Upper => "upper face",
        Face::Lower => "lower face",
    }
}

fn rows(call: &Call, repair: &Repair) -> Vec<(&'static str, String)> {
    let side = if repair.offset_mm > 0.0 { "B" } else { "A" };
    let place = match call.kind {
        Some(FlawKind::LackOfSideWallFusion) => format!("On the bevel of side {side}: "),
        Some(kind) if at_root(kind) => "At the root: ".to_owned(),
        Some(FlawKind::ToeCrack) => format!("At the toe of side {side}: "),
        _ => String::new(),
    };
    let left = match repair.left_mm {
        left if left <= 0.0 => "nothing: the groove goes through, weld it from both faces".to_owned(),
        left if left < THIN_MM => format!("{}: it may break through", words::mm(left)),
        left => words::mm(left),
    };
    vec![
        ("Called along the tape", format!("{} from the datum", words::stretch_mm(repair.called_mm))),
        ("Grind from", face(repair.face).to_owned()),
        ("Place across", format!("{place}middle {}", words::across_mm(repair.offset_mm))),
        ("Depth", format!("{} below the {}", words::mm(repair.deep_mm), face(repair.face))),
        ("Full depth", format!("{} from the datum", words::stretch_mm(repair.bottom_mm))),
        ("Open at the face", format!("{} from the datum", words::stretch_mm(repair.open_mm))),
        ("Ground to a width of", format!("{} at the {}", words::mm(repair.wide_mm), face(repair.face))),
        ("Left under the groove", left),
    ]
}

fn at_root(kind: FlawKind) -> bool {
    matches!(kind, FlawKind::LackOfRootFusion | FlawKind::IncompletePenetration | FlawKind::RootCrack)
}

/// The weld in section with groove and call.
fn across(plate: &Plate, number: usize, repair: &Repair) -> String {
    let letter = END_VIEW_LETTER_MM;
    let outline = plate.outline();
    let toe = outline.upper_edges_mm[1].max(outline.lower_edges_mm[1]);
    let half = (toe + BESIDE_MM).max(repair.offset_mm.abs() + repair.wide_mm).min(plate.width_mm / 2.0);
    let thickness = plate.thickness_mm;
    let window = [-half - 3.0 * letter, -5.0 * letter, half + 12.0 * letter, thickness + 5.0 * letter];
    let sizes = format!("{} deep, {} wide", words::mm(repair.deep_mm), words::mm(repair.wide_mm));
    let about =
        format!("Side A left, side B right. The groove is shaded: {sizes} from the {}.", face(repair.face));
    let mut canvas = Canvas::new(window, letter, &format!("Call {number} in section: groove"), &about);
    section(&mut canvas, &outline, [-half, half]);
    canvas.ground(&repair.profile(thickness));
    // The depth at the right of the groove, the width beyond the face.
    let (open, foot, words_at) = match repair.face {
        Face::Upper => (0.0, repair.deep_mm, -2.6 * letter),
        Face::Lower => (thickness, thickness - repair.deep_mm, thickness + 3.4 * letter),
    };
    let (x, edge) = (half + letter, repair.wide_mm / 2.0);
    canvas.plate_line(&[[repair.offset_mm, foot], [x + letter / 2.0, foot]], true);
    canvas.plate_line(&[[x, open], [x, foot]], false);
    canvas.plate_text(
        [x + letter, f64::midpoint(open, foot)],
        "start",
        &format!("{} deep", words::mm(repair.deep_mm)),
    );
    let tick = if repair.face == Face::Upper { -2.2 * letter } else { thickness + 2.2 * letter };
    canvas.plate_line(&[[repair.offset_mm - edge, tick], [repair.offset_mm + edge, tick]], false);
    for at in [-edge, edge] {
        canvas.plate_line(&[[repair.offset_mm + at, open], [repair.offset_mm + at, tick]], true);
    }
    canvas.plate_text([repair.offset_mm, words_at], "middle", &format!("{} wide", words::mm(repair.wide_mm)));
    let area = [[repair.offset_mm - 1.0, repair.offset_mm + 1.0], repair.depth_mm];
    let label = if repair.face == Face::Upper { thickness + 3.0 * letter } else { -3.0 * letter };
    canvas.thing(Role::Call, area, number as u32, [repair.offset_mm, label], "middle");
    canvas.finish()
}

/// The face with tape, groove and call.
fn along(plate: &Plate, number: usize, repair: &Repair) -> String {
    let letter = LONG_VIEW_LETTER_MM;
    let toe = plate.outline().upper_edges_mm[1];
    let half = (toe + BESIDE_MM).min(plate.width_mm / 2.0);
    let length = plate.length_mm;
    let window = [-3.0 * letter, -half - 3.0 * letter, length + 3.0 * letter, half + 4.5 * letter];
    let about = format!(
        "Side B above, side A below, tape from the datum at the left. The groove is shaded: open {}.",
        words::stretch_mm(repair.open_mm)
    );
    let mut canvas = Canvas::new(window, letter, &format!("Call {number} along the tape: groove"), &about);
    canvas.plate_line(&[[0.0, -half], [length, -half], [length, half], [0.0, half], [0.0, -half]], false);
    canvas.plate_line(&[[0.0, 0.0], [length, 0.0]], true);
    canvas.plate_text([-letter, -half + letter], "end", "B");
    canvas.plate_text([-letter, half], "end", "A");
    tape(&mut canvas, length, half + letter);
    // Side B is up, so what is across is drawn upside down.
    let (middle_y, edge) = (-repair.offset_mm, repair.wide_mm / 2.0);
    let ([a, b], [c, d]) = (repair.open_mm, repair.bottom_mm);
    canvas.ground(&[
        [a, middle_y],
        [c, middle_y - edge],
        [d, middle_y - edge],
        [b, middle_y],
        [d, middle_y + edge],
        [c, middle_y + edge],
    ]);
    let room = 8.0 * letter;
    let at = middle(repair.open_mm).clamp(room.min(length / 2.0), (length - room).max(length / 2.0));
    canvas.plate_text([at, -half - letter], "middle", &words::stretch_mm(repair.open_mm));
    canvas.thing(
        Role::Call,
        [repair.called_mm, [middle_y - 1.0, middle_y + 1.0]],
        number as u32,
        [at, half - letter],
        "middle",
    );
    canvas.finish()
}
