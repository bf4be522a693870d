//! The beam out of its plane: Fresnel diffraction by the length of the elements.

use crate::complex::Complex;

/// Fresnel integral ∫₀ˣ exp(iπt²/2) dt, absolute error below 1e-6 (power series, beyond 3.2 the asymptotic series;
/// Abramowitz and Stegun 7.3.11 to 7.3.14 and 7.3.27, 7.3.28).
pub fn fresnel(x: f64) -> Complex {
    let a = x.abs();
    let phase = 0.5 * core::f64::consts::PI * a * a;
    let value = if a < 3.2 {
        // Sum over n of (iπ/2)ⁿ x^(2n+1) / (n! (2n+1)).
        let (mut term, mut sum, mut n) = (Complex::new(a, 0.0), Complex::ZERO, 0.0);
        loop {
            let part = term * (1.0 / (2.0 * n + 1.0));
            sum += part;
            n += 1.0;
            term = term * Complex::new(0.0, phase / n);
            if n > phase && term.norm() < 1e-24 {
                break sum;
            }
        }
    } else {
        let q = 1.0 / (core::f64::consts::PI * a * a);
        let q2 = q * q;
        let f = (1.0 - q2 * (3.0 - q2 * (105.0 - q2 * 10395.0))) / (core::f64::consts::PI * a);
        let g = q * (1.0 - q2 * (15.0 - q2 * (945.0 - q2 * 135_135.0))) / (core::f64::consts::PI * a);
        // C + iS = (1 + i)/2 - (g + i f) exp(iπx²/2).
        Complex::new(0.5, 0.5) - Complex::new(g, f) * Complex::phasor(phase)
    };
    if x < 0.0 { -value } else { value }
}

/// One-way amplitude at a distance `off_plane_mm` from the beam plane, relative to elements of endless length (`None`).
///
/// `reach_mm` is the distance in the metal that diffracts alike: r_metal + r_wedge c_w/c_T.
pub fn strip_factor(
    elevation_mm: Option<f64>,
    off_plane_mm: f64,
    reach_mm: f64,
    wavelength_mm: f64,
) -> Complex {
    let Some(elevation_mm) = elevation_mm else { return Complex::ONE };
    let scale = f64::sqrt(2.0 / (wavelength_mm * reach_mm));
    let upper = fresnel((0.5 * elevation_mm - off_plane_mm) * scale);
    let lower = fresnel((-0.5 * elevation_mm - off_plane_mm) * scale);
    (upper - lower) / Complex::new(1.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::{fresnel, strip_factor};

    /// Abramowitz and Stegun, table 7.7 (values from memory; also re-computed by the power series to 1e-7).
    #[test]
    fn fresnel_integrals() {
        for (x, c, s) in [
            (1.0, 0.779_893_4, 0.438_259_1),
            (2.0, 0.488_253_4, 0.343_415_7),
            (3.0, 0.605_720_8, 0.496_313_0),
            (4.0, 0.498_426_0, 0.420_515_8),
        ] {
            let value = fresnel(x);
            assert!((value.re - c).abs() < 2e-6 && (value.im - s).abs() < 2e-6, "{x}: {value:?}");
            assert_eq!(fresnel(-x), -value);
        }
        let (below, above) = (fresnel(3.2 - 1e-9), fresnel(3.2 + 1e-9));
        assert!((below - above).abs() < 1e-6);
    }

    #[test]
    fn endless_strip_leaves_the_beam_alone() {
        assert!((strip_factor(Some(1e5), 0.0, 50.0, 0.646).abs() - 1.0).abs() < 1e-3);
    }

    /// Far away a strip radiates as W/√(λ r): the same power spread over a growing width.
    #[test]
    fn far_field_of_the_strip() {
        let (w, r, lambda) = (4.0, 2000.0, 0.646);
        let far = w / f64::sqrt(lambda * r);
        assert!((strip_factor(Some(w), 0.0, r, lambda).abs() / far - 1.0).abs() < 1e-3);
    }
}
