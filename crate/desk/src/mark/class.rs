//! `mark --class`: a folder of hand-ins, marked and put side by side.

use std::io::{self, IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};

use exam::class::{self, Class, Work};
use exam::fair::Marker;
use exam::hand_in;
use exam::paper::Paper;
use exam::replayed::Replayed;
use exam::said::Language;
use exam::snapshot::Kept;
use exam::words;
use rayon::prelude::*;

use super::report;
use crate::failure::Failure;
use crate::files;

/// Most files named on a line of the terminal.
const MOST_NAMES: usize = 30;

/// Marks every file of a folder and writes `class.csv`, `class.json` and `class.html`. Files that cannot be used are told of
/// and left out. With `replay` the last frame of each session is computed again and compared with the one it saw.
pub fn run(
    folder: &Path,
    (paper, key): (&Paper, Option<&[u8; 32]>),
    output: &Path,
    replay: bool,
) -> Result<(), Failure> {
    let marker = Marker::new(paper)?;
    let paths = work_files(folder)?;
    if paths.is_empty() {
        return Err(Failure::Files(format!("{}: has no .json file, expected hand-ins", folder.display())));
    }
    let (done, total, shown) = (AtomicU32::new(0), paths.len(), io::stderr().is_terminal());
    let results: Vec<Result<Work, String>> = paths
        .par_iter()
        .map_init(Kept::default, |kept, path| {
            let work = one(path, (paper, key), &marker, replay.then_some(kept));
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
    files::write(
        &output.join("class.csv"),
        class::table(&works, &Language::english()).map_err(Failure::Said)?.as_bytes(),
    )?;
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
    for row in &class.alike {
        let (files, equal) = (row.files.len(), report::equal(row));
        writeln!(
            out,
            "Worth a look: these {files} files share {equal} values that are not true: {}.",
            names(&row.files)
        )?;
    }
    match class.alike_left_out {
        0 => Ok(()),
        pairs => writeln!(out, "{}", report::left_out(pairs)),
    }
}

/// The files of a row on one line, the first of them where they are many.
fn names(files: &[String]) -> String {
    match files.len().checked_sub(MOST_NAMES) {
        None | Some(0) => files.join(", "),
        Some(more) => {
            format!("{} and {more} more, all of them in class.html", files[..MOST_NAMES].join(", "))
        }
    }
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

fn one(
    path: &Path,
    (paper, key): (&Paper, Option<&[u8; 32]>),
    marker: &Marker,
    replay: Option<&mut Kept>,
) -> Result<Work, String> {
    let file = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let bytes = files::read(path, hand_in::SIZE_LIMIT_BYTES).map_err(|failure| failure.to_string())?;
    let (mut work, hand_in) = Work::read(&file, &bytes, paper, key, marker)?;
    let found = hand_in.zip(replay).and_then(|(hand_in, kept)| hand_in.replay(paper, kept));
    if let Some(found) = found.filter(Replayed::is_doubtful) {
        work.remarks.push(found.sentence());
    }
    Ok(work)
}
