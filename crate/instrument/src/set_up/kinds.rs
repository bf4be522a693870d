//! The two kinds of scan that a probe can make: what whoever changes from one to the other begins with.

use acoustics::material::Solid;
use serde::Serialize;

use super::SetUp;
use crate::limits::{ANGLES_DEG, FEWEST_ELEMENTS, FEWEST_LINEAR_BEAMS};
use crate::procedure::{Linear, Sector};

/// Elements that send at a time in a linear scan, and by how many they move on.
const ACTIVE: u32 = 16;
const STEP: u32 = 2;
/// How far a sector goes below and above the angle of the linear scan that it takes the place of, its step, and its largest angle,
/// degrees.
const BELOW_DEG: f64 = 15.0;
const ABOVE_DEG: f64 = 10.0;
const STEP_DEG: f64 = 1.0;
const LARGEST_DEG: f64 = 70.0;

/// Beams of either kind.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Kinds {
    /// Many angles from one place.
    pub sector: Sector,
    /// One angle from many places.
    pub linear: Sector,
}

impl SetUp {
    /// The beams as they are, and such as this probe can send in the other kind of scan.
    pub fn kinds(&self, solid: &Solid) -> Kinds {
        let own = self.sector.clone();
        if own.is_linear() {
            Kinds { sector: around(&own), linear: own }
        } else {
            Kinds { linear: self.linear(solid), sector: own }
        }
    }

    /// A linear scan at the sector's middle angle, from the first element to the last whose sound leaves inside the wedge.
    fn linear(&self, solid: &Solid) -> Sector {
        let (sector, fewest) = (&self.sector, FEWEST_ELEMENTS as u32);
        let angle_deg = libm::round(0.5 * (sector.from_deg + sector.to_deg));
        let angle = angle_deg.to_radians();
        let inside =
            |&element: &u32| self.ahead_mm(element - 1, solid, angle).is_some_and(|ahead| ahead <= 0.0);
        let last_element = (1..=self.probe.elements).rev().find(inside).unwrap_or(self.probe.elements);
        let active_elements = ACTIVE.min(sector.active_elements).min(last_element / 2).max(fewest);
        let step = last_element.saturating_sub(active_elements) / (FEWEST_LINEAR_BEAMS - 1);
        Sector {
            first_element: 1,
            active_elements,
            from_deg: angle_deg,
            to_deg: angle_deg,
            linear: Some(Linear { step_elements: step.clamp(1, STEP), last_element }),
            ..sector.clone()
        }
    }
}

/// A sector about the angle of a linear scan, by its first aperture.
fn around(linear: &Sector) -> Sector {
    let angle_deg = linear.from_deg;
    Sector {
        from_deg: (angle_deg - BELOW_DEG).max(ANGLES_DEG[0]),
        to_deg: (angle_deg + ABOVE_DEG).min(LARGEST_DEG.max(angle_deg)),
        step_deg: STEP_DEG,
        linear: None,
        ..linear.clone()
    }
}
