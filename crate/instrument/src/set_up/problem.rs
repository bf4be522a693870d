//! What is wrong with a set-up, why, and what would be right.

use acoustics::law::DelayLaw;
use acoustics::material::Solid;
use serde::Serialize;

use super::{SetUp, SetUpError, SetUpPart, sector_angles_deg};
use crate::limits::ANGLES_DEG;
use crate::procedure::Procedure;

/// One thing that keeps a set-up from being used. Serialises with its kind and its numbers, for whoever has the words.
#[derive(Clone, Debug, PartialEq, Serialize, thiserror::Error)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Problem {
    /// The procedure leaves no choice here.
    #[error("the procedure does not leave {part:?} to the operator")]
    Fixed {
        /// Which part.
        part: SetUpPart,
    },
    /// The aperture is wider than the array, from where it begins.
    #[error(
        "elements {first_element} to {last_element} of an array of {elements}: at most {most_active} from there"
    )]
    ApertureTooWide {
        /// First active element, from 1.
        first_element: u32,
        /// Last one asked for.
        last_element: u32,
        /// Elements of the array.
        elements: u32,
        /// Most that can be active from the first on.
        most_active: u32,
    },
    /// Angles so small that a longitudinal wave goes along.
    #[error(
        "{angle_deg:.1}° is too near the first critical angle: below {critical_deg:.1}° of the shear wave a longitudinal wave goes along; from {least_deg:.0}° on"
    )]
    NearFirstCritical {
        /// Angle asked for, degrees.
        angle_deg: f64,
        /// Angle of the shear wave at the first critical angle, degrees.
        critical_deg: f64,
        /// Least angle that can be set, degrees.
        least_deg: f64,
    },
    /// Angles so large that the shear wave becomes a surface wave.
    #[error(
        "{angle_deg:.1}° is beyond what this wedge sends as a shear wave: from {critical_deg:.1}° on it runs along the surface; up to {most_deg:.0}°"
    )]
    BeyondSecondCritical {
        /// Angle asked for, degrees.
        angle_deg: f64,
        /// Angle from which on no shear wave leaves into the metal, degrees.
        critical_deg: f64,
        /// Largest angle that can be set, degrees.
        most_deg: f64,
    },
    /// A second beam, as strong as the first, lies among the beams of the sector.
    #[error(
        "the {angle_deg:.1}° beam has a grating lobe at {lobe_deg:.1}°, inside the sector: the pitch of {pitch_mm:.2} mm is too large for waves of {wavelength_mm:.2} mm; up to {largest_pitch_mm:.2} mm"
    )]
    GratingLobe {
        /// Refracted angle of the beam, degrees.
        angle_deg: f64,
        /// Refracted angle of the lobe, degrees.
        lobe_deg: f64,
        /// Pitch, mm.
        pitch_mm: f64,
        /// Wavelength in the wedge, mm.
        wavelength_mm: f64,
        /// Largest pitch without a lobe in this sector, mm.
        largest_pitch_mm: f64,
    },
    /// Sound leaves ahead of the wedge's front.
    #[error(
        "sound of the foremost active element would leave {ahead_mm:.1} mm ahead of the wedge's front at {angle_deg:.1}°; up to {largest_deg:.1}°, or {elements_back} elements further back"
    )]
    AheadOfWedge {
        /// Refracted angle, degrees.
        angle_deg: f64,
        /// How far ahead, mm.
        ahead_mm: f64,
        /// Largest angle for which it stays inside, degrees.
        largest_deg: f64,
        /// By how many elements the aperture would have to go back.
        elements_back: u32,
    },
    /// A number out of its range.
    #[error("{name} is {value}, expected {expected}")]
    OutOfRange {
        /// Which number.
        name: &'static str,
        /// Its value.
        value: f64,
        /// What would be right.
        expected: String,
    },
}

/// How near to the sector a grating lobe may come, degrees: about the half width of a beam.
const LOBE_MARGIN_DEG: f64 = 1.5;

