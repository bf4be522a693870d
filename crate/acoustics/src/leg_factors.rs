//! What the faces do to a beam's echo on the later legs.
//!
//! A wall turns and weakens the wave by the angle at which it is met, fast so next to the critical angle. Points are laid
//! with the reflection of the centre ray, moved as far as its phase turns with the angle ([`MirrorTable`]). The ends of a
//! long array meet the wall at angles of their own, where neither height nor phase follows that line. So each beam's field is
//! summed from its elements with the wall as it is and with the wall on that line, at the carrier; here is the ratio.

use core::f64::consts::TAU;

use crate::aperture::Aperture;
use crate::axes::{Axes, BLOCK};
use crate::complex::{Complex, Complex32};
use crate::field::ElementPaths;
use crate::interface::FreeSurface;
use crate::lanes::{add8, load8};
use crate::law::DelayLaw;
use crate::material::Solid;
use crate::mirror_table::MirrorTable;
use crate::spectra::lanes;

/// Legs that have met a face.
pub const LATER_LEGS: usize = 2;
/// Samples for which one factor holds: 5 mm of path, in which even the near field of a long array changes little.
const STRETCH: usize = 4 * BLOCK;
/// Where a beam hears less than this of what all its elements in step would bring, the centre ray speaks for it.
const NULL: f32 = 0.25;
/// Largest ratio, one way: more comes from a null of the line. Both limits were chosen by trial on the thousand configurations of
/// `tests/random_configurations.rs`; without them some beams were 12 dB off.
const LARGEST_RATIO: f64 = 1.3;
/// Largest sine at a face: along it nothing is reflected.
const LARGEST_SINE: f64 = 0.9999;

/// Two-way factors of the legs after one and after two faces.
#[derive(Debug)]
pub struct LegFactors {
    /// `[leg][stretch][beam][sine]`
    values: [Vec<Complex32>; LATER_LEGS],
    sines: usize,
    beams: usize,
}

impl LegFactors {
    /// For the beams of a set-up, at the middle of every stretch.
    pub fn new(
        aperture: &Aperture,
        solid: &Solid,
        axes: &Axes,
        laws: &[DelayLaw],
        mirrors: &MirrorTable,
        carrier_mhz: f64,
    ) -> Self {
        let (beams, lanes, sines) = (laws.len(), lanes(laws.len()), axes.sines);
        let elements = aperture.count as usize;
        let mut law = [vec![0.0; elements * lanes], vec![0.0; elements * lanes]];
        for (beam, one) in laws.iter().enumerate() {
            for (i, delay) in one.delays_us.iter().enumerate() {
                let phasor = Complex::phasor(TAU * carrier_mhz * delay);
                law[0][i * lanes + beam] = phasor.re as f32;
                law[1][i * lanes + beam] = phasor.im as f32;
            }
        }
        let reflection = |sine: f64| FreeSurface::new(solid, sine.clamp(-LARGEST_SINE, LARGEST_SINE)).shear;
        let empty = || vec![[0.0; 2]; axes.samples / STRETCH * beams * sines];
        let mut values = [empty(), empty()];
        for stretch in 0..axes.samples / STRETCH {
            let one_way_us = 0.5 * axes.time_us((stretch * STRETCH + STRETCH / 2) as f64);
            for sine in 0..sines {
                let wedge_sine = axes.sine_start + sine as f64 * axes.sine_step;
                let (metal_sine, path_mm) = axes.centre_ray(wedge_sine, one_way_us);
                let [along, depth] = axes.place(metal_sine * axes.kappa, metal_sine, path_mm);
                let paths = ElementPaths::new(aperture, solid, along, depth);
                let (of_centre, displacement) = mirrors.at(wedge_sine as f32);
                let of_centre = Complex::new(f64::from(of_centre[0]), f64::from(of_centre[1]));
                let turn = f64::from(displacement) * TAU * carrier_mhz * axes.kappa / axes.wedge_speed;
                // Sums over the elements: wall as it is and on the line, by one and two walls; real and imaginary parts.
                let mut sums = vec![0.0; 4 * LATER_LEGS * lanes];
                let mut all = 0.0;
                for (i, element) in paths.elements.iter().enumerate() {
                    let wave = paths.amplitude(i, aperture, carrier_mhz)
                        * Complex::phasor(TAU * carrier_mhz * element.lag_us);
                    all += wave.abs() as f32;
                    let line = of_centre * Complex::phasor(turn * (element.sine - metal_sine));
                    for (way, wall) in [reflection(element.sine), line].into_iter().enumerate() {
                        let mut wave = wave;
                        for leg in 0..LATER_LEGS {
                            wave = wave * wall;
                            let (re, im) = (wave.re as f32, wave.im as f32);
                            let at = (2 * leg + way) * 2 * lanes;
                            for beam in (0..lanes).step_by(8) {
                                let [a, b] = [0, 1].map(|part: usize| load8(&law[part], i * lanes + beam));
                                add8(&mut sums, at + beam, a * re - b * im);
                                add8(&mut sums, at + lanes + beam, b * re + a * im);
                            }
                        }
                    }
                }
                let floor = f64::from(NULL * all * NULL * all);
                for (leg, values) in values.iter_mut().enumerate() {
                    for beam in 0..beams {
                        let of = |way: usize| {
                            let at = (2 * leg + way) * 2 * lanes + beam;
                            Complex::new(f64::from(sums[at]), f64::from(sums[at + lanes]))
                        };
                        let (met, line) = (of(0), of(1));
                        let size = line.re * line.re + line.im * line.im + floor;
                        let ratio = (met * line.conj() + Complex::new(floor, 0.0)) * (1.0 / size);
                        let ratio = ratio * (LARGEST_RATIO / ratio.abs().max(LARGEST_RATIO));
                        let twice = ratio * ratio;
                        values[(stretch * beams + beam) * sines + sine] = [twice.re as f32, twice.im as f32];
                    }
                }
            }
        }
        Self { values, sines, beams }
    }

    /// Factors of a beam at a sample, per sine; none on the first leg.
    #[inline(always)]
    pub fn row(&self, leg: usize, sample: usize, beam: usize) -> Option<&[Complex32]> {
        let values = self.values.get(leg.checked_sub(1)?)?;
        values.get((sample / STRETCH * self.beams + beam) * self.sines..)?.get(..self.sines)
    }
}
