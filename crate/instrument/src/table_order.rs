//! What the tables of a set-up on a bench are made from.

use acoustics::material::Solid;
use acoustics::table_order::TableOrder;

use crate::set_up::{SetUp, SetUpError};
use crate::truth::Truth;

/// The order for the tables of a set-up over a metal, as its data sheet says, on the bench as it is.
///
/// # Errors
/// When the set-up is impossible.
pub fn table_order(set_up: &SetUp, solid: &Solid, truth: &Truth) -> Result<TableOrder, SetUpError> {
    let range_mm = set_up.range_mm;
    // A slow bench still fills the range that a fast one is taken for.
    let heard_mm = if truth.is_nominal() { range_mm } else { (range_mm * 1.03 + 4.0).max(66.0) };
    Ok(TableOrder { solid: truth.solid(solid), shots: truth.shots(set_up, solid)?, range_mm: heard_mm })
}
