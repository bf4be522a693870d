//! What the acceptance rule makes of a call, from what stands on the sheet.

use crate::matching::length;
use crate::scheme::Acceptance;
use crate::sheet::{Call, Decision};
use crate::words;

/// The rule in a sentence.
pub(super) fn rule(rule: &Acceptance) -> String {
    format!(
        "The yard’s acceptance rule: planar flaws are rejected whatever their size; volumetric ones when longer than {} or \
         higher than {}. A rule of our own for training, no code’s.",
        words::mm(rule.volumetric_length_mm),
        words::mm(rule.volumetric_height_mm)
    )
}

/// The decision under the rule, `None` where the sheet does not say enough, and why.
pub(super) fn of(rule: &Acceptance, call: &Call) -> (Option<Decision>, String) {
    let Some(kind) = call.kind else { return (None, "the kind is missing".to_owned()) };
    if kind.is_planar() {
        return (Some(Decision::Reject), "planar: rejected whatever its size".to_owned());
    }
    let long = call.along_mm().filter(|_| call.start_mm.is_some() && call.end_mm.is_some()).map(length);
    let high = call.height_mm.filter(|height| height.is_finite());
    // One limit passed is enough, even where the other size is missing.
    let rejected = rule.decide(false, long.unwrap_or(0.0), high.unwrap_or(0.0)) == Decision::Reject;
    match (rejected, long, high) {
        (false, None, _) => (None, "the length is missing".to_owned()),
        (false, _, None) => (None, "the height is missing".to_owned()),
        _ => {
            let size = |value: Option<f64>, most: f64| {
                let value = value.map_or_else(|| "not known".to_owned(), words::mm);
                format!("{value} of at most {}", words::mm(most))
            };
            let reason = format!(
                "volumetric: length {}, height {}",
                size(long, rule.volumetric_length_mm),
                size(high, rule.volumetric_height_mm)
            );
            (Some(if rejected { Decision::Reject } else { Decision::Accept }), reason)
        }
    }
}
