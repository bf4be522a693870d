//! What every beam sends one way to every node of sine and time, for echoes that go out and come home on different legs.
//!
//! A long aperture reaches a point beside its middle through elements at its end, microseconds before or after the
//! centre ray. A few terms in frequency do not follow that, so each group of beams has its delay taken out.

use core::array::from_fn;
use core::f64::consts::TAU;

use crate::axes::Axes;
use crate::complex::{Complex32, times};
use crate::lanes::{Wide, f32x4, load4, wide_times};
use crate::phase::phasor;
use crate::pulse::{Pulse, SAMPLING_MHZ, TERMS};
use crate::spectra::SpectraRow;
pub use crate::spectra::{GROUP, HALF};
use crate::spline;

/// Values per node and beam: real and imaginary part of each term.
const VALUES: usize = 2 * TERMS;
/// Distance of the first time nodes, as steel path, mm: close to an array its field changes fast.
const NODE_STEP_MM: f64 = 1.25;
/// Number of steps after which the distance doubles.
const CLOSE_STEPS: usize = 32;

/// Values of half a group: those of its beams lie next to each other, so that one look at the bounds does for all.
pub const HALF_VALUES: usize = VALUES * HALF;

/// Times at which beam fields are computed, one way.
#[derive(Clone, Copy, Debug)]
pub struct TimeNodes {
    start_us: f64,
    step_us: f64,
    /// Number of nodes.
    pub count: usize,
}

impl TimeNodes {
    /// Over all samples of a grid.
    pub fn new(axes: &Axes) -> Self {
        let step_us = NODE_STEP_MM / axes.speed;
        let start_us = 0.5 * axes.time_us(0.0);
        let longest_us = 0.5 * axes.time_us(axes.samples as f64);
        let count = steps_to_place(((longest_us - start_us) / step_us) as f32) as usize + 2;
        Self { start_us, step_us, count }
    }

    /// Time of a node, µs.
    pub fn time_us(&self, node: usize) -> f64 {
        self.start_us + (node + node.saturating_sub(CLOSE_STEPS)) as f64 * self.step_us
    }

    /// Place of a one-way time among the nodes: the whole part is the node before it, never the last.
    #[inline(always)]
    pub fn place(&self, one_way_us: f32) -> f32 {
        let steps = (one_way_us - self.start_us as f32) * (1.0 / self.step_us) as f32;
        steps_to_place(steps).clamp(0.0, (self.count - 2) as f32)
    }
}

/// Nodes up to a time in steps.
#[inline(always)]
fn steps_to_place(steps: f32) -> f32 {
    let close = CLOSE_STEPS as f32;
    if steps > close { close + 0.5 * (steps - close) } else { steps }
}

/// How spectra become terms.
#[derive(Debug)]
pub struct Fit {
    /// The lowest frequency from the carrier, MHz.
    lowest_mhz: f64,
    /// From one frequency to the next, MHz.
    pub step_mhz: f64,
    /// Weights, `[frequency][term]`.
    projection: Vec<[f32; TERMS]>,
    /// Energy of the pulse, per frequency.
    pub energy: Vec<f32>,
    /// Energy of the terms over that of the spectrum they are fitted to, weighted with the pulse's, at most.
    pub gain: f32,
}

impl Fit {
    /// At the frequencies of a band.
    pub fn new(pulse: &Pulse, band: &[f64]) -> Self {
        let projection = pulse.projection(band);
        let energy: Vec<f64> = band.iter().map(|&f| pulse.spectrum(f) * pulse.spectrum(f)).collect();
        // Weighted least squares: the projection times its transpose over the weights is the inverse of the terms' Gram matrix. No
        // eigenvalue is larger than the largest sum along a row.
        let inverse = |a: &[f64], b: &[f64]| {
            a.iter().zip(b).zip(&energy).fold(0.0, |sum, ((a, b), energy)| sum + a * b / energy)
        };
        let row = |a: &Vec<f64>| projection.iter().fold(0.0, |sum, b| sum + inverse(a, b).abs());
        let gain = projection.iter().map(row).fold(0.0, f64::max);
        Self {
            lowest_mhz: band[0] - pulse.carrier_mhz,
            step_mhz: band[1] - band[0],
            projection: (0..band.len()).map(|m| from_fn(|term| projection[term][m] as f32)).collect(),
            energy: energy.iter().map(|&energy| energy as f32).collect(),
            // Numbers are rounded here and there.
            gain: 1.001 * gain as f32,
        }
    }

