//! Where the probe stands.

use serde::{Deserialize, Serialize};

/// The side of the weld the probe stands on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Side {
    /// x < 0; sound goes towards +x.
    A,
    /// x > 0; sound goes towards -x.
    B,
}

impl Side {
    /// +1 where sound goes towards +x.
    pub fn sign(self) -> f64 {
        match self {
            Self::A => 1.0,
            Self::B => -1.0,
        }
    }

    /// The other side.
    pub fn other(self) -> Self {
        match self {
            Self::A => Self::B,
            Self::B => Self::A,
        }
    }
}

/// The face of the plate the probe stands on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Face {
    /// The face with z = 0.
    #[default]
    Upper,
    /// The face with z = thickness.
    Lower,
}

/// Where the probe stands and looks.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Pose {
    /// The face it stands on.
    #[serde(default)]
    pub face: Face,
    /// The side of the weld it stands on.
    pub side: Side,
    /// Distance from the weld centreline to the front of the wedge, mm; positive away from the weld.
    pub index_offset_mm: f64,
    /// Place of the beam plane along the weld, mm from the datum.
    pub y_mm: f64,
    /// Turn of the probe about the middle of the wedge front, degrees; positive turns the beam towards larger y.
    pub skew_deg: f64,
}
