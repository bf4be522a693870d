//! Echoes that go out on one leg and come home on another: corners, and upright faces by way of a wall.
//!
//! The two one-way fields of every beam are multiplied, so there is no grid to lay the point on; but only beams near the
//! mean of the two sines hear it.

use crate::axes::Axes;
use crate::cavity_deposit::EchoRow;
use crate::complex::{Complex32, times};
use crate::deposit::{Arrival, Setting, lit_normal, taps};
use crate::kernel::ShearWave;
use crate::lanes::{Wide, add4, f32x4, wide_scale, wide_times};
use crate::leg_rays::LegRays;
use crate::longitudinal::Way;
use crate::one_way_table::{GROUP, HALF, HALF_VALUES, Lookup, OneWayTable};
use crate::placement::{LocalPoints, LocalRims};
use crate::pulse::TERMS;
use crate::spline;
use crate::synthesis::TermPlanes;

/// Far away, beams and sines further apart than this hear nothing of each other, in lobe widths.
const FAR_LOBES: f64 = 2.0;
/// Near by, a beam is as wide as its aperture; and this wider, in lobe widths.
const NEAR_LOBES: f64 = 1.0;
/// What rims answer is heard in side lobes too, this many lobe widths further out: a smooth gap met flat has nothing
/// louder to cover it, and its rims are few.
const RIM_LOBES: f64 = 2.0;

/// What mixed legs need beyond the tables.
#[derive(Debug)]
pub struct MixedConstants {
    /// Sine in the wedge of every beam, rising.
    pub beam_sines: Vec<f32>,
    /// Half width of a far beam, in sine.
    far: f32,
    /// Half width that a near beam has beyond its aperture, in sine.
    near: f32,
    /// What is added to both for rims.
    rim: f32,
    /// Half the aperture's length times κ k, by which half the sine over which an aperture is seen from a ray's end is told
    /// from the wave that arrives there.
    aperture: f32,
}

impl MixedConstants {
    /// `lobe` is the width of a beam in the sine, λ/L, of an aperture of length L.
    pub fn new(beam_sines: Vec<f32>, lobe: f64, length_mm: f64, axes: &Axes) -> Self {
        Self {
            beam_sines,
            far: (FAR_LOBES * lobe) as f32,
            near: (NEAR_LOBES * lobe) as f32,
            rim: (RIM_LOBES * lobe) as f32,
            aperture: (0.5 * length_mm * axes.kappa * axes.wave_number) as f32,
        }
    }

    /// Half the width of the beams that hear a ray's end, in sine. A move δ of the aperture along the face turns the ray by
    /// δ κ cos² θ/ρ in wedge sine, where 1/√(kρ) is the spread of the wave.
    #[inline(always)]
    fn window(&self, rays: &LegRays, index: usize) -> f32 {
        let turn = rays.cosine[index] * rays.spread[index];
        self.far.max(self.aperture * turn * turn + self.near)
    }
}

/// a + s b.
#[inline(always)]
fn wide_add(a: &Wide, b: &Wide, s: f32) -> Wide {
    [a[0] + b[0] * s, a[1] + b[1] * s]
}

/// A quadratic in x with its envelope later by a phase of `turn` per x, small.
#[inline(always)]
fn later(a: &[Wide; TERMS], turn: f32) -> [Wide; TERMS] {
    // exp(i t x) up to x².
    let turned = |a: &Wide, s: f32| [a[1] * -s, a[0] * s];
    let linear = wide_add(&a[1], &turned(&a[0], turn), 1.0);
    let square = wide_add(&wide_add(&a[2], &turned(&a[1], turn), 1.0), &a[0], -0.5 * turn * turn);
    [a[0], linear, square]
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
    [constant, linear, wide_scale(&square, core::f32::consts::SQRT_2)]
}

/// What mixed legs bring, `[sample][half group][term][re, im][beam of the half]`: beams lie next to each other, so that several
/// of them take an echo at once.
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
    fn add(&mut self, sample: usize, beam: usize, terms: &[Wide; TERMS], [re, im]: [f32x4; 2]) {
        self.touched[sample..sample + 4].fill(true);
        for (tap, (re, im)) in re.to_array().into_iter().zip(im.to_array()).enumerate() {
            let start = ((sample + tap) * self.lanes + beam) * 2 * TERMS;
            let Some(half) = self.values.get_mut(start..).and_then(<[f32]>::first_chunk_mut::<HALF_VALUES>)
            else {
                continue;
            };
            for (term, value) in terms.iter().enumerate() {
                add4(half, 2 * term * HALF, value[0] * re - value[1] * im);
                add4(half, (2 * term + 1) * HALF, value[0] * im + value[1] * re);
            }
        }
    }

    /// Hands all over to the beams' own rows and empties the planes.
    pub fn drain_into(&mut self, out: &mut TermPlanes) {
        let width = 2 * TERMS * self.lanes;
        for (sample, touched) in self.touched.iter_mut().enumerate() {
            if core::mem::take(touched) {
                let row = &mut self.values[sample * width..(sample + 1) * width];
                out.add_sample(sample, row);
                row.fill(0.0);
            }
        }
    }
}

