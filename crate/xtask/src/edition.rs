//! The service worker's list of files, and the name of the edition they make: the same files, the same name.

use std::fs;
use std::path::Path;

use anyhow::{Context, Result, ensure};
use sha2::{Digest, Sha256};

/// The worker, and the two lines in it that are filled in.
pub const WORKER: &str = "sw.js";
const EDITION: &str = "const EDITION = '';";
const FILES: &str = "const FILES = [];";

/// What `cargo xtask serve` sends in its place: a worker that takes itself and all kept files away, so that a developer
/// never looks at a file of yesterday, whatever was served from this port before.
pub const WITHDRAWN: &str = "\
addEventListener('install', () => skipWaiting());
addEventListener('activate', (event) => event.waitUntil((async () => {
  for (const name of await caches.keys()) await caches.delete(name);
  await registration.unregister();
})()));
";

/// Fills in edition and files in the worker of a finished folder.
///
/// # Errors
/// When the worker is missing, lacks a line to fill in, or a file cannot be read.
pub fn name(folder: &Path) -> Result<()> {
    let place = folder.join(WORKER);
    let worker = fs::read_to_string(&place).context("the page has no sw.js")?;
    let mut files = Vec::new();
    list(folder, "", &mut files)?;
    let filled = fill(&worker, &mut files)?;
    fs::write(&place, filled).context("cannot write sw.js")
}

/// The worker with its two lines filled in; `files` are paths with content.
fn fill(worker: &str, files: &mut [(String, Vec<u8>)]) -> Result<String> {
    for line in [EDITION, FILES] {
        ensure!(worker.matches(line).count() == 1, "sw.js should have the line `{line}` once");
    }
    files.sort();
    let mut digest = Sha256::new();
    // A change of the worker's own code is a new edition too.
    digest.update(worker);
    for (path, content) in &*files {
        digest.update(path);
        digest.update([0]);
        digest.update(Sha256::digest(content));
    }
    let edition: String = digest.finalize().iter().take(8).map(|byte| format!("{byte:02x}")).collect();
    let paths: Vec<&str> = files.iter().map(|(path, _)| path.as_str()).collect();
    ensure!(
        paths.iter().all(|path| !path.contains([' ', '\'', '\\'])),
        "a file's name has a space or a quote"
    );
    // Shorter than a list, by two bytes a file.
    let paths = format!("'{}'.split(' ')", paths.join(" "));
    Ok(worker
        .replace(EDITION, &format!("const EDITION = '{edition}';"))
        .replace(FILES, &format!("const FILES = {paths};")))
}

/// All files but the worker and what only editors of code read; the page itself goes by its folder's address, because some
/// hosts send readers of index.html there.
fn list(folder: &Path, prefix: &str, files: &mut Vec<(String, Vec<u8>)>) -> Result<()> {
    for entry in fs::read_dir(folder).with_context(|| format!("cannot read {}", folder.display()))? {
        let entry = entry?;
        let path = format!("{prefix}{}", entry.file_name().to_string_lossy());
        if entry.file_type()?.is_dir() {
            list(&entry.path(), &format!("{path}/"), files)?;
        } else if path != WORKER && !path.ends_with(".d.ts") {
            let path = if path == "index.html" { "./".to_owned() } else { path };
            files.push((path, fs::read(entry.path())?));
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::{EDITION, FILES, fill};

    fn edition(content: &str) -> String {
        let mut files = [("b.js".to_owned(), vec![1]), ("./".to_owned(), content.into())];
        let worker = fill(&format!("{EDITION}\n{FILES}\n"), &mut files).expect("a whole worker");
        assert!(worker.contains("const FILES = './ b.js'.split(' ');"), "{worker}");
        worker.lines().next().expect("a line").to_owned()
    }

    #[test]
    fn a_changed_file_is_a_new_edition() {
        assert_eq!(edition("a"), edition("a"));
        assert_ne!(edition("a"), edition("b"));
    }

    #[test]
    fn a_worker_without_its_lines_is_refused() {
        assert!(fill("const FILES = [];", &mut []).is_err());
    }
}
