//! The exact model: every element, every frequency, every point and all pairs of legs, in double precision.
//!
//! Some 10 ms a point. Frames are held against it in tests; it shares the kernel and the physics with them, not the
//! tables, the splines, the Hermite terms or the stationary-phase shortcuts.

use core::f64::consts::TAU;

use crate::aperture::Aperture;
use crate::complex::Complex;
use crate::elevation;
use crate::face_response::FaceResponse;
use crate::field::ElementPaths;
use crate::interface::FreeSurface;
use crate::kernel::{FaceMotion, ShearWave, incidence, response};
use crate::law::DelayLaw;
use crate::material::Solid;
use crate::pulse::{Pulse, SAMPLING_MHZ};
use crate::scene::{Sides, SurfacePoint};

/// The exact model of a set-up over a plate or half space with flat faces.
#[derive(Debug)]
pub struct Oracle<'a> {
    /// The metal.
    pub solid: Solid,
    /// The probe.
    pub aperture: &'a Aperture,
    /// The laws.
    pub laws: &'a [DelayLaw],
    /// Distance of the faces; none for a half space.
    pub thickness_mm: Option<f64>,
    /// Pairs of legs to sum (0 direct, 1 after the far face, 2 after the near face); unequal pairs count both ways.
    pub pairs: &'a [(usize, usize)],
}

/// One leg of one element's wave to a point.
struct Arrival {
    paths: ElementPaths,
    bounces: usize,
    mirror: Vec<Complex>,
    /// 1/√(k r) of the wave, as for the fast rays.
    spread: f64,
}

