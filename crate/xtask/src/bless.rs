//! Makes the golden digests anew.

use anyhow::Result;

use crate::shell;

/// Writes tests/digests/golden.json and fair-plates.json from the native code; the diff shows what a change did to frames and
/// to what counts in drawn plates.
///
/// # Errors
/// When a golden frame or a plate cannot be made.
pub fn run() -> Result<()> {
    shell::run(shell::cargo().env("TRIALPLATE_BLESS", "1").args([
        "test",
        "--locked",
        "--package",
        "checks",
        "--test",
        "digests",
        "--",
        "frames_have_not_changed",
        "plates_made_fair_have_not_changed",
    ]))?;
    println!(
        "tests/digests/golden.json and fair-plates.json are written; look at the diff before you commit it"
    );
    Ok(())
}
