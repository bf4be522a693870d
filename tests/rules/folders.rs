//! The folder map of the README is the tree.

use std::collections::BTreeSet;
use std::fs;

use crate::tree;

/// Folders named at the start of the lines of the map in the README.
fn mapped(readme: &str) -> BTreeSet<String> {
    let map = readme.split("## Folders").nth(1).expect("the README has a chapter Folders");
    let map = map.split("\n## ").next().unwrap_or(map);
    map.lines()
        .filter_map(|line| line.strip_prefix("    ")?.split_whitespace().next())
        .filter(|word| word.contains('/'))
        .map(|word| word.trim_end_matches('/').to_owned())
        .collect()
}

fn folders(path: &str) -> BTreeSet<String> {
    fs::read_dir(tree::root().join(path))
        .expect("a folder")
        .filter_map(Result::ok)
        .filter(|entry| entry.path().is_dir())
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .collect()
}

#[test]
fn the_readme_names_every_folder_and_no_other() {
    let mapped = mapped(&tree::read("README.md"));
    let built = ["target", "dist", "dist.new"];
    let top = folders("")
        .into_iter()
        .filter(|name| !name.starts_with('.') && name != "crate" && !built.contains(&name.as_str()));
    let crates = folders("crate").into_iter().map(|name| format!("crate/{name}"));
    assert_eq!(mapped, top.chain(crates).collect::<BTreeSet<_>>());
}

#[test]
fn the_page_loads_nothing_from_elsewhere() {
    // Names of XML languages look like addresses but load nothing.
    let complaints: Vec<String> =
        tree::files("www", &[".html", ".css", ".js", ".mjs", ".json", ".svg", ".webmanifest"])
            .iter()
            .flat_map(|file| {
                file.text
                    .lines()
                    .filter(|line| {
                        let line = line.replace("http://www.w3.org/", "");
                        line.contains("http://") || line.contains("https://")
                    })
                    .map(|line| format!("{}: {}", file.path, line.trim()))
                    .collect::<Vec<_>>()
            })
            .collect();
    tree::none(&complaints);
}
