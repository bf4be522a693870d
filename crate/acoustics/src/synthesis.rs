//! From the grid to the beams: the banded beam matrix, then one short filter that lays the pulse.

use core::ops::Range;

use crate::axes::{Axes, BLOCK, ZONE};
use crate::beam_table::BeamTable;
use crate::complex::{Complex, Complex32, times};
use crate::lanes::{add8, f32x8, load8};
use crate::planes::{PAD, Planes, ROW};
use crate::pulse::{TAPS, TERMS};

/// A block is what the lanes take at once.
const _: () = assert!(BLOCK == 8);

/// Samples kept free before and after each beam's row.
const MARGIN: usize = 4 * BLOCK + 8;

/// What every beam hears per Hermite term, `[term][beam][margin + sample + margin]`.
#[derive(Debug)]
pub struct TermPlanes {
    re: Vec<f32>,
    im: Vec<f32>,
    beams: usize,
    width: usize,
}

impl TermPlanes {
    /// Empty planes.
    pub fn new(beams: usize, samples: usize) -> Self {
        let width = samples + 2 * MARGIN;
        Self { re: vec![0.0; TERMS * beams * width], im: vec![0.0; TERMS * beams * width], beams, width }
    }

    /// Empties a range of beams.
    pub fn clear(&mut self, beams: Range<usize>) {
        for term in 0..TERMS {
            let cells =
                (term * self.beams + beams.start) * self.width..(term * self.beams + beams.end) * self.width;
            self.re[cells.clone()].fill(0.0);
            self.im[cells].fill(0.0);
        }
    }

    /// Adds one sample of all beams, `[term][re, im][beam lane]`.
    pub fn add_sample(&mut self, sample: usize, values: &[f32], lanes: usize) {
        for (term, pair) in values.chunks_exact(2 * lanes).enumerate() {
            for beam in 0..self.beams {
                let at = (term * self.beams + beam) * self.width + MARGIN + sample;
                self.re[at] += pair[beam];
                self.im[at] += pair[lanes + beam];
            }
        }
    }

    fn add_block(&mut self, term: usize, beam: usize, sample: isize, [re, im]: [f32x8; 2]) {
        let at = (term * self.beams + beam) * self.width + (MARGIN as isize + sample) as usize;
        add8(&mut self.re, at, re);
        add8(&mut self.im, at, im);
    }
}

/// Blocks before and after a zone that its shifted samples reach.
const OVERHANG: isize = 4;

/// Adds what a range of beams hears from the grid of a leg. `factors` are those of a zone and beam, per sine.
pub fn apply<'a>(
    table: &BeamTable,
    axes: &Axes,
    (planes, factors): (&Planes, impl Fn(usize, usize) -> Option<&'a [Complex32]>),
    beams: Range<usize>,
    out: &mut TermPlanes,
) {
    let blocks = (ZONE / BLOCK) as isize;
    for zone in 0..axes.zones() {
        let filled = &planes.filled[zone * axes.sines..(zone + 1) * axes.sines];
        if filled.iter().all(|&bits| bits == 0) {
            continue;
        }
        for block in -OVERHANG..blocks + OVERHANG {
            let inside = block.clamp(0, blocks - 1) as usize;
            let rows = &table.rows[(zone * (ZONE / BLOCK) + inside) * table.beams..][..table.beams];
            for beam in beams.clone() {
                let row = &rows[beam];
                let mut sums = [[f32x8::ZERO; 2]; TERMS];
                let mut any = false;
                let factors = factors(zone, beam);
                let shifts = &table.shifts[(zone * table.beams + beam) * axes.sines..][..axes.sines];
                for entry in 0..usize::from(row.count) {
                    let sine = usize::from(row.low) + entry;
                    let start = (PAD as isize + block * BLOCK as isize - isize::from(shifts[sine])) as usize;
                    if filled[sine] & (0b11 << (start / BLOCK)) == 0 {
                        continue;
                    }
                    any = true;
                    let at = planes.row(zone, sine) * ROW + start;
                    let (re, im) = (load8(&planes.re, at), load8(&planes.im, at));
                    let [c0, c1] = table.first[row.offset as usize + entry];
                    let [c2, c3, c4, c5] = table.others[row.offset as usize + entry];
                    let mut coefficients = [[c0, c1], [c2, c3], [c4, c5]];
                    if let Some(factors) = factors {
                        coefficients = coefficients.map(|c| times(c, factors[sine]));
                    }
                    for (sum, [c_re, c_im]) in sums.iter_mut().zip(coefficients) {
                        sum[0] += re * c_re - im * c_im;
                        sum[1] += im * c_re + re * c_im;
                    }
                }
                if any {
                    let sample = zone as isize * ZONE as isize + block * BLOCK as isize;
                    for (term, sum) in sums.into_iter().enumerate() {
                        out.add_block(term, beam, sample, sum);
                    }
                }
            }
        }
    }
}

/// Adds what the beams hear from a grid that is filled everywhere (grain), first term only.
pub fn apply_dense(table: &BeamTable, axes: &Axes, planes: &Planes, out: &mut TermPlanes) {
    for zone in 0..axes.zones() {
        for block in 0..ZONE / BLOCK {
            let rows = &table.rows[(zone * (ZONE / BLOCK) + block) * table.beams..][..table.beams];
            for (beam, row) in rows.iter().enumerate() {
                let mut sum = [f32x8::ZERO; 2];
                let [from, to] = row.grain.map(usize::from);
                let entries = &table.first[row.offset as usize..][from..to];
                for (entry, &[c_re, c_im]) in entries.iter().enumerate() {
                    let at =
                        planes.row(zone, usize::from(row.low) + from + entry) * ROW + PAD + block * BLOCK;
                    let (re, im) = (load8(&planes.re, at), load8(&planes.im, at));
                    sum[0] += re * c_re - im * c_im;
                    sum[1] += im * c_re + re * c_im;
                }
                out.add_block(0, beam, (zone * ZONE + block * BLOCK) as isize, sum);
            }
        }
    }
}

/// Lays the pulse: sums the filtered terms into `re`, `im`, `[beam][sample]`.
pub fn filter(
    planes: &TermPlanes,
    filters: &[[Complex; TAPS]; TERMS],
    beams: Range<usize>,
    samples: usize,
    re: &mut [f32],
    im: &mut [f32],
) {
    let cells = beams.start * samples..beams.end * samples;
    re[cells.clone()].fill(0.0);
    im[cells].fill(0.0);
    for (term, taps) in filters.iter().enumerate() {
        for beam in beams.clone() {
            let row = (term * planes.beams + beam) * planes.width;
            let (out_re, out_im) = (
                &mut re[beam * samples..(beam + 1) * samples],
                &mut im[beam * samples..(beam + 1) * samples],
            );
            for (tap, c) in taps.iter().enumerate() {
                // Tap m takes the sample m - TAPS/2 earlier.
                let at = row + MARGIN + TAPS / 2 - tap;
                let (in_re, in_im) = (&planes.re[at..at + samples], &planes.im[at..at + samples]);
                let (c_re, c_im) = (c.re as f32, c.im as f32);
                for k in 0..samples {
                    out_re[k] += c_re * in_re[k] - c_im * in_im[k];
                    out_im[k] += c_re * in_im[k] + c_im * in_re[k];
                }
            }
        }
    }
}
