//! What the operator assumes of the beams: readings and pictures are reckoned with it, whatever the truth is.

use acoustics::law::DelayLaw;
use acoustics::pulse::SAMPLING_MHZ;

/// Angle, exit point and time in the wedge of every beam, and the speed in the metal.
#[derive(Clone, Debug, PartialEq)]
pub struct Reckoning {
    /// Refracted angles, radians, rising; of a linear scan all the same.
    pub angles: Vec<f64>,
    /// Where the beams leave the wedge, forward from its front (negative: behind it), mm.
    pub exits_forward_mm: Vec<f64>,
    /// Times in the wedge, one way, µs.
    pub wedge_times_us: Vec<f64>,
    /// Speed in the metal, mm/µs.
    pub speed_mm_per_us: f64,
}

impl Reckoning {
    /// By the data sheets: the laws as drawn.
    pub fn of(laws: &[DelayLaw], first_element_to_front_mm: f64, speed_mm_per_us: f64) -> Self {
        Self {
            angles: laws.iter().map(|law| law.angle).collect(),
            exits_forward_mm: laws.iter().map(|law| law.exit_mm - first_element_to_front_mm).collect(),
            wedge_times_us: laws.iter().map(|law| law.wedge_time_us).collect(),
            speed_mm_per_us,
        }
    }

    /// Number of the sample at which a beam's sound path is 0, on a clock that starts at firing.
    pub fn zero_sample(&self, beam: usize) -> f64 {
        2.0 * self.wedge_times_us[beam] * SAMPLING_MHZ
    }

    /// Sound path from one sample to the next, mm.
    pub fn path_step_mm(&self) -> f64 {
        0.5 * self.speed_mm_per_us / SAMPLING_MHZ
    }

    /// Sound path of a two-way time, mm.
    pub fn path_mm(&self, beam: usize, two_way_us: f64) -> f64 {
        (0.5 * two_way_us - self.wedge_times_us[beam]) * self.speed_mm_per_us
    }

    /// Two-way time of a sound path, µs.
    pub fn two_way_us(&self, beam: usize, path_mm: f64) -> f64 {
        2.0 * (self.wedge_times_us[beam] + path_mm / self.speed_mm_per_us)
    }
}
