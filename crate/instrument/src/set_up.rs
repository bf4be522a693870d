//! What the operator sets: probe and wedge, beams, range and receiver, and from there aperture and delay laws. Says what is
//! impossible and what would be right.

use acoustics::aperture::{Aperture, Coupling};
use acoustics::frame_maker::Shot;
use acoustics::law::{DelayLaw, LawError};
use acoustics::material::Solid;
use serde::{Deserialize, Serialize};

use crate::limits::{self, Limit, RANGE_MM};
use crate::procedure::{Probe, Procedure, Sector};
use crate::receiver::Receiver;

mod kinds;
mod problem;

pub use kinds::Kinds;
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

    /// Whether it needs other tables than another: all but the receiver has a part in them.
    pub fn needs_tables(&self, other: &Self) -> bool {
        self.differences(other).iter().any(|&part| part != SetUpPart::Receiver)
    }

    /// The active part of the array on its wedge; of a linear scan that of the first beam.
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

    /// Whether its numbers lie within their limits.
    ///
    /// # Errors
    /// The first that does not.
    pub fn check(&self) -> Result<(), SetUpError> {
        check_probe_and_sector(&self.probe, &self.sector)?;
        limits::of_wedge(&self.probe).iter().try_for_each(within)?;
        within(&Limit::new("range_mm", self.range_mm, RANGE_MM, " mm"))?;
        self.receiver.check()
    }

    /// Every aperture that sends, from the foot of the wedge up, with the angles of its beams, degrees: a sector's one, or one for
    /// each beam of a linear scan.
    pub fn apertures(&self) -> Vec<(Aperture, Vec<f64>)> {
        let (aperture, angles) = (self.aperture(), self.angles_deg());
        let Some(linear) = &self.sector.linear else { return vec![(aperture, angles)] };
        let moved = |(beam, angle)| {
            let first = aperture.first + beam * linear.step_elements;
            (Aperture { first, ..aperture.clone() }, vec![angle])
        };
        (0..).zip(angles).map(moved).collect()
    }

    /// The laws of all beams, after checking all that the frames rely on.
    ///
    /// # Errors
    /// The first thing found impossible.
    pub fn laws(&self, solid: &Solid) -> Result<Vec<DelayLaw>, SetUpError> {
        Ok(self.shots(solid)?.into_iter().flat_map(|shot| shot.laws).collect())
    }

    /// The same by the aperture that sends them.
    ///
    /// # Errors
    /// The first thing found impossible.
    pub fn shots(&self, solid: &Solid) -> Result<Vec<Shot>, SetUpError> {
        self.check()?;
        let mut shots = Vec::new();
        for (aperture, angles_deg) in self.apertures() {
            let mut laws = Vec::new();
            for angle_deg in angles_deg {
                let angle = angle_deg.to_radians();
                let law = DelayLaw::new(&aperture, solid, angle, self.sector.focus_path_at(angle))?;
                let ahead_mm = law.exit_mm - self.probe.first_element_to_front_mm;
                if ahead_mm > 0.0 {
                    return Err(SetUpError::AheadOfWedge { angle_deg, ahead_mm });
                }
                laws.push(law);
            }
            shots.push(Shot { aperture, laws });
        }
        Ok(shots)
    }
}

/// Number of beams; far too large a number for a sector that nobody checked.
pub fn beam_count(sector: &Sector) -> u32 {
    if let Some(linear) = &sector.linear {
        let last_first = linear.last_element.saturating_add(1).saturating_sub(sector.active_elements);
        return (last_first.saturating_sub(sector.first_element) / linear.step_elements.max(1))
            .saturating_add(1);
    }
    (((sector.to_deg - sector.from_deg) / sector.step_deg + 1e-6) as u32).saturating_add(1)
}

/// Refracted angles of the beams of a set-up that was checked, degrees.
pub fn sector_angles_deg(sector: &Sector) -> Vec<f64> {
    let step_deg = if sector.is_linear() { 0.0 } else { sector.step_deg };
    (0..beam_count(sector)).map(|beam| sector.from_deg + step_deg * f64::from(beam)).collect()
}

/// A number that must lie within its limits.
pub(crate) fn within(limit: &Limit) -> Result<(), SetUpError> {
    if limit.is_kept() {
        Ok(())
    } else {
        Err(SetUpError::OutOfRange { name: limit.key, value: limit.value, expected: limit.expected() })
    }
}

/// The first number of probe and sector that is out of its limits.
pub fn check_probe_and_sector(probe: &Probe, sector: &Sector) -> Result<(), SetUpError> {
    limits::of_probe(probe).iter().chain(&limits::of_sector(probe, sector)).try_for_each(within)?;
    let beams = f64::from(beam_count(sector));
    within(&Limit::new("beams of the sector", beams, [1.0, f64::from(limits::most_beams(sector))], ""))?;
    let both = sector.focus_path_mm.is_some() && sector.focus_depth_mm.is_some();
    within(&Limit::new("focus_path_mm and focus_depth_mm together", f64::from(u8::from(both)), [0.0; 2], ""))
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
