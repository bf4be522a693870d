//! Echoes that go out on one leg and come home on another: corners, and upright faces by way of a wall.
//!
//! The two one-way fields of every beam are multiplied, so there is no grid to lay the point on; but only beams near the
//! mean of the two sines hear it.

use crate::axes::Axes;
use crate::beam_table::{BeamTable, ONE_WAY_VALUES};
use crate::deposit::{DepositConstants, lit_normal, taps, times};
use crate::elevation_table::ElevationTable;
use crate::kernel::{ShearWave, response};
use crate::leg_rays::LegRays;
use crate::phase;
use crate::placement::LocalPoints;
use crate::pulse::{SAMPLING_MHZ, TERMS};
use crate::synthesis::TermPlanes;

/// Legs whose sines are further apart than this, in lobe widths, lie in no beam's main lobe together.
const APART_LOBES: f64 = 2.0;
/// Beams further than this from the nearer of the two sines hear nothing, in lobe widths.
const WINDOW_LOBES: f64 = 2.0;

/// What mixed legs need beyond the tables.
#[derive(Debug)]
pub struct MixedConstants {
    /// Sine in the wedge of every beam, rising.
    pub beam_sines: Vec<f32>,
    /// Half width of the window of beams, in sine.
    pub window: f32,
    /// Largest distance of the two sines.
    pub apart: f32,
}

impl MixedConstants {
    /// `lobe` is the width of a beam in the sine, λ/L.
    pub fn new(beam_sines: Vec<f32>, lobe: f64) -> Self {
        Self { beam_sines, window: (WINDOW_LOBES * lobe) as f32, apart: (APART_LOBES * lobe) as f32 }
    }
}

/// Beams handled at once.
const LANES: usize = 8;

/// Eight complex numbers: real parts and imaginary parts.
type Wide = [[f32; LANES]; 2];

#[inline(always)]
fn wide_times(a: &Wide, b: &Wide) -> Wide {
    let mut out = [[0.0; LANES]; 2];
    for k in 0..LANES {
        out[0][k] = a[0][k] * b[0][k] - a[1][k] * b[1][k];
        out[1][k] = a[0][k] * b[1][k] + a[1][k] * b[0][k];
    }
    out
}

/// a + s b.
#[inline(always)]
fn wide_add(a: &Wide, b: &Wide, s: f32) -> Wide {
    let mut out = [[0.0; LANES]; 2];
    for part in 0..2 {
        for k in 0..LANES {
            out[part][k] = a[part][k] + s * b[part][k];
        }
    }
    out
}

/// One-way look-up: corner index and weights.
struct Lookup {
    at: usize,
    weights: [f32; 4],
}

impl Lookup {
    fn new(table: &BeamTable, axes: &Axes, wedge_sine: f32, one_way_us: f32) -> Self {
        let t = ((one_way_us - table.node_start_us as f32) * (1.0 / table.node_step_us) as f32)
            .clamp(0.0, (table.nodes - 2) as f32);
        let u = ((wedge_sine - axes.sine_start as f32) * (2.0 / axes.sine_step) as f32)
            .clamp(0.0, (table.half_sines - 2) as f32);
        let (node, half) = (t as usize, u as usize);
        let (ft, fu) = (t - node as f32, u - half as f32);
        Self {
            at: (node * table.half_sines + half) * ONE_WAY_VALUES * table.lanes,
            weights: [(1.0 - ft) * (1.0 - fu), (1.0 - ft) * fu, ft * (1.0 - fu), ft * fu],
        }
    }

    /// Coefficients of 1, x and x² of eight beams, x the frequency in spreads from the carrier.
    #[inline(always)]
    fn values(&self, table: &BeamTable, beam: usize) -> [Wide; TERMS] {
        let lanes = table.lanes;
        let (step, row) = (ONE_WAY_VALUES * lanes, table.half_sines * ONE_WAY_VALUES * lanes);
        let corners = [self.at, self.at + step, self.at + row, self.at + row + step];
        let mut h = [[[0.0_f32; LANES]; 2]; TERMS];
        for (k, values) in h.as_flattened_mut().iter_mut().enumerate() {
            for (corner, weight) in corners.iter().zip(self.weights) {
                let at = corner + k * lanes + beam;
                for (value, entry) in values.iter_mut().zip(&table.one_way[at..at + LANES]) {
                    *value += weight * entry;
                }
            }
        }
        // The third Hermite term is (x² - 1)/√2.
        let zero = [[0.0; LANES]; 2];
        let square = wide_add(&zero, &h[2], core::f32::consts::FRAC_1_SQRT_2);
        [wide_add(&h[0], &square, -1.0), h[1], square]
    }
}

/// Product of two quadratics in x, on the Hermite terms 1, x, (x² - 1)/√2. The cubic and quartic parts are replaced by
/// their best fit under the pulse's energy, a normal weight of variance 1/2: x³ by 3x/2, x⁴ by 3x² - 3/4.
#[inline(always)]
fn product(a: &[Wide; TERMS], b: &[Wide; TERMS]) -> [Wide; TERMS] {
    let cubic = wide_add(&wide_times(&a[1], &b[2]), &wide_times(&a[2], &b[1]), 1.0);
    let quartic = wide_times(&a[2], &b[2]);
    let linear = wide_add(&wide_times(&a[0], &b[1]), &wide_times(&a[1], &b[0]), 1.0);
    let linear = wide_add(&linear, &cubic, 1.5);
    let square = wide_add(&wide_times(&a[0], &b[2]), &wide_times(&a[2], &b[0]), 1.0);
    let square = wide_add(&wide_add(&square, &wide_times(&a[1], &b[1]), 1.0), &quartic, 3.0);
    let constant = wide_add(&wide_add(&wide_times(&a[0], &b[0]), &quartic, -0.75), &square, 1.0);
    let zero = [[0.0; LANES]; 2];
    [constant, linear, wide_add(&zero, &square, core::f32::consts::SQRT_2)]
}

