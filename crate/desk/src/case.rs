//! `trialplate case`: puts the echo model to cases that full-wave computations have answered, and compares.

use std::collections::BTreeMap;
use std::io::Write as _;
use std::path::PathBuf;

use serde::Serialize;

use crate::failure::Failure;
use crate::files;

mod file;
mod model;
mod report;
mod shapes;
mod solid_shapes;

use file::CaseFile;
use model::{Model, Peak};

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

/// Peaks by case and window.
type Peaks = BTreeMap<(String, String), Peak>;

/// Runs the command.
///
/// # Errors
/// A file that cannot be read, is no case file, or cannot be written.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let bytes = files::read(&arguments.cases, SIZE_LIMIT_BYTES)?;
    let file: CaseFile = serde_json::from_slice(&bytes)
        .map_err(|error| Failure::Said(format!("{}: {error}", arguments.cases.display())))?;
    let (answers, peaks) = answer(&file)?;
    let text = serde_json::to_string_pretty(&answers).map_err(|error| Failure::Said(error.to_string()))?;
    files::write(&arguments.output, text.as_bytes())?;
    if arguments.report {
        let text = report::text(&file, &peaks);
        std::io::stdout().lock().write_all(text.as_bytes()).map_err(Failure::Output)?;
    }
    Ok(())
}

/// All answers, and the peaks by case and window for the report.
fn answer(file: &CaseFile) -> Result<(Answers, Peaks), Failure> {
    let fail = |id: &str, why: &dyn std::fmt::Display| Failure::Said(format!("case {id}: {why}"));
    let latest =
        file.cases.iter().flat_map(|case| case.windows.values()).map(|w| w.window_us[1]).fold(20.0, f64::max);
    let (mut models, mut references) = (BTreeMap::new(), BTreeMap::new());
    let (mut answers, mut peaks) = (Answers::new(), BTreeMap::new());
    let mut keep = |id: &str, window: &str, peak: Peak| {
        let answer = Answer { db_re_sdh3: peak.db, t_peak_us: peak.time_us };
        answers.entry(id.to_owned()).or_insert_with(BTreeMap::new).insert(window.to_owned(), answer);
        peaks.insert((id.to_owned(), window.to_owned()), peak);
    };
    for case in &file.cases {
        let angle = case.theta_deg.to_bits();
        if let std::collections::btree_map::Entry::Vacant(slot) = models.entry(angle) {
            let length = file.meta.aperture.length_mm;
            let model = Model::new(&file.meta, length, None, case.theta_deg, latest);
            slot.insert(model.map_err(|error| fail(&case.id, &error))?);
        }
        let Some(model) = models.get_mut(&angle) else { continue };
        let reference = *references
            .entry((angle, case.path_mm.to_bits()))
            .or_insert_with(|| model.reference(case.path_mm, false));
        for (window, peak) in model.answer(case, reference) {
            keep(&case.id, &window, peak);
        }
    }
    for case in &file.cases3d {
        let across = Some(case.aperture_y_mm);
        let mut model = Model::new(&file.meta, case.aperture_x_mm, across, case.theta_deg, 25.0)
            .map_err(|error| fail(&case.id, &error))?;
        let reference = model.reference(case.path_mm, true);
        let peak = model.answer_3d(case, reference).ok_or_else(|| {
            fail(
                &case.id,
                &format!("unknown kind {:?}, expected SDH_D…, SPHERE_D…, DISC_D… or STRIP_…x…", case.kind),
            )
        })?;
        keep(&case.id, "direct", peak);
    }
    Ok((answers, peaks))
}
