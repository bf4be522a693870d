//! Binaryen's second pass over the wasm, from the npm package of the browser tests: smallest, at the cost of a tenth of a frame.

use std::path::Path;

use anyhow::{Context, Result};

use crate::{needs, shell};

/// What the page may rely on in every browser it supports; the optimiser must not use more.
const FEATURES: [&str; 7] = [
    "--enable-simd",
    "--enable-bulk-memory",
    "--enable-nontrapping-float-to-int",
    "--enable-sign-ext",
    "--enable-mutable-globals",
    "--enable-reference-types",
    "--enable-multivalue",
];

/// Optimises a wasm file in place. Without Node and npm it stays as it is, which is all right for looking at the page.
///
/// # Errors
/// When the packages cannot be installed or the optimiser fails.
pub fn wasm(file: &Path) -> Result<()> {
    if !needs::has_node() {
        println!("Node and npm are missing: the wasm is a little larger than it could be");
        return Ok(());
    }
    needs::node_packages()?;
    let program = shell::root().join("tests/browser/node_modules/binaryen/bin/wasm-opt");
    let smaller = file.with_extension("smaller");
    let mut command = shell::command("node");
    shell::run(
        command
            .arg(program)
            .args(FEATURES)
            // The stack comes first (.cargo/config.toml), so nothing lies in the first kilobyte but its end: constants can be added
            // to addresses where they are used.
            .arg("--low-memory-unused")
            // Last of all the most called functions get the shortest numbers: 9 kB.
            .args(["--merge-similar-functions", "-Oz", "--reorder-functions"])
            .arg(file)
            .arg("-o")
            .arg(&smaller),
    )?;
    std::fs::rename(&smaller, file).context("cannot move the optimised wasm in place")
}
