//! The compile target of the page.

use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use anyhow::{Result, bail};

use crate::shell;

/// Name of the target.
pub const NAME: &str = "wasm32-unknown-unknown";

const PATIENCE: Duration = Duration::from_secs(300);

const WITHOUT_RUSTUP: &str = "\
The page needs Rust's target wasm32-unknown-unknown, and it could not be added here.
With rustup:           rustup target add wasm32-unknown-unknown   (needs the network once)
With Debian's own Rust: the packages rustc-web, cargo-web, rust-web-src and lld-22, and
                       -Zbuild-std=std,panic_abort, build the same target";

/// Adds the target if the compiler in use lacks it.
///
/// # Errors
/// When it is missing and rustup is missing, fails or does not answer in time; the message says what to do.
pub fn ensure() -> Result<()> {
    if is_there() {
        return Ok(());
    }
    println!("Adding Rust's target {NAME} (once) …");
    let added = Command::new("rustup")
        .current_dir(shell::root())
        .args(["target", "add", NAME])
        .stdin(Stdio::null())
        .spawn()
        .is_ok_and(|child| succeeds_in(child, PATIENCE));
    if added && is_there() {
        return Ok(());
    }
    bail!("{WITHOUT_RUSTUP}");
}

/// True when the compiler in use has the target's standard library; works without rustup too.
fn is_there() -> bool {
    let rustc = std::env::var("RUSTC").unwrap_or_else(|_| "rustc".into());
    let folder = Command::new(rustc)
        .current_dir(shell::root())
        .args(["--print", "target-libdir", "--target", NAME])
        .output()
        .map(|output| PathBuf::from(String::from_utf8_lossy(&output.stdout).trim()));
    folder.is_ok_and(|folder| {
        std::fs::read_dir(folder).is_ok_and(|mut entries| {
            entries.any(|entry| {
                entry.is_ok_and(|entry| entry.file_name().to_string_lossy().starts_with("libstd-"))
            })
        })
    })
}

fn succeeds_in(mut child: Child, patience: Duration) -> bool {
    let start = Instant::now();
    while start.elapsed() < patience {
        match child.try_wait() {
            Ok(Some(status)) => return status.success(),
            Ok(None) => std::thread::sleep(Duration::from_millis(100)),
            Err(_) => return false,
        }
    }
    // It hangs; ending it may fail only because it has just ended by itself.
    let _ = child.kill();
    let _ = child.wait();
    false
}
