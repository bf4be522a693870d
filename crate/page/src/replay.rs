//! A session watched again, after handing in.

use exam::log::{Entry, Event, Log};
use exam::snapshot::Rerun;
use exam::state::State;
use serde::Serialize;
use wasm_bindgen::prelude::*;

use crate::bench::{Bench, told, whole};
use crate::session::{Session, SessionError, value};

/// What was held at a time of the session.
#[derive(Serialize)]
struct Replayed<'a> {
    /// The whole session, ms.
    end_ms: u64,
    /// Calls on the sheet at that time.
    calls: usize,
    /// How often the set-up had been changed by then.
    set_ups: usize,
    /// Whether the bench has another set-up now than before the question: beams and range differ.
    changed: bool,
    #[serde(flatten)]
    state: &'a State,
}

/// The part of a log that is shown: all of it, or up to the time that is watched.
pub(crate) fn shown<'a>(log: &'a Log, then: Option<&State>) -> &'a [Entry] {
    then.map_or(log.entries(), |then| log.until(then.t_ms))
}

impl Session {
    /// The session as it stands, or as it stood at the time that is watched.
    pub(crate) fn state(&self) -> &State {
        self.then.as_ref().unwrap_or(self.log.restore())
    }

    /// Goes back to how the session stood at a time, and tells of it as JSON: set-up, calibration, drift, couplant and finger
    /// are those of then, the next frame shows what was seen.
    ///
    /// # Errors
    /// A session that was not handed in: until then the bench is in use.
    pub fn replay(&mut self, t_ms: u64) -> Result<String, SessionError> {
        if !self.log.restore().handed_in {
            return Err(value("session", "under way", "one that was handed in"));
        }
        let end_ms = self.log.entries().last().map_or(0, |Entry(end_ms, _)| *end_ms);
        let then = self.log.at(t_ms);
        let set_ups = |Entry(_, event): &&Entry| matches!(event, Event::SetUp(_));
        let set_ups = self.log.until(t_ms).iter().filter(set_ups).count();
        let before = self.set_up.clone();
        let beam = self.beam;
        self.take_up(then.set_up.as_deref())?;
        self.beam = then.beam.unwrap_or(beam).min(self.last_beam());
        let state = self.then.insert(then);
        let (calls, changed) = (state.sheet.calls.len(), self.set_up != before);
        let told = serde_json::to_string(&Replayed { end_ms, calls, set_ups, changed, state })?;
        self.drift()?;
        self.use_calibration();
        Ok(told)
    }

    /// Digest of the frame at the session's end, the same on every machine that has its log.
    ///
    /// # Errors
    /// None in practice: the set-up was in use.
    pub fn last_digest(&self) -> Result<String, SessionError> {
        Ok(Rerun::new(&self.paper, &self.log).last_digest()?)
    }
}

#[wasm_bindgen]
impl Bench {
    /// The session as it stood at a time.
    pub fn replay(&mut self, t_ms: f64) -> Result<String, JsError> {
        self.session.replay(whole(t_ms)).map_err(told)
    }
}
