//! One flaw of a level, drawn to fit its joint.

use acoustics::seed::Stream;

use super::level::Level;
use super::{between, side, tenths};
use crate::flaw::{Flaw, FlawKind, Place, RootSpot};
use crate::joint::{Bevel, Preparation, WeldSide};
use crate::plate::Plate;
use crate::runs;

/// Least height of a planar flaw, mm.
const LEAST_MM: f64 = 0.5;
/// Largest share of the wall that a flaw takes.
const LARGEST_SHARE: f64 = 0.4;
/// Sound metal left between a flaw and a face it does not break, mm: more than a plate needs.
const COVER_MM: f64 = 1.0;
/// Longest pore cluster, mm.
const LONGEST_CLUSTER_MM: f64 = 18.0;

/// The kinds of a level that a joint can have.
pub(super) fn kinds(level: &Level, plate: &Plate) -> Vec<FlawKind> {
    let joint = &plate.joint;
    let root_face = root_face_mm(plate);
    let possible = |kind: &FlawKind| match kind {
        FlawKind::RootCrack => !joint.preparation.is_double(),
        FlawKind::IncompletePenetration => root_face >= LEAST_MM && joint.backing_bar.is_none(),
        FlawKind::LackOfRootFusion => root_face >= LEAST_MM || !joint.preparation.is_double(),
        FlawKind::LackOfInterRunFusion => surfaces(plate).next().is_some(),
        // Nothing as large as these fits between the edges of a square butt.
        FlawKind::PoreCluster | FlawKind::SlagLine | FlawKind::SlagInclusion | FlawKind::SinglePore => {
            joint.preparation != Preparation::Square
        }
        FlawKind::ToeCrack => joint.cap.height_mm > 0.0,
        _ => true,
    };
    level.kinds.iter().copied().filter(possible).collect()
}

fn surfaces(plate: &Plate) -> impl Iterator<Item = runs::RunSurface> {
    runs::surfaces(plate).into_iter().filter(|surface| surface.fall_mm >= LEAST_MM)
}

/// What of the root can stay unfused, mm.
fn root_face_mm(plate: &Plate) -> f64 {
    match plate.joint.preparation {
        Preparation::Square => plate.thickness_mm / 4.0,
        _ => plate.joint.root_face_mm,
    }
}

/// A range cut down to at most `most`.
fn upto([low, high]: [f64; 2], most: f64) -> [f64; 2] {
    [low.min(most), high.min(most)]
}

fn blank(stream: &mut Stream, kind: FlawKind, [length_mm, height_mm]: [f64; 2], place: Place) -> Flaw {
    Flaw {
        kind,
        start_mm: 0.0,
        length_mm,
        height_mm,
        width_mm: None,
        tilt_deg: 0.0,
        branches: 0,
        roughness_ratio: Flaw::USUAL_ROUGHNESS,
        seed: u64::from(stream.bits32()),
        mandatory: true,
        place,
    }
}

