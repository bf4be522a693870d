//! Why a command did not do what it was asked for.

use std::io;
use std::path::PathBuf;

/// A failure, as it is printed.
#[derive(Debug, thiserror::Error)]
pub enum Failure {
    /// A file could not be read.
    #[error("{}: cannot be read: {error}", path.display())]
    Read {
        /// The file.
        path: PathBuf,
        /// What the system says.
        error: io::Error,
    },
    /// A file could not be written.
    #[error("{}: cannot be written: {error}", path.display())]
    Write {
        /// The file.
        path: PathBuf,
        /// What the system says.
        error: io::Error,
    },
    /// Standard output could not be written.
    #[error("the output cannot be written: {0}")]
    Output(#[from] io::Error),
    /// A plate file that cannot be used.
    #[error(transparent)]
    Plate(#[from] specimen::file::FileError),
    /// A plate that TOML cannot hold.
    #[error(transparent)]
    PlateText(#[from] specimen::file::WriteError),
    /// An answer file that cannot be used.
    #[error(transparent)]
    Sheet(#[from] exam::sheet::SheetError),
    /// A sealed plate that cannot be opened.
    #[error(transparent)]
    Seal(#[from] exam::seal::SealError),
    /// A hand-in that cannot be taken.
    #[error(transparent)]
    HandIn(#[from] exam::hand_in::HandInError),
    /// A recorded exam that cannot be made.
    #[error(transparent)]
    RecordedExam(#[from] exam::recorded_exam::RecordedExamError),
    /// A set-up that cannot be used.
    #[error(transparent)]
    SetUp(#[from] instrument::bench::SetUpError),
    /// JSON that could not be written.
    #[error("the JSON text cannot be written: {0}")]
    Json(#[from] serde_json::Error),
    /// Several files that cannot be used, a line each.
    #[error("{0}")]
    Files(String),
    /// Anything else, said in full.
    #[error("{0}")]
    Said(String),
}

impl Failure {
    /// The exit code: 2 where what was given cannot be used, 1 for all else.
    pub fn code(&self) -> u8 {
        match self {
            Self::Plate(_)
            | Self::PlateText(_)
            | Self::Sheet(_)
            | Self::Seal(_)
            | Self::HandIn(_)
            | Self::RecordedExam(_)
            | Self::SetUp(_)
            | Self::Files(_) => 2,
            Self::Read { .. } | Self::Write { .. } | Self::Output(_) | Self::Json(_) | Self::Said(_) => 1,
        }
    }
}
