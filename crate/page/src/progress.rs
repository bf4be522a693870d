//! What was learned over many plates, for the browser, which keeps the sittings.

use exam::progress::{self, Progress, Sitting};
use serde::Serialize;
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::session::SessionError;

/// The numbers, and which of the sittings they are from.
#[derive(Serialize)]
struct Told {
    /// For each sitting that came: its place among those read; absent where it cannot be read.
    read: Vec<Option<usize>>,
    progress: Progress,
}

/// What a list of sittings tells, both as JSON. A sitting that cannot be read is left out, and the rest still told.
///
/// # Errors
/// A text that is no list.
pub fn told(sittings: &str) -> Result<String, SessionError> {
    let list: Vec<serde_json::Value> = exam::json::read(sittings.as_bytes())?;
    let mut sound: Vec<Sitting> = Vec::new();
    let mut read = Vec::new();
    for value in list {
        let sitting = exam::json::read(value.to_string().as_bytes()).ok().filter(Sitting::is_sound);
        read.push(sitting.is_some().then_some(sound.len()));
        sound.extend(sitting);
    }
    Ok(serde_json::to_string(&Told { read, progress: progress::progress(&sound) })?)
}

/// What a list of sittings tells, both as JSON.
#[wasm_bindgen]
pub fn progress_told(sittings: &str) -> Result<String, JsError> {
    told(sittings).map_err(crate::bench::told)
}
