//! What kind of session answers come from, and what of it nobody can mark therefore.

use serde::Serialize;

use crate::marking::Marks;
use crate::said::{Said, said};

/// Where answers come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum SessionKind {
    /// The probe was moved over the plate; the log tells how.
    Live,
    /// The scans of a recorded exam were analysed: no probe was moved.
    Recorded,
    /// An answer sheet alone, without a log.
    Sheet,
}

impl SessionKind {
    /// What it was, and what is neither told nor marked of it; for every reader.
    pub fn sentence(self) -> Said {
        said!(match self {
            Self::Live => "said.session.live",
            Self::Recorded => "said.session.recorded",
            Self::Sheet => "said.session.sheet",
        })
    }

    /// The marks of a sheet, which say what they leave out and why.
    pub fn tell(self, marks: Marks) -> Marks {
        match self {
            Self::Recorded => Marks { not_marked: said!("said.not_marked.recorded"), ..marks },
            Self::Live | Self::Sheet => marks,
        }
    }
}