impl Oracle<'_> {
    /// Complex baseband `[beam][sample]` of the points, whose x counts from below the aperture's centre along the beam.
    /// `start_us` is the time of the first sample, `carrier_mhz` that of [`Pulse`].
    pub fn frame(&self, points: &[SurfacePoint], start_us: f64, samples: usize) -> Vec<Vec<Complex>> {
        let pulse = Pulse::of(self.aperture);
        // 0.1 MHz repeats after 10 µs: longer frames need a finer step.
        let step = (0.9 / (samples as f64 / SAMPLING_MHZ)).min(0.1);
        let band: Vec<f64> =
            (1..).map(|i| f64::from(i) * step).take_while(|&f| f < 9.9 + pulse.carrier_mhz - 5.0).collect();
        let mut spectra = vec![vec![Complex::ZERO; band.len()]; self.laws.len()];
        let face = FaceResponse::new(&self.solid, pulse.quality());
        for point in points {
            self.add_point(&face, point, &band, &mut spectra);
        }
        spectra
            .iter()
            .map(|spectrum| {
                (0..samples)
                    .map(|n| {
                        let time = start_us + n as f64 / SAMPLING_MHZ;
                        band.iter().zip(spectrum).fold(Complex::ZERO, |sum, (&f, &value)| {
                            let turn = Complex::phasor(-TAU * (f - pulse.carrier_mhz) * time);
                            sum + value * turn * (step * pulse.spectrum(f))
                        })
                    })
                    .collect()
            })
            .collect()
    }

    fn arrival(&self, leg: usize, point: &SurfacePoint) -> Option<Arrival> {
        let [x, _, z] = point.position_mm;
        let depth = match (leg, self.thickness_mm) {
            (0, _) => z,
            (_, None) => return None,
            (1, Some(t)) => 2.0 * t - z,
            (_, Some(t)) => 2.0 * t + z,
        };
        let paths = ElementPaths::new(self.aperture, &self.solid, x, depth);
        let mirror = paths.elements.iter().map(|e| FreeSurface::new(&self.solid, e.sine).shear).collect();
        let (cw, ct) = (self.aperture.near_speed(&self.solid), self.solid.shear_mm_per_us);
        let centre = &paths.centre;
        let bend = (1.0 - centre.sine * centre.sine) / (1.0 - centre.wedge_sine * centre.wedge_sine);
        let radius = centre.path_mm + centre.wedge_path_mm * cw / ct * bend;
        let spread = libm::sqrt(ct / (TAU * self.aperture.frequency_mhz * radius));
        Some(Arrival { paths, bounces: leg, mirror, spread })
    }

    /// Field of each law at a frequency, with the centre ray's travel time taken out.
    fn fields(&self, arrival: &Arrival, off_plane_mm: f64, f: f64) -> Vec<Complex> {
        let waves: Vec<Complex> = (0..arrival.paths.elements.len())
            .map(|i| {
                let bounced = (0..arrival.bounces).fold(Complex::ONE, |p, _| p * arrival.mirror[i]);
                arrival.paths.amplitude(i, self.aperture, f)
                    * bounced
                    * Complex::phasor(TAU * f * arrival.paths.elements[i].lag_us)
            })
            .collect();
        let (cw, ct) = (self.aperture.near_speed(&self.solid), self.solid.shear_mm_per_us);
        let centre = &arrival.paths.centre;
        let reach = centre.path_mm + centre.wedge_path_mm * cw / ct;
        let strip = elevation::strip_factor(self.aperture.elevation_mm, off_plane_mm, reach, ct / f);
        self.laws
            .iter()
            .map(|law| {
                let sum = waves.iter().zip(&law.delays_us).fold(Complex::ZERO, |sum, (&wave, &delay)| {
                    sum + wave * Complex::phasor(TAU * f * delay)
                });
                sum * strip
            })
            .collect()
    }

    fn add_point(
        &self,
        face: &FaceResponse,
        point: &SurfacePoint,
        band: &[f64],
        spectra: &mut [Vec<Complex>],
    ) {
        let kernel = |i: ShearWave<f64>, spread: f64, j: ShearWave<f64>, n: [f64; 3]| {
            let c = incidence(i, n);
            let motion = face.at(libm::sqrt((1.0 - c * c).max(0.0)) as f32, spread as f32);
            let wide = |(re, im): (f32, f32)| (f64::from(re), f64::from(im));
            let motion = FaceMotion { tangential: wide(motion.tangential), normal: wide(motion.normal) };
            let (re, im) = response(motion, i, j, n);
            Complex::new(re, im)
        };
        let arrivals: Vec<Option<Arrival>> = (0..3).map(|leg| self.arrival(leg, point)).collect();
        let wave = |arrival: &Arrival| {
            let sine = arrival.paths.centre.sine;
            ShearWave::new(
                sine,
                libm::sqrt(1.0 - sine * sine),
                if arrival.bounces.is_multiple_of(2) { 1.0 } else { -1.0 },
            )
        };
        let mut parts: Vec<(usize, usize, Complex, f64)> = Vec::new();
        for &(i, j) in self.pairs {
            let (Some(a), Some(b)) = (&arrivals[i], &arrivals[j]) else { continue };
            let (wave_i, wave_j) = (wave(a), wave(b));
            let mut n = point.normal;
            let facing = |w: &ShearWave<f64>, n: &[f64; 3]| w.e[0] * n[0] + w.e[1] * n[2];
            if facing(&wave_i, &n) > 0.0 && point.sides == Sides::Both {
                n = n.map(|c| -c);
            }
            if facing(&wave_i, &n) >= 0.0 || facing(&wave_j, &n) >= 0.0 {
                continue;
            }
            let mut k = kernel(wave_i, a.spread, wave_j, n);
            if i != j {
                k += kernel(wave_j, b.spread, wave_i, n);
            }
            parts.push((i, j, k * point.area_mm2, a.paths.centre.time_us + b.paths.centre.time_us));
        }
        for (m, &f) in band.iter().enumerate() {
            let fields: Vec<Option<Vec<Complex>>> = arrivals
                .iter()
                .map(|arrival| arrival.as_ref().map(|a| self.fields(a, point.position_mm[1], f)))
                .collect();
            for &(i, j, k, time) in &parts {
                let (Some(a), Some(b)) = (&fields[i], &fields[j]) else { continue };
                let carrier = Complex::phasor(TAU * f * time);
                for (beam, spectrum) in spectra.iter_mut().enumerate() {
                    spectrum[m] += a[beam] * b[beam] * k * carrier;
                }
            }
        }
    }
}
