//! Errors of the TOML reader in words for whoever wrote the file.

use toml::de::{DeTable, Error};

use super::Problem;
use super::locate::{column_at, line_at};

/// A place where the text is not TOML.
pub(super) fn syntax(text: &str, error: &Error) -> Problem {
    at(text, error, String::new(), error.message().to_owned())
}

/// A key or value other than expected.
pub(super) fn content(text: &str, _document: &DeTable<'_>, error: &Error) -> Problem {
    at(text, error, String::new(), error.message().to_owned())
}

fn at(text: &str, error: &Error, path: String, message: String) -> Problem {
    let start = error.span().map(|span| span.start);
    Problem {
        line: start.map(|start| line_at(text.as_bytes(), start)),
        column: start.map(|start| column_at(text, start)),
        path,
        message,
    }
}