/// One end of an echo's way: the ray to a point on a leg.
#[derive(Clone, Copy)]
pub struct End {
    /// Sine in the wedge, moved by the beam's displacement at the faces.
    pub moved_sine: f32,
    /// One-way time, µs.
    pub time: f32,
    /// Distance that diffracts alike, mm.
    pub reach: f32,
    /// 1/√(k r) of the wave that arrives.
    pub spread: f32,
    /// Half the width of the beams that hear it, in sine.
    pub window: f32,
    /// Product of the reflections at the faces.
    pub mirror: Complex32,
    /// The wave that arrives.
    pub wave: ShearWave<f32>,
}

impl End {
    #[inline(always)]
    fn new(leg: usize, rays: &LegRays, index: usize, window: f32) -> Self {
        Self {
            moved_sine: rays.moved_sine[index],
            time: rays.time[index],
            reach: rays.reach[index],
            spread: rays.spread[index],
            window,
            mirror: rays.mirror[index],
            wave: rays.wave(leg, index),
        }
    }
}

/// What the echoes of a frame go through on mixed legs.
pub struct Mixer<'a> {
    /// One-way table.
    pub table: &'a OneWayTable,
    /// Grid.
    pub axes: &'a Axes,
    /// Fixed values.
    pub setting: &'a Setting,
    /// Windows of beams.
    pub mixed: &'a MixedConstants,
}

