//! Which call belongs to which flaw: one to one, as many as possible, then the best fit.

use acoustics::order::sort_indices;
use std::cmp::Ordering;

use pathfinding::kuhn_munkres::kuhn_munkres;
use pathfinding::matrix::Matrix;
use specimen::flaw::Extent;

use crate::said::{Said, said};
use crate::scheme::{Matching, Scheme};
use crate::sheet::Call;

/// Largest misfit of a pair that is within all limits: a thousand for each of start, end, across and depth.
const LARGEST_MISFIT: i64 = 4000;

/// The middle of a stretch.
pub(crate) fn middle(ends: [f64; 2]) -> f64 {
    f64::midpoint(ends[0], ends[1])
}

/// The length of a stretch.
pub(crate) fn length(ends: [f64; 2]) -> f64 {
    ends[1] - ends[0]
}

/// How far a call is off a flaw, each with its limit, mm; `None` for what the call does not say.
struct Distances {
    start: (f64, f64),
    end: (f64, f64),
    across: Option<(f64, f64)>,
    depth: Option<(f64, f64)>,
}

/// Says of a distance and its limit that it is too far.
type Saying = fn((f64, f64)) -> Said;

impl Distances {
    fn of(limits: &Matching, flaw: &Extent, call: &Call) -> Option<Self> {
        let along = call.along_mm()?;
        let ends_limit = limits.ends_mm.max(length(flaw.along_mm) / 2.0);
        let off =
            |called: Option<f64>, ends, limit| called.map(|value| ((value - middle(ends)).abs(), limit));
        Some(Self {
            start: ((along[0] - flaw.along_mm[0]).abs(), ends_limit),
            end: ((along[1] - flaw.along_mm[1]).abs(), ends_limit),
            across: off(call.offset_mm, flaw.across_mm, limits.across_mm),
            depth: off(call.depth_mm, flaw.depth_mm, limits.depth_mm),
        })
    }

    /// Each with how it is said.
    fn named(&self) -> [(Saying, Option<(f64, f64)>); 4] {
        [
            (|(off, limit)| said!("said.off.start", off_mm = off, limit_mm = limit), Some(self.start)),
            (|(off, limit)| said!("said.off.end", off_mm = off, limit_mm = limit), Some(self.end)),
            (|(off, limit)| said!("said.off.across", off_mm = off, limit_mm = limit), self.across),
            (|(off, limit)| said!("said.off.depth", off_mm = off, limit_mm = limit), self.depth),
        ]
    }
}

/// Whether a distance keeps its limit; written so that a distance that is no number does not.
fn within((distance, limit): (f64, f64)) -> bool {
    // The addend forgives the last bits of sums of tenths.
    distance <= limit + 1e-9
}

/// The misfit of a call to a flaw, 0 to [`LARGEST_MISFIT`]; `None` when the call cannot belong to it. What the call
/// does not say counts as the full limit.
pub(crate) fn misfit(scheme: &Scheme, flaw: &Extent, call: &Call) -> Option<i64> {
    let distances = Distances::of(&scheme.matching, flaw, call)?;
    distances.named().into_iter().try_fold(0, |sum, (_, pair)| match pair {
        None => Some(sum + 1000),
        Some(pair) if within(pair) => Some(sum + libm::round((pair.0 / pair.1).min(1.0) * 1000.0) as i64),
        Some(_) => None,
    })
}

/// Why a call cannot belong to a flaw, in sentences; none when it can.
pub(crate) fn why_not(scheme: &Scheme, flaw: &Extent, call: &Call) -> Option<Vec<Said>> {
    let Some(distances) = Distances::of(&scheme.matching, flaw, call) else {
        return Some(vec![said!("said.off.no_place")]);
    };
    let broken: Vec<Said> = distances
        .named()
        .into_iter()
        .filter_map(|(say, pair)| pair.filter(|&pair| !within(pair)).map(say))
        .collect();
    (!broken.is_empty()).then_some(broken)
}

