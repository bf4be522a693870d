use proptest::prelude::*;
use specimen::flaw::{Flaw, FlawKind, Place, RootSpot};
use specimen::joint::{Bevel, WeldSide};

use super::tests::{clean_paper, paper, perfect};
use super::*;
use crate::sheet::Call;

/// Papers with one to five flaws of any kind, at least 10 mm apart.
fn papers() -> impl Strategy<Value = Paper> {
    let flaw =
        (0..FlawKind::ALL.len(), 10.0..30.0_f64, 2.0..40.0_f64, 1.0..5.0_f64, 0.3..0.7_f64, any::<u32>());
    prop::collection::vec(flaw, 1..=5).prop_map(|flaws| {
        let mut paper = clean_paper();
        let thickness = paper.plate.thickness_mm;
        let mut at = 0.0;
        paper.plate.flaws = flaws
            .into_iter()
            .map(|(kind, gap, length_mm, height_mm, depth, seed)| {
                let start_mm = at + gap;
                at = start_mm + length_mm;
                let kind = FlawKind::ALL[kind];
                let depth_mm = depth * thickness;
                Flaw {
                    kind,
                    start_mm,
                    length_mm,
                    height_mm,
                    width_mm: None,
                    tilt_deg: 0.0,
                    branches: 0,
                    seed: u64::from(seed),
                    mandatory: true,
                    place: match kind {
                        FlawKind::LackOfSideWallFusion => {
                            Place::Bevel { side: WeldSide::A, bevel: Bevel::Upper, depth_mm }
                        }
                        FlawKind::RootCrack | FlawKind::IncompletePenetration => {
                            Place::Root { at: RootSpot::Centre }
                        }
                        FlawKind::LackOfRootFusion => Place::Root { at: RootSpot::EdgeA },
                        FlawKind::LackOfInterRunFusion => {
                            Place::Run { layer: 1, run: 1, groove: Bevel::Upper }
                        }
                        FlawKind::ToeCrack => Place::Toe { side: WeldSide::B, face: Bevel::Upper },
                        _ => Place::Weld { depth_mm, offset_mm: 0.0 },
                    },
                }
            })
            .collect();
        paper
    })
}

fn calls() -> impl Strategy<Value = Call> {
    let number = |low: f64, high: f64| prop::option::weighted(0.9, low..high);
    (
        prop::option::of((0..FlawKind::ALL.len()).prop_map(|index| FlawKind::ALL[index])),
        number(0.0, 300.0),
        number(0.0, 40.0),
        number(-12.0, 12.0),
        number(0.0, 20.0),
        number(0.0, 8.0),
        prop::option::of(prop_oneof![Just(Decision::Accept), Just(Decision::Reject)]),
    )
        .prop_map(|(kind, start_mm, length, offset_mm, depth_mm, height_mm, decision)| Call {
            kind,
            start_mm,
            end_mm: start_mm.and_then(|start| Some(start + length?)),
            offset_mm,
            depth_mm,
            height_mm,
            decision,
            ..Call::default()
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn perfect_answers_get_everything(paper in papers()) {
        let marks = mark(&paper, &perfect(&paper));
        prop_assert!((marks.percent - 100.0).abs() < 1e-9, "{:?}", marks.reasons);
        prop_assert!(marks.passed && marks.cost == 0.0);
    }

    #[test]
    fn the_order_of_the_rows_never_matters(
        paper in papers(),
        calls in prop::collection::vec(calls(), 0..8),
        seed in any::<u64>(),
    ) {
        let mut sheet = perfect(&paper);
        // Doubled calls make ties.
        sheet.calls.extend(calls.iter().cloned());
        sheet.calls.extend(calls);
        let before = mark(&paper, &sheet);
        let mut stream = acoustics::seed::Stream::new(seed, "shuffle");
        for last in (1..sheet.calls.len()).rev() {
            sheet.calls.swap(last, stream.below(last as u32 + 1) as usize);
        }
        let after = mark(&paper, &sheet);
        prop_assert_eq!(before.points, after.points);
        prop_assert_eq!(before.passed, after.passed);
        for (one, other) in before.flaws.iter().zip(&after.flaws) {
            prop_assert_eq!(&one.parts, &other.parts);
        }
    }

    #[test]
    fn more_error_never_raises_the_mark(
        which in 0..3_usize,
        less in prop::array::uniform4(-12.0..12.0_f64),
        more in prop::array::uniform4(1.0..3.0_f64),
    ) {
        // The three flaws lie so far apart that no call comes near another's.
        let paper = paper();
        let off_by = |errors: [f64; 4]| {
            let mut sheet = perfect(&paper);
            let call = &mut sheet.calls[which];
            let add = |value: &mut Option<f64>, error: f64| *value = value.map(|value| value + error);
            add(&mut call.start_mm, errors[0]);
            add(&mut call.end_mm, errors[0]);
            add(&mut call.offset_mm, errors[1]);
            add(&mut call.depth_mm, errors[2]);
            add(&mut call.height_mm, errors[3]);
            mark(&paper, &sheet).points
        };
        let far = std::array::from_fn(|i| less[i] * more[i]);
        prop_assert!(off_by(far) <= off_by(less) + 1e-9);
    }

    #[test]
    fn a_longer_call_than_the_flaw_never_gains(which in 0..3_usize, less in 0.0..30.0_f64, more in 0.0..30.0_f64) {
        let paper = paper();
        let longer_by = |length: f64| {
            let mut sheet = perfect(&paper);
            let call = &mut sheet.calls[which];
            call.end_mm = call.end_mm.map(|end| end + length);
            mark(&paper, &sheet).points
        };
        prop_assert!(longer_by(less + more) <= longer_by(less) + 1e-9);
    }

    #[test]
    fn calls_on_a_clean_plate_never_pass(calls in prop::collection::vec(calls(), 1..5), stated in any::<bool>()) {
        let sheet = AnswerSheet { calls, no_recordable_indication: stated, ..AnswerSheet::default() };
        prop_assert!(!mark(&clean_paper(), &sheet).passed);
    }

    #[test]
    fn a_duplicate_is_one_hit_and_one_false_call(paper in papers(), which in any::<prop::sample::Index>()) {
        let mut sheet = perfect(&paper);
        let again = sheet.calls[which.index(sheet.calls.len())].clone();
        sheet.calls.push(again);
        let marks = mark(&paper, &sheet);
        let count = |wanted: fn(&Outcome) -> bool| marks.calls.iter().filter(|row| wanted(&row.outcome)).count();
        prop_assert_eq!(count(|outcome| matches!(outcome, Outcome::Hit { .. })), paper.plate.flaws.len());
        prop_assert_eq!(count(|outcome| matches!(outcome, Outcome::Duplicate { .. })), 1);
        prop_assert_eq!(marks.cost, paper.scheme.false_call_points);
    }

    #[test]
    fn any_sheet_can_be_marked(paper in papers(), calls in prop::collection::vec(calls(), 0..20)) {
        let sheet = AnswerSheet { calls, ..AnswerSheet::default() };
        let marks = mark(&paper, &sheet);
        prop_assert!((0.0..=100.0).contains(&marks.percent));
        let hits = marks.calls.iter().filter(|row| matches!(row.outcome, Outcome::Hit { .. })).count();
        prop_assert_eq!(hits, marks.flaws.iter().filter(|row| row.call.is_some()).count());
        prop_assert_eq!(marks.calls.len(), sheet.calls.len());
    }
}
