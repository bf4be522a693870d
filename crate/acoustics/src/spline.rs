//! Cubic B-splines: the little tents by which a point is laid on the grid.

use crate::lanes::f32x4;

/// Cubic polynomials of the four weights: constant, linear, square and cubic parts.
const PARTS: [[f32; 4]; 4] = [
    [1.0 / 6.0, 4.0 / 6.0, 1.0 / 6.0, 0.0],
    [-0.5, 0.0, 0.5, 0.0],
    [0.5, -1.0, 0.5, 0.0],
    [-1.0 / 6.0, 0.5, -0.5, 1.0 / 6.0],
];

#[inline(always)]
fn part(power: usize, factor: f32) -> f32x4 {
    f32x4::new(PARTS[power]) * factor
}

/// A place among nodes: the node before it and the fraction to the next. Places before the first node count as on it.
///
/// By way of a signed number: machines have an instruction for that, and none for a `usize`.
#[inline(always)]
pub fn split(place: f32) -> (usize, f32) {
    let node = place as i32;
    (usize::try_from(node).unwrap_or(0), place - node as f32)
}

/// Weights of the four nodes around a place `fraction` (0..1) past the second of them.
#[inline(always)]
pub fn weights(fraction: f32) -> f32x4 {
    part(0, 1.0) + (part(1, 1.0) + (part(2, 1.0) + part(3, fraction)) * fraction) * fraction
}

/// First derivative of the spline of a point at `fraction`, taken along the nodes.
#[inline(always)]
pub fn slopes(fraction: f32) -> f32x4 {
    part(1, -1.0) + (part(2, -2.0) + part(3, -3.0 * fraction)) * fraction
}

/// Second derivative, likewise.
#[inline(always)]
pub fn curvatures(fraction: f32) -> f32x4 {
    part(2, 2.0) + part(3, 6.0 * fraction)
}

/// Turns samples into spline coefficients in place, so that the spline passes through the samples. The stride of
/// the sequence is `step` values; ends continue evenly.
pub fn prefilter(values: &mut [f32], step: usize, count: usize, lanes: usize) {
    // (c[i-1] + 4 c[i] + c[i+1]) / 6 = v[i]: a tridiagonal system, eliminated once for all lanes.
    let mut factor = vec![0.0_f32; count];
    for i in 0..count {
        let upper = if i == 0 { 2.0 } else { 1.0 };
        let lower = if i + 1 == count { 2.0 } else { 1.0 };
        let before = if i == 0 { 0.0 } else { factor[i - 1] };
        let scale = 1.0 / (4.0 - lower * before);
        factor[i] = upper * scale;
        for lane in 0..lanes {
            let previous = if i == 0 { 0.0 } else { values[(i - 1) * step + lane] };
            let value = &mut values[i * step + lane];
            *value = (6.0 * *value - lower * previous) * scale;
        }
    }
    for i in (0..count - 1).rev() {
        for lane in 0..lanes {
            let next = values[(i + 1) * step + lane];
            values[i * step + lane] -= factor[i] * next;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{curvatures, prefilter, slopes, weights};

    #[test]
    fn weights_sum_to_one_and_slopes_follow() {
        let h = 1e-3;
        for f in [0.01_f32, 0.3, 0.77, 0.98] {
            assert!((weights(f).to_array().iter().sum::<f32>() - 1.0).abs() < 1e-6);
            for k in 0..4 {
                let at = |f: f32| weights(f).to_array()[k];
                // A point that moves forward takes weight from the nodes behind: the derivative along the nodes is
                // minus that along the point.
                let slope = -(at(f + h) - at(f - h)) / (2.0 * h);
                let curvature = (at(f + h) - 2.0 * at(f) + at(f - h)) / (h * h);
                assert!((slope - slopes(f).to_array()[k]).abs() < 1e-3, "{f} {k}");
                assert!((curvature - curvatures(f).to_array()[k]).abs() < 0.2, "{f} {k}");
            }
        }
    }

    #[test]
    fn prefiltered_spline_passes_through_the_samples() {
        let samples = [1.0, -2.0, 0.5, 3.0, 3.5, -1.0_f32];
        let mut c = samples;
        prefilter(&mut c, 1, 6, 1);
        for i in 1..5 {
            assert!(((c[i - 1] + 4.0 * c[i] + c[i + 1]) / 6.0 - samples[i]).abs() < 1e-5);
        }
    }
}
