//! What the operator sets: probe and wedge, beams, range and receiver, and from there aperture and delay laws. Says what is
//! impossible and what would be right.

use acoustics::aperture::{Aperture, Coupling};
use acoustics::law::{DelayLaw, LawError};
use acoustics::material::Solid;
use serde::{Deserialize, Serialize};

use crate::procedure::{Probe, Procedure, Sector};
use crate::receiver::Receiver;

mod problem;

pub use problem::Problem;

/// Why a set-up cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum SetUpError {
    /// A number of the procedure is out of its range.
    #[error("{name} is {value}, expected {expected}")]
    OutOfRange {
        /// Key in the procedure.
        name: &'static str,
        /// Its value.
        value: f64,
        /// What would be right.
        expected: String,
    },
    /// A beam leaves the wedge ahead of its front.
    #[error(
        "the {angle_deg:.1}° beam leaves the wedge {ahead_mm:.1} mm ahead of its front; a longer wedge, a lower first element or a smaller angle keeps it inside"
    )]
    AheadOfWedge {
        /// Refracted angle, degrees.
        angle_deg: f64,
        /// How far ahead, mm.
        ahead_mm: f64,
    },
    /// A delay law cannot be made.
    #[error(transparent)]
    Law(#[from] LawError),
}

/// Probe, beams, range and receiver as the operator holds them.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SetUp {
    /// Probe and wedge.
    pub probe: Probe,
    /// Beams.
    pub sector: Sector,
    /// Longest sound path shown, mm.
    pub range_mm: f64,
    /// How the echo trace is shown.
    #[serde(default)]
    pub receiver: Receiver,
}

/// A part of the set-up that a procedure may leave to the operator.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum SetUpPart {
    /// Probe and wedge.
    Probe,
    /// Angles, step, first element and aperture.
    Beams,
    /// Where the beams are focused.
    Focus,
    /// The longest sound path shown.
    Range,
    /// Rectification, smoothing, averaging.
    Receiver,
}

impl SetUpPart {
    /// All of them: what is left to the operator where the procedure does not say.
    pub fn all() -> Vec<Self> {
        vec![Self::Probe, Self::Beams, Self::Focus, Self::Range, Self::Receiver]
    }
}

impl SetUp {
    /// What a procedure prescribes.
    pub fn of(procedure: &Procedure) -> Self {
        Self {
            probe: procedure.probe.clone(),
            sector: procedure.sector.clone(),
            range_mm: procedure.range_mm,
            receiver: Receiver::default(),
        }
    }

    /// The procedure with this set-up in place of its own.
    pub fn in_place_of(&self, procedure: &Procedure) -> Procedure {
        Procedure {
            probe: self.probe.clone(),
            sector: self.sector.clone(),
            range_mm: self.range_mm,
            ..procedure.clone()
        }
    }

    /// The parts in which it differs from another.
    pub fn differences(&self, other: &Self) -> Vec<SetUpPart> {
        let unfocused =
            |set_up: &Self| Sector { focus_path_mm: None, focus_depth_mm: None, ..set_up.sector.clone() };
        let focus = |set_up: &Self| (set_up.sector.focus_path_mm, set_up.sector.focus_depth_mm);
        let parts = [
            (SetUpPart::Probe, self.probe != other.probe),
            (SetUpPart::Beams, unfocused(self) != unfocused(other)),
            (SetUpPart::Focus, focus(self) != focus(other)),
            (SetUpPart::Range, self.range_mm.to_bits() != other.range_mm.to_bits()),
            (SetUpPart::Receiver, self.receiver != other.receiver),
        ];
        parts.into_iter().filter(|(_, differs)| *differs).map(|(part, _)| part).collect()
    }

    /// The active part of the array on its wedge.
    pub fn aperture(&self) -> Aperture {
        let (probe, sector) = (&self.probe, &self.sector);
        Aperture {
            coupling: Coupling::Wedge(probe.wedge_material),
            wedge_angle: probe.wedge_angle_deg.to_radians(),
            first_height_mm: probe.first_element_height_mm,
            pitch_mm: probe.pitch_mm,
            element_width_mm: probe.element_width_mm,
            elevation_mm: Some(probe.elevation_mm),
            first: sector.first_element.saturating_sub(1),
            count: sector.active_elements,
            frequency_mhz: probe.frequency_mhz,
            bandwidth_percent: probe.bandwidth_percent,
        }
    }

    /// Refracted angles of the beams, degrees, rising.
    pub fn angles_deg(&self) -> Vec<f64> {
        sector_angles_deg(&self.sector)
    }

    /// The laws, after checking all that the frame engine relies on.
    ///
    /// # Errors
    /// The first thing found impossible.
    pub fn laws(&self, solid: &Solid) -> Result<Vec<DelayLaw>, SetUpError> {
        check_probe_and_sector(&self.probe, &self.sector)?;
        within("range_mm", self.range_mm, RANGE_MM[0], RANGE_MM[1], "mm")?;
        self.receiver.check()?;
        let aperture = self.aperture();
        let mut laws = Vec::new();
        for angle_deg in self.angles_deg() {
            let angle = angle_deg.to_radians();
            let law = DelayLaw::new(&aperture, solid, angle, self.sector.focus_path_at(angle))?;
            let ahead_mm = law.exit_mm - self.probe.first_element_to_front_mm;
            if ahead_mm > 0.0 {
                return Err(SetUpError::AheadOfWedge { angle_deg, ahead_mm });
            }
            laws.push(law);
        }
        Ok(laws)
    }
}