/// For each flaw the call that belongs to it. Flaws that count are served before those that do not. The order of
/// the calls does not matter.
pub(crate) fn assign(scheme: &Scheme, flaws: &[(Extent, bool)], calls: &[Call]) -> Vec<Option<usize>> {
    if flaws.is_empty() || calls.is_empty() {
        return vec![None; flaws.len()];
    }
    let mut order: Vec<usize> = (0..calls.len()).collect();
    sort_indices(&mut order, &|a, b| by_content(&calls[a], &calls[b]));
    // One more match must outweigh any gain in fit, and one that counts any number of others.
    let more = flaws.len() as i64 + 1;
    let matched = |counts: bool| (LARGEST_MISFIT + 1) * if counts { more * more } else { more };
    // The library wants at least as many columns as rows; columns beyond the calls stand for "not called".
    let columns = flaws.len() + calls.len();
    let weights = Matrix::from_fn(flaws.len(), columns, |(row, column)| {
        order
            .get(column)
            .and_then(|&call| misfit(scheme, &flaws[row].0, &calls[call]))
            .map_or(0, |misfit| matched(flaws[row].1) + LARGEST_MISFIT - misfit)
    });
    let (_, columns_of_rows) = kuhn_munkres(&weights);
    columns_of_rows
        .into_iter()
        .enumerate()
        .map(|(row, column)| {
            let call = *order.get(column)?;
            misfit(scheme, &flaws[row].0, &calls[call]).map(|_| call)
        })
        .collect()
}

/// A total order by what the calls say, so that the order of the rows cannot decide between equal fits.
fn by_content(a: &Call, b: &Call) -> Ordering {
    let numbers = |call: &Call| {
        [call.start_mm, call.end_mm, call.offset_mm, call.depth_mm, call.height_mm, call.amplitude_db]
            .map(|value| value.unwrap_or(f64::NEG_INFINITY))
    };
    let (a_numbers, b_numbers) = (numbers(a), numbers(b));
    a_numbers
        .iter()
        .zip(&b_numbers)
        .map(|(a, b)| a.total_cmp(b))
        .find(|order| order.is_ne())
        .unwrap_or(Ordering::Equal)
        .then(a.kind.cmp(&b.kind))
        .then(a.decision.cmp(&b.decision))
        .then(a.remark.cmp(&b.remark))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn flaw(start: f64, end: f64) -> Extent {
        Extent { along_mm: [start, end], across_mm: [1.0, 3.0], depth_mm: [8.0, 12.0] }
    }

    fn call(start: f64, end: f64, depth: f64) -> Call {
        Call {
            start_mm: Some(start),
            end_mm: Some(end),
            offset_mm: Some(2.0),
            depth_mm: Some(depth),
            ..Call::default()
        }
    }

    #[test]
    fn as_many_as_possible_even_where_one_would_fit_better() {
        let scheme = Scheme::default();
        // The first call fits the first flaw perfectly and the second a little; the second call fits only the first.
        let flaws = [(flaw(100.0, 110.0), true), (flaw(112.0, 122.0), true)];
        let calls = [call(100.0, 110.0, 10.0), call(92.0, 102.0, 10.0)];
        assert_eq!(assign(&scheme, &flaws, &calls), [Some(1), Some(0)]);
    }

    #[test]
    fn a_flaw_that_counts_is_served_first() {
        let scheme = Scheme::default();
        let calls = [call(101.0, 111.0, 10.0)];
        let flaws = |counts: [bool; 2]| [(flaw(100.0, 110.0), counts[0]), (flaw(112.0, 122.0), counts[1])];
        assert_eq!(assign(&scheme, &flaws([true, true]), &calls), [Some(0), None]);
        assert_eq!(assign(&scheme, &flaws([false, true]), &calls), [None, Some(0)]);
    }

    #[test]
    fn the_better_fit_wins_and_the_other_stays_over() {
        let scheme = Scheme::default();
        let calls = [call(104.0, 110.0, 10.0), call(100.0, 110.0, 10.5)];
        assert_eq!(assign(&scheme, &[(flaw(100.0, 110.0), true)], &calls), [Some(1)]);
    }

    #[test]
    fn limits_are_kept_and_named() {
        let scheme = Scheme::default();
        let at_limit = call(115.0, 125.0, 16.0);
        assert!(misfit(&scheme, &flaw(100.0, 110.0), &at_limit).is_some());
        let beyond = call(115.1, 125.1, 16.1);
        assert_eq!(misfit(&scheme, &flaw(100.0, 110.0), &beyond), None);
        assert_eq!(
            why_not(&scheme, &flaw(100.0, 110.0), &beyond)
                .unwrap()
                .iter()
                .map(|why| &**why)
                .collect::<Vec<_>>(),
            [
                "its start is 15.1 mm off (limit 15.0 mm)",
                "its end is 15.1 mm off (limit 15.0 mm)",
                "its depth is 6.1 mm off (limit 6.0 mm)"
            ]
        );
        let no_number = call(100.0, 110.0, f64::NAN);
        assert_eq!(misfit(&scheme, &flaw(100.0, 110.0), &no_number), None);
    }
}
