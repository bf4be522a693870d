//! The knowledge of the apparatus, marked from the session's log where the bench does not come calibrated: calibrated before
//! the scan, checked at the end, begun at scanning gain.

use instrument::calibration::{Check, MOST_DB, MOST_RANGE_MM, MOST_RANGE_PERCENT};
use instrument::pose::Pose;

use super::{Part, PartRow};
use crate::event::Event;
use crate::examined::{Examined, Stretch};
use crate::log::Entry;
use crate::paper::Paper;
use crate::said::{Said, said};

/// Part of the way along the weld that may lie outside a calibration or after the last check with full points: a hand strays.
const LEAST_SHARE: f64 = 0.95;
/// Gains closer than this are the same, dB.
const SAME_GAIN_DB: f64 = 0.05;
/// Way along the weld that is more than setting the probe down, mm.
const SCAN_MM: f64 = 10.0;

/// What the log tells of the apparatus.
#[derive(Default)]
struct Told {
    /// Way scanned along the weld, mm: all of it, with a whole calibration, and up to the last good check.
    way_mm: f64,
    calibrated_mm: f64,
    checked_mm: f64,
    /// Way since the last check, mm.
    since_mm: f64,
    /// The last check and when, ms.
    check: Option<(u64, Check)>,
    /// Gain when the scan began, dB.
    first_gain_db: Option<f64>,
}

/// The rows; none where the bench comes calibrated.
pub(super) fn rows(paper: &Paper, entries: &[Entry], examined: &Examined) -> Vec<PartRow> {
    if paper.procedure.bench.calibrated {
        return Vec::new();
    }
    let told = follow(paper, entries);
    let scheme = &paper.scheme.apparatus;
    let again = examined.to_scan_again();
    let share = |part: f64| if told.way_mm > 0.0 { (part / told.way_mm / LEAST_SHARE).min(1.0) } else { 0.0 };
    let wanted_db = paper.procedure.scanning_level_db();
    let loud = told.first_gain_db.is_some_and(|gain_db| gain_db + SAME_GAIN_DB >= wanted_db);
    let checked = if again.is_empty() { share(told.checked_mm) } else { 0.0 };
    vec![
        PartRow::of_log(
            Part::Calibrated,
            share(told.calibrated_mm),
            scheme.calibrated_points,
            "scheme.apparatus.calibrated_points",
            calibrated(&told),
        ),
        PartRow::of_log(
            Part::Checked,
            checked,
            scheme.checked_points,
            "scheme.apparatus.checked_points",
            checks(&told, &again),
        ),
        PartRow::of_log(
            Part::GainSet,
            if loud { 1.0 } else { 0.0 },
            scheme.gain_points,
            "scheme.apparatus.gain_points",
            match told.first_gain_db {
                None => said!("said.not_scanned"),
                Some(gain_db) => {
                    said!("said.gain_begun", gain_decibels = gain_db, wanted_decibels = wanted_db)
                }
            },
        ),
    ]
}

fn follow(paper: &Paper, entries: &[Entry]) -> Told {
    let mut told = Told::default();
    let mut gain_db = paper.procedure.scanning_level_db();
    let mut before: Option<Pose> = None;
    let mut whole = false;
    for Entry(t_ms, event) in entries {
        match event {
            Event::Gain { gain_db: now } => gain_db = *now,
            Event::Calibrated(made) => whole = made.is_complete(),
            // Beams and gain hold for no other set-up.
            Event::SetUp(set_up) => {
                let last = entries.iter().filter(|entry| entry.0 <= *t_ms).rev();
                let made = last.filter_map(|entry| match &entry.1 {
                    Event::Calibrated(made) => Some(made),
                    _ => None,
                });
                whole = made.take(1).any(|made| made.carried_to(set_up).is_complete());
            }
            Event::Checked(check) => {
                if check.is_good() {
                    told.checked_mm = told.way_mm;
                }
                told.since_mm = 0.0;
                told.check = Some((*t_ms, *check));
            }
            Event::Pose(pose) => {
                let same = before.filter(|last| last.side == pose.side && last.face == pose.face);
                let way_mm = same.map_or(0.0, |last| (pose.y_mm - last.y_mm).abs());
                told.way_mm += way_mm;
                told.since_mm += way_mm;
                told.calibrated_mm += if whole { way_mm } else { 0.0 };
                if told.way_mm > SCAN_MM && told.first_gain_db.is_none() {
                    told.first_gain_db = Some(gain_db);
                }
                before = Some(*pose);
            }
            _ => {}
        }
    }
    told
}

fn calibrated(told: &Told) -> Said {
    if told.way_mm <= 0.0 {
        return said!("said.not_scanned");
    }
    said!("said.calibrated", way_mark = libm::floor(100.0 * told.calibrated_mm / told.way_mm))
}

fn checks(told: &Told, again: &[Stretch]) -> Said {
    let Some((t_ms, check)) = &told.check else {
        return said!("said.checked.never");
    };
    let (height_db, path_mm) = (check.sensitivity_db, check.range_mm);
    let found = said!("said.checked", t_ms = *t_ms as f64, height_db = height_db, path_mm = path_mm);
    if !again.is_empty() {
        let place = |&(side, [from, to]): &Stretch| {
            said!("said.checked.place", from_mm = from, to_mm = to, side = side)
        };
        return said!(
            "said.checked.again",
            check = found,
            most_decibels = MOST_DB,
            most_mm = MOST_RANGE_MM,
            most_mark = MOST_RANGE_PERCENT,
            places = again.iter().map(place).collect::<Vec<Said>>()
        );
    }
    if told.since_mm > (1.0 - LEAST_SHARE) * told.way_mm {
        return said!("said.checked.since", check = found, way_mm = told.since_mm);
    }
    said!("said.checked.good", check = found)
}

#[cfg(test)]
mod tests;
