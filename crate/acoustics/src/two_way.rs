//! Two-way spectra at a time, and the terms that beams hear between two of them.

use core::f64::consts::TAU;

use crate::complex::Complex;
use crate::lanes::{f32x8, load8};
use crate::one_way_table::Fit;
use crate::pulse::{SAMPLING_MHZ, TERMS};
use crate::spectra::{GROUP, NodeSpectra};
use crate::spline;

/// Largest whole-sample delay of a beam against the centre ray.
pub const LARGEST_SHIFT: i32 = 24;

/// What one beam hears from a node: re, im of each term.
pub type Terms = [[f32; 2]; TERMS];

/// Energy of the terms.
pub fn energy(terms: &Terms) -> f32 {
    terms.iter().map(|&[re, im]| re * re + im * im).sum()
}

/// Two-way spectra of all sines at one time, spline-filtered along the sine (before shift and fit, or the filter would see the
/// steps of the shift).
pub struct TwoWay {
    /// `[sine][frequency][beam lane]`
    re: Vec<f32>,
    im: Vec<f32>,
    /// As much energy as the terms fitted to a spectrum can have, `[sine][beam lane]`.
    limits: Vec<f32>,
}

impl TwoWay {
    /// From one-way spectra, sine by sine.
    pub fn new(row: &[NodeSpectra], fit: &Fit, lanes: usize) -> Self {
        let width = fit.energy.len() * lanes;
        let (mut re, mut im) = (vec![0.0; row.len() * width], vec![0.0; row.len() * width]);
        for (spectra, at) in row.iter().zip((0..).step_by(width)) {
            for k in 0..width {
                let (one_re, one_im) = (spectra.re[k], spectra.im[k]);
                re[at + k] = one_re * one_re - one_im * one_im;
                im[at + k] = 2.0 * one_re * one_im;
            }
        }
        spline::prefilter(&mut re, width, row.len(), width);
        spline::prefilter(&mut im, width, row.len(), width);
        let mut limits = Vec::with_capacity(row.len() * lanes);
        for sine in (0..re.len()).step_by(width) {
            for beam in (sine..sine + lanes).step_by(GROUP) {
                let mut limit = f32x8::ZERO;
                for (&energy, at) in fit.energy.iter().zip((beam..).step_by(lanes)) {
                    let (re, im) = (load8(&re, at), load8(&im, at));
                    limit += (re * re + im * im) * energy;
                }
                limits.extend((limit * fit.gain).to_array());
            }
        }
        Self { re, im, limits }
    }
}

/// The spectra before and after a time, and how far it lies between them.
pub struct Between<'a> {
    /// Before.
    pub near: &'a TwoWay,
    /// After.
    pub far: &'a TwoWay,
    /// 0 before, 1 after.
    pub fraction: f32,
    /// How terms are fitted.
    pub fit: &'a Fit,
    /// Beam lanes.
    pub lanes: usize,
}

/// Phasors that take whole-sample delays out of spectra, `[sine][frequency][beam lane]`. The carrier's phase stays with the
/// coefficient: only the envelope is delayed.
pub struct Unshift([Vec<f32>; 2]);

impl Unshift {
    /// By the delays `[sine][beam lane]`.
    pub fn new(shifts: &[i8], fit: &Fit, lanes: usize) -> Self {
        let shifted: Vec<Vec<Complex>> =
            (-LARGEST_SHIFT..=LARGEST_SHIFT).map(|n| fit.undelay(f64::from(n)).collect()).collect();
        let of_frequency = |m: usize| shifted.iter().map(|turns| turns[m]).collect();
        let turns: Vec<Vec<Complex>> = (0..fit.energy.len()).map(of_frequency).collect();
        let room = || Vec::with_capacity(shifts.len() * turns.len());
        let mut out = [room(), room()];
        for row in shifts.chunks_exact(lanes) {
            for turns in &turns {
                let of = |&shift: &i8| turns[(i32::from(shift) + LARGEST_SHIFT) as usize];
                out[0].extend(row.iter().map(|shift| of(shift).re as f32));
                out[1].extend(row.iter().map(|shift| of(shift).im as f32));
            }
        }
        Self(out)
    }
}

