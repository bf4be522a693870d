//! Where the samples of a frame lie: beams by angle and exit point, samples by time.

use acoustics::engine::FrameEngine;

/// Beams and clock of a frame, `[beam][sample]`.
#[derive(Clone, Debug, PartialEq)]
pub struct BeamGrid {
    /// Refracted angles, radians, rising.
    pub angles: Vec<f64>,
    /// Where the beams leave the wedge, forward from its front (negative: behind it), mm.
    pub exit_forward_mm: Vec<f64>,
    /// Samples of a beam.
    pub samples: usize,
    /// Samples in a microsecond.
    pub sampling_mhz: f64,
    /// Number of the first sample on a clock that starts at firing.
    pub first_sample: f64,
}

impl BeamGrid {
    /// The grid of an engine whose first element stands this far behind the wedge front.
    pub fn of(engine: &FrameEngine, first_element_to_front_mm: f64) -> Self {
        Self {
            angles: engine.laws().iter().map(|law| law.angle).collect(),
            exit_forward_mm: engine
                .laws()
                .iter()
                .map(|law| law.exit_mm - first_element_to_front_mm)
                .collect(),
            samples: engine.samples(),
            sampling_mhz: acoustics::pulse::SAMPLING_MHZ,
            first_sample: -engine.sample_of(0.0),
        }
    }

    /// Place of a two-way time among the samples.
    pub fn sample_of(&self, two_way_us: f64) -> f64 {
        two_way_us * self.sampling_mhz - self.first_sample
    }
}
