//! How the receiver shows the echo trace.

use serde::{Deserialize, Serialize};

use crate::limits::Limit;
use crate::set_up::{SetUpError, within};

/// Which half of the wave is shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Rectification {
    /// Both halves, the negative one turned up.
    #[default]
    FullWave,
    /// The positive half only.
    PositiveHalf,
    /// The negative half only, turned up.
    NegativeHalf,
    /// The wave as it is, with its sign.
    Unrectified,
}

/// Rectification, smoothing and averaging.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Receiver {
    /// Which half of the wave is shown.
    pub rectification: Rectification,
    /// Whether the envelope is drawn in place of the wave; an unrectified wave has none.
    pub smoothing: bool,
    /// Shots averaged for a frame: electronic noise falls with the root of their number, grain and echoes stay.
    pub averages: u32,
}

impl Default for Receiver {
    /// Full wave, smoothed, one shot a frame.
    fn default() -> Self {
        Self { rectification: Rectification::FullWave, smoothing: true, averages: 1 }
    }
}

/// Most shots averaged.
const MOST_AVERAGES: f64 = 32.0;

impl Receiver {
    /// # Errors
    /// A number of shots out of range.
    pub(crate) fn check(&self) -> Result<(), SetUpError> {
        within(&Limit::new("receiver.averages", f64::from(self.averages), [1.0, MOST_AVERAGES], " shots"))
    }

    /// Whether the trace is the envelope.
    pub fn shows_envelope(&self) -> bool {
        self.smoothing && self.rectification != Rectification::Unrectified
    }

    /// What is shown of a wave of this height, sign and all.
    pub fn shown(&self, wave: f32) -> f32 {
        match self.rectification {
            Rectification::FullWave => wave.abs(),
            Rectification::PositiveHalf => wave.max(0.0),
            Rectification::NegativeHalf => (-wave).max(0.0),
            Rectification::Unrectified => wave,
        }
    }
}