/// A flaw of a kind as the level draws it, still without its place along the weld; it need not fit the plate.
pub(super) fn flaw(stream: &mut Stream, level: &Level, plate: &Plate, kind: FlawKind) -> Flaw {
    let (joint, thickness) = (&plate.joint, plate.thickness_mm);
    let length = f64::from(between(stream, level.length_mm.map(|mm| libm::round(2.0 * mm) as u32))) / 2.0;
    let height = tenths(stream, upto(level.height_mm, LARGEST_SHARE * thickness));
    let whole_depth = [COVER_MM, thickness - COVER_MM];
    let on = side(stream);
    match kind {
        FlawKind::LackOfSideWallFusion => {
            let place = bevel(stream, plate, on, height);
            blank(stream, kind, [length, height], place)
        }
        FlawKind::LackOfInterRunFusion => {
            let all: Vec<_> = surfaces(plate).collect();
            let drawn = stream.below(all.len().max(1) as u32) as usize;
            let (place, fall_mm) =
                all.get(drawn).map_or((Place::Root { at: RootSpot::Centre }, LEAST_MM), |run| {
                    (Place::Run { layer: run.layer, run: run.run, groove: run.groove }, run.fall_mm)
                });
            let height = tenths(stream, [LEAST_MM, libm::floor(fall_mm * 10.0) / 10.0]);
            blank(stream, kind, [length, height], place)
        }
        FlawKind::LackOfRootFusion | FlawKind::IncompletePenetration => {
            let at = match (kind, on) {
                (FlawKind::IncompletePenetration, _) => RootSpot::Centre,
                (_, WeldSide::A) => RootSpot::EdgeA,
                (_, WeldSide::B) => RootSpot::EdgeB,
            };
            let highest = match root_face_mm(plate) {
                low if low < LEAST_MM => LARGEST_SHARE * thickness / 2.0,
                root_face => root_face,
            };
            let height = tenths(stream, [(0.7 * highest).max(LEAST_MM), highest]);
            blank(stream, kind, [length, height], Place::Root { at })
        }
        FlawKind::CentrelineCrack | FlawKind::TransverseCrack => {
            let depth_mm = tenths(stream, whole_depth);
            let offset_mm = on.x_sign() * tenths(stream, [0.0, 0.8]) + 0.0;
            let place = Place::Weld { depth_mm, offset_mm };
            if kind == FlawKind::CentrelineCrack {
                leaning(stream, level, kind, [length, height], place)
            } else {
                let width_mm = Some(tenths(stream, [3.0, 12.0]));
                let along = tenths(stream, [0.6, 2.0]);
                Flaw { width_mm, ..blank(stream, kind, [along, height], place) }
            }
        }
        FlawKind::RootCrack => {
            let at = match (joint.root_bead, on) {
                (None, _) => RootSpot::Centre,
                (_, WeldSide::A) => RootSpot::ToeA,
                (_, WeldSide::B) => RootSpot::ToeB,
            };
            leaning(stream, level, kind, [length, height], Place::Root { at })
        }
        FlawKind::ToeCrack => {
            let lower = joint.preparation.is_double() && stream.below(2) == 1;
            let face = if lower { Bevel::Lower } else { Bevel::Upper };
            let place = Place::Toe { side: on, face };
            leaning(stream, level, kind, [length, height], place)
        }
        FlawKind::SlagLine | FlawKind::SlagInclusion => {
            let slag = upto(level.slag_mm, LARGEST_SHARE * thickness);
            let (height, width) = (tenths(stream, slag), tenths(stream, slag));
            let short = tenths(stream, [height.max(width), 2.5 * height.max(width)]);
            let length = if kind == FlawKind::SlagLine { length } else { short };
            let place = if stream.below(2) == 1 {
                bevel(stream, plate, on, height)
            } else {
                let depth_mm = tenths(stream, whole_depth);
                // Slag stays in the notch between a run and the bevel.
                let edge = joint.edge_mm(thickness, on, depth_mm) - width / 2.0 - tenths(stream, [0.0, 1.2]);
                weld(on, depth_mm, edge)
            };
            Flaw { width_mm: Some(width), ..blank(stream, kind, [length, height], place) }
        }
        FlawKind::SinglePore | FlawKind::PoreLine => {
            let single = kind == FlawKind::SinglePore;
            let range = if single { level.pore_mm } else { level.pore_line_mm };
            let diameter = tenths(stream, upto(range, LARGEST_SHARE * thickness));
            let place = anywhere(stream, plate, on, diameter, whole_depth);
            let length = if single { diameter } else { length.max(3.0 * diameter) };
            let length = if single { length } else { libm::ceil(length * 2.0) / 2.0 };
            blank(stream, kind, [length, diameter], place)
        }
        FlawKind::PoreCluster => {
            let cluster = upto(level.cluster_mm, LARGEST_SHARE * thickness);
            let (width, height) = (tenths(stream, cluster), tenths(stream, cluster));
            let place = anywhere(stream, plate, on, width, whole_depth);
            let size = [length.min(LONGEST_CLUSTER_MM), height];
            Flaw { width_mm: Some(width), ..blank(stream, kind, size, place) }
        }
    }
}

/// A crack that leans and branches as the level has it.
fn leaning(stream: &mut Stream, level: &Level, kind: FlawKind, size: [f64; 2], place: Place) -> Flaw {
    let spread = libm::round(level.tilt_deg) as u32;
    let tilt_deg = f64::from(between(stream, [0, 2 * spread])) - f64::from(spread);
    let branches = between(stream, level.branches);
    Flaw { tilt_deg, branches, ..blank(stream, kind, size, place) }
}

/// Somewhere on one of a side's bevels with room for a height.
fn bevel(stream: &mut Stream, plate: &Plate, on: WeldSide, height: f64) -> Place {
    let lower = plate.joint.preparation.is_double() && stream.below(2) == 1;
    let bevel = if lower { Bevel::Lower } else { Bevel::Upper };
    let thickness = plate.thickness_mm;
    let [from, to] = plate.joint.bevel_depth_mm(thickness, on, bevel).unwrap_or([0.0, thickness]);
    let [from, to] = [from.max(COVER_MM), to.min(thickness - COVER_MM)];
    let depth_mm = tenths(stream, [from + height / 2.0, (to - height / 2.0).max(from + height / 2.0)]);
    Place::Bevel { side: on, bevel, depth_mm }
}

fn weld(on: WeldSide, depth_mm: f64, offset: f64) -> Place {
    Place::Weld { depth_mm, offset_mm: on.x_sign() * (libm::round(offset.max(0.0) * 10.0) / 10.0) + 0.0 }
}

/// Anywhere in the weld metal on a side where a width has room.
fn anywhere(stream: &mut Stream, plate: &Plate, on: WeldSide, width: f64, whole_depth: [f64; 2]) -> Place {
    let depth_mm = tenths(stream, whole_depth);
    let room = (plate.joint.edge_mm(plate.thickness_mm, on, depth_mm) - width / 2.0).max(0.0);
    weld(on, depth_mm, tenths(stream, [0.0, room]))
}
