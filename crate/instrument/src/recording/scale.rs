//! One byte an amplitude: a logarithmic scale, fine enough for any gain that is set afterwards.
//!
//! A linear byte would have 0.2 dB at full screen height but 6 dB at a hundredth of it, where software gain is needed most;
//! on a logarithmic one the error is the same everywhere. 254 steps of 0.375 dB span 95 dB: from well above the highest
//! echo of plates (+10 dB against the reference hole) down to 20 dB below the receiver's noise (-52 dB).

use crate::sensitivity::REFERENCE_HEIGHT_PERCENT;

/// From one code to the next, dB. The error of an amplitude is at most half of it.
pub const STEP_DB: f64 = 0.375;
/// Amplitude of code 255, dB relative to the reference reflector. Anything higher has this code too.
pub const TOP_DB: f64 = 24.0;
/// Amplitude of code 1, dB relative to the reference reflector. What lies more than half a step below has code 0.
pub const FLOOR_DB: f64 = TOP_DB - 254.0 * STEP_DB;

/// Bits of a height's mantissa that are dropped before the look-up: what is left is finer than a step of the scale.
const DROPPED_BITS: u32 = 17;

/// From heights to codes and back.
#[derive(Clone, Debug)]
pub struct Scale {
    /// Least code of the heights that begin with the same bits.
    least: Vec<u8>,
    /// Lowest height of every code, % of full screen height at reference gain; no number behind the last one, which nothing reaches.
    from: [f32; 257],
}

impl Default for Scale {
    fn default() -> Self {
        let from = core::array::from_fn(|code| match code {
            0 => 0.0,
            256 => f32::NAN,
            code => percent_at(code as f64 - 0.5) as f32,
        });
        let least = (0..=f32::INFINITY.to_bits() >> DROPPED_BITS)
            .map(|first_bits| {
                let lowest = f32::from_bits(first_bits << DROPPED_BITS);
                (from.partition_point(|&edge| edge <= lowest).min(256) - 1) as u8
            })
            .collect();
        Self { least, from }
    }
}

impl Scale {
    /// The code of a height, % of full screen height at reference gain; 0 for what is no height.
    pub fn code(&self, percent: f32) -> u8 {
        let first_bits = (percent.to_bits() >> DROPPED_BITS) as usize;
        let Some(&least) = self.least.get(first_bits) else { return 0 };
        // Heights with the same first bits have two codes at most.
        if percent >= self.from[usize::from(least) + 1] { least + 1 } else { least }
    }

    /// The heights of all codes, % of full screen height, at a gain this far above the reference gain, dB. Not clipped.
    pub fn percent(&self, above_reference_db: f64) -> [f32; 256] {
        let factor = libm::exp10(above_reference_db / 20.0);
        core::array::from_fn(|code| match code {
            0 => 0.0,
            code => (percent_at(code as f64) * factor) as f32,
        })
    }
}

/// The amplitude of a code, dB relative to the reference reflector; code 0 has none.
pub fn level_db(code: u8) -> Option<f64> {
    (code > 0).then(|| FLOOR_DB + STEP_DB * (f64::from(code) - 1.0))
}

fn percent_at(code: f64) -> f64 {
    REFERENCE_HEIGHT_PERCENT * libm::exp10((FLOOR_DB + STEP_DB * (code - 1.0)) / 20.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_height_comes_back_within_half_a_step() {
        let scale = Scale::default();
        let percent = scale.percent(0.0);
        let mut last = 0;
        for step in 0..200_000 {
            let db = FLOOR_DB + (TOP_DB - FLOOR_DB) * f64::from(step) / 200_000.0;
            let height = REFERENCE_HEIGHT_PERCENT * libm::exp10(db / 20.0);
            let code = scale.code(height as f32);
            let error = 20.0 * libm::log10(f64::from(percent[usize::from(code)]) / height);
            assert!(error.abs() < STEP_DB / 2.0 + 1e-4, "{db} dB is {error} dB off");
            assert!(code >= last, "codes rise with heights");
            last = code;
        }
    }

    #[test]
    fn codes_have_their_own_heights() {
        let scale = Scale::default();
        for (code, &height) in (0..=255_u8).zip(&scale.percent(0.0)) {
            assert_eq!(scale.code(height), code);
        }
        assert_eq!((scale.code(0.0), scale.code(1e30), scale.code(f32::INFINITY)), (0, 255, 255));
        assert_eq!([f32::MIN_POSITIVE, -0.0, -1.0, f32::NAN].map(|height| scale.code(height)), [0; 4]);
    }

    #[test]
    fn sixty_decibels_below_the_screen_are_usable() {
        // The screen's full height at reference gain.
        let full_db = 20.0 * libm::log10(100.0 / REFERENCE_HEIGHT_PERCENT);
        assert!(FLOOR_DB <= full_db - 60.0 && STEP_DB / 2.0 <= 0.2);
        let (scale, gain_db) = (Scale::default(), 60.0);
        let code = scale.code(0.1);
        let shown = f64::from(scale.percent(gain_db)[usize::from(code)]);
        assert!((20.0 * libm::log10(shown / 100.0)).abs() <= 0.2, "{shown} %");
    }
}
