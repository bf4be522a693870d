//! The echo model put to a case: the engine, tables and kernel of the plates, with bare contact instead of a wedge; or
//! the exact sum that the tables stand for.

use acoustics::aperture::{Aperture, Coupling};
use acoustics::engine::FrameEngine;
use acoustics::fine_trace::{FINE, FineTrace};
use acoustics::law::{DelayLaw, LawError};
use acoustics::material::Solid;
use acoustics::oracle::Oracle;
use acoustics::placement::{BrokenStretches, Placement};
use acoustics::pulse::SAMPLING_MHZ;
use acoustics::scene::Scene;

use super::file::{Case, Case3d, Meta};
use super::shapes::Reflectors;
use super::solid_shapes;

/// Elements that stand for the continuous line of the cases: 0.3 mm each, under half a wavelength.
const ELEMENTS: u32 = 32;

/// Diameter of the reference hole, mm.
const HOLE_MM: f64 = 3.0;

/// Where the aperture stands: at the origin, looking along x.
const STAND: Placement = Placement { centre_mm: [0.0, 0.0], forward: [1.0, 0.0], lower_face_mm: None };

/// Pairs of legs that frames sum.
const PAIRS: [(usize, usize); 6] = [(0, 0), (1, 1), (2, 2), (0, 1), (1, 2), (0, 2)];

/// How much longer than the windows the exact trace is at either end, µs: beyond what its ends may mix.
const AROUND_US: f64 = 3.0;

/// A peak in a window.
#[derive(Clone, Copy, Debug)]
pub struct Peak {
    /// Envelope relative to the reference hole, dB.
    pub db: f64,
    /// Time, µs.
    pub time_us: f64,
}

/// How echoes are computed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// By the tables of the plates' frames.
    Tables,
    /// By the exact sum over elements and frequencies.
    Exact,
}

/// The model for one beam angle.
pub struct Model {
    solid: Solid,
    aperture: Aperture,
    law: DelayLaw,
    /// None for the exact way.
    engine: Option<FrameEngine>,
    angle: f64,
    fine: FineTrace,
}

/// Complex baseband of the beam, and the time of its first sample.
struct Trace {
    start_us: f64,
    re: Vec<f32>,
    im: Vec<f32>,
}

impl Model {
    /// For a beam angle in degrees. `across_mm` is the length of the elements, none for endless ones.
    ///
    /// # Errors
    /// When there is no such beam.
    pub fn new(
        meta: &Meta,
        length_mm: f64,
        across_mm: Option<f64>,
        theta_deg: f64,
        latest_us: f64,
        way: Way,
    ) -> Result<Self, LawError> {
        let solid = Solid {
            longitudinal_mm_per_us: meta.material.longitudinal_mm_per_us,
            shear_mm_per_us: meta.material.shear_mm_per_us,
            density_g_per_cm3: 7.85,
            shear_loss_db_per_mm: 0.0,
        };
        let pitch_mm = length_mm / f64::from(ELEMENTS);
        let aperture = Aperture {
            coupling: Coupling::Bare,
            wedge_angle: 0.0,
            first_height_mm: 0.0,
            pitch_mm,
            element_width_mm: pitch_mm,
            elevation_mm: across_mm,
            first: 0,
            count: ELEMENTS,
            frequency_mhz: meta.pulse.frequency_mhz,
            bandwidth_percent: 100.0 * meta.pulse.bandwidth_fraction,
        };
        let angle = theta_deg.to_radians();
        let law = DelayLaw::new(&aperture, &solid, angle, None)?;
        let range_mm = 0.5 * latest_us * solid.shear_mm_per_us + 2.0;
        let engine =
            (way == Way::Tables).then(|| FrameEngine::new(&solid, &aperture, vec![law.clone()], range_mm));
        Ok(Self { solid, aperture, law, engine, angle, fine: FineTrace::default() })
    }

