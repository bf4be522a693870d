//! What the page "the model and its limits" shows, made anew: the table of errors, the error map, the sector images.

use std::fs;

use anyhow::{Context, Result};

use crate::shell;

/// The cases with full-wave answers, the kept table, the folder of the page, and the plate of the sector images.
const CASES: &str = "tests/fullwave/cases.json";
const TABLE: &str = "tests/fullwave/report.txt";
const FOLDER: &str = "www/model";
const PLATE: &str = "scenarios/plates/th-07.toml";

/// Writes the table, the map and the images.
///
/// # Errors
/// When the program does not build or fails, or a file cannot be written.
pub fn run() -> Result<()> {
    let program = ["run", "--locked", "--quiet", "--package", "desk", "--"];
    let answers = std::env::temp_dir().join(format!("trialplate-answers-{}.json", std::process::id()));
    let map = format!("{FOLDER}/error-map.svg");
    let mut case = shell::cargo();
    case.args(program).args(["case", CASES, "--report", "--plot", &map, "-o"]).arg(&answers);
    let table = shell::output(&mut case)?;
    fs::write(shell::root().join(TABLE), table).with_context(|| format!("cannot write {TABLE}"))?;
    fs::remove_file(&answers).with_context(|| format!("cannot remove {}", answers.display()))?;
    shell::run(shell::cargo().args(program).args(["pictures", PLATE, "-o", FOLDER]))?;
    println!("{TABLE} and {FOLDER}/ are new. Where numbers moved, correct www/model.html.");
    Ok(())
}
