//! The rim of a thin gap: exact diffraction of SV waves by a stress-free half-plane, and the Rayleigh wave that runs
//! from one rim to the other.
//!
//! The opening of a half-plane crack under a plane wave is known in closed form (Wiener and Hopf's method; Achenbach,
//! Gautesen and McMaken, Ray Methods for Waves in Elastic Solids, 1982; used for weld inspection by Ogilvy and Temple,
//! Ultrasonics 1983, both from memory). In units of the shear wave number the transform of the opening is
//! s_i / (K₊(ξ_i) K₋(ξ) (ξ - ξ_i)), for its normal part with K₊(ξ) = (ξ + ξ_R) F(ξ)/√(ξ + κ) and its tangential part with
//! √(ξ + 1) instead; ξ is the component of a wave's direction along the face, counted into the gap from the rim, ξ_R
//! Rayleigh's root and
//!
//! ln F(ξ) = -(1/π) ∫_κ^1 arctan[4 z² √(z²-κ²) √(1-z²) / (2z²-1)²] dz/(z + ξ).
//!
//! By reciprocity the echo of the rim is i G/(k (ξ_i + ξ_j)) with G = -(1/(1-κ²)) Σ s_i s_j/(K₊(ξ_i) K₊(ξ_j)). On a
//! mirror-like face ξ_i + ξ_j = 0 and G equals Kirchhoff's K, so that the difference of the two, which is what has to be
//! added to Kirchhoff's integral, is finite.

use core::f64::consts::PI;

use crate::complex::{Complex, Complex32, times};
use crate::kernel::{ShearWave, plane_response};
use crate::material::Solid;
use crate::spline;

const ENTRIES: usize = 1025;
const QUADRATURE: usize = 400;
/// Below this |ξ_i + ξ_j| the difference of the two singular terms is taken as the mean of its values at both sides.
const NEAR: f32 = 0.015;
/// Turn of the receiver's direction to those sides, as cosine and sine.
const ASIDE: [f32; 2] = [0.998_750_26, 0.049_979_17];

/// Tables of the half-plane's factors.
#[derive(Debug)]
pub struct HalfPlane {
    /// 1/((ξ + ξ_R) F(ξ)) over ξ from -1 to 1.
    inverse: Vec<Complex32>,
    kappa: f32,
    kappa2: f32,
    rayleigh: f32,
    /// K₊(ξ_R) over the residue of K₋ at ξ_R, normal and tangential part; imaginary numbers.
    ratio: [f32; 2],
}

impl HalfPlane {
    /// For a metal.
    pub fn new(solid: &Solid) -> Self {
        let kappa = solid.speed_ratio();
        let rayleigh = rayleigh_root(kappa);
        let split = Split::new(kappa);
        let inverse = (0..ENTRIES)
            .map(|k| {
                let xi = -1.0 + 2.0 * k as f64 / (ENTRIES - 1) as f64;
                let value = Complex::ONE / (split.factor(xi) * (xi + rayleigh));
                [value.re as f32, value.im as f32]
            })
            .collect();
        let quotient = split.factor(rayleigh).re / split.factor(-rayleigh).re;
        // √(b - ξ_R), reached from below the axis, is +i √(ξ_R - b).
        let ratio = [kappa, 1.0]
            .map(|b| (2.0 * rayleigh * quotient * f64::sqrt(rayleigh - b) / f64::sqrt(rayleigh + b)) as f32);
        Self {
            inverse,
            kappa: kappa as f32,
            kappa2: (kappa * kappa) as f32,
            rayleigh: rayleigh as f32,
            ratio,
        }
    }

    /// Rayleigh's root: shear speed over the speed of the surface wave.
    pub fn rayleigh(&self) -> f32 {
        self.rayleigh
    }