    /// The beam's trace over reflectors, at least over a span of time.
    fn trace(&mut self, reflectors: &Reflectors, thickness_mm: Option<f64>, [from, to]: [f64; 2]) -> Trace {
        let Some(engine) = &mut self.engine else {
            let broken = [&reflectors.upper_not_flat, &reflectors.lower_not_flat]
                .map(|patches| BrokenStretches::cross(patches, &STAND));
            let oracle = Oracle {
                solid: self.solid,
                aperture: &self.aperture,
                laws: std::slice::from_ref(&self.law),
                thickness_mm,
                broken: [&broken[0], &broken[1]],
                pairs: &PAIRS,
            };
            let start_us = libm::floor((from - AROUND_US) * SAMPLING_MHZ) / SAMPLING_MHZ;
            let samples = libm::ceil((to + AROUND_US - start_us) * SAMPLING_MHZ) as usize;
            let row = oracle.frame(&reflectors.exact(), start_us, samples).swap_remove(0);
            let (re, im) = row.iter().map(|value| (value.re as f32, value.im as f32)).unzip();
            return Trace { start_us, re, im };
        };
        let scene = Scene {
            solid: self.solid,
            thickness_mm,
            surface: reflectors.surface(),
            upper_not_flat: reflectors.upper_not_flat.clone(),
            lower_not_flat: reflectors.lower_not_flat.clone(),
            grain: None,
            longitudinal: false,
        };
        let start_us = engine.start_us();
        let (re, im) = engine.frame(&scene, &STAND, None);
        Trace { start_us, re: re.to_vec(), im: im.to_vec() }
    }

    /// Highest echo in a window of time: natural logarithm of the raw height, and time.
    fn peak(&self, trace: &Trace, [from, to]: [f64; 2]) -> (f64, f64) {
        let start = trace.start_us;
        let index = |time: f64| (((time - start) * SAMPLING_MHZ).max(0.0) * FINE as f64) as usize;
        let value = |k: usize| f64::from(self.fine.magnitude(&trace.re, &trace.im, k));
        let top =
            (index(from)..=index(to)).max_by(|&a, &b| value(a).total_cmp(&value(b))).unwrap_or(1).max(1);
        // The vertex of the parabola through the highest three.
        let (before, height, after) = (value(top - 1), value(top), value(top + 1));
        let bend = before - 2.0 * height + after;
        let inside = bend < 0.0 && height >= before && height >= after;
        let shift = if inside { 0.5 * (before - after) / bend } else { 0.0 };
        let time = start + (top as f64 + shift) / (FINE as f64 * SAMPLING_MHZ);
        (libm::log((height - 0.25 * (before - after) * shift).max(f64::MIN_POSITIVE)), time)
    }

    /// Raw height of the reference hole on the axis.
    pub fn reference(&mut self, path_mm: f64, three_dimensional: bool) -> f64 {
        let centre = [path_mm * libm::sin(self.angle), path_mm * libm::cos(self.angle)];
        let hole = if three_dimensional {
            solid_shapes::hole([centre[0], 0.0, centre[1]], 0.5 * HOLE_MM)
        } else {
            let mut hole = Reflectors::default();
            hole.circle(centre, 0.5 * HOLE_MM);
            hole
        };
        let time = 2.0 * (path_mm - 0.5 * HOLE_MM) / self.solid.shear_mm_per_us;
        let window = [time - 0.6, time + 0.6];
        let trace = self.trace(&hole, None, window);
        self.peak(&trace, window).0
    }

    /// Peaks of a case in all its windows.
    pub fn answer(&mut self, case: &Case, reference: f64) -> Vec<(String, Peak)> {
        let reflectors = Reflectors::of(&case.objects, case.thickness_mm);
        let windows = || case.windows.values().map(|window| window.window_us);
        let span = [
            windows().map(|[from, _]| from).fold(f64::INFINITY, f64::min),
            windows().map(|[_, to]| to).fold(0.0, f64::max),
        ];
        if case.windows.is_empty() {
            return Vec::new();
        }
        let trace = self.trace(&reflectors, case.thickness_mm, span);
        case.windows
            .iter()
            .map(|(name, window)| {
                let (height, time_us) = self.peak(&trace, window.window_us);
                (name.clone(), Peak { db: decibel(height - reference), time_us })
            })
            .collect()
    }

    /// Peak of a case in three dimensions, 5 µs around its place; `None` for an unknown kind.
    pub fn answer_3d(&mut self, case: &Case3d, reference: f64) -> Option<Peak> {
        let reflectors = solid_shapes::reflectors(&case.kind, self.angle, case.path_mm)?;
        let time = 2.0 * case.path_mm / self.solid.shear_mm_per_us;
        let window = [time - 3.0, time + 1.5];
        let trace = self.trace(&reflectors, None, window);
        let (height, time_us) = self.peak(&trace, window);
        Some(Peak { db: decibel(height - reference), time_us })
    }
}

/// Decibels of a difference of natural logarithms.
fn decibel(nepers: f64) -> f64 {
    20.0 * nepers / core::f64::consts::LN_10
}
