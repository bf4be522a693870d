//! The face of a recorded scan towards JavaScript; the rules of [`crate::bench`] hold here too.

use exam::npz::Writing;
use instrument::recording::{Colouring, Projection, Selection};
use serde::Serialize;
use serde::de::DeserializeOwned;
use wasm_bindgen::prelude::*;

use crate::bench::{Bench, told, whole};
use crate::curve::{Curve, Way};
use crate::recorded::RecordedScan;
use crate::session::SessionError;
use crate::words::Words;

/// Time that a line takes, ms: a probe that slides faster than it leaves for every line loses some.
const LINE_MS: f64 = 1000.0 / 60.0;
/// Most lines taken at once, so that the live picture does not lag.
const MOST_AT_ONCE: usize = 12;

/// A recorded scan.
#[wasm_bindgen]
pub struct Scan {
    pub(crate) scan: RecordedScan,
}

fn json<T: Serialize>(value: &T) -> Result<String, JsError> {
    serde_json::to_string(value).map_err(|error| told(error.into()))
}

fn read<T: DeserializeOwned>(text: &str) -> Result<T, JsError> {
    exam::json::read(text.as_bytes()).map_err(|error| told(SessionError::from(error)))
}

fn word<T: DeserializeOwned>(word: &str) -> Result<T, JsError> {
    read(&format!("{word:?}"))
}

#[wasm_bindgen]
impl Scan {
    /// An empty recording of the plate on the bench.
    pub fn on(bench: &Bench) -> Scan {
        Self { scan: RecordedScan::new(&bench.session) }
    }

    /// Takes up what [`Scan::kept`] gave.
    pub fn from_kept(bytes: &[u8]) -> Result<Scan, JsError> {
        Ok(Self { scan: RecordedScan::from_kept(bytes).map_err(told)? })
    }

    /// The recording as the browser keeps it.
    pub fn kept(&self) -> Result<Vec<u8>, JsError> {
        self.scan.kept().map_err(told)
    }

    /// Takes up an .npz file.
    pub fn from_npz(bytes: &[u8]) -> Result<Scan, JsError> {
        Ok(Self { scan: RecordedScan::from_npz(bytes).map_err(told)? })
    }

    /// What it was made with, its passes, what is shown.
    pub fn about(&self) -> Result<String, JsError> {
        self.scan.about().map_err(told)
    }

    /// Begins passes; gives `[first, [lines, …]]`.
    pub fn begin(&mut self, words: &Words, bench: &Bench, wish: &str) -> Result<String, JsError> {
        json(&self.scan.begin(&bench.session, &read(wish)?).map_err(|why| words.refusal(&why))?)
    }

    /// Records a line; the probe stands there afterwards.
    pub fn take(&mut self, bench: &mut Bench, t_ms: f64, pass: usize, line: u32) -> Result<(), JsError> {
        self.scan.take(&mut bench.session, whole(t_ms), pass, line).map_err(told)
    }

    /// Lines of a pass that the probe has come over since it stood at `from_mm`, as far as they could be taken in `over_ms`.
    pub fn passed(&self, bench: &Bench, pass: usize, from_mm: f64, over_ms: f64) -> Vec<u32> {
        let most = (over_ms / LINE_MS).max(1.0) as usize;
        self.scan.passed(&bench.session, pass, from_mm, most.min(MOST_AT_ONCE))
    }

    /// Chooses what is shown.
    pub fn select(&mut self, selection: &str) -> Result<(), JsError> {
        self.scan.select(read::<Selection>(selection)?);
        Ok(())
    }

    /// Paints a view; gives size and place, or `null`.
    pub fn paint(
        &mut self,
        projection: &str,
        colouring: &str,
        gain_db: f64,
        threshold_percent: f64,
    ) -> Result<String, JsError> {
        let (projection, colouring) = (word::<Projection>(projection)?, word::<Colouring>(colouring)?);
        json(&self.scan.paint(projection, colouring, gain_db, threshold_percent))
    }

    /// Paints the sector image of a line; gives size and place, or `null`.
    pub fn paint_sector(
        &mut self,
        pass: usize,
        line: u32,
        gain_db: f64,
        leg: Option<u8>,
    ) -> Result<String, JsError> {
        json(&self.scan.paint_sector(pass, line, gain_db, leg))
    }

    /// Where the painted picture lies in memory: RGBA rows.
    pub fn picture_pointer(&self) -> *const u8 {
        self.scan.pixels.as_ptr()
    }

    /// Its length, bytes.
    pub fn picture_length(&self) -> usize {
        self.scan.pixels.len()
    }

    /// What a view shows at a place, or `null`.
    pub fn place(&mut self, projection: &str, across_mm: f64, down_mm: f64) -> Result<String, JsError> {
        json(&self.scan.place(word::<Projection>(projection)?, [across_mm, down_mm]))
    }

    /// The highest sample shown, or `null`.
    pub fn highest(&mut self) -> Result<String, JsError> {
        json(&self.scan.highest())
    }

    /// What is read near a sound path of a recorded beam, or `null`.
    pub fn reading(
        &self,
        pass: usize,
        line: u32,
        beam: usize,
        path_mm: f64,
        gain_db: f64,
    ) -> Result<String, JsError> {
        json(&self.scan.reading(pass, line, beam, path_mm, gain_db))
    }

    /// What a call made from that reading was made from, or `null`.
    pub fn made_from(
        &self,
        bench: &Bench,
        pass: usize,
        line: u32,
        beam: usize,
        path_mm: f64,
        gain_db: f64,
    ) -> Result<String, JsError> {
        json(&self.scan.made_from(&bench.session, (pass, line, beam), path_mm, gain_db))
    }

    /// What a gate reads on a recorded beam, or `null`.
    pub fn gate_reading(
        &self,
        pass: usize,
        line: u32,
        beam: usize,
        gate: &str,
        gain_db: f64,
    ) -> Result<String, JsError> {
        json(&self.scan.gate_reading(pass, line, beam, &read(gate)?, gain_db))
    }

    /// The echo trace of a recorded beam, % of full screen height; empty where the line is missing.
    pub fn trace(&self, pass: usize, line: u32, beam: usize, gain_db: f64) -> Vec<f32> {
        self.scan.trace(pass, line, beam, gain_db).map_or_else(Vec::new, |trace| trace.percent)
    }

    /// Highest echoes along (`along`) or through the thickness (`deep`) in a box, with their drop points, or `null`.
    pub fn curve(&self, way: &str, within: &str, gain_db: f64, drop_db: f64) -> Result<String, JsError> {
        json(&self.scan.curve(word::<Way>(way)?, read(within)?, gain_db, drop_db))
    }
}

/// Drop points of a curve that was gathered live: places, mm, rising, and heights, %.
#[wasm_bindgen]
pub fn drop_points(positions_mm: Vec<f64>, percent: Vec<f64>, drop_db: f64) -> Result<String, JsError> {
    json(&Curve::of(positions_mm, percent, drop_db))
}

/// A recording on its way into an .npz file.
#[wasm_bindgen]
pub struct Saving {
    pub(crate) writing: Writing,
}

#[wasm_bindgen]
impl Saving {
    /// Begins; nothing may be recorded until the end.
    pub fn of(scan: &Scan) -> Result<Saving, JsError> {
        Ok(Self { writing: scan.scan.saving().map_err(told)? })
    }

    /// The next bytes of the file; nothing after the last.
    pub fn step(&mut self, scan: &Scan) -> Result<Option<Vec<u8>>, JsError> {
        scan.scan.save_step(&mut self.writing).map_err(told)
    }
}
