//! Marking that holds nobody to the impossible: a missed flaw that no allowed pose brings up to the recording level is
//! not counted. The page and the command mark by this one way.

use instrument::bench::SetUpError;
use specimen::flaw::Extent;

use crate::examined::Examined;
use crate::findable::{self, BestEcho};
use crate::log::Log;
use crate::marking::{self, Marks};
use crate::paper::Paper;
use crate::scheme::Rule;
use crate::sheet::AnswerSheet;

/// Marks a sheet; a flaw that was missed is scanned first. Only a sheet with misses takes time: that of setting up the
/// instrument, and about a quarter of a second a miss.
///
/// A plate file that names its flaws below the recording level itself is taken at its word. A flaw that was called
/// counts, however quiet it is.
///
/// # Errors
/// A set-up that is impossible.
pub fn mark(paper: &Paper, sheet: &AnswerSheet) -> Result<Marks, SetUpError> {
    if paper.scheme.acceptance.rule != Rule::Yard {
        // Such a rule asks for the echo of every flaw.
        return Ok(knowing(paper, sheet, &findable::best_echoes(paper)?, &marking::extents(&paper.plate)));
    }
    let boxes = marking::extents(&paper.plate);
    let marks = marking::mark_within(paper, sheet, &[], &boxes);
    let missed = in_question(paper, &marks);
    if missed.is_empty() {
        return Ok(marks);
    }
    let echoes = findable::best_echoes_of(paper, &missed)?;
    Ok(excuse(paper, sheet, marks, &echoes, (&[], &boxes)))
}

/// Marks a session: its sheet, and from its log the application of the method.
///
/// # Errors
/// A set-up that is impossible.
pub fn mark_session(paper: &Paper, log: &Log) -> Result<Marks, SetUpError> {
    let sheet = &log.restore().sheet;
    let mut marks = mark(paper, sheet)?;
    marking::add_application(paper, log.entries(), sheet, &mut marks);
    Ok(marks)
}

/// The same where the best echoes of all flaws are known.
pub fn mark_session_knowing(paper: &Paper, log: &Log, echoes: &[BestEcho]) -> Marks {
    let sheet = &log.restore().sheet;
    let mut marks = knowing(paper, sheet, echoes, &marking::extents(&paper.plate));
    marking::add_application(paper, log.entries(), sheet, &mut marks);
    marks
}

/// Marks many sessions of one plate: what hangs on the plate alone is worked out once.
pub struct Marker {
    paper: Paper,
    echoes: Vec<BestEcho>,
    boxes: Vec<Extent>,
    examined: Option<Examined>,
}

impl Marker {
    /// Scans the plate's flaws; takes a second.
    ///
    /// # Errors
    /// A set-up that is impossible.
    pub fn new(paper: &Paper) -> Result<Self, SetUpError> {
        Ok(Self {
            paper: paper.clone(),
            echoes: findable::best_echoes(paper)?,
            boxes: marking::extents(&paper.plate),
            examined: Examined::new(paper).map(Examined::prepared),
        })
    }

    /// The mark of a session, the same to the last bit as [`mark_session`] gives.
    pub fn mark(&self, log: &Log) -> Marks {
        let sheet = &log.restore().sheet;
        let mut marks = self.mark_sheet(sheet);
        if let Some(examined) = &self.examined {
            let examined = examined.clone().follow(log.entries());
            marking::add_examined(&self.paper, log.entries(), &examined, sheet, &mut marks);
        }
        marks
    }

    /// The mark of a sheet alone, the same as [`mark`] gives.
    pub fn mark_sheet(&self, sheet: &AnswerSheet) -> Marks {
        knowing(&self.paper, sheet, &self.echoes, &self.boxes)
    }
}

fn knowing(paper: &Paper, sheet: &AnswerSheet, echoes: &[BestEcho], boxes: &[Extent]) -> Marks {
    // The yard's rule asks for no echo: then the marks are the same whether one is known or not.
    let heard = match paper.scheme.acceptance.rule {
        Rule::Yard => Vec::new(),
        Rule::Iso11666Level2 => highest(paper, echoes),
    };
    let marks = marking::mark_within(paper, sheet, &heard, boxes);
    let missed = in_question(paper, &marks);
    let of_missed: Vec<BestEcho> =
        echoes.iter().filter(|echo| missed.contains(&echo.flaw)).copied().collect();
    excuse(paper, sheet, marks, &of_missed, (&heard, boxes))
}

/// The highest echo of every flaw, dB.
fn highest(paper: &Paper, echoes: &[BestEcho]) -> Vec<Option<f64>> {
    let of_flaw = |flaw: u32| {
        let heard = echoes.iter().filter(|echo| echo.flaw == flaw && echo.sound_path_mm > 0.0);
        heard.map(|echo| echo.amplitude_db).max_by(f64::total_cmp)
    };
    (0..).zip(&paper.plate.flaws).map(|(flaw, _)| of_flaw(flaw)).collect()
}

/// The missed flaws, by their place in the plate file.
fn in_question(paper: &Paper, marks: &Marks) -> Vec<u32> {
    if !paper.scheme.below_recording_level.is_empty() {
        return Vec::new();
    }
    marks.flaws.iter().filter(|row| row.call.is_none()).map(|row| row.index).collect()
}

fn excuse(
    paper: &Paper,
    sheet: &AnswerSheet,
    marks: Marks,
    echoes: &[BestEcho],
    (heard, boxes): (&[Option<f64>], &[Extent]),
) -> Marks {
    let below = findable::out_of_reach(echoes);
    if below.is_empty() {
        return marks;
    }
    let mut told = paper.clone();
    told.scheme.below_recording_level = below;
    // The marks belong to the paper that was sat.
    Marks { paper_digest: marks.paper_digest, ..marking::mark_within(&told, sheet, heard, boxes) }
}

