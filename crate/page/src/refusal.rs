//! Why a session did not do as asked.

use exam::log::LogError;
use exam::npz::NpzError;
use instrument::bench::SetUpError;
use instrument::set_up::Problem;
use specimen::file::FileError;

/// Why the session did not do as asked; every message can be shown to the operator.
#[derive(Debug, thiserror::Error)]
pub enum SessionError {
    /// The plate file, or one of the store of probes, cannot be used.
    #[error(transparent)]
    Paper(#[from] FileError),
    /// The procedure's set-up cannot be used.
    #[error(transparent)]
    SetUp(#[from] SetUpError),
    /// The log is damaged from its beginning, or an event cannot follow.
    #[error(transparent)]
    Log(#[from] LogError),
    /// A set-up that a log brings is impossible.
    #[error("the set-up of this session cannot be used: {0}")]
    Problem(#[from] Problem),
    /// A recording cannot be made, read or written.
    #[error("{0}")]
    Recording(String),
    /// A file with a recording cannot be used.
    #[error(transparent)]
    RecordingFile(#[from] NpzError),
    /// A text between page and program is not what it should be.
    #[error("not what was expected: {0}")]
    Text(#[from] serde_json::Error),
    /// An answer file cannot be read.
    #[error(transparent)]
    Sheet(#[from] exam::sheet::SheetError),
    /// A sealed plate cannot be opened.
    #[error(transparent)]
    Seal(#[from] exam::seal::SealError),
    /// A hand-in cannot be written.
    #[error(transparent)]
    HandIn(#[from] exam::hand_in::HandInError),
    /// The log was written at another plate.
    #[error(
        "this session was recorded at another plate or another edition of it ({found}), expected {expected}"
    )]
    OtherPlate {
        /// Plate of the log.
        found: String,
        /// The open plate.
        expected: String,
    },
    /// A word or number of a command is out of its range.
    #[error("{what}: {found}, expected {expected}")]
    Value {
        /// What it is.
        what: &'static str,
        /// What came.
        found: String,
        /// What is allowed.
        expected: String,
    },
}

pub(crate) fn finite(what: &'static str, numbers: &[f64]) -> Result<(), SessionError> {
    match numbers.iter().find(|number| !number.is_finite()) {
        Some(number) => Err(value(what, &number.to_string(), "a finite number")),
        None => Ok(()),
    }
}

pub(crate) fn value(what: &'static str, found: &str, expected: &str) -> SessionError {
    SessionError::Value { what, found: found.to_owned(), expected: expected.to_owned() }
}
