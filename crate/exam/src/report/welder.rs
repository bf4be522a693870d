//! The welder's report: for every call that the rule rejects, a sketch of the groove that takes it out.

use instrument::pose::{Face, Side};
use maud::{Markup, html};
use specimen::flaw::FlawKind;
use specimen::plate::Plate;

use super::repair::{BEYOND_MM, BOTTOM_RADIUS_MM, FLANK_DEG, Repair, THIN_MM};
use super::{Facts, Sitting, figure, heading, items, paragraph, stretch, verdict};
use crate::debrief::canvas::{Canvas, Role};
use crate::debrief::views::{BESIDE_MM, END_VIEW_LETTER_MM, LONG_VIEW_LETTER_MM, section, tape};
use crate::marking::place_across;
use crate::matching::middle;
use crate::paper::Paper;
use crate::said::{Language, Said, said};
use crate::sheet::{Call, Decision};

pub(super) fn body(language: &Language, paper: &Paper, sitting: &Sitting) -> Markup {
    let calls: Vec<(u32, &Call, Option<Decision>, Said)> = (1..)
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
    let rule = paper.scheme.acceptance.words();
    let only =
        said!("said.grind.only", rule = rule, number = rejected().count() as u32, all = calls.len() as u32);
    let groove = said!(
        "said.grind.groove",
        beyond_mm = BEYOND_MM,
        radius_mm = BOTTOM_RADIUS_MM,
        flank_deg = FLANK_DEG
    );
    html! {
        (paragraph(language, only))
        @if rejected().count() == 0 { p.result { (language.text("said.grind.nothing")) } }
        (heading(language, "said.head.grind"))
        (items(language, vec![said!("said.grind.places"), groove, said!("said.grind.face"), said!("said.grind.after")]))
        @for (number, call, _, why) in rejected() { (one(language, &paper.plate, *number, call, why)) }
        @for (number, _, _, why) in open() {
            (paragraph(language, said!("said.grind.open", call = *number, why = why.clone())))
        }
    }
}

fn one(language: &Language, plate: &Plate, number: u32, call: &Call, why: &Said) -> Markup {
    let what = call.kind.map_or_else(|| language.text("said.grind.flaw"), |kind| language.kind(kind));
    let say = |said| language.tell(said);
    html! {
        section.repair {
            h2 { (say(said!("said.grind.call", call = number, what = what))) }
            (paragraph(language, said!("said.grind.rejected", why = why.clone())))
            @match Repair::of(plate, call) {
                Err(missing) => (paragraph(language, said!("said.grind.no_sketch", missing = missing.into_iter().map(|key| said!(key)).collect::<Vec<_>>()))),
                Ok(repair) => {
                    (rows(language, call, &repair).table())
                    (figure(language, said!("said.view.end"), &across(language, plate, number, &repair)))
                    (figure(language, said!("said.view.tape", face = face(repair.face)), &along(language, plate, number, &repair)))
                }
            }
        }
    }
}

fn face(face: Face) -> Said {
    match face {
        Face::Upper => said!("said.face.upper"),
        Face::Lower => said!("said.face.lower"),
    }
}

fn from_datum(ends_mm: [f64; 2]) -> Said {
    said!("said.groove.datum", from_mm = ends_mm[0], to_mm = ends_mm[1])
}