impl SetUp {
    /// Everything that keeps it from being used on a metal under a procedure; empty when it can be.
    pub fn problems(&self, procedure: &Procedure, solid: &Solid) -> Vec<Problem> {
        let prescribed = Self::of(procedure);
        let changed = self.differences(&prescribed);
        if changed.is_empty() {
            return Vec::new();
        }
        let fixed = changed.into_iter().filter(|part| !procedure.operator_sets.contains(part));
        let mut problems: Vec<Problem> = fixed.map(|part| Problem::Fixed { part }).collect();
        problems.extend(self.aperture_too_wide());
        problems.extend(self.beyond_critical(solid));
        if !problems.is_empty() {
            return problems;
        }
        match self.laws(solid) {
            Ok(_) | Err(SetUpError::AheadOfWedge { .. } | SetUpError::Law(_)) => {
                problems.extend(self.ahead_of_wedge(solid));
                problems.extend(self.grating_lobe(solid));
            }
            Err(SetUpError::OutOfRange { name, value, expected }) => {
                problems.push(Problem::OutOfRange { name, value, expected });
            }
        }
        problems
    }

    fn aperture_too_wide(&self) -> Option<Problem> {
        let (first_element, active) = (self.sector.first_element, self.sector.active_elements);
        let elements = self.probe.elements;
        let last_element = first_element.saturating_add(active).saturating_sub(1);
        (first_element >= 1 && last_element > elements).then(|| Problem::ApertureTooWide {
            first_element,
            last_element,
            elements,
            most_active: (elements + 1).saturating_sub(first_element),
        })
    }

    fn beyond_critical(&self, solid: &Solid) -> Option<Problem> {
        let (least, most) = (ANGLES_DEG[0], ANGLES_DEG[1]);
        if self.sector.from_deg < least {
            let ratio = solid.shear_mm_per_us / solid.longitudinal_mm_per_us;
            return Some(Problem::NearFirstCritical {
                angle_deg: self.sector.from_deg,
                critical_deg: libm::asin(ratio).to_degrees(),
                least_deg: least,
            });
        }
        let speed = self.probe.wedge_material.longitudinal_mm_per_us;
        let critical_deg = libm::asin((solid.shear_mm_per_us / speed).min(1.0)).to_degrees();
        let most_deg = most.min(libm::floor(critical_deg - 1.0));
        (self.sector.to_deg > most_deg).then_some(Problem::BeyondSecondCritical {
            angle_deg: self.sector.to_deg,
            critical_deg,
            most_deg,
        })
    }

    /// How far ahead of the wedge's front sound of the foremost active element leaves, mm.
    fn ahead_mm(&self, solid: &Solid, angle: f64) -> Option<f64> {
        let mut foremost = self.aperture();
        foremost.first += foremost.count - 1;
        foremost.count = 1;
        let law = DelayLaw::new(&foremost, solid, angle, None).ok()?;
        Some(law.exit_mm - self.probe.first_element_to_front_mm)
    }

    fn ahead_of_wedge(&self, solid: &Solid) -> Option<Problem> {
        let angles = self.angles_deg();
        let ahead = |angle_deg: f64| self.ahead_mm(solid, angle_deg.to_radians());
        let &angle_deg = angles.last()?;
        let ahead_mm = ahead(angle_deg).filter(|&ahead_mm| ahead_mm > 0.0)?;
        let steps = ((angle_deg - ANGLES_DEG[0]) * 10.0) as u32;
        let down = (1..=steps).map(|step| angle_deg - 0.1 * f64::from(step));
        let inside = down.into_iter().find(|&angle| ahead(angle).is_some_and(|mm| mm <= 0.0));
        let angle = angle_deg.to_radians();
        // An element further back lies lower too, and its sound needs less room in the wedge.
        let aperture = self.aperture();
        let sine = libm::sin(angle) * aperture.near_speed(solid) / solid.shear_mm_per_us;
        let slope = sine / f64::sqrt(1.0 - sine * sine);
        let wedge = self.probe.wedge_angle_deg.to_radians();
        let an_element = self.probe.pitch_mm * (libm::cos(wedge) + libm::sin(wedge) * slope);
        Some(Problem::AheadOfWedge {
            angle_deg,
            ahead_mm,
            largest_deg: inside.unwrap_or(ANGLES_DEG[0]),
            elements_back: libm::ceil(ahead_mm / an_element) as u32,
        })
    }

