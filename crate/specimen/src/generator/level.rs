//! What makes a level: one row each.

use crate::flaw::FlawKind::{
    self, CentrelineCrack, IncompletePenetration, LackOfSideWallFusion, PoreCluster, RootCrack, SlagLine,
};

/// What is drawn at a level; ranges include both ends.
pub(super) struct Level {
    /// Number of flaws.
    pub(super) flaws: [u32; 2],
    /// Kinds of flaws; all are shown before any twice.
    pub(super) kinds: &'static [FlawKind],
    /// Thicknesses of single V plates, mm.
    pub(super) single_v_mm: &'static [u32],
    /// Thicknesses of double V plates, mm.
    pub(super) double_v_mm: &'static [u32],
    /// Lengths, half millimetres.
    pub(super) length_half_mm: [u32; 2],
    /// Heights of planar flaws, tenths of a millimetre.
    pub(super) height_tenths: [u32; 2],
    /// Height and width of slag, tenths of a millimetre.
    pub(super) slag_tenths: [u32; 2],
    /// Diameter of a single pore, tenths of a millimetre.
    pub(super) pore_tenths: [u32; 2],
    /// Height and width of a pore cluster, tenths of a millimetre.
    pub(super) cluster_tenths: [u32; 2],
    /// Least sound weld between two flaws, half millimetres.
    pub(super) between_half_mm: u32,
    /// Grain noise, dB as in a plate file.
    pub(super) grain_level_db: f64,
    /// Ripple of cap and root bead, hundredths of a millimetre.
    pub(super) ripple_hundredths: [u32; 2],
}

/// Kinds that the upper levels draw from.
const DRAWN: [FlawKind; 7] = [
    LackOfSideWallFusion,
    CentrelineCrack,
    RootCrack,
    IncompletePenetration,
    SlagLine,
    FlawKind::SinglePore,
    PoreCluster,
];

/// Levels 1 to 5: more, smaller and stranger flaws, closer together, in noisier metal under a rougher weld. The
/// longest flaws with the least spacing must leave the clean stretch and both ends (`spread` tests it).
pub(super) const LEVELS: [Level; 5] = [
    Level {
        flaws: [1, 2],
        kinds: &[LackOfSideWallFusion, RootCrack, SlagLine],
        single_v_mm: &[16, 20],
        double_v_mm: &[20, 25],
        length_half_mm: [50, 90],
        height_tenths: [40, 60],
        slag_tenths: [20, 35],
        pore_tenths: [32, 40],
        cluster_tenths: [50, 70],
        between_half_mm: 60,
        grain_level_db: -40.0,
        ripple_hundredths: [3, 6],
    },
    Level {
        flaws: [2, 2],
        kinds: &[LackOfSideWallFusion, RootCrack, SlagLine, IncompletePenetration, PoreCluster],
        single_v_mm: &[12, 16, 20],
        double_v_mm: &[20, 25, 30],
        length_half_mm: [40, 80],
        height_tenths: [30, 50],
        slag_tenths: [18, 30],
        pore_tenths: [30, 38],
        cluster_tenths: [40, 60],
        between_half_mm: 50,
        grain_level_db: -39.0,
        ripple_hundredths: [4, 8],
    },
    Level {
        flaws: [2, 3],
        kinds: &[
            LackOfSideWallFusion,
            RootCrack,
            SlagLine,
            IncompletePenetration,
            PoreCluster,
            CentrelineCrack,
        ],
        single_v_mm: &[12, 15, 20, 25],
        double_v_mm: &[20, 25, 30],
        length_half_mm: [24, 60],
        height_tenths: [25, 40],
        slag_tenths: [15, 25],
        pore_tenths: [28, 36],
        cluster_tenths: [38, 55],
        between_half_mm: 40,
        grain_level_db: -38.0,
        ripple_hundredths: [5, 10],
    },
    Level {
        flaws: [3, 4],
        kinds: &DRAWN,
        single_v_mm: &[12, 15, 18, 22, 25],
        double_v_mm: &[20, 24, 28, 32],
        length_half_mm: [16, 50],
        height_tenths: [20, 35],
        slag_tenths: [12, 22],
        pore_tenths: [28, 36],
        cluster_tenths: [36, 52],
        between_half_mm: 30,
        grain_level_db: -37.0,
        ripple_hundredths: [6, 12],
    },
    Level {
        flaws: [4, 5],
        kinds: &DRAWN,
        single_v_mm: &[10, 12, 14, 18, 22, 26],
        double_v_mm: &[20, 24, 28, 32, 36],
        length_half_mm: [12, 40],
        height_tenths: [15, 30],
        slag_tenths: [10, 20],
        pore_tenths: [26, 34],
        cluster_tenths: [34, 48],
        between_half_mm: 20,
        grain_level_db: -36.0,
        ripple_hundredths: [8, 15],
    },
];