fn rows<'a>(language: &'a Language, call: &Call, repair: &Repair) -> Facts<'a> {
    let side = if repair.offset_mm > 0.0 { Side::B } else { Side::A };
    let middle = said!("said.groove.middle", across = place_across(repair.offset_mm));
    let place = match call.kind {
        Some(FlawKind::LackOfSideWallFusion) => said!("said.groove.bevel", side = side, place = middle),
        Some(kind) if at_root(kind) => said!("said.groove.root", place = middle),
        Some(FlawKind::ToeCrack) => said!("said.groove.toe", side = side, place = middle),
        _ => middle,
    };
    let left = match repair.left_mm {
        left if left <= 0.0 => said!("said.groove.through"),
        left if left < THIN_MM => said!("said.groove.thin", left_mm = left),
        left => said!("said.length", value_mm = left),
    };
    let face = || face(repair.face);
    let mut facts = Facts::new(language);
    facts.row("said.fact.along", from_datum(repair.called_mm));
    facts.row("said.fact.grind", face());
    facts.row("said.fact.across", place);
    facts.row("said.fact.depth", said!("said.groove.below", deep_mm = repair.deep_mm, face = face()));
    facts.row("said.fact.full", from_datum(repair.bottom_mm));
    facts.row("said.fact.open", from_datum(repair.open_mm));
    facts.row("said.fact.width", said!("said.groove.wide_at", wide_mm = repair.wide_mm, face = face()));
    facts.row("said.fact.left", left);
    facts
}

fn at_root(kind: FlawKind) -> bool {
    matches!(kind, FlawKind::LackOfRootFusion | FlawKind::IncompletePenetration | FlawKind::RootCrack)
}

/// The weld in section with groove and call.
fn across(language: &Language, plate: &Plate, number: u32, repair: &Repair) -> String {
    let letter = END_VIEW_LETTER_MM;
    let outline = plate.outline();
    let toe = outline.upper_edges_mm[1].max(outline.lower_edges_mm[1]);
    let half = (toe + BESIDE_MM).max(repair.offset_mm.abs() + repair.wide_mm).min(plate.width_mm / 2.0);
    let thickness = plate.thickness_mm;
    let window = [-half - 3.0 * letter, -5.0 * letter, half + 12.0 * letter, thickness + 5.0 * letter];
    let deep = said!("said.groove.deep", deep_mm = repair.deep_mm);
    let wide = said!("said.groove.wide", wide_mm = repair.wide_mm);
    let [deep_words, wide_words] = [&deep, &wide].map(|said| language.say(said));
    let about = said!("said.groove.about_section", deep = deep, wide = wide, face = face(repair.face));
    let title = said!("said.groove.section", call = number);
    let mut canvas = Canvas::new(language, window, letter, &title, &language.tell(about));
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
    canvas.plate_text([x + letter, f64::midpoint(open, foot)], "start", &deep_words);
    let tick = if repair.face == Face::Upper { -2.2 * letter } else { thickness + 2.2 * letter };
    canvas.plate_line(&[[repair.offset_mm - edge, tick], [repair.offset_mm + edge, tick]], false);
    for at in [-edge, edge] {
        canvas.plate_line(&[[repair.offset_mm + at, open], [repair.offset_mm + at, tick]], true);
    }
    canvas.plate_text([repair.offset_mm, words_at], "middle", &wide_words);
    let area = [[repair.offset_mm - 1.0, repair.offset_mm + 1.0], repair.depth_mm];
    let label = if repair.face == Face::Upper { thickness + 3.0 * letter } else { -3.0 * letter };
    canvas.thing(Role::Call, area, number, [repair.offset_mm, label], "middle");
    canvas.finish()
}

/// The face with tape, groove and call.
fn along(language: &Language, plate: &Plate, number: u32, repair: &Repair) -> String {
    let letter = LONG_VIEW_LETTER_MM;
    let toe = plate.outline().upper_edges_mm[1];
    let half = (toe + BESIDE_MM).min(plate.width_mm / 2.0);
    let length = plate.length_mm;
    let window = [-3.0 * letter, -half - 3.0 * letter, length + 3.0 * letter, half + 4.5 * letter];
    let about = said!("said.groove.about_along", open = stretch(repair.open_mm));
    let title = said!("said.groove.along", call = number);
    let mut canvas = Canvas::new(language, window, letter, &title, &language.tell(about));
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
    canvas.plate_text([at, -half - letter], "middle", &language.tell(stretch(repair.open_mm)));
    canvas.thing(
        Role::Call,
        [repair.called_mm, [middle_y - 1.0, middle_y + 1.0]],
        number,
        [at, half - letter],
        "middle",
    );
    canvas.finish()
}
