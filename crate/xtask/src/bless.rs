//! Makes the golden digests anew.

use anyhow::Result;

use crate::shell;

/// Writes tests/digests/golden.json from the native code; the diff shows what a change did to the frames.
///
/// # Errors
/// When a golden frame cannot be made.
pub fn run() -> Result<()> {
    shell::run(shell::cargo().env("TRIALPLATE_BLESS", "1").args([
        "test",
        "--locked",
        "--package",
        "checks",
        "--test",
        "digests",
        "frames_have_not_changed",
    ]))?;
    println!("tests/digests/golden.json is written; look at its diff before you commit it");
    Ok(())
}
