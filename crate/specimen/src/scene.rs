//! From a plate to what a probe can hear.

use acoustics::scene::{FaceRun, Grain, NotFlat, RimPoint, Scene, Surface, SurfacePoint};

use crate::flaw::{Flaw, FlawKind};
use crate::plate::Plate;
use crate::shape::{self, CLOSED_GAP_MM};
use crate::weld_surface;

/// Finest spacing made, mm; finer serves no wave a plate is scanned with and would fill the memory.
const FINEST_MM: f64 = 0.05;

/// Points and rims of one flaw.
fn flaw_surface(
    flaw: &Flaw,
    plate: &Plate,
    spacing_mm: f64,
    points: &mut Vec<SurfacePoint>,
    rims: &mut Rims,
) {
    for piece in shape::pieces(flaw, plate) {
        piece.points(spacing_mm, points);
        piece.rims(spacing_mm, &mut rims.rims, &mut rims.runs);
    }
}

/// Rims and runs as they are gathered.
#[derive(Default)]
struct Rims {
    rims: Vec<RimPoint>,
    runs: Vec<FaceRun>,
}

/// Where an unfused root stands open, there is no flat face.
fn open_root(flaw: &Flaw, plate: &Plate) -> Option<NotFlat> {
    let gap = plate.joint.root_gap_mm;
    let open = flaw.kind == FlawKind::IncompletePenetration
        && !plate.joint.preparation.is_double()
        && gap >= CLOSED_GAP_MM;
    open.then(|| NotFlat {
        x_mm: [-gap / 2.0, gap / 2.0],
        y_mm: [flaw.start_mm, flaw.start_mm + flaw.length_mm],
    })
}

pub(crate) fn scene(plate: &Plate, point_spacing_mm: f64) -> Scene {
    let spacing_mm = point_spacing_mm.max(FINEST_MM);
    let mut outside = weld_surface::outside(plate, spacing_mm);
    let mut rims = Rims::default();
    for flaw in &plate.flaws {
        flaw_surface(flaw, plate, spacing_mm, &mut outside.points, &mut rims);
        outside.lower_not_flat.extend(open_root(flaw, plate));
    }
    Scene {
        solid: plate.solid,
        thickness_mm: Some(plate.thickness_mm),
        surface: Surface::from_points(outside.points).with_rims(rims.rims, rims.runs),
        upper_not_flat: outside.upper_not_flat,
        lower_not_flat: outside.lower_not_flat,
        grain: Some(Grain { seed: plate.seed, level_db: plate.grain_level_db }),
        longitudinal: plate.longitudinal_waves,
    }
}

/// Each flaw by itself in silent metal between the plate's faces, without the echoes of cap and root.
pub(crate) fn flaw_scenes(plate: &Plate, point_spacing_mm: f64) -> Vec<Scene> {
    let spacing_mm = point_spacing_mm.max(FINEST_MM);
    let outside = weld_surface::outside(plate, spacing_mm);
    let lone = |flaw: &Flaw| {
        let (mut points, mut rims) = (Vec::new(), Rims::default());
        flaw_surface(flaw, plate, spacing_mm, &mut points, &mut rims);
        let open = plate.flaws.iter().filter_map(|flaw| open_root(flaw, plate));
        Scene {
            solid: plate.solid,
            thickness_mm: Some(plate.thickness_mm),
            surface: Surface::from_points(points).with_rims(rims.rims, rims.runs),
            upper_not_flat: outside.upper_not_flat.clone(),
            lower_not_flat: outside.lower_not_flat.iter().copied().chain(open).collect(),
            grain: None,
            longitudinal: plate.longitudinal_waves,
        }
    };
    plate.flaws.iter().map(lone).collect()
}
