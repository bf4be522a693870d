//! The guide rail, towards the page.

use exam::log::Event;
use wasm_bindgen::prelude::*;

use crate::bench::{Bench, told, whole};
use crate::session::{Session, SessionError, finite};

impl Session {
    /// Lays a guide rail that holds the probe at an index offset, or takes it away.
    ///
    /// # Errors
    /// An offset that is no number.
    pub fn set_rail(&mut self, t_ms: u64, index_offset_mm: Option<f64>) -> Result<(), SessionError> {
        if let Some(offset_mm) = index_offset_mm {
            finite("place of the guide rail", &[offset_mm])?;
        }
        if index_offset_mm != self.log.restore().rail_mm {
            self.note(t_ms, Event::Rail { index_offset_mm })?;
        }
        Ok(())
    }
}

#[wasm_bindgen]
impl Bench {
    /// Lays a guide rail at an index offset, or takes it away.
    pub fn set_rail(&mut self, t_ms: f64, index_offset_mm: Option<f64>) -> Result<(), JsError> {
        self.session.set_rail(whole(t_ms), index_offset_mm).map_err(told)
    }
}
