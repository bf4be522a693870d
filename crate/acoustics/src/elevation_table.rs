//! Table of the two-way strip factor: how an echo beside the beam plane is weaker and later than in it.

use core::f64::consts::TAU;

use crate::complex::Complex;
use crate::elevation::strip_factor;
use crate::lanes::f32x8;
use crate::linear;
use crate::pulse::{Pulse, SAMPLING_MHZ};
use crate::spline;

/// Points further beside the beam plane than this are not heard, mm.
pub const LARGEST_OFF_PLANE_MM: f64 = 8.0;
const OFF_PLANE_STEP_MM: f64 = 0.25;
const REACH_STEP_MM: f64 = 2.0;

/// One entry: delay and a quadratic in frequency, already turned into factors for the spline's value, slope and
/// curvature; the last is not used.
const VALUES: usize = 8;

/// The factor at a point: delay in samples and complex factors for value, slope and curvature of the spline.
#[derive(Clone, Copy, Debug)]
pub struct OffPlane {
    /// Delay, samples.
    pub delay: f32,
    /// Factors (re, im) for value, slope, curvature.
    pub factors: [f32; 6],
}

impl OffPlane {
    /// The same divided by f/f_c: what a rim gives has one factor of frequency less than what a face gives. 1/f is
    /// expanded about the carrier to second order, like the factor itself; v is (i/2π) d/dt.
    #[inline(always)]
    pub fn per_frequency(&self, carrier_mhz: f32) -> Self {
        let turn = SAMPLING_MHZ as f32 * (1.0 / TAU) as f32 / carrier_mhz;
        let [p_re, p_im, s_re, s_im, c_re, c_im] = self.factors;
        // p1 -> p1 - p0/f: slope -= i turn p0.  p2 -> p2 - p1/f + p0/f²: curvature -= i turn slope + turn² p0.
        Self {
            delay: self.delay,
            factors: [
                p_re,
                p_im,
                s_re + turn * p_im,
                s_im - turn * p_re,
                c_re + turn * s_im - turn * turn * p_re,
                c_im - turn * s_re - turn * turn * p_im,
            ],
        }
    }
}

/// What the table hangs on beside its size.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// Length of the elements across the array, mm.
    pub elevation_mm: Option<f64>,
    /// Speed in the metal, mm/µs.
    pub speed: f64,
    /// What they send.
    pub pulse: Pulse,
}

/// The table, `[off plane][reach][delay, value re, im, slope re, im, curvature re, im]`.
#[derive(Debug)]
pub struct ElevationTable {
    values: Vec<[f32; VALUES]>,
    reaches: usize,
    strip: Strip,
}

impl ElevationTable {
    /// Up to a largest reach (metal path plus wedge path times c_w/c_T).
    pub fn new(strip: Strip, largest_reach_mm: f64) -> Self {
        let Strip { elevation_mm, speed, ref pulse } = strip;
        let band: Vec<f64> = (-4..=4).map(|i| pulse.carrier_mhz + 0.6 * f64::from(i)).collect();
        let weight: Vec<f64> = band.iter().map(|&f| pulse.spectrum(f) * pulse.spectrum(f)).collect();
        let basis: Vec<Vec<Complex>> = (0..3)
            .map(|k| {
                let power = |f: &f64| {
                    let v = f - pulse.carrier_mhz;
                    Complex::new([1.0, v, v * v][k], 0.0)
                };
                band.iter().map(power).collect()
            })
            .collect();
        let reaches = reaches(largest_reach_mm);
        let offs = (LARGEST_OFF_PLANE_MM / OFF_PLANE_STEP_MM) as usize + 2;
        let mut values = Vec::with_capacity(offs * reaches);
        for off in 0..offs {
            for reach in 0..reaches {
                let reach_mm = (reach as f64 * REACH_STEP_MM).max(REACH_STEP_MM);
                let spectrum: Vec<Complex> = band
                    .iter()
                    .map(|&f| {
                        strip_factor(elevation_mm, off as f64 * OFF_PLANE_STEP_MM, reach_mm, speed / f)
                            .square()
                    })
                    .collect();
                values.push(Self::entry(&spectrum, &band, &basis, &weight));
            }
        }
        Self { values, reaches, strip }
    }

