//! What one operator has learned over many plates: what was found at which height, how well it was sized, which kinds were
//! taken for which, how often nothing was called a flaw. Counts come with their bounds, a curve only where it means something.

use acoustics::order::sort_by;
use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use specimen::flaw::FlawKind;
use statrs::distribution::{ContinuousCDF, Gamma};

use crate::class::clopper_pearson;
use crate::pod::{Curve, Trial};

/// A plate that was sat, as it is kept after hand-in.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Sitting {
    /// Digest of the paper: who sits a plate again has seen its map.
    pub paper_digest: String,
    /// When it was begun, ms since 1970: sittings are put in this order.
    pub begun_ms: f64,
    /// Length of the weld, mm.
    pub weld_length_mm: f64,
    /// Calls where no flaw is, those on cap or root bead among them.
    pub false_calls: u32,
    /// The flaws that count.
    pub flaws: Vec<Met>,
}

/// A flaw of such a plate.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Met {
    /// What it is.
    pub kind: FlawKind,
    /// Its length along the weld, mm.
    pub length_mm: f64,
    /// The depth of its middle, mm.
    pub depth_mm: f64,
    /// Its height, mm.
    pub height_mm: f64,
    /// What was called; absent for a miss.
    pub called: Option<Said>,
}

/// What was said of a flaw that was found; each may be absent.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Said {
    /// Its kind.
    pub kind: Option<FlawKind>,
    /// Its length, mm.
    pub length_mm: Option<f64>,
    /// The depth of its middle, mm.
    pub depth_mm: Option<f64>,
    /// Its height, mm.
    pub height_mm: Option<f64>,
}

/// No curve is drawn from fewer flaws. A limit of ours; MIL-HDBK-1823A asks for 60 of hit and miss data (from memory).
pub const FEWEST_FLAWS: usize = 20;
/// Of the normal distribution, for 95 % on one side.
const Z_95: f64 = 1.644_853_626_951_472_2;
/// Borders between classes of height, mm.
const HEIGHTS_MM: [f64; 4] = [1.0, 2.0, 3.0, 5.0];
/// Points of a drawn curve.
const POINTS: u32 = 60;

/// How many of some flaws were found.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Found {
    /// From this height on, mm; absent for no limit.
    pub from_mm: Option<f64>,
    /// Below this height, mm; absent for no limit.
    pub below_mm: Option<f64>,
    /// Found.
    pub found: u32,
    /// Met.
    pub of: u32,
    /// Bounds of the chance to find such a flaw, %: Clopper and Pearson, 95 % of confidence.
    pub bounds_percent: [f64; 2],
}

/// Detection over the height of flaws, or why there is no curve.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "state", rename_all = "kebab-case")]
pub enum Detection {
    /// Fewer flaws than a curve means anything for.
    Few {
        /// Flaws still to be met.
        missing: usize,
    },
    /// Every flaw was found.
    AllFound,
    /// No flaw was found.
    NoneFound,
    /// The library has no curve, and says why.
    NoCurve {
        /// Why, in a sentence.
        reason: String,
    },
    /// The curve of highest likelihood over the logarithm of the height.
    Curve {
        /// Height, mm, and probability, %, over the heights that were met.
        points: Vec<[f64; 2]>,
        /// Height found nine times in ten, mm; absent where higher flaws are not found more often.
        a90_mm: Option<f64>,
        /// Upper bound of it with 95 % of confidence, by likelihood, mm; absent where there is none.
        a90_95_mm: Option<f64>,
    },
}

/// Errors of one measure, called less true.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Sizing {
    /// Values given.
    pub count: u32,
    /// Mean, mm; absent where none was given.
    pub mean_mm: Option<f64>,
    /// Standard deviation of the sample, mm; absent for fewer than two.
    pub spread_mm: Option<f64>,
}

/// What a kind was called.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Confused {
    /// True kind in words.
    pub kind: String,
    /// Kind called in words; absent where none was given.
    pub called: Option<String>,
    /// Whether that is right.
    pub right: bool,
    /// How often.
    pub count: u32,
}

