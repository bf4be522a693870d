//! Reading and writing files by hand-written text: TOML, with every error at its line.

use acoustics::order::sort_by;
use std::fmt;

use serde::Serialize;
use serde::de::DeserializeOwned;
use toml::Spanned;
use toml::de::DeValue;

use crate::check::Complaint;

pub mod edit;
mod explain;
mod fit;
mod locate;
mod write;

pub use locate::line_of;

/// Largest file that is looked at, bytes.
pub const SIZE_LIMIT_BYTES: usize = 1_000_000;

/// Most problems listed of a file that is no TOML; past that it is another kind of file.
const MOST_PROBLEMS: usize = 20;

/// One thing that is wrong in a file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Problem {
    /// Line, from 1; `None` where the whole file is meant.
    pub line: Option<u32>,
    /// Column, from 1, in characters.
    pub column: Option<u32>,
    /// Key it is about, e.g. `plate.flaw[1].length_mm`; empty where there is none.
    pub path: String,
    /// What is wrong and what was expected.
    pub message: String,
}

/// Everything that is wrong in a file, in the order of its lines.
pub type Problems = Vec<Problem>;

/// A file that cannot be used, and why. Displays one line per problem.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, thiserror::Error)]
pub struct FileError {
    /// Name of the file as the reader gave it.
    pub name: String,
    /// What is wrong; never empty.
    pub problems: Problems,
}

impl fmt::Display for FileError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, problem) in self.problems.iter().enumerate() {
            if index > 0 {
                writeln!(out)?;
            }
            write!(out, "{}:", self.name)?;
            if let Some(line) = problem.line {
                write!(out, "{line}:")?;
                if let Some(column) = problem.column {
                    write!(out, "{column}:")?;
                }
            }
            if !problem.path.is_empty() {
                write!(out, " {}:", problem.path)?;
            }
            write!(out, " {}", problem.message)?;
        }
        Ok(())
    }
}

impl FileError {
    /// Puts complaints about the content of a file that was read at their lines.
    pub fn from_complaints(name: &str, bytes: &[u8], complaints: &[Complaint]) -> Self {
        let lines = locate::lines_of(bytes, complaints.iter().map(|complaint| complaint.path.as_str()));
        let mut problems: Problems = complaints
            .iter()
            .zip(lines)
            .map(|(complaint, line)| Problem {
                line,
                column: None,
                path: complaint.path.clone(),
                message: complaint.message.clone(),
            })
            .collect();
        sort_by(&mut problems, |a, b| a.line.cmp(&b.line));
        Self { name: name.to_owned(), problems }
    }

    fn one(name: &str, line: Option<u32>, message: String) -> Self {
        let problem = Problem { line, column: None, path: String::new(), message };
        Self { name: name.to_owned(), problems: vec![problem] }
    }
}

/// Reads a value from the bytes of a TOML file. `name` only goes into the errors.
///
/// # Errors
/// A file over [`SIZE_LIMIT_BYTES`] (nothing else is then looked at), empty, not UTF-8, not TOML (all such places
/// are listed), or with keys and values other than `T` has.
pub fn read<T: DeserializeOwned>(name: &str, bytes: &[u8]) -> Result<T, FileError> {
    let text = text(name, bytes)?;
    if text.trim_start_matches('\u{feff}').trim().is_empty() {
        return Err(FileError::one(name, None, "the file is empty; expected TOML text".to_owned()));
    }
    let (document, errors) = toml::de::DeTable::parse_recoverable(text);
    if !errors.is_empty() {
        let mut problems: Problems =
            errors.iter().take(MOST_PROBLEMS).map(|error| explain::syntax(text, error)).collect();
        sort_by(&mut problems, |a, b| (a.line, a.column).cmp(&(b.line, b.column)));
        return Err(FileError { name: name.to_owned(), problems });
    }
    let span = document.span();
    let document = Spanned::new(span, DeValue::Table(document.into_inner()));
    T::deserialize(fit::Node(&document)).map_err(|misfit| FileError {
        name: name.to_owned(),
        problems: vec![explain::content(text, &document, &misfit)],
    })
}

fn text<'b>(name: &str, bytes: &'b [u8]) -> Result<&'b str, FileError> {
    if bytes.len() > SIZE_LIMIT_BYTES {
        let message = format!(
            "the file has {} bytes; expected at most {SIZE_LIMIT_BYTES}, so this is probably another kind of file",
            bytes.len()
        );
        return Err(FileError::one(name, None, message));
    }
    std::str::from_utf8(bytes).map_err(|error| {
        let line = locate::line_at(bytes, error.valid_up_to());
        let message = "bytes that are no UTF-8 text; expected the file to be saved as UTF-8".to_owned();
        FileError::one(name, Some(line), message)
    })
}

/// A value that has no TOML form (an integer over 2^63, a list with gaps).
#[derive(Debug, thiserror::Error)]
#[error("cannot be written as TOML: {0}")]
pub struct WriteError(String);

/// Writes a value as TOML text that [`read`] gives back unchanged.
///
/// # Errors
/// A value that TOML cannot hold. [`crate::plate::Plate::check`] finds such plates.
pub fn write<T: Serialize>(value: &T) -> Result<String, WriteError> {
    write::text(value)
}