/// Largest number of beams of a sector.
const MOST_BEAMS: f64 = 181.0;
/// Sound paths that can be shown, mm.
const RANGE_MM: [f64; 2] = [20.0, 300.0];
/// Refracted angles that can be sent, degrees.
const ANGLES_DEG: [f64; 2] = [35.0, 80.0];

/// Refracted angles of the beams, degrees.
pub fn sector_angles_deg(sector: &Sector) -> Vec<f64> {
    let beams = ((sector.to_deg - sector.from_deg) / sector.step_deg + 1e-6) as u32 + 1;
    (0..beams).map(|beam| sector.from_deg + sector.step_deg * f64::from(beam)).collect()
}

/// One number within its range.
pub(crate) fn within(
    name: &'static str,
    value: f64,
    low: f64,
    high: f64,
    unit: &str,
) -> Result<(), SetUpError> {
    if value >= low && value <= high {
        Ok(())
    } else {
        Err(SetUpError::OutOfRange { name, value, expected: format!("{low} to {high} {unit}") })
    }
}

/// The first number of probe and sector that is out of its range: ranges within which the tables are made for; the
/// paper's own checks may be narrower.
pub fn check_probe_and_sector(probe: &Probe, sector: &Sector) -> Result<(), SetUpError> {
    within("probe.elements", f64::from(probe.elements), 4.0, 256.0, "elements")?;
    within("probe.pitch_mm", probe.pitch_mm, 0.1, 3.0, "mm")?;
    within("probe.element_width_mm", probe.element_width_mm, 0.05, probe.pitch_mm, "mm")?;
    within("probe.elevation_mm", probe.elevation_mm, 2.0, 25.0, "mm")?;
    within("probe.frequency_mhz", probe.frequency_mhz, 1.0, 7.5, "MHz")?;
    // The baseband of 10 MHz holds a pulse of this width.
    within("probe.bandwidth_percent", probe.bandwidth_percent, 20.0, 380.0 / probe.frequency_mhz, "%")?;
    within("probe.wedge_angle_deg", probe.wedge_angle_deg, 0.0, 60.0, "degrees")?;
    within("probe.first_element_height_mm", probe.first_element_height_mm, 1.0, 60.0, "mm")?;
    within("probe.first_element_to_front_mm", probe.first_element_to_front_mm, 1.0, 150.0, "mm")?;
    within("sector.first_element", f64::from(sector.first_element), 1.0, f64::from(probe.elements), "")?;
    let most = f64::from(probe.elements) - f64::from(sector.first_element) + 1.0;
    within("sector.active_elements", f64::from(sector.active_elements), 4.0, most, "elements")?;
    within("sector.from_deg", sector.from_deg, ANGLES_DEG[0], ANGLES_DEG[1], "degrees")?;
    within("sector.to_deg", sector.to_deg, sector.from_deg, ANGLES_DEG[1], "degrees")?;
    within("sector.step_deg", sector.step_deg, 0.1, 10.0, "degrees")?;
    within("beams of the sector", sector_angles_deg(sector).len() as f64, 1.0, MOST_BEAMS, "beams")?;
    if let Some(path) = sector.focus_path_mm {
        within("sector.focus_path_mm", path, 5.0, 1000.0, "mm")?;
    }
    if let Some(depth) = sector.focus_depth_mm {
        within("sector.focus_depth_mm", depth, 2.0, 500.0, "mm")?;
        let both = sector.focus_path_mm.is_some();
        within("focus_path_mm and focus_depth_mm together", f64::from(u8::from(both)), 0.0, 0.0, "")?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::yard;

    fn set_up(angle_deg: f64, focus_path_mm: Option<f64>, focus_depth_mm: Option<f64>) -> SetUp {
        SetUp {
            probe: yard::probe(),
            sector: Sector {
                from_deg: angle_deg,
                to_deg: angle_deg,
                step_deg: 1.0,
                focus_path_mm,
                focus_depth_mm,
                ..yard::sector()
            },
            range_mm: 110.0,
            receiver: Receiver::default(),
        }
    }

    fn delays(set_up: &SetUp) -> Vec<f64> {
        set_up.laws(&Solid::STEEL).expect("a law")[0].delays_us.clone()
    }

    /// A beam at 60° meets a depth after twice that sound path (cos 60° = 1/2).
    #[test]
    fn a_focus_at_a_depth_is_one_at_its_sound_path() {
        let by_depth = delays(&set_up(60.0, None, Some(15.0)));
        let by_path = delays(&set_up(60.0, Some(30.0), None));
        for (a, b) in by_depth.iter().zip(&by_path) {
            assert!((a - b).abs() < 1e-9, "{a} {b}");
        }
        let unfocused = delays(&set_up(60.0, None, None));
        assert!(by_path.iter().zip(&unfocused).any(|(a, b)| (a - b).abs() > 0.01));
    }

    #[test]
    fn two_focuses_at_once_are_refused() {
        assert!(set_up(60.0, Some(30.0), Some(15.0)).laws(&Solid::STEEL).is_err());
    }

    #[test]
    fn differences_name_the_parts() {
        let one = set_up(60.0, Some(30.0), None);
        assert_eq!(one.differences(&one), []);
        let other = SetUp { range_mm: 90.0, ..set_up(55.0, None, Some(15.0)) };
        assert_eq!(one.differences(&other), [SetUpPart::Beams, SetUpPart::Focus, SetUpPart::Range]);
    }
}
