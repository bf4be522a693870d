//! From the grid to the beams: the banded beam matrix, then one short filter that lays the pulse.

use core::ops::Range;

use crate::axes::{Axes, BLOCK, ZONE};
use crate::beam_table::BeamTable;
use crate::complex::{Complex, Complex32, times};
use crate::grain::GrainZone;
use crate::lanes::{add8, f32x8, load8};
use crate::one_way_table::{HALF, HALF_VALUES};
use crate::planes::{PAD, Planes, ROW};
use crate::pulse::{TAPS, TERMS};
use crate::two_way::LARGEST_SHIFT;

/// A block is what the lanes take at once.
const _: () = assert!(BLOCK == 8);

/// Samples kept free before and after each beam's row, a whole number of blocks.
const MARGIN: usize = 4 * BLOCK + 8;

/// The filter reaches no further than into the next block.
const _: () = assert!(MARGIN.is_multiple_of(BLOCK) && TAPS / 2 < BLOCK);

/// What every beam hears per Hermite term, `[term][beam][margin + sample + margin]`.
#[derive(Debug)]
pub struct TermPlanes {
    re: Vec<f32>,
    im: Vec<f32>,
    /// Blocks that hold anything of the higher terms, `[beam][block]`: grain has none, and most blocks hold only grain.
    higher: Vec<bool>,
    /// Whether grain was laid; without it a block that holds nothing of the higher terms holds nothing.
    grain: bool,
    beams: usize,
    width: usize,
}

impl TermPlanes {
    /// Empty planes; `samples` are a whole number of blocks.
    pub fn new(beams: usize, samples: usize) -> Self {
        let width = samples + 2 * MARGIN;
        let cells = TERMS * beams * width;
        Self {
            re: vec![0.0; cells],
            im: vec![0.0; cells],
            higher: vec![false; beams * width / BLOCK],
            grain: false,
            beams,
            width,
        }
    }

    /// Empties a range of beams.
    pub fn clear(&mut self, beams: Range<usize>) {
        self.grain = false;
        let cells = beams.start * self.width..beams.end * self.width;
        self.re[cells.clone()].fill(0.0);
        self.im[cells].fill(0.0);
        for block in beams.start * self.width / BLOCK..beams.end * self.width / BLOCK {
            if core::mem::take(&mut self.higher[block]) {
                for term in 1..TERMS {
                    let start = term * self.beams * self.width + block * BLOCK;
                    self.re[start..start + BLOCK].fill(0.0);
                    self.im[start..start + BLOCK].fill(0.0);
                }
            }
        }
    }

    /// Index of a sample of a beam; it may lie in the margin.
    #[inline(always)]
    fn at(&self, term: usize, beam: usize, sample: isize) -> usize {
        (term * self.beams + beam) * self.width + (MARGIN as isize + sample) as usize
    }

    /// Whether the higher terms hold anything within a block of the block that begins with a sample.
    #[inline(always)]
    fn higher_terms_near(&self, beam: usize, sample: usize) -> bool {
        let block = self.at(0, beam, sample as isize) / BLOCK;
        self.higher[block - 1] || self.higher[block] || self.higher[block + 1]
    }

    /// Adds one sample of all beams, `[half group][term][re, im][beam of the half]`.
    pub fn add_sample(&mut self, sample: usize, values: &[f32]) {
        for (half, values) in values.chunks_exact(HALF_VALUES).enumerate() {
            for beam in half * HALF..((half + 1) * HALF).min(self.beams) {
                for (term, pair) in values.chunks_exact(2 * HALF).enumerate() {
                    let at = self.at(term, beam, sample as isize);
                    self.re[at] += pair[beam % HALF];
                    self.im[at] += pair[HALF + beam % HALF];
                }
                let block = self.at(0, beam, sample as isize) / BLOCK;
                self.higher[block] = true;
            }
        }
    }

    #[inline(always)]
    fn add_block(&mut self, term: usize, beam: usize, sample: isize, [re, im]: [f32x8; 2]) {
        let at = self.at(term, beam, sample);
        add8(&mut self.re, at, re);
        add8(&mut self.im, at, im);
    }
}

/// Blocks before and after a zone that its shifted samples reach.
const OVERHANG: usize = 4;
/// Blocks of a zone that a beam may hear something in.
const REACHED: usize = ZONE / BLOCK + 2 * OVERHANG;
/// The earliest of them, with the largest delay, begins where the row begins; a bit stands for each.
const _: () = assert!(PAD == OVERHANG * BLOCK + LARGEST_SHIFT as usize && REACHED <= 16);

/// Blocks of a zone, counted from the first that is reached, in which a beam hears what a row holds: `filled` are the row's
/// blocks, `shift` is the beam's whole-sample delay there.
#[inline(always)]
fn reached(filled: u32, shift: i8) -> u16 {
    // Block n of the beam begins this far into the row and reaches into the next of its blocks, too.
    let start = LARGEST_SHIFT - i32::from(shift);
    ((u64::from(filled) | u64::from(filled) >> 1) >> (start / BLOCK as i32)) as u16
}

