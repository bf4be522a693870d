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
