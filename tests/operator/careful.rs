//! Scans, gathers what comes and goes, sizes it by the 6 dB drop, names it by where it lies, and hands in.

use serde_json::Value;

use crate::hand::{Echo, Hand};
use crate::raster::{self, STEP_MM};

/// Shorter than this along the weld is a flicker of grain or ripple, mm.
const SHORTEST_MM: f64 = 10.0;
/// Things that overlap along the weld by more than this are one, mm.
const OVERLAP_MM: f64 = 5.0;
/// How far beyond a stretch its ends are looked for, mm.
const BEYOND_MM: f64 = 14.0;
/// An echo near a place of the section belongs to it, mm.
const NEAR_MM: f64 = 3.0;
/// From one side so much louder than from the other: a face, dB.
const ONE_SIDED_DB: f64 = 7.0;
/// So close to a prepared edge something lies on it, mm.
const ON_EDGE_MM: f64 = 2.0;
/// An edge that comes no further across in 2 mm of depth is upright, mm.
const UPRIGHT_MM: f64 = 0.3;
/// As loud as this only faces met square and corners are, dB.
const FACE_DB: f64 = 3.0;
/// So near to the lower face of a weld from one face lies the root, mm.
const ROOT_MM: f64 = 4.5;
/// Peaks along the weld that stand no further below the highest belong to it, dB.
const PEAK_DB: f64 = 12.0;

/// Sits a plate; the debrief.
pub fn sit(mut hand: Hand) -> Value {
    let echoes = raster::what_comes_and_goes(&mut hand);
    let level = hand.recording_level_db();
    let stretches = stretches(&echoes, level);
    let mut called = 0;
    hand.gain(hand.low_gain_db());
    for stretch in stretches {
        if stretch.iter().all(|echo| hand.is_at_the_toe(echo.x_mm, echo.depth_mm)) {
            continue;
        }
        let call = sized(&mut hand, &stretch);
        hand.call(&call);
        called += 1;
    }
    if called == 0 {
        hand.nothing_found();
    }
    hand.hand_in()
}

/// What hangs together along the weld, each thing with all its echoes. Flaws of easy plates lie well apart along it.
fn stretches(echoes: &[Echo], level_db: f64) -> Vec<Vec<Echo>> {
    let mut things: Vec<Vec<Echo>> = traces(echoes)
        .into_iter()
        .filter(|trace| width(trace) >= SHORTEST_MM && loud(trace, level_db))
        .collect();
    things.sort_by(|a, b| a[0].y_mm.total_cmp(&b[0].y_mm));
    let mut found: Vec<Vec<Echo>> = Vec::new();
    for thing in things {
        match found.last_mut() {
            Some(open) if thing[0].y_mm < last_mm(open) - OVERLAP_MM => {
                open.extend(thing);
                open.sort_by(|a, b| a.y_mm.total_cmp(&b.y_mm));
            }
            _ => found.push(thing),
        }
    }
    found
}

fn last_mm(trace: &[Echo]) -> f64 {
    trace.last().map_or(0.0, |last| last.y_mm)
}

fn width(trace: &[Echo]) -> f64 {
    last_mm(trace) - trace.first().map_or(0.0, |first| first.y_mm)
}

fn loud(trace: &[Echo], level_db: f64) -> bool {
    trace.iter().any(|echo| echo.db >= level_db)
}

/// Echoes that follow each other along the weld at one place of the section, heard from one side, in order along the weld.
fn traces(echoes: &[Echo]) -> Vec<Vec<Echo>> {
    let mut left = echoes.to_vec();
    left.sort_by(|a, b| b.y_mm.total_cmp(&a.y_mm));
    let mut found = Vec::new();
    while let Some(first) = left.pop() {
        let mut trace = vec![first];
        // From the end of the list places rise along the weld.
        let mut at = left.len();
        while at > 0 {
            at -= 1;
            let next = left[at];
            let follows = |echo: &&Echo| {
                echo.side == next.side
                    && next.y_mm - echo.y_mm <= 1.5 * STEP_MM
                    && (next.x_mm - echo.x_mm).abs() < NEAR_MM
                    && (next.depth_mm - echo.depth_mm).abs() < NEAR_MM
            };
            if trace.iter().rev().any(|echo| follows(&echo)) {
                trace.push(left.remove(at));
            }
        }
        found.push(trace);
    }
    found
}

fn highest<'a>(echoes: impl Iterator<Item = &'a Echo>) -> Option<Echo> {
    echoes.max_by(|a, b| a.db.total_cmp(&b.db)).copied()
}

