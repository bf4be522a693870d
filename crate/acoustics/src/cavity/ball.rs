//! A spherical void: vector waves of each order, coupled at the stress-free wall.
//!
//! Displacement L + M + N (Ying and Truell 1956, Einspruch, Witterholt and Truell 1960, from memory; derived anew). A
//! torsional wave M goes out as such, a spheroidal one N couples with a longitudinal one L. The plane shear wave is
//! expanded as in optics (Bohren and Huffman, Absorption and Scattering of Light by Small Particles, section 4.1 to 4.4).

use super::bessel::{self, Waves};
use super::cylinder::orders;
use crate::complex::Complex;

/// What goes out per order, relative to the incident wave of that order.
#[derive(Clone, Copy, Debug, Default)]
pub struct Order {
    /// Torsional wave under a torsional wave.
    pub torsional: Complex,
    /// Spheroidal shear wave under the same.
    pub spheroidal: Complex,
    /// Longitudinal potential under a spheroidal shear wave.
    pub converted: Complex,
    /// Longitudinal wave under the same.
    pub longitudinal: Complex,
}

/// Radial and tangential traction at the wall over μ/a².
struct Traction {
    radial: Complex,
    tangential: Complex,
}

fn longitudinal(n2: f64, x: f64, y: f64, z: Complex, slope: Complex) -> Traction {
    Traction { radial: z * (2.0 * n2 - y * y) - slope * (4.0 * x), tangential: (slope * x - z) * 2.0 }
}

fn spheroidal(n2: f64, y: f64, z: Complex, slope: Complex) -> Traction {
    Traction {
        radial: (slope * y - z) * (2.0 * n2),
        tangential: z * (2.0 * n2 - 2.0 - y * y) - slope * (2.0 * y),
    }
}

fn order(n: usize, x: f64, y: f64, fast: &Waves, slow: &Waves) -> Order {
    let n2 = (n * (n + 1)) as f64;
    let l = longitudinal(n2, x, y, fast.outgoing, fast.outgoing_slope);
    let l_in = longitudinal(n2, x, y, fast.regular, fast.regular_slope);
    if n == 0 {
        return Order { longitudinal: -l_in.radial / l.radial, ..Order::default() };
    }
    let s = spheroidal(n2, y, slow.outgoing, slow.outgoing_slope);
    let s_in = spheroidal(n2, y, slow.regular, slow.regular_slope);
    let determinant = l.radial * s.tangential - l.tangential * s.radial;
    let torsion = |z: Complex, slope: Complex| slope * y - z;
    Order {
        torsional: -torsion(slow.regular, slow.regular_slope) / torsion(slow.outgoing, slow.outgoing_slope),
        spheroidal: -(l.radial * s_in.tangential - l.tangential * s_in.radial) / determinant,
        converted: -(s_in.radial * s.tangential - s_in.tangential * s.radial) / determinant,
        longitudinal: -(l_in.radial * s.tangential - l_in.tangential * s.radial) / determinant,
    }
}

/// All orders that matter, from 0 (which has no shear wave). `kappa` is c_T/c_L.
pub fn under_any(kappa: f64, kt_a: f64) -> Vec<Order> {
    let (x, y, count) = (kappa * kt_a, kt_a, orders(kt_a));
    let (fast, slow) = (bessel::spherical(x, count), bessel::spherical(y, count));
    fast.iter().zip(&slow).enumerate().map(|(n, (fast, slow))| order(n, x, y, fast, slow)).collect()
}

/// π_n and τ_n of the cosine of an angle, orders 0..`count` (Bohren and Huffman 4.47).
pub fn angular(cosine: f64, count: usize) -> Vec<[f64; 2]> {
    let (mut before, mut here) = (0.0, 1.0);
    (0..count)
        .map(|n| {
            if n == 0 {
                return [0.0; 2];
            }
            let order = n as f64;
            let pair = [here, order * cosine * here - (order + 1.0) * before];
            let next = ((2.0 * order + 1.0) * cosine * here - (order + 1.0) * before) / order;
            (before, here) = (here, next);
            pair
        })
        .collect()
}

/// Factors of π_n and τ_n in the amplitude of a shear wave that is polarised in the plane of scattering.
pub fn factors(n: usize, order: &Order) -> [Complex; 2] {
    if n == 0 {
        return [Complex::ZERO; 2];
    }
    let weight = (2 * n + 1) as f64 / (n * (n + 1)) as f64;
    [order.torsional * -weight, order.spheroidal * -weight]
}

/// Far displacement f exp(ikr)/r of a shear wave in the plane of its polarisation, over the radius; `turn` is the angle
/// from the direction of incidence to that of the outgoing wave (π is straight back).
pub fn shear_amplitude(orders: &[Order], kt_a: f64, turn: f64) -> Complex {
    let angular = angular(libm::cos(turn), orders.len());
    let sum = orders.iter().enumerate().zip(&angular).fold(Complex::ZERO, |sum, ((n, order), [pi, tau])| {
        let [torsional, spheroidal] = factors(n, order);
        sum + torsional * *pi + spheroidal * *tau
    });
    Complex::I * sum * (1.0 / kt_a)
}

/// Longitudinal wave straight back under a longitudinal wave, over the radius.
pub fn longitudinal_echo(orders: &[Order], kl_a: f64) -> Complex {
    let sum = orders.iter().enumerate().fold(Complex::ZERO, |sum, (n, order)| {
        let sign = if n.is_multiple_of(2) { 1.0 } else { -1.0 };
        sum + order.longitudinal * (sign * (2 * n + 1) as f64)
    });
    Complex::new(0.0, -1.0) * sum * (1.0 / kl_a)
}

#[cfg(test)]
mod tests {
    use super::{longitudinal_echo, shear_amplitude, under_any};
    use crate::complex::Complex;
    use crate::material::Solid;

    /// What comes in goes out, order by order.
    #[test]
    fn energy_is_kept() {
        let kappa = Solid::STEEL.speed_ratio();
        for kt_a in [0.1, 1.0, 5.8, 14.6, 40.0] {
            for (n, order) in under_any(kappa, kt_a).iter().enumerate().skip(1) {
                let n2 = (n * (n + 1)) as f64;
                let torsional = (Complex::ONE + order.torsional * 2.0).norm();
                let spheroidal = (Complex::ONE + order.spheroidal * 2.0).norm()
                    + 4.0 * order.converted.norm() / (n2 * kappa);
                assert!((torsional - 1.0).abs() < 1e-10, "{kt_a} {n}: {order:?}");
                assert!((spheroidal - 1.0).abs() < 1e-9, "{kt_a} {n}: {order:?}");
            }
        }
    }

    /// Straight back at low frequency |f| is 0.974 k_T² a³ for shear waves and 1.090 k_L² a³ for longitudinal ones
    /// (computed independently, SciPy).
    #[test]
    fn small_pores() {
        let (kappa, kt_a) = (Solid::STEEL.speed_ratio(), 0.02);
        let orders = under_any(kappa, kt_a);
        let s = shear_amplitude(&orders, kt_a, core::f64::consts::PI).abs() / (kt_a * kt_a);
        let kl_a = kappa * kt_a;
        let p = longitudinal_echo(&orders, kl_a).abs() / (kl_a * kl_a);
        assert!((s - 0.974).abs() < 0.002 && (p - 1.090).abs() < 0.002, "{s} {p}");
    }
}
