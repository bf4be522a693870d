//! How a stress-free face moves under a wave from a source at a finite distance.
//!
//! The motion that a plane SV wave makes changes so fast near the longitudinal critical angle (33° from the face's
//! normal in steel) that one ray with one angle says too much or too little: a corner met by a 55 to 60° beam came out up
//! to 10 dB too strong. Here the wave of a source line at distance r is taken apart into plane waves, each sets the face
//! in motion, and they are summed again; what is left is a table over the angle of the centre ray and k r. Far from the
//! source it goes over into the plane wave. A plane wave that arrives earlier or later than the centre ray by a phase φ
//! counts with the pulse's envelope at that delay, exp(-(φ σ_f/f₀)²/2): what comes apart from the pulse in time (the head
//! wave, further off the critical angle) is not part of its amplitude.

use crate::complex::Complex;
use crate::kernel::FaceMotion;
use crate::lanes::f32x4;
use crate::material::Solid;
use crate::spline;

/// Steps of the sine of incidence.
const SINES: usize = 257;
/// Steps of the spread 1/√(k r), from the plane wave (0) on.
const SPREADS: usize = 11;
const LARGEST_SPREAD: f64 = 0.15;
/// Plane waves per half turn.
const ANGLES: usize = 2400;
/// Plane waves that come earlier by more than this many pulse widths are left out.
const PULSE_WIDTHS: f64 = 3.2;

/// The table, `[spread][sine]`.
#[derive(Debug)]
pub struct FaceResponse {
    solid: Solid,
    quality: f64,
    values: Vec<[f32; 4]>,
}

impl FaceResponse {
    /// Whether it is that of a metal and a pulse.
    pub fn is_for(&self, solid: &Solid, quality: f64) -> bool {
        (&self.solid, self.quality) == (solid, quality)
    }

    /// For a metal and a pulse whose centre frequency is `quality` times its spectral standard deviation.
    pub fn new(solid: &Solid, quality: f64) -> Self {
        let kappa2 = solid.speed_ratio() * solid.speed_ratio();
        let step = core::f64::consts::PI / ANGLES as f64;
        let plane: Vec<[Complex; 2]> = (0..ANGLES)
            .map(|k| {
                let angle = (k as f64 + 0.5) * step - core::f64::consts::FRAC_PI_2;
                let motion = FaceMotion::plane(kappa2, libm::cos(angle));
                [
                    Complex::new(motion.tangential.0, motion.tangential.1),
                    Complex::new(motion.normal.0, motion.normal.1),
                ]
            })
            .collect();
        let mut values = Vec::with_capacity(SPREADS * SINES);
        for spread in 0..SPREADS {
            let q = LARGEST_SPREAD * spread as f64 / (SPREADS - 1) as f64;
            // k r (1 - cos) is about (angle/q)²/2.
            let reach = (f64::sqrt(2.0 * PULSE_WIDTHS * quality) * q).min(1.2) / step;
            let reach = reach as i64;
            let weights: Vec<Complex> = (-reach..=reach)
                .map(|k| {
                    // sin² keeps the small difference to 1 exact.
                    let half = libm::sin(0.5 * k as f64 * step);
                    let phase = 2.0 * half * half / (q * q);
                    let late = phase / quality;
                    Complex::phasor(-phase) * libm::exp(-0.5 * late * late)
                })
                .collect();
            for sine in 0..SINES {
                let angle = libm::asin((sine as f64 / (SINES - 1) as f64).min(0.9999));
                values.push(if spread == 0 {
                    let motion = FaceMotion::plane(kappa2, libm::cos(angle));
                    [motion.tangential.0, motion.tangential.1, motion.normal.0, motion.normal.1]
                        .map(|v| v as f32)
                } else {
                    smooth(&plane, &weights, reach, angle, step)
                });
            }
        }
        Self { solid: *solid, quality, values }
    }

