//! From the written procedure to aperture and delay laws; says what is impossible and what would be right.

use acoustics::aperture::{Aperture, Coupling};
use acoustics::law::{DelayLaw, LawError};
use acoustics::material::Solid;

use crate::procedure::{Probe, Procedure, Sector};

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

/// Largest number of beams of a sector.
const MOST_BEAMS: f64 = 181.0;

/// The aperture of a procedure.
pub fn aperture(procedure: &Procedure) -> Aperture {
    let (probe, sector) = (&procedure.probe, &procedure.sector);
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

/// Refracted angles of a sector, degrees, rising.
pub fn angles_deg(procedure: &Procedure) -> Vec<f64> {
    sector_angles_deg(&procedure.sector)
}

pub(crate) fn sector_angles_deg(sector: &Sector) -> Vec<f64> {
    let beams = ((sector.to_deg - sector.from_deg) / sector.step_deg + 1e-6) as u32 + 1;
    (0..beams).map(|beam| sector.from_deg + sector.step_deg * f64::from(beam)).collect()
}

/// The laws of a procedure, after checking all that the frame engine relies on.
///
/// # Errors
/// The first thing found impossible.
pub fn laws(procedure: &Procedure, aperture: &Aperture, solid: &Solid) -> Result<Vec<DelayLaw>, SetUpError> {
    check(procedure)?;
    let mut laws = Vec::new();
    for angle_deg in angles_deg(procedure) {
        let law = DelayLaw::new(aperture, solid, angle_deg.to_radians(), procedure.sector.focus_path_mm)?;
        let ahead_mm = law.exit_mm - procedure.probe.first_element_to_front_mm;
        if ahead_mm > 0.0 {
            return Err(SetUpError::AheadOfWedge { angle_deg, ahead_mm });
        }
        laws.push(law);
    }
    Ok(laws)
}

/// Ranges within which the tables are made for; the paper's own checks may be narrower.
pub fn check(procedure: &Procedure) -> Result<(), SetUpError> {
    check_probe_and_sector(&procedure.probe, &procedure.sector)?;
    within("range_mm", procedure.range_mm, 20.0, 300.0, "mm")?;
    within("reference_gain_db", procedure.reference_gain_db, 0.0, 80.0, "dB")
}

fn within(name: &'static str, value: f64, low: f64, high: f64, unit: &str) -> Result<(), SetUpError> {
    if value >= low && value <= high {
        Ok(())
    } else {
        Err(SetUpError::OutOfRange { name, value, expected: format!("{low} to {high} {unit}") })
    }
}

/// The same of probe and sector alone.
pub(crate) fn check_probe_and_sector(probe: &Probe, sector: &Sector) -> Result<(), SetUpError> {
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
    within("sector.from_deg", sector.from_deg, 35.0, 80.0, "degrees")?;
    within("sector.to_deg", sector.to_deg, sector.from_deg, 80.0, "degrees")?;
    within("sector.step_deg", sector.step_deg, 0.1, 10.0, "degrees")?;
    within("beams of the sector", sector_angles_deg(sector).len() as f64, 1.0, MOST_BEAMS, "beams")?;
    if let Some(path) = sector.focus_path_mm {
        within("sector.focus_path_mm", path, 5.0, 1000.0, "mm")?;
    }
    Ok(())
}
