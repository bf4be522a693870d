//! A sweep over known reflectors: for each beam, where the echo stood highest, how high, and when.

use acoustics::fine_trace::FINE;
use acoustics::order::sort_by;
use acoustics::pulse::SAMPLING_MHZ;
use serde::{Deserialize, Serialize};

use crate::bench::Instrument;

/// A reflector of a block, in the block's coordinates.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Target {
    /// A side-drilled hole.
    Hole {
        /// Place along the block, mm.
        offset_mm: f64,
        /// Depth of its axis, mm.
        depth_mm: f64,
        /// Diameter, mm.
        diameter_mm: f64,
    },
    /// A round end.
    Radius {
        /// Place of its axis along the block, mm.
        centre_mm: f64,
        /// Radius, mm.
        radius_mm: f64,
    },
}

/// Sound path on either side of where the reflector is expected that is watched, mm: a bench out of the box is off by less.
const WATCHED_MM: f64 = 4.5;
/// Echoes this far below the highest still help to find its place, dB.
const NEAR_DB: f64 = 6.0;
/// The echo must have fallen by this on both sides of its highest place, dB.
const FALLS_DB: f64 = 3.0;
/// Fewest places that a highest echo is believed of.
const LEAST_PLACES: usize = 4;
/// Places further apart than this are not next to each other, mm.
const GAP_MM: f64 = 3.5;
/// How far off a beam's assumed axis a hole is still looked for, radians.
const OFF_AXIS: f64 = 0.11;
/// How far from the axis of a round end it is still listened to, mm.
const OFF_CENTRE_MM: f64 = 14.0;
/// Most places kept of a beam.
const MOST_PLACES: usize = 600;

/// One beam's echo from one place.
#[derive(Clone, Copy, Debug)]
struct Heard {
    /// Forward distance from the wedge front to the reflector's axis, mm.
    forward_mm: f64,
    /// Height before any gain that a calibration adds, dB over 1 %.
    raw_db: f64,
    two_way_us: f64,
}

/// The highest echo of a target on a beam.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Top {
    /// Forward distance from the wedge front to the reflector's axis, mm.
    pub forward_mm: f64,
    /// Height at reference gain before any gain that a calibration adds, dB over 1 % of full screen height.
    pub raw_db: f64,
    /// Two-way time, µs.
    pub two_way_us: f64,
}

/// The echoes of some targets while the probe moves.
#[derive(Clone, Debug)]
pub struct Sweep {
    targets: Vec<Target>,
    /// `[target][beam][place]`.
    heard: Vec<Vec<Vec<Heard>>>,
}

impl Sweep {
    /// Begins a sweep.
    pub fn new(targets: Vec<Target>, beams: usize) -> Self {
        Self { heard: vec![vec![Vec::new(); beams]; targets.len()], targets }
    }

    /// The targets.
    pub fn targets(&self) -> &[Target] {
        &self.targets
    }

    /// Takes the instrument's frame in.
    pub fn take(&mut self, instrument: &Instrument) {
        for beam in 0..instrument.angles_deg.len() {
            // An echo belongs to the target nearest to the beam's axis, so that neighbours are not taken for each other.
            let expected =
                |(index, target): (usize, &Target)| Some((index, expected(target, beam, instrument)?));
            let all = self.targets.iter().enumerate().filter_map(expected);
            let alone = |a: &(usize, Expected), b: &(usize, Expected)| a.1.off_axis.total_cmp(&b.1.off_axis);
            let (radii, holes): (Vec<_>, Vec<_>) =
                all.partition(|(index, _)| matches!(self.targets[*index], Target::Radius { .. }));
            for (index, Expected { forward_mm, path_mm, .. }) in
                radii.into_iter().chain(holes.into_iter().min_by(alone))
            {
                let window = [path_mm - WATCHED_MM, path_mm + WATCHED_MM];
                let Some((two_way_us, raw_db)) = instrument.peak_between(beam, window) else { continue };
                let heard = &mut self.heard[index][beam];
                // A place that was looked at before is looked at anew.
                heard.retain(|one| (one.forward_mm - forward_mm).abs() > 1e-6);
                if heard.len() < MOST_PLACES {
                    heard.push(Heard { forward_mm, raw_db, two_way_us });
                }
            }
        }
    }

