//! The application of the method, marked from the session's log: what was examined, how loud, in what time.

use super::{Part, PartRow};
use crate::event::Event;
use crate::examined::Examined;
use crate::guide::Guide;
use crate::log::Entry;
use crate::paper::Paper;
use crate::said::{Said, said};

/// The rows.
pub(super) fn rows(paper: &Paper, entries: &[Entry], examined: &Examined) -> Vec<PartRow> {
    let sides = examined.sides();
    let mean = |of: fn(&crate::examined::SideExamined) -> f64| {
        sides.iter().map(of).sum::<f64>() / sides.len().max(1) as f64
    };
    let (met, at_level) = (mean(|side| side.met_percent), mean(|side| side.at_level_percent));
    let scheme = &paper.scheme.application;
    let [none, full] = [scheme.no_points_below_percent, scheme.full_points_from_percent];
    let examined = ((met - none) / (full - none).max(1e-9)).clamp(0.0, 1.0);
    let of_side = |side: &crate::examined::SideExamined| {
        said!("said.examined.side", met_mark = side.met_percent, side = side.side)
    };
    let of_sides: Vec<Said> = sides.iter().map(of_side).collect();
    let met_words = said!("said.examined", sides = of_sides, mean_mark = met, full_mark = full);
    // Of what was never met nothing can be loud enough, and to hand in at once is no merit: both count with what was met.
    let loud = if met > 0.0 { (at_level / met).min(1.0) } else { 0.0 };
    let examined_words = match Guide::of(entries).words() {
        Some(led) => said!("said.examined.led", examined = met_words, led = led),
        None => met_words,
    };
    let (in_time, time_words) = time(paper, entries);
    vec![
        PartRow::of_log(
            Part::Examined,
            examined,
            scheme.examined_points,
            "scheme.application.examined_points",
            examined_words,
        ),
        PartRow::of_log(
            Part::ScanningGain,
            examined * loud,
            scheme.scanning_gain_points,
            "scheme.application.scanning_gain_points",
            said!("said.loud", loud_mark = 100.0 * loud),
        ),
        PartRow::of_log(
            Part::Time,
            examined * in_time,
            scheme.time_points,
            "scheme.application.time_points",
            time_words,
        ),
    ]
}

/// 1 within the time allowed, falling to 0 at half as much again; and the sentence.
fn time(paper: &Paper, entries: &[Entry]) -> (f64, Said) {
    let used_ms =
        entries.iter().find(|entry| entry.1 == Event::HandIn).or(entries.last()).map_or(0, |end| end.0);
    let allowed_min = f64::from(paper.procedure.time_minutes);
    let used_min = used_ms as f64 / 60_000.0;
    let share = (1.0 - 2.0 * (used_min / allowed_min - 1.0)).clamp(0.0, 1.0);
    let up = |minutes: f64| libm::ceil(minutes * 10.0) / 10.0;
    (share, said!("said.minutes", used_points = up(used_min), allowed_points = up(allowed_min)))
}
