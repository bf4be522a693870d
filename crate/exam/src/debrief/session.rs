//! What a session had before it of a flaw, and why a flaw was missed: from the log, in sentences.

use crate::examined::{Examined, Met};
use crate::findable::BestEcho;
use crate::marking::FlawRow;
use crate::paper::Paper;
use crate::said::{Said, Values, said};
use crate::sights::Sight;

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
) -> Vec<Said> {
    let mut said: Vec<Said> = best.map(possible).into_iter().collect();
    match (row.call.is_some(), sight) {
        (true, Some(sight)) => said.push(said!("said.had", seen = seen(sight))),
        (true, None) => said.push(said!("said.never")),
        (false, sight) => said.push(missed(paper, row, examined, sight)),
    }
    if let (Some(sight), Some(best)) = (sight, best)
        && best.amplitude_db > sight.amplitude_db + SAME_DB
    {
        let apart = best.amplitude_db - sight.amplitude_db;
        said.push(said!("said.lower", apart_decibels = apart));
    }
    said
}

fn possible(best: &BestEcho) -> Said {
    said!(
        "said.best",
        level_db = best.amplitude_db,
        side = best.side,
        angle_deg = best.angle_deg,
        leg = u32::from(best.leg),
        offset_mm = best.index_offset_mm,
        y_mm = best.y_mm
    )
}

fn seen(sight: &Sight) -> Said {
    let mut values = Values::default();
    values.put("level_db", sight.amplitude_db);
    values.put("t_ms", sight.t_ms as f64);
    values.put("side", sight.side);
    values.put("angle_deg", sight.angle_deg);
    values.put("leg", u32::from(sight.leg));
    values.put("offset_mm", sight.index_offset_mm);
    values.put("y_mm", sight.y_mm);
    if sight.percent > 100.0 {
        return Said::new("said.seen.beyond", values.0);
    }
    values.put("percent", libm::round(sight.percent));
    Said::new("said.seen", values.0)
}

fn missed(paper: &Paper, row: &FlawRow, examined: Option<&Examined>, sight: Option<&Sight>) -> Said {
    let met = examined.map_or(Met::Never, |examined| {
        let of = |&side: &_| examined.met(&row.extent, side);
        paper.procedure.sides.iter().map(of).max().unwrap_or(Met::Never)
    });
    let Some(sight) = sight else {
        return match met {
            Met::Never => said!("said.miss.unmet"),
            Met::Dry => said!("said.miss.dry"),
            Met::Quietly | Met::AtLevel => said!("said.miss.silent"),
        };
    };
    if sight.percent < READABLE_PERCENT {
        return said!("said.miss.low", seen = seen(sight));
    }
    let level = paper.procedure.recording_level_db;
    if sight.amplitude_db < level {
        return said!("said.miss.below", seen = seen(sight), limit_db = level);
    }
    said!("said.miss.passed", seen = seen(sight))
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
        let reason = |sight: Option<Sight>| {
            sentences(&paper, &marks.flaws[0], None, sight.as_ref(), None).remove(0).to_string()
        };
        assert_eq!(reason(None), "Missed because no beam of yours ever met it.");
        assert_eq!(
            reason(Some(sight(-9.0, 6.0))),
            "Missed because it stayed low on the screen: at most −9.0 dB (6 % of the screen) after 3:12, from side A by \
             the 58° beam in leg 2, at index offset 30.0 mm, 60.0 mm along. More gain would have shown it."
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