    fn grating_lobe(&self, solid: &Solid) -> Option<Problem> {
        let pitch_mm = self.probe.pitch_mm;
        let (angle_deg, lobe_deg) = self.lobe_in_sector(solid, pitch_mm)?;
        let hundredths = (pitch_mm * 100.0) as u32;
        let smaller = (1..hundredths).map(|step| libm::round(pitch_mm * 100.0 - f64::from(step)) / 100.0);
        let free = smaller.into_iter().find(|&pitch| self.lobe_in_sector(solid, pitch).is_none());
        let speed = self.probe.wedge_material.longitudinal_mm_per_us;
        Some(Problem::GratingLobe {
            angle_deg,
            lobe_deg,
            pitch_mm,
            wavelength_mm: speed / self.probe.frequency_mhz,
            largest_pitch_mm: free.unwrap_or(0.1),
        })
    }

    /// A beam and its grating lobe among the beams, refracted angles in degrees, if the elements lay this far apart.
    fn lobe_in_sector(&self, solid: &Solid, pitch_mm: f64) -> Option<(f64, f64)> {
        let mut aperture = self.aperture();
        aperture.pitch_mm = pitch_mm;
        let (near, shear) = (aperture.near_speed(solid), solid.shear_mm_per_us);
        let (low, high) = (self.sector.from_deg - LOBE_MARGIN_DEG, self.sector.to_deg + LOBE_MARGIN_DEG);
        sector_angles_deg(&self.sector).into_iter().find_map(|angle_deg| {
            let in_wedge = libm::asin(libm::sin(angle_deg.to_radians()) * near / shear);
            let steer = libm::sin(in_wedge - aperture.wedge_angle);
            aperture.grating_sines(steer, near).into_iter().find_map(|sine| {
                let refracted = libm::sin(aperture.wedge_angle + libm::asin(sine)) * shear / near;
                let lobe_deg = libm::asin(refracted).to_degrees();
                (lobe_deg >= low && lobe_deg <= high).then_some((angle_deg, lobe_deg))
            })
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::procedure::Sector;
    use crate::receiver::Receiver;
    use crate::yard;

    const STEEL: Solid = Solid::STEEL;

    fn procedure() -> Procedure {
        Procedure {
            text: String::new(),
            probe: yard::probe(),
            sector: Sector { focus_path_mm: Some(50.0), ..yard::sector() },
            range_mm: 110.0,
            reference_gain_db: 40.0,
            scanning_gain_db: 6.0,
            recording_level_db: -14.0,
            sides: vec![],
            index_offset_mm: [0.0, 40.0],
            time_minutes: 40,
            operator_sets: SetUpPart::all(),
            bench: crate::procedure::HandedOver::default(),
        }
    }

    fn found(change: impl FnOnce(&mut SetUp)) -> Vec<Problem> {
        let mut set_up = SetUp::of(&procedure());
        change(&mut set_up);
        set_up.problems(&procedure(), &STEEL)
    }

    #[test]
    fn what_the_procedure_prescribes_has_no_problems() {
        assert_eq!(found(|_| {}), []);
        assert_eq!(found(|set_up| set_up.sector.to_deg = 68.0), []);
    }

    #[test]
    fn an_aperture_wider_than_the_array_says_what_is_left() {
        let problems = found(|set_up| set_up.sector.active_elements = 60);
        assert_eq!(
            problems,
            [Problem::ApertureTooWide { first_element: 17, last_element: 76, elements: 64, most_active: 48 }]
        );
    }

    /// First critical angle of polystyrene on steel: the shear wave then leaves at asin(cT / cL), 33.2° (Snell's law).
    #[test]
    fn small_and_large_angles_name_their_critical_angle() {
        let [Problem::NearFirstCritical { critical_deg, .. }] = found(|s| s.sector.from_deg = 30.0)[..]
        else {
            panic!("no first critical angle");
        };
        assert!((critical_deg - libm::asin(3.23 / 5.9).to_degrees()).abs() < 0.2, "{critical_deg}");
        let [Problem::BeyondSecondCritical { most_deg, .. }] = found(|s| s.sector.to_deg = 85.0)[..] else {
            panic!("no second critical angle");
        };
        assert!((most_deg - 80.0).abs() < 1e-9);
        // A wedge faster than the metal's shear wave has a second critical angle below 90°.
        let fast = found(|s| s.probe.wedge_material.longitudinal_mm_per_us = 3.6);
        let [Problem::BeyondSecondCritical { critical_deg, most_deg, .. }] = fast[..] else {
            panic!("{fast:?}");
        };
        assert!(critical_deg < 75.0 && most_deg < critical_deg, "{critical_deg} {most_deg}");
    }

    /// Array factor: sin of the lobe = sin of the steering ± λ / pitch. Elements two wavelengths apart have lobes 30°
    /// beside the beam, and with the wedge's refraction one falls into the sector.
    #[test]
    fn wide_pitch_puts_a_lobe_into_the_sector_and_what_would_be_right_does_not() {
        let wide = |pitch_mm: f64| {
            found(|set_up| {
                set_up.probe.pitch_mm = pitch_mm;
                set_up.probe.first_element_to_front_mm = 150.0;
            })
        };
        let problems = wide(2.0);
        let [Problem::GratingLobe { angle_deg, lobe_deg, wavelength_mm, largest_pitch_mm, .. }] =
            problems[..]
        else {
            panic!("{problems:?}");
        };
        assert!((wavelength_mm - 0.466).abs() < 1e-3);
        let wedge_deg = |refracted_deg: f64| {
            libm::asin(libm::sin(refracted_deg.to_radians()) * 2.33 / STEEL.shear_mm_per_us).to_degrees()
        };
        let sine = |refracted_deg: f64| libm::sin((wedge_deg(refracted_deg) - 36.0).to_radians());
        let orders = (sine(lobe_deg) - sine(angle_deg)) * 2.0 / wavelength_mm;
        assert!((orders - orders.round()).abs() < 1e-6 && orders.round() != 0.0, "{orders}");
        assert_eq!(wide(largest_pitch_mm), []);
        assert!(!wide(largest_pitch_mm + 0.02).is_empty());
    }

    #[test]
    fn sound_ahead_of_the_wedge_says_how_far_and_by_how_many_elements_back() {
        let short = |set_up: &mut SetUp| set_up.probe.first_element_to_front_mm = 36.0;
        let problems = found(short);
        let [Problem::AheadOfWedge { largest_deg, elements_back, ahead_mm, .. }] = problems[..] else {
            panic!("{problems:?}");
        };
        assert!(ahead_mm > 0.1 && ahead_mm < 2.0, "{ahead_mm}");
        let mended = |change: &dyn Fn(&mut SetUp)| {
            found(|set_up| {
                short(set_up);
                change(set_up);
            })
        };
        assert_eq!(mended(&|set_up| set_up.sector.to_deg = largest_deg), []);
        assert_eq!(mended(&|set_up| set_up.sector.first_element -= elements_back), []);
        assert!(!mended(&|set_up| set_up.sector.first_element -= elements_back - 1).is_empty());
    }

    #[test]
    fn what_the_procedure_keeps_to_itself_is_named() {
        let mut procedure = procedure();
        procedure.operator_sets = vec![SetUpPart::Range];
        let mut set_up = SetUp::of(&procedure);
        set_up.range_mm = 90.0;
        assert_eq!(set_up.problems(&procedure, &STEEL), []);
        set_up.receiver = Receiver { averages: 4, ..Receiver::default() };
        let problems = set_up.problems(&procedure, &STEEL);
        assert_eq!(problems, [Problem::Fixed { part: SetUpPart::Receiver }]);
    }
}