impl Mixer<'_> {
    /// Both ends of a way, if some beam has them in its main lobe or `wider` in sine; most points fall out here, so their sines are looked at
    /// first.
    #[inline(always)]
    pub(crate) fn ends(
        &self,
        (i, out): (usize, &LegRays),
        (j, home): (usize, &LegRays),
        p: usize,
        wider: f32,
    ) -> Option<(End, End)> {
        let lowest = self.setting.sine_start;
        let highest = lowest + (self.setting.sines - 1) as f32 / self.setting.per_sine;
        let (u, v) = (out.wedge_sine[p], home.wedge_sine[p]);
        let inside = |u: f32| u >= lowest && u <= highest;
        if !inside(u) || !inside(v) || !out.arrives(p) || !home.arrives(p) {
            return None;
        }
        let (a, b) = (self.mixed.window(out, p) + wider, self.mixed.window(home, p) + wider);
        // Further apart than that, no beam hears both.
        ((u - v).abs() <= 2.0 * a.max(b)).then(|| (End::new(i, out, p, a), End::new(j, home, p, b)))
    }

    fn arrival(&self, a: &End, b: &End, off_plane_mm: f32, delay_us: f32) -> Option<Arrival> {
        self.setting.arrival(a.time + b.time + delay_us, off_plane_mm, 0.5 * (a.reach + b.reach))
    }

    /// Adds one echo that goes out by `a` and comes home by `b`.
    fn add(&self, a: &End, b: &End, arrival: &Arrival, strength: Complex32, out: &mut MixedPlanes) {
        let amplitude = times(times(strength, times(a.mirror, b.mirror)), arrival.carrier);
        let (first, last) = self.heard_by(a, b);
        let [a, b] = self.lookups(a, b);
        for beam in (first / GROUP * GROUP..last).step_by(GROUP) {
            let sample = arrival.sample + a.delay(beam) + b.delay(beam);
            if !self.setting.inside(sample) {
                continue;
            }
            let (index, later) = spline::split(sample);
            let taps = taps(amplitude, &arrival.off, later);
            for beam in [beam, beam + HALF] {
                out.add(index - 1, beam, &product(&a.values(beam), &b.values(beam)), taps);
            }
        }
    }

    fn lookups(&self, a: &End, b: &End) -> [Lookup<'_>; 2] {
        [a, b].map(|end| Lookup::new(self.table, self.axes, end.moved_sine, end.time))
    }

    /// Adds what comes back by longitudinal ways.
    pub fn longitudinal(&self, ways: &[Way], points: &LocalPoints, out: &mut MixedPlanes) {
        for way in ways {
            let end = End {
                moved_sine: way.wedge_sine,
                time: way.alike,
                reach: way.reach,
                spread: 0.0,
                window: self.mixed.far,
                mirror: way.factor,
                wave: ShearWave::new(0.0, 1.0, 1.0),
            };
            let Some(arrival) = self.arrival(&end, &end, points.y[way.point], way.delay) else { continue };
            self.add(&end, &end, &arrival, [way.strength, 0.0], out);
        }
    }

    /// Beams that have both sines in their main lobe, first and one past the last.
    #[inline(always)]
    fn heard_by(&self, a: &End, b: &End) -> (usize, usize) {
        let (u, v, window) = (a.moved_sine, b.moved_sine, a.window.max(b.window));
        let (mean, half) = (0.5 * (u + v), window - 0.5 * (u - v).abs());
        let first = self.mixed.beam_sines.partition_point(|&s| s < mean - half);
        (first, self.mixed.beam_sines.partition_point(|&s| s <= mean + half))
    }

    /// Adds a row of samples that goes out by `a` and comes home by `b`.
    pub(crate) fn add_row(&self, a: &End, b: &End, row: &EchoRow, out: &mut MixedPlanes) {
        let (first, last) = self.heard_by(a, b);
        let [a, b] = self.lookups(a, b);
        for beam in (first / GROUP * GROUP..last).step_by(GROUP) {
            let delay = a.delay(beam) + b.delay(beam);
            let whole = libm::roundf(delay);
            let rest = (delay - whole) * self.setting.turn_per_sample;
            for beam in [beam, beam + HALF] {
                let terms = product(&later(&a.values(beam), rest), &b.values(beam));
                for (sample, taps) in row.fours(whole as i32, self.axes.samples) {
                    out.add(sample, beam, &terms, taps);
                }
            }
        }
    }

    /// Adds what lit faces send out on leg `i` and home on leg `j`, and the reverse.
    pub fn faces(
        &self,
        (i, j): (usize, usize),
        points: &LocalPoints,
        rays: &[LegRays],
        out: &mut MixedPlanes,
    ) {
        for p in 0..points.len() {
            let Some((a, b)) = self.ends((i, &rays[i]), (j, &rays[j]), p, 0.0) else { continue };
            let Some(n) = lit_normal(points, p, a.wave.e) else { continue };
            if b.wave.e[0] * n[0] + b.wave.e[1] * n[2] >= 0.0 {
                continue;
            }
            let Some(arrival) = self.arrival(&a, &b, points.y[p], 0.0) else { continue };
            // Kirchhoff's kernel is not quite the same for the two ways, the sum is reciprocal.
            let there = self.setting.kernel(a.wave, a.spread, b.wave, n);
            let back = self.setting.kernel(b.wave, b.spread, a.wave, n);
            let area = points.area[p];
            self.add(&a, &b, &arrival, [(there[0] + back[0]) * area, (there[1] + back[1]) * area], out);
        }
    }

    /// Adds what the rims add on leg `i` out and `j` home, and the reverse.
    pub fn rims(&self, (i, j): (usize, usize), rims: &LocalRims, rays: &[LegRays], out: &mut MixedPlanes) {
        let points = &rims.points;
        for p in 0..points.len() {
            let Some((a, b)) = self.ends((i, &rays[i]), (j, &rays[j]), p, self.mixed.rim) else { continue };
            let Some(mut arrival) = self.arrival(&a, &b, points.y[p], 0.0) else { continue };
            arrival.off = arrival.off.per_frequency(self.setting.carrier_mhz);
            let normal = [points.nx[p], points.nz[p]];
            let [re, im] = self.setting.half_plane.rim(a.wave, b.wave, false, rims.inward[p], normal);
            let length = points.area[p] * self.setting.per_wave_number;
            self.add(&a, &b, &arrival, [re * length, im * length], out);
        }
    }

    /// Adds the Rayleigh waves that run along smooth faces, in at the rims `from` on leg `i` and out at the rims `to` on leg
    /// `j`, and the reverse way through the same rims.
    pub fn runs(
        &self,
        (i, j): (usize, usize),
        (from, from_rays): (&LocalRims, &[LegRays]),
        (to, to_rays): (&LocalRims, &[LegRays]),
        out: &mut MixedPlanes,
    ) {
        for p in 0..from.points.len() {
            let Some((a, b)) = self.ends((i, &from_rays[i]), (j, &to_rays[j]), p, self.mixed.rim) else {
                continue;
            };
            let (f, t) = (&from.points, &to.points);
            let (dx, dz) = (t.x[p] - f.x[p], t.z[p] - f.z[p]);
            let delay = (dx * dx + dz * dz).sqrt() / self.setting.rayleigh_speed;
            let Some(mut arrival) = self.arrival(&a, &b, f.y[p], delay) else { continue };
            arrival.off = arrival.off.per_frequency(self.setting.carrier_mhz);
            let normal = [f.nx[p], f.nz[p]];
            let [re, im] = self.setting.half_plane.run(a.wave, b.wave, from.inward[p], normal);
            // The way back through the same rims is the same by reciprocity.
            let length = 2.0 * f.area[p] * self.setting.per_wave_number;
            self.add(&a, &b, &arrival, [re * length, im * length], out);
        }
    }
}
