//! What follows from a sweep, and what is left after it.

use acoustics::order::sort_by;
use core::ops::Range;

use serde::{Deserialize, Serialize};

use super::sweep::parabola;
use super::{Beam, Calibration, GainPoint, Sweep, Target, wanted_db};
use crate::bench::{Instrument, decibel};

/// The steps, in the order in which they build on each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Step {
    /// Speed in the metal, from two radii.
    Speed,
    /// Time in the wedge and exit point of every beam, from a radius.
    Wedge,
    /// Refracted angle of every beam, from holes.
    Angles,
    /// Gain of every beam, from one hole.
    Sensitivity,
    /// Gain over sound path, from holes at several depths.
    PathGain,
}

/// What a sweep has led to.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Outcome {
    /// The calibration with this step's result in it.
    pub calibration: Calibration,
    /// What is left, for each beam and target that was found.
    pub residuals: Vec<Residual>,
}

/// What is left of one target on one beam after the correction.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Residual {
    /// Target, by its place in the sweep.
    pub target: usize,
    /// Beam index.
    pub beam: usize,
    /// Height, % of full screen height at reference gain.
    pub height_percent: f64,
    /// Sound path read less the true one, mm.
    pub path_mm: f64,
    /// Depth read less the true one, mm; 0 for a radius.
    pub depth_mm: f64,
    /// Surface distance read less the true one, mm.
    pub surface_distance_mm: f64,
}

/// Sound paths between which a hole tells of a beam's angle, mm: closer it lies in the ripples before the array.
const ANGLE_PATHS_MM: [f64; 2] = [35.0, 200.0];
/// Farther than this, mm, two neighbours look much alike to a beam whose angle is not known yet: such a hole only counts if
/// what it tells is no farther than this from what the nearer ones tell, degrees.
const SURE_PATH_MM: f64 = 120.0;
const LIKE_DEG: f64 = 0.6;
/// Beams on either side that stand in for one that has not found a hole.
const NEXT_BEAMS: usize = 4;
/// Depth of the hole that the beams are evened out on, mm, if there are several.
const EVEN_DEPTH_MM: f64 = 40.0;

impl Sweep {
    /// The result of a step, on top of what was calibrated before; `None` while beams are missing.
    pub fn outcome(&self, step: Step, before: &Calibration, instrument: &Instrument) -> Option<Outcome> {
        let mut calibration = before.clone();
        let beams = 0..instrument.angles_deg().len();
        match step {
            Step::Speed => calibration.speed_mm_per_us = Some(self.speed(beams)?),
            Step::Wedge => {
                let speed = before.reckoning(&instrument.nominal).speed_mm_per_us;
                let found: Vec<Option<[f64; 2]>> = beams.map(|beam| self.wedge(beam, speed)).collect();
                let one = |k: usize| found.iter().map(|pair| Some((*pair)?[k])).collect::<Vec<_>>();
                let exits = smooth(&one(0), &instrument.nominal.exits_forward_mm)?;
                let times = smooth(&one(1), &instrument.nominal.wedge_times_us)?;
                let beam = |(exit, time)| Beam {
                    exit_forward_mm: round(exit, 1e3),
                    wedge_time_us: round(time, 1e5),
                };
                calibration.beams = exits.into_iter().zip(times).map(beam).collect();
            }
            Step::Angles => {
                let found: Vec<Option<f64>> =
                    beams.map(|beam| self.angle_deg(beam, before, instrument)).collect();
                let angles = smooth(&found, instrument.angles_deg())?;
                calibration.angles_deg = angles.into_iter().map(|angle| round(angle, 1e3)).collect();
            }
            Step::Sensitivity => {
                // The gain over path, where there is one, was measured on top of the old sensitivity.
                calibration.path_gain = Vec::new();
                let target = self.even_target()?;
                let even = |beam| self.top(target, beam).map(|top| wanted_db() - top.raw_db);
                let found: Vec<Option<f64>> = beams.map(even).collect();
                calibration.sensitivity_db =
                    bridged(&found)?.into_iter().map(|gain_db| round(gain_db, 1e3)).collect();
            }
            Step::PathGain => {
                calibration.path_gain =
                    beams.map(|beam| self.path_gain(beam, before, instrument)).collect::<Option<Vec<_>>>()?;
            }
        }
        let residuals = self.residuals(&calibration, instrument);
        Some(Outcome { calibration, residuals })
    }