/// Calls where no flaw is.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FalseCalls {
    /// How many.
    pub count: u32,
    /// On so much weld, mm.
    pub weld_length_mm: f64,
    /// Calls a metre; absent without weld.
    pub per_m: Option<f64>,
    /// Its bounds: Garwood (Biometrika 28, 1936), 95 % of confidence.
    pub bounds_per_m: Option<[f64; 2]>,
}

/// All of it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Progress {
    /// For each sitting as it came: whether it is the first at its plate. The others had seen the map and count nowhere.
    pub first: Vec<bool>,
    /// All flaws.
    pub found: Found,
    /// Classes of height, low ones first, those with a flaw.
    pub heights: Vec<Found>,
    /// Height, mm, of every flaw, and whether it was found.
    pub trials: Vec<(f64, bool)>,
    /// Detection over height.
    pub detection: Detection,
    /// Sizing of the length.
    pub length: Sizing,
    /// Sizing of the depth.
    pub depth: Sizing,
    /// Sizing of the height.
    pub height: Sizing,
    /// Kinds, most frequent first.
    pub kinds: Vec<Confused>,
    /// False calls.
    pub false_calls: FalseCalls,
}

impl Sitting {
    /// Whether its numbers can be those of a plate; what was kept outside may be anything.
    pub fn is_sound(&self) -> bool {
        let length = |value: f64| value.is_finite() && value > 0.0 && value < 1e5;
        let said = |value: Option<f64>| value.is_none_or(|value| value.is_finite() && value.abs() < 1e5);
        let flaw = |met: &Met| {
            let called = met.called.as_ref().is_none_or(|called| {
                said(called.length_mm) && said(called.depth_mm) && said(called.height_mm)
            });
            length(met.length_mm) && length(met.height_mm) && length(met.depth_mm) && called
        };
        self.begun_ms.is_finite() && length(self.weld_length_mm) && self.flaws.iter().all(flaw)
    }
}

/// What sound sittings tell.
pub fn progress(sittings: &[Sitting]) -> Progress {
    let first = firsts(sittings);
    let counted = || sittings.iter().zip(&first).filter(|(_, first)| **first).map(|(sitting, _)| sitting);
    let flaws: Vec<&Met> = counted().flat_map(|sitting| &sitting.flaws).collect();
    let error = |called: fn(&Said) -> Option<f64>, truth: fn(&Met) -> f64| {
        sizing(flaws.iter().filter_map(|met| Some(called(met.called.as_ref()?)? - truth(met))).collect())
    };
    Progress {
        found: found(&flaws, None, None),
        heights: heights(&flaws),
        trials: flaws.iter().map(|met| (met.height_mm, met.called.is_some())).collect(),
        detection: detection(&flaws),
        length: error(|said| said.length_mm, |met| met.length_mm),
        depth: error(|said| said.depth_mm, |met| met.depth_mm),
        height: error(|said| said.height_mm, |met| met.height_mm),
        kinds: kinds(&flaws),
        false_calls: false_calls(
            counted().map(|sitting| sitting.false_calls).fold(0, u32::saturating_add),
            counted().map(|sitting| sitting.weld_length_mm).sum(),
        ),
        first,
    }
}

/// Which sittings are the first at their plate.
fn firsts(sittings: &[Sitting]) -> Vec<bool> {
    let mut earliest: BTreeMap<&str, usize> = BTreeMap::new();
    for (place, sitting) in sittings.iter().enumerate() {
        let known = earliest.entry(&sitting.paper_digest).or_insert(place);
        if sitting.begun_ms < sittings[*known].begun_ms {
            *known = place;
        }
    }
    sittings.iter().enumerate().map(|(place, s)| earliest[s.paper_digest.as_str()] == place).collect()
}

fn found(flaws: &[&Met], from_mm: Option<f64>, below_mm: Option<f64>) -> Found {
    let within = |met: &Met| {
        from_mm.is_none_or(|from| met.height_mm >= from) && below_mm.is_none_or(|below| met.height_mm < below)
    };
    let of = flaws.iter().filter(|met| within(met)).count() as u32;
    let found = flaws.iter().filter(|met| within(met) && met.called.is_some()).count() as u32;
    let bounds_percent = if of == 0 { [0.0, 100.0] } else { clopper_pearson(found, of).map(|b| 100.0 * b) };
    Found { from_mm, below_mm, found, of, bounds_percent }
}

