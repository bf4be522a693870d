//! What the browser tests need beyond Rust: Node, npm, Chromium, and the packages of the lock file.

use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context, Result, bail, ensure};

use crate::shell;

/// Names Chromium goes by.
pub const BROWSERS: [&str; 4] = ["chromium", "chromium-browser", "google-chrome", "google-chrome-stable"];

/// Names Firefox goes by; over WebDriver BiDi a stock one can be driven.
const FIREFOXES: [&str; 2] = ["firefox-esr", "firefox"];

const OLDEST_NODE: u32 = 20;

/// Sees to it that all is there; on Debian as root installs what is missing.
///
/// # Errors
/// When something is missing and cannot be installed; the message says in one line what to install.
pub fn ensure_all() -> Result<()> {
    let mut packages = Vec::new();
    for (package, programs) in [("nodejs", &["node"][..]), ("npm", &["npm"]), ("chromium", &BROWSERS)] {
        if shell::find_program(programs).is_none() {
            packages.push(package);
        }
    }
    if !packages.is_empty() {
        install(&packages)?;
    }
    let version = shell::output(shell::command("node").arg("--version"))?;
    let major: u32 =
        version.trim().trim_start_matches('v').split('.').next().unwrap_or("").parse().unwrap_or(0);
    ensure!(major >= OLDEST_NODE, "Node {OLDEST_NODE} or newer is needed, this is {}", version.trim());
    node_packages()
}

/// Sees to it that there is a Firefox; on Debian as root installs it.
///
/// # Errors
/// When it is missing and cannot be installed.
pub fn ensure_firefox() -> Result<()> {
    if firefox().is_err() { install(&["firefox-esr"]) } else { Ok(()) }
}

/// The Firefox to drive.
///
/// # Errors
/// When there is none.
pub fn firefox() -> Result<PathBuf> {
    shell::find_program(&FIREFOXES).context("no Firefox on the search path: install the package firefox-esr")
}

/// The Chromium to drive.
///
/// # Errors
/// When there is none.
pub fn browser() -> Result<PathBuf> {
    shell::find_program(&BROWSERS).context("no Chromium on the search path: install the package chromium")
}

fn install(packages: &[&str]) -> Result<()> {
    let is_root = shell::output(Command::new("id").arg("-u")).is_ok_and(|id| id.trim() == "0");
    if !(is_root && Path::new("/etc/debian_version").exists()) {
        bail!("the browser tests need these on the search path, please install: {}", packages.join(", "));
    }
    println!("Installing {} …", packages.join(", "));
    let apt = || {
        let mut apt = shell::command("apt-get");
        apt.env("DEBIAN_FRONTEND", "noninteractive").arg("--quiet=2");
        apt
    };
    shell::run(apt().arg("update"))?;
    shell::run(apt().args(["install", "--yes", "--no-install-recommends"]).args(packages))
}

/// Whether a build can use the packages of the lock file.
pub fn has_node() -> bool {
    shell::find_program(&["node"]).is_some() && shell::find_program(&["npm"]).is_some()
}

/// `npm ci`, but only when the lock file has changed since the last one.
///
/// # Errors
/// When npm fails.
pub fn node_packages() -> Result<()> {
    let folder = shell::root().join("tests/browser");
    let lock = std::fs::read(folder.join("package-lock.json")).context("tests/browser has no lock file")?;
    let mark = folder.join("node_modules/.lock-installed");
    if std::fs::read(&mark).is_ok_and(|installed| installed == lock) {
        return Ok(());
    }
    shell::run(shell::command("npm").current_dir(folder).args([
        "ci",
        "--ignore-scripts",
        "--no-audit",
        "--no-fund",
    ]))?;
    std::fs::write(mark, lock).context("cannot write to tests/browser/node_modules")
}
