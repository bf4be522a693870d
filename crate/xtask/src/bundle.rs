//! dist/: the page, its wasm and the scenarios, ready for any static host.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, ensure};
use flate2::Compression;
use flate2::write::GzEncoder;
use wasm_bindgen_cli_support::Bindgen;

use crate::{edition, minify, optimise, shell, wasm_target};

/// The page must stay light: bytes of wasm before compression.
pub const WASM_LIMIT_BYTES: u64 = 1_780_000;

/// The whole site before compression, with all languages, pictures and scenarios.
pub const SITE_LIMIT_BYTES: u64 = 2_500_000;

/// How the scripts and style sheets stand in dist/.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Scripts {
    /// As in www/, for whoever works on them.
    AsWritten,
    /// Without comments, white space and long local names, for readers.
    Small,
}

/// The folder that is served.
pub fn folder() -> PathBuf {
    shell::root().join("dist")
}

/// The wasm module in it.
pub fn wasm_file() -> PathBuf {
    folder().join("wasm/page_bg.wasm")
}

/// Builds dist/ anew and prints its size.
///
/// # Errors
/// When the target is missing, a build fails or a file cannot be written.
pub fn build(scripts: Scripts) -> Result<()> {
    wasm_target::ensure()?;
    shell::run(
        // The flags of .cargo/config.toml hold for the page; these would silently replace them.
        shell::cargo().env_remove("RUSTFLAGS").env_remove("CARGO_ENCODED_RUSTFLAGS").args([
            "build",
            "--package",
            "page",
            "--release",
            "--locked",
            "--target",
            wasm_target::NAME,
            "--config",
            &short_places()?,
        ]),
    )?;
    let fresh = shell::root().join("dist.new");
    remove(&fresh)?;
    copy_tree(&shell::root().join("www"), &fresh)?;
    copy_tree(&shell::root().join("scenarios"), &fresh.join("scenarios"))?;
    // The wasm holds the store of probes; nothing asks for the files.
    remove(&fresh.join("scenarios/probes"))?;
    Bindgen::new()
        .input_path(target_folder()?.join(wasm_target::NAME).join("release/page.wasm"))
        .web(true)?
        .typescript(false)
        .remove_name_section(true)
        .remove_producers_section(true)
        .generate(fresh.join("wasm"))
        .context("cannot make the page's bindings")?;
    optimise::wasm(&fresh.join("wasm/page_bg.wasm"))?;
    if scripts == Scripts::Small {
        minify::folder(&fresh)?;
        minify::styles(&fresh)?;
        minify::scenarios(&fresh.join("scenarios"))?;
        minify::pages(&fresh)?;
    }
    edition::name(&fresh)?;
    if scripts == Scripts::Small {
        minify::worker(&fresh)?;
    }
    // Swapped in whole: whoever serves dist/ never sees half of a build.
    remove(&folder())?;
    fs::rename(&fresh, folder()).context("cannot move the new dist/ in place")?;
    report()
}

/// Checks the sizes of the wasm and of the whole site against their limits.
///
/// # Errors
/// When one is too big or missing.
pub fn check_size() -> Result<()> {
    let bytes = fs::metadata(wasm_file()).context("dist/ has no wasm")?.len();
    ensure!(bytes < WASM_LIMIT_BYTES, "page_bg.wasm has {bytes} bytes; the limit is {WASM_LIMIT_BYTES}");
    println!("page_bg.wasm: {bytes} of {WASM_LIMIT_BYTES} bytes");
    let site = bytes_in(&folder())?;
    ensure!(site < SITE_LIMIT_BYTES, "dist/ has {site} bytes; the limit is {SITE_LIMIT_BYTES}");
    println!("dist/: {site} of {SITE_LIMIT_BYTES} bytes");
    Ok(())
}

fn bytes_in(folder: &Path) -> Result<u64> {
    let mut bytes = 0;
    for entry in fs::read_dir(folder).with_context(|| format!("cannot read {}", folder.display()))? {
        let entry = entry?;
        let about = entry.metadata()?;
        bytes += if about.is_dir() { bytes_in(&entry.path())? } else { about.len() };
    }
    Ok(bytes)
}

/// Cargo's setting by which the wasm names the sources of crates without the folder where this machine keeps them: less to
/// load, and nothing of the machine in it.
fn short_places() -> Result<String> {
    let own = std::env::home_dir().map(|home| home.join(".cargo"));
    let home = std::env::var_os("CARGO_HOME").map(PathBuf::from).or(own);
    let home = home.context("cannot tell where Cargo keeps its crates")?;
    let mut flags = Vec::new();
    for registry in fs::read_dir(home.join("registry/src")).into_iter().flatten() {
        flags.push(format!("--remap-path-prefix={}=crates", registry?.path().display()));
    }
    Ok(format!("target.{}.rustflags={}", wasm_target::NAME, serde_json::to_string(&flags)?))
}

fn report() -> Result<()> {
    let wasm = fs::read(wasm_file())?;
    let mut gzip = GzEncoder::new(Vec::new(), Compression::best());
    gzip.write_all(&wasm)?;
    let packed = gzip.finish()?;
    println!(
        "dist/ is ready: {} kB; its wasm {} kB, {} kB gzipped",
        bytes_in(&folder())? / 1000,
        wasm.len() / 1000,
        packed.len() / 1000
    );
    Ok(())
}

pub fn target_folder() -> Result<PathBuf> {
    let json = shell::output(shell::cargo().args(["metadata", "--no-deps", "--format-version", "1"]))?;
    let metadata: serde_json::Value = serde_json::from_str(&json)?;
    let folder = metadata["target_directory"].as_str().context("cargo metadata names no target_directory")?;
    Ok(PathBuf::from(folder))
}

fn remove(folder: &Path) -> Result<()> {
    if folder.exists() {
        fs::remove_dir_all(folder).with_context(|| format!("cannot remove {}", folder.display()))?;
    }
    Ok(())
}

fn copy_tree(from: &Path, to: &Path) -> Result<()> {
    fs::create_dir_all(to).with_context(|| format!("cannot make {}", to.display()))?;
    for entry in fs::read_dir(from).with_context(|| format!("cannot read {}", from.display()))? {
        let entry = entry?;
        let target = to.join(entry.file_name());
        if entry.file_type()?.is_dir() {
            copy_tree(&entry.path(), &target)?;
        } else {
            fs::copy(entry.path(), &target)
                .with_context(|| format!("cannot copy to {}", target.display()))?;
        }
    }
    Ok(())
}
