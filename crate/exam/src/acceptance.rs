//! Levels of ISO 11666:2018 for single echoes in thin plates, for teachers who want the standard beside the yard's own
//! rule ([`crate::scheme::Acceptance`]).
//!
//! Source: a public one-page summary of the standard's table, for techniques 1 and 3 (side-drilled hole or notch as
//! reference). It was read for plates of 8 mm to less than 15 mm only, so nothing is said here of thicker ones. Real work
//! follows the standard itself.

use core::ops::Range;

/// Thickness of the plates spoken of, mm.
pub const THICKNESS_MM: Range<f64> = 8.0..15.0;

/// How far below the acceptance level an echo is still recorded, dB.
const RECORDING_BELOW_DB: f64 = 4.0;

/// Acceptance level of the standard.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AcceptanceLevel {
    /// AL 2, the stricter (for quality level B of ISO 5817).
    Two,
    /// AL 3 (for quality level C).
    Three,
}

/// Levels relative to the reference, dB.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Levels {
    /// From here up an echo is not accepted.
    pub acceptance_db: f64,
    /// From here up it is recorded.
    pub recording_db: f64,
    /// From here up it is looked at.
    pub evaluation_db: f64,
}

/// Levels for an indication of a length in a plate of a thickness; `None` outside [`THICKNESS_MM`].
pub fn levels(level: AcceptanceLevel, thickness_mm: f64, length_mm: f64) -> Option<Levels> {
    if !THICKNESS_MM.contains(&thickness_mm) {
        return None;
    }
    let short = length_mm <= thickness_mm;
    let (acceptance_db, evaluation_db) = match (level, short) {
        (AcceptanceLevel::Two, true) => (-4.0, -14.0),
        (AcceptanceLevel::Two, false) => (-10.0, -14.0),
        (AcceptanceLevel::Three, true) => (0.0, -10.0),
        (AcceptanceLevel::Three, false) => (-6.0, -10.0),
    };
    Some(Levels { acceptance_db, recording_db: acceptance_db - RECORDING_BELOW_DB, evaluation_db })
}
