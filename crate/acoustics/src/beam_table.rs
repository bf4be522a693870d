//! Tables of what every beam hears from every node of the grid, made once per set-up.
//!
//! Two-way: per block of samples and beam one run of sines, each with a whole-sample delay and Hermite coefficients.
//! One-way: the same terms per half step of sine, for echoes that go out and come home on different legs.

use core::f64::consts::TAU;

use crate::aperture::Aperture;
use crate::axes::{Axes, BLOCK, ZONE};
use crate::complex::Complex;
use crate::law::DelayLaw;
use crate::material::Solid;
use crate::pulse::{Pulse, SAMPLING_MHZ, TERMS};
use crate::spectra::Spectra;
use crate::spline;

/// Largest whole-sample delay of a beam against the centre ray.
pub const LARGEST_SHIFT: i32 = 8;
/// Nodes weaker than this against the beam's strongest in a block are left out, dB.
const CUT_DB: f64 = 45.0;
/// Nodes weaker than this by their first term are left out for grain, which comes from everywhere alike, dB.
const GRAIN_CUT_DB: f64 = 30.0;
/// Values per node and beam of the one-way table: real and imaginary part of each term.
pub const ONE_WAY_VALUES: usize = 2 * TERMS;
/// Distance of time nodes, as steel path, mm.
const NODE_STEP_MM: f64 = 2.5;

/// A run of sines that one beam hears in one block.
#[derive(Clone, Copy, Debug, Default)]
pub struct Row {
    /// Index of the first coefficient.
    pub offset: u32,
    /// First node of the sine.
    pub low: u16,
    /// Number of nodes.
    pub count: u16,
    /// The nodes that grain is heard from, counted from the first coefficient.
    pub grain: [u16; 2],
}

/// Two-way and one-way tables.
#[derive(Debug)]
pub struct BeamTable {
    /// Number of beams.
    pub beams: usize,
    /// Rows, `[block][beam]`.
    pub rows: Vec<Row>,
    /// Whole-sample delay, `[zone][beam][sine]`.
    pub shifts: Vec<i8>,
    /// Coefficients of the first term, `[entry]` re, im: grain uses only these.
    pub first: Vec<[f32; 2]>,
    /// Coefficients of the other terms, `[entry]` re, im, re, im.
    pub others: Vec<[f32; 2 * (TERMS - 1)]>,
    /// One-way coefficients, `[time node][half sine][a0 re, a0 im, a1 re, a1 im, a2 re, a2 im][beam lane]`.
    pub one_way: Vec<f32>,
    /// Beam lanes of the one-way table.
    pub lanes: usize,
    /// Half steps of the sine.
    pub half_sines: usize,
    /// One-way time of the first node, µs.
    pub node_start_us: f64,
    /// Distance of the nodes, µs.
    pub node_step_us: f64,
    /// Number of time nodes.
    pub nodes: usize,
}

impl BeamTable {
    /// Builds the tables (tenths of a second).
    pub fn new(aperture: &Aperture, solid: &Solid, axes: &Axes, laws: &[DelayLaw], pulse: &Pulse) -> Self {
        let spectra = Spectra::new(aperture, solid, axes, laws, pulse.band(aperture.count > 48));
        let node_step_us = NODE_STEP_MM / axes.speed;
        let node_start_us = 0.5 * axes.time_us(0.0);
        let nodes = ((0.5 * axes.time_us(axes.samples as f64) - node_start_us) / node_step_us) as usize + 2;
        let half_sines = 2 * axes.sines - 1;
        let mut builder = Builder {
            table: Self {
                beams: laws.len(),
                rows: Vec::new(),
                shifts: Vec::new(),
                first: Vec::new(),
                others: Vec::new(),
                one_way: vec![0.0; nodes * half_sines * ONE_WAY_VALUES * spectra.lanes],
                lanes: spectra.lanes,
                half_sines,
                node_start_us,
                node_step_us,
                nodes,
            },
            projection: pulse.projection(&spectra.band),
            energy: spectra.band.iter().map(|&f| pulse.spectrum(f) * pulse.spectrum(f)).collect(),
            carrier_mhz: pulse.carrier_mhz,
            spectra,
            axes,
            two_way: (0..nodes).map(|_| None).collect(),
        };
        for zone in 0..axes.zones() {
            builder.zone(zone);
        }
        builder.table
    }
}

