//! Plates: joint, flaws and plate file on one side, the surfaces that echo on the other.
//!
//! Coordinates are those of the plate: x across the weld with 0 on its centreline (side A is x < 0, side B is
//! x > 0), y along the weld from the datum end, z down from the upper face. All lengths are millimetres.
//!
//! This crate knows no probe, no marks and no screen. The same plate gives the same surfaces on every machine.

pub mod block;
pub mod check;
pub mod file;
pub mod flaw;
pub mod generator;
pub mod joint;
pub mod plate;
pub mod runs;
pub mod section;

mod backing;
mod groove;
mod noise;
mod patch;
mod profile;
mod scene;
mod shape;
mod weld_surface;

#[cfg(test)]
mod block_tests;
#[cfg(test)]
mod flaw_tests;
#[cfg(test)]
mod joint_tests;
#[cfg(test)]
mod rim_tests;
#[cfg(test)]
mod sample;
#[cfg(test)]
mod shape_tests;
#[cfg(test)]
mod surface_tests;

// Serde hands over a reference.
#[expect(clippy::trivially_copy_pass_by_ref)]
fn is_zero(value: &f64) -> bool {
    *value == 0.0
}
