//! Lays the echoes that go out and come home on the same leg on the grid: one small patch of spline weights each.

use crate::axes::{Axes, ZONE};
use crate::elevation_table::{ElevationTable, OffPlane};
use crate::kernel::{ShearWave, response};
use crate::leg_rays::LegRays;
use crate::mirror_table::Complex32;
use crate::phase;
use crate::placement::LocalPoints;
use crate::planes::Planes;
use crate::pulse::SAMPLING_MHZ;
use crate::spline;

/// Fixed values of a set-up that every deposit needs.
#[derive(Debug)]
pub struct DepositConstants {
    /// First node and reciprocal step of the sine.
    pub sine_start: f32,
    /// Reciprocal of the step of the sine.
    pub per_sine: f32,
    /// Nodes of the sine.
    pub sines: usize,
    /// First sample of the grid.
    pub first_sample: f32,
    /// Samples of the grid.
    pub samples: f32,
    /// Frequency of demodulation, MHz.
    pub carrier_mhz: f32,
    /// (c_T/c_L)² of the metal.
    pub kappa2: f32,
}

impl DepositConstants {
    /// From a grid.
    pub fn new(axes: &Axes, carrier_mhz: f64, speed_ratio: f64) -> Self {
        Self {
            sine_start: axes.sine_start as f32,
            per_sine: (1.0 / axes.sine_step) as f32,
            sines: axes.sines,
            first_sample: axes.first_sample as f32,
            samples: axes.samples as f32,
            carrier_mhz: carrier_mhz as f32,
            kappa2: (speed_ratio * speed_ratio) as f32,
        }
    }

    /// Place of a two-way time among the samples.
    #[inline(always)]
    pub fn sample(&self, two_way_us: f32, delay: f32) -> f32 {
        two_way_us * SAMPLING_MHZ as f32 - self.first_sample + delay
    }
}

/// The normal of a point turned to the side a wave comes from; `None` where the wave meets no lit face.
#[inline(always)]
pub fn lit_normal(points: &LocalPoints, index: usize, e: [f32; 2]) -> Option<[f32; 3]> {
    let n = [points.nx[index], points.ny[index], points.nz[index]];
    let facing = e[0] * n[0] + e[1] * n[2];
    if facing < 0.0 {
        Some(n)
    } else if points.both[index] > 0.5 && facing > 0.0 {
        Some([-n[0], -n[1], -n[2]])
    } else {
        None
    }
}

/// Complex taps over four samples: the amplitude times the strip factor as spline value, slope and curvature.
#[inline(always)]
pub fn taps(amplitude: Complex32, off: &OffPlane, fraction: f32) -> ([f32; 4], [f32; 4]) {
    let (value, slope, curvature) =
        (spline::weights(fraction), spline::slopes(fraction), spline::curvatures(fraction));
    let f = &off.factors;
    let (mut re, mut im) = ([0.0; 4], [0.0; 4]);
    for k in 0..4 {
        let r = f[0] * value[k] + f[2] * slope[k] + f[4] * curvature[k];
        let i = f[1] * value[k] + f[3] * slope[k] + f[5] * curvature[k];
        re[k] = amplitude[0] * r - amplitude[1] * i;
        im[k] = amplitude[0] * i + amplitude[1] * r;
    }
    (re, im)
}

/// Product of two complex numbers.
#[inline(always)]
pub fn times(a: Complex32, b: Complex32) -> Complex32 {
    [a[0] * b[0] - a[1] * b[1], a[0] * b[1] + a[1] * b[0]]
}

/// Lays every lit point of one leg on the planes.
pub fn same_leg(
    leg: usize,
    points: &LocalPoints,
    rays: &LegRays,
    constants: &DepositConstants,
    elevation: &ElevationTable,
    planes: &mut Planes,
) {
    let flip = if leg.is_multiple_of(2) { 1.0 } else { -1.0 };
    for i in 0..points.len() {
        let place = (rays.moved_sine[i] - constants.sine_start) * constants.per_sine;
        if !(place >= 1.0 && place < (constants.sines - 3) as f32) {
            continue;
        }
        let wave = ShearWave::new(rays.sine[i], rays.cosine[i], flip);
        let Some(normal) = lit_normal(points, i, wave.e) else { continue };
        let two_way = 2.0 * rays.time[i];
        let off = elevation.at(points.y[i], rays.reach[i]);
        let sample = constants.sample(two_way, off.delay);
        if !(sample >= 2.0 && sample < constants.samples - 3.0) {
            continue;
        }
        let (k_re, k_im) = response(constants.kappa2, wave, wave, normal);
        let mirror = times(rays.mirror[i], rays.mirror[i]);
        let carrier =
            phase::phasor(constants.carrier_mhz * (two_way + off.delay * (1.0 / SAMPLING_MHZ as f32)));
        let area = points.area[i];
        let amplitude = times(times([k_re * area, k_im * area], mirror), carrier);
        let (node, sample_index) = (place as usize, sample as usize);
        let (re, im) = taps(amplitude, &off, sample - sample_index as f32);
        let weights = spline::weights(place - node as f32);
        planes.add(sample_index / ZONE, node - 1, sample_index - 1, weights, re, im);
    }
}
