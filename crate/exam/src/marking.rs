//! Marking an answer sheet against the plate: row by row, each with its points, the line of the scheme that gave
//! them, and a reason in plain words.

use acoustics::order::sort_indices;
use instrument::pose::Side;
use serde::Serialize;
use specimen::flaw::{Extent, Flaw};
use specimen::plate::Plate;

use crate::acceptance::Known;
use crate::examined::Examined;
use crate::log::Entry;
use crate::matching;
use crate::paper::Paper;
use crate::said::{Said, said};
use crate::scheme::Scheme;
use crate::sheet::{AnswerSheet, Decision};
use crate::words;

mod apparatus;
mod application;
mod call_row;
mod clean;
mod flaw_row;
mod geometry;
mod part;

pub use part::{Part, PartRow};

/// Stands on every report.
pub const CAUTION: &str = "Training only: no finding on a real weld may rest on this, and it is no evidence of \
                           competence. Real work follows the code, the written procedure and certified people.";

/// The parts of a practical examination that are marked.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Practical {
    /// Points for the sheet, of `scheme.sheet_points`.
    pub sheet: [f64; 2],
    /// Points for the application of the method, got and possible.
    pub application: [f64; 2],
    /// Points for the knowledge of the apparatus; none possible where the bench comes calibrated.
    pub apparatus: [f64; 2],
}

impl Practical {
    /// Points got and possible.
    fn total(&self) -> [f64; 2] {
        [0, 1].map(|k| self.sheet[k] + self.application[k] + self.apparatus[k])
    }
}

/// The mark for one flaw.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FlawRow {
    /// Number of the flaw in drawings and tables, from 1 along the weld.
    pub number: u32,
    /// Place of the flaw in the plate file, from 0.
    pub index: u32,
    /// Kind in words.
    pub kind: String,
    /// The box it fills.
    pub extent: Extent,
    /// What the acceptance rule makes of it; absent where that hangs on its echo, which is not known.
    pub decision: Option<Decision>,
    /// Whether missing it fails the plate.
    pub mandatory: bool,
    /// Whether it counts; one that stays below the recording level does not.
    pub counted: bool,
    /// Number of the call that belongs to it, from 1; absent for a miss.
    pub call: Option<u32>,
    /// Points got; 0 where it does not count.
    pub points: f64,
    /// Points possible; 0 where it does not count.
    pub possible: f64,
    /// The parts; empty for a miss.
    pub parts: Vec<PartRow>,
    /// The row in a sentence.
    pub reason: Said,
}

/// What became of a call.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(tag = "outcome", rename_all = "kebab-case")]
pub enum Outcome {
    /// It belongs to a flaw.
    Hit {
        /// Number of the flaw.
        flaw: u32,
    },
    /// It says again what another call said.
    Duplicate {
        /// Number of the flaw.
        flaw: u32,
    },
    /// It lies on the outside of the weld, where cap and root bead echo.
    Geometry,
    /// Nothing is there.
    False,
}

/// The mark for one call.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CallRow {
    /// Number of the call on the sheet, from 1.
    pub number: u32,
    /// What became of it.
    #[serde(flatten)]
    pub outcome: Outcome,
    /// Points taken off.
    pub cost: f64,
    /// The key in the plate file that set the cost; absent for a call that is not wrong.
    pub scheme_line: Option<String>,
    /// The row in a sentence.
    pub reason: Said,
}

/// The whole mark.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Marks {
    /// Id of the plate.
    pub plate_id: String,
    /// Digest of the paper that was marked against.
    pub paper_digest: String,
    /// One row for each flaw, along the weld.
    pub flaws: Vec<FlawRow>,
    /// One row for each call, in the order of the sheet.
    pub calls: Vec<CallRow>,
    /// On a plate without a flaw that counts: the parts that are marked instead.
    pub clean: Vec<PartRow>,
    /// The application of the method; empty where only the sheet was marked.
    pub application: Vec<PartRow>,
    /// The knowledge of the apparatus; empty where the bench comes calibrated or only the sheet was marked.
    pub apparatus: Vec<PartRow>,
    /// Points taken off for calls without a flaw.
    pub cost: f64,
    /// Points got for the sheet, never below 0.
    pub points: f64,
    /// Points possible for the sheet.
    pub possible: f64,
    /// The parts of the examination; absent where only the sheet was marked.
    pub practical: Option<Practical>,
    /// Share of all points, %.
    pub percent: f64,
    /// The same as people read it.
    pub percent_words: String,
    /// Share that passes, %.
    pub pass_percent: f64,
    /// Whether the plate was passed.
    pub passed: bool,
    /// The result and everything that decided it, in sentences.
    pub reasons: Vec<Said>,
    /// What is not marked.
    pub not_marked: Said,
    /// Stands on every report.
    pub caution: &'static str,
}

