//! `trialplate case`: puts the echo model to cases that full-wave computations have answered, and compares.

use std::collections::BTreeMap;
use std::io::Write as _;
use std::path::PathBuf;

use serde::Serialize;

use crate::failure::Failure;
use crate::files;

mod answer;
mod file;
mod model;
mod report;
mod shapes;
mod solid_shapes;

use file::CaseFile;
use model::Way;

/// Largest case file that is read.
const SIZE_LIMIT_BYTES: usize = 64 << 20;

/// What the command takes.
#[derive(clap::Args)]
pub struct Arguments {
    /// File of cases (JSON).
    cases: PathBuf,
    /// Where the answers go (JSON).
    #[arg(short, long)]
    output: PathBuf,
    /// Answer by the exact sum over elements and frequencies instead of the tables that frames are made with; takes
    /// minutes.
    #[arg(long)]
    exact: bool,
    /// Print the errors against the full-wave answers of the file, by group.
    #[arg(long)]
    report: bool,
}

/// One answer.
#[derive(Serialize)]
struct Answer {
    db_re_sdh3: f64,
    t_peak_us: f64,
}

/// Answers by case and window.
type Answers = BTreeMap<String, BTreeMap<String, Answer>>;

/// Runs the command.
///
/// # Errors
/// A file that cannot be read, is no case file, or cannot be written.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let bytes = files::read(&arguments.cases, SIZE_LIMIT_BYTES)?;
    let file: CaseFile = serde_json::from_slice(&bytes)
        .map_err(|error| Failure::Said(format!("{}: {error}", arguments.cases.display())))?;
    let peaks = answer::all(&file, if arguments.exact { Way::Exact } else { Way::Tables })?;
    let mut answers = Answers::new();
    for ((case, window), peak) in &peaks {
        let answer = Answer { db_re_sdh3: peak.db, t_peak_us: peak.time_us };
        answers.entry(case.clone()).or_default().insert(window.clone(), answer);
    }
    let text = serde_json::to_string_pretty(&answers).map_err(|error| Failure::Said(error.to_string()))?;
    files::write(&arguments.output, text.as_bytes())?;
    if arguments.report {
        let text = report::text(&file, &peaks);
        std::io::stdout().lock().write_all(text.as_bytes()).map_err(Failure::Output)?;
    }
    Ok(())
}