    /// Terms of half a group of beams, from their spectra frequency by frequency.
    #[inline(always)]
    pub fn terms(&self, spectra: impl Iterator<Item = Wide>) -> [Wide; TERMS] {
        let mut terms = [[f32x4::ZERO; 2]; TERMS];
        for ([re, im], weights) in spectra.zip(&self.projection) {
            for (term, &weight) in terms.iter_mut().zip(weights) {
                term[0] += re * weight;
                term[1] += im * weight;
            }
        }
        terms
    }

    /// How far the spectra of half a group turn from one frequency to the next, weighted with energy.
    #[inline(always)]
    pub fn turn(&self, mut spectra: impl Iterator<Item = Wide>) -> Wide {
        let mut turn = [f32x4::ZERO; 2];
        let Some(mut before) = spectra.next() else { return turn };
        for (now, &energy) in spectra.zip(&self.energy[1..]) {
            turn[0] += (now[0] * before[0] + now[1] * before[1]) * energy;
            turn[1] += (now[1] * before[0] - now[0] * before[1]) * energy;
            before = now;
        }
        turn
    }

    /// The group delay that such a turn tells, samples.
    pub fn delay(&self, turn_re: f32, turn_im: f32) -> f32 {
        libm::atan2f(turn_im, turn_re) / (TAU * self.step_mhz) as f32 * SAMPLING_MHZ as f32
    }

    /// Phasors per frequency, which lie evenly, that take a delay of the envelope out; the carrier's phase stays.
    pub fn undelay(&self, samples: f32) -> impl Iterator<Item = Complex32> + use<> {
        let cycles_per_mhz = samples * (-1.0 / SAMPLING_MHZ) as f32;
        let advance = phasor(cycles_per_mhz * self.step_mhz as f32);
        let lowest = phasor(cycles_per_mhz * self.lowest_mhz as f32);
        core::iter::successors(Some(lowest), move |&phasor| Some(times(phasor, advance)))
            .take(self.energy.len())
    }
}

/// The table, of all time nodes or while it is being made of some that follow each other.
#[derive(Debug)]
pub struct OneWayTable {
    /// Coefficients, `[time node][half sine][half group][a0 re, a0 im, a1 re, a1 im, a2 re, a2 im][beam of the half]`.
    pub values: Vec<f32>,
    /// Delays that were taken out, samples, `[time node][half sine][group]`.
    pub delays: Vec<f32>,
    /// Beam lanes.
    pub lanes: usize,
    /// Half steps of the sine.
    pub half_sines: usize,
    /// Times.
    pub nodes: TimeNodes,
    /// The first time node.
    pub first: usize,
}

impl OneWayTable {
    /// An empty table, for time nodes from one on.
    pub fn new(axes: &Axes, lanes: usize, first: usize) -> Self {
        let (nodes, half_sines) = (TimeNodes::new(axes), 2 * axes.sines - 1);
        Self { values: Vec::new(), delays: Vec::new(), lanes, half_sines, nodes, first }
    }

    /// Makes room for so many time nodes.
    pub fn reserve(&mut self, nodes: usize) {
        let cells = nodes * self.half_sines;
        self.values.reserve_exact(cells * VALUES * self.lanes);
        self.delays.reserve_exact(cells * self.lanes / GROUP);
    }

    /// Number of time nodes that are in.
    fn count(&self) -> usize {
        self.delays.len() * GROUP / (self.half_sines * self.lanes)
    }

    /// Whether so many time nodes are in, all of them whole.
    pub fn is_whole(&self, nodes: usize) -> bool {
        let cells = nodes * self.half_sines * self.lanes;
        self.delays.len() * GROUP == cells && self.values.len() == cells * VALUES
    }

    /// Adds the nodes that another table has beyond this one's last.
    pub fn append(&mut self, next: &Self) {
        let known = (self.first + self.count()).saturating_sub(next.first) * self.half_sines * self.lanes;
        self.values.extend_from_slice(next.values.get(known * VALUES..).unwrap_or_default());
        self.delays.extend_from_slice(next.delays.get(known / GROUP..).unwrap_or_default());
    }

