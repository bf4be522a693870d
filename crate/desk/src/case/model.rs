//! The echo model put to a case: the engine, tables and kernel of the plates, with bare contact instead of a wedge.

use acoustics::aperture::{Aperture, Coupling};
use acoustics::engine::FrameEngine;
use acoustics::fine_trace::{FINE, FineTrace};
use acoustics::law::{DelayLaw, LawError};
use acoustics::material::Solid;
use acoustics::placement::Placement;
use acoustics::pulse::SAMPLING_MHZ;
use acoustics::scene::{Scene, Surface};

use super::file::{Case, Case3d, Meta};
use super::shapes::Reflectors;
use super::solid_shapes;

/// Elements that stand for the continuous line of the cases: 0.3 mm each, under half a wavelength.
const ELEMENTS: u32 = 32;

/// Diameter of the reference hole, mm.
const HOLE_MM: f64 = 3.0;

/// A peak in a window.
#[derive(Clone, Copy, Debug)]
pub struct Peak {
    /// Envelope relative to the reference hole, dB.
    pub db: f64,
    /// Time, µs.
    pub time_us: f64,
}

/// The model for one beam angle.
pub struct Model {
    solid: Solid,
    engine: FrameEngine,
    angle: f64,
    fine: FineTrace,
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
        let engine = FrameEngine::new(&solid, &aperture, vec![law], range_mm);
        Ok(Self { solid, engine, angle, fine: FineTrace::default() })
    }

    /// Highest echo of a scene in a window of time: natural logarithm of the raw height, and time.
    fn peak(&mut self, scene: &Scene, [from, to]: [f64; 2]) -> (f64, f64) {
        let stand = Placement { centre_mm: [0.0, 0.0], forward: [1.0, 0.0], lower_face_mm: None };
        let start = self.engine.start_us();
        let (re, im) = self.engine.frame(scene, &stand, None);
        let index = |time: f64| (((time - start) * SAMPLING_MHZ).max(0.0) * FINE as f64) as usize;
        let value = |k: usize| f64::from(self.fine.magnitude(re, im, k));
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

    fn scene(&self, surface: Surface, thickness_mm: Option<f64>) -> Scene {
        Scene {
            solid: self.solid,
            thickness_mm,
            surface,
            upper_not_flat: Vec::new(),
            lower_not_flat: Vec::new(),
            grain: None,
            longitudinal: false,
        }
    }

    /// Raw height of the reference hole on the axis.
    pub fn reference(&mut self, path_mm: f64, three_dimensional: bool) -> f64 {
        let centre = [path_mm * libm::sin(self.angle), path_mm * libm::cos(self.angle)];
        let surface = if three_dimensional {
            solid_shapes::hole([centre[0], 0.0, centre[1]], 0.5 * HOLE_MM)
        } else {
            let mut hole = Reflectors::default();
            hole.circle(centre, 0.5 * HOLE_MM);
            hole.surface()
        };
        let time = 2.0 * (path_mm - 0.5 * HOLE_MM) / self.solid.shear_mm_per_us;
        let scene = self.scene(surface, None);
        self.peak(&scene, [time - 0.6, time + 0.6]).0
    }

    /// Peaks of a case in all its windows.
    pub fn answer(&mut self, case: &Case, reference: f64) -> Vec<(String, Peak)> {
        let mut reflectors = Reflectors::of(&case.objects, case.thickness_mm);
        let mut scene = self.scene(reflectors.surface(), case.thickness_mm);
        scene.upper_not_flat = reflectors.upper_not_flat;
        scene.lower_not_flat = reflectors.lower_not_flat;
        case.windows
            .iter()
            .map(|(name, window)| {
                let (height, time_us) = self.peak(&scene, window.window_us);
                (name.clone(), Peak { db: decibel(height - reference), time_us })
            })
            .collect()
    }

    /// Peak of a case in three dimensions, 5 µs around its place; `None` for an unknown kind.
    pub fn answer_3d(&mut self, case: &Case3d, reference: f64) -> Option<Peak> {
        let surface = solid_shapes::surface(&case.kind, self.angle, case.path_mm)?;
        let scene = self.scene(surface, None);
        let time = 2.0 * case.path_mm / self.solid.shear_mm_per_us;
        let (height, time_us) = self.peak(&scene, [time - 3.0, time + 1.5]);
        Some(Peak { db: decibel(height - reference), time_us })
    }
}

/// Decibels of a difference of natural logarithms.
fn decibel(nepers: f64) -> f64 {
    20.0 * nepers / core::f64::consts::LN_10
}
