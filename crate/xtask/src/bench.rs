//! Measures speed on this machine and writes a report.

use anyhow::Result;

use crate::{bundle, needs, serve, shell, test};

/// Builds the page, times frames in headless Chromium and writes docs/bench.md.
///
/// # Errors
/// When the build, the browser or the writing fails.
pub fn run() -> Result<()> {
    bundle::build(bundle::Scripts::Small)?;
    needs::ensure_all()?;
    let address = serve::start(Some(0))?;
    let report = shell::root().join("docs/bench.md");
    shell::run(test::node_tests(&address, "bench")?.env("TRIALPLATE_REPORT", report))
}
