//! The engineer's report: what was examined and how, what was not, and every finding under the acceptance rule.

use instrument::pose::{Face, Side};
use instrument::set_up::SetUp;
use maud::{Markup, html};

use super::{Sitting, drawings, examiner, facts, shots, table, verdict};
use crate::acceptance::{self, Rule};
use crate::debrief;
use crate::event::Event;
use crate::examined::{Examined, SideExamined, stretches};
use crate::guide::Guide;
use crate::log::Entry;
use crate::paper::Paper;
use crate::sheet::{Call, Decision};
use crate::words;

pub(super) fn body(paper: &Paper, sitting: &Sitting) -> Markup {
    let examined = Examined::of(paper, sitting.entries).filter(|_| !sitting.entries.is_empty());
    html! {
        h2 { "How it was examined" }
        (facts(&set_up(paper, sitting.entries)))
        h2 { "What was examined" }
        @match &examined {
            None => p { "Not known: there is no log of a scan (an answer sheet alone, or a recorded exam), or the plate has no weld." },
            Some(examined) => {
                p { "Of weld and heat-affected zone, as far as the procedure’s beams can reach them (computed from straight rays). Poses that were slid over faster than allowed or turned away from the weld do not count." }
                (coverage(paper, examined))
            }
        }
        h2 { "What was found" }
        @if sitting.sheet.no_recordable_indication { p { "Stated: no recordable indication." } }
        (examiner::answers(sitting.sheet))
        @if !sitting.sheet.calls.is_empty() {
            (drawings(&debrief::drawings(paper, sitting.sheet, None)))
            (shots(paper, sitting))
            h2 { "Findings under the acceptance rule" }
            p { (paper.scheme.acceptance.words()) }
            (findings(paper, &sitting.sheet.calls))
        }
        h2 { "What this report does not say" }
        ul {
            li { "Whether the calls are right: nothing here was compared with the truth of the plate." }
            li { "Anything of places not examined. No call there is no statement that nothing is there." }
            li { "Anything of flaws whose echoes stay below the recording level, or that no beam of the procedure meets." }
        }
    }
}

fn set_up(paper: &Paper, entries: &[Entry]) -> Vec<(&'static str, String)> {
    let procedure = &paper.procedure;
    let prescribed = SetUp::of(procedure);
    let changes: Vec<&SetUp> = entries
        .iter()
        .filter_map(|Entry(_, event)| if let Event::SetUp(next) = event { Some(&**next) } else { None })
        .collect();
    let used = changes.last().copied().unwrap_or(&prescribed);
    let (probe, sector) = (&used.probe, &used.sector);
    let focus = match (sector.focus_path_mm, sector.focus_depth_mm) {
        (Some(path), _) => format!("focused at {} of sound path", words::mm(path)),
        (None, Some(depth)) => format!("focused at {} of depth", words::mm(depth)),
        (None, None) => "unfocused".to_owned(),
    };
    let any = |wanted: fn(&Event) -> bool| entries.iter().any(|Entry(_, event)| wanted(event));
    let calibration = match (any(|event| matches!(event, Event::Calibrated(_))), procedure.bench.calibrated) {
        (true, _) => "made in this session",
        (false, true) => "none made: the bench was handed over calibrated",
        (false, false) => {
            "none made, though the bench was handed over uncalibrated: places and heights may be off"
        }
    };
    let strokes = entries.iter().filter(|Entry(_, event)| matches!(event, Event::Couplant(_))).count();
    let couplant = match procedure.bench.always_wet {
        true => "always wet".to_owned(),
        false => format!("laid in {}", words::count(strokes, "stroke")),
    };
    vec![
        (
            "Probe",
            format!(
                "{}: {:.1} MHz, {} elements at {:.2} mm, wedge {}",
                probe.name,
                probe.frequency_mhz,
                probe.elements,
                probe.pitch_mm,
                words::degrees(probe.wedge_angle_deg)
            ),
        ),
        (
            "Beams",
            match &sector.linear {
                Some(linear) => format!(
                    "linear scan at {}: {} elements from element {} on to element {}, {} on from beam to beam, {focus}",
                    words::degrees(sector.from_deg),
                    sector.active_elements,
                    sector.first_element,
                    linear.last_element,
                    linear.step_elements
                ),
                None => format!(
                    "{} to {} in steps of {:.1}°, {} elements from element {}, {focus}",
                    words::degrees(sector.from_deg),
                    words::degrees(sector.to_deg),
                    sector.step_deg,
                    sector.active_elements,
                    sector.first_element
                ),
            },
        ),
        (
            "Set-up",
            match changes.len() {
                0 => "as the procedure prescribes".to_owned(),
                count => format!("changed {}; the last is given here", words::count(count, "time")),
            },
        ),
        ("Longest sound path", words::mm(used.range_mm)),
        (
            "Sensitivity",
            format!(
                "3 mm side-drilled hole at 80 % with {:.1} dB; scanning {:.1} dB more; recording from {} to the reference",
                procedure.reference_gain_db,
                procedure.scanning_gain_db,
                words::db(procedure.recording_level_db)
            ),
        ),
        ("Gain used", gain(paper, entries)),
        ("Asked for", sides(procedure.sides.iter().map(|&side| (Face::Upper, side)).collect())),
        ("Scanned from", sides(stood(entries))),
        ("Led", led(entries)),
        ("Calibration", calibration.to_owned()),
        ("Couplant", couplant),
        ("Time allowed", words::count(procedure.time_minutes as usize, "minute")),
    ]
}

