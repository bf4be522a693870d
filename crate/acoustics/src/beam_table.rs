//! Tables of what every beam hears from every node of the grid, made once per set-up.
//!
//! Two-way: per block of samples and beam one run of sines, each with a whole-sample delay and Hermite coefficients.
//! One-way: the same terms per half step of sine ([`OneWayTable`]).

use core::ops::Range;

use crate::aperture::Aperture;
use crate::axes::{Axes, BLOCK, ZONE};
use crate::law::DelayLaw;
use crate::material::Solid;
use crate::one_way_table::{Fit, OneWayTable, TimeNodes};
use crate::pulse::{Pulse, TERMS};
use crate::spectra::{self, GROUP, Spectra};
use crate::spectra_rows::SpectraRows;
use crate::two_way::{Between, LARGEST_SHIFT, Terms, TwoWay, Unshift, energy};

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
        let fit = Fit::new(pulse, &spectra.band);
        let nodes = table.one_way.nodes;
        let two_way = (0..nodes.count).map(|_| None).collect();
        let rows = SpectraRows::new(spectra, axes, nodes);
        let mut builder = Builder { table, fit, rows, axes, two_way };
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

    /// Adds what a beam hears in a block, from terms at a run of sines.
    fn push_row(&mut self, start: usize, fitted: &[Terms], [cut, grain_cut]: [f32; 2]) {
        let floor = fitted.iter().map(energy).fold(0.0, f32::max) * cut;
        let low = fitted.iter().position(|terms| energy(terms) > floor).unwrap_or(0);
        let high = fitted.iter().rposition(|terms| energy(terms) > floor).map_or(0, |last| last + 1);
        let heard = &fitted[low..high.max(low)];
        let norm = |[re, im]: [f32; 2]| re * re + im * im;
        let strongest = heard.iter().map(|terms| norm(terms[0])).fold(0.0, f32::max);
        let loud = |terms: &Terms| norm(terms[0]) > strongest * grain_cut;
        let from = heard.iter().position(loud).unwrap_or(0);
        let to = heard.iter().rposition(loud).map_or(from, |last| last + 1);
        self.rows.push(Row {
            offset: self.first.len() as u32,
            low: (start + low) as u16,
            count: heard.len() as u16,
            grain: [from as u16, to as u16],
        });
        for &[first, [re, im], [more_re, more_im]] in heard {
            self.first.push(first);
            self.others.push([re, im, more_re, more_im]);
        }
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

struct Builder<'a> {
    table: BeamTable,
    rows: SpectraRows<'a>,
    axes: &'a Axes,
    fit: Fit,
    /// By time node.
    two_way: Vec<Option<TwoWay>>,
}

impl Builder<'_> {
    fn node_of(&self, sample: f64) -> (usize, f32) {
        node_of(&self.table.one_way.nodes, self.axes, sample)
    }

    /// Computes one time node: the one-way table and the two-way spectra.
    fn compute_node(&mut self, node: usize) {
        if self.two_way[node].is_some() {
            return;
        }
        let row = self.rows.at(node);
        self.table.one_way.push(row, &self.fit);
        self.two_way[node] = Some(TwoWay::new(row, &self.fit, self.table.one_way.lanes));
    }

    fn zone(&mut self, zone: usize) {
        let first = zone * ZONE;
        let nodes = BeamTable::nodes(self.axes, &(zone..zone + 1));
        let start = nodes.start;
        for node in nodes {
            self.compute_node(node);
        }
        self.two_way[..start].iter_mut().for_each(|node| *node = None);

        let (lanes, sines, beams) = (self.table.one_way.lanes, self.axes.sines, self.table.beams);
        let Some(centre) = self.place(first + ZONE / 2) else { return };
        let shifts = centre.shifts();
        let unshift = Unshift::new(&shifts, &self.fit);
        for beam in 0..beams {
            self.table.shifts.extend((0..sines).map(|sine| shifts[sine * lanes + beam]));
        }
        let cuts = [CUT_DB, GRAIN_CUT_DB].map(below);
        for block in 0..ZONE / BLOCK {
            for beam in (0..beams).step_by(GROUP) {
                let Some(place) = self.place(first + block * BLOCK + BLOCK / 2) else { return };
                let (low, heard) = place.heard(beam, &unshift, cuts[0]);
                for lane in 0..GROUP.min(beams - beam) {
                    let terms: Vec<Terms> = heard.iter().map(|terms| terms[lane]).collect();
                    self.table.push_row(low, &terms, cuts);
                }
            }
        }
    }

    /// The nodes around a sample.
    fn place(&self, sample: usize) -> Option<Between<'_>> {
        let (node, fraction) = self.node_of(sample as f64);
        let (near, far) = (self.two_way[node].as_ref()?, self.two_way[node + 1].as_ref()?);
        Some(Between { near, far, fraction, fit: &self.fit, lanes: self.table.one_way.lanes })
    }
}

/// The energy that lies so many decibels below 1.
fn below(db: f64) -> f32 {
    libm::pow(10.0, -db / 10.0) as f32
}