    /// 1/K₊ for the normal and the tangential part.
    #[inline(always)]
    fn inverse(&self, xi: f32) -> [Complex32; 2] {
        let place = ((xi + 1.0) * (0.5 * (ENTRIES - 1) as f32)).clamp(0.0, (ENTRIES - 2) as f32);
        let (index, f) = spline::split(place);
        let (a, b) = (self.inverse[index], self.inverse[index + 1]);
        let value = [a[0] + f * (b[0] - a[0]), a[1] + f * (b[1] - a[1])];
        let under = xi + self.kappa;
        let root = under.abs().sqrt();
        let normal = if under > 0.0 {
            [value[0] * root, value[1] * root]
        } else {
            [-value[1] * root, value[0] * root]
        };
        let above = xi + 1.0;
        let root = if above > 0.0 { above.sqrt() } else { 0.0 };
        [normal, [value[0] * root, value[1] * root]]
    }

    /// G(e_i, e_j) and ξ_i + ξ_j. `inward` points from the rim into the gap, `normal` is that of the face.
    #[inline(always)]
    fn opening(
        &self,
        i: ShearWave<f32>,
        j: ShearWave<f32>,
        inward: [f32; 2],
        normal: [f32; 2],
    ) -> (Complex32, f32) {
        let (a, b) = (Traction::new(i, inward, normal), Traction::new(j, inward, normal));
        let (p, q) = (self.inverse(a.along), self.inverse(b.along));
        let scale = -1.0 / (1.0 - self.kappa2);
        let (n, t) = (scale * a.normal * b.normal, scale * a.tangential * b.tangential);
        let (pn, pt) = (times(p[0], q[0]), times(p[1], q[1]));
        ([n * pn[0] + t * pt[0], n * pn[1] + t * pt[1]], a.along + b.along)
    }

    /// Magnitude of the rim's diffraction coefficient in √λ: the diffracted displacement is D √(λ/r) times the incident.
    pub fn diffraction(
        &self,
        i: ShearWave<f32>,
        j: ShearWave<f32>,
        inward: [f32; 2],
        normal: [f32; 2],
    ) -> f64 {
        let (g, sum) = self.opening(i, j, inward, normal);
        f64::from((g[0] * g[0] + g[1] * g[1]).sqrt() / sum.abs()) / (4.0 * PI)
    }

    /// What the rim adds to Kirchhoff's integral over the face, per length of rim and times the wave number: i (G - K)/(ξ_i
    /// + ξ_j), for both orders of the legs where they differ.
    pub fn rim(
        &self,
        i: ShearWave<f32>,
        j: ShearWave<f32>,
        same: bool,
        inward: [f32; 2],
        normal: [f32; 2],
    ) -> Complex32 {
        let (_, sum) = self.opening(i, j, inward, normal);
        if sum.abs() >= NEAR {
            return self.difference(i, j, same, inward, normal);
        }
        let turned = |sine: f32| ShearWave {
            e: [j.e[0] * ASIDE[0] - j.e[1] * sine, j.e[1] * ASIDE[0] + j.e[0] * sine],
            d: [j.d[0] * ASIDE[0] - j.d[1] * sine, j.d[1] * ASIDE[0] + j.d[0] * sine],
        };
        let (a, b) = (
            self.difference(i, turned(ASIDE[1]), same, inward, normal),
            self.difference(i, turned(-ASIDE[1]), same, inward, normal),
        );
        [0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1])]
    }

    fn difference(
        &self,
        i: ShearWave<f32>,
        j: ShearWave<f32>,
        same: bool,
        inward: [f32; 2],
        normal: [f32; 2],
    ) -> Complex32 {
        let (g, sum) = self.opening(i, j, inward, normal);
        let lit = |w: &ShearWave<f32>, sign: f32| sign * (w.e[0] * normal[0] + w.e[1] * normal[1]) < 0.0;
        // Kirchhoff's integral has counted the face only where both waves meet it on one side.
        let sign = if lit(&i, 1.0) { 1.0 } else { -1.0 };
        let mut k = [0.0; 2];
        if lit(&i, sign) && lit(&j, sign) {
            let n = [sign * normal[0], 0.0, sign * normal[1]];
            let (re, im) = plane_response(self.kappa2, i, j, n);
            k = [re, im];
            if !same {
                let (re, im) = plane_response(self.kappa2, j, i, n);
                k = [0.5 * (k[0] + re), 0.5 * (k[1] + im)];
            }
        }
        let ways = if same { 1.0 } else { 2.0 };
        let scale = ways / sum;
        [-(g[1] - k[1]) * scale, (g[0] - k[0]) * scale]
    }

    /// The wave that goes in at one rim, runs along the face as a Rayleigh wave and comes out at the other, per length of
    /// rim and times the wave number; the phase of the run itself is left to the caller. `inward` is that of the first
    /// rim.
    pub fn run(&self, i: ShearWave<f32>, j: ShearWave<f32>, inward: [f32; 2], normal: [f32; 2]) -> Complex32 {
        let (a, b) = (Traction::new(i, inward, normal), Traction::new(j, inward, normal));
        let (p, q) = (self.inverse(a.along), self.inverse(-b.along));
        let scale = -1.0 / ((1.0 - self.kappa2) * (self.rayleigh - a.along) * (self.rayleigh + b.along));
        let n = scale * a.normal * b.normal * self.ratio[0];
        let t = scale * a.tangential * b.tangential * self.ratio[1];
        let (pn, pt) = (times(p[0], q[0]), times(p[1], q[1]));
        // i · (i ratio): the two imaginary units make -1.
        [-(n * pn[0] + t * pt[0]), -(n * pn[1] + t * pt[1])]
    }
}

