//! The grid that points are laid on: per zone and sine a row of complex samples with room for shifts at both ends.

use crate::axes::{Axes, BLOCK, ZONE};
use crate::lanes::f32x4;

/// Room before and after a zone: splines and whole-sample delays reach over its ends.
pub const PAD: usize = 56;
/// Samples of a row.
pub const ROW: usize = ZONE + 2 * PAD;

/// Real and imaginary planes, `[zone][sine][row sample]`, with the blocks of each row that hold anything.
#[derive(Debug)]
pub struct Planes {
    /// Real part.
    pub re: Vec<f32>,
    /// Imaginary part.
    pub im: Vec<f32>,
    /// Bit k: block k of the row (from its padded start) is not empty.
    pub filled: Vec<u32>,
    sines: usize,
}

impl Planes {
    /// Empty planes for a grid.
    pub fn new(axes: &Axes) -> Self {
        let rows = axes.zones() * axes.sines;
        Self {
            re: vec![0.0; rows * ROW],
            im: vec![0.0; rows * ROW],
            filled: vec![0; rows],
            sines: axes.sines,
        }
    }

    /// Empties the rows that hold anything.
    pub fn clear(&mut self) {
        for (row, filled) in self.filled.iter_mut().enumerate() {
            if *filled != 0 {
                self.re[row * ROW..(row + 1) * ROW].fill(0.0);
                self.im[row * ROW..(row + 1) * ROW].fill(0.0);
                *filled = 0;
            }
        }
    }

    /// Index of a row.
    #[inline(always)]
    pub fn row(&self, zone: usize, sine: usize) -> usize {
        zone * self.sines + sine
    }

    /// Adds four samples by four rows: complex taps over time, weights over the sine. `sample` counts from the first
    /// sample of the grid, both name the first of the four.
    #[inline(always)]
    pub fn add(&mut self, zone: usize, sine: usize, sample: usize, weights: f32x4, [re, im]: [f32x4; 2]) {
        let at = sample + PAD - zone * ZONE;
        let bits = (1 << (at / BLOCK)) | (1 << ((at + 3) / BLOCK));
        for (k, weight) in weights.to_array().into_iter().enumerate() {
            let row = self.row(zone, sine + k);
            self.filled[row] |= bits;
            let start = row * ROW + at;
            // One by one, for neighbours are laid one sample further on: a wide load would wait for two wide stores.
            for (value, tap) in self.re[start..start + 4].iter_mut().zip(re.to_array()) {
                *value += weight * tap;
            }
            for (value, tap) in self.im[start..start + 4].iter_mut().zip(im.to_array()) {
                *value += weight * tap;
            }
        }
    }
}
