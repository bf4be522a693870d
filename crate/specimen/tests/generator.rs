//! Drawn plates: what they promise, over many seeds, and that they stay the same for ever.

use proptest::prelude::*;
use specimen::file;
use specimen::flaw::FlawKind;
use specimen::generator;
use specimen::joint::Preparation::{self, DoubleV, SingleV};
use specimen::plate::Plate;

/// Length of text and FNV-1a of a plate's TOML text.
fn digest(plate: &Plate) -> (usize, String) {
    let text = file::write(plate).expect("a plate has a TOML form");
    let hash = text.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    });
    (text.len(), format!("{hash:016x}"))
}

fn check(plate: &Plate, level: u8) -> Result<(), TestCaseError> {
    prop_assert_eq!(plate.check(), vec![]);
    prop_assert!((1..=5).contains(&plate.flaws.len()));
    let mut sound = Vec::new();
    let mut end = 0.0;
    for flaw in &plate.flaws {
        let extent = flaw.extent(plate);
        sound.push(extent.along_mm[0] - end);
        end = extent.along_mm[1];
        prop_assert!(extent.depth_mm[0] >= 0.5, "{extent:?}");
        prop_assert!(extent.depth_mm[1] <= plate.thickness_mm);
    }
    sound.push(plate.length_mm - end);
    let (first, last) = (sound[0], sound[sound.len() - 1]);
    prop_assert!(first >= 15.0 && last >= 15.0, "{sound:?}");
    prop_assert!(sound[1..sound.len() - 1].iter().all(|&space| space >= 10.0), "{sound:?}");
    prop_assert!(sound.iter().any(|&space| space >= 50.0), "{sound:?}");
    let numbers = format!("-{level}-{}", plate.seed);
    prop_assert!(plate.id.ends_with(&numbers), "{}", plate.id);
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn drawn_plates_keep_their_promises(double: bool, level in 1_u8..=5, seed: u64) {
        let preparation = if double { DoubleV } else { SingleV };
        let plate = generator::plate(preparation, level, seed);
        prop_assert_eq!(plate.joint.preparation, preparation);
        check(&plate, level)?;
        prop_assert_eq!(&plate, &generator::plate(preparation, level, seed));
        let text = file::write(&plate).unwrap();
        prop_assert_eq!(&file::read::<Plate>("drawn", text.as_bytes()).unwrap(), &plate);
    }
}

fn many(preparation: Preparation, level: u8) -> Vec<Plate> {
    (0..120).map(|seed| generator::plate(preparation, level, seed)).collect()
}

#[test]
fn levels_rise() {
    for preparation in [SingleV, DoubleV] {
        let mut before = (0.0, f64::INFINITY);
        for level in 1..=5 {
            let plates = many(preparation, level);
            let flaws: Vec<_> = plates.iter().flat_map(|plate| &plate.flaws).collect();
            let number = flaws.len() as f64 / plates.len() as f64;
            let planar: Vec<f64> = flaws
                .iter()
                .filter(|flaw| flaw.kind == FlawKind::LackOfSideWallFusion)
                .map(|flaw| flaw.length_mm * flaw.height_mm)
                .collect();
            let size = planar.iter().sum::<f64>() / planar.len() as f64;
            assert!(number > before.0 && size < before.1, "level {level}: {number} flaws of {size} mm²");
            before = (number, size);
        }
    }
}

#[test]
fn kinds_and_places_are_varied() {
    for preparation in [SingleV, DoubleV] {
        let plates = many(preparation, 5);
        let number = plates.iter().map(|plate| plate.flaws.len()).sum::<usize>();
        for kind in FlawKind::ALL {
            let share = plates.iter().flat_map(|plate| &plate.flaws).filter(|flaw| flaw.kind == kind).count()
                as f64
                / number as f64;
            let possible = preparation == SingleV || kind != FlawKind::RootCrack;
            assert_eq!(share > 0.08, possible, "{kind:?}: {share}");
            assert_eq!(share > 0.0, possible, "{kind:?}: {share}");
        }
        let mut starts: Vec<u32> =
            plates.iter().map(|plate| (plate.flaws[0].start_mm * 2.0) as u32).collect();
        starts.sort_unstable();
        starts.dedup();
        assert!(starts.len() > 50, "first flaws begin at {} places only", starts.len());
    }
}

#[test]
fn levels_outside_are_the_nearest() {
    assert_eq!(generator::plate(SingleV, 0, 4), generator::plate(SingleV, 1, 4));
    assert_eq!(generator::plate(SingleV, 200, 4), generator::plate(SingleV, 5, 4));
}

/// A plate known by its numbers must stay what it is: a change here breaks every plate handed out so far.
#[test]
fn plates_are_the_same_for_ever() {
    let of = |preparation, level, seed| digest(&generator::plate(preparation, level, seed));
    assert_eq!(of(SingleV, 1, 1), (987, "e5700d6ca151298d".to_owned()));
    assert_eq!(of(SingleV, 4, 20_261), (1357, "6d33113c91f485d2".to_owned()));
    assert_eq!(of(DoubleV, 3, 77), (957, "d06a535fb2a9abf4".to_owned()));
    assert_eq!(of(DoubleV, 5, u64::MAX), (1527, "9ecc93e8ad1b0124".to_owned()));
}
