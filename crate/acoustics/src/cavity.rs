//! Round cavities: drilled holes, long pores and round pores, by exact series.
//!
//! Kirchhoff's field knows neither the wave that creeps round a cavity as a Rayleigh wave nor that a small one is no
//! mirror; both are in the series. What a cavity gives back is written in the same measure as Kirchhoff's integral of
//! [`crate::kernel`], I = ∫ K exp(ik(e_i + e_j)·x) dS about its centre, so that points, rims and cavities add up: a far
//! displacement f in the polarisation of the receiver's wave is I = -√(8π/k) exp(iπ/4) f per length of a bore and -4πi f/k
//! for a ball (the far fields of the two Green's functions, and K is negative for a mirror).
//!
//! Cavities do not shadow each other, and what goes to and fro between them or between a cavity and a face is left out.

pub mod ball;
mod bessel;
pub mod cylinder;
pub(crate) mod taps;

use core::f64::consts::TAU;

use crate::complex::Complex;

/// Shapes of a cavity.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shape {
    /// A cylinder, here a piece of one.
    Bore,
    /// A sphere.
    Ball,
}

/// What a cavity answers at one frequency, per order; independent of the directions.
#[derive(Clone, Debug)]
pub struct Response {
    shape: Shape,
    wave_number: f64,
    orders: Vec<[Complex; 2]>,
    scale: f64,
}

impl Response {
    /// Of a cavity of radius `radius_mm` to shear waves of a wave number (1/mm). `kappa` is c_T/c_L.
    pub fn new(shape: Shape, kappa: f64, radius_mm: f64, wave_number: f64) -> Self {
        let ka = wave_number * radius_mm;
        let (orders, scale) = match shape {
            Shape::Bore => {
                let orders = cylinder::under_shear(kappa, ka);
                (orders.iter().map(|order| [order.shear, Complex::ZERO]).collect(), 4.0 / wave_number)
            }
            Shape::Ball => {
                let orders = ball::under_any(kappa, ka);
                let factors = orders.iter().enumerate().map(|(n, order)| ball::factors(n, order)).collect();
                (factors, -2.0 * TAU / (wave_number * wave_number))
            }
        };
        Self { shape, wave_number, orders, scale }
    }

    /// Orders that the response holds.
    pub fn orders(&self) -> usize {
        self.orders.len()
    }

    /// The response to a source and a receiver at finite distances, sum of whose reciprocals is `nearness` (1/mm): each
    /// order's wave of a near source comes late by Fresnel's phase n²/(2kr).
    #[must_use]
    pub fn near(mut self, nearness: f64) -> Self {
        for (n, order) in self.orders.iter_mut().enumerate() {
            let n = n as f64;
            let square = if self.shape == Shape::Bore { n * n } else { n * (n + 1.0) };
            let late = Complex::phasor(0.5 * square * nearness / self.wave_number);
            *order = order.map(|value| value * late);
        }
        self
    }

    /// I for directions whose angular functions are given: mm² for a ball, mm (mm² per mm of length) for a bore. Holds for
    /// waves whose polarisations are turned from their directions to the same side.
    pub fn strength(&self, angular: &[[f64; 2]]) -> Complex {
        let sum = self
            .orders
            .iter()
            .zip(angular)
            .fold(Complex::ZERO, |sum, (order, [a, b])| sum + order[0] * *a + order[1] * *b);
        sum * self.scale
    }
}