    /// The places next to each other round the highest echo, by their distance from it.
    fn near(&self, target: usize, beam: usize) -> Option<(Heard, Vec<(f64, Heard)>)> {
        let mut heard = self.heard.get(target)?.get(beam)?.clone();
        sort_by(&mut heard, |a, b| a.forward_mm.total_cmp(&b.forward_mm));
        let top = (0..heard.len()).max_by(|&a, &b| heard[a].raw_db.total_cmp(&heard[b].raw_db))?;
        let best = heard[top];
        let belongs = |pair: &[Heard; 2]| {
            pair[1].raw_db > best.raw_db - NEAR_DB && (pair[1].forward_mm - pair[0].forward_mm).abs() < GAP_MM
        };
        let after = (top + 1..heard.len()).take_while(|&k| belongs(&[heard[k - 1], heard[k]])).count();
        let before = (1..=top).take_while(|&k| belongs(&[heard[top - k + 1], heard[top - k]])).count();
        let near = &heard[top - before..=top + after];
        let [first, last] = [near[0], near[near.len() - 1]];
        let falls = |end: Heard| end.raw_db < best.raw_db - FALLS_DB;
        if near.len() < LEAST_PLACES || !falls(first) || !falls(last) {
            return None;
        }
        let at = |one: &Heard| (one.forward_mm - best.forward_mm, *one);
        Some((best, near.iter().map(at).collect()))
    }

    /// Times by which one target answers later than another from the same places, close to the later one's top, µs: where
    /// exactly the probe stands does not matter then.
    pub(super) fn later_us(&self, early: usize, late: usize, beam: usize) -> Vec<f64> {
        let (Some((_, near)), Some((best, around))) = (self.near(late, beam), self.near(early, beam)) else {
            return Vec::new();
        };
        let same = |one: &Heard| {
            around.iter().map(|(_, other)| other).find(|other| {
                (other.forward_mm - one.forward_mm).abs() < 1e-6 && other.raw_db > best.raw_db - NEAR_DB
            })
        };
        near.iter().filter_map(|(_, one)| Some(one.two_way_us - same(one)?.two_way_us)).collect()
    }

    /// Where a target answers highest on a beam: the middle of the places round the highest echo, weighed by how far each
    /// stands above the 6 dB drop; `None` until the echo has fallen on both sides.
    pub fn top(&self, target: usize, beam: usize) -> Option<Top> {
        let (best, near) = self.near(target, beam)?;
        let (mut sum, mut weights) = (0.0, 0.0);
        for pair in near.windows(2) {
            // Each stretch between two places counts by its length.
            let above = 0.5 * (pair[0].1.raw_db + pair[1].1.raw_db) - (best.raw_db - NEAR_DB);
            let weight = above * (pair[1].0 - pair[0].0);
            sum += weight * 0.5 * (pair[0].0 + pair[1].0);
            weights += weight;
        }
        let shift = if weights > 0.0 { sum / weights } else { return None };
        let times = parabola(near.iter().map(|(at, one)| (*at, one.two_way_us)))?;
        let two_way_us = times[0] + times[1] * shift + times[2] * shift * shift;
        // The height is that of the highest place and its two neighbours: in the ripples before the array no wider fit holds.
        let top = near.iter().position(|(at, _)| *at == 0.0)?;
        let three = near.get(top.checked_sub(1)?..top + 2)?.iter().map(|(at, one)| (*at, one.raw_db));
        let crest = parabola(three).filter(|[.., bend]| *bend < 0.0);
        let raw_db = crest.map_or(best.raw_db, |[a, b, c]| a - 0.25 * b * b / c);
        Some(Top { forward_mm: best.forward_mm + shift, raw_db, two_way_us })
    }

    /// The beams that have found a target's top.
    pub fn found(&self, target: usize) -> usize {
        let beams = self.heard.get(target).map_or(0, Vec::len);
        (0..beams).filter(|&beam| self.top(target, beam).is_some()).count()
    }
}

