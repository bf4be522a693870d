//! Imports run one way: page, desk -> exam -> instrument -> specimen -> acoustics; and no crate of the simulation
//! reaches JavaScript, threads, clocks or the system's randomness through a library.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use crate::tree;

/// Crates of the simulation with their height; a crate may use those below it only.
const HEIGHTS: [(&str, u8); 6] =
    [("acoustics", 0), ("specimen", 1), ("instrument", 2), ("exam", 3), ("page", 4), ("desk", 4)];

/// Crates that must compute the same everywhere, from their arguments alone.
const PURE: [&str; 4] = ["acoustics", "specimen", "instrument", "exam"];

const OUT_OF_BOUNDS: [&str; 13] = [
    "chrono",
    "getrandom",
    "js-sys",
    "num_cpus",
    "rand",
    "rayon",
    "reqwest",
    "tokio",
    "ureq",
    "wasm-bindgen",
    "web-sys",
    "web-time",
    "time",
];

/// Names under `[dependencies]` and `[target.….dependencies]` of a manifest, of those whose entry is wanted.
fn wanted(manifest: &str, wanted: fn(&toml::Value) -> bool) -> Vec<String> {
    let manifest: toml::Table = manifest.parse().expect("a TOML manifest");
    let targets = manifest.get("target").and_then(toml::Value::as_table);
    let tables = targets.into_iter().flat_map(toml::Table::values).filter_map(toml::Value::as_table);
    std::iter::once(&manifest)
        .chain(tables)
        .filter_map(|table| table.get("dependencies")?.as_table())
        .flatten()
        .filter(|(_, entry)| wanted(entry))
        .map(|(name, _)| name.clone())
        .collect()
}

fn direct(manifest: &str) -> Vec<String> {
    wanted(manifest, |_| true)
}

/// What comes along without asking. Optional ones serve files for people and are for the command line.
fn always(manifest: &str) -> Vec<String> {
    wanted(manifest, |entry| entry.get("optional").and_then(toml::Value::as_bool) != Some(true))
}

fn height(name: &str) -> Option<u8> {
    HEIGHTS.iter().find(|(known, _)| *known == name).map(|(_, height)| *height)
}

fn climbs(name: &str, manifest: &str) -> Vec<String> {
    let own = height(name).unwrap_or(u8::MAX);
    direct(manifest)
        .iter()
        .filter(|used| height(used).is_some_and(|used| used >= own))
        .map(|used| {
            format!("{name} -> {used}: imports run page, desk -> exam -> instrument -> specimen -> acoustics")
        })
        .collect()
}

/// Who depends on whom, from a lock file.
fn graph(lock: &str) -> BTreeMap<String, BTreeSet<String>> {
    let lock: toml::Table = lock.parse().expect("a lock file");
    let mut graph = BTreeMap::<String, BTreeSet<String>>::new();
    for package in lock["package"].as_array().expect("packages") {
        let name = package["name"].as_str().expect("a name").to_owned();
        let uses = package.get("dependencies").and_then(toml::Value::as_array);
        let uses = uses.into_iter().flatten().filter_map(toml::Value::as_str);
        // An entry is "name" or "name version".
        graph
            .entry(name)
            .or_default()
            .extend(uses.filter_map(|entry| Some(entry.split(' ').next()?.to_owned())));
    }
    graph
}

/// The shortest way from a crate's own dependencies to something out of bounds.
fn way_out(name: &str, manifest: &str, graph: &BTreeMap<String, BTreeSet<String>>) -> Option<String> {
    let mut queue: VecDeque<Vec<String>> = always(manifest).into_iter().map(|first| vec![first]).collect();
    let mut seen = BTreeSet::new();
    while let Some(way) = queue.pop_front() {
        let last = way.last()?.clone();
        if OUT_OF_BOUNDS.contains(&last.as_str()) {
            return Some(format!("{name} -> {}", way.join(" -> ")));
        }
        // Crates of the tree are looked at on their own: the lock file mixes in what only their tests use.
        if height(&last).is_none() && seen.insert(last.clone()) {
            for next in graph.get(&last).into_iter().flatten() {
                queue.push_back(way.iter().cloned().chain([next.clone()]).collect());
            }
        }
    }
    None
}

#[test]
fn imports_run_one_way() {
    let complaints: Vec<String> = HEIGHTS
        .iter()
        .flat_map(|(name, _)| climbs(name, &tree::read(&format!("crate/{name}/Cargo.toml"))))
        .collect();
    tree::none(&complaints);
}

#[test]
fn the_page_asks_for_nothing_optional() {
    let page = tree::read("crate/page/Cargo.toml");
    let asked = wanted(&page, |entry| entry.get("features").is_some());
    tree::none(&asked.into_iter().filter(|name| height(name).is_some()).collect::<Vec<_>>());
}

#[test]
fn the_simulation_reaches_no_clock_thread_or_script() {
    let graph = graph(&tree::read("Cargo.lock"));
    let complaints: Vec<String> = PURE
        .iter()
        .filter_map(|name| way_out(name, &tree::read(&format!("crate/{name}/Cargo.toml")), &graph))
        .collect();
    tree::none(&complaints);
}

#[test]
fn a_climbing_import_is_found() {
    let manifest = "[dependencies]\nlibm = \"1\"\nspecimen.workspace = true";
    assert_eq!(climbs("acoustics", manifest).len(), 1);
    assert_eq!(climbs("specimen", "[target.x.dependencies]\nexam = \"1\"").len(), 1);
    assert!(climbs("instrument", manifest).is_empty());
}

#[test]
fn a_hidden_way_to_a_clock_is_found() {
    let graph = graph(
        "[[package]]\nname = \"handy\"\ndependencies = [\"middle 1.0\"]\n\
         [[package]]\nname = \"middle\"\ndependencies = [\"web-time\"]",
    );
    let way = way_out("acoustics", "[dependencies]\nhandy = \"1\"", &graph);
    assert_eq!(way.as_deref(), Some("acoustics -> handy -> middle -> web-time"));
}
