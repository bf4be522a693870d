//! Answers so alike that somebody should look.

use std::collections::BTreeMap;

use acoustics::order::sort_by;
use serde::Serialize;

use super::Work;
use crate::marking::Outcome;
use crate::sheet::Call;

/// Works with the same wrong values, more of them than chance gives.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Alike {
    /// Files, two or more, in the order of the works.
    pub files: Vec<String>,
    /// Equal values that are not true.
    pub equal: u32,
    /// Of these, as many as each of the files has: all of them, or fewer where some changed a little.
    pub each: u32,
    /// How unlikely that is for the likeliest two of them, bits beyond what the likeliest pair of so large a class has anyway.
    pub bits: f64,
}

/// Bits beyond chance from which on works are told of: one in a thousand classes has such a pair by chance.
const WORTH_A_LOOK_BITS: f64 = 10.0;
/// Values that a length has around the truth at least, for whoever reads it honestly to the tenth of a millimetre: two come
/// upon the same one with a chance of one in so many. A guess of ours, on the careful side.
const HONEST_VALUES: f64 = 20.0;
/// Closer than this to the truth a value is right, and equal for that reason, mm.
const RIGHT_MM: f64 = 0.35;
/// Most groups told of.
const MOST_GROUPS: usize = 50;

/// What a value is said of: a flaw's number and which value of it, or the place of a false call.
type What = (u32, u8);
/// A value of a sheet in tenths of a millimetre.
type Value = (What, i64);

/// What a work says wrongly of each flaw it found, and where its false calls lie.
pub(super) fn wrong_values(work: &Work) -> Vec<Value> {
    let tenths = |value: f64| libm::round(value * 10.0) as i64;
    let mut values = Vec::new();
    for row in &work.marks.flaws {
        let Some(call) = row.call.and_then(|call| work.sheet.calls.get(call as usize - 1)) else { continue };
        let middle = |ends: [f64; 2]| f64::midpoint(ends[0], ends[1]);
        let extent = &row.extent;
        let said = [
            (call.start_mm, extent.along_mm[0]),
            (call.end_mm, extent.along_mm[1]),
            (call.offset_mm, middle(extent.across_mm)),
            (call.depth_mm, middle(extent.depth_mm)),
            (call.height_mm, extent.depth_mm[1] - extent.depth_mm[0]),
        ];
        for ((value, truth), what) in said.into_iter().zip(0_u8..) {
            let wrong = value.filter(|value| value.is_finite() && (value - truth).abs() > RIGHT_MM);
            values.extend(wrong.map(|value| ((row.number, what), tenths(value))));
        }
    }
    let false_calls =
        work.marks.calls.iter().filter(|row| matches!(row.outcome, Outcome::False | Outcome::Geometry));
    for call in false_calls.filter_map(|row| work.sheet.calls.get(row.number as usize - 1)) {
        let Call { start_mm: Some(start), end_mm: Some(end), .. } = call else { continue };
        // A false call is one value, said by its place.
        let centimetre = libm::round(start / 10.0) as u32;
        values.push(((1000 + centimetre, 0), tenths(start + end)));
    }
    values
}

/// How surprising equal values are in a class.
struct Surprise {
    values: Vec<BTreeMap<What, i64>>,
    counts: BTreeMap<Value, u32>,
    pairs: f64,
}

impl Surprise {
    fn of(works: &[Work]) -> Self {
        let values: Vec<BTreeMap<What, i64>> =
            works.iter().map(|work| wrong_values(work).into_iter().collect()).collect();
        let mut counts: BTreeMap<Value, u32> = BTreeMap::new();
        for (&what, &value) in values.iter().flatten() {
            *counts.entry((what, value)).or_default() += 1;
        }
        let pairs = (works.len() * works.len().saturating_sub(1) / 2).max(1) as f64;
        Self { values, counts, pairs }
    }

    fn has(&self, work: usize, (what, value): &Value) -> bool {
        self.values.get(work).and_then(|own| own.get(what)) == Some(value)
    }

    /// Bits of equal values beyond chance, where they are worth a look.
    fn bits(&self, equal: &[Value]) -> Option<f64> {
        if equal.len() < 3 {
            return None;
        }
        let beside = self.values.len().saturating_sub(2) as f64 + HONEST_VALUES;
        let of_value = |value: &Value| {
            let others = f64::from(self.counts.get(value).copied().unwrap_or(2).saturating_sub(2));
            -libm::log2(((others + 1.0) / beside).max(1.0 / HONEST_VALUES))
        };
        let bits = equal.iter().map(of_value).sum::<f64>() - libm::log2(self.pairs);
        (bits >= WORTH_A_LOOK_BITS).then_some(bits)
    }

    /// The pairs worth a look with their bits, most unlikely first.
    fn pairs(&self) -> Vec<(f64, [usize; 2])> {
        let mut found = Vec::new();
        let mut equal: Vec<Value> = Vec::new();
        for (one, own) in self.values.iter().enumerate() {
            for (other, theirs) in self.values.iter().enumerate().skip(one + 1) {
                equal.clear();
                let same = own.iter().filter(|(what, value)| theirs.get(what) == Some(value));
                equal.extend(same.map(|(&what, &value)| (what, value)));
                found.extend(self.bits(&equal).map(|bits| (bits, [one, other])));
            }
        }
        sort_by(&mut found, |a, b| b.0.total_cmp(&a.0));
        found
    }
}

/// Works that share values because of which they are told of.
struct Group {
    shared: Vec<Value>,
    bits: f64,
    members: Vec<bool>,
}

/// Works with more equal wrong values than chance gives, and how many pairs were left out for want of room. A value that nobody
/// else has is worth about four bits, one that many have next to nothing; what the likeliest of all pairs has by chance is taken
/// off. A group begins with the most unlikely pair; other pairs join it where, of the values that began it, they have in common
/// what is worth a look alone: twenty copies of one sheet are 190 pairs for one reason, even where each was changed a little.
pub(super) fn alike(works: &[Work]) -> (Vec<Alike>, u32) {
    let surprise = Surprise::of(works);
    let mut groups: Vec<Group> = Vec::new();
    let mut left_out = 0;
    for (bits, pair) in surprise.pairs() {
        let common = |values: &[Value]| -> Vec<Value> {
            values
                .iter()
                .filter(|value| pair.iter().all(|&work| surprise.has(work, value)))
                .copied()
                .collect()
        };
        let known = groups.iter().position(|group| surprise.bits(&common(&group.shared)).is_some());
        let at = known.unwrap_or(groups.len());
        if at == MOST_GROUPS {
            left_out += 1;
            continue;
        }
        if at == groups.len() {
            let own: Vec<Value> =
                surprise.values[pair[0]].iter().map(|(&what, &value)| (what, value)).collect();
            groups.push(Group { shared: common(&own), bits, members: vec![false; works.len()] });
        }
        for work in pair {
            groups[at].members[work] = true;
        }
    }
    let told = groups.iter().map(|Group { shared, bits, members }| {
        let members = || (0..works.len()).filter(|&work| members[work]);
        let has = |work: usize| shared.iter().filter(|value| surprise.has(work, value)).count() as u32;
        Alike {
            files: members().map(|work| works[work].file.clone()).collect(),
            equal: shared.len() as u32,
            each: members().map(has).min().unwrap_or_default(),
            bits: *bits,
        }
    });
    (told.collect(), left_out)
}