fn heights(flaws: &[&Met]) -> Vec<Found> {
    let from = core::iter::once(None).chain(HEIGHTS_MM.map(Some));
    let below = HEIGHTS_MM.map(Some).into_iter().chain([None]);
    from.zip(below).map(|(from, below)| found(flaws, from, below)).filter(|class| class.of > 0).collect()
}

/// The curve runs over the logarithm: a flaw of no height at all is not found.
fn detection(flaws: &[&Met]) -> Detection {
    if flaws.len() < FEWEST_FLAWS {
        return Detection::Few { missing: FEWEST_FLAWS - flaws.len() };
    }
    let hits = flaws.iter().filter(|met| met.called.is_some()).count();
    if hits == flaws.len() {
        return Detection::AllFound;
    }
    if hits == 0 {
        return Detection::NoneFound;
    }
    let trials: Vec<Trial> = flaws
        .iter()
        .map(|met| Trial { size: libm::log(met.height_mm), found: met.called.is_some() })
        .collect();
    let curve = match Curve::fit(&trials) {
        Ok(curve) => curve,
        Err(reason) => return Detection::NoCurve { reason: reason.to_string() },
    };
    let [low, high] = trials
        .iter()
        .fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], t| [low.min(t.size), high.max(t.size)]);
    let point = |k: u32| {
        let size = low + (high - low) * f64::from(k) / f64::from(POINTS);
        [libm::exp(size), 100.0 * curve.probability(size)]
    };
    let height_mm = |size: f64| Some(libm::exp(size)).filter(|height| height.is_finite());
    Detection::Curve {
        points: (0..=POINTS).map(point).collect(),
        a90_mm: curve.size(0.9).and_then(height_mm),
        a90_95_mm: curve.likelihood_bound(&trials, 0.9, Z_95).and_then(height_mm),
    }
}

fn sizing(errors_mm: Vec<f64>) -> Sizing {
    let count = errors_mm.len() as f64;
    let mean_mm = (!errors_mm.is_empty()).then(|| errors_mm.iter().sum::<f64>() / count);
    let spread_mm = mean_mm.filter(|_| errors_mm.len() > 1).map(|mean| {
        let squares: f64 = errors_mm.iter().map(|error| (error - mean) * (error - mean)).sum();
        f64::sqrt(squares / (count - 1.0))
    });
    Sizing { count: errors_mm.len() as u32, mean_mm, spread_mm }
}

fn kinds(flaws: &[&Met]) -> Vec<Confused> {
    let mut counts: BTreeMap<(FlawKind, Option<FlawKind>), u32> = BTreeMap::new();
    for met in flaws {
        if let Some(called) = &met.called {
            *counts.entry((met.kind, called.kind)).or_default() += 1;
        }
    }
    let mut rows: Vec<Confused> = counts
        .into_iter()
        .map(|((kind, called), count)| Confused {
            kind: kind.words().to_owned(),
            called: called.map(|called| called.words().to_owned()),
            right: called == Some(kind),
            count,
        })
        .collect();
    sort_by(&mut rows, |a, b| b.count.cmp(&a.count));
    rows
}

fn false_calls(count: u32, weld_length_mm: f64) -> FalseCalls {
    let per_m = |calls: f64| 1000.0 * calls / weld_length_mm;
    let quantile = |shape: f64, p: f64| Gamma::new(shape, 1.0).map_or(shape, |gamma| gamma.inverse_cdf(p));
    let low = if count == 0 { 0.0 } else { quantile(f64::from(count), 0.025) };
    let high = quantile(f64::from(count) + 1.0, 0.975);
    let some = weld_length_mm > 0.0;
    FalseCalls {
        count,
        weld_length_mm,
        per_m: some.then(|| per_m(f64::from(count))),
        bounds_per_m: some.then(|| [low, high].map(per_m)),
    }
}
