//! The gates on the echo trace and what they read, in the words of ISO 5577.

use serde::{Deserialize, Serialize};

/// A stretch of sound path that is watched on one beam.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Gate {
    /// Start, mm of sound path in the metal.
    pub start_mm: f64,
    /// Length, mm of sound path.
    pub length_mm: f64,
    /// Height below which nothing is read, % of full screen height.
    pub threshold_percent: f64,
}

/// Where on an echo a gate reads its sound path.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum GatePoint {
    /// At the highest place in the gate.
    #[default]
    Peak,
    /// Where the trace first rises through the threshold in the gate.
    Flank,
}

/// What the gate reads: the highest echo in it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Reading {
    /// Beam it was read on, index into the beams of the set-up.
    pub beam: usize,
    /// Refracted angle of that beam, degrees from the normal of the face.
    pub angle_deg: f64,
    /// Peak amplitude, % of full screen height.
    pub amplitude_percent: f64,
    /// Peak amplitude relative to the reference reflector at reference gain, dB.
    pub amplitude_db: f64,
    /// True when the echo is higher than the receiver can show; the two amplitudes are then lower bounds.
    pub clipped: bool,
    /// Sound path in the metal, mm.
    pub sound_path_mm: f64,
    /// Depth below the upper face, folded at the faces, mm.
    pub depth_mm: f64,
    /// Leg: 1 before the far face, 2 after it, 3 after the near face.
    pub leg: u8,
    /// Projected distance from the front of the wedge, mm (reduced projected sound path length).
    pub surface_distance_mm: f64,
    /// Place across the weld, mm from its centreline, positive towards side B.
    pub offset_mm: f64,
    /// Place along the weld, mm from the datum.
    pub y_mm: f64,
}
