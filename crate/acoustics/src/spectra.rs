//! Beam spectra on the grid: what every beam sends to a node of sine at one time, across the band.

use core::f64::consts::TAU;

use crate::aperture::Aperture;
use crate::axes::Axes;
use crate::complex::Complex;
use crate::element_waves::{FOUR, element_waves};
use crate::field::{ElementPaths, Elements};
use crate::lanes::f32x8;
use crate::law::DelayLaw;
use crate::material::Solid;
use crate::one_way_table::TimeNodes;
use crate::summed_nodes::SummedNodes;

/// Beams that lie next to each other, are handled at once and, in the one-way table, share a delay.
pub const GROUP: usize = 8;

/// Half a group: as many beams as what is fitted to their spectra can stay in registers for.
pub const HALF: usize = GROUP / 2;

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
    /// Phasors of the law delays, `[group of beams][frequency][element][re, im][beam of the group]`.
    phasors: Vec<[[f32; GROUP]; 2]>,
}

/// One-way spectra at one time, relative to the centre ray, of sines in a row or some of them: `[sine][half group][frequency][beam of
/// the half]`.
pub struct SpectraRow {
    /// Real parts.
    pub re: Vec<f32>,
    /// Imaginary parts.
    pub im: Vec<f32>,
}

impl SpectraRow {
    /// Nothing yet.
    pub fn zeros(values: usize) -> Self {
        Self { re: vec![0.0; values], im: vec![0.0; values] }
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
        let of_group = |group| band.iter().flat_map(move |&f| phasors(group, f));
        let phasors = laws.chunks(GROUP).flat_map(of_group).collect();
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

    /// The time nodes at which spectra are summed.
    pub fn summed(&self, nodes: &TimeNodes) -> SummedNodes {
        SummedNodes::new(&self.sources, self.aperture, self.axes, nodes)
    }

    /// Values of a sine.
    pub fn width(&self) -> usize {
        self.band.len() * self.lanes
    }

    /// Spectra of all beams at some half steps of the sine, at a one-way time of the centre ray (µs).
    pub fn at(&self, halves: &[usize], one_way_us: f64) -> SpectraRow {
        let width = self.width();
        let mut row = SpectraRow::zeros(halves.len() * width);
        let out = row.re.chunks_exact_mut(width).zip(row.im.chunks_exact_mut(width));
        for (&half, (re, im)) in halves.iter().zip(out) {
            let wedge_sine = self.axes.sine_start + 0.5 * half as f64 * self.axes.sine_step;
            self.node(wedge_sine, one_way_us, [re, im]);
        }
        row
    }

    /// Spectra of all beams at a sine in the wedge, `[half group][frequency][beam of the half]`.
    fn node(&self, wedge_sine: f64, one_way_us: f64, [re, im]: [&mut [f32]; 2]) {
        let paths = self.paths(wedge_sine, one_way_us);
        let elements = paths.elements.len();
        let waves = element_waves(&paths, self.aperture, &self.band);
        let (frequencies, whole_fours) = (self.band.len(), elements.next_multiple_of(FOUR));
        let [re, im] = [re, im].map(|part| part.as_chunks_mut::<HALF>().0);
        let of_group = self.phasors.chunks_exact(frequencies * elements);
        for (phasors, group) in of_group.zip((0..).step_by(2 * frequencies)) {
            let per_frequency = waves.chunks_exact(2 * whole_fours).zip(phasors.chunks_exact(elements));
            for ((waves, phasors), at) in per_frequency.zip(group..) {
                let (wave_re, wave_im) = waves.split_at(whole_fours);
                let mut sum = [f32x8::ZERO; 2];
                for ((&re, &im), law) in wave_re.iter().zip(wave_im).zip(phasors) {
                    let [law_re, law_im] = law.map(f32x8::new);
                    sum[0] += law_re * re - law_im * im;
                    sum[1] += law_im * re + law_re * im;
                }
                for (part, sum) in [&mut *re, &mut *im].into_iter().zip(sum) {
                    for (half, &sum) in sum.to_array().as_chunks::<HALF>().0.iter().enumerate() {
                        part[at + half * frequencies] = sum;
                    }
                }
            }
        }
    }
}
