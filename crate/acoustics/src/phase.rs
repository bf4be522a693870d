//! Phasors and decays in single precision, one or several at once, the same bits everywhere: only +, - and ×.

use core::ops::{Add, Mul, Sub};

use crate::lanes::f32x4;

/// One number or several side by side.
pub trait Numbers:
    Copy
    + Add<Output = Self>
    + Add<f32, Output = Self>
    + Sub<Output = Self>
    + Sub<f32, Output = Self>
    + Mul<Output = Self>
    + Mul<f32, Output = Self>
{
}

impl Numbers for f32 {}
impl Numbers for f32x4 {}

/// c₀ + y (c₁ + y (c₂ + …)).
#[inline(always)]
fn polynomial<T: Numbers, const N: usize>(coefficients: [f32; N], y: T) -> T {
    const { assert!(N > 1) };
    let [rest @ .., next, last] = &coefficients[..] else { return y };
    rest.iter().rev().fold(y * *last + *next, |sum, &next| sum * y + next)
}

/// cos and sin of 2π × `cycles`. The nearest whole number is taken off by adding and subtracting 1.5·2²³ (exact in
/// round-to-nearest), half the angle goes through Taylor polynomials and is then doubled. Error below 2e-6 for up to
/// 1000 cycles given exactly.
#[inline(always)]
pub fn phasor<T: Numbers>(cycles: T) -> [T; 2] {
    const ROUND: f32 = 12_582_912.0;
    let whole = (cycles + ROUND) - ROUND;
    let x = (cycles - whole) * core::f32::consts::PI;
    let y = x * x;
    let s = x * polynomial(
        [1.0, -1.0 / 6.0, 1.0 / 120.0, -1.0 / 5040.0, 1.0 / 362_880.0, -1.0 / 39_916_800.0],
        y,
    );
    let c = polynomial([1.0, -0.5, 1.0 / 24.0, -1.0 / 720.0, 1.0 / 40320.0, -1.0 / 3_628_800.0], y);
    [c * c - s * s, s * c * 2.0]
}

/// Largest exponent of [`decay`]: 555 dB.
pub const LARGEST_DECAY: f64 = 64.0;

/// exp(-`exponent`), from 0 to [`LARGEST_DECAY`]: a Taylor polynomial of a part of it, to its 64th power. Error below 2e-5 of what it
/// is up to 40 and below 1e-3 beyond.
#[inline(always)]
pub fn decay<T: Numbers>(exponent: T) -> T {
    let square = |x: T| x * x;
    let root = polynomial(
        [1.0, -1.0, 0.5, -1.0 / 6.0, 1.0 / 24.0, -1.0 / 120.0, 1.0 / 720.0, -1.0 / 5040.0, 1.0 / 40320.0],
        exponent * (1.0 / 64.0),
    );
    square(square(square(square(square(square(root))))))
}

#[cfg(test)]
mod tests {
    use super::{decay, phasor};
    use crate::lanes::f32x4;

    #[test]
    fn follows_libm() {
        for i in 0..4000 {
            let cycles = i as f32 * 0.187_5 - 300.0;
            let exact = f64::from(cycles) * core::f64::consts::TAU;
            let [c, s] = phasor(cycles);
            assert!(
                (f64::from(c) - libm::cos(exact)).abs() < 2e-6
                    && (f64::from(s) - libm::sin(exact)).abs() < 2e-6
            );
            assert_eq!(phasor(f32x4::splat(cycles)).map(|four| four.to_array()[i % 4]), [c, s]);
            let exponent = i as f32 * 0.016;
            let exact = libm::exp(-f64::from(exponent));
            assert!(
                (f64::from(decay(exponent)) - exact).abs()
                    < if exponent > 40.0 { 1e-3 } else { 2e-5 } * exact
            );
        }
    }
}
