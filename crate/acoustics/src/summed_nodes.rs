//! Times at which fields are summed from elements. Further out they change slowly, and those of the times between are told from
//! four of these.

use core::f64::consts::TAU;

use crate::aperture::Aperture;
use crate::axes::Axes;
use crate::field::Elements;
use crate::one_way_table::TimeNodes;

/// Farthest that a wave from an end of the aperture turns against that of its middle from one of these times to the next, radians, at
/// the centre of the band, where the energy is, and at the first and the last sine. A cubic follows the ends to a tenth then, and a
/// beam, to which all elements add, far better: over the thousand configurations of `tests/random_configurations.rs` all times and
/// these tell the same to 0.02 dB. With 2.0 long apertures lose 0.06 dB.
const LARGEST_TURN: f64 = 1.4;
/// Most time nodes from one of these times to the next.
const LARGEST_STEP: usize = 16;
/// Farthest that the path grows from one to the next, against what it was: waves spread. With 0.3 a small pore at 30 mm loses 0.02 dB.
const LARGEST_SHARE: f64 = 0.2;
/// Paths in the metal from which on this holds, mm: well past the shortest that is followed (`Axes::centre_ray`).
const CLOSE_MM: f64 = 6.0;

/// Time nodes that are summed, in rising order; the first and the last of the grid are.
#[derive(Debug)]
pub struct SummedNodes(Vec<usize>);

impl SummedNodes {
    /// Of an aperture on its grid.
    pub fn new(sources: &Elements, aperture: &Aperture, axes: &Axes, nodes: &TimeNodes) -> Self {
        let last_sine = axes.sine_start + (axes.sines - 1) as f64 * axes.sine_step;
        let sines = [axes.sine_start, last_sine.min(axes.largest_sine())];
        let lags: Vec<[[f64; 2]; 2]> = (0..nodes.count)
            .map(|node| {
                sines.map(|wedge_sine| {
                    let (sine, path) = axes.centre_ray(wedge_sine, nodes.time_us(node));
                    let [along, depth] = axes.place(sine * axes.kappa, sine, path);
                    sources.end_lags_us(along, depth)
                })
            })
            .collect();
        let turns_little = |from: usize, to: usize| {
            let ends = lags[from].as_flattened().iter().zip(lags[to].as_flattened());
            ends.map(|(a, b)| TAU * aperture.frequency_mhz * (a - b).abs()).all(|turn| turn < LARGEST_TURN)
        };
        let path = |node: usize| axes.centre_ray(sines[1], nodes.time_us(node)).1;
        let mut summed = vec![0];
        let mut at = 0;
        while at + 1 < nodes.count {
            let fits = |step: &usize| {
                at + step < nodes.count
                    && path(at) > CLOSE_MM
                    && path(at + step) - path(at) < LARGEST_SHARE * path(at)
                    && turns_little(at, at + step)
            };
            at += (2..=LARGEST_STEP).rev().find(fits).unwrap_or(1);
            summed.push(at);
        }
        // Too few to tell any from.
        Self(if summed.len() < 4 { (0..nodes.count).collect() } else { summed })
    }

    /// How many there are.
    pub fn count(&self) -> usize {
        self.0.len()
    }

    /// Number of the last that is not after a node.
    pub fn before(&self, node: usize) -> usize {
        self.0.partition_point(|&summed| summed <= node).saturating_sub(1)
    }

    /// The time node of a number.
    pub fn node(&self, number: usize) -> usize {
        self.0[number]
    }

    /// How many lie before a place among the time nodes, those between two of them counted in parts.
    pub fn up_to(&self, place: f32) -> f32 {
        let before = self.before(place as usize);
        let from = self.0[before];
        let step = self.0.get(before + 1).map_or(1, |next| next - from);
        before as f32 + (place - from as f32) / step as f32
    }

    /// What the field at a node is told from.
    pub fn around(&self, node: usize, nodes: &TimeNodes) -> Around {
        let before = self.before(node);
        if self.0[before] == node {
            return Around::Itself(before);
        }
        let first = before.saturating_sub(1).min(self.0.len() - 4);
        let times: [f64; 4] = core::array::from_fn(|i| nodes.time_us(self.0[first + i]));
        let time = nodes.time_us(node);
        // The cubic through all four (Lagrange).
        let weight = |i: usize| {
            let others = (0..4).filter(|&other| other != i);
            others.fold(1.0, |product, other| product * (time - times[other]) / (times[i] - times[other]))
                as f32
        };
        Around::Four(first, core::array::from_fn(weight))
    }
}

/// Summed nodes that the field at a node is told from, by number.
#[derive(Clone, Copy, Debug)]
pub enum Around {
    /// It is one.
    Itself(usize),
    /// The first of four in a row, and their weights.
    Four(usize, [f32; 4]),
}

