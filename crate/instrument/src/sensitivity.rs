//! The receiver's correction: a 3 mm side-drilled hole gives the same height at every angle and sound path.
//!
//! The curve is measured on the model's own holes, as it would be on a block; nothing is fitted by hand.

use acoustics::frame_maker::FrameMaker;
use acoustics::material::Solid;
use acoustics::placement::Placement;
use acoustics::scene::{Cavity, CavityForm, Scene, Surface};

use acoustics::fine_trace::{FINE, FineTrace};

/// Diameter of the reference reflector, mm.
pub const HOLE_DIAMETER_MM: f64 = 3.0;
/// Height of the reference reflector's echo at reference gain, % of full screen height.
pub const REFERENCE_HEIGHT_PERCENT: f64 = 80.0;
/// Sound paths to the centres of the holes, mm; those beyond the range are left out. Close to the array, where the beam
/// has ripples, they lie closer.
const PATHS_MM: [f64; 20] = [
    8.0, 10.0, 12.0, 14.0, 16.0, 18.0, 20.0, 22.5, 25.0, 28.0, 32.0, 37.0, 43.0, 50.0, 60.0, 72.0, 88.0,
    110.0, 140.0, 175.0,
];
/// Most angles at which holes are measured; the curve is interpolated between.
const ANGLES: usize = 7;

/// Raw echo heights of the hole over angle and path.
#[derive(Debug)]
pub struct Sensitivity {
    /// Beams measured, rising.
    beams: Vec<usize>,
    /// Sound paths to the front of the holes, mm.
    paths_mm: Vec<f64>,
    /// Natural logarithm of the raw height, `[beam][path]`.
    log_height: Vec<Vec<f64>>,
}

impl Sensitivity {
    /// Measures the holes in a half space.
    pub fn measure(engine: &mut FrameMaker, solid: &Solid, centre_mm: [f64; 2], range_mm: f64) -> Self {
        let last = engine.laws().len() - 1;
        let mut beams: Vec<usize> = (0..ANGLES).map(|k| k * last / (ANGLES - 1)).collect();
        beams.dedup();
        let paths: Vec<f64> =
            PATHS_MM.into_iter().filter(|&path| path == PATHS_MM[0] || path <= range_mm).collect();
        // One hole a frame: a second one would be heard as well.
        let log_height = beams
            .iter()
            .map(|&beam| {
                paths.iter().map(|&path| hole_height(engine, solid, centre_mm, beam, path)).collect()
            })
            .collect();
        let paths_mm = paths.iter().map(|path| path - 0.5 * HOLE_DIAMETER_MM).collect();
        Self { beams, paths_mm, log_height }
    }

    /// The curve of one beam, log-linear between the measured ones.
    pub fn curve(&self, beam: usize) -> Curve<'_> {
        let places: Vec<f64> = self.beams.iter().map(|&b| b as f64).collect();
        let (row, across) = bracket(&places, beam as f64);
        let (near, far) = (&self.log_height[row], &self.log_height[(row + 1).min(self.beams.len() - 1)]);
        let log_height = near.iter().zip(far).map(|(near, far)| near + across * (far - near)).collect();
        Curve { paths_mm: &self.paths_mm, log_height }
    }
}

/// Raw height of the hole on one beam.
pub struct Curve<'a> {
    paths_mm: &'a [f64],
    log_height: Vec<f64>,
}

impl Curve<'_> {
    /// Height at a sound path (log-linear between the measured ones, flat beyond).
    pub fn height(&self, path_mm: f64) -> f64 {
        let (column, along) = bracket(self.paths_mm, path_mm);
        let next = (column + 1).min(self.log_height.len() - 1);
        let near = self.log_height[column];
        libm::exp(near + along * (self.log_height[next] - near))
    }
}

/// Index below a value in a rising list, and the fraction to the next.
fn bracket(list: &[f64], value: f64) -> (usize, f64) {
    let index = list.partition_point(|&entry| entry <= value).saturating_sub(1).min(list.len().max(2) - 2);
    let Some(&next) = list.get(index + 1) else { return (index, 0.0) };
    (index, ((value - list[index]) / (next - list[index])).clamp(0.0, 1.0))
}

/// Logarithm of the echo height of a hole centred on a beam's axis.
fn hole_height(
    engine: &mut FrameMaker,
    solid: &Solid,
    centre_mm: [f64; 2],
    beam: usize,
    path_mm: f64,
) -> f64 {
    let law = &engine.laws()[beam];
    let along = law.exit_mm - centre_mm[0] + path_mm * libm::sin(law.angle);
    let scene = Scene {
        solid: *solid,
        thickness_mm: None,
        surface: Surface::default().with_cavities(hole([along, path_mm * libm::cos(law.angle)])),
        upper_not_flat: Vec::new(),
        lower_not_flat: Vec::new(),
        grain: None,
        longitudinal: false,
    };
    let stand = Placement { centre_mm: [0.0, 0.0], forward: [1.0, 0.0], lower_face_mm: None };
    let front = engine.first_path_sample(beam) + (path_mm - 0.5 * HOLE_DIAMETER_MM) / engine.path_step_mm();
    let reach = 1.0 / engine.path_step_mm();
    let (re, im) = engine.beam(&scene, &stand, beam);
    // Between the samples, or the height would depend on where they happen to fall.
    let fine = FineTrace::default();
    let index = |sample: f64| (sample.max(0.0) * FINE as f64) as usize;
    let heights = (index(front - reach)..index(front + reach)).map(|k| f64::from(fine.magnitude(re, im, k)));
    libm::log(heights.fold(f64::MIN_POSITIVE, f64::max))
}

/// A hole across the beam plane, as long as the beam is wide. Both sides of the beam plane hear the same, so one half
/// counts twice.
fn hole([x, z]: [f64; 2]) -> Vec<Cavity> {
    const PIECES: u32 = 36;
    let step = 7.95 / f64::from(PIECES);
    let piece = |row: u32| Cavity {
        position_mm: [x, step * (f64::from(row) + 0.5), z],
        diameter_mm: HOLE_DIAMETER_MM,
        form: CavityForm::Bore { direction: [0.0, 1.0, 0.0], length_mm: 2.0 * step },
    };
    (0..PIECES).map(piece).collect()
}
