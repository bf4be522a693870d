//! What the faces do to a beam's echo on the later legs.
//!
//! A wall turns and weakens the wave by the angle at which it is met, fast so next to the critical angle. Points are laid
//! with the reflection of the centre ray, moved as far as its phase turns with the angle ([`MirrorTable`]). The ends of a
//! long array meet the wall at angles of their own, where neither height nor phase follows that line. So each beam's field is
//! summed from its elements with the wall as it is and with the wall on that line, at the carrier; here is the ratio.

use core::f64::consts::TAU;
use core::ops::Range;

use crate::aperture::Aperture;
use crate::axes::{Axes, BLOCK, ZONE};
use crate::complex::{Complex, Complex32};
use crate::field::{ElementPath, ElementPaths, Elements};
use crate::interface::FreeSurface;
use crate::lanes::f32x8;
use crate::law::DelayLaw;
use crate::material::Solid;
use crate::mirror_table::MirrorTable;
use crate::spectra::{GROUP, phasors};

/// Legs that have met a face.
pub const LATER_LEGS: usize = 2;
/// Samples for which one factor holds: 5 mm of path, in which even the near field of a long array changes little.
const STRETCH: usize = 4 * BLOCK;
/// Stretches of a zone.
const STRETCHES: usize = ZONE / STRETCH;
/// Where a beam hears less than this of what all its elements in step would bring, the centre ray speaks for it.
const NULL: f32 = 0.25;
/// Largest ratio, one way: more comes from a null of the line. Both limits were chosen by trial on the thousand configurations of
/// `tests/random_configurations.rs`; without them some beams were 12 dB off.
const LARGEST_RATIO: f32 = 1.3;
/// Largest sine at a face: along it nothing is reflected.
const LARGEST_SINE: f64 = 0.9999;

/// Two-way factors of the legs after one and after two faces.
#[derive(Debug)]
pub struct LegFactors {
    /// `[leg][stretch][beam][sine]`
    pub values: [Vec<Complex32>; LATER_LEGS],
    sines: usize,
    beams: usize,
}

impl LegFactors {
    /// For the beams of a set-up, at the middle of every stretch of a run of zones.
    pub fn of_zones(
        aperture: &Aperture,
        solid: &Solid,
        axes: &Axes,
        laws: &[DelayLaw],
        (mirrors, carrier_mhz): (&MirrorTable, f64),
        zones: Range<usize>,
    ) -> Self {
        let (beams, sines) = (laws.len(), axes.sines);
        let sources = Elements::new(aperture, solid);
        let walls = Walls { solid, mirrors, axes, aperture, carrier_mhz };
        let phasors = phasors(laws, carrier_mhz);
        let stretches = zones.start * STRETCHES..zones.end * STRETCHES;
        let empty = || vec![[0.0; 2]; stretches.len() * beams * sines];
        let mut values = [empty(), empty()];
        for (row, stretch) in stretches.enumerate() {
            let one_way_us = 0.5 * axes.time_us((stretch * STRETCH + STRETCH / 2) as f64);
            for sine in 0..sines {
                let wedge_sine = axes.sine_start + sine as f64 * axes.sine_step;
                let (metal_sine, path_mm) = axes.centre_ray(wedge_sine, one_way_us);
                let [along, depth] = axes.place(metal_sine * axes.kappa, metal_sine, path_mm);
                let (waves, all) = walls.met(&sources.paths(along, depth), wedge_sine, metal_sine);
                let floor = NULL * all * NULL * all;
                for (leg, values) in values.iter_mut().enumerate() {
                    for (group, phasors) in phasors.chunks_exact(waves.len()).enumerate() {
                        let factors = ratios(&waves, leg, phasors, floor);
                        for (beam, factor) in (group * GROUP..beams).zip(factors) {
                            values[(row * beams + beam) * sines + sine] = factor;
                        }
                    }
                }
            }
        }
        Self { values, sines, beams }
    }

    /// Factors with nothing in them.
    pub fn empty(beams: usize, sines: usize) -> Self {
        Self { values: Default::default(), sines, beams }
    }

