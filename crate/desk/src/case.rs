//! `trialplate case`: puts the echo model to cases that full-wave computations have answered, and compares.

use std::collections::BTreeMap;
use std::io::Write as _;
use std::path::{Path, PathBuf};

use serde::Serialize;

use crate::failure::Failure;
use crate::files;

mod answer;
mod file;
mod grid;
mod model;
mod plot;
mod report;
mod shapes;
mod solid_shapes;

use file::CaseFile;
use model::Way;
pub use solid_shapes::hole;

/// Largest case file that is read.
const SIZE_LIMIT_BYTES: usize = 64 << 20;

/// What the command takes.
///
/// Times are answered twice: in metal (`t_metal_us`), and as a full-wave computation on the grid that the case names
/// (`grid_dx_mm`) has them on its own, slightly fast clock (`t_peak_us`).
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
    /// Print the errors against full-wave answers, by group.
    #[arg(long)]
    report: bool,
    /// Draw the errors against full-wave answers (SVG).
    #[arg(long, value_name = "MAP.svg")]
    plot: Option<PathBuf>,
    /// File with the full-wave answers to report or plot against; without it those in the file of cases.
    #[arg(long, value_name = "CASES.json")]
    reference: Option<PathBuf>,
}

/// One answer.
#[derive(Serialize)]
struct Answer {
    db_re_sdh3: f64,
    /// On the clock of the case's computation, where the case says on what grid it was made.
    t_peak_us: f64,
    /// In metal.
    t_metal_us: f64,
}

/// Answers by case and window.
type Answers = BTreeMap<String, BTreeMap<String, Answer>>;

/// Runs the command.
///
/// # Errors
/// A file that cannot be read, is no case file, or cannot be written.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let file = read(&arguments.cases)?;
    let reference = arguments.reference.as_deref().map(read).transpose()?;
    let reference = reference.as_ref().unwrap_or(&file);
    let peaks = answer::all(&file, if arguments.exact { Way::Exact } else { Way::Tables })?;
    let mut answers = Answers::new();
    let flat = file.cases.iter().map(|case| (&case.id, (case.grid_dx_mm, 2.0)));
    let solid = file.cases3d.iter().map(|case| (&case.id, (case.grid_dx_mm, 3.0)));
    let grids: BTreeMap<&String, (Option<f64>, f64)> = flat.chain(solid).collect();
    for ((case, window), peak) in &peaks {
        let (spacing_mm, dimensions) = grids.get(case).copied().unwrap_or((None, 2.0));
        let answer = Answer {
            db_re_sdh3: peak.db,
            t_peak_us: grid::seen_us(peak.time_us, spacing_mm, dimensions, &file.meta),
            t_metal_us: peak.time_us,
        };
        answers.entry(case.clone()).or_default().insert(window.clone(), answer);
    }
    let text = serde_json::to_string_pretty(&answers).map_err(|error| Failure::Said(error.to_string()))?;
    files::write(&arguments.output, text.as_bytes())?;
    if arguments.report {
        let text = report::text(reference, &peaks);
        std::io::stdout().lock().write_all(text.as_bytes()).map_err(Failure::Output)?;
    }
    if let Some(path) = &arguments.plot {
        let map = plot::map(reference, &peaks).ok_or_else(|| {
            let file = arguments.reference.as_ref().unwrap_or(&arguments.cases).display();
            Failure::Said(format!("{file}: no full-wave answer (db_re_sdh3) to plot against"))
        })?;
        files::write(path, map.as_bytes())?;
    }
    Ok(())
}

fn read(path: &Path) -> Result<CaseFile, Failure> {
    let bytes = files::read(path, SIZE_LIMIT_BYTES)?;
    serde_json::from_slice(&bytes).map_err(|error| Failure::Said(format!("{}: {error}", path.display())))
}