    /// Whether it is the one for such elements and that reach. A longer one is another: longitudinal ways reach beyond the end, where
    /// its last entry holds.
    pub fn is_for(&self, strip: &Strip, largest_reach_mm: f64) -> bool {
        self.strip == *strip && self.reaches == reaches(largest_reach_mm)
    }

    fn entry(spectrum: &[Complex], band: &[f64], basis: &[Vec<Complex>], weight: &[f64]) -> [f32; VALUES] {
        let turn = (1..band.len())
            .fold(Complex::ZERO, |sum, m| sum + spectrum[m] * spectrum[m - 1].conj() * weight[m]);
        let delay_us = turn.arg() / (TAU * (band[1] - band[0]));
        // The delay takes its share of the carrier's phase with it, so what is left varies slowly and can be
        // interpolated.
        let rest: Vec<Complex> = spectrum
            .iter()
            .zip(band)
            .map(|(&value, &f)| value * Complex::phasor(-TAU * f * delay_us))
            .collect();
        let p = linear::fit(basis, &rest, weight).0;
        // v is (i/2π) d/dt, and time runs in samples.
        let slope = p[1] * Complex::new(0.0, SAMPLING_MHZ / TAU);
        let curvature = p[2] * (-(SAMPLING_MHZ / TAU) * (SAMPLING_MHZ / TAU));
        [
            (delay_us * SAMPLING_MHZ) as f32,
            p[0].re as f32,
            p[0].im as f32,
            slope.re as f32,
            slope.im as f32,
            curvature.re as f32,
            curvature.im as f32,
            0.0,
        ]
    }

    /// Bilinear look-up. `off_plane_mm` must not exceed [`LARGEST_OFF_PLANE_MM`] in magnitude.
    #[inline(always)]
    pub fn at(&self, off_plane_mm: f32, reach_mm: f32) -> OffPlane {
        let a = off_plane_mm.abs() * (1.0 / OFF_PLANE_STEP_MM) as f32;
        let b = (reach_mm * (1.0 / REACH_STEP_MM) as f32).clamp(0.0, (self.reaches - 2) as f32);
        let ((i, fa), (j, fb)) = (spline::split(a), spline::split(b));
        let at = i * self.reaches + j;
        let (near, far) = (at, at + self.reaches);
        let (w00, w01, w10, w11) = ((1.0 - fa) * (1.0 - fb), (1.0 - fa) * fb, fa * (1.0 - fb), fa * fb);
        let entry = |at: usize| f32x8::new(self.values[at]);
        let out = entry(near) * w00 + entry(near + 1) * w01 + entry(far) * w10 + entry(far + 1) * w11;
        let out = out.to_array();
        OffPlane { delay: out[0], factors: [out[1], out[2], out[3], out[4], out[5], out[6]] }
    }
}

/// Entries up to a reach.
fn reaches(largest_reach_mm: f64) -> usize {
    (largest_reach_mm / REACH_STEP_MM) as usize + 2
}

#[cfg(test)]
mod tests {
    use super::{ElevationTable, Strip};
    use crate::pulse::Pulse;

    /// One that is kept says what a new one would.
    #[test]
    fn only_the_same_is_kept() {
        let strip = |elevation_mm| Strip { elevation_mm, speed: 3.23, pulse: Pulse::new(5.0, 60.0, 2) };
        let table = ElevationTable::new(strip(Some(10.0)), 80.0);
        assert!(table.is_for(&strip(Some(10.0)), 80.0) && table.is_for(&strip(Some(10.0)), 81.9));
        assert!(!table.is_for(&strip(Some(10.0)), 31.0) && !table.is_for(&strip(Some(10.0)), 82.1));
        assert!(!table.is_for(&strip(Some(8.0)), 80.0) && !table.is_for(&strip(None), 80.0));
        let other = Strip { pulse: Pulse::new(4.0, 60.0, 2), ..strip(Some(10.0)) };
        assert!(!table.is_for(&other, 80.0));
        let again = ElevationTable::new(strip(Some(10.0)), 81.9);
        for (off_mm, reach_mm) in [(0.0, 1.0), (3.3, 17.4), (7.9, 80.9), (2.0, 200.0)] {
            let [kept, new] = [&table, &again].map(|table| table.at(off_mm, reach_mm));
            assert_eq!((kept.delay, kept.factors), (new.delay, new.factors));
        }
    }
}