    /// Whether the factors of so many zones are in.
    pub fn is_whole(&self, zones: usize) -> bool {
        let wanted = zones * STRETCHES * self.beams * self.sines;
        self.values.iter().all(|values| values.len() == wanted)
    }

    /// Adds the factors of the zones that follow.
    pub fn append(&mut self, next: Self) {
        for (values, mut more) in self.values.iter_mut().zip(next.values) {
            values.append(&mut more);
        }
    }

    /// Factors of a beam at a sample, per sine; none on the first leg.
    #[inline(always)]
    pub fn row(&self, leg: usize, sample: usize, beam: usize) -> Option<&[Complex32]> {
        let values = self.values.get(leg.checked_sub(1)?)?;
        values.get((sample / STRETCH * self.beams + beam) * self.sines..)?.get(..self.sines)
    }
}

/// An element's wave after one and after two walls: as they are, and on the centre ray's line.
type Wave = [[Complex32; 2]; LATER_LEGS];

/// What is met on the way.
struct Walls<'a> {
    solid: &'a Solid,
    mirrors: &'a MirrorTable,
    axes: &'a Axes,
    aperture: &'a Aperture,
    carrier_mhz: f64,
}

impl Walls<'_> {
    /// The waves of all elements at a node, and how much all would bring in step without a wall.
    fn met(&self, paths: &ElementPaths, wedge_sine: f64, metal_sine: f64) -> (Vec<Wave>, f32) {
        let (of_centre, displacement) = self.mirrors.at(wedge_sine as f32);
        let of_centre = Complex::new(f64::from(of_centre[0]), f64::from(of_centre[1]));
        let turn = f64::from(displacement) * TAU * self.carrier_mhz * self.axes.kappa / self.axes.wedge_speed;
        let mut all = 0.0;
        let of_element = |(i, element): (usize, &ElementPath)| {
            let wave = paths.amplitude(i, self.aperture, self.carrier_mhz)
                * Complex::phasor(TAU * self.carrier_mhz * element.lag_us);
            all += wave.abs() as f32;
            let sine = element.sine.clamp(-LARGEST_SINE, LARGEST_SINE);
            let line = of_centre * Complex::phasor(turn * (element.sine - metal_sine));
            let walls = [FreeSurface::new(self.solid, sine).shear, line];
            let [once, twice] = [walls.map(|wall| wave * wall), walls.map(|wall| wave * wall * wall)];
            [once, twice].map(|ways| ways.map(|wave| [wave.re as f32, wave.im as f32]))
        };
        let waves = paths.elements.iter().enumerate().map(of_element).collect();
        (waves, all)
    }
}

/// Two-way ratio of what a group of beams hears with the walls as they are to that on the line.
fn ratios(waves: &[Wave], leg: usize, phasors: &[[[f32; GROUP]; 2]], floor: f32) -> [Complex32; GROUP] {
    let mut sums = [[f32x8::ZERO; 2]; 2];
    for (wave, law) in waves.iter().zip(phasors) {
        let [law_re, law_im] = law.map(f32x8::new);
        for (sum, &[re, im]) in sums.iter_mut().zip(&wave[leg]) {
            sum[0] += law_re * re - law_im * im;
            sum[1] += law_im * re + law_re * im;
        }
    }
    let [[met_re, met_im], [line_re, line_im]] = sums;
    let size = line_re * line_re + line_im * line_im + f32x8::splat(floor);
    let re = (met_re * line_re + met_im * line_im + f32x8::splat(floor)) / size;
    let im = (met_im * line_re - met_re * line_im) / size;
    let largest = f32x8::splat(LARGEST_RATIO);
    let shrink = largest / (re * re + im * im).sqrt().max(largest);
    let (re, im) = (re * shrink, im * shrink);
    let [re, im] = [re * re - im * im, re * im * 2.0].map(f32x8::to_array);
    core::array::from_fn(|lane| [re[lane], im[lane]])
}
