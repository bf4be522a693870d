//! Where the samples of a frame lie: beams by angle and exit point, samples by time.

use acoustics::frame_maker::FrameMaker;

use crate::reckoning::Reckoning;

/// Beams and clock of a frame, `[beam][sample]`.
#[derive(Clone, Debug, PartialEq)]
pub struct BeamGrid {
    /// Refracted angles, radians, rising; of a linear scan all the same.
    pub angles: Vec<f64>,
    /// Where the beams leave the wedge, forward from its front (negative: behind it), mm.
    pub exit_forward_mm: Vec<f64>,
    /// Samples of a beam.
    pub samples: usize,
    /// Samples in a microsecond.
    pub sampling_mhz: f64,
    /// Number of the first sample on a clock that starts at firing.
    pub first_sample: f64,
    /// For beams that were calibrated one by one or have apertures of their own: sample at which the sound path of each is 0,
    /// and sound path from one sample to the next, mm. Else all beams keep one clock, that of the drawn wedge.
    pub by_path: Option<(Vec<f64>, f64)>,
}

impl BeamGrid {
    /// The grid of an engine by what is assumed of its beams.
    pub fn of(reckoning: &Reckoning, engine: &FrameMaker, by_path: bool) -> Self {
        let first = engine.sample_of(0.0);
        let zeros = || (0..reckoning.angles.len()).map(|beam| reckoning.zero_sample(beam) + first).collect();
        Self {
            angles: reckoning.angles.clone(),
            exit_forward_mm: reckoning.exits_forward_mm.clone(),
            samples: engine.samples(),
            sampling_mhz: acoustics::pulse::SAMPLING_MHZ,
            first_sample: -first,
            by_path: by_path.then(|| (zeros(), reckoning.path_step_mm())),
        }
    }

    /// Place of a two-way time among the samples.
    pub fn sample_of(&self, two_way_us: f64) -> f64 {
        two_way_us * self.sampling_mhz - self.first_sample
    }

    /// Where the beams pass at a depth below the face, legs unfolded, ahead of the wedge front, mm.
    pub(crate) fn passes_mm(&self, unfolded_mm: f64) -> Vec<f64> {
        let beams = self.exit_forward_mm.iter().zip(&self.angles);
        beams.map(|(exit_mm, &angle)| exit_mm + unfolded_mm * libm::tan(angle)).collect()
    }

    /// For beams of their own clocks: the beams (by the first of two and the fraction to the second), the sample and the
    /// sound path that show a place ahead of the wedge front; `passes_mm` is where beams pass at its depth.
    pub(crate) fn place(
        &self,
        forward_mm: f64,
        unfolded_mm: f64,
        passes_mm: &[f64],
    ) -> Option<(usize, f64, f64, f64)> {
        let (zeros, step_mm) = self.by_path.as_ref()?;
        let ahead = |beam: usize| passes_mm[beam] - forward_mm;
        let (mut low, mut high) = (0, passes_mm.len() - 1);
        if ahead(low) > 0.0 || ahead(high) <= 0.0 {
            return None;
        }
        while high - low > 1 {
            let middle = usize::midpoint(low, high);
            if ahead(middle) > 0.0 { high = middle } else { low = middle }
        }
        let across = ahead(low) / (ahead(low) - ahead(high));
        let between = |values: &[f64]| values[low] + across * (values[high] - values[low]);
        let path = unfolded_mm / libm::cos(between(&self.angles));
        Some((low, across, between(zeros) + path / step_mm, path))
    }
}
