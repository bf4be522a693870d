//! The scripts and style sheets of dist/ made small by esbuild, from the npm packages of the browser tests: without
//! comments, white space and long local names. Files, modules and exported names stay as they are.

use std::path::{Path, PathBuf};

use anyhow::{Result, ensure};

use crate::{edition, needs, shell};

/// Minifies a folder's scripts and style sheets in place. Without Node and npm they stay as they are.
///
/// # Errors
/// When the packages cannot be installed, or esbuild fails or warns.
pub fn folder(folder: &Path) -> Result<()> {
    if !needs::has_node() {
        println!("Node and npm are missing: the scripts keep their comments");
        return Ok(());
    }
    needs::node_packages()?;
    let mut files = Vec::new();
    list(folder, &mut files)?;
    let program = shell::root().join("tests/browser/node_modules/esbuild/bin/esbuild");
    let mut command = shell::command("node");
    command.arg(program).args([
        "--minify",
        "--legal-comments=none",
        "--charset=utf8",
        "--log-level=error",
        // A text written twice: the one that is not shown would be corrected in vain.
        "--log-override:duplicate-object-key=error",
        "--allow-overwrite",
    ]);
    command.arg(format!("--outbase={}", folder.display())).arg(format!("--outdir={}", folder.display()));
    // The line of hundreds of files is of no help in a message.
    let status = command.args(files).status()?;
    ensure!(status.success(), "esbuild cannot minify the scripts and style sheets ({status})");
    Ok(())
}

/// All but the service worker, whose lines are still to be filled in.
fn list(folder: &Path, files: &mut Vec<PathBuf>) -> Result<()> {
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            list(&path, files)?;
        } else if path.extension().is_some_and(|kind| kind == "js" || kind == "css")
            && path.file_name().is_none_or(|name| name != edition::WORKER)
        {
            files.push(path);
        }
    }
    Ok(())
}
