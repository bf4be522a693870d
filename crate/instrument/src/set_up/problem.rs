//! What is wrong with a set-up, why, and what would be right.

use acoustics::aperture::Aperture;
use acoustics::law::DelayLaw;
use acoustics::material::Solid;
use serde::Serialize;

use super::{SetUp, SetUpError, SetUpPart, beam_count, sector_angles_deg};
use crate::limits::{ANGLES_DEG, FEWEST_LINEAR_BEAMS};
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
    /// The aperture of a linear scan has too little way along the array.
    #[error(
        "{beams} beams: an aperture of {active_elements} elements moved by {step_elements} between elements {first_element} and {last_element} makes no more; at least {fewest} make a picture"
    )]
    TooFewSteps {
        /// Beams that there would be.
        beams: u32,
        /// Fewest that make a picture.
        fewest: u32,
        /// Active elements.
        active_elements: u32,
        /// Elements from beam to beam.
        step_elements: u32,
        /// First element, from 1.
        first_element: u32,
        /// Last element, from 1.
        last_element: u32,
    },
    /// A linear scan of a bench that has to be calibrated.
    #[error(
        "this bench has to be calibrated, and its calibration tells beams by their angles: the beams of a linear scan all have the same; a sector can be calibrated"
    )]
    LinearNotCalibrated,
    /// A second beam, as strong as the first, beside the beams of a linear scan.
    #[error(
        "every {angle_deg:.1}° beam has a grating lobe at {lobe_deg:.1}°: the pitch of {pitch_mm:.2} mm is too large for waves of {wavelength_mm:.2} mm; up to {largest_pitch_mm:.2} mm"
    )]
    LinearGratingLobe {
        /// Refracted angle of the beams, degrees.
        angle_deg: f64,
        /// Refracted angle of the lobe, degrees.
        lobe_deg: f64,
        /// Pitch, mm.
        pitch_mm: f64,
        /// Wavelength in the wedge, mm.
        wavelength_mm: f64,
        /// Largest pitch without a lobe, mm.
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
        if self.sector.is_linear() && !procedure.bench.calibrated {
            problems.push(Problem::LinearNotCalibrated);
        }
        problems.extend(self.aperture_too_wide().or_else(|| self.too_few_steps()));
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
        let elements = self.sector.linear.as_ref().map_or(self.probe.elements, |linear| {
            // What lies beyond the array is told by its own limit.
            linear.last_element.min(self.probe.elements)
        });
        let last_element = first_element.saturating_add(active).saturating_sub(1);
        (first_element >= 1 && last_element > elements).then(|| Problem::ApertureTooWide {
            first_element,
            last_element,
            elements,
            most_active: (elements + 1).saturating_sub(first_element),
        })
    }

    fn too_few_steps(&self) -> Option<Problem> {
        let sector = &self.sector;
        let linear = sector.linear.as_ref().filter(|linear| linear.step_elements > 0)?;
        let beams = beam_count(sector);
        (beams < FEWEST_LINEAR_BEAMS).then_some(Problem::TooFewSteps {
            beams,
            fewest: FEWEST_LINEAR_BEAMS,
            active_elements: sector.active_elements,
            step_elements: linear.step_elements,
            first_element: sector.first_element,
            last_element: linear.last_element,
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

    /// How far ahead of the wedge's front sound of an element, from 0, leaves, mm.
    pub(super) fn ahead_mm(&self, element: u32, solid: &Solid, angle: f64) -> Option<f64> {
        let alone = Aperture { first: element, count: 1, ..self.aperture() };
        let law = DelayLaw::new(&alone, solid, angle, None).ok()?;
        Some(law.exit_mm - self.probe.first_element_to_front_mm)
    }

    fn ahead_of_wedge(&self, solid: &Solid) -> Option<Problem> {
        let angles = self.angles_deg();
        let way = self.sector.linear.as_ref().map_or(0, |linear| linear.step_elements);
        let foremost = self.sector.first_element + self.sector.active_elements - 2
            + way * (beam_count(&self.sector) - 1);
        let ahead = |angle_deg: f64| self.ahead_mm(foremost, solid, angle_deg.to_radians());
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
        let wavelength_mm = self.probe.wedge_material.longitudinal_mm_per_us / self.probe.frequency_mhz;
        let largest_pitch_mm = free.unwrap_or(0.1);
        Some(if self.sector.is_linear() {
            Problem::LinearGratingLobe { angle_deg, lobe_deg, pitch_mm, wavelength_mm, largest_pitch_mm }
        } else {
            Problem::GratingLobe { angle_deg, lobe_deg, pitch_mm, wavelength_mm, largest_pitch_mm }
        })
    }

    /// A beam and its grating lobe among the beams, refracted angles in degrees, if the elements lay this far apart.
    fn lobe_in_sector(&self, solid: &Solid, pitch_mm: f64) -> Option<(f64, f64)> {
        let mut aperture = self.aperture();
        aperture.pitch_mm = pitch_mm;
        let (near, shear) = (aperture.near_speed(solid), solid.shear_mm_per_us);
        // Parallel beams have no sector for a lobe to fall into: it does harm wherever it goes into the metal ahead.
        let within =
            if self.sector.is_linear() { ANGLES_DEG } else { [self.sector.from_deg, self.sector.to_deg] };
        let (low, high) = (within[0] - LOBE_MARGIN_DEG, within[1] + LOBE_MARGIN_DEG);
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
mod tests;
