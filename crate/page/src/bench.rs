//! The face of the simulation towards JavaScript.
//!
//! Lengths are mm, gains dB, angles degrees, times whole ms since the session began. Structured values are JSON
//! texts in the forms of the types they are made from. Buffers are read by pointer and length and copied out at
//! once: any later call may move them.

use exam::log::Event;
use exam::paper::Paper;
use instrument::bench::View;
use serde::Serialize;
use wasm_bindgen::prelude::*;

use crate::session::{Session, SessionError, value};
use crate::words::Words;

/// One plate on the bench.
#[wasm_bindgen]
pub struct Bench {
    pub(crate) session: Session,
}

/// A JavaScript error with the readable message.
pub(crate) fn told(error: SessionError) -> JsError {
    JsError::new(&error.to_string())
}

pub(crate) fn json<T: Serialize>(value: &T) -> Result<String, JsError> {
    serde_json::to_string(value).map_err(|error| told(error.into()))
}

/// Times come from a clock in JavaScript, where every number is a float.
pub(crate) fn whole(t_ms: f64) -> u64 {
    t_ms as u64
}

fn view(name: &str) -> Result<View, JsError> {
    match name {
        "folded" => Ok(View::Folded),
        "unfolded" => Ok(View::Unfolded),
        _ => Err(told(value("view", name, "folded or unfolded"))),
    }
}

#[wasm_bindgen]
impl Bench {
    /// Opens a plate file; `name` goes into the messages. Throws with every problem on a line of its own.
    pub fn from_paper(name: &str, bytes: &[u8]) -> Result<Bench, JsError> {
        let paper = Paper::parse(name, bytes).map_err(|error| told(error.into()))?;
        Self::on(paper)
    }

    pub(crate) fn on(paper: Paper) -> Result<Bench, JsError> {
        Ok(Self { session: Session::new(paper).map_err(told)? })
    }

    /// What the page may know: drawing text, procedure, beams, kinds of flaws. No flaw of this plate.
    pub fn about(&self) -> Result<String, JsError> {
        self.session.about().map_err(told)
    }

    /// Section and plan of the weld as lines, mm.
    pub fn outline(&self) -> Result<String, JsError> {
        json(&self.session.paper.plate.outline())
    }

    /// What the operator holds: pose, gain, beam, gate, sheet.
    pub fn state(&self) -> Result<String, JsError> {
        self.session.now(None).map_err(told)
    }

    /// Takes up the session of a log; gives the state, with `damage` in words where the log's end was broken.
    pub fn restore(&mut self, log: &str) -> Result<String, JsError> {
        self.session.restore(log).map_err(told)
    }

    /// Chooses the face, `upper` or `lower`, that the next poses are on.
    pub fn set_face(&mut self, face: &str) -> Result<(), JsError> {
        self.session.set_face(face).map_err(told)
    }

    /// Sets the probe down.
    pub fn set_pose(
        &mut self,
        t_ms: f64,
        side: &str,
        index_offset_mm: f64,
        y_mm: f64,
        skew_deg: f64,
    ) -> Result<(), JsError> {
        self.session.set_pose(whole(t_ms), side, [index_offset_mm, y_mm, skew_deg]).map_err(told)
    }

    /// Sets the gain.
    pub fn set_gain_db(&mut self, t_ms: f64, gain_db: f64) -> Result<(), JsError> {
        self.session.set_gain_db(whole(t_ms), gain_db).map_err(told)
    }

    /// Chooses the beam of trace and gate, from 0.
    pub fn set_beam(&mut self, t_ms: f64, beam: u32) -> Result<(), JsError> {
        self.session.set_beam(whole(t_ms), beam).map_err(told)
    }

    /// Sets the gate: mm of sound path, % of full screen height.
    pub fn set_gate(
        &mut self,
        t_ms: f64,
        start_mm: f64,
        length_mm: f64,
        threshold_percent: f64,
    ) -> Result<(), JsError> {
        self.session.set_gate(whole(t_ms), [start_mm, length_mm, threshold_percent]).map_err(told)
    }

    /// Scans once where the probe stands.
    pub fn frame(&mut self) {
        self.session.frame();
    }

    /// Surface points the frame was made from: what it costs hangs on them.
    pub fn points_seen(&self) -> usize {
        self.session.points_seen()
    }

