//! Every value of check_values.csv has a test that bears its id: `c05_…`, `c08_to_c10_…`, `c11_c12_c14_…`.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use crate::table;

/// Values whose tests are still to come; a name leaves this list with its test.
const AWAITED: [&str; 0] = [];

/// Names of the functions right below `#[test]`.
fn tests(source: &str) -> Vec<String> {
    let mut lines = source.lines().map(str::trim);
    let mut names = Vec::new();
    while lines.any(|line| line == "#[test]") {
        let name = lines.clone().find_map(|line| line.strip_prefix("fn ")?.split('(').next());
        names.extend(name.map(str::to_owned));
    }
    names
}

fn number(word: &str) -> Option<u8> {
    word.strip_prefix('c').filter(|digits| digits.len() == 2)?.parse().ok()
}

/// Ids that a test's name claims.
fn ids(name: &str) -> BTreeSet<String> {
    let mut words = name.split('_').peekable();
    let mut found = BTreeSet::new();
    while let Some(first) = words.next().and_then(number) {
        let last = if words.next_if_eq(&"to").is_some() { words.next().and_then(number) } else { None };
        found.extend((first..=last.unwrap_or(first)).map(|n| format!("C{n:02}")));
    }
    found
}

fn claimed() -> BTreeSet<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("published");
    let main = fs::read_to_string(folder.join("main.rs")).unwrap();
    // Only modules that are compiled.
    let modules = main.lines().filter_map(|line| line.strip_prefix("mod ")?.strip_suffix(';'));
    modules
        .flat_map(|module| tests(&fs::read_to_string(folder.join(format!("{module}.rs"))).unwrap()))
        .flat_map(|name| ids(&name))
        .collect()
}

#[test]
fn every_value_has_its_test() {
    let listed: BTreeSet<String> = table("check_values.csv")[1..].iter().map(|row| row[0].clone()).collect();
    assert_eq!(listed.len(), 40);
    let awaited: BTreeSet<String> = AWAITED.map(str::to_owned).into();
    let claimed = claimed();
    let both: Vec<_> = claimed.intersection(&awaited).collect();
    assert!(both.is_empty(), "tested now, so no longer awaited: {both:?}");
    let covered: BTreeSet<String> = claimed.union(&awaited).cloned().collect();
    let untested: Vec<_> = listed.difference(&covered).collect();
    assert!(untested.is_empty(), "no test: {untested:?}");
    let unknown: Vec<_> = covered.difference(&listed).collect();
    assert!(unknown.is_empty(), "not in check_values.csv: {unknown:?}");
}

#[test]
fn a_missing_test_is_found() {
    let source =
        "#[test]\nfn c01_poisson() {}\nfn c02_helper() {}\n#[test]\n#[ignore]\nfn c08_to_c10_corner() {}";
    assert_eq!(tests(source), ["c01_poisson", "c08_to_c10_corner"]);
    assert_eq!(Vec::from_iter(ids("c08_to_c10_corner")), ["C08", "C09", "C10"]);
    assert_eq!(Vec::from_iter(ids("c11_c12_c14_transmission_c99")), ["C11", "C12", "C14"]);
    assert!(ids("table_of_rims").is_empty());
}
