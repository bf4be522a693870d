//! What a joint must be.

use super::{Complaints, tidy};
use crate::joint::{Bevel, Joint, Preparation, WeldSide};
use crate::plate::Plate;

/// Flat face that must be left on each side of the weld for a probe to stand on, mm.
const LEAST_FACE_MM: f64 = 20.0;
/// Most of a joint's undercuts: one a side.
const MOST_UNDERCUTS: usize = 2;

/// Complains about the joint; true where nothing is wrong with its geometry.
pub(super) fn check(plate: &Plate, out: &mut Complaints) -> bool {
    let (joint, thickness) = (&plate.joint, plate.thickness_mm);
    let before = out.0.len();
    let words = joint.preparation.words();
    let root_face = match joint.preparation {
        Preparation::Square => {
            none(joint.groove_angle_deg != 0.0, "groove_angle_deg", words, out);
            0.0
        }
        preparation => {
            let angles = match preparation {
                Preparation::SingleJ => [5.0, 45.0],
                Preparation::SingleBevel | Preparation::DoubleBevel => [10.0, 60.0],
                _ => [20.0, 90.0],
            };
            out.within("plate.joint.groove_angle_deg", joint.groove_angle_deg, angles, "degrees");
            thickness / 2.0
        }
    };
    out.within("plate.joint.root_face_mm", joint.root_face_mm, [0.0, root_face], "mm");
    out.within("plate.joint.root_gap_mm", joint.root_gap_mm, [0.0, widest_gap_mm(joint)], "mm");
    out.within("plate.joint.cap.overlap_mm", joint.cap.overlap_mm, [0.0, 5.0], "mm");
    out.within("plate.joint.cap.height_mm", joint.cap.height_mm, [0.0, 5.0], "mm");
    if out.0.len() == before {
        let ripple = [0.0, (joint.cap.height_mm / 2.0).min(1.0)];
        out.within("plate.joint.cap.ripple_mm", joint.cap.ripple_mm, ripple, "mm");
    }
    if let Some(width) = joint.heat_affected_mm {
        out.within("plate.joint.heat_affected_mm", width, [0.5, 15.0], "mm");
    }
    extras(joint, words, out);
    root(joint, words, out);
    if out.0.len() > before {
        return false;
    }
    if joint.preparation == Preparation::SingleJ {
        // The foot of the J must end below the upper face.
        let [top, _] = joint.root_face_depth_mm(thickness);
        let highest = top / (1.0 - libm::sin(joint.groove_angle_deg.to_radians()));
        if !out.within(
            "plate.joint.j_radius_mm",
            joint.j_radius_mm.unwrap_or(6.0),
            [1.0, highest.min(20.0)],
            "mm",
        ) {
            return false;
        }
    }
    let toe = joint.upper_toe_mm(thickness).max(joint.lower_toe_mm(thickness).unwrap_or(0.0));
    // An arc stands on its chord at most as a half circle; a weld is far flatter.
    let chord =
        WeldSide::BOTH.map(|side| joint.cap_toe_mm(thickness, side, Bevel::Upper)).into_iter().sum::<f64>();
    let highest = 0.25 * chord;
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

/// The edges of a weld on a backing bar, and those of a square butt, may stand farther apart.
fn widest_gap_mm(joint: &Joint) -> f64 {
    if joint.backing_bar.is_some() { 12.0 } else { 6.0 }
}

/// Complains where a key is there that a preparation has not.
fn none(there: bool, key: &str, words: &str, out: &mut Complaints) {
    if there {
        out.add(&format!("plate.joint.{key}"), format!("a {words} has none, expected no such key"));
    }
}

/// Keys that only some preparations have, and what goes along the cap.
fn extras(joint: &Joint, words: &str, out: &mut Complaints) {
    match joint.upper_share {
        Some(share) if joint.preparation.is_double() => {
            out.within("plate.joint.upper_share", share, [0.2, 0.8], "");
        }
        share => none(share.is_some(), "upper_share", words, out),
    }
    if !joint.preparation.is_one_sided() {
        none(joint.prepared_side.is_some(), "prepared_side", words, out);
    }
    if joint.preparation != Preparation::SingleJ {
        none(joint.j_radius_mm.is_some(), "j_radius_mm", words, out);
    }
    if out.within("plate.joint.misalignment_mm", joint.misalignment_mm, [-4.0, 4.0], "mm")
        && joint.misalignment_mm != 0.0
        && !joint.preparation.is_double()
        && joint.root_bead.is_none_or(|bead| bead.width_mm < 2.0)
    {
        let message = "misaligned edges need a root bead between them, expected one at least 2 mm wide";
        out.add("plate.joint.misalignment_mm", message.to_owned());
    }
    if joint.undercuts.len() > MOST_UNDERCUTS {
        let message = format!("{} undercuts, expected at most one a side", joint.undercuts.len());
        out.add("plate.joint.undercut", message);
        return;
    }
    for (index, cut) in joint.undercuts.iter().enumerate() {
        let path = format!("plate.joint.undercut[{index}]");
        if joint.undercuts[..index].iter().any(|other| other.side == cut.side) {
            out.add(
                &format!("{path}.side"),
                format!("side {:?} has one already, expected at most one", cut.side),
            );
        }
        if out.within(&format!("{path}.width_mm"), cut.width_mm, [0.5, 6.0], "mm") {
            out.within(&format!("{path}.depth_mm"), cut.depth_mm, [0.1, (0.5 * cut.width_mm).min(2.0)], "mm");
        }
    }
}

/// Root bead and backing bar.
fn root(joint: &Joint, words: &str, out: &mut Complaints) {
    if joint.preparation.is_double() {
        if joint.root_bead.is_some() {
            out.add("plate.joint.root_bead", format!("a {words} has no root bead, expected none"));
        }
        none(joint.backing_bar.is_some(), "backing_bar", words, out);
        return;
    }
    if let Some(bead) = joint.root_bead {
        let least = joint.root_gap_mm.max(1.0);
        out.within("plate.joint.root_bead.width_mm", bead.width_mm, [least, 15.0], "mm");
        if out.within("plate.joint.root_bead.height_mm", bead.height_mm, [-3.0, 5.0], "mm") {
            let ripple = [0.0, (bead.height_mm.abs() / 2.0).min(1.0)];
            out.within("plate.joint.root_bead.ripple_mm", bead.ripple_mm, ripple, "mm");
            if bead.height_mm < -0.25 * bead.width_mm {
                let deepest = -0.25 * bead.width_mm;
                out.within("plate.joint.root_bead.height_mm", bead.height_mm, [deepest, 5.0], "mm");
            }
        }
    }
    if let Some(bar) = joint.backing_bar {
        if joint.root_bead.is_some() {
            let message = "a root on a backing bar has no bead, expected none".to_owned();
            out.add("plate.joint.root_bead", message);
        }
        if joint.misalignment_mm != 0.0 {
            let message = "edges on a backing bar lie level, expected no misalignment".to_owned();
            out.add("plate.joint.misalignment_mm", message);
        }
        out.within("plate.joint.backing_bar.thickness_mm", bar.thickness_mm, [2.0, 20.0], "mm");
        out.within("plate.joint.backing_bar.fused_mm", bar.fused_mm, [0.2, 5.0], "mm");
        let least = joint.root_gap_mm + 2.0 * bar.fused_mm + 4.0;
        out.within("plate.joint.backing_bar.width_mm", bar.width_mm, [least, 60.0], "mm");
    }
}
