//! A plate: metal, joint and flaws.

use acoustics::material::Solid;
use acoustics::scene::Scene;
use serde::{Deserialize, Serialize};

use crate::block::Block;
pub use crate::check::Complaint;
use crate::flaw::Flaw;
use crate::joint::Joint;
use crate::section::Outline;

/// A welded plate of the training yard with all that is hidden in it.
///
/// In a file it is the table `[plate]` with `[plate.joint]` and one `[[plate.flaw]]` per flaw, or with `[plate.block]`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Plate {
    /// Short name, stamped into the plate.
    pub id: String,
    /// Title of the drawing.
    pub title: String,
    /// Text of the drawing: what an operator is told.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// Seed of everything irregular that belongs to no flaw: ripple, grain.
    pub seed: u64,
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// Length along the weld, mm.
    pub length_mm: f64,
    /// Width across the weld, mm; the weld is in the middle.
    pub width_mm: f64,
    /// Mean grain echo relative to a 3 mm side-drilled hole at 40 mm of sound path, dB.
    pub grain_level_db: f64,
    /// Whether echoes of longitudinal waves are heard too, above all the one that the root bead throws up to the cap; absent
    /// means no, which is easier to learn on.
    #[serde(default, skip_serializing_if = "core::ops::Not::not")]
    pub longitudinal_waves: bool,
    /// The metal; absent means carbon steel.
    #[serde(default = "steel")]
    pub solid: Solid,
    /// The joint; absent where the plate is a block.
    #[serde(default, skip_serializing_if = "Joint::is_none")]
    pub joint: Joint,
    /// What a reference block has in place of a weld.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub block: Option<Block>,
    /// The flaws, in any order.
    #[serde(default, rename = "flaw", skip_serializing_if = "Vec::is_empty")]
    pub flaws: Vec<Flaw>,
}

fn steel() -> Solid {
    Solid::STEEL
}

impl Plate {
    /// Everything that is wrong with the plate; empty when it can be used. Paths begin with `plate`.
    pub fn check(&self) -> Vec<Complaint> {
        crate::check::plate(self)
    }

    /// The section across the weld and the plan of the weld, for drawing.
    pub fn outline(&self) -> Outline {
        Outline::of(self)
    }

    /// All that a probe can hear in this plate. Surface points lie at most `point_spacing_mm` apart (cap and root
    /// bead: twice that along the weld); below 0.05 mm counts as 0.05 mm. The plate must have passed [`Plate::check`].
    pub fn scene(&self, point_spacing_mm: f64) -> Scene {
        crate::scene::scene(self, point_spacing_mm)
    }

    /// Each flaw by itself, in their order: what it echoes without cap, root, grain and the other flaws.
    pub fn flaw_scenes(&self, point_spacing_mm: f64) -> Vec<Scene> {
        crate::scene::flaw_scenes(self, point_spacing_mm)
    }
}
