//! A hand-in's session computed again by whoever marks it: its last frame must be the one the session saw.

use serde::Serialize;

use crate::hand_in::HandIn;
use crate::paper::Paper;
use crate::said::{Said, said};
use crate::snapshot::{Kept, Rerun};

/// What became of the session's last frame.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(tag = "last_frame", rename_all = "kebab-case")]
pub enum Replayed {
    /// It came out again, to the last bit.
    Same,
    /// It is another one.
    Differs,
    /// The hand-in tells of none.
    Untold,
    /// It cannot be computed: the log's set-up is impossible.
    Impossible {
        /// Why.
        why: String,
    },
}

impl Replayed {
    /// The finding as a sentence, with what follows from it.
    pub fn sentence(&self) -> Said {
        let what = match self {
            Self::Same => return said!("said.replayed.same"),
            Self::Differs => said!("said.replayed.differs"),
            Self::Untold => said!("said.replayed.untold"),
            Self::Impossible { why } => said!("said.replayed.impossible", why = &**why),
        };
        said!("said.replayed", what = what)
    }

    /// Whether somebody should look.
    pub fn is_doubtful(&self) -> bool {
        *self != Self::Same
    }
}

impl HandIn {
    /// Computes the session's last frame again and compares it with what the hand-in tells of it; nothing for a recorded exam, whose
    /// log tells of no scan. `kept` is the instrument of the hand-in before, of the same plate: setting up takes most of the time.
    pub fn replay(&self, paper: &Paper, kept: &mut Kept) -> Option<Replayed> {
        if self.is_recorded(paper) {
            return None;
        }
        if self.frame_digest().is_empty() {
            return Some(Replayed::Untold);
        }
        let mut rerun = Rerun::with(paper, &self.log, std::mem::take(kept));
        let found = match rerun.last_digest() {
            Ok(digest) if digest == self.frame_digest() => Replayed::Same,
            Ok(_) => Replayed::Differs,
            Err(error) => Replayed::Impossible { why: error.to_string() },
        };
        *kept = rerun.keep();
        Some(found)
    }
}

#[cfg(test)]
mod tests;