    /// Adds what the beams send to the node that comes next.
    pub fn push(&mut self, row: &SpectraRow, fit: &Fit) {
        let frequencies = fit.energy.len();
        let groups = |part| <[f32]>::chunks_exact(part, frequencies * GROUP);
        let mut turns = Vec::new();
        for (re, im) in groups(&row.re).zip(groups(&row.im)) {
            let halves = [0, 1].map(|half| {
                [re, im].map(|part| &part.as_chunks::<HALF>().0[half * frequencies..][..frequencies])
            });
            let delay = delay(halves, fit);
            self.delays.push(delay);
            turns.clear();
            turns.extend(fit.undelay(delay));
            for [re, im] in halves {
                let turned = re.iter().zip(im).zip(&turns).map(|((&re, &im), turn)| {
                    wide_times(&[f32x4::new(re), f32x4::new(im)], &turn.map(f32x4::splat))
                });
                let terms = fit.terms(turned).map(|term| term.map(f32x4::to_array));
                self.values.extend_from_slice(terms.as_flattened().as_flattened());
            }
        }
    }
}

/// Group delay of a group of beams, samples: the phase between neighbouring frequencies, weighted with energy.
fn delay(halves: [[&[[f32; HALF]]; 2]; 2], fit: &Fit) -> f32 {
    let (mut turn_re, mut turn_im) = (0.0, 0.0);
    for [re, im] in halves {
        let spectra = re.iter().zip(im).map(|(&re, &im)| [f32x4::new(re), f32x4::new(im)]);
        let [re, im] = fit.turn(spectra);
        // Lane by lane in this order on every machine.
        turn_re = re.to_array().into_iter().fold(turn_re, |sum, value| sum + value);
        turn_im = im.to_array().into_iter().fold(turn_im, |sum, value| sum + value);
    }
    fit.delay(turn_re, turn_im)
}

/// Where a ray's end lies in the table: corner and weights.
pub struct Lookup<'a> {
    table: &'a OneWayTable,
    cell: usize,
    weights: [f32; 4],
}

impl<'a> Lookup<'a> {
    /// At a sine in the wedge and a one-way time.
    pub fn new(table: &'a OneWayTable, axes: &Axes, wedge_sine: f32, one_way_us: f32) -> Self {
        let t = table.nodes.place(one_way_us);
        let u = ((wedge_sine - axes.sine_start as f32) * (2.0 / axes.sine_step) as f32)
            .clamp(0.0, (table.half_sines - 2) as f32);
        let ((node, ft), (half, fu)) = (spline::split(t), spline::split(u));
        Self {
            table,
            cell: node * table.half_sines + half,
            weights: [(1.0 - ft) * (1.0 - fu), (1.0 - ft) * fu, ft * (1.0 - fu), ft * fu],
        }
    }

    fn corners(&self) -> [usize; 4] {
        let row = self.table.half_sines;
        [self.cell, self.cell + 1, self.cell + row, self.cell + row + 1]
    }

    /// Coefficients of 1, x and x² of half a group of beams from `beam` on, x the frequency in spreads from the carrier.
    #[inline(always)]
    pub fn values(&self, beam: usize) -> [Wide; TERMS] {
        let corners = self.corners().map(|cell| {
            let start = (cell * self.table.lanes + beam) * VALUES;
            self.table.values.get(start..).and_then(<[f32]>::first_chunk::<HALF_VALUES>)
        });
        let part = |k: usize| {
            let mut sum = f32x4::ZERO;
            for (corner, weight) in corners.iter().zip(self.weights) {
                if let Some(values) = corner {
                    sum += load4(*values, k * HALF) * weight;
                }
            }
            sum
        };
        // The third Hermite term is (x² - 1)/√2.
        let square = [part(4), part(5)].map(|part| part * core::f32::consts::FRAC_1_SQRT_2);
        [[part(0) - square[0], part(1) - square[1]], [part(2), part(3)], square]
    }

    /// Delay of these beams beyond the centre ray's time, samples.
    #[inline(always)]
    pub fn delay(&self, beam: usize) -> f32 {
        let groups = self.table.lanes / GROUP;
        let of = |cell: usize| self.table.delays.get(cell * groups + beam / GROUP).copied().unwrap_or(0.0);
        self.corners().into_iter().zip(self.weights).fold(0.0, |sum, (cell, weight)| sum + of(cell) * weight)
    }
}
