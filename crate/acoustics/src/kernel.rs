//! The echo of a patch of stress-free surface: Auld's reciprocity relation with the Kirchhoff field.
//!
//! K = u_tot(e_i) · (σ(e_j) n) / (i k μ): u_tot is the motion that an incident SV plane wave of unit amplitude
//! makes on the locally plane free surface (incident, reflected SV and SH, reflected L), σ(e_j) n the traction of
//! the unit SV wave that the receiver would send. Closed form for a facet of any orientation; a complex number
//! beyond the critical angle. Auld 1979, Wave Motion 1, 3; free-surface motion from Achenbach, Wave Propagation
//! in Elastic Solids.

use core::ops::{Add, Div, Mul, Neg, Sub};

/// The two float types the kernel is written for: f32 in frames, f64 in the reference model.
pub trait Real:
    Copy
    + PartialOrd
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Neg<Output = Self>
{
    /// Nearest value.
    fn of(x: f64) -> Self;
    /// Correctly rounded square root.
    fn root(self) -> Self;
    /// Magnitude.
    fn magnitude(self) -> Self;
}

impl Real for f64 {
    fn of(x: f64) -> Self {
        x
    }
    fn root(self) -> Self {
        self.sqrt()
    }
    fn magnitude(self) -> Self {
        self.abs()
    }
}

impl Real for f32 {
    fn of(x: f64) -> Self {
        x as Self
    }
    fn root(self) -> Self {
        self.sqrt()
    }
    fn magnitude(self) -> Self {
        self.abs()
    }
}

/// An SV wave in the probe's plane: unit direction and unit polarisation, components along x and z.
///
/// Seen in the unfolded plate a wave keeps its direction; here it is turned back into the true plate, where every
/// bounce flips the z components (so the polarisation is the mirrored one that [`crate::interface::FreeSurface`]
/// refers to).
#[derive(Clone, Copy, Debug)]
pub struct ShearWave<R> {
    /// Direction.
    pub e: [R; 2],
    /// Polarisation.
    pub d: [R; 2],
}

impl<R: Real> ShearWave<R> {
    /// The wave with the given sine and cosine (from the face's normal) on a leg: `flip` is +1 on legs going away
    /// from the probe's face and -1 on legs coming back.
    #[inline(always)]
    pub fn new(sine: R, cosine: R, flip: R) -> Self {
        Self { e: [sine, flip * cosine], d: [cosine, -(flip * sine)] }
    }
}

/// Motion of a stress-free face under an SV wave, beyond twice the tangential part of its polarisation, per unit of
/// d·n: complex factors of e + c n and of n.
#[derive(Clone, Copy, Debug)]
pub struct FaceMotion<R> {
    /// Along the face, in the plane of incidence.
    pub tangential: (R, R),
    /// Along the normal.
    pub normal: (R, R),
}

impl<R: Real> FaceMotion<R> {
    /// Under a plane wave that meets the face with the given cosine: 4c [(1 - 2s²) - 2 q_L c]/D and 4c q_L/D with
    /// D = (1 - 2s²)² + 4 s² c q_L, q_L = √(κ² - s²), imaginary beyond the critical angle. `kappa2` is (c_T/c_L)².
    #[inline(always)]
    pub fn plane(kappa2: R, cosine: R) -> Self {
        let (one, two, four, zero) = (R::of(1.0), R::of(2.0), R::of(4.0), R::of(0.0));
        let c = cosine;
        let s2 = one - c * c;
        let middle = one - two * s2;
        let under = kappa2 - s2;
        let root = under.magnitude().root();
        let (ql_re, ql_im) = if under > zero { (root, zero) } else { (zero, root) };
        let scale = four * s2 * c;
        let (den_re, den_im) = (middle * middle + scale * ql_re, scale * ql_im);
        let norm = one / (den_re * den_re + den_im * den_im);
        let (inv_re, inv_im) = (den_re * norm, -(den_im * norm));
        let c4 = four * c;
        let (a_re, a_im) = (c4 * (middle - two * c * ql_re), -(c4 * two * c * ql_im));
        Self {
            tangential: (a_re * inv_re - a_im * inv_im, a_re * inv_im + a_im * inv_re),
            normal: (c4 * (ql_re * inv_re - ql_im * inv_im), c4 * (ql_re * inv_im + ql_im * inv_re)),
        }
    }
}

/// Cosine of incidence of a wave on a facet with unit normal `n` into the metal; positive where it is lit.
#[inline(always)]
pub fn incidence<R: Real>(wave: ShearWave<R>, n: [R; 3]) -> R {
    -(wave.e[0] * n[0] + wave.e[1] * n[2])
}