impl Around {
    /// How much each counts.
    pub fn weights(&self) -> &[f32] {
        match self {
            Self::Itself(_) => &[1.0],
            Self::Four(_, weights) => weights,
        }
    }

    /// Their numbers.
    pub fn numbers(&self) -> core::ops::Range<usize> {
        match *self {
            Self::Itself(number) => number..number + 1,
            Self::Four(first, _) => first..first + 4,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{CLOSE_MM, SummedNodes};
    use crate::aperture::{Aperture, Coupling};
    use crate::axes::Axes;
    use crate::field::Elements;
    use crate::law::DelayLaw;
    use crate::material::Solid;
    use crate::one_way_table::TimeNodes;

    fn grid(aperture: &Aperture, solid: &Solid, range_mm: f64) -> (Axes, TimeNodes, SummedNodes) {
        let law = |angle: f64| DelayLaw::new(aperture, solid, angle.to_radians(), None).expect("a law");
        let axes = Axes::new(aperture, solid, &[law(40.0), law(70.0)], range_mm);
        let nodes = TimeNodes::new(&axes);
        let summed = SummedNodes::new(&Elements::new(aperture, solid), aperture, &axes, &nodes);
        (axes, nodes, summed)
    }

    /// Close to the array all of them are, far from it few; a long array's field changes further out. Whatever the array and the metal,
    /// first and last are among them, and every node has what it is told from, its weights adding up to 1.
    #[test]
    fn fewer_where_the_field_changes_slowly() {
        let bare = Aperture {
            coupling: Coupling::Bare,
            wedge_angle: 0.0,
            first_height_mm: 0.0,
            ..Aperture::on_a_wedge(16)
        };
        let titanium = Solid { longitudinal_mm_per_us: 6.1, shear_mm_per_us: 3.125, ..Solid::STEEL };
        let [one, short, middle, long, longest] = [1, 16, 32, 64, 128].map(Aperture::on_a_wedge);
        let [low, high] =
            [1.0, 15.0].map(|frequency_mhz| Aperture { frequency_mhz, ..Aperture::on_a_wedge(32) });
        let mut counts = Vec::new();
        for (aperture, solid, range_mm) in [
            (&short, Solid::STEEL, 120.0),
            (&middle, Solid::STEEL, 120.0),
            (&long, Solid::STEEL, 120.0),
            (&longest, Solid::STEEL, 120.0),
            (&one, Solid::STEEL, 60.0),
            (&short, Solid::STEEL, 5.0),
            (&short, titanium, 600.0),
            (&low, titanium, 120.0),
            (&high, Solid::STEEL, 120.0),
            (&bare, Solid::STEEL, 120.0),
        ] {
            let (axes, nodes, summed) = grid(aperture, &solid, range_mm);
            let steepest = axes.sine_start + (axes.sines - 1) as f64 * axes.sine_step;
            let steepest = steepest.min(axes.largest_sine());
            let close = |node: &usize| axes.centre_ray(steepest, nodes.time_us(*node)).1 < CLOSE_MM;
            assert!((0..nodes.count).filter(close).all(|node| summed.0.contains(&node)));
            assert_eq!((summed.0[0], summed.0.last()), (0, Some(&(nodes.count - 1))));
            assert!(summed.0.is_sorted_by(|a, b| a < b));
            let mut before = -1.0;
            for node in 0..nodes.count {
                let around = summed.around(node, &nodes);
                assert!(around.numbers().end <= summed.count());
                assert!((around.weights().iter().sum::<f32>() - 1.0).abs() < 1e-5);
                let up_to = summed.up_to(node as f32);
                assert!(up_to > before && (up_to.fract() == 0.0) == summed.0.contains(&node), "{node}");
                before = up_to;
            }
            counts.push(summed.count());
        }
        assert!(counts[..3].is_sorted() && counts[2] < 50, "{counts:?}");
    }

    /// The weights hit a cubic wherever they are.
    #[test]
    fn a_cubic_is_told_exactly() {
        let (_, nodes, summed) = grid(&Aperture::on_a_wedge(32), &Solid::STEEL, 120.0);
        for node in 0..nodes.count {
            let around = summed.around(node, &nodes);
            let cubic = |node: usize| {
                let x = nodes.time_us(node) / nodes.time_us(nodes.count - 1);
                1.0 - 2.0 * x + 3.0 * x * x * x
            };
            let told = around
                .numbers()
                .zip(around.weights())
                .fold(0.0, |sum, (number, &weight)| sum + f64::from(weight) * cubic(summed.node(number)));
            assert!((told - cubic(node)).abs() < 1e-6, "{node}: {told} for {}", cubic(node));
        }
    }
}
