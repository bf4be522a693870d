//! Where the beams of a procedure go, by rays alone (Snell's law at the wedge foot, mirror faces). Amplitudes are
//! the instrument's business; this is for checks and explanations.

use instrument::procedure::Procedure;
use instrument::set_up;

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

/// Refracted angles of the beams, degrees, and where each leaves the wedge, forward from its front, mm: by the middle of the
/// aperture that sends it.
pub fn beams(procedure: &Procedure, shear_mm_per_us: f64) -> Vec<[f64; 2]> {
    let sector = &procedure.sector;
    let step = sector.linear.as_ref().map_or(0, |linear| linear.step_elements);
    let middle = f64::from(sector.first_element) - 1.0 + (f64::from(sector.active_elements) - 1.0) / 2.0;
    let beam = |(number, angle_deg)| {
        let element = middle + f64::from(number * step);
        [angle_deg, exit_forward_mm(procedure, shear_mm_per_us, element, angle_deg)]
    };
    (0_u32..).zip(set_up::sector_angles_deg(sector)).map(beam).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standard;
    use instrument::procedure::Linear;

    fn procedure() -> Procedure {
        let plate = specimen::generator::plate(specimen::joint::Preparation::SingleV.into(), 1, 1);
        standard::procedure(&plate)
    }

    #[test]
    fn the_standard_sector_has_61_beams() {
        let beams = beams(&procedure(), 3.23);
        assert_eq!((beams.len(), beams[0][0], beams[60][0]), (61, 40.0, 70.0));
    }

    /// Wedge angles for 45°, 60° and 70° shear behind polystyrene: 30.669°, 38.661°, 42.677° (Snell's law).
    #[test]
    fn beams_leave_the_foot_where_snell_says() {
        let procedure = procedure();
        let height = 5.0 + 15.75 * libm::sin(36_f64.to_radians());
        let along = 15.75 * libm::cos(36_f64.to_radians());
        for (angle, in_wedge) in [(45.0, 30.669_f64), (60.0, 38.661), (70.0, 42.677)] {
            let found = beams(&procedure, 3.23).into_iter().find(|beam| (beam[0] - angle).abs() < 1e-9);
            let exit = found.expect("a beam")[1];
            let expected = along + height * libm::tan(in_wedge.to_radians()) - 40.0;
            assert!((exit - expected).abs() < 1e-3, "{angle}°: {exit} against {expected}");
        }
    }

    /// By hand: an element further on lies pitch cos 36° ahead and pitch sin 36° higher; at 60° (38.661° in the wedge) its sound
    /// leaves another rise times tan 38.661° ahead.
    #[test]
    fn beams_of_a_linear_scan_leave_side_by_side() {
        let mut procedure = procedure();
        (procedure.sector.first_element, procedure.sector.active_elements) = (1, 16);
        (procedure.sector.from_deg, procedure.sector.to_deg) = (60.0, 60.0);
        procedure.sector.linear = Some(Linear { step_elements: 2, last_element: 58 });
        let beams = beams(&procedure, 3.23);
        assert_eq!(beams.len(), 22);
        let step = libm::cos(36_f64.to_radians())
            + libm::sin(36_f64.to_radians()) * libm::tan(38.661_f64.to_radians());
        for pair in beams.windows(2) {
            assert!(
                (pair[1][1] - pair[0][1] - step).abs() < 1e-3 && (pair[0][0] - 60.0).abs() < 1e-9,
                "{pair:?}"
            );
        }
    }
}
