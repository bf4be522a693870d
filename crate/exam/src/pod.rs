//! Probability of detection over size from hits and misses: a logit curve by maximum likelihood, as MIL-HDBK-1823A and
//! ASTM E2862 use it, with the bounds they read off it.

use core::fmt;

/// One flaw looked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trial {
    /// Its size, mm, or the natural logarithm of it: whatever the curve is to run over.
    pub size: f64,
    /// Whether it was found.
    pub found: bool,
}

/// The curve: logit of the probability = intercept + slope · size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Curve {
    /// Logit at size 0.
    pub intercept: f64,
    /// Logit per unit of size.
    pub slope: f64,
    /// Variances of intercept and slope, and their covariance between (inverse of the observed information).
    pub variance: [f64; 3],
    /// -2 log likelihood of the trials.
    pub deviance: f64,
}

/// Why there is no curve.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum FitError {
    /// A size is infinite or not a number.
    #[error("a size is not a finite number")]
    NotANumber,
    /// All trials have one size, or there is none.
    #[error("a curve over size needs trials of at least two sizes")]
    OneSize,
    /// One size parts hits from misses: any steeper curve fits better.
    #[error(
        "hits and misses do not overlap in size, so no curve fits best; more trials near the border are needed"
    )]
    Parted,
    /// The search did not settle.
    #[error("the search for the best curve did not settle")]
    Unsettled,
}

/// Most steps of a search.
const STEPS: usize = 200;

impl Curve {
    /// The curve of highest likelihood (Newton's method with halved steps).
    ///
    /// # Errors
    /// When the trials have no such curve.
    pub fn fit(trials: &[Trial]) -> Result<Self, FitError> {
        if trials.iter().any(|trial| !trial.size.is_finite()) {
            return Err(FitError::NotANumber);
        }
        let [smallest, largest] = extremes(trials, |_| true);
        if trials.is_empty() || smallest >= largest {
            return Err(FitError::OneSize);
        }
        let (hits, misses) = (extremes(trials, |t| t.found), extremes(trials, |t| !t.found));
        if misses[1] <= hits[0] || hits[1] <= misses[0] {
            return Err(FitError::Parted);
        }
        // From the middle of the sizes and in units of their spread, where the two parameters hardly pull on each other.
        let (middle, unit) = (0.5 * (smallest + largest), largest - smallest);
        let scaled: Vec<Trial> =
            trials.iter().map(|t| Trial { size: (t.size - middle) / unit, ..*t }).collect();
        let mut line = [0.0, 0.0];
        let mut best = deviance(&scaled, line);
        for _ in 0..STEPS {
            let step = newton_step(&scaled, line).ok_or(FitError::Unsettled)?;
            let mut share = 1.0;
            let next = loop {
                let next = [line[0] + share * step[0], line[1] + share * step[1]];
                if deviance(&scaled, next) <= best || share < 1e-9 {
                    break next;
                }
                share *= 0.5;
            };
            let moved = (next[0] - line[0]).abs() + (next[1] - line[1]).abs();
            (line, best) = (next, deviance(&scaled, next));
            if moved < 1e-11 {
                let slope = line[1] / unit;
                return Self::with_variance(trials, [line[0] - slope * middle, slope])
                    .ok_or(FitError::Unsettled);
            }
        }
        Err(FitError::Unsettled)
    }

    fn with_variance(trials: &[Trial], line: [f64; 2]) -> Option<Self> {
        let [a, b, c] = information(trials, line);
        let determinant = a * c - b * b;
        (determinant > 0.0).then(|| Self {
            intercept: line[0],
            slope: line[1],
            variance: [c / determinant, -b / determinant, a / determinant],
            deviance: deviance(trials, line),
        })
    }

    /// Standard errors of intercept and slope.
    pub fn errors(&self) -> [f64; 2] {
        [f64::sqrt(self.variance[0]), f64::sqrt(self.variance[2])]
    }

    /// Probability of detection at a size.
    pub fn probability(&self, size: f64) -> f64 {
        logistic(self.intercept + self.slope * size)
    }

