//! A cylindrical void in plane strain: waves of each order in the angle, coupled at the stress-free wall.
//!
//! Displacement ∇φ + ∇×(ψ ŷ), φ and ψ as sums of cylindrical waves exp(inα); both tractions vanish at the wall (Pao and
//! Mow, Diffraction of Elastic Waves and Dynamic Stress Concentrations, 1973, from memory; derived anew).

use core::f64::consts::{FRAC_PI_4, PI};

use super::bessel::{self, Waves};
use crate::complex::Complex;

/// Tractions of one wave at the wall over μ/a²: normal and tangential, the tangential one without its factor i.
struct Traction {
    normal: Complex,
    tangential: Complex,
}

/// Of φ = Z(x), with y = k_T a: 2n² - y² and so on.
fn longitudinal(n: f64, x: f64, y: f64, z: Complex, slope: Complex) -> Traction {
    Traction {
        normal: z * (2.0 * n * n - y * y) - slope * (2.0 * x),
        tangential: (slope * x - z) * (2.0 * n),
    }
}

/// Of ψ = Z(y), its normal part without its factor i.
fn shear(n: f64, y: f64, z: Complex, slope: Complex) -> Traction {
    Traction {
        normal: (slope * y - z) * (2.0 * n),
        tangential: z * (y * y - 2.0 * n * n) + slope * (2.0 * y),
    }
}

/// What goes out per order under one kind of incident wave, relative to the incident wave of that order.
#[derive(Clone, Copy, Debug)]
pub struct Order {
    /// Shear wave out.
    pub shear: Complex,
    /// Longitudinal wave out.
    pub longitudinal: Complex,
}

/// Orders that matter at k_T a.
pub fn orders(kt_a: f64) -> usize {
    (kt_a + 4.0 * libm::cbrt(kt_a) + 7.0) as usize
}

/// Waves at the wall and the determinant of the two conditions, per order.
struct Wall {
    n: f64,
    slow: Waves,
    fast: Waves,
    x: f64,
    y: f64,
}

impl Wall {
    fn all(kappa: f64, kt_a: f64) -> impl Iterator<Item = Self> {
        let (x, y, count) = (kappa * kt_a, kt_a, orders(kt_a));
        bessel::cylindrical(y, count)
            .into_iter()
            .zip(bessel::cylindrical(x, count))
            .enumerate()
            .map(move |(n, (slow, fast))| Self { n: n as f64, slow, fast, x, y })
    }

    /// Outgoing waves that cancel `incident` at the wall. With the factors i left out above, φ's tangential traction
    /// and ψ's normal one carry i: the shear amplitude is found as it is, the longitudinal one times i.
    fn answer(&self, incident: &Traction, of_shear: bool) -> Order {
        let (h, w) = (&self.fast, &self.slow);
        let p = longitudinal(self.n, self.x, self.y, h.outgoing, h.outgoing_slope);
        let s = shear(self.n, self.y, w.outgoing, w.outgoing_slope);
        // p.normal A + i s.normal B = -(i) incident.normal;  i p.tangential A + s.tangential B = -incident.tangential.
        let determinant = p.normal * s.tangential + s.normal * p.tangential;
        if of_shear {
            let b = -(p.normal * incident.tangential + p.tangential * incident.normal) / determinant;
            let a = (s.normal * incident.tangential - s.tangential * incident.normal) / determinant;
            Order { shear: b, longitudinal: Complex::I * a }
        } else {
            let a = -(s.tangential * incident.normal + s.normal * incident.tangential) / determinant;
            let b = (p.tangential * incident.normal - p.normal * incident.tangential) / determinant;
            Order { shear: Complex::I * b, longitudinal: a }
        }
    }
}

/// Under a shear wave. `kappa` is c_T/c_L.
pub fn under_shear(kappa: f64, kt_a: f64) -> Vec<Order> {
    Wall::all(kappa, kt_a)
        .map(|wall| {
            let w = &wall.slow;
            wall.answer(&shear(wall.n, wall.y, w.regular, w.regular_slope), true)
        })
        .collect()
}

