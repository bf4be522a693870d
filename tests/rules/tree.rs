//! Files of the work tree.

use std::fs;
use std::path::{Path, PathBuf};

/// The root of the work tree.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..").canonicalize().expect("the tree has a root")
}

/// A text file: its path from the root, with forward slashes, and what is in it.
pub struct Text {
    pub path: String,
    pub text: String,
}

/// The text of one file.
pub fn read(path: &str) -> String {
    fs::read_to_string(root().join(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// All files with one of these endings below a folder, sorted; built and fetched folders are left out.
pub fn files(folder: &str, endings: &[&str]) -> Vec<Text> {
    let mut paths = Vec::new();
    walk(&root().join(folder), endings, &mut paths);
    paths.sort();
    paths
        .into_iter()
        .map(|path| {
            let name = path.strip_prefix(root()).expect("a path below the root");
            let name = name.to_string_lossy().replace('\\', "/");
            Text { text: read(&name), path: name }
        })
        .collect()
}

fn walk(folder: &Path, endings: &[&str], found: &mut Vec<PathBuf>) {
    let entries = fs::read_dir(folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    for entry in entries {
        let path = entry.expect("a readable entry").path();
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        if path.is_dir() {
            if !matches!(name.as_str(), "target" | "node_modules" | "dist" | "dist.new" | "out" | ".git") {
                walk(&path, endings, found);
            }
        } else if endings.iter().any(|ending| name.ends_with(ending)) {
            found.push(path);
        }
    }
}

/// Fails with all complaints, one a line.
pub fn none(complaints: &[String]) {
    assert!(complaints.is_empty(), "\n{}\n", complaints.join("\n"));
}
