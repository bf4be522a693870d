//! Every check, in steps.

use std::time::{Duration, Instant};

use anyhow::Result;
use clap::ValueEnum;

use crate::{bundle, needs, serve, shell};

/// One step of `cargo xtask test`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Step {
    /// The code is formatted
    Format,
    /// Clippy has nothing to say
    Lint,
    /// Unit tests and the checks of tests/, native
    Native,
    /// Golden frames by released code: other optimisation, same bits
    Release,
    /// dist/ builds and its wasm is small enough
    Build,
    /// Digests in Node and Chromium, and whole journeys in headless Chromium
    Browser,
}

/// Runs the steps, or all of them when none is named, and prints the name and time of each.
///
/// # Errors
/// At the first step that fails.
pub fn run(steps: &[Step]) -> Result<()> {
    let steps = if steps.is_empty() { Step::value_variants() } else { steps };
    let start = Instant::now();
    for step in steps {
        println!("\n── {} ──", name(*step));
        let began = Instant::now();
        match step {
            Step::Format => format()?,
            Step::Lint => lint()?,
            Step::Native => native()?,
            Step::Release => release()?,
            Step::Build => bundle::build().and_then(|()| bundle::check_size())?,
            Step::Browser => browser()?,
        }
        println!("── {} passed in {}", name(*step), seconds(began.elapsed()));
    }
    println!("\nAll {} steps passed in {}.", steps.len(), seconds(start.elapsed()));
    Ok(())
}

fn format() -> Result<()> {
    shell::run(shell::cargo().args(["fmt", "--all", "--check"]))
}

fn lint() -> Result<()> {
    let clippy = ["clippy", "--locked", "--workspace", "--all-targets", "--", "-D", "warnings"];
    shell::run(shell::cargo().args(clippy))
}

fn native() -> Result<()> {
    shell::run(shell::cargo().args(["test", "--locked", "--workspace"]))
}

/// The digests alone: half a minute of building, where all tests released would take many.
fn release() -> Result<()> {
    let digests = ["test", "--locked", "--release", "--package", "checks", "--test", "digests"];
    shell::run(shell::cargo().args(digests))
}

/// The tests of tests/browser against a server of our own.
fn browser() -> Result<()> {
    needs::ensure_all()?;
    let address = serve::start(Some(0))?;
    shell::run(&mut node_tests(&address, "tests")?)
}

/// Node's test runner over the `*.test.mjs` files of a folder under tests/browser.
///
/// # Errors
/// When the folder cannot be read or there is no Chromium.
pub fn node_tests(address: &str, folder: &str) -> Result<std::process::Command> {
    let root = shell::root().join("tests/browser");
    let mut files: Vec<_> = std::fs::read_dir(root.join(folder))?
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.to_string_lossy().ends_with(".test.mjs"))
        .collect();
    files.sort();
    let mut node = shell::command("node");
    node.current_dir(root)
        .env("TRIALPLATE_ADDRESS", address)
        .env("TRIALPLATE_BROWSER", needs::browser()?)
        // Timings and the two-second bar suffer when journeys run side by side.
        .args(["--test", "--test-concurrency=1", "--test-reporter=spec"])
        .args(files);
    Ok(node)
}

fn name(step: Step) -> String {
    step.to_possible_value().map(|value| value.get_name().to_owned()).unwrap_or_default()
}

fn seconds(duration: Duration) -> String {
    format!("{:.1} s", duration.as_secs_f64())
}
