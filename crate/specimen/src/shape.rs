//! The shape of a flaw, from its kind, size, place and seed. Past this module a flaw is nothing but points.

use crate::flaw::{Extent, Flaw, FlawKind, Place, RootSpot};
use crate::joint::{Bevel, WeldSide};
use crate::patch::{NOWHERE, Piece};
use crate::plate::Plate;
use crate::{profile, runs};

mod crack;
mod gap;
mod pore;
mod run;
mod sheet;
mod slag;
mod slag_on_bevel;

use crack::Mouth;

pub(crate) use gap::CLOSED_GAP_MM;
#[cfg(test)]
pub(crate) use sheet::SOFT_RIM_MM;

/// A Rayleigh wave runs along a face that strays less than this, mm: a sixth of its length at 5 MHz. Our own choice.
const SMOOTH_WITHIN_MM: f64 = 0.1;

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
        (FlawKind::LackOfInterRunFusion, Place::Run { layer, run, groove }) => {
            runs::surface(plate, layer, run, groove)
                .map_or_else(Vec::new, |surface| run::pieces(flaw, surface, seed))
        }
        (FlawKind::LackOfRootFusion, Place::Root { at }) => {
            at.side().map_or_else(Vec::new, |side| sheet::on_root(flaw, plate, side, seed))
        }
        (FlawKind::IncompletePenetration, Place::Root { at: RootSpot::Centre }) => gap::pieces(flaw, plate),
        (FlawKind::CentrelineCrack, Place::Weld { depth_mm, offset_mm }) => {
            crack::inner(flaw, depth_mm, offset_mm, seed)
        }
        (FlawKind::TransverseCrack, Place::Weld { depth_mm, offset_mm }) => {
            crack::across(flaw, depth_mm, offset_mm, seed)
        }
        (FlawKind::RootCrack, Place::Root { at }) => crack::from_face(flaw, &root_mouth(plate, at), seed),
        (FlawKind::ToeCrack, Place::Toe { side, face }) => {
            crack::from_face(flaw, &toe_mouth(plate, side, face), seed)
        }
        (FlawKind::SlagLine | FlawKind::SlagInclusion, Place::Weld { depth_mm, offset_mm }) => {
            slag::pieces(flaw, depth_mm, offset_mm, seed)
        }
        (FlawKind::SlagLine | FlawKind::SlagInclusion, Place::Bevel { side, depth_mm, .. }) => {
            slag_on_bevel::pieces(flaw, plate, side, depth_mm, seed)
        }
        (FlawKind::SinglePore, Place::Weld { depth_mm, offset_mm }) => {
            pore::single(flaw, depth_mm, offset_mm)
        }
        (FlawKind::PoreCluster, Place::Weld { depth_mm, offset_mm }) => {
            pore::cluster(flaw, depth_mm, offset_mm, seed)
        }
        (FlawKind::PoreLine, Place::Weld { depth_mm, offset_mm }) => {
            pore::line(flaw, depth_mm, offset_mm, seed)
        }
        _ => Vec::new(),
    }
}

/// Where a root crack opens: at a toe of the root bead, or where a flush root has its middle. At a toe the mouth strays
/// outwards only: inwards it would open into the bead.
fn root_mouth(plate: &Plate, at: RootSpot) -> Mouth {
    let bead = plate.joint.root_bead.map_or(0.0, |bead| bead.width_mm / 2.0);
    let outward = at.side().map(WeldSide::x_sign);
    Mouth {
        purpose: "root crack",
        foot_mm: outward.map_or(0.0, |sign| sign * bead),
        face_mm: profile::face_depth_mm(plate, at.side(), Bevel::Lower),
        grows: -1.0,
        outward,
    }
}

/// Where a toe crack opens: at the toe of a cap, straying outwards only.
fn toe_mouth(plate: &Plate, side: WeldSide, face: Bevel) -> Mouth {
    Mouth {
        purpose: "toe crack",
        foot_mm: side.x_sign() * plate.joint.cap_toe_mm(plate.thickness_mm, side, face),
        face_mm: profile::face_depth_mm(plate, Some(side), face),
        grows: if face == Bevel::Upper { 1.0 } else { -1.0 },
        outward: Some(side.x_sign()),
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
