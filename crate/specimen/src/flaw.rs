//! Flaws as the trade speaks of them: kind, length along the weld, place, height.

use serde::{Deserialize, Serialize};

use crate::joint::{Bevel, WeldSide};
use crate::plate::Plate;

/// What a flaw is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum FlawKind {
    /// Weld metal lies on a bevel without having fused to it.
    LackOfSideWallFusion,
    /// One run lies on another without having fused to it.
    LackOfInterRunFusion,
    /// One root edge was not melted.
    LackOfRootFusion,
    /// Neither root face was melted.
    IncompletePenetration,
    /// An upright crack along the weld in the weld metal.
    CentrelineCrack,
    /// An upright crack across the weld.
    TransverseCrack,
    /// A crack that starts at the root, open to the lower face.
    RootCrack,
    /// A crack that starts at the toe of a cap, open to that face.
    ToeCrack,
    /// A long slag inclusion.
    SlagLine,
    /// A short slag inclusion.
    SlagInclusion,
    /// One gas pore.
    SinglePore,
    /// Many gas pores close together.
    PoreCluster,
    /// Gas pores in a row along the weld.
    PoreLine,
}

impl FlawKind {
    /// Every kind, planar ones first.
    pub const ALL: [Self; 13] = [
        Self::LackOfSideWallFusion,
        Self::LackOfInterRunFusion,
        Self::LackOfRootFusion,
        Self::IncompletePenetration,
        Self::CentrelineCrack,
        Self::TransverseCrack,
        Self::RootCrack,
        Self::ToeCrack,
        Self::SlagLine,
        Self::SlagInclusion,
        Self::SinglePore,
        Self::PoreCluster,
        Self::PoreLine,
    ];

    /// Reference number of the imperfection in ISO 6520-1 (all from memory). The standard sorts cracks by where they run,
    /// not by where they start: a root crack and a toe crack both stand under the number of a longitudinal crack at the
    /// weld junction.
    pub fn iso_6520_number(self) -> u16 {
        match self {
            Self::LackOfSideWallFusion => 4011,
            Self::LackOfInterRunFusion => 4012,
            Self::LackOfRootFusion => 4013,
            Self::IncompletePenetration => 402,
            Self::CentrelineCrack => 1011,
            Self::TransverseCrack => 1021,
            Self::RootCrack | Self::ToeCrack => 1012,
            Self::SlagLine => 3011,
            Self::SlagInclusion => 3012,
            Self::SinglePore => 2011,
            Self::PoreCluster => 2013,
            Self::PoreLine => 2014,
        }
    }

    /// The name in words, as a sentence begins.
    pub fn words(self) -> &'static str {
        match self {
            Self::LackOfSideWallFusion => "Lack of side-wall fusion",
            Self::LackOfInterRunFusion => "Lack of inter-run fusion",
            Self::LackOfRootFusion => "Lack of root fusion",
            Self::IncompletePenetration => "Incomplete penetration",
            Self::CentrelineCrack => "Centreline crack",
            Self::TransverseCrack => "Transverse crack",
            Self::RootCrack => "Root crack",
            Self::ToeCrack => "Toe crack",
            Self::SlagLine => "Slag line",
            Self::SlagInclusion => "Slag inclusion",
            Self::SinglePore => "Single pore",
            Self::PoreCluster => "Pore cluster",
            Self::PoreLine => "Line of pores",
        }
    }

    /// True for two-dimensional flaws (cracks, missing fusion), false for volumetric ones.
    pub fn is_planar(self) -> bool {
        self < Self::SlagLine
    }

    /// True for cracks.
    pub fn is_crack(self) -> bool {
        matches!(self, Self::CentrelineCrack | Self::TransverseCrack | Self::RootCrack | Self::ToeCrack)
    }

    /// True for kinds whose faces stray, by a roughness that can be chosen.
    pub(crate) fn has_roughness(self) -> bool {
        self.is_crack() || matches!(self, Self::LackOfSideWallFusion | Self::SlagLine | Self::SlagInclusion)
    }

    /// True for kinds with an extent across the weld of their own.
    pub(crate) fn has_width(self) -> bool {
        matches!(self, Self::SlagLine | Self::SlagInclusion | Self::PoreCluster | Self::TransverseCrack)
    }
}

/// Where at the root of the weld.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum RootSpot {
    /// On the centreline.
    Centre,
    /// At the toe of the root bead on side A.
    ToeA,
    /// At the toe of the root bead on side B.
    ToeB,
    /// On the root edge of side A.
    EdgeA,
    /// On the root edge of side B.
    EdgeB,
}

impl RootSpot {
    /// The side of the weld it lies on.
    pub fn side(self) -> Option<WeldSide> {
        match self {
            Self::Centre => None,
            Self::ToeA | Self::EdgeA => Some(WeldSide::A),
            Self::ToeB | Self::EdgeB => Some(WeldSide::B),
        }
    }
}

/// Where a flaw lies in the section of the weld.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Place {
    /// On the prepared bevel; slag lies against it.
    Bevel {
        /// Side of the weld.
        side: WeldSide,
        /// Which bevel; only a weld from both faces has a lower one.
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
    /// On the surface of one run of weld metal, where the next layer lies on it; its depth follows from that.
    Run {
        /// Layer, from 1 at the root.
        layer: u32,
        /// Run within the layer, from 1 on side A.
        run: u32,
        /// The groove; only a weld from both faces has a lower one.
        #[serde(default)]
        groove: Bevel,
    },
    /// At the toe of a cap, open to that face.
    Toe {
        /// Side of the weld.
        side: WeldSide,
        /// The face; only a weld from both faces has a cap on the lower one.
        #[serde(default)]
        face: Bevel,
    },
}

/// One flaw of a plate.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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
    /// Extent across the weld, mm, of slag, a pore cluster or a transverse crack; absent means as wide as high. Of slag
    /// against a bevel it is how far it stands off the bevel.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub width_mm: Option<f64>,
    /// Lean of a crack from upright, degrees: positive where its upper edge lies towards side B.
    #[serde(default, skip_serializing_if = "crate::is_zero")]
    pub tilt_deg: f64,
    /// Side branches of a crack.
    #[serde(default, skip_serializing_if = "no_branches")]
    pub branches: u32,
    /// How far its faces stray, as a share of what is usual for its kind: 0 is smooth, at most 3. Cracks, slag and lack of
    /// side-wall fusion only.
    #[serde(default = "usual", skip_serializing_if = "is_usual")]
    pub roughness_ratio: f64,
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
fn no_branches(value: &u32) -> bool {
    *value == 0
}

fn usual() -> f64 {
    Flaw::USUAL_ROUGHNESS
}

// Serde hands over a reference.
#[expect(clippy::trivially_copy_pass_by_ref)]
fn is_usual(value: &f64) -> bool {
    *value == Flaw::USUAL_ROUGHNESS
}

/// The box a flaw fills, as the flaw map states it: to 0.1 mm.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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
    /// Faces as they usually are.
    pub const USUAL_ROUGHNESS: f64 = 1.0;

    /// The box this flaw fills in a plate, taken from the very shape that echoes and rounded to 0.1 mm.
    pub fn extent(&self, plate: &Plate) -> Extent {
        crate::shape::extent(self, plate)
    }
}
