//! What a joint must be.

use super::{Complaints, tidy};
use crate::joint::Preparation;
use crate::plate::Plate;

/// Flat face that must be left on each side of the weld for a probe to stand on, mm.
const LEAST_FACE_MM: f64 = 20.0;

/// Complains about the joint; true where nothing is wrong with its geometry.
pub(super) fn check(plate: &Plate, out: &mut Complaints) -> bool {
    let (joint, thickness) = (&plate.joint, plate.thickness_mm);
    let before = out.0.len();
    out.within("plate.joint.groove_angle_deg", joint.groove_angle_deg, [20.0, 90.0], "degrees");
    out.within("plate.joint.root_face_mm", joint.root_face_mm, [0.0, thickness / 2.0], "mm");
    out.within("plate.joint.root_gap_mm", joint.root_gap_mm, [0.0, 6.0], "mm");
    out.within("plate.joint.cap.overlap_mm", joint.cap.overlap_mm, [0.0, 5.0], "mm");
    out.within("plate.joint.cap.height_mm", joint.cap.height_mm, [0.0, 5.0], "mm");
    if out.0.len() == before {
        let ripple = [0.0, (joint.cap.height_mm / 2.0).min(1.0)];
        out.within("plate.joint.cap.ripple_mm", joint.cap.ripple_mm, ripple, "mm");
    }
    match (joint.preparation, joint.upper_share, joint.root_bead) {
        (Preparation::SingleV, Some(_), _) => {
            out.add(
                "plate.joint.upper_share",
                "only a double V has an upper share, expected none".to_owned(),
            );
        }
        (Preparation::DoubleV, Some(share), _) => {
            out.within("plate.joint.upper_share", share, [0.2, 0.8], "");
        }
        _ => {}
    }
    match (joint.preparation, joint.root_bead) {
        (Preparation::DoubleV, Some(_)) => {
            out.add("plate.joint.root_bead", "a double V has no root bead, expected none".to_owned());
        }
        (Preparation::SingleV, Some(bead)) => {
            let least = joint.root_gap_mm.max(1.0);
            out.within("plate.joint.root_bead.width_mm", bead.width_mm, [least, 15.0], "mm");
            if out.within("plate.joint.root_bead.height_mm", bead.height_mm, [0.0, 5.0], "mm") {
                let ripple = [0.0, (bead.height_mm / 2.0).min(1.0)];
                out.within("plate.joint.root_bead.ripple_mm", bead.ripple_mm, ripple, "mm");
            }
        }
        _ => {}
    }
    if out.0.len() > before {
        return false;
    }
    let toe = joint.upper_toe_mm(thickness).max(joint.lower_toe_mm(thickness).unwrap_or(0.0));
    // An arc stands on its chord at most as a half circle; a weld is far flatter.
    let highest = 0.5 * toe;
    if joint.cap.height_mm > highest {
        out.within("plate.joint.cap.height_mm", joint.cap.height_mm, [0.0, highest], "mm");
    }
    if let Some(bead) = joint.root_bead.filter(|bead| bead.height_mm > 0.5 * bead.width_mm) {
        out.within("plate.joint.root_bead.height_mm", bead.height_mm, [0.0, 0.5 * bead.width_mm], "mm");
    }
    let least = 2.0 * (toe + LEAST_FACE_MM);
    if plate.width_mm < least {
        let message = format!(
            "{} mm leaves no room for a probe beside the weld, expected at least {} mm",
            tidy(plate.width_mm),
            tidy(least)
        );
        out.add("plate.width_mm", message);
    }
    out.0.len() == before
}
