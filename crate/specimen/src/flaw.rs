//! Flaws as the trade speaks of them: kind, length along the weld, place, height.

use serde::{Deserialize, Serialize};

use crate::joint::{Bevel, WeldSide};
use crate::plate::Plate;

/// What a flaw is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FlawKind {
    /// Weld metal lies on a bevel without having fused to it.
    LackOfSideWallFusion,
    /// An upright crack along the weld in the weld metal.
    CentrelineCrack,
    /// A crack that starts at the root, open to the lower face.
    RootCrack,
    /// The root faces were not melted.
    IncompletePenetration,
    /// A long slag inclusion.
    SlagLine,
    /// One gas pore.
    SinglePore,
    /// Many gas pores close together.
    PoreCluster,
}

impl FlawKind {
    /// Every kind, planar ones first.
    pub const ALL: [Self; 7] = [
        Self::LackOfSideWallFusion,
        Self::CentrelineCrack,
        Self::RootCrack,
        Self::IncompletePenetration,
        Self::SlagLine,
        Self::SinglePore,
        Self::PoreCluster,
    ];

    /// Reference number of the imperfection in ISO 6520-1 (from memory; the standard has no number of its own for a
    /// root crack, so that of a longitudinal crack at the weld junction stands for it).
    pub fn iso_6520_number(self) -> u16 {
        match self {
            Self::LackOfSideWallFusion => 4011,
            Self::CentrelineCrack => 1011,
            Self::RootCrack => 1012,
            Self::IncompletePenetration => 402,
            Self::SlagLine => 3011,
            Self::SinglePore => 2011,
            Self::PoreCluster => 2013,
        }
    }

    /// The name in words, as a sentence begins.
    pub fn words(self) -> &'static str {
        match self {
            Self::LackOfSideWallFusion => "Lack of side-wall fusion",
            Self::CentrelineCrack => "Centreline crack",
            Self::RootCrack => "Root crack",
            Self::IncompletePenetration => "Incomplete penetration",
            Self::SlagLine => "Slag line",
            Self::SinglePore => "Single pore",
            Self::PoreCluster => "Pore cluster",
        }
    }

    /// True for two-dimensional flaws (cracks, missing fusion), false for volumetric ones.
    pub fn is_planar(self) -> bool {
        match self {
            Self::LackOfSideWallFusion
            | Self::CentrelineCrack
            | Self::RootCrack
            | Self::IncompletePenetration => true,
            Self::SlagLine | Self::SinglePore | Self::PoreCluster => false,
        }
    }
}

/// Where at the root of the weld.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum RootSpot {
    /// On the centreline.
    Centre,
    /// At the toe of the root bead on side A.
    ToeA,
    /// At the toe of the root bead on side B.
    ToeB,
}

/// Where a flaw lies in the section of the weld.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Place {
    /// On the prepared bevel.
    Bevel {
        /// Side of the weld.
        side: WeldSide,
        /// Which bevel; only a double V has a lower one.
        #[serde(default)]
        bevel: Bevel,
        /// Depth of the flaw's middle, mm.
        depth_mm: f64,
    },
    /// In the weld metal.
    Weld {
        /// Depth of the flaw's middle, mm.
        depth_mm: f64,
        /// Distance of the flaw's middle from the centreline, mm; negative on side A.
        offset_mm: f64,
    },
    /// At the root: on the root faces, or open to the lower face.
    Root {
        /// Where at the root.
        at: RootSpot,
    },
}

/// One flaw of a plate.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Flaw {
    /// What it is.
    pub kind: FlawKind,
    /// Where it begins along the weld, mm from the datum end.
    pub start_mm: f64,
    /// Length along the weld, mm (a single pore's diameter).
    pub length_mm: f64,
    /// Extent in the direction of the thickness, mm (a single pore's diameter).
    pub height_mm: f64,
    /// Extent across the weld, mm, of a slag line or a pore cluster; absent means as wide as high.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub width_mm: Option<f64>,
    /// Lean of a crack from upright, degrees: positive where its upper edge lies towards side B.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub tilt_deg: f64,
    /// Seed of the flaw's own irregularity.
    pub seed: u64,
    /// A mandatory flaw that is not called fails the part.
    #[serde(default = "yes")]
    pub mandatory: bool,
    /// Where it lies in the section.
    pub place: Place,
}

fn yes() -> bool {
    true
}

// Serde hands over a reference.
#[expect(clippy::trivially_copy_pass_by_ref)]
fn is_zero(value: &f64) -> bool {
    *value == 0.0
}

/// The box a flaw fills, as the flaw map states it: to 0.1 mm.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Extent {
    /// Along the weld, from and to, mm from the datum end.
    pub along_mm: [f64; 2],
    /// Across the weld, from and to, mm from the centreline; negative on side A.
    pub across_mm: [f64; 2],
    /// Depth of its top and bottom, mm from the upper face.
    pub depth_mm: [f64; 2],
}

impl Flaw {
    /// The box this flaw fills in a plate, taken from the very shape that echoes and rounded to 0.1 mm.
    pub fn extent(&self, plate: &Plate) -> Extent {
        crate::shape::extent(self, plate)
    }
}
