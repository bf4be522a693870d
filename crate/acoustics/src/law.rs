//! Delay laws: when each element fires so that the beam leaves at an angle, focused or not.

use serde::{Deserialize, Serialize};

use crate::aperture::Aperture;
use crate::material::Solid;
use crate::ray::Ray;

/// The delays of one beam. The same law serves sending and receiving.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct DelayLaw {
    /// Refracted angle of the centre ray, radians.
    pub angle: f64,
    /// Delay of each active element relative to the centre of the aperture, µs; may be negative.
    pub delays_us: Vec<f64>,
    /// Where the centre ray leaves the wedge: distance from the foot of the first element, mm.
    pub exit_mm: f64,
    /// Time of the centre ray in the wedge, one way, µs.
    pub wedge_time_us: f64,
}

/// Why a law cannot be made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum LawError {
    /// No refracted shear wave at this angle.
    #[error(
        "a beam of {angle_deg:.1}° would need a sine of {sine:.3} in the wedge; refracted shear waves exist below 1"
    )]
    BeyondCritical {
        /// Angle asked for, degrees.
        angle_deg: f64,
        /// Sine it would need in the wedge.
        sine: f64,
    },
    /// The focus lies at or before the wedge face.
    #[error("the focus must lie in the metal, at more than 0 mm of sound path; got {path_mm} mm")]
    FocusOutside {
        /// Sound path asked for, mm.
        path_mm: f64,
    },
}

impl DelayLaw {
    /// A plane-wave law (`focus_path_mm` none) or one focused at a sound path along the centre ray.
    ///
    /// Unfocused: linear delays by Snell's law. Focused: least time from every element to the focus.
    ///
    /// # Errors
    /// When no shear wave is refracted at the angle, or the focus is not in the metal.
    pub fn new(
        aperture: &Aperture,
        solid: &Solid,
        angle: f64,
        focus_path_mm: Option<f64>,
    ) -> Result<Self, LawError> {
        let (cw, ct) = (aperture.near_speed(solid), solid.shear_mm_per_us);
        let wedge_sine = libm::sin(angle) * cw / ct;
        if wedge_sine.is_nan() || wedge_sine.abs() >= 1.0 {
            return Err(LawError::BeyondCritical { angle_deg: angle.to_degrees(), sine: wedge_sine });
        }
        let wedge_cosine = f64::sqrt(1.0 - wedge_sine * wedge_sine);
        let [centre_x, height] = aperture.centre_mm();
        let exit_mm = centre_x + height * wedge_sine / wedge_cosine;
        let wedge_time_us = height / (wedge_cosine * cw);
        let elements = (0..aperture.count).map(|i| aperture.element_mm(f64::from(i)));
        let delays_us = match focus_path_mm {
            None => elements
                .map(|[x, h]| ((x - centre_x) * wedge_sine - (h - height) * wedge_cosine) / cw)
                .collect(),
            Some(path_mm) if path_mm > 0.0 => {
                let focus = [exit_mm + path_mm * libm::sin(angle), path_mm * libm::cos(angle)];
                let time = |x: f64, h: f64| Ray::least_time(focus[0] - x, h, focus[1], cw, ct).time_us;
                let centre = time(centre_x, height);
                elements.map(|[x, h]| centre - time(x, h)).collect()
            }
            Some(path_mm) => return Err(LawError::FocusOutside { path_mm }),
        };
        Ok(Self { angle, delays_us, exit_mm, wedge_time_us })
    }

    /// Firing delays from the first element to fire, µs.
    pub fn firing_delays_us(&self) -> Vec<f64> {
        let first = self.delays_us.iter().copied().fold(f64::INFINITY, f64::min);
        self.delays_us.iter().map(|delay| delay - first).collect()
    }
}
