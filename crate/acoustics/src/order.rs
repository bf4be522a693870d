//! Sorting, written once. The standard library's sort is made anew for every type that is sorted, and in the browser's
//! program that is 4 kB each time.

use core::cmp::Ordering;

/// Sorts; what compares as equal keeps its order.
pub fn sort_by<T>(values: &mut [T], compare: impl Fn(&T, &T) -> Ordering) {
    let mut from: Vec<usize> = (0..values.len()).collect();
    sort_indices(&mut from, &|a, b| compare(&values[a], &values[b]));
    // Each cycle of places is gone round once; a place that is right points at itself.
    for start in 0..from.len() {
        let mut at = start;
        loop {
            let next = core::mem::replace(&mut from[at], at);
            if next == start || next == at {
                break;
            }
            values.swap(at, next);
            at = next;
        }
    }
}

/// Sorts indices by what they stand for; equal ones keep their order.
#[inline(never)]
pub fn sort_indices(indices: &mut [usize], compare: &dyn Fn(usize, usize) -> Ordering) {
    <[usize]>::sort_by(indices, |&a, &b| compare(a, b));
}

#[cfg(test)]
mod tests {
    use super::sort_by;
    use crate::seed::Stream;

    #[test]
    fn sorts_as_the_standard_library_does() {
        let mut stream = Stream::new(7, "order");
        for length in 0..200 {
            let mut ours: Vec<(u32, usize)> =
                (0..length).map(|place| ((stream.unit() * 20.0) as u32, place)).collect();
            let mut theirs = ours.clone();
            sort_by(&mut ours, |a, b| a.0.cmp(&b.0));
            theirs.sort_by_key(|value| value.0);
            assert_eq!(ours, theirs);
        }
    }
}
