//! The shape of a flaw.

use crate::flaw::{Extent, Flaw};
use crate::plate::Plate;

pub(crate) fn extent(flaw: &Flaw, plate: &Plate) -> Extent {
    let _ = (flaw, plate);
    Extent { along_mm: [0.0; 2], across_mm: [0.0; 2], depth_mm: [0.0; 2] }
}