/// What a beam should hear of a target.
struct Expected {
    /// From the wedge front to the target's axis, mm.
    forward_mm: f64,
    /// How far the target lies off the beam's assumed axis, radians.
    off_axis: f64,
    /// Sound path, mm.
    path_mm: f64,
}

/// `None` where the probe is too far off for the target.
fn expected(target: &Target, beam: usize, instrument: &Instrument) -> Option<Expected> {
    let (Target::Hole { offset_mm: x, .. } | Target::Radius { centre_mm: x, .. }) = target;
    let forward_mm = instrument.stand.forward_to_offset(*x)?;
    let (reckoning, angle) = (&instrument.reckoning, instrument.reckoning.angles[beam]);
    let ahead = forward_mm - reckoning.exits_forward_mm[beam];
    match target {
        Target::Hole { depth_mm, diameter_mm, .. } => {
            let off_axis = (libm::atan2(ahead, *depth_mm) - angle).abs();
            let path_mm = libm::hypot(ahead, *depth_mm) - 0.5 * diameter_mm;
            (off_axis < OFF_AXIS).then_some(Expected { forward_mm, off_axis, path_mm })
        }
        Target::Radius { radius_mm, .. } => {
            let path_mm = radius_mm + ahead * libm::sin(angle);
            (ahead.abs() < OFF_CENTRE_MM).then_some(Expected { forward_mm, off_axis: 0.0, path_mm })
        }
    }
}

/// Least-squares parabola a + b x + c x² (normal equations, Cramer's rule); `None` for fewer than three different places.
pub(super) fn parabola(points: impl Iterator<Item = (f64, f64)>) -> Option<[f64; 3]> {
    let (mut s, mut t) = ([0.0; 5], [0.0; 3]);
    for (x, y) in points {
        let powers = [1.0, x, x * x, x * x * x, x * x * x * x];
        s.iter_mut().zip(powers).for_each(|(sum, power)| *sum += power);
        t.iter_mut().zip(powers).for_each(|(sum, power)| *sum += power * y);
    }
    let det = |m: [[f64; 3]; 3]| {
        m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1]) - m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0])
            + m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0])
    };
    let rows = [[s[0], s[1], s[2]], [s[1], s[2], s[3]], [s[2], s[3], s[4]]];
    let whole = det(rows);
    if whole.abs() < 1e-9 {
        return None;
    }
    Some([0, 1, 2].map(|column| {
        let mut swapped = rows;
        swapped.iter_mut().zip(t).for_each(|(row, value)| row[column] = value);
        det(swapped) / whole
    }))
}

impl Instrument {
    /// Highest echo of a beam between two assumed sound paths: two-way time, µs, and height at reference gain before any
    /// gain that a calibration adds, dB over 1 %; `None` outside the range, or without a peak in between.
    pub fn peak_between(&self, beam: usize, [from_mm, to_mm]: [f64; 2]) -> Option<(f64, f64)> {
        let (re, im) = self.engine.baseband();
        let samples = self.engine.samples();
        let row = beam * samples..(beam + 1) * samples;
        let (re, im) = (&re[row.clone()], &im[row]);
        let index = |path: f64| (self.first_path_sample(beam) + path / self.path_step_mm()) * FINE as f64;
        let (from, to) = (index(from_mm.max(2.0)).max(16.0), index(to_mm));
        if to <= from || to_mm > self.layout.range_mm || to >= ((samples - 6) * FINE) as f64 {
            return None;
        }
        let height = |at: usize| f64::from(self.fine.magnitude(re, im, at));
        let peak = (from as usize..to as usize).max_by(|&a, &b| height(a).total_cmp(&height(b)))?;
        let [before, top, after] = [height(peak - 1), height(peak), height(peak + 1)];
        let bend = before - 2.0 * top + after;
        if top < before || top < after || bend >= 0.0 {
            return None;
        }
        let shift = 0.5 * (before - after) / bend;
        let percent = (top - 0.25 * (before - after) * shift) * self.flat_factor();
        let time = self.engine.start_us() + (peak as f64 + shift) / (SAMPLING_MHZ * FINE as f64);
        (percent > 1e-6).then(|| (time, 20.0 * libm::log10(percent)))
    }
}
