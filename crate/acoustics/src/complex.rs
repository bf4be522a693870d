//! Complex numbers, just enough for plane waves and beam fields.

use core::ops::{Add, AddAssign, Div, Mul, Neg, Sub};

/// Real and imaginary part in single precision: what the frame loop computes with.
pub(crate) type Complex32 = [f32; 2];

/// Product of two complex numbers in single precision.
#[inline(always)]
pub(crate) fn times(a: Complex32, b: Complex32) -> Complex32 {
    [a[0] * b[0] - a[1] * b[1], a[0] * b[1] + a[1] * b[0]]
}

/// A complex number in double precision.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Complex {
    /// Real part.
    pub re: f64,
    /// Imaginary part.
    pub im: f64,
}

impl Complex {
    /// 0.
    pub const ZERO: Self = Self::new(0.0, 0.0);
    /// 1.
    pub const ONE: Self = Self::new(1.0, 0.0);
    /// i.
    pub const I: Self = Self::new(0.0, 1.0);

    /// re + i im.
    pub const fn new(re: f64, im: f64) -> Self {
        Self { re, im }
    }

    /// exp(iφ), φ in radians.
    pub fn phasor(phase: f64) -> Self {
        let (sine, cosine) = libm::sincos(phase);
        Self::new(cosine, sine)
    }

    /// Square root of a real number: positive, or on the positive imaginary axis for negative ones. With the time
    /// factor exp(-iωt) that is the root that decays away from a boundary.
    pub fn sqrt_real(x: f64) -> Self {
        if x < 0.0 { Self::new(0.0, f64::sqrt(-x)) } else { Self::new(f64::sqrt(x), 0.0) }
    }

    /// Complex conjugate.
    pub fn conj(self) -> Self {
        Self::new(self.re, -self.im)
    }

    /// Squared magnitude.
    pub fn norm(self) -> f64 {
        self.re * self.re + self.im * self.im
    }

    /// Magnitude.
    pub fn abs(self) -> f64 {
        f64::sqrt(self.norm())
    }

    /// Phase in radians, -π..π.
    pub fn arg(self) -> f64 {
        libm::atan2(self.im, self.re)
    }

    /// Square.
    pub fn square(self) -> Self {
        self * self
    }
}

impl Add for Complex {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        Self::new(self.re + o.re, self.im + o.im)
    }
}
impl AddAssign for Complex {
    fn add_assign(&mut self, o: Self) {
        *self = *self + o;
    }
}
impl Sub for Complex {
    type Output = Self;
    fn sub(self, o: Self) -> Self {
        Self::new(self.re - o.re, self.im - o.im)
    }
}
impl Neg for Complex {
    type Output = Self;
    fn neg(self) -> Self {
        Self::new(-self.re, -self.im)
    }
}
impl Mul for Complex {
    type Output = Self;
    fn mul(self, o: Self) -> Self {
        Self::new(self.re * o.re - self.im * o.im, self.re * o.im + self.im * o.re)
    }
}
impl Mul<f64> for Complex {
    type Output = Self;
    fn mul(self, s: f64) -> Self {
        Self::new(self.re * s, self.im * s)
    }
}
impl Mul<Complex> for f64 {
    type Output = Complex;
    fn mul(self, c: Complex) -> Complex {
        c * self
    }
}
impl Div for Complex {
    type Output = Self;
    fn div(self, o: Self) -> Self {
        (self * o.conj()) * (1.0 / o.norm())
    }
}
