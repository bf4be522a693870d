//! The exact model: every element, every frequency, every point and all pairs of legs, in double precision.
//!
//! Some milliseconds a point. Frames are held against it in tests; it shares the kernel and the physics with them, not the
//! tables, the splines, the Hermite terms or the stationary-phase shortcuts.

use core::f64::consts::TAU;

use crate::aperture::Aperture;
use crate::complex::Complex;
use crate::elevation;
use crate::face_response::FaceResponse;
use crate::field::{ElementPaths, Elements};
use crate::half_plane::HalfPlane;
use crate::interface::FreeSurface;
use crate::kernel::{FaceMotion, ShearWave, incidence, response};
use crate::law::DelayLaw;
use crate::material::Solid;
use crate::placement::BrokenStretches;
use crate::pulse::{Pulse, SAMPLING_MHZ};
use crate::scene::{Cavity, FaceRun, RimPoint, Sides, SurfacePoint};

/// How far beside the frame, in µs, an echo's centre ray may lie: the elements of a long aperture hear a point in a side
/// lobe up to 2 µs before and after their centre does.
const MARGIN_US: f64 = 2.0;

/// Least depth below the face that a leg reaches, mm: beyond the face there is cap, and sound goes there by later legs.
const LEAST_DEPTH_MM: f64 = 0.2;

/// Rims turned out of the beam plane by more than 45° do not count (as in [`crate::placement::LocalRims`]).
pub(crate) const LEAST_ACROSS: f64 = core::f64::consts::FRAC_1_SQRT_2;

/// The exact model of a set-up over a plate or half space.
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
    /// Parts of the face the probe stands on that are not flat, and of the far face: beams that bounce there lose the leg.
    pub broken: [&'a BrokenStretches; 2],
    /// Pairs of legs to sum (0 direct, 1 after the far face, 2 after the near face); unequal pairs count both ways.
    pub pairs: &'a [(usize, usize)],
}

/// The wave of all elements on one leg to a point.
pub(crate) struct Arrival {
    paths: ElementPaths,
    bounces: usize,
    mirror: Vec<Complex>,
    /// 1, or less where a bounce falls on a part of a face that is not flat.
    flat: f64,
    /// 1/√(k r) of the wave, as for the fast rays.
    spread: f64,
}

impl Arrival {
    fn wave(&self) -> ShearWave<f64> {
        let sine = self.paths.centre.sine;
        let flip = if self.bounces.is_multiple_of(2) { 1.0 } else { -1.0 };
        ShearWave::new(sine, f64::sqrt(1.0 - sine * sine), flip)
    }

    /// Directions of all elements' waves in the true plate, x and z.
    pub(crate) fn directions(&self) -> Vec<[f64; 2]> {
        let flip = if self.bounces.is_multiple_of(2) { 1.0 } else { -1.0 };
        let direction = |sine: f64| [sine, flip * f64::sqrt(1.0 - sine * sine)];
        self.paths.elements.iter().map(|element| direction(element.sine)).collect()
    }

    /// Time of the centre ray, µs.
    pub(crate) fn time_us(&self) -> f64 {
        self.paths.centre.time_us
    }

    /// Radius of curvature of the wave in the plane, mm.
    pub(crate) fn radius_mm(&self, oracle: &Oracle) -> f64 {
        let wave_number = TAU * oracle.aperture.frequency_mhz / oracle.solid.shear_mm_per_us;
        1.0 / (wave_number * self.spread * self.spread)
    }

    /// Distance in the metal that diffracts alike out of the plane, mm.
    pub(crate) fn reach_mm(&self, oracle: &Oracle) -> f64 {
        let (cw, ct) = (oracle.aperture.near_speed(&oracle.solid), oracle.solid.shear_mm_per_us);
        self.paths.centre.path_mm + self.paths.centre.wedge_path_mm * cw / ct
    }

    /// The wave for the half-plane's tables, which are made in single precision.
    fn narrow_wave(&self) -> ShearWave<f32> {
        let wave = self.wave();
        ShearWave { e: wave.e.map(|c| c as f32), d: wave.d.map(|c| c as f32) }
    }
}

/// What goes out by one arrival and comes home by another.
struct Part {
    /// Indices of the arrivals.
    ends: [usize; 2],
    strength: Complex,
    /// Time beside those of the two rays, µs.
    delay_us: f64,
    /// Whether the strength is still to be divided by the wave number: rims, whose echo has one length less.
    per_wave_number: bool,
}

