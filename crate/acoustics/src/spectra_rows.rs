//! Spectra of one time node after the other, summed from elements no more often than they change.

use crate::axes::Axes;
use crate::lanes::add_scaled;
use crate::one_way_table::TimeNodes;
use crate::spectra::{Spectra, SpectraRow};
use crate::summed_nodes::SummedNodes;

/// Weights of the polynomial through six evenly spaced sines in the middle between them, for the nearest on either side, the next and
/// the last.
const MIDWAY: [f32; 3] = [150.0 / 256.0, -25.0 / 256.0, 3.0 / 256.0];

/// Spectra of all half steps of the sine.
pub struct SpectraRows<'a> {
    /// Sums.
    pub spectra: Spectra<'a>,
    nodes: TimeNodes,
    /// When is summed.
    summed: SummedNodes,
    /// Half steps of the sine that are summed, and those between. So close (`Axes`), what the aperture's ends bring turns by less than
    /// π/4 from one sine to the next, which six of them follow to a thousandth; at the ends there are not six.
    halves: [Vec<usize>; 2],
    /// Sums that are still asked for, by number.
    kept: Vec<Option<SpectraRow>>,
    row: SpectraRow,
}

impl<'a> SpectraRows<'a> {
    /// None yet.
    pub fn new(spectra: Spectra<'a>, axes: &Axes, nodes: TimeNodes) -> Self {
        let summed = spectra.summed(&nodes);
        let half_sines = 2 * axes.sines - 1;
        let halves =
            (0..half_sines).partition(|&half| half.is_multiple_of(2) || half < 5 || half + 5 >= half_sines);
        let kept = (0..summed.count()).map(|_| None).collect();
        let row = SpectraRow::zeros(half_sines * spectra.width());
        Self { spectra, nodes, summed, halves: halves.into(), kept, row }
    }

    /// At a time node, not earlier than the one before.
    pub fn at(&mut self, node: usize) -> &SpectraRow {
        let width = self.spectra.width();
        let around = self.summed.around(node, &self.nodes);
        let numbers = around.numbers();
        self.kept[..numbers.start].iter_mut().for_each(|row| *row = None);
        for number in numbers.clone() {
            let time_us = self.nodes.time_us(self.summed.node(number));
            self.kept[number].get_or_insert_with(|| self.spectra.at(&self.halves[0], time_us));
        }
        let weights = around.weights();
        for (part, out) in [&mut self.row.re, &mut self.row.im].into_iter().enumerate() {
            for (index, half) in self.halves[0].iter().enumerate() {
                let out = &mut out[half * width..][..width];
                out.fill(0.0);
                for (row, &weight) in self.kept[numbers.clone()].iter().flatten().zip(weights) {
                    add_scaled(out, &[&row.re, &row.im][part][index * width..], weight);
                }
            }
            for half in &self.halves[1] {
                let (before, rest) = out.split_at_mut(half * width);
                let (out, after) = rest.split_at_mut(width);
                out.fill(0.0);
                let earlier = before.rchunks_exact(width).step_by(2);
                let later = after.chunks_exact(width).step_by(2);
                for ((earlier, later), weight) in earlier.zip(later).zip(MIDWAY) {
                    add_scaled(out, earlier, weight);
                    add_scaled(out, later, weight);
                }
            }
        }
        &self.row
    }
}
