//! From a plate to what a probe can hear.

use acoustics::scene::{Grain, Scene, Surface};

use crate::plate::Plate;

pub(crate) fn scene(plate: &Plate, point_spacing_mm: f64) -> Scene {
    let _ = point_spacing_mm;
    Scene {
        solid: plate.solid,
        thickness_mm: Some(plate.thickness_mm),
        surface: Surface::default(),
        upper_not_flat: Vec::new(),
        lower_not_flat: Vec::new(),
        grain: Some(Grain { seed: plate.seed, level_db: plate.grain_level_db }),
    }
}
