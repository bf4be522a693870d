//! Plane waves at an interface: Snell's law, the wedge's face on a couplant film, the free surface.

use crate::complex::Complex;
use crate::material::{Solid, WedgeMaterial};

/// Sine of the angle behind an interface by Snell's law; above 1 in magnitude nothing propagates.
pub fn snell_sine(sine: f64, speed_from: f64, speed_to: f64) -> f64 {
    sine * speed_to / speed_from
}

/// Displacement amplitude of the refracted SV wave for a longitudinal wave of unit displacement in the wedge, at
/// the sine of its refracted angle in the metal.
///
/// The film is much thinner than the wavelength and carries no shear: normal displacement and normal stress are
/// continuous, shear stress is zero on both sides (Schmerr, Fundamentals of Ultrasonic NDE, smooth contact).
/// Reflected longitudinal and shear waves in the wedge and the (evanescent) longitudinal wave in the metal are
/// taken into account.
pub fn film_transmission(wedge: &WedgeMaterial, solid: &Solid, sine: f64) -> Complex {
    let slowness = sine / solid.shear_mm_per_us;
    let upper = HalfSpace::new(
        wedge.longitudinal_mm_per_us,
        wedge.shear_mm_per_us,
        wedge.density_g_per_cm3,
        slowness,
    );
    let lower = HalfSpace::new(
        solid.longitudinal_mm_per_us,
        solid.shear_mm_per_us,
        solid.density_g_per_cm3,
        slowness,
    );
    // Each half space with a slip boundary is told by its normal stress per normal velocity (its impedance); the
    // incident wave meets the two in series.
    let (z1, z2) = (upper.impedance(), lower.impedance());
    let normal = upper.incident_normal_motion() * (z1 / (z1 + z2));
    normal * lower.shear_per_normal_motion()
}

/// An elastic half space with a shear-stress-free face, at one slowness along the face (µs/mm).
struct HalfSpace {
    slowness: f64,
    longitudinal_speed: f64,
    shear_speed: f64,
    density: f64,
    /// Slowness across the face, longitudinal and shear.
    ql: Complex,
    qt: Complex,
    /// 1/c_T² - 2 p².
    middle: f64,
}

impl HalfSpace {
    fn new(longitudinal_speed: f64, shear_speed: f64, density: f64, slowness: f64) -> Self {
        let across = |speed: f64| Complex::sqrt_real(1.0 / (speed * speed) - slowness * slowness);
        Self {
            slowness,
            longitudinal_speed,
            shear_speed,
            density,
            ql: across(longitudinal_speed),
            qt: across(shear_speed),
            middle: 1.0 / (shear_speed * shear_speed) - 2.0 * slowness * slowness,
        }
    }

    /// The Rayleigh function (1/c_T² - 2p²)² + 4 p² q_L q_T.
    fn rayleigh(&self) -> Complex {
        Complex::new(self.middle * self.middle, 0.0)
            + self.ql * self.qt * (4.0 * self.slowness * self.slowness)
    }

    /// Normal stress over normal velocity of waves leaving the face, shear stress zero: ρ c_T⁴ R / q_L.
    fn impedance(&self) -> Complex {
        let c4 = self.shear_speed * self.shear_speed * self.shear_speed * self.shear_speed;
        self.rayleigh() * (self.density * c4) / self.ql
    }

    /// Normal displacement that the face would make if it were free, halved: the wave of unit displacement that
    /// comes in, as a source behind the impedance. Free face under an incident longitudinal wave: 2 q_L c_L m / (c_T² R).
    fn incident_normal_motion(&self) -> Complex {
        self.ql * (2.0 * self.longitudinal_speed * self.middle / (self.shear_speed * self.shear_speed))
            / self.rayleigh()
    }

    /// SV displacement amplitude per normal displacement of the face.
    fn shear_per_normal_motion(&self) -> Complex {
        // Shear stress zero ties the two potentials: 2 p q_L φ = ±m ψ; the normal motion is q_L φ ∓ p ψ.
        Complex::new(2.0 * self.slowness * self.shear_speed, 0.0)
    }
}

/// Displacement of the longitudinal over that of the SV wave that a normal load sends into a half space at the same slowness
/// along its face (µs/mm, below that of longitudinal waves): c_T (1/c_T² - 2p²)/(2 p c_L q_L), as no shear stress acts on
/// the face. Holds behind a wedge on a film as well.
pub fn longitudinal_over_shear(solid: &Solid, slowness: f64) -> f64 {
    let (cl, ct) = (solid.longitudinal_mm_per_us, solid.shear_mm_per_us);
    let across = f64::sqrt(1.0 / (cl * cl) - slowness * slowness);
    ct * (1.0 / (ct * ct) - 2.0 * slowness * slowness) / (2.0 * slowness * cl * across)
}

/// Directivity of SV waves from a normal line load on a free surface (Miller and Pursey 1954) by the sine of the angle, up to a
/// constant:
/// sin 2θ √(κ² - sin² θ) / R(θ), κ = c_T/c_L; complex beyond the critical angle.
pub fn line_load_radiation(solid: &Solid, sine: f64) -> Complex {
    let cosine = f64::sqrt(1.0 - sine * sine);
    let kappa = solid.speed_ratio();
    let ql = Complex::sqrt_real(kappa * kappa - sine * sine);
    let middle = 1.0 - 2.0 * sine * sine;
    let rayleigh = Complex::new(middle * middle, 0.0) + ql * (4.0 * sine * sine * cosine);
    ql * (2.0 * sine * cosine) / rayleigh
}

/// What a free surface does to an SV plane wave of unit displacement that hits it at an angle with the given sine.
#[derive(Clone, Copy, Debug)]
pub struct FreeSurface {
    /// SV to SV, displacement of the reflected wave along the mirrored polarisation (so +1 at normal incidence).
    pub shear: Complex,
    /// Magnitude part of SV to L: displacement of the longitudinal wave (evanescent beyond the critical angle).
    pub longitudinal: Complex,
}

impl FreeSurface {
    /// Exact plane-wave solution: R = (b - a)/(b + a), a = sin 2γ sin 2θ_L, b = (c_L/c_T)² cos² 2γ
    /// (Achenbach, Wave Propagation in Elastic Solids; the sign follows the mirrored polarisation).
    pub fn new(solid: &Solid, sine: f64) -> Self {
        let kappa = solid.speed_ratio();
        let cosine = f64::sqrt(1.0 - sine * sine);
        let ql = Complex::sqrt_real(kappa * kappa - sine * sine);
        let middle = 1.0 - 2.0 * sine * sine;
        let even = Complex::new(middle * middle, 0.0);
        let odd = ql * (4.0 * sine * sine * cosine);
        Self {
            shear: (even - odd) / (even + odd),
            longitudinal: Complex::new(4.0 * sine * cosine * middle * kappa, 0.0) / (even + odd),
        }
    }
}
