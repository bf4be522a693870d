//! The written procedure: the set-up a plate is scanned with.

use acoustics::material::WedgeMaterial;
use serde::{Deserialize, Serialize};

use crate::pose::Side;
use crate::set_up::SetUpPart;
use crate::truth::Truth;

/// A linear array on its wedge.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Probe {
    /// Name in the yard's store.
    pub name: String,
    /// Number of elements.
    pub elements: u32,
    /// Centre-to-centre distance of elements along the primary axis, mm.
    pub pitch_mm: f64,
    /// Width of one element along the primary axis, mm.
    pub element_width_mm: f64,
    /// Length of the elements along the secondary axis, mm.
    pub elevation_mm: f64,
    /// Centre frequency, MHz.
    pub frequency_mhz: f64,
    /// -6 dB bandwidth of the two-way spectrum, % of the centre frequency.
    pub bandwidth_percent: f64,
    /// What the wedge is made of.
    pub wedge_material: WedgeMaterial,
    /// Angle of the array above the wedge's foot, degrees.
    pub wedge_angle_deg: f64,
    /// Height of the centre of the first (rear, lowest) element above the foot, mm.
    pub first_element_height_mm: f64,
    /// Distance from the first element's foot point to the front of the wedge, mm.
    pub first_element_to_front_mm: f64,
    /// Width of the wedge across the beam, mm (drawing only).
    pub wedge_width_mm: f64,
    /// Length of the wedge along the beam, mm (drawing only).
    pub wedge_length_mm: f64,
}

/// How the aperture of a linear scan moves along the array.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Linear {
    /// Elements by which it moves on from beam to beam.
    pub step_elements: u32,
    /// Last element that it may reach, counted from 1.
    pub last_element: u32,
}

/// The beams. A sectorial scan: one aperture, many refracted angles. With `linear` a linear scan: one refracted angle, an
/// aperture that moves along the array.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Sector {
    /// First active element, counted from 1; of a linear scan that of the first beam.
    pub first_element: u32,
    /// Number of active elements.
    pub active_elements: u32,
    /// First refracted angle, degrees.
    pub from_deg: f64,
    /// Last refracted angle, degrees; of a linear scan the same as the first.
    pub to_deg: f64,
    /// Step between beams, degrees; says nothing in a linear scan.
    pub step_deg: f64,
    /// Makes it a linear scan: all beams leave at `from_deg`, each by the aperture that follows the one before along the array,
    /// so each at another place of the wedge. Absent for a sectorial scan.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub linear: Option<Linear>,
    /// Sound path in the metal at which every beam is focused, mm; absent for unfocused beams.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub focus_path_mm: Option<f64>,
    /// Depth below the probe's face at which every beam is focused, counted on through the legs, mm; instead of
    /// `focus_path_mm`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub focus_depth_mm: Option<f64>,
}

impl Sector {
    /// Whether the aperture moves and the angle stays.
    pub fn is_linear(&self) -> bool {
        self.linear.is_some()
    }

    /// Sound path at which the beam of a refracted angle (radians) is focused, mm; `None` for unfocused beams.
    pub fn focus_path_at(&self, angle: f64) -> Option<f64> {
        self.focus_path_mm.or_else(|| self.focus_depth_mm.map(|depth_mm| depth_mm / libm::cos(angle)))
    }
}

/// What a plate is scanned with and how, as the written procedure says.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Procedure {
    /// The procedure in words, shown to the operator.
    pub text: String,
    /// Probe and wedge.
    pub probe: Probe,
    /// Beams.
    pub sector: Sector,
    /// Longest sound path shown, mm.
    pub range_mm: f64,
    /// Gain at which the 3 mm side-drilled hole stands at 80 % of full screen height, dB.
    pub reference_gain_db: f64,
    /// Gain added to the reference gain for scanning, dB.
    pub scanning_gain_db: f64,
    /// Echoes at or above this level, relative to the reference, are recorded, dB.
    pub recording_level_db: f64,
    /// Sides to scan from.
    pub sides: Vec<Side>,
    /// Index offsets allowed, from and to, mm.
    pub index_offset_mm: [f64; 2],
    /// Time allowed, minutes.
    pub time_minutes: u32,
    /// What of the set-up is left to the operator; all of it where the file does not say.
    #[serde(default = "SetUpPart::all", skip_serializing_if = "is_all")]
    pub operator_sets: Vec<SetUpPart>,
    /// In what state the bench is handed over.
    #[serde(default, skip_serializing_if = "HandedOver::is_ready")]
    pub bench: HandedOver,
}

impl Procedure {
    /// Gain for scanning: the reference gain and what is added to it, dB.
    pub fn scanning_level_db(&self) -> f64 {
        self.reference_gain_db + self.scanning_gain_db
    }
}

/// A bench in use drifts in steps of this, minutes: between two of them its frames keep their bits.
pub const DRIFT_MINUTES: f64 = 10.0;
/// After so many steps it drifts no more.
const MOST_STRETCHES: f64 = 12.0;

/// In what state the bench is handed over.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct HandedOver {
    /// Whether it comes calibrated; if not, wedge, speeds, gain of the beams and encoder differ from their data sheets until
    /// the operator has calibrated them.
    #[serde(default = "yes")]
    pub calibrated: bool,
    /// Whether there is always contact; if not, the operator lays couplant and scanning uses it up.
    #[serde(default = "yes")]
    pub always_wet: bool,
    /// Seed of what differs; absent means the plate's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seed: Option<u64>,
}

impl Default for HandedOver {
    /// Calibrated and wet.
    fn default() -> Self {
        Self { calibrated: true, always_wet: true, seed: None }
    }
}

impl HandedOver {
    /// Whether nothing is left to the operator.
    pub fn is_ready(&self) -> bool {
        *self == Self::default()
    }

    /// The bench as it really is at the beginning.
    pub fn truth(&self, plate_seed: u64) -> Truth {
        if self.calibrated { Truth::nominal() } else { Truth::of(self.seed.unwrap_or(plate_seed)) }
    }

    /// The bench as it is in a stretch of use, from 0, each [`DRIFT_MINUTES`] long. One that comes calibrated stays so.
    pub fn truth_in(&self, plate_seed: u64, stretch: u32) -> Truth {
        let truth = self.truth(plate_seed);
        if self.calibrated {
            return truth;
        }
        truth.after(self.seed.unwrap_or(plate_seed), f64::from(stretch) * DRIFT_MINUTES)
    }

    /// The stretch of use that a time of a session lies in.
    pub fn stretch_at(&self, t_ms: u64) -> u32 {
        if self.calibrated { 0 } else { (t_ms as f64 / 60_000.0 / DRIFT_MINUTES).min(MOST_STRETCHES) as u32 }
    }
}

fn yes() -> bool {
    true
}

fn is_all(parts: &[SetUpPart]) -> bool {
    SetUpPart::all().iter().all(|part| parts.contains(part))
}
