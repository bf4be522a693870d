//! A bench in use drifts: how it is now, and the check on the block that tells by how much.

use exam::examined::Examined;
use exam::log::Event;
use instrument::calibration::Check;
use instrument::truth::Truth;
use serde::Serialize;
use wasm_bindgen::prelude::*;

use crate::bench::{Bench, told, whole};
use crate::session::{Session, SessionError, value};

/// What a check has led to.
#[derive(Serialize)]
struct Checked {
    #[serde(flatten)]
    check: Check,
    good: bool,
    /// Where the weld has to be scanned again: side and ends, mm.
    again: Vec<exam::examined::Stretch>,
}

impl Session {
    /// The bench as it is now.
    pub(crate) fn truth(&self) -> Truth {
        self.paper.procedure.bench.truth_in(self.paper.plate.seed, self.drifted)
    }

    /// What the encoder shows for a millimetre of way; 1 where the bench comes calibrated.
    pub(crate) fn counts_per_mm(&self) -> f64 {
        if self.paper.procedure.bench.calibrated {
            return 1.0;
        }
        self.calibration().encoder_mm(self.truth().encoder_factor)
    }

    /// Lets the bench be as it is at the time of the log. The tables are made anew where it has drifted since; the operator
    /// learns nothing of it.
    ///
    /// # Errors
    /// None in practice: the set-up is in use.
    pub(crate) fn drift(&mut self) -> Result<(), SessionError> {
        let stretch = self.paper.procedure.bench.stretch_at(self.state().t_ms);
        if stretch == self.drifted {
            return Ok(());
        }
        self.drifted = stretch;
        let gain_db = self.paper.procedure.reference_gain_db;
        let truth = self.truth();
        self.instrument.change(None, &self.set_up, gain_db, &truth, None)?;
        self.instrument.set_receiver(self.set_up.receiver);
        self.instrument.set_gain_db(self.gain_db);
        self.use_calibration();
        Ok(())
    }

    /// Writes down what the holes on the block say of the calibration; what follows from it, as JSON.
    ///
    /// # Errors
    /// No check begun, or too few beams that found their holes.
    pub fn calibration_check(&mut self, t_ms: u64) -> Result<String, SessionError> {
        let Some(check) = self.on_block_check() else {
            return Err(value("check", "not measured yet", "every beam to have found its holes"));
        };
        self.note(t_ms, Event::Checked(check))?;
        self.on_block = None;
        if self.examined.is_none() {
            self.examined = Examined::of(&self.paper, self.log.entries());
        }
        let again = self.examined.as_ref().map_or_else(Vec::new, Examined::to_scan_again);
        Ok(serde_json::to_string(&Checked { check, good: check.is_good(), again })?)
    }
}

#[wasm_bindgen]
impl Bench {
    /// Writes a check of the calibration down; gives what it told and where to scan again.
    pub fn calibration_check(&mut self, t_ms: f64) -> Result<String, JsError> {
        self.session.calibration_check(whole(t_ms)).map_err(told)
    }
}
