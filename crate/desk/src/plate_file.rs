//! Plate files edited in place, with their comments, and the schema of their form.

use std::io::{self, Write};
use std::path::{Path, PathBuf};

use clap::Args;
use exam::paper::{Paper, PaperFile, VERSION};
use specimen::file::edit::{self, Edit, EditError};

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
    edit(&arguments.file, Edit::Set(arguments.key.clone(), arguments.value.clone()))
}

/// Writes the newest version into files.
pub fn migrate(arguments: &Migrate) -> Result<(), Failure> {
    for file in &arguments.files {
        // What version 1 could say means the same in version 2: only the number changes.
        edit(file, Edit::Set("version".to_owned(), VERSION.to_string()))?;
    }
    Ok(())
}

/// Changes a sound plate file and writes it if it is still sound.
fn edit(path: &Path, change: Edit) -> Result<(), Failure> {
    let name = path.display().to_string();
    let bytes = files::read(path, specimen::file::SIZE_LIMIT_BYTES)?;
    Paper::parse(&name, &bytes)?;
    let text = edit::edited(&String::from_utf8_lossy(&bytes), &[change]).map_err(|error| match error {
        EditError::NoValue(_) => Failure::Said(error.to_string()),
        _ => Failure::Files(format!("{name}: {error}")),
    })?;
    Paper::parse(&name, text.as_bytes())?;
    files::write(path, text.as_bytes())
}

/// Prints the schema.
pub fn schema() -> Result<(), Failure> {
    let schema = schemars::schema_for!(PaperFile);
    let mut out = io::stdout().lock();
    serde_json::to_writer_pretty(&mut out, &schema)?;
    Ok(writeln!(out)?)
}
