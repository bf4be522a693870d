//! What a session had before it of a flaw, and why a flaw was missed: from the log, in sentences.

use crate::examined::{Examined, Met};
use crate::findable::BestEcho;
use crate::marking::FlawRow;
use crate::paper::Paper;
use crate::sights::Sight;
use crate::words;

/// Lower on the screen an echo is easily passed over, %. Common practice, no source.
const READABLE_PERCENT: f64 = 10.0;

/// Closer to the best echo nothing was lost, dB. Common practice, no source: an operator repeats a height within this.
const SAME_DB: f64 = 2.0;

/// The sentences for a flaw: what was possible, what was seen, and for a miss why.
pub(super) fn sentences(
    paper: &Paper,
    row: &FlawRow,
    examined: Option<&Examined>,
    sight: Option<&Sight>,
    best: Option<&BestEcho>,
) -> Vec<String> {
    let mut said: Vec<String> = best.map(possible).into_iter().collect();
    match (row.call.is_some(), sight) {
        (true, Some(sight)) => said.push(format!("At its highest you had it at {}.", seen(sight))),
        (true, None) => said.push("This session never had its echo on the screen.".to_owned()),
        (false, sight) => said.push(missed(paper, row, examined, sight)),
    }
    if let (Some(sight), Some(best)) = (sight, best)
        && best.amplitude_db > sight.amplitude_db + SAME_DB
    {
        said.push(format!(
            "That is {} below the best.",
            words::db_amount(best.amplitude_db - sight.amplitude_db)
        ));
    }
    said
}

fn possible(best: &BestEcho) -> String {
    format!(
        "Best with this procedure: {} from side {:?} by the {} beam in leg {}, with the wedge front {} from the \
         centreline, {} along.",
        words::db(best.amplitude_db),
        best.side,
        words::degrees(best.angle_deg),
        best.leg,
        words::mm(best.index_offset_mm),
        words::mm(best.y_mm)
    )
}

fn seen(sight: &Sight) -> String {
    format!(
        "{} ({}) after {}, from side {:?} by the {} beam in leg {}",
        words::db(sight.amplitude_db),
        match sight.percent > 100.0 {
            true => "beyond the top of the screen".to_owned(),
            false => format!("{} of the screen", words::percent(libm::round(sight.percent))),
        },
        words::clock(sight.t_ms),
        sight.side,
        words::degrees(sight.angle_deg),
        sight.leg
    )
}

fn missed(paper: &Paper, row: &FlawRow, examined: Option<&Examined>, sight: Option<&Sight>) -> String {
    let met = examined.map_or(Met::Never, |examined| {
        let of = |&side: &_| examined.met(&row.extent, side);
        paper.procedure.sides.iter().map(of).max().unwrap_or(Met::Never)
    });
    let Some(sight) = sight else {
        return match met {
            Met::Never => "Missed because no beam of yours ever met it.".to_owned(),
            Met::Dry => {
                "Missed because the probe had no contact wherever a beam would have met it: keep it on the plate, on \
                 fresh couplant."
                    .to_owned()
            }
            Met::Quietly | Met::AtLevel => {
                "Missed because it gave no echo from where you stood, though beams met it.".to_owned()
            }
        };
    };
    let seen = seen(sight);
    if sight.percent < READABLE_PERCENT {
        return format!(
            "Missed because it stayed low on the screen: at most {seen}. More gain would have shown it."
        );
    }
    let level = paper.procedure.recording_level_db;
    if sight.amplitude_db < level {
        return format!(
            "Missed because what you had of it stayed below the recording level of {}: at most {seen}.",
            words::db(level)
        );
    }
    format!("You had it before you and did not call it: {seen}, above the recording level.")
}

#[cfg(test)]
mod tests {
    use instrument::pose::Side;
    use specimen::joint::Preparation;

    use super::*;
    use crate::marking;
    use crate::sheet::AnswerSheet;

    fn sight(amplitude_db: f64, percent: f64) -> Sight {
        Sight {
            flaw: 0,
            t_ms: 192_000,
            side: Side::A,
            index_offset_mm: 30.0,
            y_mm: 60.0,
            angle_deg: 58.0,
            leg: 2,
            amplitude_db,
            percent,
        }
    }

    #[test]
    fn the_reason_of_a_miss_follows_from_what_was_seen() {
        let mut paper = Paper::generate(Preparation::SingleV, 2, 4711);
        paper.procedure.recording_level_db = -14.0;
        let marks = marking::mark(&paper, &AnswerSheet::default());
        let reason =
            |sight: Option<Sight>| sentences(&paper, &marks.flaws[0], None, sight.as_ref(), None).remove(0);
        assert_eq!(reason(None), "Missed because no beam of yours ever met it.");
        assert_eq!(
            reason(Some(sight(-9.0, 6.0))),
            "Missed because it stayed low on the screen: at most −9.0 dB (6 % of the screen) after 3:12, from side A by \
             the 58° beam in leg 2. More gain would have shown it."
        );
        assert!(
            reason(Some(sight(-15.0, 28.0))).starts_with("Missed because what you had of it stayed below")
        );
        assert!(
            reason(Some(sight(-3.0, 110.0)))
                .starts_with("You had it before you and did not call it: −3.0 dB")
        );
    }
}
