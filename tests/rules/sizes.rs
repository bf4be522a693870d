//! Small files with one subject.

use crate::tree;

/// Longest file by ending, lines.
const LIMITS: [(&str, usize); 4] = [(".rs", 400), (".js", 200), (".mjs", 200), (".css", 200)];

/// Longer ones, each with the reason.
const EXCEPTIONS: [(&str, &str); 0] = [];

fn too_long(path: &str, lines: usize) -> Option<String> {
    let limit = LIMITS.iter().find(|(ending, _)| path.ends_with(ending))?.1;
    let excused = EXCEPTIONS.iter().any(|(known, _)| *known == path);
    (lines > limit && !excused)
        .then(|| format!("{path}: {lines} lines, at most {limit}; split it by subject"))
}

#[test]
fn files_are_short() {
    let endings = LIMITS.map(|(ending, _)| ending);
    let complaints: Vec<String> = ["crate", "www", "tests"]
        .iter()
        .flat_map(|folder| tree::files(folder, &endings))
        .filter_map(|file| too_long(&file.path, file.text.lines().count()))
        .collect();
    tree::none(&complaints);
}

#[test]
fn a_long_file_is_found() {
    assert!(too_long("www/page/x.js", 201).is_some());
    assert!(too_long("crate/exam/src/x.rs", 400).is_none());
}
