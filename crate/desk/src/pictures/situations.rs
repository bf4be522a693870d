//! The textbook situations.

use instrument::pose::Side;
use specimen::flaw::{Flaw, FlawKind, Place, RootSpot};
use specimen::joint::{Bevel, WeldSide};

/// Middle of the flaws along the weld, where the probe stands, mm.
pub const MIDDLE_MM: f64 = 150.0;
/// Length of the flaws along the weld, mm.
const LENGTH_MM: f64 = 20.0;

/// What stands in the way of the sound.
pub enum What {
    /// A row of side-drilled holes in a plate without a weld.
    Holes,
    /// Cap and root bead of a weld without a flaw.
    Clean,
    /// One flaw.
    Flaw {
        /// Its kind.
        kind: FlawKind,
        /// Its height, mm.
        height_mm: f64,
        /// Its place.
        place: Place,
    },
}

/// One situation.
pub struct Situation {
    /// Name of the picture's file.
    pub name: &'static str,
    /// Side the probe stands on.
    pub side: Side,
    /// Centreline to wedge front, mm.
    pub index_offset_mm: f64,
    /// Gain above the reference gain, dB.
    pub more_gain_db: f64,
    /// What there is.
    pub what: What,
}

/// Lack of fusion on the bevel of side A, half way down.
const UNFUSED: What = What::Flaw {
    kind: FlawKind::LackOfSideWallFusion,
    height_mm: 4.0,
    place: Place::Bevel { side: WeldSide::A, bevel: Bevel::Upper, depth_mm: 10.5 },
};

/// All of them.
pub const SITUATIONS: [Situation; 7] = [
    Situation { name: "holes", side: Side::A, index_offset_mm: 30.0, more_gain_db: 0.0, what: What::Holes },
    Situation { name: "fusion-a", side: Side::A, index_offset_mm: 39.0, more_gain_db: 0.0, what: UNFUSED },
    Situation { name: "fusion-b", side: Side::B, index_offset_mm: 22.0, more_gain_db: 14.0, what: UNFUSED },
    Situation {
        name: "root-crack",
        side: Side::A,
        index_offset_mm: 39.0,
        more_gain_db: 6.0,
        what: What::Flaw {
            kind: FlawKind::RootCrack,
            height_mm: 4.0,
            place: Place::Root { at: RootSpot::ToeB },
        },
    },
    Situation {
        name: "upright-crack",
        side: Side::A,
        index_offset_mm: 27.0,
        more_gain_db: 14.0,
        what: What::Flaw {
            kind: FlawKind::CentrelineCrack,
            height_mm: 4.0,
            place: Place::Weld { depth_mm: 13.0, offset_mm: 0.0 },
        },
    },
    Situation {
        name: "pores",
        side: Side::A,
        index_offset_mm: 27.0,
        more_gain_db: 14.0,
        what: What::Flaw {
            kind: FlawKind::PoreCluster,
            height_mm: 5.0,
            place: Place::Weld { depth_mm: 9.0, offset_mm: 0.0 },
        },
    },
    Situation {
        name: "clean-weld",
        side: Side::A,
        index_offset_mm: 24.0,
        more_gain_db: 14.0,
        what: What::Clean,
    },
];

impl Situation {
    /// The flaw of the plate, none or one.
    pub fn flaws(&self) -> Vec<Flaw> {
        let What::Flaw { kind, height_mm, place } = self.what else { return Vec::new() };
        vec![Flaw {
            kind,
            start_mm: MIDDLE_MM - 0.5 * LENGTH_MM,
            length_mm: LENGTH_MM,
            height_mm,
            width_mm: None,
            tilt_deg: 0.0,
            branches: 0,
            roughness_ratio: Flaw::USUAL_ROUGHNESS,
            seed: 5,
            mandatory: true,
            place,
        }]
    }
}
