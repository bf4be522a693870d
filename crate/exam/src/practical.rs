//! The practical examination of ISO 9712 at Level 2: its parts and what passes.
//!
//! Source: Table D.1 of the 2012 edition as quoted in a certification body's public memo, which says that the rule for
//! the instruction was under revision; the table of the 2021 edition was not seen.

/// Share of the points that each specimen, and the instruction, needs on its own, %: an average rescues nobody.
pub const PASS_PERCENT: f64 = 70.0;

/// Points of the parts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Parts {
    /// Knowledge of the apparatus and its checks.
    pub apparatus_points: f64,
    /// Application of the method to the specimen.
    pub application_points: f64,
    /// Detection of flaws and the report on them.
    pub detection_points: f64,
    /// A written instruction for Level 1, for one specimen.
    pub instruction_points: f64,
}

/// The parts at Level 2.
pub const LEVEL_2: Parts = Parts {
    apparatus_points: 10.0,
    application_points: 20.0,
    detection_points: 55.0,
    instruction_points: 15.0,
};

impl Parts {
    /// Points that a specimen can bring: all parts but the instruction.
    pub fn specimen_points(&self) -> f64 {
        self.apparatus_points + self.application_points + self.detection_points
    }
}

/// Whether points out of a highest number of them pass.
pub fn passes(points: f64, highest_points: f64) -> bool {
    // Multiplied, not divided: 59.5 of 85 is 70 % to the last bit.
    100.0 * points >= PASS_PERCENT * highest_points
}
