//! The grid that all beams share: sine of the centre ray in the wedge, and two-way time of that ray.

use crate::aperture::Aperture;
use crate::law::DelayLaw;
use crate::material::Solid;
use crate::pulse::SAMPLING_MHZ;

/// Samples of a block: beam coefficients change from block to block.
pub const BLOCK: usize = 8;
/// Samples of a zone: whole-sample delays of beams change from zone to zone.
pub const ZONE: usize = 64;
/// Flattest ray that is still followed: the sine, in the metal, of 85° from the normal.
const LARGEST_SINE: f64 = 0.996_194_698;

/// Nodes of the grid and the speeds that belong to it.
#[derive(Clone, Debug)]
pub struct Axes {
    /// Wedge speed over shear speed.
    pub kappa: f64,
    /// Longitudinal speed in the wedge, mm/µs.
    pub wedge_speed: f64,
    /// Shear speed in the metal, mm/µs.
    pub speed: f64,
    /// Wave number of shear waves at the probe's centre frequency, 1/mm.
    pub wave_number: f64,
    /// Height of the aperture's centre above the foot, mm.
    pub height_mm: f64,
    /// First node of the sine.
    pub sine_start: f64,
    /// Step of the sine.
    pub sine_step: f64,
    /// Number of nodes of the sine.
    pub sines: usize,
    /// Index of the first sample; its time is index / 10 MHz.
    pub first_sample: i32,
    /// Number of samples, a whole number of zones.
    pub samples: usize,
}

impl Axes {
    /// The grid for a set of laws and a longest sound path.
    pub fn new(aperture: &Aperture, solid: &Solid, laws: &[DelayLaw], range_mm: f64) -> Self {
        let (wedge_speed, speed) = (aperture.near_speed(solid), solid.shear_mm_per_us);
        let kappa = wedge_speed / speed;
        // The lobe of a beam is λ/L wide in the sine; 0.22 of that per node keeps splines within 0.2 dB.
        let lobe = wedge_speed / aperture.frequency_mhz / aperture.length_mm();
        let sine_step = 0.22 * lobe;
        let sine_of = |law: &DelayLaw| kappa * libm::sin(law.angle);
        let lowest = laws.iter().map(sine_of).fold(f64::INFINITY, f64::min);
        let highest = laws.iter().map(sine_of).fold(0.0, f64::max);
        let sine_start = (lowest - 2.2 * lobe).max(0.02);
        let sine_end = (highest + 2.2 * lobe).min(kappa * LARGEST_SINE);
        let earliest = laws.iter().map(|law| law.wedge_time_us).fold(f64::INFINITY, f64::min);
        let latest = laws.iter().map(|law| law.wedge_time_us).fold(0.0, f64::max) + range_mm / speed;
        let first_sample = (2.0 * earliest * SAMPLING_MHZ) as i32 - 8;
        let last_sample = (2.0 * latest * SAMPLING_MHZ) as i32 + 12;
        let wanted = usize::try_from(last_sample - first_sample).unwrap_or(ZONE);
        Self {
            kappa,
            wedge_speed,
            speed,
            wave_number: core::f64::consts::TAU * aperture.frequency_mhz / speed,
            height_mm: aperture.centre_mm()[1],
            sine_start,
            sine_step,
            sines: ((sine_end - sine_start) / sine_step) as usize + 4,
            first_sample,
            samples: wanted.div_ceil(ZONE) * ZONE,
        }
    }

    /// Largest reach of a ray: metal path plus what counts of the wedge, mm.
    pub fn largest_reach_mm(&self) -> f64 {
        0.5 * self.time_us(self.samples as f64) * self.speed + self.height_mm
    }

    /// Sine in the wedge of the steepest ray that is followed.
    pub fn largest_sine(&self) -> f64 {
        self.kappa * LARGEST_SINE
    }

    /// Number of zones.
    pub fn zones(&self) -> usize {
        self.samples / ZONE
    }

    /// Two-way time of a sample, µs.
    pub fn time_us(&self, sample: f64) -> f64 {
        (f64::from(self.first_sample) + sample) / SAMPLING_MHZ
    }

    /// One-way time of the centre ray in the wedge, µs.
    pub fn wedge_time_us(&self, wedge_sine: f64) -> f64 {
        self.height_mm / (self.wedge_speed * f64::sqrt(1.0 - wedge_sine * wedge_sine))
    }

    /// Centre ray of a node: sine in the metal and path in the metal at a one-way time. The path never falls below 2 mm,
    /// where the field of an array close to the face means nothing.
    pub fn centre_ray(&self, wedge_sine: f64, one_way_us: f64) -> (f64, f64) {
        let path = (one_way_us - self.wedge_time_us(wedge_sine)) * self.speed;
        ((wedge_sine / self.kappa).min(LARGEST_SINE), path.max(2.0))
    }

    /// Place in the unfolded metal at a sine and a path along the centre ray: distance along the face from below the
    /// aperture's centre, and depth, mm.
    pub fn place(&self, wedge_sine: f64, sine: f64, path_mm: f64) -> [f64; 2] {
        let wedge_cosine = f64::sqrt(1.0 - wedge_sine * wedge_sine);
        [self.height_mm * wedge_sine / wedge_cosine + path_mm * sine, path_mm * f64::sqrt(1.0 - sine * sine)]
    }
}
