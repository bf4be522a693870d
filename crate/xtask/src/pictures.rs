//! Pictures made anew: what the page "the model and its limits" shows (the table of errors, the error map, the sector
//! images), and the README's, taken of the running page.

use std::fs;
use std::path::Path;

use anyhow::{Context, Result};
use sha2::{Digest, Sha256};

use crate::{bundle, needs, serve, shell, test};

/// The cases with full-wave answers, the kept table, the folder of the page, and the plate of the sector images.
const CASES: &str = "tests/fullwave/cases.json";
const TABLE: &str = "tests/fullwave/report.txt";
const FOLDER: &str = "www/model";
/// What the sector images were drawn as before they were packed, a line each, as `sha256sum` writes it.
const DRAWN: &str = "tests/fullwave/pictures.sha256";
const PLATE: &str = "scenarios/plates/th-07.toml";

/// Writes the pictures of the model and those of the README.
///
/// # Errors
/// As [`of_the_model`] and [`of_the_page`].
pub fn run() -> Result<()> {
    of_the_model()?;
    of_the_page()
}

/// Writes docs/pictures: scenes of the page as it is built now, in headless Chromium.
///
/// # Errors
/// When the build or the browser fails, a scene is not reached, or a picture is too large.
fn of_the_page() -> Result<()> {
    bundle::build(bundle::Scripts::Small)?;
    needs::ensure_all()?;
    let address = serve::start(Some(0))?;
    shell::run(&mut test::node_tests(&address, "pictures")?)?;
    println!(
        "docs/pictures/ is new. Where what they show moved, correct the words beside them in README.md."
    );
    Ok(())
}

/// Writes the table, the map and the images.
///
/// # Errors
/// When the program does not build or fails, or a file cannot be written.
fn of_the_model() -> Result<()> {
    let program = ["run", "--locked", "--quiet", "--package", "desk", "--"];
    let answers = std::env::temp_dir().join(format!("trialplate-answers-{}.json", std::process::id()));
    let map = format!("{FOLDER}/error-map.svg");
    let mut case = shell::cargo();
    case.args(program).args(["case", CASES, "--report", "--plot", &map, "-o"]).arg(&answers);
    let table = shell::output(&mut case)?;
    fs::write(shell::root().join(TABLE), table).with_context(|| format!("cannot write {TABLE}"))?;
    fs::remove_file(&answers).with_context(|| format!("cannot remove {}", answers.display()))?;
    let images = std::env::temp_dir().join(format!("trialplate-images-{}", std::process::id()));
    fs::create_dir_all(&images).with_context(|| format!("cannot make {}", images.display()))?;
    shell::run(shell::cargo().args(program).args(["pictures", PLATE, "-o"]).arg(&images))?;
    fs::write(shell::root().join(DRAWN), digests(&images)?)
        .with_context(|| format!("cannot write {DRAWN}"))?;
    needs::ensure_all()?;
    let mut pack = shell::command("node");
    pack.current_dir(shell::root().join("tests/browser")).env("TRIALPLATE_BROWSER", needs::browser()?);
    shell::run(pack.arg("pictures/model.mjs").arg(&images).arg(shell::root().join(FOLDER)))?;
    fs::remove_dir_all(&images).with_context(|| format!("cannot remove {}", images.display()))?;
    println!(
        "{TABLE} and {FOLDER}/ are new. Where numbers moved, correct www/model.html and www/model.es.html."
    );
    Ok(())
}

/// A line for each file of a folder, by name: digest and name.
fn digests(folder: &Path) -> Result<String> {
    let unreadable = || format!("cannot read {}", folder.display());
    let mut lines = Vec::new();
    for entry in fs::read_dir(folder).with_context(unreadable)? {
        let path = entry?.path();
        let digest = Sha256::digest(fs::read(&path).with_context(unreadable)?);
        let hex: String = digest.iter().map(|byte| format!("{byte:02x}")).collect();
        let name = path.file_name().unwrap_or_default().display().to_string();
        lines.push((name.clone(), format!("{hex}  {name}\n")));
    }
    lines.sort();
    Ok(lines.into_iter().map(|(_, line)| line).collect())
}
