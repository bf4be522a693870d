//! The active part of a linear array on its wedge.

use serde::{Deserialize, Serialize};

use crate::complex::Complex;
use crate::interface;
use crate::material::{Solid, WedgeMaterial};

/// What lies between the elements and the metal.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Coupling {
    /// A wedge on a couplant film: only its longitudinal wave reaches the metal.
    Wedge(WedgeMaterial),
    /// The elements press on the bare metal; angle and height of the aperture are 0.
    Bare,
}

/// A group of neighbouring elements of a linear array that fires and listens as one, on a wedge.
///
/// Lengths along the foot of the wedge count from the point below the centre of the array's first element; the
/// array rises towards the front of the wedge.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Aperture {
    /// Wedge or bare contact.
    pub coupling: Coupling,
    /// Angle of the array above the foot, radians.
    pub wedge_angle: f64,
    /// Height of the centre of the array's first element above the foot, mm.
    pub first_height_mm: f64,
    /// Centre-to-centre distance of the elements, mm.
    pub pitch_mm: f64,
    /// Width of one element along the array, mm.
    pub element_width_mm: f64,
    /// Length of the elements across the array, mm; `None` for endless ones, over scenes that are the same all across
    /// (areas of surface points are then lengths).
    pub elevation_mm: Option<f64>,
    /// First active element, counted from 0.
    pub first: u32,
    /// Number of active elements.
    pub count: u32,
    /// Centre frequency of the two-way spectrum, MHz.
    pub frequency_mhz: f64,
    /// Its -6 dB bandwidth, % of the centre frequency.
    pub bandwidth_percent: f64,
}

impl Aperture {
    /// Centre of an active element (0 is the first active one): distance along the foot and height, mm.
    /// Fractions are places between elements.
    pub fn element_mm(&self, index: f64) -> [f64; 2] {
        let along = (f64::from(self.first) + index) * self.pitch_mm;
        [along * libm::cos(self.wedge_angle), self.first_height_mm + along * libm::sin(self.wedge_angle)]
    }

    /// Centre of the aperture, mm: the origin of centre rays.
    pub fn centre_mm(&self) -> [f64; 2] {
        self.element_mm(0.5 * (f64::from(self.count) - 1.0))
    }

    /// Length of the aperture along the array, mm.
    pub fn length_mm(&self) -> f64 {
        f64::from(self.count) * self.pitch_mm
    }

    /// Speed in front of the elements, mm/µs: longitudinal in the wedge, or the metal's shear speed.
    pub fn near_speed(&self, solid: &Solid) -> f64 {
        match self.coupling {
            Coupling::Wedge(wedge) => wedge.longitudinal_mm_per_us,
            Coupling::Bare => solid.shear_mm_per_us,
        }
    }

    /// SV amplitude in the metal per amplitude of the elements, by the sine of the refracted angle.
    pub fn transmission(&self, solid: &Solid, sine: f64) -> Complex {
        match self.coupling {
            Coupling::Wedge(wedge) => interface::film_transmission(&wedge, solid, sine),
            Coupling::Bare => interface::line_load_radiation(solid, sine),
        }
    }

    /// Loss in front of the metal at the centre frequency, dB/mm.
    pub fn near_loss_db_per_mm(&self) -> f64 {
        match self.coupling {
            Coupling::Wedge(wedge) => wedge.loss_db_per_mm,
            Coupling::Bare => 0.0,
        }
    }

    /// Sines (from the array's normal, in the wedge) of the grating lobes of a beam with steering sine `steer`, at the
    /// centre frequency: sin = steer + m λ/p for whole m ≠ 0 (ISO 23243 names the lobe; array factor).
    pub fn grating_sines(&self, steer: f64, near_speed: f64) -> Vec<f64> {
        let step = near_speed / (self.frequency_mhz * self.pitch_mm);
        [-2.0, -1.0, 1.0, 2.0].iter().map(|m| steer + m * step).filter(|sine| sine.abs() <= 1.0).collect()
    }
}

#[cfg(test)]
impl Aperture {
    /// Elements of 5 MHz on a shear-wave wedge, as unit tests use them.
    pub fn on_a_wedge(count: u32) -> Self {
        Self {
            coupling: Coupling::Wedge(WedgeMaterial::POLYSTYRENE),
            wedge_angle: 36.0_f64.to_radians(),
            first_height_mm: 5.0,
            pitch_mm: 0.5,
            element_width_mm: 0.4,
            elevation_mm: Some(10.0),
            first: 0,
            count,
            frequency_mhz: 5.0,
            bandwidth_percent: 60.0,
        }
    }
}
