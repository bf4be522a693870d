//! Bessel functions of whole order, by the recurrences that are stable: J downwards (Miller's method), Y upwards.
//! Abramowitz and Stegun 9.1.27, 9.12 and 10.1.19, 10.5 (from memory).

use crate::complex::Complex;

/// Values of one order and their derivative with respect to the argument.
#[derive(Clone, Copy, Debug)]
pub struct Waves {
    /// Regular function: J or j.
    pub regular: Complex,
    /// Its derivative.
    pub regular_slope: Complex,
    /// Outgoing function: J + iY or j + iy.
    pub outgoing: Complex,
    /// Its derivative.
    pub outgoing_slope: Complex,
}

/// Ratios of the regular functions from order 0 to `last`, not yet scaled, and the sum that Miller's method scales
/// cylindrical ones with, J₀ + 2 Σ J₂ₖ = 1. `shift` is 0 for cylindrical and 1 for spherical functions:
/// Z(n-1) + Z(n+1) = (2n + shift) Z(n)/x.
fn downwards(x: f64, last: usize, shift: f64) -> (Vec<f64>, f64) {
    let above = (last as f64).max(x);
    let start = above as usize + 16 + f64::sqrt(60.0 * above) as usize;
    let mut values = vec![0.0; last + 1];
    let (mut next, mut here, mut sum) = (0.0, 1e-250, 0.0);
    for n in (0..=start).rev() {
        // `here` is the value of order n.
        if n <= last {
            values[n] = here;
        }
        if n.is_multiple_of(2) {
            sum += if n == 0 { here } else { 2.0 * here };
        }
        let before = (2.0 * n as f64 + shift) / x * here - next;
        (next, here) = (here, before);
        if here.abs() > 1e200 {
            (next, here, sum) = (next * 1e-250, here * 1e-250, sum * 1e-250);
            values[n.min(last + 1)..].iter_mut().for_each(|value| *value *= 1e-250);
        }
    }
    (values, sum)
}

/// The second solution from order 0 to `last`, from its first two values.
fn upwards(x: f64, last: usize, shift: f64, first: [f64; 2]) -> Vec<f64> {
    let mut values = first.to_vec();
    for n in 1..last {
        values.push((2.0 * n as f64 + shift) / x * values[n] - values[n - 1]);
    }
    values
}

fn join(regular: &[f64], second: &[f64], x: f64, up: f64) -> Vec<Waves> {
    // Z'(n) = Z(n-1) - (n + up)/x Z(n), and for order 0: -Z(1).
    let slope = |values: &[f64], n: usize| {
        if n == 0 { -values[1] } else { values[n - 1] - (n as f64 + up) / x * values[n] }
    };
    (0..regular.len() - 1)
        .map(|n| {
            let (j, y) = (regular[n], second[n]);
            let (dj, dy) = (slope(regular, n), slope(second, n));
            Waves {
                regular: Complex::new(j, 0.0),
                regular_slope: Complex::new(dj, 0.0),
                outgoing: Complex::new(j, y),
                outgoing_slope: Complex::new(dj, dy),
            }
        })
        .collect()
}

/// Cylindrical functions of orders 0..`count` at x > 0.
pub fn cylindrical(x: f64, count: usize) -> Vec<Waves> {
    let (mut regular, sum) = downwards(x, count.max(1), 0.0);
    regular.iter_mut().for_each(|value| *value /= sum);
    let second = upwards(x, count.max(1), 0.0, [libm::y0(x), libm::y1(x)]);
    join(&regular, &second, x, 0.0)
}

/// Spherical functions of orders 0..`count` at x > 0.
pub fn spherical(x: f64, count: usize) -> Vec<Waves> {
    let (s, c) = (libm::sin(x), libm::cos(x));
    let (mut regular, _) = downwards(x, count.max(1), 1.0);
    let (first, second) = (s / x, s / (x * x) - c / x);
    // Scaled by the larger of the first two, for either may be zero.
    let scale = if first.abs() > second.abs() { first / regular[0] } else { second / regular[1] };
    regular.iter_mut().for_each(|value| *value *= scale);
    let second = upwards(x, count.max(1), 1.0, [-c / x, -c / (x * x) - s / x]);
    join(&regular, &second, x, 1.0)
}

#[cfg(test)]
mod tests {
    use super::{cylindrical, spherical};

    /// libm's own jn and yn, which take another way.
    #[test]
    fn cylindrical_functions_are_those_of_libm() {
        for x in [0.05, 0.7, 2.404_825_557_695_773, 7.0, 31.0] {
            for (n, waves) in cylindrical(x, 24).iter().enumerate() {
                let (j, y) = (libm::jn(n as i32, x), libm::yn(n as i32, x));
                assert!((waves.regular.re - j).abs() < 1e-11 * j.abs() + 1e-14, "J{n}({x}): {waves:?} {j}");
                assert!((waves.outgoing.im - y).abs() < 1e-10 * y.abs() + 1e-13, "Y{n}({x}): {waves:?} {y}");
            }
        }
    }

    /// Wronskians: 2/(πx) and 1/x² (Abramowitz and Stegun 9.1.16, 10.1.6).
    #[test]
    fn wronskians() {
        for x in [0.1, 1.0, core::f64::consts::PI, 12.0, 40.0] {
            let wronskian =
                |w: &super::Waves| w.regular.re * w.outgoing_slope.im - w.regular_slope.re * w.outgoing.im;
            for waves in cylindrical(x, 20) {
                let expected = 2.0 / (core::f64::consts::PI * x);
                assert!((wronskian(&waves) / expected - 1.0).abs() < 1e-10, "{x}: {waves:?}");
            }
            for waves in spherical(x, 20) {
                assert!((wronskian(&waves) * x * x - 1.0).abs() < 1e-10, "{x}: {waves:?}");
            }
        }
    }
}
