//! Smooth seeded irregularity: uniform cubic B-splines through random values.

use acoustics::seed::Stream;

/// Weights of the four values around a place, for its distance `t` (0..1) past the second.
fn weights(t: f64) -> [f64; 4] {
    let r = 1.0 - t;
    [
        r * r * r / 6.0,
        (3.0 * t * t * t - 6.0 * t * t + 4.0) / 6.0,
        (3.0 * r * r * r - 6.0 * r * r + 4.0) / 6.0,
        t * t * t / 6.0,
    ]
}

/// Index of the first of four values and the weights for a place `s` (in steps) among `count` values.
fn place(s: f64, count: usize) -> (usize, [f64; 4]) {
    let last = count - 4;
    let cell = s.max(0.0).min(last as f64 + 1.0);
    let index = (cell as usize).min(last);
    (index, weights((cell - index as f64).min(1.0)))
}

/// A smooth function of one length with values within -1..=1, free to wander about once a step.
#[derive(Clone, Debug)]
pub(crate) struct Smooth {
    values: Vec<f64>,
    step_mm: f64,
}

impl Smooth {
    /// Over 0..=`length_mm`; constant outside.
    pub(crate) fn new(stream: &mut Stream, length_mm: f64, step_mm: f64) -> Self {
        let count = libm::ceil(length_mm / step_mm) as usize + 4;
        Self { values: (0..count).map(|_| stream.between(-1.0, 1.0)).collect(), step_mm }
    }

    pub(crate) fn at(&self, s_mm: f64) -> f64 {
        let (index, weights) = place(s_mm / self.step_mm, self.values.len());
        weights.iter().zip(&self.values[index..]).map(|(w, v)| w * v).sum()
    }
}

/// A smooth function of two lengths with values within -1..=1.
#[derive(Clone, Debug)]
pub(crate) struct Smooth2 {
    rows: Vec<Vec<f64>>,
    step_mm: f64,
}

impl Smooth2 {
    /// Over 0..=`size_mm[0]` by 0..=`size_mm[1]`; constant outside.
    pub(crate) fn new(stream: &mut Stream, size_mm: [f64; 2], step_mm: f64) -> Self {
        let count = size_mm.map(|size| libm::ceil(size / step_mm) as usize + 4);
        let mut row = || (0..count[1]).map(|_| stream.between(-1.0, 1.0)).collect();
        Self { rows: (0..count[0]).map(|_| row()).collect(), step_mm }
    }

    pub(crate) fn at(&self, s_mm: f64, t_mm: f64) -> f64 {
        let (row, across) = place(s_mm / self.step_mm, self.rows.len());
        let (column, along) = place(t_mm / self.step_mm, self.rows[0].len());
        across
            .iter()
            .zip(&self.rows[row..])
            .map(|(a, values)| a * along.iter().zip(&values[column..]).map(|(w, v)| w * v).sum::<f64>())
            .sum()
    }
}

/// How far a ragged edge falls short of its box along a length: 0 where it touches, 1 where it is farthest away.
#[derive(Clone, Debug)]
pub(crate) struct Ragged {
    smooth: Smooth,
    low: f64,
    range: f64,
}

/// Where the edge is sure to touch its box, as a share of the length.
const TOUCHES_WITHIN: [f64; 2] = [0.3, 0.7];
/// Places at which the touching point is looked for.
const LOOKED_AT: u32 = 400;

impl Ragged {
    pub(crate) fn new(stream: &mut Stream, length_mm: f64, step_mm: f64) -> Self {
        let smooth = Smooth::new(stream, length_mm, step_mm);
        let [from, to] = TOUCHES_WITHIN.map(|share| share * length_mm);
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for i in 0..=LOOKED_AT {
            let value = smooth.at(from + (to - from) * f64::from(i) / f64::from(LOOKED_AT));
            (low, high) = (low.min(value), high.max(value));
        }
        Self { smooth, low, range: (high - low).max(1e-6) }
    }

    pub(crate) fn at(&self, s_mm: f64) -> f64 {
        ((self.smooth.at(s_mm) - self.low) / self.range).clamp(0.0, 1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spline_is_smooth_and_bounded() {
        let smooth = Smooth::new(&mut Stream::new(3, "test"), 50.0, 2.0);
        let step = 0.001;
        for i in 0..52_000 {
            let s = f64::from(i) * step - 1.0;
            assert!(smooth.at(s).abs() <= 1.0);
            assert!((smooth.at(s + step) - smooth.at(s)).abs() < 0.002, "a jump at {s}");
        }
        // Of two values one step apart the spline shows the difference: it is not constant.
        assert!((0..25).any(|i| (smooth.at(f64::from(i) * 2.0) - smooth.at(0.0)).abs() > 0.3));
    }

    #[test]
    fn weights_sum_to_one() {
        for i in 0..=10 {
            assert!((weights(f64::from(i) / 10.0).iter().sum::<f64>() - 1.0).abs() < 1e-15);
        }
    }

    #[test]
    fn ragged_edge_touches_its_box() {
        let ragged = Ragged::new(&mut Stream::new(5, "test"), 20.0, 3.0);
        let low = (0..=2000).map(|i| ragged.at(f64::from(i) * 0.01)).fold(1.0, f64::min);
        assert!(low < 1e-3);
    }
}
