//! Every check, in steps.

use std::time::{Duration, Instant};

use anyhow::Result;
use clap::ValueEnum;

use crate::{bundle, needs, serve, shell};

/// Tests that run in Firefox with every test command: bits, a whole journey, storage, files, and the harness itself.
const IN_FIREFOX: [&str; 5] = ["digests", "harness", "keeping", "newcomer", "sheet-files"];

/// One step of `cargo xtask test`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Step {
    /// The code is formatted
    Format,
    /// Clippy has nothing to say
    Lint,
    /// Unit tests and the checks of tests/, native
    Native,
    /// Golden frames by crates as they are released: other optimisation, same bits
    Release,
    /// dist/ builds and is small enough
    Build,
    /// Digests in Node and Chromium, and whole journeys in headless Chromium
    Browser,
    /// Digests and chosen journeys in a stock Firefox, or all of them with TRIALPLATE_FIREFOX=all
    Firefox,
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
            Step::Build => bundle::build(bundle::Scripts::Small).and_then(|()| bundle::check_size())?,
            Step::Browser => browser()?,
            Step::Firefox => firefox()?,
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

/// The golden frames alone: a minute of building, where all tests released would take many. Crates are optimised each for itself;
/// as a whole they are in the wasm.
fn release() -> Result<()> {
    let digests = ["test", "--locked", "--release", "--package", "checks", "--test", "digests"];
    let mut cargo = shell::cargo();
    cargo.env("CARGO_PROFILE_RELEASE_LTO", "off").env("CARGO_PROFILE_RELEASE_CODEGEN_UNITS", "16");
    shell::run(cargo.args(digests).args(["--", "frames_have_not_changed"]))
}

/// The native command, whose marks the page's are compared with: built as the native tests build it, or everything below it would
/// be compiled again.
fn command() -> Result<()> {
    shell::run(shell::cargo().args(["test", "--locked", "--workspace", "--no-run", "--test", "command"]))
}

/// Where it is.
fn native_command() -> Result<std::path::PathBuf> {
    Ok(bundle::target_folder()?.join(format!("debug/trialplate{}", std::env::consts::EXE_SUFFIX)))
}

/// The tests of tests/browser against a server of our own.
fn browser() -> Result<()> {
    needs::ensure_all()?;
    command()?;
    let address = serve::start(Some(0))?;
    shell::run(&mut node_tests(&address, "tests")?)
}

/// The same tests in Firefox: those where browsers differ, or all when asked for.
fn firefox() -> Result<()> {
    needs::ensure_all()?;
    command()?;
    needs::ensure_firefox()?;
    let address = serve::start(Some(0))?;
    let all = std::env::var("TRIALPLATE_FIREFOX").is_ok_and(|what| what == "all");
    let mut node = node_tests_of(&address, "tests", |name| all || IN_FIREFOX.contains(&name))?;
    node.env("TRIALPLATE_BROWSER", needs::firefox()?).env("TRIALPLATE_BROWSER_KIND", "firefox");
    shell::run(&mut node)
}

/// Node's test runner over the `*.test.mjs` files of a folder under tests/browser.
///
/// # Errors
/// When the folder cannot be read or there is no Chromium.
pub fn node_tests(address: &str, folder: &str) -> Result<std::process::Command> {
    node_tests_of(address, folder, |_| true)
}

/// The same over those of the files that are `wanted` by the name before `.test.mjs`.
fn node_tests_of(
    address: &str,
    folder: &str,
    wanted: impl Fn(&str) -> bool,
) -> Result<std::process::Command> {
    let root = shell::root().join("tests/browser");
    let mut files: Vec<_> = std::fs::read_dir(root.join(folder))?
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| {
            let name = path.file_name().unwrap_or_default().to_string_lossy();
            name.strip_suffix(".test.mjs").is_some_and(&wanted)
        })
        .collect();
    files.sort();
    let mut node = shell::command("node");
    node.current_dir(root)
        .env("TRIALPLATE_ADDRESS", address)
        .env("TRIALPLATE_BROWSER", needs::browser()?)
        .env("TRIALPLATE_COMMAND", native_command()?)
        // Timings suffer when journeys run side by side.
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