fn led(entries: &[Entry]) -> String {
    match entries.is_empty() {
        true => "not known".to_owned(),
        false => Guide::of(entries).words().map_or_else(|| "by hand".to_owned(), |led| led.to_string()),
    }
}

fn gain(paper: &Paper, entries: &[Entry]) -> String {
    let gains = || {
        entries.iter().filter_map(
            |Entry(_, event)| if let Event::Gain { gain_db } = event { Some(*gain_db) } else { None },
        )
    };
    let first = paper.procedure.scanning_level_db();
    let apart = |gain_db: f64| {
        let reference_db = paper.procedure.reference_gain_db;
        format!("reference {}", words::db(gain_db - reference_db))
    };
    let (low, high) = gains().fold((first, first), |(low, high), gain| (low.min(gain), high.max(gain)));
    match entries.is_empty() {
        true => "not known".to_owned(),
        false if low < high => format!("{low:.1} to {high:.1} dB ({} to {})", apart(low), apart(high)),
        false => format!("{low:.1} dB ({})", apart(low)),
    }
}

/// Where the probe stood, each face and side once.
fn stood(entries: &[Entry]) -> Vec<(Face, Side)> {
    let mut found: Vec<(Face, Side)> = Vec::new();
    for Entry(_, event) in entries {
        if let Event::Pose(pose) = event
            && !found.contains(&(pose.face, pose.side))
        {
            found.push((pose.face, pose.side));
        }
    }
    found
}

fn sides(places: Vec<(Face, Side)>) -> String {
    let name = |(face, side): (Face, Side)| match face {
        Face::Upper => format!("side {side:?}"),
        Face::Lower => format!("side {side:?} of the lower face"),
    };
    let names: Vec<String> = places.into_iter().map(name).collect();
    if names.is_empty() { "not known".to_owned() } else { words::list(&names) }
}

fn coverage(paper: &Paper, examined: &Examined) -> Markup {
    let enough = paper.scheme.application.full_points_from_percent;
    let places = |found: Vec<[f64; 2]>| match found.is_empty() {
        true => "nowhere".to_owned(),
        false => words::list(&found.into_iter().map(words::stretch_mm).collect::<Vec<_>>()),
    };
    let rows: Vec<Vec<String>> = examined
        .sides()
        .iter()
        .map(|side: &SideExamined| {
            let lacking = side.along_percent.iter().map(|&percent| f64::from(percent) < enough.floor());
            vec![
                format!("Side {:?}", side.side),
                words::percent(side.met_percent),
                words::percent(side.at_level_percent),
                places(stretches(lacking, paper.plate.length_mm)),
                places(examined.dry_mm(side.side)),
            ]
        })
        .collect();
    let lacking = format!("Along the tape, less than {} at scanning gain", words::percent(enough));
    table(&["From", "Met by beams", "At scanning gain or above", &lacking, "Without contact"], &rows)
}

fn findings(paper: &Paper, calls: &[Call]) -> Markup {
    let thickness = paper.plate.thickness_mm;
    let standard =
        paper.scheme.acceptance.rule == Rule::Yard && acceptance::THICKNESS_MM.contains(&thickness);
    let rows: Vec<Vec<String>> = (1..)
        .zip(calls)
        .map(|(number, call): (u32, _)| {
            let (by_rule, why) = verdict::of(paper, call);
            let called = call.decision.map_or("nothing decided", Decision::words);
            let agree = match (by_rule, call.decision) {
                (Some(rule), Some(own)) if rule != own => " – differs from the rule",
                _ => "",
            };
            let mut row = vec![
                number.to_string(),
                format!("{}: {why}", words::capital(by_rule.map_or("cannot be said", Decision::words))),
                format!("{}{agree}", words::capital(called)),
            ];
            if standard {
                row.push(by_echo(thickness, call));
            }
            row
        })
        .collect();
    let mut heads = vec!["Call", "By the rule", "Decided"];
    if standard {
        heads.push("For comparison: ISO 11666:2018, acceptance level 2, by the echo");
    }
    html! {
        (table(&heads, &rows))
        @if standard { p.small { "The standard’s levels for plates of 8 mm to less than 15 mm, as a public one-page summary gives them; real work follows the standard itself." } }
    }
}

/// What the standard's level for single echoes makes of a call.
fn by_echo(thickness_mm: f64, call: &Call) -> String {
    match verdict::known(call).map(|known| acceptance::by_echo(thickness_mm, &known)) {
        Some((Some(decision), why)) => format!("{}: {why}", words::capital(decision.words())),
        _ => "not known".to_owned(),
    }
}