/// The call for a stretch.
fn sized(hand: &mut Hand, stretch: &[Echo]) -> Value {
    // Screens end at 200 %: the same places once more with less gain tell which is really the highest.
    let mut poses: Vec<Echo> = stretch.to_vec();
    poses.sort_by(|a, b| b.db.total_cmp(&a.db));
    poses.truncate(12);
    let looked: Vec<Echo> = poses.iter().filter_map(|pose| near(hand, pose, pose.y_mm)).collect();
    let top = highest(looked.iter()).unwrap_or(poses[0]);
    let along = ends(hand, &top, stretch);
    let side =
        |name: char| highest(stretch.iter().filter(|echo| echo.side == name)).map_or(-60.0, |echo| echo.db);
    let one_sided = (side('A') - side('B')).abs() >= ONE_SIDED_DB;
    let thickness = hand.thickness_mm();
    if hand.is_welded_from_both_faces() {
        if top.x_mm.abs() < NEAR_MM && (top.depth_mm - thickness / 2.0).abs() < NEAR_MM {
            return Hand::row("lack-of-root-fusion", along, top.x_mm, top.depth_mm, 3.0);
        }
    } else if top.depth_mm > thickness - ROOT_MM {
        return Hand::row("root-crack", along, top.x_mm.clamp(-4.0, 4.0), thickness - 2.0, 4.0);
    }
    let edges = (0..2).filter_map(|side| {
        let at = |depth_mm: f64| hand.edge_mm(side, depth_mm);
        let upright = at(top.depth_mm + 1.0)? - at(top.depth_mm - 1.0)?;
        Some(((at(top.depth_mm)? - top.x_mm).abs(), upright.abs() < UPRIGHT_MM))
    });
    let (on_edge, upright) = edges.min_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or((f64::INFINITY, false));
    if on_edge < ON_EDGE_MM && (one_sided || top.db > FACE_DB) {
        return Hand::row("lack-of-side-wall-fusion", along, top.x_mm, top.depth_mm, 4.0);
    }
    let depths = looked.iter().map(|echo| echo.depth_mm);
    let [low, high] =
        depths.fold([f64::INFINITY, 0.0], |[low, high], depth| [f64::min(low, depth), f64::max(high, depth)]);
    // An upright edge is met square by nobody: both sides hear its upper and lower rim.
    if on_edge < ON_EDGE_MM / 2.0 && upright {
        return Hand::row("lack-of-side-wall-fusion", along, top.x_mm, f64::midpoint(low, high), 4.0);
    }
    // A cluster answers from many depths, a line of slag from about one.
    if high - low > 3.0 {
        return Hand::row("pore-cluster", along, top.x_mm, f64::midpoint(low, high), 5.0);
    }
    Hand::row("slag-line", along, top.x_mm, top.depth_mm + 0.5, 2.4)
}

/// The highest echo near a place of the section, with the probe at another place along the weld.
fn near(hand: &mut Hand, place: &Echo, y_mm: f64) -> Option<Echo> {
    let found = hand.look(place.side, place.offset_mm, y_mm, -40.0);
    let here = found.iter().filter(|echo| {
        (echo.x_mm - place.x_mm).abs() < NEAR_MM && (echo.depth_mm - place.depth_mm).abs() < NEAR_MM
    });
    highest(here)
}

/// Where the echo has fallen by 6 dB from its first and from its last peak along the weld: a rough flaw has several.
fn ends(hand: &mut Hand, top: &Echo, stretch: &[Echo]) -> [f64; 2] {
    let [from, to] = [stretch[0].y_mm, last_mm(stretch)];
    let length = hand.length_mm();
    let steps = (to - from + 2.0 * BEYOND_MM) as u32;
    let curve: Vec<(f64, f64)> = (0..=steps)
        .map(|step| from - BEYOND_MM + f64::from(step))
        .filter(|&y| y >= 0.0 && y <= length)
        .map(|y| (y, near(hand, top, y).map_or(-60.0, |echo| echo.db)))
        .collect();
    let highest = curve.iter().map(|&(_, db)| db).fold(-60.0, f64::max);
    let backwards: Vec<(f64, f64)> = curve.iter().rev().copied().collect();
    [end(&curve, highest).unwrap_or(from), end(&backwards, highest).unwrap_or(to)]
}

/// From outside: the first peak worth the name, and back from there to where it has fallen by 6 dB.
fn end(curve: &[(f64, f64)], highest_db: f64) -> Option<f64> {
    let peak = (1..curve.len().saturating_sub(1)).find(|&at| {
        let [before, here, after] = [-1, 0, 1].map(|k| curve[at.saturating_add_signed(k)].1);
        here >= before && here >= after && here >= highest_db - PEAK_DB
    })?;
    let outside = curve[..=peak].iter().rev().take_while(|(_, db)| *db >= curve[peak].1 - 6.0);
    outside.last().map(|&(y, _)| y)
}
