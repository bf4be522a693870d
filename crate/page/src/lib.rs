//! The simulation for the browser. A worker holds one [`bench::Bench`]: commands come in as numbers and short
//! JSON texts, pictures and traces go out as buffers. This crate converts; what happens is decided below it.

mod about;
pub mod answers;
pub mod bench;
mod calibration;
pub mod curve;
mod drift;
pub mod exam_desk;
mod gates;
mod hand_in;
mod kept;
mod lesson;
mod panic;
pub mod plate_desk;
pub mod preview;
pub mod progress;
mod rail;
pub mod recorded;
mod recorded_call;
mod recorded_exam;
mod refusal;
mod replay;
pub mod report;
pub mod scan;
pub mod session;
mod set_up;
mod snapshot;
pub mod tables;
pub mod words;

use wasm_bindgen::prelude::wasm_bindgen;

/// Called once when the module starts: a stop gets told in words.
#[wasm_bindgen(start)]
pub fn start() {
    panic::tell();
}

/// Whether this browser computes frames to the same bits as every other machine.
#[wasm_bindgen]
pub fn computes_rightly() -> bool {
    acoustics::self_test::digest() == acoustics::self_test::RIGHT
}

/// Digest and bytes of many drawn plates, to be held against those of other machines.
#[wasm_bindgen]
pub fn plates_digest(plates: u32) -> String {
    exam::collection::digest(plates)
}

/// The version of the program.
#[wasm_bindgen]
pub fn version() -> String {
    env!("CARGO_PKG_VERSION").to_owned()
}
