//! From raw heights to % of full screen: how the receiver evens out angle and sound path.

use acoustics::engine::GrainDose;
use acoustics::frame_maker::FrameMaker;
use acoustics::placement::Placement;

use crate::bench::{Instrument, bare, decibel};
use crate::calibration::Calibration;
use crate::sensitivity::{REFERENCE_HEIGHT_PERCENT, Sensitivity};

/// Sound path at which grain is set against the reference, mm.
const GRAIN_PATH_MM: f64 = 40.0;
/// Sound path of the hole that stands at 80 % on the middle beam before anything is evened out, mm.
const FLAT_PATH_MM: f64 = 50.0;

/// The factors that put the reference hole at its height at every angle and path, `[beam][sample]`.
pub(crate) fn ideal_correction(engine: &FrameMaker, sensitivity: &Sensitivity, range_mm: f64) -> Vec<f32> {
    let samples = engine.samples();
    let mut correction = vec![0.0; engine.laws().len() * samples];
    for beam in 0..engine.laws().len() {
        let curve = sensitivity.curve(beam);
        for sample in 0..samples {
            let path = (sample as f64 - engine.first_path_sample(beam)) * engine.path_step_mm();
            if (0.0..=range_mm).contains(&path) {
                correction[beam * samples + sample] = (REFERENCE_HEIGHT_PERCENT / curve.height(path)) as f32;
            }
        }
    }
    correction
}

impl Instrument {
    /// Scales the grain so that its mean echo stands at its level against the reference hole at 40 mm.
    pub(crate) fn level_grain(&mut self) {
        let (Some((field, scale)), Some(grain)) = (&mut self.grain, self.scene.grain) else { return };
        let bare = bare(&self.scene);
        let stand = Placement { centre_mm: [0.0, 0.0], forward: [1.0, 0.0], lower_face_mm: None };
        let samples = self.engine.samples();
        let starts: Vec<f64> = (0..self.angles_deg.len()).map(|b| self.engine.first_path_sample(b)).collect();
        let step = self.engine.path_step_mm();
        let (re, im) = self.engine.frame(&bare, &stand, Some(GrainDose { field, scale: 1.0 }));
        let (mut sum, mut count) = (0.0, 0.0);
        for (beam, start) in starts.iter().enumerate() {
            let centre = (start + GRAIN_PATH_MM / step) as usize;
            for sample in centre.saturating_sub(40)..(centre + 40).min(samples) {
                let at = beam * samples + sample;
                let height = f64::from((re[at] * re[at] + im[at] * im[at]).sqrt() * self.correction[at]);
                sum += height;
                count += 1.0;
            }
        }
        let mean = sum / f64::max(count, 1.0);
        let wanted = REFERENCE_HEIGHT_PERCENT * decibel(grain.level_db);
        *scale = if mean > 0.0 { (wanted / mean) as f32 } else { 0.0 };
    }

    /// Height in % at reference gain of a raw height of 1, before anything is evened out.
    pub(crate) fn flat_factor(&self) -> f64 {
        let middle = self.angles_deg.len() / 2;
        REFERENCE_HEIGHT_PERCENT / self.sensitivity.curve(middle).height(FLAT_PATH_MM)
    }

    /// Takes what a calibration says, or what the data sheets say: beams, speed and gain over angle and path. A bench that
    /// is as its data sheets say comes calibrated and stays as it is. The frame at hand changes with the next scan.
    pub fn calibrate(&mut self, calibration: Option<&Calibration>) {
        if self.shaping.nominal {
            return;
        }
        self.reckoning =
            calibration.map_or_else(|| self.nominal.clone(), |made| made.reckoning(&self.nominal));
        let flat = self.flat_factor();
        let (samples, range_mm) = (self.engine.samples(), self.layout.range_mm);
        for beam in 0..self.angles_deg.len() {
            let (zero, step) = (self.first_path_sample(beam), self.path_step_mm());
            for sample in 0..samples {
                let path = (sample as f64 - zero) * step;
                let db = calibration.map_or(0.0, |made| made.gain_db(beam, path));
                let factor = if (0.0..=range_mm).contains(&path) { flat * decibel(db) } else { 0.0 };
                self.correction[beam * samples + sample] = factor as f32;
            }
        }
        self.pictures = [None, None];
    }
}