/// What has been summed.
pub(crate) struct Sum {
    /// Frequencies, MHz.
    pub(crate) band: Vec<f64>,
    /// Times of centre rays that count, µs.
    pub(crate) span: [f64; 2],
    /// Phasors of the laws' delays, `[frequency][beam][element]`.
    pub(crate) steering: Vec<Vec<Vec<Complex>>>,
    /// `[beam][frequency]`.
    pub(crate) spectra: Vec<Vec<Complex>>,
}

/// Everything that reflects, places counted from below the aperture's centre.
#[derive(Clone, Copy, Debug, Default)]
pub struct Reflectors<'a> {
    /// Surface points.
    pub points: &'a [SurfacePoint],
    /// Rims of thin gaps, across the beam plane.
    pub rims: &'a [RimPoint],
    /// Smooth faces between rims.
    pub runs: &'a [FaceRun],
    /// Round cavities.
    pub cavities: &'a [Cavity],
}

impl Oracle<'_> {
    /// Complex baseband `[beam][sample]`, demodulated at the carrier of [`Pulse`]. `start_us` is the time of the first
    /// sample. Echoes whose centre ray comes more than 2 µs before or after the frame are left out; within 2 µs of its
    /// ends late and early ones may mix.
    pub fn frame(&self, reflectors: &Reflectors, start_us: f64, samples: usize) -> Vec<Vec<Complex>> {
        let pulse = Pulse::of(self.aperture);
        // 0.1 MHz repeats after 10 µs: longer frames need a finer step.
        let step = (0.9 / (samples as f64 / SAMPLING_MHZ)).min(0.1);
        let band: Vec<f64> =
            (1..).map(|i| f64::from(i) * step).take_while(|&f| f < 9.9 + pulse.carrier_mhz - 5.0).collect();
        let span = [start_us - MARGIN_US, start_us + samples as f64 / SAMPLING_MHZ + MARGIN_US];
        let spectra = self.spectra(reflectors, &band, span, &pulse);
        let mut rows = vec![Vec::with_capacity(samples); self.laws.len()];
        for n in 0..samples {
            let time = start_us + n as f64 / SAMPLING_MHZ;
            let turns: Vec<Complex> = band
                .iter()
                .map(|&f| Complex::phasor(-TAU * (f - pulse.carrier_mhz) * time) * (step * pulse.spectrum(f)))
                .collect();
            for (row, spectrum) in rows.iter_mut().zip(&spectra) {
                let echo = turns.iter().zip(spectrum);
                row.push(echo.fold(Complex::ZERO, |total, (&turn, &value)| total + value * turn));
            }
        }
        rows
    }

    /// Echo at single frequencies (MHz), `[law][frequency]`, without the pulse's spectrum: what laws of continuous waves
    /// are compared with.
    pub fn harmonic(&self, reflectors: &Reflectors, frequencies_mhz: &[f64]) -> Vec<Vec<Complex>> {
        let span = [f64::NEG_INFINITY, f64::INFINITY];
        self.spectra(reflectors, frequencies_mhz, span, &Pulse::of(self.aperture))
    }

    /// Spectrum of each law over the frequencies of a band, without the pulse's own, of what arrives in a span of time.
    fn spectra(
        &self,
        reflectors: &Reflectors,
        band: &[f64],
        span: [f64; 2],
        pulse: &Pulse,
    ) -> Vec<Vec<Complex>> {
        let steering = band
            .iter()
            .map(|f| {
                let phasors =
                    |law: &DelayLaw| law.delays_us.iter().map(|d| Complex::phasor(TAU * f * d)).collect();
                self.laws.iter().map(phasors).collect()
            })
            .collect();
        let spectra = vec![vec![Complex::ZERO; band.len()]; self.laws.len()];
        let mut sum = Sum { band: band.to_vec(), span, steering, spectra };
        let face = FaceResponse::new(&self.solid, pulse.quality());
        for point in reflectors.points {
            self.add_point(&face, point, &mut sum);
        }
        let half_plane = HalfPlane::new(&self.solid);
        for rim in reflectors.rims {
            self.add_rim(&half_plane, rim, &mut sum);
        }
        for run in reflectors.runs {
            self.add_run(&half_plane, run, &mut sum);
        }
        for cavity in reflectors.cavities {
            self.add_cavity(cavity, &mut sum);
        }
        sum.spectra
    }

    pub(crate) fn arrival(&self, leg: usize, [x, _, z]: [f64; 3]) -> Option<Arrival> {
        let depth = match (leg, self.thickness_mm) {
            (0, _) => z,
            (_, None) => return None,
            (1, Some(t)) => 2.0 * t - z,
            (_, Some(t)) => 2.0 * t + z,
        };
        if depth < LEAST_DEPTH_MM {
            return None;
        }
        let paths = Elements::new(self.aperture, &self.solid).paths(x, depth);
        let mirror = paths.elements.iter().map(|e| FreeSurface::new(&self.solid, e.sine).shear).collect();
        let (cw, ct) = (self.aperture.near_speed(&self.solid), self.solid.shear_mm_per_us);
        let centre = &paths.centre;
        let bend = (1.0 - centre.sine * centre.sine) / (1.0 - centre.wedge_sine * centre.wedge_sine);
        let radius = centre.path_mm + centre.wedge_path_mm * cw / ct * bend;
        let spread = f64::sqrt(ct / (TAU * self.aperture.frequency_mhz * radius));
        let flat = self.flat(leg, x, depth, centre.sine);
        Some(Arrival { paths, bounces: leg, mirror, flat, spread })
    }

    /// Share of a leg that its bounces leave, by the places where the centre ray meets the faces.
    fn flat(&self, leg: usize, x: f64, depth: f64, sine: f64) -> f64 {
        let Some(thickness) = self.thickness_mm else { return 1.0 };
        let tangent = sine / f64::sqrt(1.0 - sine * sine);
        let [near, far] = self.broken;
        (1..=leg).fold(1.0, |flat, bounce| {
            let face = if bounce % 2 == 1 { far } else { near };
            flat * f64::from(face.flat((x - (depth - bounce as f64 * thickness) * tangent) as f32))
        })
    }

    /// Wave of each element at a frequency, with the centre ray's travel time taken out.
    pub(crate) fn waves(&self, arrival: &Arrival, f: f64) -> Vec<Complex> {
        (0..arrival.paths.elements.len())
            .map(|i| {
                let start = Complex::new(arrival.flat, 0.0);
                let bounced = (0..arrival.bounces).fold(start, |p, _| p * arrival.mirror[i]);
                arrival.paths.amplitude(i, self.aperture, f)
                    * bounced
                    * Complex::phasor(TAU * f * arrival.paths.elements[i].lag_us)
            })
            .collect()
    }

    /// Field of each law at a frequency, with the centre ray's travel time taken out.
    fn fields(
        &self,
        arrival: &Arrival,
        off_plane_mm: f64,
        f: f64,
        steering: &[Vec<Complex>],
    ) -> Vec<Complex> {
        let waves = self.waves(arrival, f);
        let (reach, wavelength) = (arrival.reach_mm(self), self.solid.shear_mm_per_us / f);
        let strip = elevation::strip_factor(self.aperture.elevation_mm, off_plane_mm, reach, wavelength);
        steering
            .iter()
            .map(|phasors| {
                waves.iter().zip(phasors).fold(Complex::ZERO, |sum, (&wave, &phasor)| sum + wave * phasor)
                    * strip
            })
            .collect()
    }

    fn add_point(&self, face: &FaceResponse, point: &SurfacePoint, sum: &mut Sum) {
        let kernel = |i: ShearWave<f64>, spread: f64, j: ShearWave<f64>, n: [f64; 3]| {
            let c = incidence(i, n);
            let motion = face.at(f64::sqrt((1.0 - c * c).max(0.0)) as f32, spread as f32);
            let wide = |(re, im): (f32, f32)| (f64::from(re), f64::from(im));
            let motion = FaceMotion { tangential: wide(motion.tangential), normal: wide(motion.normal) };
            let (re, im) = response(motion, i, j, n);
            Complex::new(re, im)
        };
        let arrivals = self.arrivals(point.position_mm);
        let mut parts = Vec::new();
        for &(i, j) in self.pairs {
            let (Some(a), Some(b)) = (&arrivals[i], &arrivals[j]) else { continue };
            let (wave_i, wave_j) = (a.wave(), b.wave());
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
            parts.push(Part {
                ends: [i, j],
                strength: k * point.area_mm2,
                delay_us: 0.0,
                per_wave_number: false,
            });
        }
        self.accumulate(&arrivals, &parts, point.position_mm[1], sum);
    }

    fn arrivals(&self, place: [f64; 3]) -> Vec<Option<Arrival>> {
        (0..3).map(|leg| self.arrival(leg, place)).collect()
    }

    fn add_rim(&self, half_plane: &HalfPlane, rim: &RimPoint, sum: &mut Sum) {
        let Some((length_mm, inward, normal)) = across_the_plane(rim) else { return };
        let arrivals = self.arrivals(rim.position_mm);
        let part = |&(i, j): &(usize, usize)| {
            let (a, b) = (arrivals[i].as_ref()?, arrivals[j].as_ref()?);
            let [re, im] = half_plane.rim(a.narrow_wave(), b.narrow_wave(), i == j, inward, normal);
            let strength = Complex::new(f64::from(re), f64::from(im)) * length_mm;
            Some(Part { ends: [i, j], strength, delay_us: 0.0, per_wave_number: true })
        };
        let parts: Vec<Part> = self.pairs.iter().filter_map(part).collect();
        self.accumulate(&arrivals, &parts, rim.position_mm[1], sum);
    }

    fn add_run(&self, half_plane: &HalfPlane, run: &FaceRun, sum: &mut Sum) {
        let Some((length_mm, inward, normal)) = across_the_plane(&run.from) else { return };
        let mut arrivals = self.arrivals(run.from.position_mm);
        let legs = arrivals.len();
        arrivals.extend(self.arrivals(run.to.position_mm));
        let (from, to) = (run.from.position_mm, run.to.position_mm);
        let length = libm::hypot(to[0] - from[0], to[2] - from[2]);
        let delay_us = length * f64::from(half_plane.rayleigh()) / self.solid.shear_mm_per_us;
        let mut parts = Vec::new();
        // In at one rim and out at the other: unequal legs can go either way round.
        for &(i, j) in self.pairs {
            for (i, j) in [(i, j), (j, i)].into_iter().take(if i == j { 1 } else { 2 }) {
                let (Some(a), Some(b)) = (&arrivals[i], &arrivals[legs + j]) else { continue };
                let [re, im] = half_plane.run(a.narrow_wave(), b.narrow_wave(), inward, normal);
                let strength = Complex::new(f64::from(re), f64::from(im)) * (2.0 * length_mm);
                parts.push(Part { ends: [i, legs + j], strength, delay_us, per_wave_number: true });
            }
        }
        self.accumulate(&arrivals, &parts, from[1], sum);
    }

    /// Adds parts that share arrivals, `off_plane_mm` beside the beam plane.
    fn accumulate(&self, arrivals: &[Option<Arrival>], parts: &[Part], off_plane_mm: f64, sum: &mut Sum) {
        let time = |part: &Part| {
            let [out, home] = part.ends.map(|end| arrivals[end].as_ref());
            Some(out?.paths.centre.time_us + home?.paths.centre.time_us + part.delay_us)
        };
        let heard: Vec<(&Part, f64)> = parts
            .iter()
            .filter_map(|part| Some((part, time(part)?)))
            .filter(|(_, time)| (sum.span[0]..sum.span[1]).contains(time))
            .collect();
        let needed = |end: usize| heard.iter().any(|(part, _)| part.ends.contains(&end));
        let arrivals: Vec<Option<&Arrival>> =
            (0..arrivals.len()).map(|end| arrivals[end].as_ref().filter(|_| needed(end))).collect();
        if heard.is_empty() {
            return;
        }
        for (m, &f) in sum.band.iter().enumerate() {
            let fields: Vec<Option<Vec<Complex>>> = arrivals
                .iter()
                .map(|arrival| arrival.map(|a| self.fields(a, off_plane_mm, f, &sum.steering[m])))
                .collect();
            for &(part, time) in &heard {
                let [i, j] = part.ends;
                let (Some(a), Some(b)) = (&fields[i], &fields[j]) else { continue };
                let wave_number = TAU * f / self.solid.shear_mm_per_us;
                let scale = if part.per_wave_number { 1.0 / wave_number } else { 1.0 };
                let turned = part.strength * Complex::phasor(TAU * f * time) * scale;
                for (beam, spectrum) in sum.spectra.iter_mut().enumerate() {
                    spectrum[m] += a[beam] * b[beam] * turned;
                }
            }
        }
    }
}

/// Length of a rim across the beam plane, and its directions into the gap and square to it in the plane; `None` for rims
/// that do not count.
fn across_the_plane(rim: &RimPoint) -> Option<(f64, [f32; 2], [f32; 2])> {
    let (inward, normal) = (rim.inward, rim.normal);
    let across = (inward[2] * normal[0] - inward[0] * normal[2]).abs();
    let unit = |v: [f64; 3]| {
        let length = libm::hypot(v[0], v[2]);
        [(v[0] / length) as f32, (v[2] / length) as f32]
    };
    (across >= LEAST_ACROSS).then(|| (rim.length_mm * across, unit(inward), unit(normal)))
}
