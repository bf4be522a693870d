//! Plate files edited in place, with their comments, and the schema of their form.

use std::io::{self, Write};
use std::path::{Path, PathBuf};

use clap::Args;
use exam::paper::{Paper, VERSION};
use toml_edit::{DocumentMut, Item, Value};

use crate::failure::Failure;
use crate::files;

/// Arguments of `plate set`.
#[derive(Args)]
pub struct Set {
    /// Plate file.
    file: PathBuf,
    /// The key as errors name it, such as `plate.flaw[1].length_mm`; flaws count from 0.
    key: String,
    /// The value as TOML writes it, such as 12.5, true or "text" (with its quotes).
    #[arg(allow_negative_numbers = true)]
    value: String,
}

/// Arguments of `plate migrate`.
#[derive(Args)]
pub struct Migrate {
    /// Plate files.
    #[arg(required = true)]
    files: Vec<PathBuf>,
}

/// Sets one value.
pub fn set(arguments: &Set) -> Result<(), Failure> {
    let value: Value = arguments.value.parse().map_err(|_| {
        Failure::Said(format!(
            "{} is no TOML value, expected a number, true, false or \"text\"",
            arguments.value
        ))
    })?;
    edit(&arguments.file, |document| put(document, &arguments.key, value))
}

/// Writes the newest version into files.
pub fn migrate(arguments: &Migrate) -> Result<(), Failure> {
    for file in &arguments.files {
        // What version 1 could say means the same in version 2: only the number changes.
        edit(file, |document| put(document, "version", Value::from(i64::from(VERSION))))?;
    }
    Ok(())
}

/// Changes a sound plate file and writes it if it is still sound.
fn edit(path: &Path, change: impl FnOnce(&mut DocumentMut) -> Result<(), String>) -> Result<(), Failure> {
    let name = path.display().to_string();
    let bytes = files::read(path, specimen::file::SIZE_LIMIT_BYTES)?;
    Paper::parse(&name, &bytes)?;
    let text = String::from_utf8_lossy(&bytes);
    let mut document: DocumentMut =
        text.parse().map_err(|error| Failure::Files(format!("{name}: cannot be edited: {error}")))?;
    change(&mut document).map_err(|message| Failure::Files(format!("{name}: {message}")))?;
    let text = document.to_string();
    Paper::parse(&name, text.as_bytes())?;
    files::write(path, text.as_bytes())
}

/// Puts a value at a path; the tables on the way must be there.
fn put(document: &mut DocumentMut, path: &str, value: Value) -> Result<(), String> {
    let (tables, key) = path.rsplit_once('.').unwrap_or(("", path));
    let mut item: &mut Item = document.as_item_mut();
    for step in tables.split('.').filter(|step| !step.is_empty()) {
        let mut parts = step.split('[');
        let name = parts.next().unwrap_or("");
        item = item
            .get_mut(name)
            .filter(|item| !item.is_none())
            .ok_or_else(|| format!("has no table `{name}` (in {path}), expected one of its own"))?;
        for index in parts {
            let found =
                index.trim_end_matches(']').parse::<usize>().ok().and_then(|index| item.get_mut(index));
            item = found
                .ok_or_else(|| format!("has no entry [{index} of `{name}`, expected one that is there"))?;
        }
    }
    let table = item.as_table_like_mut().ok_or_else(|| format!("`{tables}` is no table, expected one"))?;
    match table.get_mut(key).and_then(Item::as_value_mut) {
        // What stands around the old value, such as a comment behind it, stays around the new one.
        Some(old) => {
            let decor = old.decor().clone();
            *old = value;
            *old.decor_mut() = decor;
        }
        None => {
            table.insert(key, Item::Value(value));
        }
    }
    Ok(())
}

/// Prints the schema.
pub fn schema() -> Result<(), Failure> {
    let schema = schemars::schema_for!(Paper);
    let mut out = io::stdout().lock();
    serde_json::to_writer_pretty(&mut out, &schema)?;
    Ok(writeln!(out)?)
}
