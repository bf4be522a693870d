//! A whole class at one plate: marks, what was found by how many, which kinds were taken for which, and answers so alike
//! that somebody should look.

use acoustics::order::sort_by;
use std::collections::BTreeMap;

use serde::Serialize;
use specimen::flaw::FlawKind;
use statrs::distribution::{Beta, ContinuousCDF};

use crate::marking::Marks;
use crate::said::{Language, Said};
use crate::sheet::AnswerSheet;

mod alike;
mod work;

pub use alike::Alike;

/// One trainee's work.
#[derive(Clone, Debug)]
pub struct Work {
    /// Name of the file.
    pub file: String,
    /// Who sat; empty where the file does not say.
    pub sitter: String,
    /// The marks.
    pub marks: Marks,
    /// The answers.
    pub sheet: AnswerSheet,
    /// Time used, ms; absent for an answer sheet without a log.
    pub used_ms: Option<u64>,
    /// Anything to be told of it, such as a mark that differs from the one the page told.
    pub remarks: Vec<Said>,
}

impl Work {
    /// All that is to be told of it, in a language.
    pub fn remark(&self, language: &Language) -> String {
        self.remarks.iter().map(|said| language.say(said)).collect::<Vec<_>>().join(". ")
    }
}

/// How a flaw came out.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FlawDetection {
    /// Its number on the plate, from 1.
    pub flaw: u32,
    /// Kind in words.
    pub kind: String,
    /// Along the weld, mm.
    pub along_mm: [f64; 2],
    /// By how many it was found.
    pub found: u32,
    /// Of how many.
    pub of: u32,
    /// Bounds of the chance that such a trainee finds it, %: Clopper and Pearson, 95 % of confidence.
    pub bounds_percent: [f64; 2],
    /// Points got by those who found it, share of the possible, %; absent where nobody did.
    pub points_percent: Option<f64>,
}

/// What a kind was taken for.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Confusion {
    /// True kind in words.
    pub kind: String,
    /// Kind called in words.
    pub called: String,
    /// How often.
    pub count: u32,
}

/// The class in numbers.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Class {
    /// Works.
    pub count: u32,
    /// Of these passed.
    pub passed: u32,
    /// Lowest, lower quartile, middle, upper quartile and highest mark, %.
    pub quartiles_percent: [f64; 5],
    /// Calls without a flaw, a work on average.
    pub false_calls: f64,
    /// The flaws that count, along the weld.
    pub flaws: Vec<FlawDetection>,
    /// Kinds, most frequent first.
    pub confusion: Vec<Confusion>,
    /// Works worth a look, most unlikely first.
    pub alike: Vec<Alike>,
    /// Pairs as much worth a look of which nothing is told, for want of room.
    pub alike_left_out: u32,
}

/// The numbers of a class; all works are of one plate.
pub fn class(works: &[Work]) -> Class {
    let mut percents: Vec<f64> = works.iter().map(|work| work.marks.percent).collect();
    sort_by(&mut percents, f64::total_cmp);
    let quartile = |share: f64| {
        let at = share * (percents.len().max(1) - 1) as f64;
        let (below, part) = (at as usize, at - libm::floor(at));
        let value = |k: usize| percents.get(k.min(percents.len().max(1) - 1)).copied().unwrap_or_default();
        value(below) + part * (value(below + 1) - value(below))
    };
    let wrong = |work: &Work| work.marks.calls.iter().filter(|call| call.cost > 0.0).count();
    let (alike, alike_left_out) = alike::alike(works);
    Class {
        count: works.len() as u32,
        passed: works.iter().filter(|work| work.marks.passed).count() as u32,
        quartiles_percent: [0.0, 0.25, 0.5, 0.75, 1.0].map(quartile),
        false_calls: works.iter().map(wrong).sum::<usize>() as f64 / works.len().max(1) as f64,
        flaws: detections(works),
        confusion: confusion(works),
        alike,
        alike_left_out,
    }
}

