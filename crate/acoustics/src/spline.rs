//! Cubic B-splines: the little tents by which a point is laid on the grid.

/// Weights of the four nodes around a place `fraction` (0..1) past the second of them.
#[inline(always)]
pub fn weights(fraction: f32) -> [f32; 4] {
    let (f, g) = (fraction, 1.0 - fraction);
    let sixth = 1.0 / 6.0;
    [
        sixth * g * g * g,
        sixth * (4.0 - f * f * (6.0 - 3.0 * f)),
        sixth * (4.0 - g * g * (6.0 - 3.0 * g)),
        sixth * f * f * f,
    ]
}

/// First derivative of the spline of a point at `fraction`, taken along the nodes.
#[inline(always)]
pub fn slopes(fraction: f32) -> [f32; 4] {
    let (f, g) = (fraction, 1.0 - fraction);
    [0.5 * g * g, 0.5 * f * (4.0 - 3.0 * f), -(0.5 * g * (4.0 - 3.0 * g)), -(0.5 * f * f)]
}

/// Second derivative, likewise.
#[inline(always)]
pub fn curvatures(fraction: f32) -> [f32; 4] {
    let (f, g) = (fraction, 1.0 - fraction);
    [g, -2.0 + 3.0 * f, -2.0 + 3.0 * g, f]
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
            assert!((weights(f).iter().sum::<f32>() - 1.0).abs() < 1e-6);
            for k in 0..4 {
                // A point that moves forward takes weight from the nodes behind: the derivative along the nodes is
                // minus that along the point.
                let slope = -(weights(f + h)[k] - weights(f - h)[k]) / (2.0 * h);
                let curvature = (weights(f + h)[k] - 2.0 * weights(f)[k] + weights(f - h)[k]) / (h * h);
                assert!((slope - slopes(f)[k]).abs() < 1e-3, "{f} {k}");
                assert!((curvature - curvatures(f)[k]).abs() < 0.2, "{f} {k}");
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
