//! Root faces that were never melted: incomplete penetration.

use acoustics::scene::Sides;

use super::sheet::soft;
use crate::flaw::Flaw;
use crate::patch::{Patch, Piece, Place};
use crate::plate::Plate;

/// Below this distance two unfused root faces are one thin gap rather than an open one, mm.
pub(crate) const CLOSED_GAP_MM: f64 = 0.1;

/// In a weld from one face they stand open to the lower face of the plate; in one from both they are in the middle of
/// the root face, closed by weld metal above and below.
pub(super) fn pieces(flaw: &Flaw, plate: &Plate) -> Vec<Piece> {
    let (start, length, height) = (flaw.start_mm, flaw.length_mm, flaw.height_mm);
    let half_gap = plate.joint.root_gap_mm / 2.0;
    let [root_top, root_bottom] = plate.joint.root_face_depth_mm(plate.thickness_mm);
    let breaking = !plate.joint.preparation.is_double();
    let bottom = if breaking { plate.thickness_mm } else { (root_top + root_bottom + height) / 2.0 };
    let top = bottom - height;
    let ends = move |u: f64| (u * length).min((1.0 - u) * length);
    let along = move |u: f64| start + length * u;
    if 2.0 * half_gap < CLOSED_GAP_MM {
        let place: Place = Box::new(move |u, v| [0.0, along(u), bottom - height * v]);
        let weight = move |u: f64, _: f64| soft(ends(u));
        return vec![Piece::Patch(Patch {
            weight: Box::new(weight),
            rims: [!breaking, true],
            smooth: true,
            ..Patch::new(Sides::Both, place)
        })];
    }
    // The faces of an open gap meet others at their edges and are soft only where the flaw ends along the weld.
    let open = |place: Place| {
        let weight = Box::new(move |u: f64, _: f64| soft(ends(u)));
        Piece::Patch(Patch { weight, ..Patch::new(Sides::One, place) })
    };
    // Each with d/du × d/dv into the metal: u along the weld, v up (side B) or down (side A), right or left.
    let mut pieces = vec![
        open(Box::new(move |u, v| [half_gap, along(u), top + height * v])),
        open(Box::new(move |u, v| [-half_gap, along(u), bottom - height * v])),
        open(Box::new(move |u, v| [half_gap * (2.0 * v - 1.0), along(u), top])),
    ];
    if !breaking {
        pieces.push(open(Box::new(move |u, v| [half_gap * (1.0 - 2.0 * v), along(u), bottom])));
    }
    pieces
}
