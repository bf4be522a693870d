//! What the acceptance rule makes of a call, from what stands on the sheet.

use crate::acceptance::Known;
use crate::matching::length;
use crate::paper::Paper;
use crate::said::{Said, said};
use crate::sheet::{Call, Decision};

/// What a call says that a rule may ask for; `None` without a kind.
pub(super) fn known(call: &Call) -> Option<Known> {
    Some(Known {
        planar: call.kind?.is_planar(),
        length_mm: call.along_mm().filter(|_| call.start_mm.is_some() && call.end_mm.is_some()).map(length),
        height_mm: call.height_mm.filter(|height| height.is_finite()),
        echo_db: call.amplitude_db.filter(|echo| echo.is_finite()),
    })
}

/// The decision under the rule, `None` where the sheet does not say enough, and why.
pub(super) fn of(paper: &Paper, call: &Call) -> (Option<Decision>, Said) {
    match known(call) {
        Some(known) => paper.scheme.acceptance.decide(paper.plate.thickness_mm, &known),
        None => (None, said!("said.accept.no_kind")),
    }
}