/// Adds what a range of beams hears from the grid of a leg. `factors` are those of a sample and beam, per sine.
pub fn apply<'a>(
    table: &BeamTable,
    axes: &Axes,
    (planes, factors): (&Planes, impl Fn(usize, usize) -> Option<&'a [Complex32]>),
    beams: Range<usize>,
    out: &mut TermPlanes,
) {
    let mut reach = vec![0; axes.sines];
    for zone in 0..axes.zones() {
        let filled = &planes.filled[zone * axes.sines..(zone + 1) * axes.sines];
        if filled.iter().all(|&bits| bits == 0) {
            continue;
        }
        for beam in beams.clone() {
            let shifts = &table.shifts[(zone * table.beams + beam) * axes.sines..][..axes.sines];
            let mut any = 0;
            for (reach, (&filled, &shift)) in reach.iter_mut().zip(filled.iter().zip(shifts)) {
                *reach = reached(filled, shift);
                any |= *reach;
            }
            for block in (0..REACHED).filter(|block| any >> block & 1 != 0) {
                let inside = block.clamp(OVERHANG, OVERHANG + ZONE / BLOCK - 1) - OVERHANG;
                let row = &table.rows[(zone * (ZONE / BLOCK) + inside) * table.beams + beam];
                let mut sums = [[f32x8::ZERO; 2]; TERMS];
                let mut heard = false;
                let factors = factors(zone * ZONE + inside * BLOCK, beam);
                for entry in 0..usize::from(row.count) {
                    let sine = usize::from(row.low) + entry;
                    if reach[sine] >> block & 1 == 0 {
                        continue;
                    }
                    heard = true;
                    let start = block * BLOCK + (LARGEST_SHIFT - i32::from(shifts[sine])) as usize;
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
                if heard {
                    let sample = (zone * ZONE + block * BLOCK) as isize - (OVERHANG * BLOCK) as isize;
                    for (term, sum) in sums.into_iter().enumerate() {
                        out.add_block(term, beam, sample, sum);
                    }
                    let block = out.at(0, beam, sample) / BLOCK;
                    out.higher[block] = true;
                }
            }
        }
    }
}

/// Adds what the beams hear of a zone's grain, which is everywhere and has the first term only.
pub fn apply_dense(table: &BeamTable, zone: usize, grain: &GrainZone, out: &mut TermPlanes) {
    out.grain = true;
    let (grain_re, grain_im) = (grain.re.as_chunks::<ZONE>().0, grain.im.as_chunks::<ZONE>().0);
    for block in 0..ZONE / BLOCK {
        let rows = &table.rows[(zone * (ZONE / BLOCK) + block) * table.beams..][..table.beams];
        for (beam, row) in rows.iter().enumerate() {
            let mut sum = [f32x8::ZERO; 2];
            let [from, to] = row.grain.map(usize::from);
            let entries = &table.first[row.offset as usize..][from..to];
            let first = usize::from(row.low) + from;
            for (&[c_re, c_im], (re, im)) in
                entries.iter().zip(grain_re[first..].iter().zip(&grain_im[first..]))
            {
                let (re, im) = (load8(re, block * BLOCK), load8(im, block * BLOCK));
                sum[0] += re * c_re - im * c_im;
                sum[1] += im * c_re + re * c_im;
            }
            out.add_block(0, beam, (zone * ZONE + block * BLOCK) as isize, sum);
        }
    }
}

/// Samples that go into a filtered block.
const FILTERED: usize = BLOCK + TAPS - 1;

/// Lays the pulse: sums the filtered terms into `re`, `im`, `[beam][sample]`.
pub fn filter(
    planes: &TermPlanes,
    filters: &[[Complex; TAPS]; TERMS],
    beams: Range<usize>,
    samples: usize,
    re: &mut [f32],
    im: &mut [f32],
) {
    let filters = filters.map(|taps| taps.map(|c| [c.re as f32, c.im as f32]));
    for beam in beams {
        for sample in (0..samples).step_by(BLOCK) {
            let mut sum = [f32x8::ZERO; 2];
            for (term, taps) in filters.iter().enumerate() {
                if (term > 0 || !planes.grain) && !planes.higher_terms_near(beam, sample) {
                    break;
                }
                // Tap m takes the sample m - TAPS/2 earlier.
                let earliest = planes.at(term, beam, sample as isize) + TAPS / 2 + 1 - TAPS;
                let [within_re, within_im] = [&planes.re, &planes.im]
                    .map(|part| part[earliest..].first_chunk::<FILTERED>().unwrap_or(&[0.0; FILTERED]));
                for (tap, &[c_re, c_im]) in taps.iter().enumerate() {
                    let at = TAPS - 1 - tap;
                    let (in_re, in_im) = (load8(within_re, at), load8(within_im, at));
                    sum[0] += in_re * c_re - in_im * c_im;
                    sum[1] += in_im * c_re + in_re * c_im;
                }
            }
            let cells = beam * samples + sample..beam * samples + sample + BLOCK;
            re[cells.clone()].copy_from_slice(&sum[0].to_array());
            im[cells].copy_from_slice(&sum[1].to_array());
        }
    }
}
