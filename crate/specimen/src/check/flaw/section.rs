//! Whether a flaw's shape stays in weld metal, or in the heat-affected zone where its kind may run.

use crate::check::Complaints;
use crate::flaw::{Flaw, FlawKind, Place};
use crate::joint::{Bevel, WeldSide};
use crate::plate::Plate;
use crate::shape;

/// How far weld metal reaches past the prepared edge, mm. Common practice, no source.
const FUSION_MM: f64 = 0.5;

/// Distance from the centreline up to which a flaw may reach on one side at a depth, mm.
pub(crate) fn room_mm(plate: &Plate, kind: FlawKind, side: WeldSide, depth_mm: f64) -> f64 {
    let (joint, thickness) = (&plate.joint, plate.thickness_mm);
    let edge = joint.edge_mm(thickness, side, depth_mm);
    let zone = joint.heat_affected_mm();
    match kind {
        // Cracks that start at a face stay within the zone that the heat of its bead has affected.
        FlawKind::RootCrack => edge.max(joint.root_bead.map_or(0.0, |bead| bead.width_mm / 2.0)) + zone,
        FlawKind::ToeCrack => {
            let toe = |face| joint.cap_toe_mm(thickness, side, face);
            let near = if depth_mm < thickness / 2.0 { toe(Bevel::Upper) } else { toe(Bevel::Lower) };
            edge.max(near) + zone
        }
        FlawKind::TransverseCrack => edge + zone,
        _ => edge + FUSION_MM,
    }
}

pub(super) fn check(plate: &Plate, flaw: &Flaw, path: &str, out: &mut Complaints) {
    let Some([across, along, depth]) = shape::bounds(flaw, plate) else {
        out.add(path, "nothing of this flaw fits into its box, expected a larger one".to_owned());
        return;
    };
    if along[0] < -1e-9 || along[1] > plate.length_mm + 1e-9 {
        out.add(&format!("{path}.length_mm"), "reaches outside the plate, expected to end in it".to_owned());
    }
    let key = match flaw.place {
        Place::Weld { .. } => "place.weld.offset_mm",
        Place::Toe { .. } => "place.toe",
        Place::Root { .. } if flaw.kind == FlawKind::RootCrack => "place.root",
        Place::Bevel { .. } if !flaw.kind.is_planar() => "place.bevel",
        _ => return,
    };
    // A groove is narrowest at the root face: at the flaw's depth nearest to it.
    let [root_top, root_bottom] = plate.joint.root_face_depth_mm(plate.thickness_mm);
    let narrowest = ((root_top + root_bottom) / 2.0).clamp(depth[0], depth[1]);
    for (side, reach) in [(WeldSide::A, -across[0]), (WeldSide::B, across[1])] {
        // Slag lies on the edge of its own side; only the other one can be passed.
        let own = matches!(flaw.place, Place::Bevel { side: own, .. } if own == side);
        // A crack of the heat-affected zone leans away from the weld at its tip.
        let at_face = matches!(flaw.place, Place::Toe { .. });
        let depth_mm = if at_face { (depth[0] + depth[1]) / 2.0 } else { narrowest };
        let room = room_mm(plate, flaw.kind, side, depth_mm);
        if !own && reach > room {
            let message = format!(
                "the flaw reaches {} mm from the centreline on side {side:?} where there is room for {} mm (at {} mm \
                 depth), expected it inside the {}",
                tenth(reach),
                tenth(room),
                tenth(depth_mm),
                if flaw.kind.is_crack() && flaw.kind != FlawKind::CentrelineCrack {
                    "weld and its heat-affected zone"
                } else {
                    "weld"
                }
            );
            out.add(&format!("{path}.{key}"), message);
        }
    }
}

/// What is measured on a shape is good to a tenth of a millimetre.
fn tenth(value: f64) -> String {
    format!("{value:.1}")
}
