//! The mark for one call.

use super::{CallRow, FlawRow, Outcome, geometry, place_across};
use crate::matching;
use crate::paper::Paper;
use crate::said::{Said, said};
use crate::scheme::Scheme;
use crate::sheet::Call;

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
        let kind = paper.plate.flaws[flaw.index as usize].kind;
        let reason = said!("said.hit", call = number, flaw = flaw.number, kind = kind);
        return CallRow {
            number,
            outcome: Outcome::Hit { flaw: flaw.number },
            cost: 0.0,
            scheme_line: None,
            reason,
        };
    }
    let (outcome, why) = stray(paper, flaws, number, call);
    // Who calls what need not be called does no harm, even twice.
    let uncounted = |number: u32| flaws.iter().any(|row| row.number == number && !row.counted);
    if matches!(outcome, Outcome::Duplicate { flaw } if uncounted(flaw)) {
        let reason = said!("said.stray.free", why = why);
        return CallRow { number, outcome, cost: 0.0, scheme_line: None, reason };
    }
    let cost = scheme.false_call_points;
    CallRow {
        number,
        outcome,
        cost,
        scheme_line: Some("scheme.false_call_points".to_owned()),
        reason: said!("said.stray.cost", why = why, cost_points = cost),
    }
}

/// What a call without a flaw is, and why.
fn stray(paper: &Paper, flaws: &[FlawRow], number: u32, call: &Call) -> (Outcome, Said) {
    let scheme = &paper.scheme;
    let fit = |row: &&FlawRow| matching::misfit(scheme, &row.extent, call);
    if let Some(flaw) = flaws.iter().filter(|row| fit(row).is_some()).min_by_key(fit) {
        // Whoever fits a flaw that no call has would have it.
        let first = flaw.call.unwrap_or_default();
        let key = if flaw.counted { "said.stray.again" } else { "said.stray.again_free" };
        let why = said!(key, call = number, flaw = flaw.number, first = first);
        return (Outcome::Duplicate { flaw: flaw.number }, why);
    }
    if let Some((flaw, limits)) = cut_short(scheme, flaws, call) {
        return (
            Outcome::False,
            said!("said.stray.near", call = number, flaw = flaw.number, limits = limits),
        );
    }
    if let (Some(offset), Some(depth)) = (call.offset_mm, call.depth_mm)
        && let Some(what) = geometry::at(&paper.plate, &scheme.tolerance, offset, depth)
    {
        let place = place_across(offset);
        let why = said!("said.stray.outside", call = number, place = place, depth_mm = depth, what = what);
        return (Outcome::Geometry, why);
    }
    let Some(along) = call.along_mm() else {
        return (Outcome::False, said!("said.stray.no_place", call = number));
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
            said!("said.stray.near", call = number, flaw = flaw.number, limits = limits)
        }
        None => said!("said.stray.none", call = number),
    };
    (Outcome::False, why)
}

/// The flaw that a call lies on, and what of its ends is off: whoever stopped at the highest echo of a root flaw had that, and
/// not the bead.
fn cut_short<'a>(scheme: &Scheme, flaws: &'a [FlawRow], call: &Call) -> Option<(&'a FlawRow, Vec<Said>)> {
    let along = call.along_mm()?;
    let on = |row: &&FlawRow| {
        let [from, to] = row.extent.along_mm;
        let whole = Call { start_mm: Some(from), end_mm: Some(to), ..call.clone() };
        from <= along[0] && along[1] <= to && matching::misfit(scheme, &row.extent, &whole).is_some()
    };
    let flaw = flaws.iter().find(on)?;
    Some((flaw, matching::why_not(scheme, &flaw.extent, call)?))
}
