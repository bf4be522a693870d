//! From a pose to plate coordinates and back.

use acoustics::placement::Placement;

use crate::pose::{Face, Pose};

/// A pose over a plate, with the lengths of the wedge.
#[derive(Clone, Copy, Debug)]
pub struct Stand {
    pose: Pose,
    forward: [f64; 2],
    front_mm: [f64; 2],
    /// Distance from below the aperture's centre to the wedge front, mm.
    to_front_mm: f64,
    thickness_mm: f64,
}

impl Stand {
    /// The stand of a pose.
    pub fn new(pose: Pose, to_front_mm: f64, thickness_mm: f64) -> Self {
        let skew = pose.skew_deg.to_radians();
        let sign = pose.side.sign();
        Self {
            pose,
            forward: [sign * libm::cos(skew), libm::sin(skew)],
            front_mm: [-sign * pose.index_offset_mm, pose.y_mm],
            to_front_mm,
            thickness_mm,
        }
    }

    /// The pose.
    pub fn pose(&self) -> &Pose {
        &self.pose
    }

    /// As the frame engine wants it.
    pub fn placement(&self) -> Placement {
        Placement {
            centre_mm: [0, 1].map(|k| self.front_mm[k] - self.to_front_mm * self.forward[k]),
            forward: self.forward,
            lower_face_mm: (self.pose.face == Face::Lower).then_some(self.thickness_mm),
        }
    }

    /// Plate x and y of a place `forward_mm` ahead of the wedge front.
    pub fn plate_mm(&self, forward_mm: f64) -> [f64; 2] {
        [0, 1].map(|k| self.front_mm[k] + forward_mm * self.forward[k])
    }

    /// Forward distance, from the wedge front, at which the beam plane has plate offset `x_mm`; `None` when the beam
    /// runs along the weld.
    pub fn forward_to_offset(&self, x_mm: f64) -> Option<f64> {
        (self.forward[0].abs() > 0.05).then(|| (x_mm - self.front_mm[0]) / self.forward[0])
    }

    /// Depth below the upper face of a depth below the face the probe stands on.
    pub fn depth_mm(&self, below_probe_mm: f64) -> f64 {
        match self.pose.face {
            Face::Upper => below_probe_mm,
            Face::Lower => self.thickness_mm - below_probe_mm,
        }
    }
}

/// Leg (from 1) and folded depth of a depth in the unfolded plate.
pub fn fold(unfolded_mm: f64, thickness_mm: f64) -> (u8, f64) {
    let passes = (unfolded_mm / thickness_mm).clamp(0.0, 250.0) as u8;
    let over = unfolded_mm - f64::from(passes) * thickness_mm;
    (passes + 1, if passes.is_multiple_of(2) { over } else { thickness_mm - over })
}

/// Unfolded depth of a depth on a leg (from 1).
pub fn unfold(depth_mm: f64, leg: u8, thickness_mm: f64) -> f64 {
    let walls = f64::from(leg - 1) * thickness_mm;
    if leg % 2 == 1 { walls + depth_mm } else { walls + thickness_mm - depth_mm }
}

#[cfg(test)]
mod tests {
    use super::{fold, unfold};

    /// Check value C34: T = 20, 60°, path 60 mm gives leg 2 at 10 mm depth (trigonometry; public notes).
    #[test]
    fn folds_at_the_faces() {
        let (leg, depth) = fold(60.0 * libm::cos(60.0_f64.to_radians()), 20.0);
        assert_eq!(leg, 2);
        assert!((depth - 10.0).abs() < 1e-9);
    }

    #[test]
    fn unfold_undoes_fold() {
        for unfolded in [0.5, 12.0, 19.9, 20.1, 33.0, 47.0, 59.0] {
            let (leg, depth) = fold(unfolded, 20.0);
            assert!((unfold(depth, leg, 20.0) - unfolded).abs() < 1e-9);
        }
    }
}