    /// Size that is found with a probability (a90 at 0.9). `None` when larger flaws are not found more often.
    pub fn size(&self, probability: f64) -> Option<f64> {
        (self.slope > 0.0).then(|| (logit(probability) - self.intercept) / self.slope)
    }

    /// Upper bound of the size found with a probability, by Wald: where the curve less `z` standard errors has reached it
    /// (a90/95 at 0.9 and z = 1.64485). `None` when the slope is not that many errors above 0.
    pub fn wald_bound(&self, probability: f64, z: f64) -> Option<f64> {
        let [v0, v01, v1] = self.variance.map(|v| z * z * v);
        let rest = self.intercept - logit(probability);
        // (rest + slope x)² = z² var(x), the larger root.
        let (a, b, c) = (self.slope * self.slope - v1, self.slope * rest - v01, rest * rest - v0);
        let root = b * b - a * c;
        (self.slope > 0.0 && a > 0.0 && root >= 0.0).then(|| (f64::sqrt(root) - b) / a)
    }

    /// Upper bound of the size found with a probability, by likelihood: the largest size for which a curve through that
    /// probability fits less well by no more than `z²` of deviance. Usually nearer than [`Self::wald_bound`] for few
    /// trials. `None` when no size is large enough.
    pub fn likelihood_bound(&self, trials: &[Trial], probability: f64, z: f64) -> Option<f64> {
        let fitted = self.size(probability)?;
        let allowed = self.deviance + z * z;
        let within = |size: f64| through(trials, size, logit(probability)) <= allowed;
        let [smallest, largest] = extremes(trials, |_| true);
        let mut step = largest - smallest;
        let mut inside = fitted;
        // Beyond a thousand times the sizes tried, the curve is flat for all purposes.
        let mut outside = loop {
            if step > 1e3 * (largest - smallest) {
                return None;
            }
            if !within(fitted + step) {
                break fitted + step;
            }
            inside = fitted + step;
            step *= 2.0;
        };
        for _ in 0..STEPS {
            let middle = 0.5 * (inside + outside);
            if within(middle) { inside = middle } else { outside = middle }
        }
        Some(inside)
    }
}

impl fmt::Display for Curve {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "logit = {:.4} + {:.4} size", self.intercept, self.slope)
    }
}

/// Smallest and largest size among some trials; infinite the wrong way round when there is none.
fn extremes(trials: &[Trial], wanted: impl Fn(&Trial) -> bool) -> [f64; 2] {
    trials
        .iter()
        .filter(|trial| wanted(trial))
        .fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], t| [low.min(t.size), high.max(t.size)])
}

fn logistic(x: f64) -> f64 {
    1.0 / (1.0 + libm::exp(-x))
}

fn logit(probability: f64) -> f64 {
    libm::log(probability / (1.0 - probability))
}

fn deviance(trials: &[Trial], [intercept, slope]: [f64; 2]) -> f64 {
    trials.iter().fold(0.0, |sum, trial| {
        let x = intercept + slope * trial.size;
        // -log of the probability of what happened, without overflow.
        let against = if trial.found { -x } else { x };
        sum + 2.0 * (against.max(0.0) + libm::log1p(libm::exp(-against.abs())))
    })
}

/// Observed information of intercept and slope: [aa, ab, bb].
fn information(trials: &[Trial], [intercept, slope]: [f64; 2]) -> [f64; 3] {
    trials.iter().fold([0.0; 3], |[a, b, c], trial| {
        let p = logistic(intercept + slope * trial.size);
        let weight = p * (1.0 - p);
        [a + weight, b + weight * trial.size, c + weight * trial.size * trial.size]
    })
}

fn newton_step(trials: &[Trial], line: [f64; 2]) -> Option<[f64; 2]> {
    let [a, b, c] = information(trials, line);
    let [g, h] = trials.iter().fold([0.0; 2], |[g, h], trial| {
        let rest = f64::from(u8::from(trial.found)) - logistic(line[0] + line[1] * trial.size);
        [g + rest, h + rest * trial.size]
    });
    let determinant = a * c - b * b;
    (determinant > 0.0).then(|| [(c * g - b * h) / determinant, (a * h - b * g) / determinant])
}