#[cfg(test)]
mod tests {
    use specimen::joint::Preparation;

    use super::*;
    use crate::sheet::Call;

    /// A drawn paper with two flaws and a recording level between their best echoes; first the louder one.
    fn paper_with_a_quiet_flaw() -> (Paper, u32, u32) {
        let mut paper = Paper::generate(Preparation::SingleV, 2, 4711);
        assert_eq!(paper.plate.flaws.len(), 2);
        let echoes = findable::best_echoes(&paper).unwrap();
        let best = |flaw: u32| {
            let of_flaw = echoes.iter().filter(|echo| echo.flaw == flaw);
            of_flaw.map(|echo| echo.amplitude_db).fold(f64::NEG_INFINITY, f64::max)
        };
        let (loud, quiet) = if best(0) > best(1) { (0, 1) } else { (1, 0) };
        assert!(best(loud) - best(quiet) > 1.0, "{echoes:?}");
        paper.procedure.recording_level_db = f64::midpoint(best(loud), best(quiet));
        (paper, loud, quiet)
    }

    fn call(paper: &Paper, flaw: u32) -> Call {
        let extent = paper.plate.flaws[flaw as usize].extent(&paper.plate);
        Call {
            start_mm: Some(extent.along_mm[0]),
            end_mm: Some(extent.along_mm[1]),
            offset_mm: Some(f64::midpoint(extent.across_mm[0], extent.across_mm[1])),
            depth_mm: Some(f64::midpoint(extent.depth_mm[0], extent.depth_mm[1])),
            ..Call::default()
        }
    }

    fn sheet(paper: &Paper, flaws: &[u32]) -> AnswerSheet {
        AnswerSheet { calls: flaws.iter().map(|&flaw| call(paper, flaw)).collect(), ..AnswerSheet::default() }
    }

    fn uncounted(marks: &Marks) -> Vec<u32> {
        marks.flaws.iter().filter(|row| !row.counted).map(|row| row.index).collect()
    }

    #[test]
    fn a_missed_flaw_is_excused_only_below_the_recording_level() {
        let (paper, loud, quiet) = paper_with_a_quiet_flaw();
        let nothing = mark(&paper, &AnswerSheet::default()).unwrap();
        assert_eq!(uncounted(&nothing), [quiet]);
        assert!(!nothing.passed, "the loud flaw was missed");
        assert_eq!(uncounted(&mark(&paper, &sheet(&paper, &[loud])).unwrap()), [quiet]);
        assert_eq!(nothing.paper_digest, paper.digest());
        let audible = Paper {
            procedure: instrument::procedure::Procedure {
                recording_level_db: -60.0,
                ..paper.procedure.clone()
            },
            ..paper
        };
        assert_eq!(uncounted(&mark(&audible, &AnswerSheet::default()).unwrap()), [0_u32; 0]);
    }

    #[test]
    fn a_called_flaw_counts_however_quiet() {
        let (paper, loud, quiet) = paper_with_a_quiet_flaw();
        let both = sheet(&paper, &[loud, quiet]);
        let marks = mark(&paper, &both).unwrap();
        assert_eq!(marks, marking::mark(&paper, &both));
        assert!(marks.flaws.iter().all(|row| row.counted && row.points > 0.0));
    }

    #[test]
    fn the_word_of_the_plate_file_stands() {
        let (mut paper, loud, _) = paper_with_a_quiet_flaw();
        paper.scheme.below_recording_level = vec![loud];
        assert_eq!(uncounted(&mark(&paper, &AnswerSheet::default()).unwrap()), [loud]);
    }

    #[test]
    fn a_rule_by_echoes_is_marked_by_the_echo_of_the_flaw() {
        let (mut paper, loud, quiet) = paper_with_a_quiet_flaw();
        paper.procedure.recording_level_db = -40.0;
        paper.plate.thickness_mm = 14.0;
        paper.scheme.acceptance.rule = Rule::Iso11666Level2;
        let mut sheet = sheet(&paper, &[loud, quiet]);
        for call in &mut sheet.calls {
            call.decision = Some(crate::sheet::Decision::Reject);
        }
        let marks = mark(&paper, &sheet).unwrap();
        let echoes = findable::best_echoes(&paper).unwrap();
        assert_eq!(marks, knowing(&paper, &sheet, &echoes, &marking::extents(&paper.plate)));
        for row in &marks.flaws {
            let heard = highest(&paper, &echoes)[row.index as usize];
            let (right, why) =
                marking::right_decision(&paper, &paper.plate.flaws[row.index as usize], &row.extent, heard);
            assert_eq!((row.decision, right.is_some()), (right, true), "{why}");
            let part = row.parts.iter().find(|part| part.part == marking::Part::Decision).unwrap();
            assert_eq!(part.points > 0.0, right == Some(crate::sheet::Decision::Reject), "{}", part.reason);
            assert!(part.reason.contains(" dB against −"), "{}", part.reason);
        }
        // Without the echoes nobody is asked.
        let blind = marking::mark(&paper, &sheet);
        assert!(blind.possible < marks.possible && blind.flaws.iter().all(|row| row.decision.is_none()));
    }

    #[test]
    fn a_used_instrument_marks_like_a_fresh_one() {
        let (paper, loud, _) = paper_with_a_quiet_flaw();
        let mut used = findable::instrument(&paper, &paper.plate).unwrap();
        used.set_gain_db(63.0);
        let sheet = sheet(&paper, &[loud]);
        let echoes = findable::best_echoes_with(&mut used, &paper, &[0, 1]);
        assert_eq!(
            knowing(&paper, &sheet, &echoes, &marking::extents(&paper.plate)),
            mark(&paper, &sheet).unwrap()
        );
    }
}
