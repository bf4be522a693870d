//! Beam spectra on the grid: what every beam sends to a node of sine at one time, across the band.

use core::f64::consts::TAU;

use crate::aperture::Aperture;
use crate::axes::Axes;
use crate::complex::Complex;
use crate::field::ElementPaths;
use crate::lanes::{add8, load8};
use crate::law::DelayLaw;
use crate::material::Solid;

/// Lanes per beam row: the number of beams rounded up to a multiple of 8.
pub fn lanes(beams: usize) -> usize {
    beams.next_multiple_of(8)
}

/// Computes one-way beam spectra, node by node.
pub struct Spectra<'a> {
    aperture: &'a Aperture,
    solid: &'a Solid,
    axes: &'a Axes,
    /// Frequencies, MHz.
    pub band: Vec<f64>,
    /// Beam lanes.
    pub lanes: usize,
    /// Phasors of the law delays, `[frequency][element][beam lane]`.
    law_re: Vec<f32>,
    law_im: Vec<f32>,
}

/// One-way spectra at one sine and time: `[frequency][beam lane]`, relative to the centre ray.
pub struct NodeSpectra {
    /// Real parts.
    pub re: Vec<f32>,
    /// Imaginary parts.
    pub im: Vec<f32>,
}

impl NodeSpectra {
    /// The parabola through three nodes, one step on, but no larger than the largest of them: a spline needs nodes past the
    /// steepest ray, where there is no ray, and a kink there would ring back into the beams that look steeply.
    pub fn continued(nodes: [&Self; 3]) -> Self {
        let mut on = Self { re: vec![0.0; nodes[0].re.len()], im: vec![0.0; nodes[0].re.len()] };
        for k in 0..on.re.len() {
            let [a, b, c] = nodes.map(|node| [node.re[k], node.im[k]]);
            let next = [0, 1].map(|part| 3.0 * (c[part] - b[part]) + a[part]);
            let square = |v: [f32; 2]| v[0] * v[0] + v[1] * v[1];
            let (largest, reached) = (square(a).max(square(b)).max(square(c)), square(next));
            let scale = if reached > largest { (largest / reached).sqrt() } else { 1.0 };
            [on.re[k], on.im[k]] = next.map(|part| part * scale);
        }
        on
    }
}

impl<'a> Spectra<'a> {
    /// Prepares the law phasors.
    pub fn new(
        aperture: &'a Aperture,
        solid: &'a Solid,
        axes: &'a Axes,
        laws: &[DelayLaw],
        band: Vec<f64>,
    ) -> Self {
        let lanes = lanes(laws.len());
        let elements = aperture.count as usize;
        let mut law_re = vec![0.0; band.len() * elements * lanes];
        let mut law_im = law_re.clone();
        for (m, &f) in band.iter().enumerate() {
            for i in 0..elements {
                for (b, law) in laws.iter().enumerate() {
                    let phasor = Complex::phasor(TAU * f * law.delays_us[i]);
                    let at = (m * elements + i) * lanes + b;
                    law_re[at] = phasor.re as f32;
                    law_im[at] = phasor.im as f32;
                }
            }
        }
        Self { aperture, solid, axes, band, lanes, law_re, law_im }
    }

    /// Spectra of all beams at a sine in the wedge and a one-way time of the centre ray (µs).
    pub fn node(&self, wedge_sine: f64, one_way_us: f64) -> NodeSpectra {
        let (sine, path) = self.axes.centre_ray(wedge_sine, one_way_us);
        let [along, depth] = self.axes.place(sine * self.axes.kappa, sine, path);
        let paths = ElementPaths::new(self.aperture, self.solid, along, depth);
        let mut node = NodeSpectra {
            re: vec![0.0; self.band.len() * self.lanes],
            im: vec![0.0; self.band.len() * self.lanes],
        };
        let elements = paths.elements.len();
        let (start, step) = (self.band[0], self.band[1] - self.band[0]);
        for i in 0..elements {
            // Travel time, loss and directivity are geometric series and a sine over the evenly spaced frequencies.
            let (lag, damping) = (paths.elements[i].lag_us, paths.damping_per_mhz(i, self.aperture));
            let strip = paths.strip_phase_per_mhz(i, self.aperture);
            let mut wave = paths.elements[i].amplitude
                * Complex::phasor(TAU * start * lag)
                * libm::exp(-start * damping);
            let advance = Complex::phasor(TAU * step * lag) * libm::exp(-step * damping);
            let (mut sine, turn) = (Complex::phasor(strip * start), Complex::phasor(strip * step));
            for (m, &f) in self.band.iter().enumerate() {
                let x = strip * f;
                let directivity = if x.abs() < 1e-6 { 1.0 } else { sine.im / x };
                let wave_now = wave * directivity;
                wave = wave * advance;
                sine = sine * turn;
                let (wave_re, wave_im) = (wave_now.re as f32, wave_now.im as f32);
                let law = (m * elements + i) * self.lanes..(m * elements + i + 1) * self.lanes;
                let (law_re, law_im) = (&self.law_re[law.clone()], &self.law_im[law]);
                let row = m * self.lanes..(m + 1) * self.lanes;
                let (re, im) = (&mut node.re[row.clone()], &mut node.im[row]);
                for b in (0..self.lanes).step_by(8) {
                    let (a, b_im) = (load8(law_re, b), load8(law_im, b));
                    add8(re, b, a * wave_re - b_im * wave_im);
                    add8(im, b, b_im * wave_re + a * wave_im);
                }
            }
        }
        node
    }
}
