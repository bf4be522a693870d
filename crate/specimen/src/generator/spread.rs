//! Where flaws begin along the weld.

use acoustics::seed::Stream;

/// Sound weld at both ends, half millimetres.
pub(super) const END: u32 = 30;
/// Least length of the one clean stretch, half millimetres.
pub(super) const CLEAN: u32 = 100;

/// Starts of flaws of given lengths in their order along a weld, all in half millimetres. Both ends and the spaces
/// between are at least as long as asked, one of them is a clean stretch, and what is left is shared out at random.
/// (The levels never draw flaws too long for that; if they did, the last ones would pass the end.)
pub(super) fn starts(stream: &mut Stream, lengths: &[u32], between: u32, weld: u32) -> Vec<u32> {
    let gaps = lengths.len() + 1;
    let mut sound: Vec<u32> =
        (0..gaps).map(|i| if i == 0 || i + 1 == gaps { END } else { between }).collect();
    let clean = stream.below(gaps as u32) as usize;
    sound[clean] = sound[clean].max(CLEAN);
    let taken = sound.iter().sum::<u32>() + lengths.iter().sum::<u32>();
    let spare = weld.saturating_sub(taken);
    let mut cuts: Vec<u32> = (1..gaps).map(|_| stream.below(spare + 1)).collect();
    cuts.sort_unstable();
    let mut before = 0;
    for (gap, cut) in sound.iter_mut().zip(cuts.into_iter().chain([spare])) {
        *gap += cut - before;
        before = cut;
    }
    let mut at = 0;
    lengths
        .iter()
        .zip(sound)
        .map(|(length, gap)| {
            let start = at + gap;
            at = start + length;
            start
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::level::levels;
    use super::*;

    #[test]
    fn longest_flaws_of_every_level_leave_room() {
        for level in levels() {
            let (n, between) = (level.flaws[1], (2.0 * level.between_mm) as u32);
            assert!(between >= 20, "flaws closer than 10 mm");
            // The clean stretch is an end or a space between.
            let sound =
                (END + CLEAN + (n - 1) * between).max(2 * END + CLEAN + (n - 1).saturating_sub(1) * between);
            let taken = n * (2.0 * level.length_mm[1]) as u32 + sound;
            assert!(taken <= 600, "{taken} of 600 half millimetres");
        }
    }

    #[test]
    fn spaces_are_kept() {
        for seed in 0..200 {
            let lengths = [40, 10, 55, 20, 31];
            let starts = starts(&mut Stream::new(seed, "test"), &lengths, 20, 600);
            let mut end = 0;
            let mut spaces = Vec::new();
            for (start, length) in starts.iter().zip(lengths) {
                spaces.push(start - end);
                end = start + length;
            }
            spaces.push(600 - end);
            assert!(spaces[0] >= END && spaces[5] >= END);
            assert!(spaces[1..5].iter().all(|&space| space >= 20));
            assert!(spaces.iter().any(|&space| space >= CLEAN));
        }
    }
}