/// Angular functions of orders 0..`count` for waves that arrive from source and receiver with an angle of the given cosine
/// between them (1: the receiver is the source).
pub fn angular(shape: Shape, cosine: f64, count: usize) -> Vec<[f64; 2]> {
    match shape {
        Shape::Ball => ball::angular(-cosine, count),
        Shape::Bore => {
            let (mut before, mut here) = (-cosine, 1.0);
            (0..count)
                .map(|n| {
                    let value = [if n == 0 { here } else { 2.0 * here }, 0.0];
                    (before, here) = (here, -2.0 * cosine * here - before);
                    value
                })
                .collect()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Response, Shape, angular};
    use crate::complex::Complex;
    use crate::interface::FreeSurface;
    use crate::kernel::{ShearWave, plane_response};
    use crate::material::Solid;

    /// Kirchhoff's integral over the lit wall about the centre, for waves at ±`half` to the direction of their sum.
    fn kirchhoff(shape: Shape, radius: f64, wave_number: f64, half: f64) -> Complex {
        let kappa = Solid::STEEL.speed_ratio();
        let wave = |angle: f64| ShearWave::new(libm::sin(angle), libm::cos(angle), 1.0);
        let (i, j) = (wave(half), wave(-half));
        let mut sum = Complex::ZERO;
        let rows = if shape == Shape::Bore { 1 } else { 200 };
        for row in 0..rows {
            let y = if shape == Shape::Bore { 0.0 } else { -1.0 + 2.0 * (f64::from(row) + 0.5) / 200.0 };
            let ring = f64::sqrt(1.0 - y * y);
            for column in 0..800 {
                let angle = core::f64::consts::TAU * f64::from(column) / 800.0;
                let n = [ring * libm::sin(angle), y, ring * libm::cos(angle)];
                let facing = |w: &ShearWave<f64>| w.e[0] * n[0] + w.e[1] * n[2];
                if facing(&i) >= 0.0 || facing(&j) >= 0.0 {
                    continue;
                }
                let area = if shape == Shape::Bore {
                    radius * core::f64::consts::TAU / 800.0
                } else {
                    radius * radius * 2.0 / 200.0 * core::f64::consts::TAU / 800.0
                };
                let there = plane_response(kappa * kappa, i, j, n);
                let back = plane_response(kappa * kappa, j, i, n);
                let k = Complex::new(0.5 * (there.0 + back.0), 0.5 * (there.1 + back.1));
                let phase = wave_number * radius * (facing(&i) + facing(&j));
                sum += k * Complex::phasor(phase) * area;
            }
        }
        sum
    }

    /// Mean of the series over wave numbers about `middle`, its mirror-like echo's delay taken out: the creeping wave drops
    /// out. With it the mean of Kirchhoff's integral if wanted, and of the ray's height 2√(πa cos/k) |R| or 2πa |R|/k.
    fn means(shape: Shape, middle: f64, angle: f64, with_kirchhoff: bool) -> (Complex, Complex, f64) {
        use core::f64::consts::PI;
        let delay = 2.0 * libm::cos(angle);
        let height = FreeSurface::new(&Solid::STEEL, libm::sin(angle)).shear.abs();
        let (mut series, mut mirror, mut ray, mut count) = (Complex::ZERO, Complex::ZERO, 0.0, 0.0);
        for step in -40..=40 {
            let k = middle + 0.25 * f64::from(step);
            let window = libm::exp(-0.5 * f64::from(step * step) / 256.0);
            let turn = Complex::phasor(k * delay) * window;
            let response = Response::new(shape, Solid::STEEL.speed_ratio(), 1.0, k);
            let functions = angular(shape, libm::cos(2.0 * angle), response.orders());
            series += response.strength(&functions) * turn;
            if with_kirchhoff {
                mirror += kirchhoff(shape, 1.0, k, angle) * turn;
            }
            let specular = match shape {
                Shape::Bore => 2.0 * f64::sqrt(PI * libm::cos(angle) / k),
                Shape::Ball => 2.0 * PI / k,
            };
            ray += window * height * specular;
            count += window;
        }
        (series * (1.0 / count), mirror * (1.0 / count), ray / count)
    }

    /// A large cavity is a mirror.
    #[test]
    fn large_cavities_are_mirrors() {
        for shape in [Shape::Bore, Shape::Ball] {
            for (angle, tolerance) in [(0.0_f64, 0.01), (15.0, 0.03), (45.0, 0.08)] {
                let (series, _, ray) = means(shape, 300.0, angle.to_radians(), false);
                assert!((series.abs() / ray - 1.0).abs() < tolerance, "{shape:?} {angle}: {series:?} {ray}");
            }
        }
    }

    /// Sign and phase are those of the integral over a wall's points, where that is good: not where the wall is met near the
    /// longitudinal critical angle.
    #[test]
    fn cavities_and_points_add_up() {
        for shape in [Shape::Bore, Shape::Ball] {
            for (angle, tolerance) in [(0.0_f64, 0.06), (45.0, 0.3)] {
                let (series, mirror, _) = means(shape, 40.0, angle.to_radians(), true);
                let error = (series - mirror).abs() / mirror.abs();
                assert!(error < tolerance, "{shape:?} {angle}: {series:?} {mirror:?}");
            }
        }
    }
}
