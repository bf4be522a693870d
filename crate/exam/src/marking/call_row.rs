//! The mark for one call.

use super::{CallRow, FlawRow, Outcome, geometry};
use crate::matching;
use crate::paper::Paper;
use crate::sheet::Call;
use crate::words;

/// The row of a call; `hit` is the row of the flaw it belongs to. `call_index` counts from 0.
pub(super) fn row(
    paper: &Paper,
    flaws: &[FlawRow],
    call_index: usize,
    call: &Call,
    hit: Option<usize>,
) -> CallRow {
    let number = call_index as u32 + 1;
    let scheme = &paper.scheme;
    if let Some(flaw) = hit.map(|row| &flaws[row]) {
        let reason = format!("Call {number} is flaw {}, {}.", flaw.number, flaw.kind.to_lowercase());
        return CallRow {
            number,
            outcome: Outcome::Hit { flaw: flaw.number },
            cost: 0.0,
            scheme_line: None,
            reason,
        };
    }
    let (outcome, why) = stray(paper, flaws, call);
    // Who calls what need not be called does no harm, even twice.
    let uncounted = |number: u32| flaws.iter().any(|row| row.number == number && !row.counted);
    if matches!(outcome, Outcome::Duplicate { flaw } if uncounted(flaw)) {
        let reason = format!("Call {number} {why} That flaw is not counted, so it takes off nothing.");
        return CallRow { number, outcome, cost: 0.0, scheme_line: None, reason };
    }
    let cost = scheme.false_call_points;
    CallRow {
        number,
        outcome,
        cost,
        scheme_line: Some("scheme.false_call_points".to_owned()),
        reason: format!("Call {number} {why} It takes off {} points.", words::points(cost)),
    }
}

/// What a call without a flaw is, and why.
fn stray(paper: &Paper, flaws: &[FlawRow], call: &Call) -> (Outcome, String) {
    let scheme = &paper.scheme;
    let fit = |row: &&FlawRow| matching::misfit(scheme, &row.extent, call);
    if let Some(flaw) = flaws.iter().filter(|row| fit(row).is_some()).min_by_key(fit) {
        let false_call = if flaw.counted { "; it counts as a false call" } else { "" };
        let other = flaw.call.map_or_else(String::new, |call| format!(" that call {call} has named already"));
        let why = format!("is a second call of flaw {}{other}{false_call}.", flaw.number);
        return (Outcome::Duplicate { flaw: flaw.number }, why);
    }
    if let (Some(offset), Some(depth)) = (call.offset_mm, call.depth_mm)
        && let Some(place) = geometry::at(&paper.plate, &scheme.tolerance, offset, depth)
    {
        let why = format!(
            "lies {} at a depth of {}, where {place} echoes: geometry called as a flaw, a false call.",
            words::across_mm(offset),
            words::mm(depth)
        );
        return (Outcome::Geometry, why);
    }
    let Some(along) = call.along_mm() else {
        return (Outcome::False, "names no place along the weld, so it belongs to no flaw.".to_owned());
    };
    // The nearest flaw is worth a word when it lies about there.
    let gap =
        |row: &FlawRow| (row.extent.along_mm[0] - along[1]).max(along[0] - row.extent.along_mm[1]).max(0.0);
    let nearest = flaws
        .iter()
        .filter(|row| gap(row) <= 2.0 * scheme.matching.ends_mm)
        .min_by(|a, b| gap(a).total_cmp(&gap(b)));
    let why = match nearest.and_then(|flaw| Some((flaw, matching::why_not(scheme, &flaw.extent, call)?))) {
        Some((flaw, limits)) => {
            format!("is a false call. Flaw {} is the nearest, but {limits}.", flaw.number)
        }
        None => "is a false call: there is no flaw near this place.".to_owned(),
    };
    (Outcome::False, why)
}
