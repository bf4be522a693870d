//! From a plate to what a probe can hear.

use acoustics::scene::{Grain, NotFlat, Scene, Surface};
use acoustics::seed::Stream;

use crate::flaw::FlawKind;
use crate::joint::Preparation;
use crate::plate::Plate;
use crate::shape::{self, CLOSED_GAP_MM};
use crate::weld_surface;

/// Finest spacing made, mm; finer serves no wave a plate is scanned with and would fill the memory.
const FINEST_MM: f64 = 0.05;

pub(crate) fn scene(plate: &Plate, point_spacing_mm: f64) -> Scene {
    let spacing_mm = point_spacing_mm.max(FINEST_MM);
    let mut outside = weld_surface::outside(plate, spacing_mm);
    let (mut rims, mut runs) = (Vec::new(), Vec::new());
    for flaw in &plate.flaws {
        let mut jitter = Stream::new(shape::seed(flaw, plate), "flaw points");
        for piece in shape::pieces(flaw, plate) {
            piece.points(spacing_mm, &mut jitter, &mut outside.points);
            piece.rims(spacing_mm, &mut rims, &mut runs);
        }
        let gap = plate.joint.root_gap_mm;
        let open_root = flaw.kind == FlawKind::IncompletePenetration
            && plate.joint.preparation == Preparation::SingleV
            && gap >= CLOSED_GAP_MM;
        if open_root {
            outside.lower_not_flat.push(NotFlat {
                x_mm: [-gap / 2.0, gap / 2.0],
                y_mm: [flaw.start_mm, flaw.start_mm + flaw.length_mm],
            });
        }
    }
    Scene {
        solid: plate.solid,
        thickness_mm: Some(plate.thickness_mm),
        surface: Surface::from_points(outside.points).with_rims(rims, runs),
        upper_not_flat: outside.upper_not_flat,
        lower_not_flat: outside.lower_not_flat,
        grain: Some(Grain { seed: plate.seed, level_db: plate.grain_level_db }),
    }
}
