//! Tables of what every beam hears from every node of the grid, made once per set-up.
//!
//! Two-way: per block of samples and beam one run of sines, each with a whole-sample delay and Hermite coefficients.
//! One-way: the same terms per half step of sine ([`OneWayTable`]).

use core::f64::consts::TAU;
use core::ops::Range;

use crate::aperture::Aperture;
use crate::axes::{Axes, BLOCK, ZONE};
use crate::complex::Complex;
use crate::lanes::{f32x8, load8};
use crate::law::DelayLaw;
use crate::material::Solid;
use crate::one_way_table::{Fit, OneWayTable, TimeNodes};
use crate::pulse::{Pulse, SAMPLING_MHZ, TERMS};
use crate::spectra::{self, NodeSpectra, Spectra};
use crate::spline;

/// Largest whole-sample delay of a beam against the centre ray.
pub const LARGEST_SHIFT: i32 = 24;
/// Nodes weaker than this against the beam's strongest in a block are left out, dB.
const CUT_DB: f64 = 45.0;
/// Nodes weaker than this by their first term are left out for grain, which comes from everywhere alike, dB.
const GRAIN_CUT_DB: f64 = 30.0;
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
    /// One-way coefficients.
    pub one_way: OneWayTable,
}

impl BeamTable {
    /// Builds the tables of a run of zones (tenths of a second for all of them).
    pub fn of_zones(
        aperture: &Aperture,
        solid: &Solid,
        axes: &Axes,
        laws: &[DelayLaw],
        pulse: &Pulse,
        zones: Range<usize>,
    ) -> Self {
        let spectra = Spectra::new(aperture, solid, axes, laws, pulse.band(aperture.count > 48));
        let mut table = Self::empty(laws.len(), axes, zones.clone());
        table.one_way.reserve(Self::nodes(axes, &zones).len());
        let nodes = table.one_way.nodes.count;
        let fit = Fit::new(pulse, &spectra.band);
        let two_way = (0..nodes).map(|_| None).collect();
        let mut builder = Builder { table, fit, spectra, axes, two_way };
        for zone in zones {
            builder.zone(zone);
        }
        builder.table
    }

    /// Tables of some zones with nothing in them.
    pub fn empty(beams: usize, axes: &Axes, zones: Range<usize>) -> Self {
        let first = Self::nodes(axes, &zones).start;
        Self {
            beams,
            rows: Vec::new(),
            shifts: Vec::new(),
            first: Vec::new(),
            others: Vec::new(),
            one_way: OneWayTable::new(axes, spectra::lanes(beams), first),
        }
    }

    /// Time nodes that some zones hang on.
    fn nodes(axes: &Axes, zones: &Range<usize>) -> Range<usize> {
        let nodes = TimeNodes::new(axes);
        let node_of = |zone: usize| node_of(&nodes, axes, (zone * ZONE) as f64).0;
        // Rounded, the end of the last zone may lie a node earlier; rays that come later still look at the last node.
        let end = if zones.end < axes.zones() { node_of(zones.end) + 2 } else { nodes.count };
        node_of(zones.start)..end
    }

    /// Whether everything that some zones should have is there, and nothing refers to what is not.
    pub fn is_whole(&self, axes: &Axes, zones: &Range<usize>) -> bool {
        let (heard, sines) = (self.first.len(), axes.sines);
        let inside = |row: &Row| {
            let [from, to] = row.grain;
            let count = usize::from(row.count);
            (row.offset as usize).checked_add(count).is_some_and(|end| end <= heard)
                && usize::from(row.low) + count <= sines
                && from <= to
                && to <= row.count
        };
        self.rows.len() == zones.len() * (ZONE / BLOCK) * self.beams
            && self.rows.iter().all(inside)
            && self.shifts.len() == zones.len() * self.beams * sines
            && self.shifts.iter().all(|&shift| i32::from(shift).abs() <= LARGEST_SHIFT)
            && self.others.len() == heard
            && self.one_way.is_whole(Self::nodes(axes, zones).len())
    }

    /// Adds the tables of the zones that follow.
    pub fn append(&mut self, mut next: Self) {
        let offset = self.first.len() as u32;
        self.rows.extend(next.rows.iter().map(|row| Row { offset: row.offset + offset, ..*row }));
        self.shifts.append(&mut next.shifts);
        self.first.append(&mut next.first);
        self.others.append(&mut next.others);
        self.one_way.append(&next.one_way);
    }
}

/// Time of a sample as a place among the nodes: node index and fraction to the next.
fn node_of(nodes: &TimeNodes, axes: &Axes, sample: f64) -> (usize, f32) {
    let place = nodes.place((0.5 * axes.time_us(sample)) as f32);
    (place as usize, place - (place as usize) as f32)
}

/// Two-way spectra of all sines at one time, spline-filtered along the sine: `[sine][frequency][beam lane]`.
struct TwoWay {
    re: Vec<f32>,
    im: Vec<f32>,
}

