//! What sound travels in.

use serde::{Deserialize, Serialize};

/// An isotropic elastic solid: the metal of a plate.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Solid {
    /// Speed of longitudinal waves, mm/µs.
    pub longitudinal_mm_per_us: f64,
    /// Speed of shear waves, mm/µs.
    pub shear_mm_per_us: f64,
    /// Density, g/cm³.
    pub density_g_per_cm3: f64,
    /// Loss of a shear wave at the probe's centre frequency, one way, dB/mm.
    pub shear_loss_db_per_mm: f64,
}

impl Solid {
    /// Carbon steel plate. Speeds: ASTM E494 table X3.1; density and loss from memory, within the usual range.
    pub const STEEL: Self = Self {
        longitudinal_mm_per_us: 5.900,
        shear_mm_per_us: 3.230,
        density_g_per_cm3: 7.85,
        shear_loss_db_per_mm: 0.012,
    };

    /// Shear speed over longitudinal speed; its arcsine is the critical angle of SV waves at a free surface.
    pub fn speed_ratio(&self) -> f64 {
        self.shear_mm_per_us / self.longitudinal_mm_per_us
    }

    /// Poisson's ratio from the two speeds (elasticity identity).
    pub fn poisson_ratio(&self) -> f64 {
        let (l2, t2) = (
            self.longitudinal_mm_per_us * self.longitudinal_mm_per_us,
            self.shear_mm_per_us * self.shear_mm_per_us,
        );
        (l2 - 2.0 * t2) / (2.0 * (l2 - t2))
    }
}

/// A wedge material. Coupled through a fluid film, only its longitudinal wave reaches the metal.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct WedgeMaterial {
    /// Speed of longitudinal waves, mm/µs.
    pub longitudinal_mm_per_us: f64,
    /// Speed of shear waves, mm/µs (the film carries none of it, but the interface takes part of the energy).
    pub shear_mm_per_us: f64,
    /// Density, g/cm³.
    pub density_g_per_cm3: f64,
    /// Loss at the probe's centre frequency, one way, dB/mm.
    pub loss_db_per_mm: f64,
}

impl WedgeMaterial {
    /// Cross-linked polystyrene. All four values from memory.
    pub const POLYSTYRENE: Self = Self {
        longitudinal_mm_per_us: 2.330,
        shear_mm_per_us: 1.150,
        density_g_per_cm3: 1.05,
        loss_db_per_mm: 0.25,
    };
    /// Acrylic. Longitudinal speed as on public pages, the rest from memory.
    pub const ACRYLIC: Self = Self {
        longitudinal_mm_per_us: 2.730,
        shear_mm_per_us: 1.430,
        density_g_per_cm3: 1.18,
        loss_db_per_mm: 0.6,
    };
}
