//! `mark --class`: a folder of hand-ins, marked and put side by side.

use std::io::{self, IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};

use exam::class::{self, Class, Work};
use exam::fair::Marker;
use exam::hand_in::{self, HandIn, ToldMark};
use exam::paper::Paper;
use exam::sheet::{self, AnswerSheet};
use exam::words;
use rayon::prelude::*;

use super::report;
use crate::failure::Failure;
use crate::files;

/// Marks every file of a folder and writes `class.csv`, `class.json` and `class.html`. Files that cannot be used are told of
/// and left out.
pub fn run(folder: &Path, paper: &Paper, key: Option<&[u8; 32]>, output: &Path) -> Result<(), Failure> {
    let marker = Marker::new(paper)?;
    let paths = work_files(folder)?;
    if paths.is_empty() {
        return Err(Failure::Files(format!("{}: has no .json file, expected hand-ins", folder.display())));
    }
    let (done, total, shown) = (AtomicU32::new(0), paths.len(), io::stderr().is_terminal());
    let results: Vec<Result<Work, String>> = paths
        .par_iter()
        .map(|path| {
            let work = one(path, paper, key, &marker);
            let done = done.fetch_add(1, Ordering::Relaxed) + 1;
            if shown {
                // A progress line that cannot be shown is no reason to stop.
                let _ = write!(io::stderr(), "\r{done} of {total} hand-ins");
            }
            work
        })
        .collect();
    if shown {
        let _ = writeln!(io::stderr());
    }
    let mut refused = Vec::new();
    let mut works = Vec::new();
    for result in results {
        match result {
            Ok(work) => works.push(work),
            Err(why) => refused.push(why),
        }
    }
    let class = class::class(&works);
    std::fs::create_dir_all(output).map_err(|error| Failure::Write { path: output.to_owned(), error })?;
    files::write(&output.join("class.csv"), table(&works)?.as_bytes())?;
    files::write(&output.join("class.json"), &serde_json::to_vec_pretty(&class)?)?;
    files::write(&output.join("class.html"), report::html(paper, &class, &works, &refused).as_bytes())?;
    let mut out = io::stdout().lock();
    tell(&mut out, &class)?;
    // The class is marked; the exit code tells that something was left out.
    if refused.is_empty() { Ok(()) } else { Err(Failure::Files(refused.join("\n"))) }
}

fn tell(out: &mut impl Write, class: &Class) -> io::Result<()> {
    let [_, _, middle, ..] = class.quartiles_percent;
    let count = words::count(class.count as usize, "hand-in");
    writeln!(out, "{count}: {} passed, middle mark {}.", class.passed, words::percent(middle))?;
    for pair in &class.alike {
        let [a, b] = &pair.files;
        writeln!(out, "Worth a look: {a} and {b} have {} equal values that are not true.", pair.equal)?;
    }
    Ok(())
}

/// The .json files of a folder, by name.
fn work_files(folder: &Path) -> Result<Vec<PathBuf>, Failure> {
    let fail = |error| Failure::Read { path: folder.to_owned(), error };
    let mut paths = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(fail)? {
        let path = entry.map_err(fail)?.path();
        if path.extension().is_some_and(|end| end.eq_ignore_ascii_case("json")) {
            paths.push(path);
        }
    }
    paths.sort();
    Ok(paths)
}

/// Marks one file: a hand-in, or an answer sheet alone where no signature is asked for.
fn one(path: &Path, paper: &Paper, key: Option<&[u8; 32]>, marker: &Marker) -> Result<Work, String> {
    let file = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let bytes = files::read(path, hand_in::SIZE_LIMIT_BYTES).map_err(|failure| failure.to_string())?;
    let told = |error: &dyn std::fmt::Display| error.to_string();
    if HandIn::claimed(&bytes) || key.is_some() {
        let work = HandIn::parse(&file, &bytes).map_err(|error| told(&error))?;
        work.check(&file, paper, key).map_err(|error| told(&error))?;
        let marks = marker.mark(&work.log);
        let remark = match ToldMark::of(&marks) == work.told_mark() {
            true => String::new(),
            false => format!("the page told {}", words::percent(work.told_mark().percent)),
        };
        return Ok(Work {
            sitter: work.sitter().to_owned(),
            used_ms: Some(work.used_ms()),
            sheet: work.sheet().clone(),
            file,
            marks,
            remark,
        });
    }
    if bytes.len() > sheet::SIZE_LIMIT_BYTES {
        return Err(format!("{file}: is too large, expected an answer sheet or a hand-in"));
    }
    let sheet = AnswerSheet::parse(&file, &bytes).map_err(|error| told(&error))?;
    if let Some(id) = sheet.plate_id.as_ref().filter(|id| **id != paper.plate.id) {
        return Err(format!("{file}: is for plate {id}, expected plate {}", paper.plate.id));
    }
    let marks = marker.mark_sheet(&sheet);
    Ok(Work { file, sitter: String::new(), marks, sheet, used_ms: None, remark: "no log".to_owned() })
}

/// The table, a row a work.
fn table(works: &[Work]) -> Result<String, Failure> {
    let fail = |error: csv::Error| Failure::Said(format!("the table cannot be written: {error}"));
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
            work.remark.clone(),
        ];
        let points = marks.flaws.iter().map(|row| format!("{:.1}", row.points));
        out.write_record(row.into_iter().chain(points)).map_err(fail)?;
    }
    let bytes = out.into_inner().map_err(|error| Failure::Said(error.to_string()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
