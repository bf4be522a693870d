//! The welded joint: how the edges were prepared, and what the finished weld looks like outside.

use serde::{Deserialize, Serialize};

/// A side of the weld.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum WeldSide {
    /// x < 0.
    A,
    /// x > 0.
    B,
}

impl WeldSide {
    /// Both sides.
    pub const BOTH: [Self; 2] = [Self::A, Self::B];

    /// Sign of x on this side: -1 for A, +1 for B. (Sound from a probe on a side travels the other way.)
    pub fn x_sign(self) -> f64 {
        match self {
            Self::A => -1.0,
            Self::B => 1.0,
        }
    }
}

/// How the edges were prepared before welding.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Preparation {
    /// One V open to the upper face, root at the lower face.
    SingleV,
    /// A V from each face, root face in between.
    DoubleV,
    /// One edge bevelled towards the upper face, the other upright.
    SingleBevel,
    /// One edge bevelled from both faces, the other upright.
    DoubleBevel,
    /// One edge with a J open to the upper face, the other upright.
    SingleJ,
    /// Both edges upright.
    Square,
    /// No weld: a block.
    #[default]
    None,
}

impl Preparation {
    /// Every preparation of a weld.
    pub const ALL: [Self; 6] =
        [Self::SingleV, Self::DoubleV, Self::SingleBevel, Self::DoubleBevel, Self::SingleJ, Self::Square];

    /// The name in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::SingleV => "single V",
            Self::DoubleV => "double V",
            Self::SingleBevel => "single bevel",
            Self::DoubleBevel => "double bevel",
            Self::SingleJ => "single J",
            Self::Square => "square",
            Self::None => "no weld",
        }
    }

    /// Welded from both faces, with a cap on each and the root inside.
    pub fn is_double(self) -> bool {
        matches!(self, Self::DoubleV | Self::DoubleBevel)
    }

    /// Only one of the two edges was prepared; the other stands upright.
    pub fn is_one_sided(self) -> bool {
        matches!(self, Self::SingleBevel | Self::DoubleBevel | Self::SingleJ)
    }
}

/// One of the edges of a groove. A face of the plate is named by the bevel that opens to it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Bevel {
    /// The bevel that opens to the upper face; the only one of a weld from one face.
    #[default]
    Upper,
    /// The bevel that opens to the lower face of a double V or double bevel.
    Lower,
}

/// The last layer of a weld, standing above the plate face as a flat arc.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Cap {
    /// How far the cap reaches past the edge of the groove, each side, mm.
    pub overlap_mm: f64,
    /// Height of the middle above the plate face, mm; 0 is a cap ground flush.
    pub height_mm: f64,
    /// Amplitude of the ripple left by the weld pool, mm (crest above the mean).
    pub ripple_mm: f64,
}

/// The bead that came through the root of a weld from one face, standing below the lower face as a flat arc. With a
/// negative height it is drawn in: root concavity.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct RootBead {
    /// Distance of its two toes, mm.
    pub width_mm: f64,
    /// Height of the middle below the lower face, mm; negative for root concavity.
    pub height_mm: f64,
    /// Amplitude of its ripple, mm (crest above the mean).
    pub ripple_mm: f64,
}

/// A groove melted into the plate along a toe of the upper cap and not filled.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Undercut {
    /// Side of the weld.
    pub side: WeldSide,
    /// Depth below the plate face, mm.
    pub depth_mm: f64,
    /// Width, outwards from the toe, mm.
    pub width_mm: f64,
}

/// A flat bar that was laid under the root and stays there; the weld is fused into it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct BackingBar {
    /// Extent across the weld, mm; its middle lies under the middle of the root gap.
    pub width_mm: f64,
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// How far the weld is fused to plate and bar past each root edge, mm; beyond lies an open crevice.
    pub fused_mm: f64,
}

/// A butt joint: the edges before welding and the outside after it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Joint {
    /// How the edges were prepared.
    pub preparation: Preparation,
    /// The prepared edge of a single or double bevel or a J; absent means side B.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub prepared_side: Option<WeldSide>,
    /// Angle between the two edges, degrees: each bevel of a V stands at half of it off the vertical, the only one of a
    /// bevel or a J at all of it. 0 for a square butt.
    #[serde(default)]
    pub groove_angle_deg: f64,
    /// Height of the upright root face, mm. 0 for a square butt, which is nothing else.
    #[serde(default)]
    pub root_face_mm: f64,
    /// Distance of the two root faces, mm; the centreline is in its middle.
    pub root_gap_mm: f64,
    /// J only: radius of its foot, mm; absent means 6.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub j_radius_mm: Option<f64>,
    /// Double V and double bevel only: depth of the upper groove as a share of both, 0..1; absent means 0.5.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub upper_share: Option<f64>,
    /// How much lower the edge of side B lies than that of side A, mm (negative: higher). Both faces of side B are
    /// dressed back to level within four times as much.
    #[serde(default, skip_serializing_if = "crate::is_zero")]
    pub misalignment_mm: f64,
    /// Width of the heat-affected zone beside each prepared edge, mm; absent means 3.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heat_affected_mm: Option<f64>,
    /// The cap; a double V or double bevel has the same on both faces.
    pub cap: Cap,
    /// The root bead of a weld from one face; absent where the root was ground flush.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub root_bead: Option<RootBead>,
    /// The backing bar under a weld from one face.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub backing_bar: Option<BackingBar>,
    /// Undercut along the upper cap, at most one a side.
    #[serde(default, rename = "undercut", skip_serializing_if = "Vec::is_empty")]
    pub undercuts: Vec<Undercut>,
}
