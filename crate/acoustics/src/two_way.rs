//! Two-way spectra at a time, and the terms that beams hear between two of them.

use crate::complex::Complex32;
use crate::lanes::{Wide, f32x4, load8, wide_times};
use crate::one_way_table::Fit;
use crate::pulse::TERMS;
use crate::spectra::{GROUP, HALF, SpectraRow};
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
    /// `[sine][half group][frequency][beam of the half]`
    re: Vec<f32>,
    im: Vec<f32>,
    /// As much energy as the terms fitted to a spectrum can have, `[sine][beam lane]`.
    limits: Vec<f32>,
}

impl TwoWay {
    /// From one-way spectra of all half steps of the sine, of which every other is taken.
    pub fn new(row: &SpectraRow, fit: &Fit, lanes: usize) -> Self {
        let width = fit.energy.len() * lanes;
        let sines = row.re.len().div_ceil(2 * width);
        let (mut re, mut im) = (vec![0.0; sines * width], vec![0.0; sines * width]);
        for (sine, (re, im)) in re.chunks_exact_mut(width).zip(im.chunks_exact_mut(width)).enumerate() {
            let squares = re.as_chunks_mut::<GROUP>().0.iter_mut().zip(im.as_chunks_mut::<GROUP>().0);
            for ((re, im), at) in squares.zip((2 * sine * width..).step_by(GROUP)) {
                let (one_re, one_im) = (load8(&row.re, at), load8(&row.im, at));
                *re = (one_re * one_re - one_im * one_im).to_array();
                *im = (one_re * one_im * 2.0).to_array();
            }
        }
        spline::prefilter(&mut re, width, sines, width);
        spline::prefilter(&mut im, width, sines, width);
        let mut limits = Vec::with_capacity(sines * lanes);
        let halves = |part| <[f32]>::chunks_exact(part, fit.energy.len() * HALF);
        for (re, im) in halves(&re).zip(halves(&im)) {
            let mut limit = f32x4::ZERO;
            let spectrum = re.as_chunks().0.iter().zip(im.as_chunks().0);
            for ((&re, &im), &energy) in spectrum.zip(&fit.energy) {
                let (re, im) = (f32x4::new(re), f32x4::new(im));
                limit += (re * re + im * im) * energy;
            }
            limits.extend((limit * fit.gain).to_array());
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

/// Phasors that take whole-sample delays out of spectra, `[sine][half group][frequency][beam of the half]`. The carrier's phase stays
/// with the coefficient: only the envelope is delayed.
pub struct Unshift([Vec<f32>; 2]);

impl Unshift {
    /// By the delays `[sine][beam lane]`.
    pub fn new(shifts: &[i8], fit: &Fit) -> Self {
        let shifted: Vec<Vec<Complex32>> =
            (-LARGEST_SHIFT..=LARGEST_SHIFT).map(|n| fit.undelay(n as f32).collect()).collect();
        let room = || Vec::with_capacity(shifts.len() * fit.energy.len());
        let mut out = [room(), room()];
        for half in shifts.as_chunks::<HALF>().0 {
            let turns = half.map(|shift| &shifted[(i32::from(shift) + LARGEST_SHIFT) as usize]);
            for m in 0..fit.energy.len() {
                for (part, out) in out.iter_mut().enumerate() {
                    out.extend(turns.map(|turns| turns[m][part]));
                }
            }
        }
        Self(out)
    }

    /// Of a half group, counted through all sines, frequency by frequency.
    #[inline(always)]
    fn turns(&self, half: usize, fit: &Fit) -> impl Iterator<Item = Wide> {
        let from = half * fit.energy.len();
        fours(&self.0[0], from).zip(fours(&self.0[1], from)).map(|(re, im)| [re, im])
    }
}

/// Values in fours from the one of a number on.
#[inline(always)]
fn fours(values: &[f32], from: usize) -> impl Iterator<Item = f32x4> {
    values.as_chunks().0[from..].iter().map(|&four| f32x4::new(four))
}

impl Between<'_> {
    /// Spectra of a half group, counted through all sines, frequency by frequency.
    #[inline(always)]
    fn spectra(&self, half: usize) -> impl Iterator<Item = Wide> {
        let from = half * self.fit.energy.len();
        let near = fours(&self.near.re, from).zip(fours(&self.near.im, from));
        let far = fours(&self.far.re, from).zip(fours(&self.far.im, from));
        near.zip(far).map(|((near_re, near_im), (far_re, far_im))| {
            [near_re + (far_re - near_re) * self.fraction, near_im + (far_im - near_im) * self.fraction]
        })
    }

    /// Group delays in samples, `[sine][beam lane]`: the phase between neighbouring frequencies, weighted with energy.
    pub fn shifts(&self) -> Vec<i8> {
        let mut shifts = Vec::with_capacity(self.near.limits.len());
        for half in 0..self.near.limits.len() / HALF {
            let [re, im] = self.fit.turn(self.spectra(half)).map(f32x4::to_array);
            shifts.extend(re.iter().zip(im).map(|(&re, im)| {
                let samples = libm::roundf(self.fit.delay(re, im)) as i32;
                samples.clamp(-LARGEST_SHIFT, LARGEST_SHIFT) as i8
            }));
        }
        shifts
    }

    /// Terms of the group of beams from `beam` on at a sine.
    fn terms(&self, sine: usize, beam: usize, unshift: &Unshift) -> [Terms; GROUP] {
        let first = (sine * self.lanes + beam) / HALF;
        let halves = [first, first + 1].map(|half| {
            let turned = self.spectra(half).zip(unshift.turns(half, self.fit));
            let turned = turned.map(|(spectrum, turn)| wide_times(&spectrum, &turn));
            self.fit.terms(turned).map(|term| term.map(f32x4::to_array))
        });
        core::array::from_fn(|lane| halves[lane / HALF].map(|term| term.map(|part| part[lane % HALF])))
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
    use crate::aperture::Aperture;
    use crate::axes::Axes;
    use crate::law::DelayLaw;
    use crate::material::Solid;
    use crate::one_way_table::Fit;
    use crate::pulse::Pulse;
    use crate::spectra::{GROUP, Spectra};

    /// What is not worked out of a beam is weaker than the cut against its strongest: worked out all the same.
    #[test]
    fn nothing_that_is_heard_is_left_out() {
        let aperture = Aperture::on_a_wedge(64);
        let solid = Solid::STEEL;
        let law = |degrees: f64| DelayLaw::new(&aperture, &solid, degrees.to_radians(), Some(50.0));
        let laws: Vec<DelayLaw> = (0..20).filter_map(|i| law(40.0 + 1.5 * f64::from(i)).ok()).collect();
        assert_eq!(laws.len(), 20);
        let axes = Axes::new(&aperture, &solid, &laws, 100.0);
        let pulse = Pulse::of(&aperture);
        let spectra = Spectra::new(&aperture, &solid, &axes, &laws, pulse.band(true));
        let fit = Fit::new(&pulse, &spectra.band);
        let halves: Vec<usize> = (0..2 * axes.sines - 1).collect();
        let [near, far] =
            [20.0, 21.0].map(|time_us| TwoWay::new(&spectra.at(&halves, time_us), &fit, spectra.lanes));
        let place = Between { near: &near, far: &far, fraction: 0.3, fit: &fit, lanes: spectra.lanes };
        let unshift = Unshift::new(&place.shifts(), &fit);
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