/// The spectra before and after a time, and how far it lies between them.
struct Between<'a> {
    near: &'a TwoWay,
    far: &'a TwoWay,
    fraction: f32,
}

struct Builder<'a> {
    table: BeamTable,
    spectra: Spectra<'a>,
    axes: &'a Axes,
    fit: Fit,
    two_way: Vec<Option<TwoWay>>,
}

impl Builder<'_> {
    fn node_of(&self, sample: f64) -> (usize, f32) {
        node_of(&self.table.one_way.nodes, self.axes, sample)
    }

    /// Computes one time node: the one-way table directly, the two-way spectra filtered along the sine (before shift
    /// and fit, or the filter would see the steps of the shift).
    fn compute_node(&mut self, node: usize) {
        if self.two_way[node].is_some() {
            return;
        }
        let time = self.table.one_way.nodes.time_us(node);
        let row = self.spectra.band.len() * self.spectra.lanes;
        let mut two_way =
            TwoWay { re: vec![0.0; self.axes.sines * row], im: vec![0.0; self.axes.sines * row] };
        let at = |half: usize| self.axes.sine_start + 0.5 * half as f64 * self.axes.sine_step;
        let whole: Vec<NodeSpectra> =
            (0..self.axes.sines).map(|sine| self.spectra.node(at(2 * sine), time)).collect();
        for half in 0..self.table.one_way.half_sines {
            let sine = half / 2;
            let six = sine.checked_sub(2).and_then(|low| whole.get(low..)?.first_chunk());
            let between = (!half.is_multiple_of(2))
                .then(|| six.map_or_else(|| self.spectra.node(at(half), time), NodeSpectra::midway));
            let spectra = between.as_ref().unwrap_or(&whole[sine]);
            self.table.one_way.push(spectra, &self.fit);
        }
        for (spectra, at) in whole.iter().zip((0..).step_by(row)) {
            for k in 0..row {
                let (re, im) = (spectra.re[k], spectra.im[k]);
                two_way.re[at + k] = re * re - im * im;
                two_way.im[at + k] = 2.0 * re * im;
            }
        }
        spline::prefilter(&mut two_way.re, row, self.axes.sines, row);
        spline::prefilter(&mut two_way.im, row, self.axes.sines, row);
        self.two_way[node] = Some(two_way);
    }

    /// Two-way spectra of eight beams from `beam` on at a sine and frequency, between two nodes.
    #[inline(always)]
    fn between(&self, place: &Between, at: usize) -> [f32x8; 2] {
        let mix = |near: &[f32], far: &[f32]| {
            let (a, b) = (load8(near, at), load8(far, at));
            a + (b - a) * place.fraction
        };
        [mix(&place.near.re, &place.far.re), mix(&place.near.im, &place.far.im)]
    }

    /// Group delays in samples, `[sine][beam lane]`: the phase between neighbouring frequencies, weighted with energy.
    fn shifts(&self, place: &Between) -> Vec<i8> {
        let lanes = self.spectra.lanes;
        let step = self.fit.step_mhz;
        let mut shifts = Vec::with_capacity(self.axes.sines * lanes);
        for sine in 0..self.axes.sines {
            for beam in (0..lanes).step_by(8) {
                let at = |m: usize| (sine * self.fit.energy.len() + m) * lanes + beam;
                let mut before = self.between(place, at(0));
                let mut turn = [f32x8::ZERO; 2];
                for (m, &energy) in self.fit.energy.iter().enumerate().skip(1) {
                    let now = self.between(place, at(m));
                    turn[0] += (now[0] * before[0] + now[1] * before[1]) * energy;
                    turn[1] += (now[1] * before[0] - now[0] * before[1]) * energy;
                    before = now;
                }
                let [re, im] = turn.map(f32x8::to_array);
                shifts.extend(re.iter().zip(im).map(|(&re, im)| {
                    let samples = libm::atan2f(im, re) / (TAU * step) as f32 * SAMPLING_MHZ as f32;
                    (libm::roundf(samples) as i32).clamp(-LARGEST_SHIFT, LARGEST_SHIFT) as i8
                }));
            }
        }
        shifts
    }

    /// Phasors that take the whole-sample delays out of the spectra, `[sine][frequency][beam lane]`. The carrier's phase
    /// stays with the coefficient: only the envelope is delayed.
    fn unshift(&self, shifts: &[i8]) -> [Vec<f32>; 2] {
        // `[shift][frequency]`
        let turns: Vec<Vec<Complex>> =
            (-LARGEST_SHIFT..=LARGEST_SHIFT).map(|n| self.fit.undelay(f64::from(n)).collect()).collect();
        let mut out = [Vec::new(), Vec::new()];
        for row in shifts.chunks_exact(self.spectra.lanes) {
            for (m, _) in self.spectra.band.iter().enumerate() {
                let of = |&shift: &i8| turns[(i32::from(shift) + LARGEST_SHIFT) as usize][m];
                out[0].extend(row.iter().map(|shift| of(shift).re as f32));
                out[1].extend(row.iter().map(|shift| of(shift).im as f32));
            }
        }
        out
    }

    /// Hermite coefficients of all beams at a sine, `[term][re, im][beam lane]`.
    fn fit_two_way(&self, place: &Between, sine: usize, unshift: &[Vec<f32>; 2], out: &mut [f32]) {
        let (lanes, band) = (self.spectra.lanes, self.spectra.band.len());
        for beam in (0..lanes).step_by(8) {
            let mut terms = [[f32x8::ZERO; 2]; TERMS];
            for m in 0..band {
                let at = (sine * band + m) * lanes + beam;
                let [re, im] = self.between(place, at);
                let [turn_re, turn_im] = [0, 1].map(|part: usize| load8(&unshift[part], at));
                let (re, im) = (re * turn_re - im * turn_im, im * turn_re + re * turn_im);
                for (term, weights) in terms.iter_mut().zip(&self.fit.projection) {
                    term[0] += re * weights[m];
                    term[1] += im * weights[m];
                }
            }
            for (k, part) in terms.into_iter().flatten().enumerate() {
                out[k * lanes + beam..k * lanes + beam + 8].copy_from_slice(&part.to_array());
            }
        }
    }

    fn zone(&mut self, zone: usize) {
        let first = zone * ZONE;
        let nodes = BeamTable::nodes(self.axes, &(zone..zone + 1));
        let start = nodes.start;
        for node in nodes {
            self.compute_node(node);
        }
        self.two_way[..start].iter_mut().for_each(|node| *node = None);

        let (lanes, sines) = (self.spectra.lanes, self.axes.sines);
        let Some(centre) = self.place(first + ZONE / 2) else { return };
        let shifts = self.shifts(&centre);
        let unshift = self.unshift(&shifts);
        let width = 2 * TERMS * lanes;
        let blocks: Vec<Vec<f32>> = (0..ZONE / BLOCK)
            .filter_map(|block| self.place(first + block * BLOCK + BLOCK / 2))
            .map(|place| {
                let mut fitted = vec![0.0; sines * width];
                for (sine, out) in fitted.chunks_exact_mut(width).enumerate() {
                    self.fit_two_way(&place, sine, &unshift, out);
                }
                fitted
            })
            .collect();
        for beam in 0..self.table.beams {
            self.table.shifts.extend((0..sines).map(|sine| shifts[sine * lanes + beam]));
        }
        for fitted in blocks {
            for beam in 0..self.table.beams {
                let terms: Vec<[[f32; 2]; TERMS]> = fitted
                    .chunks_exact(width)
                    .map(|row| {
                        core::array::from_fn(|term| [0, 1].map(|part| row[(2 * term + part) * lanes + beam]))
                    })
                    .collect();
                self.push_row(&terms);
            }
        }
    }

    /// The nodes around a sample.
    fn place(&self, sample: usize) -> Option<Between<'_>> {
        let (node, fraction) = self.node_of(sample as f64);
        let (near, far) = (self.two_way[node].as_ref()?, self.two_way[node + 1].as_ref()?);
        Some(Between { near, far, fraction })
    }

    fn push_row(&mut self, fitted: &[[[f32; 2]; TERMS]]) {
        let norm = |[re, im]: [f32; 2]| re * re + im * im;
        let energy = |terms: &[[f32; 2]; TERMS]| terms.iter().map(|&c| norm(c)).sum::<f32>();
        let floor = fitted.iter().map(energy).fold(0.0, f32::max) * below(CUT_DB);
        let low = fitted.iter().position(|terms| energy(terms) > floor).unwrap_or(0);
        let high = fitted.iter().rposition(|terms| energy(terms) > floor).map_or(0, |last| last + 1);
        let heard = &fitted[low..high.max(low)];
        let strongest = heard.iter().map(|terms| norm(terms[0])).fold(0.0, f32::max);
        let loud = |terms: &[[f32; 2]; TERMS]| norm(terms[0]) > strongest * below(GRAIN_CUT_DB);
        let from = heard.iter().position(loud).unwrap_or(0);
        let to = heard.iter().rposition(loud).map_or(from, |last| last + 1);
        self.table.rows.push(Row {
            offset: self.table.first.len() as u32,
            low: low as u16,
            count: heard.len() as u16,
            grain: [from as u16, to as u16],
        });
        for &[first, [re, im], [more_re, more_im]] in heard {
            self.table.first.push(first);
            self.table.others.push([re, im, more_re, more_im]);
        }
    }
}

/// The energy that lies so many decibels below 1.
fn below(db: f64) -> f32 {
    libm::pow(10.0, -db / 10.0) as f32
}