/// The decision that is right for a flaw under the scheme's acceptance rule, and why; `echo_db` is its highest echo, where that is
/// known.
pub fn right_decision(
    paper: &Paper,
    flaw: &Flaw,
    extent: &Extent,
    echo_db: Option<f64>,
) -> (Option<Decision>, Said) {
    let known = Known {
        planar: flaw.kind.is_planar(),
        length_mm: Some(matching::length(extent.along_mm)),
        height_mm: Some(matching::length(extent.depth_mm)),
        echo_db,
    };
    paper.scheme.acceptance.decide(paper.plate.thickness_mm, &known)
}

/// Marks a sheet. Takes any sheet: what is missing or senseless on it gets no points. A rule that goes by echoes is not marked;
/// [`mark_heard`] knows them.
pub fn mark(paper: &Paper, sheet: &AnswerSheet) -> Marks {
    mark_heard(paper, sheet, &[])
}

/// The same with the highest echo of every flaw, in the order of the plate file, dB against the reference.
pub fn mark_heard(paper: &Paper, sheet: &AnswerSheet, echoes_db: &[Option<f64>]) -> Marks {
    mark_within(paper, sheet, echoes_db, &extents(&paper.plate))
}

/// The boxes that the flaws fill, in the order of the plate file. A ragged flaw's takes a millisecond to work out.
pub(crate) fn extents(plate: &Plate) -> Vec<Extent> {
    plate.flaws.iter().map(|flaw| flaw.extent(plate)).collect()
}

/// The same where the boxes are known.
pub(crate) fn mark_within(
    paper: &Paper,
    sheet: &AnswerSheet,
    echoes_db: &[Option<f64>],
    boxes: &[Extent],
) -> Marks {
    let (plate, scheme) = (&paper.plate, &paper.scheme);
    let mut order: Vec<usize> = (0..plate.flaws.len()).collect();
    sort_indices(&mut order, &|a, b| plate.flaws[a].start_mm.total_cmp(&plate.flaws[b].start_mm));
    let counts = |index: usize| !scheme.below_recording_level.iter().any(|&below| below as usize == index);
    let extents: Vec<(Extent, bool)> = order.iter().map(|&index| (boxes[index], counts(index))).collect();
    let call_of_flaw = matching::assign(scheme, &extents, &sheet.calls);

    let flaws: Vec<FlawRow> = order
        .iter()
        .enumerate()
        .map(|(row, &index)| {
            let call = call_of_flaw[row].map(|call| (call, &sheet.calls[call]));
            let echo_db = echoes_db.get(index).copied().flatten();
            flaw_row::row(paper, (row, index), (extents[row].0, echo_db), extents[row].1, call)
        })
        .collect();
    let calls: Vec<CallRow> = (0..sheet.calls.len())
        .map(|call| {
            let hit = call_of_flaw.iter().position(|&of_flaw| of_flaw == Some(call));
            call_row::row(paper, &flaws, call, &sheet.calls[call], hit)
        })
        .collect();
    let cost: f64 = calls.iter().map(|row| row.cost).sum();
    let clean = if flaws.iter().any(|row| row.counted) {
        Vec::new()
    } else {
        clean::parts(scheme, sheet, calls.iter().filter(|row| row.scheme_line.is_some()).count())
    };
    let gained = flaws.iter().map(|row| row.points).chain(clean.iter().map(|part| part.points)).sum::<f64>();
    let possible =
        flaws.iter().map(|row| row.possible).chain(clean.iter().map(|part| part.possible)).sum::<f64>();
    let points = (gained - cost).max(0.0);
    let mut marks = Marks {
        plate_id: plate.id.clone(),
        paper_digest: paper.digest(),
        flaws,
        calls,
        clean,
        application: Vec::new(),
        apparatus: Vec::new(),
        cost,
        points,
        possible,
        practical: None,
        percent: 0.0,
        percent_words: String::new(),
        pass_percent: scheme.pass_percent,
        passed: false,
        reasons: Vec::new(),
        not_marked: said!("said.not_marked.sheet"),
        caution: CAUTION,
    };
    conclude(scheme, sheet, &mut marks);
    marks
}

/// Adds the application of the method, from the session's log. A block has no weld to examine; its marks stay.
pub fn add_application(paper: &Paper, entries: &[Entry], sheet: &AnswerSheet, marks: &mut Marks) {
    if let Some(examined) = Examined::of(paper, entries) {
        add_examined(paper, entries, &examined, sheet, marks);
    }
}

