//! A check of the calibration in between: how far the bench has drifted since.

use acoustics::order::sort_by;
use serde::{Deserialize, Serialize};

use super::{Calibration, Sweep, Target, wanted_db};
use crate::bench::Instrument;

/// Sensitivity may drift by this and is made up for with gain; beyond it the scan is repeated. From memory of ISO 13588, not
/// looked up.
pub const MOST_DB: f64 = 4.0;
/// So may sound paths, mm, or % of the path where that is more; from the same memory.
pub const MOST_RANGE_MM: f64 = 0.5;
/// See above.
pub const MOST_RANGE_PERCENT: f64 = 2.0;

/// Share of the beams that must have found enough holes.
const ENOUGH: f64 = 0.85;
/// Holes that a beam must have found.
const LEAST_HOLES: usize = 2;
/// What a log may bring.
const MOST_TOLD: f64 = 1000.0;

/// What a check on the block has told.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Check {
    /// Height of the holes over the calibrated one, dB: of the beam that is farthest off.
    pub sensitivity_db: f64,
    /// Sound path read less the one that the place of the probe gives, mm: of the beam that is farthest off.
    pub range_mm: f64,
    /// The same as part of the sound path, %.
    pub range_percent: f64,
}

impl Check {
    /// What a sweep over the holes of the calibration block says of a calibration; `None` while beams are missing.
    pub fn of(sweep: &Sweep, calibration: &Calibration, instrument: &Instrument) -> Option<Self> {
        let reckoning = calibration.reckoning(&instrument.nominal);
        let beams = reckoning.angles.len();
        let mut told: Vec<[f64; 3]> = Vec::new();
        for beam in 0..beams {
            let (mut heights, mut ranges, mut shares) = (Vec::new(), Vec::new(), Vec::new());
            for (index, target) in sweep.targets().iter().enumerate() {
                let Target::Hole { depth_mm, diameter_mm, .. } = target else { continue };
                let Some(top) = sweep.top(index, beam) else { continue };
                let path = reckoning.path_mm(beam, top.two_way_us);
                heights.push(top.raw_db + calibration.gain_db(beam, path) - wanted_db());
                // From where the probe stands: what the angle is taken for plays no part in the time base.
                let way = libm::hypot(*depth_mm, top.forward_mm - reckoning.exits_forward_mm[beam]);
                let off = path + 0.5 * diameter_mm - way;
                ranges.push(off);
                shares.push(100.0 * off / way);
            }
            if heights.len() >= LEAST_HOLES {
                told.push([middle(heights), middle(ranges), middle(shares)]);
            }
        }
        if told.is_empty() || (told.len() as f64) < ENOUGH * beams as f64 {
            return None;
        }
        let farthest = |k: usize| {
            let worst = told.iter().map(|one| one[k]).max_by(|a, b| a.abs().total_cmp(&b.abs()));
            libm::round(worst.unwrap_or(0.0) * 100.0) / 100.0
        };
        Some(Self { sensitivity_db: farthest(0), range_mm: farthest(1), range_percent: farthest(2) })
    }

    /// Whether what was scanned since the last good check may stand.
    pub fn is_good(&self) -> bool {
        self.sensitivity_db.abs() <= MOST_DB
            && (self.range_mm.abs() <= MOST_RANGE_MM || self.range_percent.abs() <= MOST_RANGE_PERCENT)
    }

    /// Why it cannot be used, in words: a log comes from outside.
    pub fn problem(&self) -> Option<String> {
        let numbers = [self.sensitivity_db, self.range_mm, self.range_percent];
        let sound = numbers.iter().all(|number| number.abs() <= MOST_TOLD);
        (!sound).then(|| format!("a check tells {numbers:?}, expected numbers up to {MOST_TOLD}"))
    }
}

/// Median.
fn middle(mut values: Vec<f64>) -> f64 {
    sort_by(&mut values, f64::total_cmp);
    let half = values.len() / 2;
    if values.len() % 2 == 1 { values[half] } else { f64::midpoint(values[half - 1], values[half]) }
}

#[cfg(test)]
mod tests {
    use super::Check;

    #[test]
    fn beyond_the_limits_a_check_is_not_good() {
        let told =
            |sensitivity_db, range_mm, range_percent| Check { sensitivity_db, range_mm, range_percent };
        assert!(told(-4.0, 0.3, 3.0).is_good() && told(3.9, 1.0, 1.9).is_good());
        assert!(!told(-4.1, 0.0, 0.0).is_good() && !told(4.2, 0.0, 0.0).is_good());
        assert!(!told(0.0, -0.6, -2.1).is_good());
        assert!(told(f64::NAN, 0.0, 0.0).problem().is_some() && !told(f64::NAN, 0.0, 0.0).is_good());
        assert_eq!(told(1.0, 0.1, 0.2).problem(), None);
    }
}
