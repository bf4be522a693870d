//! The engineer's report: what was examined and how, what was not, and every finding under the acceptance rule.

use instrument::pose::{Face, Side};
use instrument::set_up::SetUp;
use maud::{Markup, html};

use super::{
    Facts, Sitting, counted, decision, drawings, examiner, heading, items, minutes, paragraph, shots,
    stretch, table, verdict,
};
use crate::acceptance::{self, Rule};
use crate::debrief;
use crate::event::Event;
use crate::examined::{Examined, SideExamined, stretches};
use crate::guide::Guide;
use crate::log::Entry;
use crate::paper::Paper;
use crate::said::{Language, Said, said};
use crate::session_kind::SessionKind;
use crate::sheet::Call;
use crate::words;

pub(super) fn body(language: &Language, paper: &Paper, sitting: &Sitting) -> Markup {
    let examined = Examined::of(paper, sitting.entries).filter(|_| !sitting.entries.is_empty());
    html! {
        (heading(language, "said.head.how"))
        (set_up(language, paper, sitting).table())
        (heading(language, "said.head.examined"))
        @match &examined {
            None => (paragraph(language, said!("said.coverage.none"))),
            Some(examined) => {
                (paragraph(language, said!("said.coverage")))
                (coverage(language, paper, examined))
            }
        }
        (heading(language, "said.head.found"))
        (examiner::answers(language, sitting.sheet))
        @if !sitting.sheet.calls.is_empty() {
            (drawings(language, &debrief::drawings(language, paper, sitting.sheet, None)))
            (shots(language, paper, sitting))
            (heading(language, "said.head.findings"))
            (paragraph(language, paper.scheme.acceptance.words()))
            (findings(language, paper, &sitting.sheet.calls))
        }
        (heading(language, "said.head.silent"))
        (items(language, vec![said!("said.silent.truth"), said!("said.silent.places"), said!("said.silent.below")]))
    }
}

fn set_up<'a>(language: &'a Language, paper: &Paper, sitting: &Sitting) -> Facts<'a> {
    let entries = sitting.entries;
    let procedure = &paper.procedure;
    let prescribed = SetUp::of(procedure);
    let changes: Vec<&SetUp> = entries
        .iter()
        .filter_map(|Entry(_, event)| if let Event::SetUp(next) = event { Some(&**next) } else { None })
        .collect();
    let used = changes.last().copied().unwrap_or(&prescribed);
    let any = |wanted: fn(&Event) -> bool| entries.iter().any(|Entry(_, event)| wanted(event));
    // Only who held the probe can have calibrated it, or wetted the plate.
    let live = sitting.kind == SessionKind::Live;
    let calibration = match (any(|event| matches!(event, Event::Calibrated(_))), procedure.bench.calibrated) {
        _ if !live => said!("said.unknown"),
        (true, _) => said!("said.how.calibrated"),
        (false, true) => said!("said.how.handed"),
        (false, false) => said!("said.how.uncalibrated"),
    };
    let strokes = entries.iter().filter(|Entry(_, event)| matches!(event, Event::Couplant(_))).count() as u32;
    let couplant = match procedure.bench.always_wet {
        _ if !live => said!("said.unknown"),
        true => said!("said.how.wet"),
        false => counted("said.how.strokes.one", "said.how.strokes.more", strokes),
    };
    let [probe, beams] = beams(used);
    let asked = procedure.sides.iter().map(|&side| (Face::Upper, side)).collect();
    let mut facts = Facts::new(language);
    facts.row("said.fact.probe", probe);
    facts.row("said.fact.beams", beams);
    facts.row(
        "said.fact.set_up",
        match changes.len() {
            0 => said!("said.how.prescribed"),
            count => counted("said.how.changed.one", "said.how.changed.more", count as u32),
        },
    );
    facts.row("said.fact.path", said!("said.length", value_mm = used.range_mm));
    facts.row(
        "said.fact.sensitivity",
        said!(
            "said.how.sensitivity",
            reference_decibels = procedure.reference_gain_db,
            scanning_decibels = procedure.scanning_gain_db,
            level_db = procedure.recording_level_db
        ),
    );
    facts.row("said.fact.gain", gain(paper, entries));
    facts.row("said.fact.asked", sides(asked));
    facts.row("said.fact.from", sides(stood(entries)));
    facts.row("said.fact.led", led(entries));
    facts.row("said.fact.calibration", calibration);
    facts.row("said.fact.couplant", couplant);
    facts.row("said.fact.time", minutes(procedure.time_minutes));
    facts
}

