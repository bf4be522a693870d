//! The second gate and where both gates read, towards the page.

use exam::log::Event;
use instrument::gate::{Gate, GatePoint, Reading};
use serde::Deserialize;
use wasm_bindgen::prelude::*;

use crate::bench::{Bench, told, whole};
use crate::session::{Session, SessionError, finite};

/// What the page sets.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Gates {
    second: Option<Gate>,
    points: [GatePoint; 2],
}

impl Session {
    /// Sets or takes away the second gate, and chooses where both read.
    ///
    /// # Errors
    /// A text that tells of no gates, or numbers that are none.
    pub fn set_gates(&mut self, t_ms: u64, gates: &str) -> Result<(), SessionError> {
        let Gates { second, points } = exam::json::read(gates.as_bytes())?;
        if let Some(gate) = &second {
            finite("second gate", &[gate.start_mm, gate.length_mm, gate.threshold_percent])?;
        }
        if second != self.second_gate {
            self.second_gate = second;
            self.note(t_ms, Event::SecondGate(second))?;
        }
        if points != self.gate_points {
            self.gate_points = points;
            self.note(t_ms, Event::GatePoints(points))?;
        }
        Ok(())
    }

    /// What the second gate reads; `None` without one.
    pub fn second_reading(&self) -> Option<Reading> {
        let gate = self.second_gate.as_ref()?;
        self.instrument.reading_at(self.beam as usize, gate, self.gate_points[1])
    }
}

#[wasm_bindgen]
impl Bench {
    /// Sets or takes away the second gate, and chooses where both gates read.
    pub fn set_gates(&mut self, t_ms: f64, gates: &str) -> Result<(), JsError> {
        self.session.set_gates(whole(t_ms), gates).map_err(told)
    }

    /// What the second gate reads, or `null`.
    pub fn second_reading(&self) -> Result<String, JsError> {
        serde_json::to_string(&self.session.second_reading()).map_err(|error| told(error.into()))
    }
}
