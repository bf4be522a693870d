//! Where the beams of a procedure go, by rays alone (Snell's law at the wedge foot, mirror faces). Amplitudes are
//! the instrument's business; this is for checks and explanations.

use instrument::procedure::Procedure;

/// Forward distance from the wedge front at which sound of one element leaves the foot, mm (negative: behind the
/// front). `element` counts from 0, halves lie between elements.
pub fn exit_forward_mm(procedure: &Procedure, shear_mm_per_us: f64, element: f64, angle_deg: f64) -> f64 {
    let probe = &procedure.probe;
    let wedge_angle = probe.wedge_angle_deg.to_radians();
    let along = element * probe.pitch_mm;
    let height = probe.first_element_height_mm + along * libm::sin(wedge_angle);
    let sine =
        libm::sin(angle_deg.to_radians()) * probe.wedge_material.longitudinal_mm_per_us / shear_mm_per_us;
    let in_wedge = libm::asin(sine.clamp(-1.0, 1.0));
    along * libm::cos(wedge_angle) + height * libm::tan(in_wedge) - probe.first_element_to_front_mm
}

/// The same for the middle of the aperture: the exit point of a beam.
pub fn beam_exit_forward_mm(procedure: &Procedure, shear_mm_per_us: f64, angle_deg: f64) -> f64 {
    let sector = &procedure.sector;
    let middle = f64::from(sector.first_element) - 1.0 + (f64::from(sector.active_elements) - 1.0) / 2.0;
    exit_forward_mm(procedure, shear_mm_per_us, middle, angle_deg)
}

/// Refracted angles of the beams, degrees.
pub fn angles_deg(procedure: &Procedure) -> Vec<f64> {
    let sector = &procedure.sector;
    let steps = libm::floor((sector.to_deg - sector.from_deg) / sector.step_deg + 1e-6);
    (0..=steps as u32).map(|i| sector.from_deg + sector.step_deg * f64::from(i)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standard;

    fn procedure() -> Procedure {
        let plate = specimen::generator::plate(specimen::joint::Preparation::SingleV.into(), 1, 1);
        standard::procedure(&plate)
    }

    #[test]
    fn the_standard_sector_has_61_beams() {
        let angles = angles_deg(&procedure());
        assert_eq!((angles.len(), angles[0], angles[60]), (61, 40.0, 70.0));
    }

    /// Wedge angles for 45°, 60° and 70° shear behind polystyrene: 30.669°, 38.661°, 42.677° (Snell's law).
    #[test]
    fn beams_leave_the_foot_where_snell_says() {
        let procedure = procedure();
        let height = 5.0 + 15.75 * libm::sin(36_f64.to_radians());
        let along = 15.75 * libm::cos(36_f64.to_radians());
        for (angle, in_wedge) in [(45.0, 30.669_f64), (60.0, 38.661), (70.0, 42.677)] {
            let exit = beam_exit_forward_mm(&procedure, 3.23, angle);
            let expected = along + height * libm::tan(in_wedge.to_radians()) - 40.0;
            assert!((exit - expected).abs() < 1e-3, "{angle}°: {exit} against {expected}");
        }
    }
}
