//! How the bench is set when a step begins.

use instrument::gate::Gate;
use instrument::pose::{Face, Side};
use serde::Serialize;

use super::table::Reader;

/// What is set; what is absent stays as the hands left it.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
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
    pub(super) fn read(reader: &mut Reader) -> Self {
        Self {
            face: reader.name("face"),
            side: reader.name("side"),
            y_mm: reader.number("y_mm"),
            index_offset_mm: reader.number("index_offset_mm"),
            skew_deg: reader.number("skew_deg"),
            gain_db: reader.number("gain_db"),
            beam_deg: reader.number("beam_deg"),
            gate: reader.inside("gate", |gate| {
                let mut part = |key| {
                    let number = gate.number(key);
                    if number.is_none() {
                        gate.complain(key, "is missing, expected a number".to_owned());
                    }
                    number.unwrap_or_default()
                };
                Gate {
                    start_mm: part("start_mm"),
                    length_mm: part("length_mm"),
                    threshold_percent: part("threshold_percent"),
                }
            }),
        }
    }
}