/// The kernel K(e_i, e_j, n) of a lit facet that moves as `motion` says under wave i; real and imaginary part.
#[inline(always)]
pub fn response<R: Real>(motion: FaceMotion<R>, i: ShearWave<R>, j: ShearWave<R>, n: [R; 3]) -> (R, R) {
    let two = R::of(2.0);
    let c = incidence(i, n);
    // Traction of the receiver's wave over i k μ: (e·n) d + (d·n) e.
    let en = j.e[0] * n[0] + j.e[1] * n[2];
    let dn = j.d[0] * n[0] + j.d[1] * n[2];
    let v = [en * j.d[0] + dn * j.e[0], en * j.d[1] + dn * j.e[1]];
    let nv = two * en * dn;
    let dv = i.d[0] * v[0] + i.d[1] * v[1];
    let ev = i.e[0] * v[0] + i.e[1] * v[1] + c * nv;
    let di = i.d[0] * n[0] + i.d[1] * n[2];
    let (t, m) = (motion.tangential, motion.normal);
    (two * (dv - di * nv) + di * (t.0 * ev + m.0 * nv), di * (t.1 * ev + m.1 * nv))
}

/// The kernel under a plane wave.
#[inline(always)]
pub fn plane_response<R: Real>(kappa2: R, i: ShearWave<R>, j: ShearWave<R>, n: [R; 3]) -> (R, R) {
    response(FaceMotion::plane(kappa2, incidence(i, n)), i, j, n)
}

#[cfg(test)]
mod tests {
    use super::{ShearWave, plane_response};
    use crate::complex::Complex;
    use crate::interface::FreeSurface;
    use crate::material::Solid;

    const STEEL: Solid = Solid::STEEL;

    fn kernel(i: ShearWave<f64>, j: ShearWave<f64>, n: [f64; 3]) -> Complex {
        let kappa = STEEL.speed_ratio();
        let (re, im) = plane_response(kappa * kappa, i, j, n);
        Complex::new(re, im)
    }

    fn wave(angle_deg: f64) -> ShearWave<f64> {
        let angle = angle_deg.to_radians();
        ShearWave::new(libm::sin(angle), libm::cos(angle), 1.0)
    }

    /// A normal that meets a wave of `angle_deg` at `incidence_deg`, in the plane.
    fn facing(angle_deg: f64, incidence_deg: f64) -> [f64; 3] {
        let turn = (angle_deg + incidence_deg).to_radians();
        [-libm::sin(turn), 0.0, -libm::cos(turn)]
    }

    #[test]
    fn straight_back_is_twice_the_cosine() {
        for incidence in [0.0, 5.0, 20.0, 30.39, 33.19, 35.0, 50.0, 70.0, 88.0] {
            let k = kernel(wave(55.0), wave(55.0), facing(55.0, incidence));
            let expected = 2.0 * libm::cos(incidence.to_radians());
            assert!((k.abs() - expected).abs() < 1e-12, "{incidence}: {k:?}");
        }
    }

    #[test]
    fn specular_is_twice_the_cosine_times_reflection() {
        for incidence in [2.0, 10.0, 25.0, 30.393, 34.0, 45.0, 60.0, 80.0] {
            // The receiver's own wave runs backwards along the reflected ray: the wave turned by twice the incidence.
            let k = kernel(wave(40.0), wave(40.0 + 2.0 * incidence), facing(40.0, incidence));
            let r = FreeSurface::new(&STEEL, libm::sin(incidence.to_radians())).shear;
            let expected = 2.0 * libm::cos(incidence.to_radians()) * r.abs();
            assert!((k.abs() - expected).abs() < 1e-12, "{incidence}: {k:?} {expected}");
        }
    }

    #[test]
    fn corner_echo_falls_with_the_reflection_at_the_face() {
        for beam in [45.0_f64, 50.0, 57.0, 60.0, 65.0, 70.0] {
            let (s, c) = (libm::sin(beam.to_radians()), libm::cos(beam.to_radians()));
            // An upright face met on the direct leg, heard by way of the back wall.
            let k = kernel(ShearWave::new(s, c, 1.0), ShearWave::new(s, c, -1.0), [-1.0, 0.0, 0.0]);
            let r = FreeSurface::new(&STEEL, c).shear;
            assert!((k.abs() - 2.0 * s * r.abs()).abs() < 1e-12, "{beam}: {k:?}");
        }
    }

    /// A shear wave polarised along the facet's surface and across its direction is SH there and simply doubles.
    #[test]
    fn sh_doubles() {
        let incidence = 40.0_f64.to_radians();
        // Turn the facet about the wave's direction by 90°: the wave's polarisation lies in the facet.
        let e = wave(0.0);
        let n = [0.0, libm::sin(incidence), -libm::cos(incidence)];
        let k = kernel(e, e, n);
        assert!((k.abs() - 2.0 * libm::cos(incidence)).abs() < 1e-12 && k.im.abs() < 1e-15);
    }
}
