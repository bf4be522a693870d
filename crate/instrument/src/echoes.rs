//! Finding echoes in a frame.

use acoustics::order::sort_by;

/// A local maximum: beam, sample and height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Peak {
    /// Beam index.
    pub beam: usize,
    /// Sample index.
    pub sample: usize,
    /// Height, % of full screen height.
    pub percent: f32,
}

/// Beams and samples on either side within which an echo is one echo.
const BEAMS: usize = 6;
const SAMPLES: usize = 10;

/// Local maxima of a frame (`[beam][sample]`) at or above a height, highest first, at most `limit`.
pub fn peaks(percent: &[f32], samples: usize, threshold_percent: f32, limit: usize) -> Vec<Peak> {
    let beams = percent.len() / samples;
    let mut found: Vec<Peak> = Vec::new();
    for beam in 0..beams {
        let row = &percent[beam * samples..(beam + 1) * samples];
        for sample in 1..samples - 1 {
            let height = row[sample];
            if height < threshold_percent || height < row[sample - 1] || height <= row[sample + 1] {
                continue;
            }
            let (from, to) = (sample.saturating_sub(SAMPLES), (sample + SAMPLES + 1).min(samples));
            let lower = |b: usize| percent[b * samples + from..b * samples + to].iter().all(|&v| v <= height);
            // A flank is told soonest by the beams next to it.
            let near = |off: usize| [beam.checked_sub(off), (beam + off < beams).then_some(beam + off)];
            if (0..=BEAMS).flat_map(near).flatten().all(lower) {
                found.push(Peak { beam, sample, percent: height });
            }
        }
    }
    sort_by(&mut found, |a, b| b.percent.total_cmp(&a.percent));
    found.truncate(limit);
    found
}

#[cfg(test)]
mod tests {
    use super::peaks;

    #[test]
    fn one_echo_is_found_once_and_the_highest_first() {
        let samples = 100;
        let mut frame = vec![1.0_f32; 20 * samples];
        let mut bump = |beam: usize, sample: usize, height: f32| {
            for b in 0..20 {
                for s in 0..samples {
                    let (db, ds) = (b as f32 - beam as f32, s as f32 - sample as f32);
                    let value = height * (1.0 - 0.05 * (db * db + ds * ds * 0.3)).max(0.0);
                    let cell = &mut frame[b * samples + s];
                    if value > *cell {
                        *cell = value;
                    }
                }
            }
        };
        bump(5, 20, 40.0);
        bump(14, 70, 90.0);
        let found = peaks(&frame, samples, 20.0, 5);
        assert_eq!(found.iter().map(|p| (p.beam, p.sample)).collect::<Vec<_>>(), [(14, 70), (5, 20)]);
    }
}