/// Traction of a unit SV wave on the face over i k μ, and the component of its direction along the face.
struct Traction {
    normal: f32,
    tangential: f32,
    along: f32,
}

impl Traction {
    #[inline(always)]
    fn new(w: ShearWave<f32>, inward: [f32; 2], normal: [f32; 2]) -> Self {
        let dot = |a: [f32; 2], b: [f32; 2]| a[0] * b[0] + a[1] * b[1];
        let (en, dn) = (dot(w.e, normal), dot(w.d, normal));
        let (et, dt) = (dot(w.e, inward), dot(w.d, inward));
        Self { normal: 2.0 * en * dn, tangential: en * dt + et * dn, along: et }
    }
}

/// Root above 1 of (2ξ²-1)² - 4ξ² √(ξ²-κ²) √(ξ²-1), by bisection.
fn rayleigh_root(kappa: f64) -> f64 {
    let value = |x: f64| {
        let middle = 2.0 * x * x - 1.0;
        middle * middle - 4.0 * x * x * f64::sqrt(x * x - kappa * kappa) * f64::sqrt(x * x - 1.0)
    };
    let (mut low, mut high) = (1.000_001, 1.5);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if value(middle) > 0.0 { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

/// Quadrature of ln F over κ..1, in z = κ + (1-κ) sin² φ, which takes the roots at both ends away.
struct Split {
    kappa: f64,
    nodes: Vec<(f64, f64, f64)>,
}

impl Split {
    fn new(kappa: f64) -> Self {
        let step = 0.5 * PI / QUADRATURE as f64;
        let nodes = (0..QUADRATURE)
            .map(|k| {
                let phi = (k as f64 + 0.5) * step;
                let (s, c) = (libm::sin(phi), libm::cos(phi));
                let z = kappa + (1.0 - kappa) * s * s;
                (z, Self::angle(kappa, z), (1.0 - kappa) * 2.0 * s * c * step)
            })
            .collect();
        Self { kappa, nodes }
    }

    fn angle(kappa: f64, z: f64) -> f64 {
        let middle = 2.0 * z * z - 1.0;
        let under = f64::sqrt((z * z - kappa * kappa).max(0.0) * (1.0 - z * z).max(0.0));
        libm::atan2(4.0 * z * z * under, middle * middle)
    }

    /// F(ξ), on the cut -1 < ξ < -κ as its limit from above.
    fn factor(&self, xi: f64) -> Complex {
        let pole = -xi;
        let on_cut = pole > self.kappa + 1e-9 && pole < 1.0 - 1e-9;
        let at_pole = if on_cut { Self::angle(self.kappa, pole) } else { 0.0 };
        let mut integral: f64 =
            self.nodes.iter().map(|&(z, angle, width)| width * (angle - at_pole) / (z + xi)).sum();
        let mut im = 0.0;
        if on_cut {
            integral += at_pole * libm::log((1.0 - pole) / (pole - self.kappa));
            im = -PI * at_pole;
        }
        let magnitude = libm::exp(-integral / PI);
        Complex::phasor(-im / PI) * magnitude
    }
}

#[cfg(test)]
mod tests {
    use super::HalfPlane;
    use crate::kernel::{ShearWave, plane_response};
    use crate::material::Solid;

    fn wave(angle_deg: f64) -> ShearWave<f32> {
        let a = angle_deg.to_radians();
        ShearWave {
            e: [libm::sin(a) as f32, libm::cos(a) as f32],
            d: [libm::cos(a) as f32, -libm::sin(a) as f32],
        }
    }

    /// Speed of Rayleigh waves in the reference steel, 0.92521 c_T (computed, SciPy).
    #[test]
    fn rayleigh_speed() {
        let half_plane = HalfPlane::new(&Solid::STEEL);
        assert!((1.0 / half_plane.rayleigh() - 0.925_21).abs() < 1e-5);
    }

    /// Where the receiver looks along the mirrored ray, the half-plane opens like the endless face.
    #[test]
    fn equals_kirchhoff_on_the_mirror_direction() {
        let half_plane = HalfPlane::new(&Solid::STEEL);
        let kappa2 = (Solid::STEEL.speed_ratio() * Solid::STEEL.speed_ratio()) as f32;
        // Face along x, seen from above; rim at x = 0, gap towards +x.
        for angle in [5.0, 20.0, 30.0, 40.0, 60.0, 80.0] {
            let (i, j) = (wave(angle), wave(-angle));
            let (g, sum) = half_plane.opening(i, j, [1.0, 0.0], [0.0, -1.0]);
            let (re, im) = plane_response(kappa2, i, j, [0.0, 0.0, -1.0]);
            assert!(sum.abs() < 1e-6);
            assert!((g[0] - re).abs() < 2e-3 && (g[1] - im).abs() < 2e-3, "{angle}: {g:?} {re} {im}");
        }
    }

    /// Walking through the mirror direction the added rim stays finite and smooth.
    #[test]
    fn the_two_singular_terms_cancel() {
        let half_plane = HalfPlane::new(&Solid::STEEL);
        let mut last: Option<[f32; 2]> = None;
        for step in -200..=200 {
            let j = wave(-50.0 + 0.05 * f64::from(step));
            let value = half_plane.rim(wave(50.0), j, false, [1.0, 0.0], [0.0, -1.0]);
            assert!(value[0].abs() < 10.0 && value[1].abs() < 10.0, "{step}: {value:?}");
            if let Some(last) = last {
                let jump = (value[0] - last[0]).abs() + (value[1] - last[1]).abs();
                assert!(jump < 0.05, "{step}: {last:?} to {value:?}");
            }
            last = Some(value);
        }
    }

    /// Reciprocity: out and home exchanged give the same.
    #[test]
    fn reciprocal() {
        let half_plane = HalfPlane::new(&Solid::STEEL);
        let (inward, normal) = ([0.6, 0.8], [0.8, -0.6]);
        for (a, b) in [(45.0, 60.0), (20.0, -30.0), (70.0, 110.0)] {
            let (p, _) = half_plane.opening(wave(a), wave(b), inward, normal);
            let (q, _) = half_plane.opening(wave(b), wave(a), inward, normal);
            assert!((p[0] - q[0]).abs() < 1e-5 && (p[1] - q[1]).abs() < 1e-5);
        }
    }
}