/// What mixed legs bring, `[sample][term][re, im][beam lane]`: beams lie next to each other, so that eight of them take
/// an echo at once.
#[derive(Debug)]
pub struct MixedPlanes {
    values: Vec<f32>,
    lanes: usize,
    touched: Vec<bool>,
}

impl MixedPlanes {
    /// Empty planes.
    pub fn new(lanes: usize, samples: usize) -> Self {
        Self { values: vec![0.0; samples * 2 * TERMS * lanes], lanes, touched: vec![false; samples] }
    }

    #[inline(always)]
    fn add(&mut self, sample: usize, beam: usize, terms: &[Wide; TERMS], re: [f32; 4], im: [f32; 4]) {
        for tap in 0..4 {
            let row = (sample + tap) * 2 * TERMS * self.lanes + beam;
            for (term, value) in terms.iter().enumerate() {
                let at = row + 2 * term * self.lanes;
                let (out_re, out_im) = self.values[at..at + self.lanes + LANES].split_at_mut(self.lanes);
                for k in 0..LANES {
                    out_re[k] += value[0][k] * re[tap] - value[1][k] * im[tap];
                    out_im[k] += value[0][k] * im[tap] + value[1][k] * re[tap];
                }
            }
        }
    }

    /// Hands all over to the beams' own rows and empties the planes.
    pub fn drain_into(&mut self, out: &mut TermPlanes) {
        let width = 2 * TERMS * self.lanes;
        for (sample, touched) in self.touched.iter_mut().enumerate() {
            if core::mem::take(touched) {
                let row = &mut self.values[sample * width..(sample + 1) * width];
                out.add_sample(sample, row, self.lanes);
                row.fill(0.0);
            }
        }
    }
}

/// Adds all echoes that go out on leg `i` and come home on leg `j`, and the reverse.
#[allow(clippy::too_many_arguments)]
pub fn pair(
    (i_leg, j_leg): (usize, usize),
    points: &LocalPoints,
    rays: &[LegRays],
    table: &BeamTable,
    axes: &Axes,
    constants: &DepositConstants,
    mixed: &MixedConstants,
    elevation: &ElevationTable,
    out: &mut MixedPlanes,
) {
    let (out_rays, home_rays) = (&rays[i_leg], &rays[j_leg]);
    let flip = |leg: usize| if leg.is_multiple_of(2) { 1.0 } else { -1.0 };
    let (lowest, highest) =
        (constants.sine_start, constants.sine_start + (constants.sines - 1) as f32 / constants.per_sine);
    for p in 0..points.len() {
        let (u, v) = (out_rays.wedge_sine[p], home_rays.wedge_sine[p]);
        if u < lowest || v < lowest || u > highest || v > highest || (u - v).abs() > mixed.apart {
            continue;
        }
        let wave_i = ShearWave::new(out_rays.sine[p], out_rays.cosine[p], flip(i_leg));
        let wave_j = ShearWave::new(home_rays.sine[p], home_rays.cosine[p], flip(j_leg));
        let Some(n) = lit_normal(points, p, wave_i.e) else { continue };
        if wave_j.e[0] * n[0] + wave_j.e[1] * n[2] >= 0.0 {
            continue;
        }
        let two_way = out_rays.time[p] + home_rays.time[p];
        let off = elevation.at(points.y[p], 0.5 * (out_rays.reach[p] + home_rays.reach[p]));
        let sample = constants.sample(two_way, off.delay);
        if !(sample >= 2.0 && sample < constants.samples - 3.0) {
            continue;
        }
        // Out on i and home on j, and the reverse: Kirchhoff's kernel is not quite the same for the two, the sum is
        // reciprocal.
        let (a_re, a_im) = response(constants.kappa2, wave_i, wave_j, n);
        let (b_re, b_im) = response(constants.kappa2, wave_j, wave_i, n);
        let area = points.area[p];
        let mirror = times(out_rays.mirror[p], home_rays.mirror[p]);
        let carrier =
            phase::phasor(constants.carrier_mhz * (two_way + off.delay * (1.0 / SAMPLING_MHZ as f32)));
        let amplitude = times(times([(a_re + b_re) * area, (a_im + b_im) * area], mirror), carrier);
        let index = sample as usize;
        let (re, im) = taps(amplitude, &off, sample - index as f32);
        let (moved_u, moved_v) = (out_rays.moved_sine[p], home_rays.moved_sine[p]);
        let mean = 0.5 * (moved_u + moved_v);
        let half = mixed.window - 0.5 * (moved_u - moved_v).abs();
        let first = mixed.beam_sines.partition_point(|&s| s < mean - half);
        let last = mixed.beam_sines.partition_point(|&s| s <= mean + half);
        let (a, b) = (
            Lookup::new(table, axes, moved_u, out_rays.time[p]),
            Lookup::new(table, axes, moved_v, home_rays.time[p]),
        );
        for beam in (first / LANES * LANES..last).step_by(LANES) {
            let terms = product(&a.values(table, beam), &b.values(table, beam));
            out.add(index - 1, beam, &terms, re, im);
        }
        out.touched[index - 1..index + 3].fill(true);
    }
}
