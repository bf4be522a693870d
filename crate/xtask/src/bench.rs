//! Measures speed on this machine and writes a report.

use anyhow::Result;

use crate::{bundle, needs, serve, shell, test};

/// The same frames, natively.
const TIMED_FRAMES: &str = "timed_frames";

/// Builds the page, times frames in headless Chromium and writes docs/bench.md.
///
/// # Errors
/// When the build, the browser or the writing fails.
pub fn run() -> Result<()> {
    bundle::build(bundle::Scripts::Small)?;
    needs::ensure_all()?;
    let address = serve::start(Some(0))?;
    shell::run(
        shell::cargo()
            .args(["build", "--locked", "--profile", "native", "--package", "page"])
            .args(["--example", TIMED_FRAMES]),
    )?;
    let timed_frames = bundle::target_folder()?
        .join(format!("native/examples/{TIMED_FRAMES}{}", std::env::consts::EXE_SUFFIX));
    let report = shell::root().join("docs/bench.md");
    shell::run(
        test::node_tests(&address, "bench")?
            .env("TRIALPLATE_REPORT", report)
            .env("TRIALPLATE_TIMED_FRAMES", timed_frames),
    )
}
