//! The instrument in use: a set-up over a plate, one frame at a time.

use acoustics::scene::Scene;

use crate::gate::{Gate, Reading};
use crate::pose::Pose;
use crate::procedure::Procedure;

/// Why a set-up cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum SetUpError {
    /// What is wrong with the set-up and what would be right.
    #[error("{0}")]
    Impossible(String),
}

/// Which drawing of the sound the picture shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum View {
    /// Legs folded at the faces, in plate coordinates.
    Folded,
    /// Straight beams, legs below each other.
    Unfolded,
}

/// Size and place of a picture. Forward is counted from the wedge front in beam direction (for side B the page
/// mirrors it), depth from the upper face.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct PictureFrame {
    /// Width, pixels.
    pub width_px: u32,
    /// Height, pixels.
    pub height_px: u32,
    /// Forward distance of the left and right edge, mm.
    pub forward_mm: [f64; 2],
    /// Depth of the upper and lower edge, mm.
    pub depth_mm: [f64; 2],
}

/// A place in the frame.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Spot {
    /// Beam index.
    pub beam: usize,
    /// Sound path in the metal, mm.
    pub sound_path_mm: f64,
    /// Amplitude there, % of full screen height.
    pub amplitude_percent: f64,
    /// Leg, from 1.
    pub leg: u8,
    /// Depth, folded, mm.
    pub depth_mm: f64,
    /// Place across the weld, mm.
    pub offset_mm: f64,
}

/// The echo trace of one beam: rectified envelope over sound path from 0.
#[derive(Clone, Debug)]
pub struct Trace {
    /// Sound path from one sample to the next, mm.
    pub step_mm: f64,
    /// % of full screen height, 0..=200 (the receiver clips).
    pub percent: Vec<f32>,
}

/// Probe, wedge, laws and receiver over one plate.
pub struct Instrument {
    _private: (),
}

impl Instrument {
    /// Prepares the beam tables (about 0.3 s) for a scene and a procedure.
    pub fn new(_scene: Scene, _procedure: &Procedure) -> Result<Self, SetUpError> {
        Ok(Self { _private: () })
    }
    /// Refracted angles of the beams, degrees.
    pub fn angles_deg(&self) -> &[f64] {
        &[]
    }
    /// Forward distance of a beam's exit point from the wedge front (negative: behind it), mm.
    pub fn exit_forward_mm(&self, _beam: usize) -> f64 {
        0.0
    }
    /// Computes the frame at a pose. `tick` numbers the frame: electronic noise differs between ticks and repeats
    /// with them.
    pub fn scan(&mut self, _pose: &Pose, _tick: u32) {}
    /// Sets the receiver's gain, dB; takes effect on the frame at hand too.
    pub fn set_gain_db(&mut self, _gain_db: f64) {}
    /// Reads the highest echo in a gate on one beam; `None` below the gate's threshold.
    pub fn reading(&self, _beam: usize, _gate: &Gate) -> Option<Reading> {
        None
    }
    /// The echo trace of one beam.
    pub fn trace(&self, _beam: usize) -> Trace {
        Trace { step_mm: 0.05, percent: Vec::new() }
    }
    /// Local maxima of the frame at or above a height, highest first, at most `limit`.
    pub fn echoes(&self, _threshold_percent: f64, _limit: usize) -> Vec<Spot> {
        Vec::new()
    }
    /// The beam and sound path that show a place of the section (the strongest leg, or the one asked for).
    pub fn spot_at(&self, _offset_mm: f64, _depth_mm: f64, _leg: Option<u8>) -> Option<Spot> {
        None
    }
    /// Size and place of the picture for a view.
    pub fn picture_frame(&self, _view: View) -> PictureFrame {
        PictureFrame { width_px: 1, height_px: 1, forward_mm: [0.0, 1.0], depth_mm: [0.0, 1.0] }
    }
    /// Paints the picture as RGBA rows (length width_px * height_px * 4); transparent where no beam reaches.
    /// Where legs overlap the stronger wins, or `leg` (from 1) is shown alone.
    pub fn paint(&mut self, _view: View, _leg: Option<u8>, _rgba: &mut [u8]) {}
    /// Colours of the picture from 0 to 100 % of full screen height in 256 steps, RGB.
    pub fn colours() -> &'static [[u8; 3]; 256] {
        &[[0; 3]; 256]
    }
    /// A digest of the present frame (amplitudes of all beams and samples).
    pub fn digest(&self) -> String {
        String::new()
    }
}
