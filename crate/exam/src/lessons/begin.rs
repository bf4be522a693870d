//! How the bench is set when a step begins.

use instrument::gate::Gate;
use instrument::pose::{Face, Side};
use serde::{Deserialize, Serialize};

/// What is set; what is absent stays as the hands left it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Begin {
    /// Face the probe stands on.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub face: Option<Face>,
    /// Side of the weld it stands on.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub side: Option<Side>,
    /// Place along the weld, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub y_mm: Option<f64>,
    /// Wedge front from the centreline, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub index_offset_mm: Option<f64>,
    /// Turn of the probe, degrees.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub skew_deg: Option<f64>,
    /// Gain, dB.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gain_db: Option<f64>,
    /// The beam nearest to this angle, degrees.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub beam_deg: Option<f64>,
    /// The gate.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gate: Option<Gate>,
}

impl Begin {
    /// Why it cannot be set, in words.
    pub(crate) fn problem(&self) -> Option<String> {
        let gate = self.gate.map(|gate| [gate.start_mm, gate.length_mm, gate.threshold_percent]);
        let numbers = [self.y_mm, self.index_offset_mm, self.skew_deg, self.gain_db, self.beam_deg];
        let wrong =
            numbers.into_iter().flatten().chain(gate.into_iter().flatten()).find(|n| !n.is_finite())?;
        Some(format!("{wrong} is not a number to set anything to"))
    }
}
