//! A session watched again, after handing in.

use exam::log::Entry;
use exam::state::State;
use serde::Serialize;
use wasm_bindgen::prelude::*;

use crate::bench::{Bench, told, whole};
use crate::session::{Session, SessionError};

/// What was held at a time of the session.
#[derive(Serialize)]
struct Replayed {
    /// The whole session, ms.
    end_ms: u64,
    /// Calls on the sheet at that time.
    calls: usize,
    #[serde(flatten)]
    state: State,
}

impl Session {
    /// The session as it stood at a time, as JSON.
    ///
    /// # Errors
    /// None in practice; the library's error type has to go on.
    pub fn replay(&self, t_ms: u64) -> Result<String, SessionError> {
        let state = self.log.at(t_ms);
        let end_ms = self.log.entries().last().map_or(0, |Entry(end_ms, _)| *end_ms);
        Ok(serde_json::to_string(&Replayed { end_ms, calls: state.sheet.calls.len(), state })?)
    }

    /// Digest of the frame at the session's last set-up, the same on every machine that restores its log: the receiver's noise
    /// is that of a first frame.
    pub fn last_digest(&mut self) -> String {
        let drifted = self.drift();
        debug_assert!(drifted.is_ok());
        let at = (self.pose, self.gain_db);
        let state = self.log.restore();
        let pose = state.pose.unwrap_or(at.0);
        self.instrument.scan(&pose, 0);
        let digest = self.instrument.digest();
        self.instrument.scan(&at.0, self.tick);
        digest
    }
}

#[wasm_bindgen]
impl Bench {
    /// The session as it stood at a time.
    pub fn replay(&self, t_ms: f64) -> Result<String, JsError> {
        self.session.replay(whole(t_ms)).map_err(told)
    }
}
