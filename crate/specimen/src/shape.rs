//! The shape of a flaw, from its kind, size, place and seed. Past this module a flaw is nothing but points.

use crate::flaw::{Extent, Flaw, FlawKind, Place, RootSpot};
use crate::patch::{NOWHERE, Piece};
use crate::plate::Plate;

mod crack;
mod gap;
mod pore;
mod sheet;
mod slag;

pub(crate) use gap::CLOSED_GAP_MM;
#[cfg(test)]
pub(crate) use sheet::SOFT_RIM_MM;

/// Seed of everything irregular about a flaw: two plates with the same flaw differ, two flaws of a plate too.
pub(crate) fn seed(flaw: &Flaw, plate: &Plate) -> u64 {
    // An odd factor spreads small seeds over all bits (the golden ratio of 2^64).
    plate.seed ^ flaw.seed.wrapping_add(1).wrapping_mul(0x9e37_79b9_7f4a_7c15)
}

/// The pieces of surface a flaw consists of. Kind and place must fit each other, as a checked plate's do; a flaw
/// whose do not has no surface.
pub(crate) fn pieces(flaw: &Flaw, plate: &Plate) -> Vec<Piece> {
    let seed = seed(flaw, plate);
    match (flaw.kind, flaw.place) {
        (FlawKind::LackOfSideWallFusion, Place::Bevel { side, depth_mm, .. }) => {
            sheet::pieces(flaw, plate, side, depth_mm, seed)
        }
        (FlawKind::CentrelineCrack, Place::Weld { depth_mm, offset_mm }) => {
            crack::inner(flaw, depth_mm, offset_mm, seed)
        }
        (FlawKind::RootCrack, Place::Root { at }) => crack::from_root(flaw, plate, at, seed),
        (FlawKind::IncompletePenetration, Place::Root { at: RootSpot::Centre }) => gap::pieces(flaw, plate),
        (FlawKind::SlagLine, Place::Weld { depth_mm, offset_mm }) => {
            slag::pieces(flaw, depth_mm, offset_mm, seed)
        }
        (FlawKind::SinglePore, Place::Weld { depth_mm, offset_mm }) => {
            pore::single(flaw, depth_mm, offset_mm)
        }
        (FlawKind::PoreCluster, Place::Weld { depth_mm, offset_mm }) => {
            pore::cluster(flaw, depth_mm, offset_mm, seed)
        }
        _ => Vec::new(),
    }
}

/// The exact box of a flaw; `None` for a flaw without surface.
pub(crate) fn bounds(flaw: &Flaw, plate: &Plate) -> Option<crate::patch::Bounds> {
    let mut bounds = NOWHERE;
    for piece in pieces(flaw, plate) {
        piece.bound(&mut bounds);
    }
    (bounds[0][0] <= bounds[0][1]).then_some(bounds)
}

pub(crate) fn extent(flaw: &Flaw, plate: &Plate) -> Extent {
    let [across, along, depth] = bounds(flaw, plate).unwrap_or([[0.0; 2]; 3]);
    let to_tenth = |range: [f64; 2]| range.map(|value| libm::round(value * 10.0) / 10.0 + 0.0);
    // A plate's thickness need not be a whole number of tenths: what reaches the face reaches it exactly.
    let to_face = |value: f64, exact: f64| {
        if (exact - plate.thickness_mm).abs() < 1e-9 { plate.thickness_mm } else { value }
    };
    let [top, bottom] = to_tenth(depth);
    Extent {
        along_mm: to_tenth(along),
        across_mm: to_tenth(across),
        depth_mm: [top, to_face(bottom, depth[1])],
    }
}