impl Between<'_> {
    /// Spectra of eight beams.
    #[inline(always)]
    fn at(&self, at: usize) -> [f32x8; 2] {
        let mix = |near: &[f32], far: &[f32]| {
            let (a, b) = (load8(near, at), load8(far, at));
            a + (b - a) * self.fraction
        };
        [mix(&self.near.re, &self.far.re), mix(&self.near.im, &self.far.im)]
    }

    fn sines(&self) -> usize {
        self.near.limits.len() / self.lanes
    }

    /// Group delays in samples, `[sine][beam lane]`: the phase between neighbouring frequencies, weighted with energy.
    pub fn shifts(&self) -> Vec<i8> {
        let mut shifts = Vec::with_capacity(self.near.limits.len());
        for sine in 0..self.sines() {
            for beam in (0..self.lanes).step_by(GROUP) {
                let at = |m: usize| (sine * self.fit.energy.len() + m) * self.lanes + beam;
                let mut before = self.at(at(0));
                let mut turn = [f32x8::ZERO; 2];
                for (m, &energy) in self.fit.energy.iter().enumerate().skip(1) {
                    let now = self.at(at(m));
                    turn[0] += (now[0] * before[0] + now[1] * before[1]) * energy;
                    turn[1] += (now[1] * before[0] - now[0] * before[1]) * energy;
                    before = now;
                }
                let [re, im] = turn.map(f32x8::to_array);
                shifts.extend(re.iter().zip(im).map(|(&re, im)| {
                    let samples =
                        libm::atan2f(im, re) / (TAU * self.fit.step_mhz) as f32 * SAMPLING_MHZ as f32;
                    (libm::roundf(samples) as i32).clamp(-LARGEST_SHIFT, LARGEST_SHIFT) as i8
                }));
            }
        }
        shifts
    }

    /// Terms of the group of beams from `beam` on at a sine.
    fn terms(&self, sine: usize, beam: usize, Unshift(unshift): &Unshift) -> [Terms; GROUP] {
        let mut terms = [[f32x8::ZERO; 2]; TERMS];
        for m in 0..self.fit.energy.len() {
            let at = (sine * self.fit.energy.len() + m) * self.lanes + beam;
            let [re, im] = self.at(at);
            let [turn_re, turn_im] = [0, 1].map(|part: usize| load8(&unshift[part], at));
            let (re, im) = (re * turn_re - im * turn_im, im * turn_re + re * turn_im);
            for (term, weights) in terms.iter_mut().zip(&self.fit.projection) {
                term[0] += re * weights[m];
                term[1] += im * weights[m];
            }
        }
        let terms = terms.map(|term| term.map(f32x8::to_array));
        core::array::from_fn(|lane| terms.map(|term| term.map(|part| part[lane])))
    }

    /// Terms of the group of beams from `beam` on, at the run of sines from which one of them may hear the share `cut` of what it
    /// hears from its best: the first sine, and the terms from there on.
    pub fn heard(&self, beam: usize, unshift: &Unshift, cut: f32) -> (usize, Vec<[Terms; GROUP]>) {
        let (near, far) = (&self.near.limits, &self.far.limits);
        let limit = |at: usize| load8(near, at).max(load8(far, at)).to_array();
        let limits: Vec<[f32; GROUP]> = (beam..near.len()).step_by(self.lanes).map(limit).collect();
        let mut made = vec![None; limits.len()];
        let floors: [f32; GROUP] = core::array::from_fn(|lane| {
            let best =
                (0..limits.len()).max_by(|&a, &b| limits[a][lane].total_cmp(&limits[b][lane])).unwrap_or(0);
            let terms = made[best].get_or_insert_with(|| self.terms(best, beam, unshift));
            energy(&terms[lane]) * cut
        });
        let audible = |limits: &[f32; GROUP]| limits.iter().zip(&floors).any(|(limit, floor)| limit > floor);
        let low = limits.iter().position(audible).unwrap_or(0);
        let high = limits.iter().rposition(audible).map_or(low, |last| last + 1);
        let terms = |sine: usize| made[sine].unwrap_or_else(|| self.terms(sine, beam, unshift));
        (low, (low..high).map(terms).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::{Between, Terms, TwoWay, Unshift, energy};
    use crate::aperture::{Aperture, Coupling};
    use crate::axes::Axes;
    use crate::law::DelayLaw;
    use crate::material::{Solid, WedgeMaterial};
    use crate::one_way_table::Fit;
    use crate::pulse::Pulse;
    use crate::spectra::{GROUP, Spectra};

    /// What is not worked out of a beam is weaker than the cut against its strongest: worked out all the same.
    #[test]
    fn nothing_that_is_heard_is_left_out() {
        let aperture = Aperture {
            coupling: Coupling::Wedge(WedgeMaterial::POLYSTYRENE),
            wedge_angle: 36.0_f64.to_radians(),
            first_height_mm: 5.0,
            pitch_mm: 0.5,
            element_width_mm: 0.4,
            elevation_mm: Some(10.0),
            first: 0,
            count: 64,
            frequency_mhz: 5.0,
            bandwidth_percent: 60.0,
        };
        let solid = Solid::STEEL;
        let law = |degrees: f64| DelayLaw::new(&aperture, &solid, degrees.to_radians(), Some(50.0));
        let laws: Vec<DelayLaw> = (0..20).filter_map(|i| law(40.0 + 1.5 * f64::from(i)).ok()).collect();
        assert_eq!(laws.len(), 20);
        let axes = Axes::new(&aperture, &solid, &laws, 100.0);
        let pulse = Pulse::of(&aperture);
        let spectra = Spectra::new(&aperture, &solid, &axes, &laws, pulse.band(true));
        let fit = Fit::new(&pulse, &spectra.band);
        let at = |sine: usize| axes.sine_start + sine as f64 * axes.sine_step;
        let [near, far] = [20.0, 21.0].map(|time_us| {
            let row: Vec<_> = (0..axes.sines).map(|sine| spectra.node(at(sine), time_us)).collect();
            TwoWay::new(&row, &fit, spectra.lanes)
        });
        let place = Between { near: &near, far: &far, fraction: 0.3, fit: &fit, lanes: spectra.lanes };
        let unshift = Unshift::new(&place.shifts(), &fit, spectra.lanes);
        let cut = 3e-5;
        for beam in (0..spectra.lanes).step_by(GROUP) {
            let all: Vec<[Terms; GROUP]> =
                (0..axes.sines).map(|sine| place.terms(sine, beam, &unshift)).collect();
            let (low, heard) = place.heard(beam, &unshift, cut);
            let run = low..low + heard.len();
            assert!(heard == all[run.clone()]);
            for lane in 0..GROUP {
                let best = all.iter().map(|terms| energy(&terms[lane])).fold(0.0, f32::max);
                for (sine, terms) in all.iter().enumerate().filter(|(sine, _)| !run.contains(sine)) {
                    assert!(energy(&terms[lane]) <= cut * best, "sine {sine}, beam {}", beam + lane);
                }
            }
            assert!(run.len() < axes.sines);
        }
    }
}
