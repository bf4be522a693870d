//! Values from outside: each check names its id, its source and its kind. Tables are in data/, with their sources in
//! data/README.md. "Computed" means computed from the formula named, independently of this project's code.
#![allow(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "compared within tolerances, on one machine"
)]

mod beams;
mod cavities;
mod coverage;
mod delay_laws;
mod detection;
mod distance_laws;
mod examination;
mod interfaces;
mod plotting;
mod rims;

/// A table of data/ as rows of text cells, header first.
pub fn table(name: &str) -> Vec<Vec<String>> {
    let path = format!("{}/published/data/{name}", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap();
    text.lines().map(|line| line.split(',').map(str::to_owned).collect()).collect()
}

/// A column of a table as numbers.
pub fn column(table: &[Vec<String>], name: &str) -> Vec<f64> {
    let index = table[0].iter().position(|cell| cell == name).unwrap_or_else(|| panic!("no column {name}"));
    table[1..].iter().map(|row| row[index].parse().unwrap()).collect()
}

/// A value of computed.csv.
pub fn expected(id: &str, what: &str) -> f64 {
    let row = table("computed.csv").into_iter().find(|row| row[0] == id && row[1] == what);
    row.unwrap_or_else(|| panic!("computed.csv has no {id} {what}"))[2].parse().unwrap()
}

/// The tolerances of a value in check_values.csv, in its order: in the value's unit, or as a part of it where they stand in percent.
pub fn tolerances(id: &str) -> Vec<f64> {
    let path = format!("{}/published/data/check_values.csv", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap();
    let line = text.lines().find(|line| line.starts_with(&format!("{id},")));
    let line = line.unwrap_or_else(|| panic!("check_values.csv has no {id}"));
    // Commas between quotes do not part cells.
    let mut quoted = false;
    let cells: Vec<&str> = line
        .split(|letter| {
            quoted ^= letter == '"';
            letter == ',' && !quoted
        })
        .collect();
    // What does not begin with a number is a remark.
    let one = |part: &str| {
        let mut words = part.split_whitespace();
        let value: f64 = words.next()?.parse().ok()?;
        Some(if words.next() == Some("%") { value / 100.0 } else { value })
    };
    let found: Vec<f64> = cells[3].split(';').filter_map(one).collect();
    assert!(!found.is_empty(), "check_values.csv has no tolerance for {id}");
    found
}

/// The first of them.
pub fn within(id: &str) -> f64 {
    tolerances(id)[0]
}
