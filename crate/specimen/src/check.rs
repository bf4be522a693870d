//! What a plate must be to be scanned.

use crate::plate::Plate;

/// One thing that is wrong with a plate or with what goes with it.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Complaint {
    /// Where in the file, e.g. `plate.flaw[1].length_mm`; flaws count from 0.
    pub path: String,
    /// What is wrong, with the value, its unit and what was expected.
    pub message: String,
}

pub(crate) fn plate(plate: &Plate) -> Vec<Complaint> {
    let _ = plate;
    Vec::new()
}