    /// Motion at a sine of incidence and a spread 1/√(k r) of the incident wave (bilinear).
    #[inline(always)]
    pub fn at(&self, sine: f32, spread: f32) -> FaceMotion<f32> {
        let s = (sine * (SINES - 1) as f32).clamp(0.0, (SINES - 2) as f32);
        let q =
            (spread * ((SPREADS - 1) as f64 / LARGEST_SPREAD) as f32).clamp(0.0, (SPREADS - 1) as f32 - 1e-3);
        let ((i, fs), (j, fq)) = (spline::split(s), spline::split(q));
        let at = j * SINES + i;
        let entry = |at: usize| f32x4::new(self.values[at]);
        let near = entry(at) + (entry(at + 1) - entry(at)) * fs;
        let far = entry(at + SINES) + (entry(at + SINES + 1) - entry(at + SINES)) * fs;
        let [a, b, c, d] = (near + (far - near) * fq).to_array();
        FaceMotion { tangential: (a, b), normal: (c, d) }
    }
}

/// Mean of the plane-wave motions around an angle, weighted with the phases of a source line's plane waves.
fn smooth(plane: &[[Complex; 2]], weights: &[Complex], reach: i64, angle: f64, step: f64) -> [f32; 4] {
    let place = (angle + core::f64::consts::FRAC_PI_2) / step - 0.5;
    let centre = libm::round(place) as i64;
    let (mut sum, mut tangential, mut normal) = (Complex::ZERO, Complex::ZERO, Complex::ZERO);
    for (k, &weight) in (-reach..=reach).zip(weights) {
        // Waves beyond grazing do not reach the face.
        let Some(motion) = usize::try_from(centre + k).ok().and_then(|index| plane.get(index)) else {
            continue;
        };
        sum += weight;
        tangential += motion[0] * weight;
        normal += motion[1] * weight;
    }
    let (t, n) = (tangential / sum, normal / sum);
    [t.re, t.im, n.re, n.im].map(|v| v as f32)
}

#[cfg(test)]
mod tests {
    use super::FaceResponse;
    use crate::complex::Complex;
    use crate::kernel::FaceMotion;
    use crate::material::Solid;

    /// Far from the source, and away from the critical angle, the plane wave is met.
    #[test]
    fn goes_over_into_the_plane_wave() {
        let table = FaceResponse::new(&Solid::STEEL, 3.92);
        let kappa2 = Solid::STEEL.speed_ratio() * Solid::STEEL.speed_ratio();
        for degrees in [0.0_f64, 10.0, 20.0, 45.0, 60.0] {
            let angle = degrees.to_radians();
            let plane: FaceMotion<f64> = FaceMotion::plane(kappa2, libm::cos(angle));
            let far = table.at(libm::sin(angle) as f32, 0.004);
            for (a, b) in [
                (plane.tangential.0, far.tangential.0),
                (plane.tangential.1, far.tangential.1),
                (plane.normal.0, far.normal.0),
                (plane.normal.1, far.normal.1),
            ] {
                assert!((a - f64::from(b)).abs() < 0.01, "{degrees}: {plane:?} {far:?}");
            }
        }
    }

    /// Sum over plane waves made anew, with four times as many.
    #[test]
    fn near_the_critical_angle_it_is_the_sum_of_plane_waves() {
        let table = FaceResponse::new(&Solid::STEEL, 3.92);
        let kappa2 = Solid::STEEL.speed_ratio() * Solid::STEEL.speed_ratio();
        let spread = 0.045_f32;
        let kr = 1.0 / f64::from(spread * spread);
        for degrees in [28.0_f64, 31.0, 33.0, 35.0] {
            let angle = degrees.to_radians();
            let (mut sum, mut motion) = (Complex::ZERO, Complex::ZERO);
            for k in -4000..=4000 {
                let turn = f64::from(k) * 0.45 / 4000.0;
                let phase = kr * (1.0 - libm::cos(turn));
                let weight = Complex::phasor(-phase) * libm::exp(-0.5 * (phase / 3.92) * (phase / 3.92));
                let plane: FaceMotion<f64> = FaceMotion::plane(kappa2, libm::cos(angle + turn));
                sum += weight;
                motion += Complex::new(plane.normal.0, plane.normal.1) * weight;
            }
            let expected = motion / sum;
            let got = table.at(libm::sin(angle) as f32, spread).normal;
            let error = (expected - Complex::new(f64::from(got.0), f64::from(got.1))).abs();
            assert!(error < 0.02 * expected.abs(), "{degrees}: {expected:?} {got:?}");
        }
    }
}