    /// Mean over the beams that heard two radii; half of all must have.
    fn speed(&self, beams: Range<usize>) -> Option<f64> {
        let [Target::Radius { radius_mm: near, .. }, Target::Radius { radius_mm: far, .. }] = self.targets()
        else {
            return None;
        };
        let all = beams.len();
        let speed = |beam: usize| {
            let later = self.later_us(0, 1, beam);
            let mean = later.iter().sum::<f64>() / later.len() as f64;
            (!later.is_empty()).then(|| 2.0 * (far - near) / mean)
        };
        let speeds: Vec<f64> = beams.filter_map(speed).collect();
        let enough = speeds.len() * 2 >= all && !speeds.is_empty();
        enough.then(|| round(speeds.iter().sum::<f64>() / speeds.len() as f64, 1e5))
    }

    /// Time in the wedge and exit point from the largest radius that the beam has found: close to the array an echo has no
    /// one highest place.
    fn wedge(&self, beam: usize, speed: f64) -> Option<[f64; 2]> {
        let one = |(index, target): (usize, &Target)| match target {
            Target::Radius { radius_mm, .. } => Some((*radius_mm, self.top(index, beam)?)),
            Target::Hole { .. } => None,
        };
        let found = self.targets().iter().enumerate().filter_map(one);
        let (radius_mm, top) = found.max_by(|a, b| a.0.total_cmp(&b.0))?;
        Some([top.forward_mm, 0.5 * top.two_way_us - radius_mm / speed])
    }

    /// From the depth of the holes and the sound paths at which they stand highest: the angle that leaves the least of all depths
    /// read, in squares. A beam has no one angle: the farther off a hole lies, the steeper it is heard best, for what is steeper
    /// is nearer, too.
    fn angle_deg(&self, beam: usize, before: &Calibration, instrument: &Instrument) -> Option<f64> {
        let reckoning = before.reckoning(&instrument.nominal);
        let mut told = Vec::new();
        for (index, target) in self.targets().iter().enumerate() {
            let Target::Hole { depth_mm, diameter_mm, .. } = target else { continue };
            let Some(top) = self.top(index, beam) else { continue };
            let centre = reckoning.path_mm(beam, top.two_way_us) + 0.5 * diameter_mm;
            if (ANGLE_PATHS_MM[0]..=ANGLE_PATHS_MM[1]).contains(&centre) && *depth_mm < centre {
                told.push((*depth_mm, centre));
            }
        }
        let of = |(depth, path): (f64, f64)| libm::acos(depth / path).to_degrees();
        let all = |counts: &dyn Fn((f64, f64)) -> bool| {
            let (mut sum, mut weights) = (0.0, 0.0);
            for &(depth, path) in told.iter().filter(|&&hole| counts(hole)) {
                sum += depth * path;
                weights += path * path;
            }
            (weights > 0.0).then(|| of((sum, weights)))
        };
        let near = all(&|(_, path)| path <= SURE_PATH_MM)?;
        all(&|hole| hole.1 <= SURE_PATH_MM || (of(hole) - near).abs() < LIKE_DEG)
    }