/// Two-way spectra of all sines at one time, spline-filtered along the sine: `[sine][frequency][beam lane]`.
struct TwoWay {
    re: Vec<f32>,
    im: Vec<f32>,
}

struct Builder<'a> {
    table: BeamTable,
    spectra: Spectra<'a>,
    axes: &'a Axes,
    projection: Vec<Vec<f64>>,
    energy: Vec<f64>,
    carrier_mhz: f64,
    two_way: Vec<Option<TwoWay>>,
}

impl Builder<'_> {
    /// Time of a sample as a place among the nodes: node index and fraction to the next.
    fn node_of(&self, sample: f64) -> (usize, f64) {
        let place = (0.5 * self.axes.time_us(sample) - self.table.node_start_us) / self.table.node_step_us;
        let index = (place as usize).min(self.table.nodes - 2);
        (index, (place - index as f64).clamp(0.0, 1.0))
    }

    /// Computes one time node: the one-way table directly, the two-way spectra filtered along the sine (before shift
    /// and fit, or the filter would see the steps of the shift).
    fn compute_node(&mut self, node: usize) {
        if self.two_way[node].is_some() {
            return;
        }
        let time = self.table.node_start_us + node as f64 * self.table.node_step_us;
        let row = self.spectra.band.len() * self.spectra.lanes;
        let mut two_way =
            TwoWay { re: vec![0.0; self.axes.sines * row], im: vec![0.0; self.axes.sines * row] };
        for half in 0..self.table.half_sines {
            let sine = self.axes.sine_start + 0.5 * half as f64 * self.axes.sine_step;
            let spectra = self.spectra.node(sine, time);
            self.fit_one_way(node, half, &spectra.re, &spectra.im);
            if half.is_multiple_of(2) {
                let at = half / 2 * row;
                for k in 0..row {
                    let (re, im) = (spectra.re[k], spectra.im[k]);
                    two_way.re[at + k] = re * re - im * im;
                    two_way.im[at + k] = 2.0 * re * im;
                }
            }
        }
        spline::prefilter(&mut two_way.re, row, self.axes.sines, row);
        spline::prefilter(&mut two_way.im, row, self.axes.sines, row);
        self.two_way[node] = Some(two_way);
    }

    fn fit_one_way(&mut self, node: usize, half: usize, re: &[f32], im: &[f32]) {
        let lanes = self.table.lanes;
        let at = (node * self.table.half_sines + half) * ONE_WAY_VALUES * lanes;
        let out = &mut self.table.one_way[at..at + ONE_WAY_VALUES * lanes];
        for m in 0..self.spectra.band.len() {
            for term in 0..TERMS {
                let weight = self.projection[term][m] as f32;
                for b in 0..lanes {
                    out[2 * term * lanes + b] += weight * re[m * lanes + b];
                    out[(2 * term + 1) * lanes + b] += weight * im[m * lanes + b];
                }
            }
        }
    }

    /// Group delay of a beam at a node of the sine, in samples: the phase between neighbouring frequencies, weighted with
    /// energy. `spectrum` is the two-way one.
    fn shift(&self, spectrum: &[Complex]) -> i32 {
        let turn = (1..spectrum.len())
            .fold(Complex::ZERO, |sum, m| sum + spectrum[m] * spectrum[m - 1].conj() * self.energy[m]);
        let step = self.spectra.band[1] - self.spectra.band[0];
        let samples = turn.arg() / (TAU * step) * SAMPLING_MHZ;
        (libm::round(samples) as i32).clamp(-LARGEST_SHIFT, LARGEST_SHIFT)
    }

    /// Two-way spectrum of one beam and sine between two nodes.
    fn between(&self, node: usize, fraction: f64, sine: usize, beam: usize) -> Vec<Complex> {
        let lanes = self.spectra.lanes;
        let (Some(near), Some(far)) = (&self.two_way[node], &self.two_way[node + 1]) else {
            return vec![Complex::ZERO; self.spectra.band.len()];
        };
        (0..self.spectra.band.len())
            .map(|m| {
                let at = (sine * self.spectra.band.len() + m) * lanes + beam;
                let mix = |a: f32, b: f32| f64::from(a) + fraction * (f64::from(b) - f64::from(a));
                Complex::new(mix(near.re[at], far.re[at]), mix(near.im[at], far.im[at]))
            })
            .collect()
    }

    fn zone(&mut self, zone: usize) {
        let first = zone * ZONE;
        let (start, _) = self.node_of(first as f64);
        let (end, _) = self.node_of((first + ZONE) as f64);
        for node in start..=end + 1 {
            self.compute_node(node);
        }
        self.two_way[..start].iter_mut().for_each(|node| *node = None);

        let (centre, fraction) = self.node_of((first + ZONE / 2) as f64);
        let shift_start = self.table.shifts.len();
        for beam in 0..self.table.beams {
            for sine in 0..self.axes.sines {
                let shift = self.shift(&self.between(centre, fraction, sine, beam));
                self.table.shifts.push(shift as i8);
            }
        }
        // Phasors that take a whole-sample delay out of a spectrum, `[shift][frequency]`. The carrier's phase stays with
        // the coefficient: only the envelope is delayed.
        let unshift: Vec<Vec<Complex>> = (-LARGEST_SHIFT..=LARGEST_SHIFT)
            .map(|shift| {
                let turn = |f: &f64| -TAU * (f - self.carrier_mhz) * f64::from(shift) / SAMPLING_MHZ;
                self.spectra.band.iter().map(|f| Complex::phasor(turn(f))).collect()
            })
            .collect();
        for block in 0..ZONE / BLOCK {
            let (node, fraction) = self.node_of((first + block * BLOCK + BLOCK / 2) as f64);
            for beam in 0..self.table.beams {
                let fitted: Vec<[Complex; TERMS]> = (0..self.axes.sines)
                    .map(|sine| {
                        let shift = self.table.shifts[shift_start + beam * self.axes.sines + sine];
                        let turn = &unshift[(i32::from(shift) + LARGEST_SHIFT) as usize];
                        self.fit_two_way(&self.between(node, fraction, sine, beam), turn)
                    })
                    .collect();
                self.push_row(&fitted);
            }
        }
    }

    fn fit_two_way(&self, spectrum: &[Complex], turn: &[Complex]) -> [Complex; TERMS] {
        let mut terms = [Complex::ZERO; TERMS];
        for (m, (&value, &turn)) in spectrum.iter().zip(turn).enumerate() {
            let value = value * turn;
            for (k, term) in terms.iter_mut().enumerate() {
                *term += value * self.projection[k][m];
            }
        }
        terms
    }

    fn push_row(&mut self, fitted: &[[Complex; TERMS]]) {
        let energy = |terms: &[Complex; TERMS]| terms.iter().map(|c| c.norm()).sum::<f64>();
        let floor = fitted.iter().map(energy).fold(0.0, f64::max) * libm::pow(10.0, -CUT_DB / 10.0);
        let loud = |terms: &[Complex; TERMS]| energy(terms) > floor;
        let low = fitted.iter().position(loud).unwrap_or(0);
        let high = fitted.iter().rposition(loud).map_or(0, |last| last + 1);
        let heard = &fitted[low..high.max(low)];
        let strongest = heard.iter().map(|terms| terms[0].norm()).fold(0.0, f64::max);
        let loud =
            |terms: &[Complex; TERMS]| terms[0].norm() > strongest * libm::pow(10.0, -GRAIN_CUT_DB / 10.0);
        let from = heard.iter().position(loud).unwrap_or(0);
        let to = heard.iter().rposition(loud).map_or(from, |last| last + 1);
        self.table.rows.push(Row {
            offset: self.table.first.len() as u32,
            low: low as u16,
            count: heard.len() as u16,
            grain: [from as u16, to as u16],
        });
        for [first, second, third] in heard {
            self.table.first.push([first.re as f32, first.im as f32]);
            self.table.others.push([second.re as f32, second.im as f32, third.re as f32, third.im as f32]);
        }
    }
}