/// The same where it is known what was examined.
pub(crate) fn add_examined(
    paper: &Paper,
    entries: &[Entry],
    examined: &Examined,
    sheet: &AnswerSheet,
    marks: &mut Marks,
) {
    let rows = application::rows(paper, entries, examined);
    let apparatus = apparatus::rows(paper, entries, examined);
    let sums = |rows: &[PartRow]| {
        let sum = |of: fn(&PartRow) -> f64| rows.iter().map(of).sum::<f64>();
        [sum(|row| row.points), sum(|row| row.possible)]
    };
    let share = if marks.possible > 0.0 { marks.points / marks.possible } else { 0.0 };
    let sheet_points = paper.scheme.sheet_points;
    marks.practical = Some(Practical {
        sheet: [share * sheet_points, sheet_points],
        application: sums(&rows),
        apparatus: sums(&apparatus),
    });
    marks.application = rows;
    marks.not_marked =
        if apparatus.is_empty() { said!("said.not_marked.log") } else { said!("said.not_marked.apparatus") };
    marks.apparatus = apparatus;
    conclude(&paper.scheme, sheet, marks);
}

fn conclude(scheme: &Scheme, sheet: &AnswerSheet, marks: &mut Marks) {
    let counted: Vec<&FlawRow> = marks.flaws.iter().filter(|row| row.counted).collect();
    let missed: Vec<&FlawRow> = counted.iter().copied().filter(|row| row.call.is_none()).collect();
    let missed_mandatory: Vec<u32> =
        missed.iter().filter(|row| row.mandatory).map(|row| row.number).collect();
    let [points, possible] = marks.practical.map_or([marks.points, marks.possible], |parts| parts.total());
    marks.percent = if possible > 0.0 { 100.0 * points / possible } else { 0.0 };
    marks.percent_words = words::percent(marks.percent);
    let enough = marks.percent + 1e-9 >= scheme.pass_percent;
    let fails_by_miss = scheme.missed_mandatory_fails && !missed_mandatory.is_empty();
    marks.passed = enough && !fails_by_miss;

    let (percent, needed) = (marks.percent, scheme.pass_percent);
    let mut reasons = vec![said!(
        if marks.passed { "said.mark.passed" } else { "said.mark.failed" },
        got_points = points,
        of_points = possible,
        got_mark = percent,
        pass_mark = needed
    )];
    if let Some(Practical { sheet, application, apparatus }) = &marks.practical {
        reasons.push(said!(
            "said.mark.sheet",
            got_points = sheet[0],
            of_points = sheet[1],
            sheet_points = marks.points,
            whole_points = marks.possible,
            method_points = application[0],
            most_points = application[1]
        ));
        if apparatus[1] > 0.0 {
            reasons.push(said!("said.mark.apparatus", got_points = apparatus[0], of_points = apparatus[1]));
        }
    }
    if fails_by_miss {
        let one = missed_mandatory.len() == 1;
        let key = if one { "said.mark.mandatory.one" } else { "said.mark.mandatory.more" };
        reasons.push(said!(key, flaws = missed_mandatory));
    }
    if !counted.is_empty() {
        let found = (counted.len() - missed.len()) as u32;
        let there = flaws(counted.len());
        reasons.push(said!("said.mark.found", found = found, there = there.clone()));
        if sheet.no_recordable_indication {
            reasons.push(said!("said.mark.stated", there = there));
        }
    }
    let uncounted: Vec<u32> = marks.flaws.iter().filter(|row| !row.counted).map(|row| row.number).collect();
    if !uncounted.is_empty() {
        reasons.push(said!("said.mark.uncounted", flaws = uncounted));
    }
    if marks.cost > 0.0 {
        let number = marks.calls.iter().filter(|row| row.cost > 0.0).count();
        reasons.push(said!("said.mark.cost", calls = calls(number), cost_points = marks.cost));
    }
    marks.reasons = reasons;
}

fn flaws(number: usize) -> Said {
    if number == 1 { said!("said.flaws.one") } else { said!("said.flaws.more", number = number as u32) }
}

fn calls(number: usize) -> Said {
    if number == 1 { said!("said.calls.one") } else { said!("said.calls.more", number = number as u32) }
}

/// A place across the weld, in a sentence.
pub(crate) fn place_across(offset_mm: f64) -> Said {
    // What is shown as 0.0 lies on neither side.
    match libm::round(offset_mm * 10.0) {
        0.0 => said!("said.centre"),
        tenths if tenths < 0.0 => said!("said.towards", value_mm = -offset_mm, side = Side::A),
        _ => said!("said.towards", value_mm = offset_mm, side = Side::B),
    }
}

#[cfg(test)]
mod properties;
#[cfg(test)]
mod tests;