/// Probe and beams of a set-up.
fn beams(used: &SetUp) -> [Said; 2] {
    let (probe, sector) = (&used.probe, &used.sector);
    let focus = match (sector.focus_path_mm, sector.focus_depth_mm) {
        (Some(path), _) => said!("said.how.focus_path", focus_mm = path),
        (None, Some(depth)) => said!("said.how.focus_depth", focus_mm = depth),
        (None, None) => said!("said.how.unfocused"),
    };
    let (active, first) = (sector.active_elements, sector.first_element);
    [
        said!(
            "said.how.probe",
            name = &*probe.name,
            frequency_mhz = probe.frequency_mhz,
            elements = probe.elements,
            pitch_mm = probe.pitch_mm,
            wedge_deg = probe.wedge_angle_deg
        ),
        match &sector.linear {
            Some(linear) => said!(
                "said.how.linear",
                angle_deg = sector.from_deg,
                active = active,
                first = first,
                last = linear.last_element,
                step = linear.step_elements,
                focus = focus
            ),
            None => said!(
                "said.how.sector",
                from_deg = sector.from_deg,
                to_deg = sector.to_deg,
                step_deg = sector.step_deg,
                active = active,
                first = first,
                focus = focus
            ),
        },
    ]
}

fn led(entries: &[Entry]) -> Said {
    match entries.is_empty() {
        true => said!("said.unknown"),
        false => Guide::of(entries).words().unwrap_or_else(|| said!("said.how.by_hand")),
    }
}

fn gain(paper: &Paper, entries: &[Entry]) -> Said {
    let gains = || {
        entries.iter().filter_map(
            |Entry(_, event)| if let Event::Gain { gain_db } = event { Some(*gain_db) } else { None },
        )
    };
    let first = paper.procedure.scanning_level_db();
    let reference_db = paper.procedure.reference_gain_db;
    let (low, high) = gains().fold((first, first), |(low, high), gain| (low.min(gain), high.max(gain)));
    match entries.is_empty() {
        true => said!("said.unknown"),
        false if low < high => said!(
            "said.how.gains",
            low_decibels = low,
            high_decibels = high,
            low_db = low - reference_db,
            high_db = high - reference_db
        ),
        false => said!("said.how.gain", low_decibels = low, low_db = low - reference_db),
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

fn sides(places: Vec<(Face, Side)>) -> Said {
    let name = |(face, side): (Face, Side)| match face {
        Face::Upper => said!("said.side", side = side),
        Face::Lower => said!("said.side.lower", side = side),
    };
    match places.is_empty() {
        true => said!("said.unknown"),
        false => said!("said.list", all = places.into_iter().map(name).collect::<Vec<_>>()),
    }
}

fn coverage(language: &Language, paper: &Paper, examined: &Examined) -> Markup {
    let enough = paper.scheme.application.full_points_from_percent;
    let places = |found: Vec<[f64; 2]>| match found.is_empty() {
        true => said!("said.coverage.nowhere"),
        false => said!("said.list", all = found.into_iter().map(stretch).collect::<Vec<_>>()),
    };
    let rows: Vec<Vec<String>> = examined
        .sides()
        .iter()
        .map(|side: &SideExamined| {
            let lacking = side.along_percent.iter().map(|&percent| f64::from(percent) < enough.floor());
            vec![
                language.tell(said!("said.side.from", side = side.side)),
                language.value("mark", side.met_percent),
                language.value("mark", side.at_level_percent),
                language.tell(places(stretches(lacking, paper.plate.length_mm))),
                language.tell(places(examined.dry_mm(side.side))),
            ]
        })
        .collect();
    let heads = [
        said!("said.column.from"),
        said!("said.column.met"),
        said!("said.column.level"),
        said!("said.column.lacking", enough_mark = enough),
        said!("said.column.dry"),
    ]
    .map(|head| language.tell(head));
    table(&heads.each_ref().map(String::as_str), &rows)
}

fn findings(language: &Language, paper: &Paper, calls: &[Call]) -> Markup {
    let thickness = paper.plate.thickness_mm;
    let standard =
        paper.scheme.acceptance.rule == Rule::Yard && acceptance::THICKNESS_MM.contains(&thickness);
    let capital = |key| words::capital(language.text(key));
    let rows: Vec<Vec<String>> = (1..)
        .zip(calls)
        .map(|(number, call): (u32, _)| {
            let (by_rule, why) = verdict::of(paper, call);
            let decided = capital(call.decision.map_or("said.finding.undecided", decision));
            let decided = match (by_rule, call.decision) {
                (Some(rule), Some(own)) if rule != own => {
                    language.tell(said!("said.finding.differs", decided = decided))
                }
                _ => decided,
            };
            let mut row = vec![
                number.to_string(),
                format!("{}: {}", capital(by_rule.map_or("said.finding.none", decision)), language.say(&why)),
                decided,
            ];
            if standard {
                row.push(by_echo(language, thickness, call));
            }
            row
        })
        .collect();
    let mut heads = vec!["said.column.call", "said.column.rule", "said.column.decided"];
    if standard {
        heads.push("said.column.standard");
    }
    let heads: Vec<&str> = heads.into_iter().map(|key| language.text(key)).collect();
    html! {
        (table(&heads, &rows))
        @if standard { p.small { (language.text("said.finding.standard")) } }
    }
}

/// What the standard's level for single echoes makes of a call.
fn by_echo(language: &Language, thickness_mm: f64, call: &Call) -> String {
    match verdict::known(call).map(|known| acceptance::by_echo(thickness_mm, &known)) {
        Some((Some(made), why)) => {
            format!("{}: {}", words::capital(language.text(decision(made))), language.say(&why))
        }
        _ => language.text("said.unknown").to_owned(),
    }
}