    /// The hole nearest to 40 mm deep.
    fn even_target(&self) -> Option<usize> {
        let off = |target: &Target| match target {
            Target::Hole { depth_mm, .. } => Some((depth_mm - EVEN_DEPTH_MM).abs()),
            Target::Radius { .. } => None,
        };
        let holes =
            self.targets().iter().enumerate().filter_map(|(index, target)| Some((index, off(target)?)));
        holes.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(index, _)| index)
    }

    /// A hole that a beam has not found gets what the nearest beam that has found it needs: nearer than the first place measured
    /// no gain would follow from those farther off.
    fn path_gain(
        &self,
        beam: usize,
        before: &Calibration,
        instrument: &Instrument,
    ) -> Option<Vec<GainPoint>> {
        let reckoning = before.reckoning(&instrument.nominal);
        let even = |beam: usize| before.sensitivity_db.get(beam).copied().unwrap_or(0.0);
        let point = |beam: usize, target: usize| {
            let top = self.top(target, beam)?;
            Some(GainPoint {
                path_mm: round(reckoning.path_mm(beam, top.two_way_us), 1e3),
                gain_db: round(wanted_db() - top.raw_db - even(beam), 1e3),
            })
        };
        let targets = 0..self.targets().len();
        let mut points: Vec<GainPoint> = targets.clone().filter_map(|target| point(beam, target)).collect();
        let own = points.len();
        let missing = targets.filter(|&target| self.top(target, beam).is_none());
        points.extend(missing.filter_map(|target| {
            let near = (1..=NEXT_BEAMS).flat_map(|by| [beam.checked_sub(by), Some(beam + by)]).flatten();
            let beams = reckoning.angles.len();
            near.filter(|&other| other < beams).find_map(|other| point(other, target))
        }));
        sort_by(&mut points, |a, b| a.path_mm.total_cmp(&b.path_mm));
        points.dedup_by(|a, b| (a.path_mm - b.path_mm).abs() < 0.5);
        (own >= 2).then_some(points)
    }

    /// What a calibration leaves on everything that was found.
    pub fn residuals(&self, calibration: &Calibration, instrument: &Instrument) -> Vec<Residual> {
        let reckoning = calibration.reckoning(&instrument.nominal);
        let mut found = Vec::new();
        let radius = |index: &usize| match self.targets()[*index] {
            Target::Radius { radius_mm, .. } => radius_mm,
            Target::Hole { .. } => 0.0,
        };
        let largest = (0..self.targets().len()).max_by(|a, b| radius(a).total_cmp(&radius(b))).unwrap_or(0);
        for (index, target) in self.targets().iter().enumerate() {
            for beam in 0..reckoning.angles.len() {
                let Some(top) = self.top(index, beam) else { continue };
                let path = reckoning.path_mm(beam, top.two_way_us);
                let (sine, cosine) = (libm::sin(reckoning.angles[beam]), libm::cos(reckoning.angles[beam]));
                let exit = reckoning.exits_forward_mm[beam];
                // The beam meets the crown of a hole, nearer than its axis by the radius.
                let [path_mm, depth_mm, surface_distance_mm] = match target {
                    Target::Hole { depth_mm, diameter_mm, .. } => {
                        let centre = path + 0.5 * diameter_mm;
                        [
                            centre - depth_mm / cosine,
                            centre * cosine - depth_mm,
                            exit + centre * sine - top.forward_mm,
                        ]
                    }
                    // Where the probe stands off the axis, the round is nearer or farther by that much.
                    Target::Radius { radius_mm, .. } => {
                        let ahead = top.forward_mm - exit;
                        [path - radius_mm - ahead * sine, 0.0, if index == largest { -ahead } else { 0.0 }]
                    }
                };
                let height_percent = decibel(top.raw_db + calibration.gain_db(beam, path));
                found.push(Residual {
                    target: index,
                    beam,
                    height_percent,
                    path_mm,
                    depth_mm,
                    surface_distance_mm,
                });
            }
        }
        found
    }
}

/// Share of the beams that must have found something.
const ENOUGH: f64 = 0.85;
/// A beam further off its neighbours' parabola than this many times the median is left out.
const OUTLIER: f64 = 4.0;

/// What the beams were found to differ from their data sheets, evened out over the beams by a parabola; strays are left out.
/// `None` while too many beams are missing.
fn smooth(found: &[Option<f64>], nominal: &[f64]) -> Option<Vec<f64>> {
    let off =
        |(beam, (found, nominal)): (usize, (&Option<f64>, &f64))| Some((beam as f64, (*found)? - nominal));
    let mut points: Vec<(f64, f64)> = found.iter().zip(nominal).enumerate().filter_map(off).collect();
    if (points.len() as f64) < ENOUGH * found.len() as f64 {
        return None;
    }
    let mut fit = [0.0; 3];
    for _ in 0..3 {
        fit = parabola(points.iter().copied())?;
        let away = |(x, y): &(f64, f64)| (y - fit[0] - fit[1] * x - fit[2] * x * x).abs();
        let mut sizes: Vec<f64> = points.iter().map(away).collect();
        sort_by(&mut sizes, f64::total_cmp);
        let most = OUTLIER * sizes[sizes.len() / 2] + 1e-9;
        points.retain(|point| away(point) <= most);
    }
    let along = |(beam, nominal): (usize, &f64)| {
        let x = beam as f64;
        nominal + fit[0] + fit[1] * x + fit[2] * x * x
    };
    Some(nominal.iter().enumerate().map(along).collect())
}

/// Values of all beams, a beam that found nothing between its neighbours; `None` while too many are missing.
fn bridged(found: &[Option<f64>]) -> Option<Vec<f64>> {
    let known: Vec<(usize, f64)> =
        found.iter().enumerate().filter_map(|(beam, value)| Some((beam, (*value)?))).collect();
    if (known.len() as f64) < ENOUGH * found.len() as f64 {
        return None;
    }
    let at = |beam: usize| {
        let next = known.partition_point(|(known, _)| *known <= beam);
        match (next.checked_sub(1).and_then(|one| known.get(one)), known.get(next)) {
            (Some(&(a, low)), Some(&(b, high))) => {
                Some(low + (high - low) * (beam - a) as f64 / (b - a) as f64)
            }
            (Some(&(_, value)), None) | (None, Some(&(_, value))) => Some(value),
            (None, None) => None,
        }
    };
    (0..found.len()).map(at).collect()
}

/// Rounded to parts of one: what a log keeps.
fn round(value: f64, parts: f64) -> f64 {
    libm::round(value * parts) / parts
}
