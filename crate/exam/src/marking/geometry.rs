//! The outside of the weld: where an echo comes from cap or root bead rather than from a flaw.

use specimen::plate::Plate;

use crate::said::{Said, said};
use crate::scheme::Tolerance;

/// What of the weld's outside lies at a place of the section, in a sentence; `None` in the body of the weld and
/// beside it. An echo of the cap plots as far below the face as the cap stands above it, since the picture folds
/// the sound there; how exactly a place is known is the scheme's tolerance.
pub(super) fn at(plate: &Plate, tolerance: &Tolerance, offset_mm: f64, depth_mm: f64) -> Option<Said> {
    let (joint, thickness) = (&plate.joint, plate.thickness_mm);
    let upper_toe = Some(joint.upper_toe_mm(thickness)).filter(|_| joint.cap.height_mm > 0.0);
    let lower = if joint.preparation.is_double() {
        joint
            .lower_toe_mm(thickness)
            .filter(|_| joint.cap.height_mm > 0.0)
            .map(|toe| (toe, joint.cap.height_mm, said!("said.outside.lower_cap")))
    } else if let Some(bead) = joint.root_bead {
        let drawn_in = bead.height_mm < 0.0;
        let name = if drawn_in { said!("said.outside.drawn_in") } else { said!("said.outside.bead") };
        Some((bead.width_mm / 2.0, bead.height_mm.abs(), name))
    } else {
        joint.backing_bar.map(|bar| (bar.width_mm / 2.0, bar.thickness_mm, said!("said.outside.bar")))
    };
    let covers = |toe: f64| offset_mm.abs() <= toe + tolerance.across_mm;
    if upper_toe.is_some_and(covers) && depth_mm <= joint.cap.height_mm + tolerance.depth_mm {
        return Some(said!("said.outside.cap"));
    }
    let (toe, height, name) = lower?;
    (covers(toe) && depth_mm >= thickness - height - tolerance.depth_mm).then_some(name)
}
