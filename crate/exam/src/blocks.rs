//! The yard's reference blocks for calibration, from scenarios/blocks.

use acoustics::order::sort_by;
use instrument::calibration::{Step, Target};
use specimen::file::FileError;
use specimen::plate::Plate;

use crate::paper::Paper;

const RADIUS_BLOCK: &str = include_str!("../../../scenarios/blocks/radius-block.toml");
const ANGLE_BLOCK: &str = include_str!("../../../scenarios/blocks/angle-block.toml");

/// The block that calibration is made on.
///
/// # Errors
/// A file that is wrong; the tests see to it that it is not.
pub fn calibration_block() -> Result<Plate, FileError> {
    Paper::parse("radius-block.toml", RADIUS_BLOCK.as_bytes()).map(|paper| paper.plate)
}

/// Another block, to check on.
///
/// # Errors
/// As above.
pub fn check_block() -> Result<Plate, FileError> {
    Paper::parse("angle-block.toml", ANGLE_BLOCK.as_bytes()).map(|paper| paper.plate)
}

/// Close to the array a hole has no one highest place: holes less deep than this are not checked on, mm.
const LEAST_CHECK_DEPTH_MM: f64 = 25.0;

/// The reflectors of a block, as the steps want them: round ends by rising radius, or holes.
pub fn targets(block: &Plate, step: Option<Step>) -> Vec<Target> {
    let Some(block) = &block.block else { return Vec::new() };
    if matches!(step, Some(Step::Speed | Step::Wedge)) {
        let mut radii = block.radii.clone();
        sort_by(&mut radii, |a, b| a.radius_mm.total_cmp(&b.radius_mm));
        return radii
            .iter()
            .map(|end| Target::Radius { centre_mm: end.centre_mm, radius_mm: end.radius_mm })
            .collect();
    }
    block
        .holes
        .iter()
        .filter(|hole| step.is_some() || hole.depth_mm >= LEAST_CHECK_DEPTH_MM)
        .map(|hole| Target::Hole {
            offset_mm: hole.offset_mm,
            depth_mm: hole.depth_mm,
            diameter_mm: hole.diameter_mm,
        })
        .collect()
}