fn detections(works: &[Work]) -> Vec<FlawDetection> {
    let Some(first) = works.first() else { return Vec::new() };
    (first.marks.flaws.iter().enumerate())
        .filter_map(|(row, flaw)| {
            // A flaw out of reach counts for those who found it only.
            let rows: Vec<_> = works.iter().filter_map(|work| work.marks.flaws.get(row)).collect();
            let counted = rows.iter().filter(|row| row.counted);
            let of = counted.clone().count() as u32;
            let hits: Vec<_> = counted.filter(|row| row.call.is_some()).collect();
            let possible: f64 = hits.iter().map(|row| row.possible).sum();
            let points: f64 = hits.iter().map(|row| row.points).sum();
            (of > 0).then(|| FlawDetection {
                flaw: flaw.number,
                kind: flaw.kind.clone(),
                along_mm: flaw.extent.along_mm,
                found: hits.len() as u32,
                of,
                bounds_percent: clopper_pearson(hits.len() as u32, of).map(|bound| 100.0 * bound),
                points_percent: (possible > 0.0).then(|| 100.0 * points / possible),
            })
        })
        .collect()
}

/// Exact two-sided 95 % bounds of a share (Clopper and Pearson, Biometrika 26, 1934), from quantiles of beta distributions.
pub fn clopper_pearson(found: u32, of: u32) -> [f64; 2] {
    let (hits, misses) = (f64::from(found), f64::from(of.saturating_sub(found)));
    let quantile = |a: f64, b: f64, p: f64| Beta::new(a, b).map_or(p, |beta| beta.inverse_cdf(p));
    let low = if found == 0 { 0.0 } else { quantile(hits, misses + 1.0, 0.025) };
    let high = if found >= of { 1.0 } else { quantile(hits + 1.0, misses, 0.975) };
    [low, high]
}

fn confusion(works: &[Work]) -> Vec<Confusion> {
    let mut counts: BTreeMap<(String, &'static str), u32> = BTreeMap::new();
    for work in works {
        for row in &work.marks.flaws {
            let called =
                row.call.and_then(|call| work.sheet.calls.get(call as usize - 1)).and_then(|call| call.kind);
            if let Some(called) = called {
                *counts.entry((row.kind.clone(), FlawKind::words(called))).or_default() += 1;
            }
        }
    }
    let mut rows: Vec<Confusion> = counts
        .into_iter()
        .map(|((kind, called), count)| Confusion { kind, called: called.to_lowercase(), count })
        .collect();
    sort_by(&mut rows, |a, b| b.count.cmp(&a.count));
    rows
}

/// The table as CSV, a row a work; remarks are in a language.
///
/// # Errors
/// None in practice; the library's error has to go on.
pub fn table(works: &[Work], language: &Language) -> Result<String, String> {
    let fail = |error: csv::Error| format!("the table cannot be written: {error}");
    let mut out = csv::Writer::from_writer(Vec::new());
    let flaws = works.first().map_or(0, |work| work.marks.flaws.len());
    let fixed = ["file", "name", "percent", "passed", "found", "false_calls", "minutes", "remark"];
    let header = fixed.map(str::to_owned).into_iter().chain((1..=flaws).map(|n| format!("flaw_{n}_points")));
    out.write_record(header).map_err(fail)?;
    for work in works {
        let marks = &work.marks;
        let found = marks.flaws.iter().filter(|row| row.call.is_some()).count();
        let wrong = marks.calls.iter().filter(|call| call.cost > 0.0).count();
        let minutes = work.used_ms.map_or(String::new(), |ms| format!("{:.1}", ms as f64 / 60_000.0));
        let row = [
            work.file.clone(),
            work.sitter.clone(),
            format!("{:.2}", marks.percent),
            marks.passed.to_string(),
            found.to_string(),
            wrong.to_string(),
            minutes,
            work.remark(language),
        ];
        let points = marks.flaws.iter().map(|row| format!("{:.1}", row.points));
        out.write_record(row.into_iter().chain(points)).map_err(fail)?;
    }
    let bytes = out.into_inner().map_err(|error| error.to_string())?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

#[cfg(test)]
mod tests;
