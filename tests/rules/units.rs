//! Units stand in the name of every number that crosses a file or page boundary.

use toml::Value;

use crate::tree;

/// Endings that say what a number counts.
const UNITS: [&str; 16] = [
    "_mm",
    "_mm2",
    "_mm_per_us",
    "_g_per_cm3",
    "_deg",
    "_mhz",
    "_db",
    "_db_per_mm",
    "_percent",
    "_points",
    "_minutes",
    "_ms",
    "_px",
    "_mm_per_s",
    "_share",
    "_ratio",
];

/// Numbers that count things or are none of these: seeds, counts, and lists of mixed units that their doc explains.
const BARE: [&str; 13] = [
    "numbers",
    "version",
    "seed",
    "level",
    "elements",
    "first_element",
    "active_elements",
    "pores",
    "leg",
    "layer",
    "run",
    "branches",
    "flaw",
];

/// Tables of the marking scheme in which every number counts points.
const POINT_TABLES: [&str; 2] = ["points", "clean"];

fn has_unit(name: &str) -> bool {
    // Constants are written in capitals.
    let name = name.to_lowercase();
    let name = name.as_str();
    UNITS.iter().any(|unit| name.ends_with(unit)) || BARE.contains(&name)
}

fn unitless(path: &str, key: &str, value: &Value, complaints: &mut Vec<String>) {
    match value {
        Value::Integer(_) | Value::Float(_) if !has_unit(key) => {
            complaints.push(format!("{path}: {key}: a number whose name has no unit"));
        }
        Value::Array(values) => values.iter().for_each(|value| unitless(path, key, value, complaints)),
        Value::Table(_) if POINT_TABLES.contains(&key) => {}
        Value::Table(table) => table.iter().for_each(|(key, value)| unitless(path, key, value, complaints)),
        _ => {}
    }
}

/// Parameters and fields with a floating-point type but no unit, in code for the browser.
fn unitless_code(path: &str, text: &str) -> Vec<String> {
    text.lines()
        .filter(|line| !line.trim_start().starts_with("//"))
        .flat_map(|line| line.split(['(', ',', '{']))
        .filter_map(|part| part.split_once(':'))
        .filter(|(_, kind)| {
            ["f64", "f32", "[f64", "[f32", "Option<f64", "Option<f32"]
                .iter()
                .any(|float| kind.trim().starts_with(float))
        })
        .filter_map(|(name, _)| name.split_whitespace().last())
        .filter(|name| !has_unit(name))
        .map(|name| format!("{path}: {name}: a number whose name has no unit"))
        .collect()
}

#[test]
fn numbers_in_scenarios_have_units() {
    let files = tree::files("scenarios", &[".toml"]);
    assert!(!files.is_empty(), "there are scenarios");
    let mut complaints = Vec::new();
    for file in files {
        let table: toml::Table = file.text.parse().unwrap_or_else(|error| panic!("{}: {error}", file.path));
        unitless(&file.path, "", &Value::Table(table), &mut complaints);
    }
    tree::none(&complaints);
}

#[test]
fn numbers_of_the_page_have_units() {
    let complaints: Vec<String> = tree::files("crate/page/src", &[".rs"])
        .iter()
        .flat_map(|file| unitless_code(&file.path, &file.text))
        .collect();
    tree::none(&complaints);
}

#[test]
fn a_missing_unit_is_found() {
    let table: toml::Table =
        "[[flaw]]\nlength = 3.0\nheight_mm = 2\nseed = 1\nstretch = [[1, 2]]".parse().expect("TOML");
    let mut complaints = Vec::new();
    unitless("a.toml", "", &Value::Table(table), &mut complaints);
    assert_eq!(complaints.len(), 3, "{complaints:?}");
    assert_eq!(unitless_code("a.rs", "pub fn f(&self, gain: f64, y_mm: f64) {").len(), 1);
    assert_eq!(unitless_code("a.rs", "    pub ends: [f64; 2],").len(), 1);
}