    /// Paints the frame, `folded` or `unfolded`; a leg from 1 alone, or all.
    pub fn paint(&mut self, view_name: &str, leg: Option<u8>) -> Result<(), JsError> {
        self.session.paint(view(view_name)?, leg);
        Ok(())
    }

    /// Size and place of the painted picture.
    pub fn picture_frame(&self) -> Result<String, JsError> {
        json(&self.session.place)
    }

    /// Where the picture lies in memory: RGBA rows.
    pub fn picture_pointer(&self) -> *const u8 {
        self.session.picture().as_ptr()
    }

    /// Its length, bytes.
    pub fn picture_length(&self) -> usize {
        self.session.picture().len()
    }

    /// Takes the trace of the chosen beam out of the frame.
    pub fn take_trace(&mut self) {
        self.session.take_trace();
    }

    /// Where the trace lies in memory: % of full screen height, 32-bit floats.
    pub fn trace_pointer(&self) -> *const f32 {
        self.session.trace.as_ptr()
    }

    /// Its length, values.
    pub fn trace_length(&self) -> usize {
        self.session.trace.len()
    }

    /// Sound path from one value to the next, mm.
    pub fn trace_step_mm(&self) -> f64 {
        self.session.trace_step_mm
    }

    /// What the gate reads, or `null`.
    pub fn reading(&self) -> Result<String, JsError> {
        json(&self.session.reading())
    }

    /// The highest echoes of the frame.
    pub fn echoes(&self, threshold_percent: f64, limit: usize) -> Result<String, JsError> {
        json(&self.session.instrument.echoes(threshold_percent, limit))
    }

    /// The beam and sound path that show a place of the section, or `null`.
    pub fn spot_at(&self, offset_mm: f64, depth_mm: f64, leg: Option<u8>) -> Result<String, JsError> {
        json(&self.session.instrument.spot_at(offset_mm, depth_mm, leg))
    }

    /// A call begun from the gate, or `null`.
    pub fn call_from_gate(&self) -> Result<String, JsError> {
        json(&self.session.call_from_gate())
    }

    /// Adds a call; gives the sheet.
    pub fn add_call(&mut self, t_ms: f64, call: &str) -> Result<String, JsError> {
        let call = exam::json::read(call.as_bytes()).map_err(|error| told(error.into()))?;
        self.edit(t_ms, Event::CallAdded(call))
    }

    /// Changes a call, from 0; gives the sheet.
    pub fn edit_call(&mut self, t_ms: f64, index: u32, call: &str) -> Result<String, JsError> {
        let call = exam::json::read(call.as_bytes()).map_err(|error| told(error.into()))?;
        self.edit(t_ms, Event::CallEdited { index, call })
    }

    /// Removes a call; gives the sheet.
    pub fn remove_call(&mut self, t_ms: f64, index: u32) -> Result<String, JsError> {
        self.edit(t_ms, Event::CallRemoved { index })
    }

    /// States "no recordable indication" or takes it back; gives the sheet.
    pub fn set_no_recordable_indication(&mut self, t_ms: f64, stated: bool) -> Result<String, JsError> {
        self.edit(t_ms, Event::NoRecordableIndication { stated })
    }

    fn edit(&mut self, t_ms: f64, event: Event) -> Result<String, JsError> {
        json(self.session.edit(whole(t_ms), event).map_err(told)?)
    }

    /// What is unlikely on the sheet, in words.
    pub fn doubts(&self) -> Result<String, JsError> {
        json(&self.session.doubts())
    }

    /// What was examined so far from each side.
    pub fn examined(&mut self) -> Result<String, JsError> {
        self.session.examined().map_err(told)
    }

    /// Hands in (once; later calls give the same again): marks, drawings with the truth.
    pub fn hand_in(&mut self, words: &Words, t_ms: f64) -> Result<String, JsError> {
        self.session.hand_in(whole(t_ms), &words.0).map_err(told)
    }

    /// The log as text.
    pub fn log(&self) -> Result<String, JsError> {
        self.session.log_text().map_err(told)
    }

    /// The answer sheet as a file.
    pub fn answers(&self) -> Result<String, JsError> {
        self.session.answers_text().map_err(told)
    }

    /// A digest of the present frame.
    pub fn digest(&self) -> String {
        self.session.digest()
    }
}