/// Least deviance of all rising curves that have a logit at a size: a search over the slope alone, in which the deviance
/// is convex.
fn through(trials: &[Trial], size: f64, logit: f64) -> f64 {
    let at = |slope: f64| deviance(trials, [logit - slope * size, slope]);
    let downhill = |slope: f64| {
        trials.iter().fold(0.0, |sum, trial| {
            let off = trial.size - size;
            let rest = f64::from(u8::from(trial.found)) - logistic(logit + slope * off);
            sum + rest * off
        }) > 0.0
    };
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..60 {
        if !downhill(high) {
            break;
        }
        (low, high) = (high, 2.0 * high);
    }
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        if downhill(middle) { low = middle } else { high = middle }
    }
    at(0.5 * (low + high))
}

#[cfg(test)]
mod tests {
    use super::{Curve, FitError, Trial};

    fn trials(list: &[(f64, bool)]) -> Vec<Trial> {
        list.iter().map(|&(size, found)| Trial { size, found }).collect()
    }

    #[test]
    fn what_has_no_curve_says_why() {
        assert_eq!(Curve::fit(&[]), Err(FitError::OneSize));
        assert_eq!(Curve::fit(&trials(&[(1.0, true), (1.0, false)])), Err(FitError::OneSize));
        assert_eq!(Curve::fit(&trials(&[(1.0, true), (f64::NAN, false)])), Err(FitError::NotANumber));
        assert_eq!(Curve::fit(&trials(&[(1.0, false), (2.0, true)])), Err(FitError::Parted));
        assert_eq!(Curve::fit(&trials(&[(1.0, true), (2.0, true)])), Err(FitError::Parted));
        let touching = trials(&[(1.0, false), (2.0, false), (2.0, true), (3.0, true)]);
        assert_eq!(Curve::fit(&touching), Err(FitError::Parted));
    }

    /// Two sizes have a curve through both shares: logit of 1/4 at 1, of 3/4 at 2.
    #[test]
    fn two_sizes_give_their_shares() {
        let mut list = Vec::new();
        for (size, found) in [(1.0, 1), (2.0, 3)] {
            list.extend((0..4).map(|k| (size, k < found)));
        }
        let curve = Curve::fit(&trials(&list)).expect("a curve");
        assert!((curve.probability(1.0) - 0.25).abs() < 1e-12, "{curve}");
        assert!((curve.probability(2.0) - 0.75).abs() < 1e-12, "{curve}");
        assert!(curve.size(0.5).is_some_and(|size| (size - 1.5).abs() < 1e-12));
    }

    #[test]
    fn units_do_not_matter() {
        let list = [(1.0, false), (2.0, true), (2.5, false), (3.0, true), (4.0, true)];
        let curve = Curve::fit(&trials(&list)).expect("a curve");
        let inches = list.map(|(size, found)| (size / 25.4 + 1000.0, found));
        let other = Curve::fit(&trials(&inches)).expect("a curve");
        assert!((other.deviance - curve.deviance).abs() < 1e-6);
        assert!((other.slope / 25.4 / curve.slope - 1.0).abs() < 1e-6);
    }

    #[test]
    fn bounds_that_do_not_exist_are_none() {
        let falling = trials(&[(1.0, true), (2.0, false), (2.5, true), (3.0, false)]);
        let curve = Curve::fit(&falling).expect("a curve");
        assert_eq!(curve.size(0.9), None);
        assert_eq!(curve.wald_bound(0.9, 1.645), None);
        let weak = trials(&[(1.0, false), (2.0, true), (2.5, false), (3.0, true)]);
        let curve = Curve::fit(&weak).expect("a curve");
        assert!(curve.size(0.9).is_some());
        assert_eq!(curve.wald_bound(0.9, 1.645), None);
        assert_eq!(curve.likelihood_bound(&weak, 0.9, 1.645), None);
    }
}
