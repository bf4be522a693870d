//! Beam spectra on the grid: what every beam sends to a node of sine at one time, across the band.

use core::f64::consts::TAU;

use crate::aperture::Aperture;
use crate::axes::Axes;
use crate::complex::Complex;
use crate::field::{ElementPaths, Elements};
use crate::lanes::{add8, f32x8, load8};
use crate::law::DelayLaw;
use crate::material::Solid;

/// Beams that lie next to each other, are handled at once and, in the one-way table, share a delay.
pub const GROUP: usize = 8;

/// Lanes per beam row: the number of beams rounded up to whole groups.
pub fn lanes(beams: usize) -> usize {
    beams.next_multiple_of(GROUP)
}

/// Phasors of the law delays at a frequency, `[group of beams][element][re, im][beam of the group]`.
pub fn phasors(laws: &[DelayLaw], frequency_mhz: f64) -> Vec<[[f32; GROUP]; 2]> {
    let mut phasors = Vec::new();
    for group in laws.chunks(GROUP) {
        phasors.extend((0..group[0].delays_us.len()).map(|element| {
            let mut both = [[0.0; GROUP]; 2];
            for (lane, law) in group.iter().enumerate() {
                let phasor = Complex::phasor(TAU * frequency_mhz * law.delays_us[element]);
                (both[0][lane], both[1][lane]) = (phasor.re as f32, phasor.im as f32);
            }
            both
        }));
    }
    phasors
}

/// Computes one-way beam spectra, node by node.
pub struct Spectra<'a> {
    aperture: &'a Aperture,
    sources: Elements<'a>,
    axes: &'a Axes,
    /// Frequencies, MHz.
    pub band: Vec<f64>,
    /// Beam lanes.
    pub lanes: usize,
    /// Phasors of the law delays, `[frequency][group of beams][element][re, im][beam of the group]`.
    phasors: Vec<[[f32; GROUP]; 2]>,
}

/// One-way spectra at one sine and time: `[frequency][beam lane]`, relative to the centre ray.
pub struct NodeSpectra {
    /// Real parts.
    pub re: Vec<f32>,
    /// Imaginary parts.
    pub im: Vec<f32>,
}

/// Weights of the polynomial through six evenly spaced nodes, in the middle between the third and the fourth.
const MIDWAY: [f32; 6] =
    [3.0 / 256.0, -25.0 / 256.0, 150.0 / 256.0, 150.0 / 256.0, -25.0 / 256.0, 3.0 / 256.0];

impl NodeSpectra {
    /// In the middle of six nodes in a row. So close (`Axes`), what the aperture's ends bring turns by less than π/4
    /// from node to node, which six of them follow to a thousandth.
    pub fn midway(six: &[Self; 6]) -> Self {
        let mix = |part: fn(&Self) -> &[f32]| -> Vec<f32> {
            let mut sum = vec![0.0; part(&six[0]).len()];
            for at in (0..sum.len()).step_by(GROUP) {
                let terms = six.iter().zip(MIDWAY).map(|(node, weight)| load8(part(node), at) * weight);
                add8(&mut sum, at, terms.fold(f32x8::ZERO, |sum, term| sum + term));
            }
            sum
        };
        Self { re: mix(|node| &node.re), im: mix(|node| &node.im) }
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
        let phasors = band.iter().flat_map(|&f| phasors(laws, f)).collect();
        Self { aperture, sources: Elements::new(aperture, solid), axes, band, lanes, phasors }
    }

    /// The ways of the elements to a node; past the steepest ray they go on as they came.
    fn paths(&self, wedge_sine: f64, one_way_us: f64) -> ElementPaths {
        let to = |wedge_sine: f64| {
            let (sine, path) = self.axes.centre_ray(wedge_sine, one_way_us);
            let [along, depth] = self.axes.place(sine * self.axes.kappa, sine, path);
            self.sources.paths(along, depth)
        };
        let (last, step) = (self.axes.largest_sine(), 0.5 * self.axes.sine_step);
        if wedge_sine <= last {
            return to(wedge_sine);
        }
        to(last).continued(&to(last - step), (wedge_sine - last) / step)
    }

    /// Spectra of all beams at a sine in the wedge and a one-way time of the centre ray (µs).
    pub fn node(&self, wedge_sine: f64, one_way_us: f64) -> NodeSpectra {
        let paths = self.paths(wedge_sine, one_way_us);
        let elements = paths.elements.len();
        let (start, step) = (self.band[0], self.band[1] - self.band[0]);
        // What each element sends, `[frequency][element]`.
        let mut waves = vec![[0.0; 2]; self.band.len() * elements];
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
                let now = wave * directivity;
                waves[m * elements + i] = [now.re as f32, now.im as f32];
                wave = wave * advance;
                sine = sine * turn;
            }
        }
        let mut node = NodeSpectra {
            re: Vec::with_capacity(self.band.len() * self.lanes),
            im: Vec::with_capacity(self.band.len() * self.lanes),
        };
        let groups = self.lanes / GROUP;
        let per_frequency = self.phasors.chunks_exact(groups * elements);
        for (waves, phasors) in waves.chunks_exact(elements).zip(per_frequency) {
            for phasors in phasors.chunks_exact(elements) {
                let mut sum = [f32x8::ZERO; 2];
                for (&[re, im], law) in waves.iter().zip(phasors) {
                    let [law_re, law_im] = law.map(f32x8::new);
                    sum[0] += law_re * re - law_im * im;
                    sum[1] += law_im * re + law_re * im;
                }
                node.re.extend(sum[0].to_array());
                node.im.extend(sum[1].to_array());
            }
        }
        node
    }
}
