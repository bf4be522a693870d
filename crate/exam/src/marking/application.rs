//! The application of the method, marked from the session's log: what was examined, how loud, in what time.

use super::{Part, PartRow};
use crate::event::Event;
use crate::examined::Examined;
use crate::guide::Guide;
use crate::log::Entry;
use crate::paper::Paper;
use crate::words;

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
    let of_sides: Vec<String> = (sides.iter())
        .map(|side| format!("{} from side {:?}", words::percent(side.met_percent), side.side))
        .collect();
    // Of what was never met nothing can be loud enough, and to hand in at once is no merit: both count with what was met.
    let loud = if met > 0.0 { (at_level / met).min(1.0) } else { 0.0 };
    let led = Guide::of(entries).words().map_or_else(String::new, |words| format!(" {words}."));
    let (in_time, time_words) = time(paper, entries);
    vec![
        PartRow::of_log(
            Part::Examined,
            examined,
            scheme.examined_points,
            "scheme.application.examined_points",
            format!(
                "Sound met {} of what the procedure reaches of weld and heat-affected zone, {} on average; full points from {} on.{led}",
                words::list(&of_sides),
                words::percent(met),
                words::percent(full)
            ),
        ),
        PartRow::of_log(
            Part::ScanningGain,
            examined * loud,
            scheme.scanning_gain_points,
            "scheme.application.scanning_gain_points",
            format!("Of that, {} at scanning gain or above.", words::percent(100.0 * loud)),
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
fn time(paper: &Paper, entries: &[Entry]) -> (f64, String) {
    let used_ms =
        entries.iter().find(|entry| entry.1 == Event::HandIn).or(entries.last()).map_or(0, |end| end.0);
    let allowed_min = f64::from(paper.procedure.time_minutes);
    let used_min = used_ms as f64 / 60_000.0;
    let share = (1.0 - 2.0 * (used_min / allowed_min - 1.0)).clamp(0.0, 1.0);
    let said = |minutes: f64| words::points(libm::ceil(minutes * 10.0) / 10.0);
    (share, format!("{} of {} minutes were used.", said(used_min), said(allowed_min)))
}
