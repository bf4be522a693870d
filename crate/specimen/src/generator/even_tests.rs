//! Kinds and places of drawn flaws are spread evenly, in every joint: chi-square over ten thousand seeds.
//!
//! All joints share the ten thousand, because drawing takes a while; another test, run by name, gives each joint so many.

use std::collections::BTreeMap;

use statrs::distribution::{ChiSquared, ContinuousCDF};

use super::{Design, LENGTH_MM, draw, level};
use crate::flaw::{Flaw, FlawKind, Place};
use crate::joint::{Bevel, WeldSide};
use crate::plate::Plate;

/// Seeds of all joints together.
const SEEDS: usize = 10_000;
/// The level that has every kind.
const LEVEL: u8 = 5;
/// Chance of counts at least as uneven as these below which they are not even. Some twenty counts are looked at, always of
/// the same seeds.
const UNEVEN: f64 = 0.001;

/// Pearson's chi-square test of equal shares: the probability of counts at least as uneven as these.
fn evenness(counts: &[u32]) -> f64 {
    let mean = f64::from(counts.iter().sum::<u32>()) / counts.len() as f64;
    let square: f64 =
        counts.iter().map(|&count| (f64::from(count) - mean) * (f64::from(count) - mean) / mean).sum();
    chance(square, counts.len())
}

/// Chance of a square sum at least as high among so many counts whose sum is given.
fn chance(square: f64, counts: usize) -> f64 {
    1.0 - ChiSquared::new(counts as f64 - 1.0).expect("more than one count").cdf(square)
}

/// How often a kind came, how often it should have come, and the spread of that.
#[derive(Clone, Copy, Debug, Default)]
struct Kind {
    came: f64,
    expected: f64,
    variance: f64,
}

/// Every kind that a plate can have is as likely as any other of them; none comes twice before all came once, so that counts
/// spread less than those of independent draws (sampling without replacement).
fn count(kinds: &mut BTreeMap<FlawKind, Kind>, plate: &Plate) {
    let level = &level::levels()[usize::from(LEVEL) - 1];
    let possible = draw::kinds(level, plate);
    let (number, among) = (plate.flaws.len() as f64, possible.len() as f64);
    assert!(number < among, "{}: {number} flaws of {among} kinds", plate.id);
    for kind in possible {
        let kind = kinds.entry(kind).or_default();
        kind.expected += number / among;
        kind.variance += number / among * (1.0 - number / among) * among / (among - 1.0);
    }
    for flaw in &plate.flaws {
        kinds.entry(flaw.kind).or_default().came += 1.0;
    }
}

fn side(flaw: &Flaw) -> Option<WeldSide> {
    match flaw.place {
        Place::Bevel { side, .. } | Place::Toe { side, .. } => Some(side),
        Place::Root { at } => at.side(),
        Place::Weld { offset_mm, .. } if offset_mm < 0.0 => Some(WeldSide::A),
        Place::Weld { offset_mm, .. } if offset_mm > 0.0 => Some(WeldSide::B),
        Place::Weld { .. } | Place::Run { .. } => None,
    }
}

/// Draws a joint's plates and says what of them is uneven.
fn uneven(design: Design, seeds: usize) -> Vec<String> {
    let mut kinds = BTreeMap::new();
    let (mut sides, mut bevels, mut along) = ([0; 2], [0; 2], [0_u32; 10]);
    for seed in 0..seeds as u64 {
        let plate = super::plate(design, LEVEL, seed);
        count(&mut kinds, &plate);
        for flaw in &plate.flaws {
            if let Some(side) = side(flaw) {
                sides[usize::from(side == WeldSide::B)] += 1;
            }
            if let Place::Bevel { bevel, .. } = flaw.place {
                bevels[usize::from(bevel == Bevel::Lower)] += 1;
            }
            let middle = flaw.start_mm + flaw.length_mm / 2.0;
            along[((middle / LENGTH_MM * 10.0) as usize).min(9)] += 1;
        }
    }
    let square = kinds.values().map(|kind| (kind.came - kind.expected, kind.variance));
    let square = square.map(|(off, variance)| off * off / variance).sum();
    let mut found = vec![("kinds", chance(square, kinds.len()), format!("{kinds:.0?}"))];
    found.push(("sides", evenness(&sides), format!("{sides:?}")));
    if design.preparation.is_double() {
        found.push(("bevels", evenness(&bevels), format!("{bevels:?}")));
    }
    // Neither end of the weld is preferred, and no stretch is bare but the ends that are kept clear.
    for tenth in 0..5 {
        found.push(("ends", evenness(&[along[tenth], along[9 - tenth]]), format!("{along:?}")));
    }
    let inner = &along[1..9];
    let mean = f64::from(inner.iter().sum::<u32>()) / 8.0;
    let bare = inner.iter().any(|&count| (f64::from(count) / mean - 1.0).abs() > 0.25);
    println!("{}, {seeds} seeds:", design.name());
    for (what, chance, counts) in &found {
        println!("  {what} {chance:.4}: {counts}");
    }
    (found.into_iter().filter(|(_, chance, _)| *chance < UNEVEN))
        .map(|(what, chance, counts)| format!("{}: {what} {counts}, chance {chance:.6}", design.name()))
        .chain(bare.then(|| format!("{}: along {along:?}", design.name())))
        .collect()
}

fn joints_are_even(joints: impl Iterator<Item = Design>, seeds: usize) {
    let uneven: Vec<String> = joints.flat_map(|design| uneven(design, seeds)).collect();
    assert!(uneven.is_empty(), "{}", uneven.join("\n"));
}

/// Every other joint from one on: two tests, so that two cores share the work.
fn every_other_joint_is_even(from: usize) {
    let all = Design::all();
    let seeds = SEEDS.div_ceil(all.len());
    joints_are_even(all.into_iter().skip(from).step_by(2), seeds);
}

#[test]
fn kinds_and_places_are_spread_evenly_in_the_odd_joints() {
    every_other_joint_is_even(0);
}

#[test]
fn kinds_and_places_are_spread_evenly_in_the_even_joints() {
    every_other_joint_is_even(1);
}

#[test]
#[ignore = "takes minutes; run it after a change to the generator"]
fn over_ten_thousand_seeds_of_each_joint_too() {
    joints_are_even(Design::all().into_iter(), SEEDS);
}

#[test]
fn unevenness_is_seen() {
    assert!(evenness(&[1000, 1010, 990]) > 0.5 && evenness(&[1000, 1200, 900]) < 1e-6);
}
