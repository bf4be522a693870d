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
    spectra: Spectra<'a>,
    nodes: TimeNodes,
    /// When is summed.
    summed: SummedNodes,
    /// Half steps of the sine that are summed, and those told from them. So close (`Axes`), what the aperture's ends bring turns by less than
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
        // The next node may begin two earlier: one before itself, and at the end the last four are taken.
        self.kept[..numbers.start.saturating_sub(2)].iter_mut().for_each(|row| *row = None);
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

#[cfg(test)]
mod tests {
    use super::SpectraRows;
    use crate::aperture::Aperture;
    use crate::axes::Axes;
    use crate::law::DelayLaw;
    use crate::material::Solid;
    use crate::one_way_table::TimeNodes;
    use crate::pulse::Pulse;
    use crate::spectra::Spectra;

    /// Whatever node one begins at, the spectra are the same, no sum is made twice, and they follow sums at every node and half step.
    #[test]
    fn spectra_follow_sums_everywhere() {
        let aperture = Aperture::on_a_wedge(16);
        let solid = Solid::STEEL;
        let law = |degrees: f64| DelayLaw::new(&aperture, &solid, degrees.to_radians(), None);
        let laws: Vec<DelayLaw> = (0..9).filter_map(|i| law(45.0 + 2.0 * f64::from(i)).ok()).collect();
        let axes = Axes::new(&aperture, &solid, &laws, 60.0);
        let nodes = TimeNodes::new(&axes);
        let band = Pulse::of(&aperture).band(false);
        let rows = || {
            let spectra = Spectra::new(&aperture, &solid, &axes, &laws, band.clone());
            SpectraRows::new(spectra, &axes, nodes)
        };
        let (mut all, late) = (rows(), nodes.count / 2);
        let mut later = rows();
        let sine = |half: usize| axes.sine_start + 0.5 * half as f64 * axes.sine_step;
        let mut made = vec![false; all.kept.len()];
        for node in 0..nodes.count {
            let kept: Vec<bool> = all.kept.iter().map(Option::is_some).collect();
            all.at(node);
            for (number, row) in all.kept.iter().enumerate().filter(|(number, _)| !kept[*number]) {
                assert!(row.is_none() || !made[number], "sum {number} is made again for node {node}");
                made[number] |= row.is_some();
            }
            if node >= late {
                later.at(node);
                assert!(all.row.re == later.row.re && all.row.im == later.row.im, "node {node}");
            }
            // Towards the steepest ray, and for some elements at the first critical angle, what enters the metal changes within a
            // step of the sine: errors of -25 dB in single values, of beams in places of their own.
            let smooth = |half: &usize| (0.6..0.94).contains(&(sine(*half) / axes.kappa));
            let halves: Vec<usize> = (0..2 * axes.sines - 1).filter(smooth).collect();
            let width = all.spectra.width();
            let exact = all.spectra.at(&halves, nodes.time_us(node));
            let told = halves.iter().flat_map(|half| half * width..(half + 1) * width);
            let norm = |re: f32, im: f32| f64::from(re * re + im * im);
            let loudest = exact.re.iter().zip(&exact.im).map(|(&re, &im)| norm(re, im)).fold(0.0, f64::max);
            let worst = told
                .enumerate()
                .map(|(i, k)| norm(all.row.re[k] - exact.re[i], all.row.im[k] - exact.im[i]))
                .fold(0.0, f64::max);
            assert!(worst < 4e-3 * loudest, "node {node}: {:.1} dB", 10.0 * libm::log10(worst / loudest));
        }
        assert!(made.iter().all(|&made| made));
    }
}