/// Under a longitudinal wave.
pub fn under_longitudinal(kappa: f64, kt_a: f64) -> Vec<Order> {
    Wall::all(kappa, kt_a)
        .map(|wall| {
            let w = &wall.fast;
            wall.answer(&longitudinal(wall.n, wall.x, wall.y, w.regular, w.regular_slope), false)
        })
        .collect()
}

/// Far displacement of a shear wave out, f exp(ikr)/√r per unit of displacement in, over the root of the radius; `turn`
/// is the angle from the direction of incidence to that of the outgoing wave (π is straight back).
pub fn shear_amplitude(orders: &[Order], kt_a: f64, turn: f64) -> Complex {
    even_sum(orders.iter().map(|order| order.shear), turn) * amplitude(kt_a)
}

/// Longitudinal wave out under a longitudinal wave, likewise.
pub fn longitudinal_amplitude(orders: &[Order], kl_a: f64, turn: f64) -> Complex {
    even_sum(orders.iter().map(|order| order.longitudinal), turn) * amplitude(kl_a)
}

/// Longitudinal wave out under a shear wave: odd in the angle. Over the root of the radius, displacement to displacement.
pub fn converted_amplitude(orders: &[Order], kappa: f64, kt_a: f64, turn: f64) -> Complex {
    let sum = orders.iter().enumerate().skip(1).fold(Complex::ZERO, |sum, (n, order)| {
        // exp(inα) - exp(-inα).
        sum + order.longitudinal * Complex::new(0.0, 2.0 * libm::sin(n as f64 * turn))
    });
    sum * amplitude(kappa * kt_a) * kappa
}

fn amplitude(ka: f64) -> Complex {
    Complex::phasor(-FRAC_PI_4) * f64::sqrt(2.0 / (PI * ka))
}

fn even_sum(orders: impl Iterator<Item = Complex>, turn: f64) -> Complex {
    orders.enumerate().fold(Complex::ZERO, |sum, (n, value)| {
        sum + value * (if n == 0 { 1.0 } else { 2.0 * libm::cos(n as f64 * turn) })
    })
}

#[cfg(test)]
mod tests {
    use super::{shear_amplitude, under_longitudinal, under_shear};
    use crate::material::Solid;

    /// What comes in goes out, order by order.
    #[test]
    fn energy_is_kept() {
        let kappa = Solid::STEEL.speed_ratio();
        for kt_a in [0.1, 1.0, 5.8, 14.6, 40.0] {
            for (n, (s, l)) in
                under_shear(kappa, kt_a).iter().zip(under_longitudinal(kappa, kt_a)).enumerate()
            {
                let out = |same: crate::complex::Complex, other: crate::complex::Complex| {
                    (crate::complex::Complex::ONE + same * 2.0).norm() + (other * 2.0).norm()
                };
                assert!((out(s.shear, s.longitudinal) - 1.0).abs() < 1e-10, "{kt_a} {n}: {s:?}");
                assert!((out(l.longitudinal, l.shear) - 1.0).abs() < 1e-10, "{kt_a} {n}: {l:?}");
                // Reciprocity of the two conversions.
                assert!((s.longitudinal + l.shear).abs() < 1e-10, "{kt_a} {n}: {s:?} {l:?}");
            }
        }
    }

    /// Straight back at low frequency |f| is 2.418 k^1.5 a² (computed independently, SciPy).
    #[test]
    fn small_holes() {
        let kt_a = 0.02;
        let orders = under_shear(Solid::STEEL.speed_ratio(), kt_a);
        let f = shear_amplitude(&orders, kt_a, core::f64::consts::PI).abs();
        assert!((f / libm::pow(kt_a, 1.5) - 2.418).abs() < 0.01, "{f}");
    }
}
