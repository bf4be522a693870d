use proptest::prelude::*;
use specimen::flaw::{Flaw, FlawKind, Place, RootSpot};
use specimen::joint::{Bevel, Preparation, WeldSide};

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
                    roughness_ratio: Flaw::USUAL_ROUGHNESS,
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

/// Drawn plates of any joint, with one pore in mid-wall within the first third of their length.
fn joints() -> impl Strategy<Value = Paper> {
    (0..Preparation::ALL.len(), 1..=5_u8, 0..64_u64).prop_map(|(preparation, level, seed)| {
        let mut paper = Paper::generate(Preparation::ALL[preparation], level, seed);
        let pore = |paper: &Paper| Flaw {
            kind: FlawKind::SinglePore,
            start_mm: paper.plate.length_mm / 4.0,
            length_mm: 2.0,
            height_mm: 2.0,
            width_mm: None,
            tilt_deg: 0.0,
            branches: 0,
            roughness_ratio: Flaw::USUAL_ROUGHNESS,
            seed,
            mandatory: true,
            place: Place::Weld { depth_mm: paper.plate.thickness_mm / 2.0, offset_mm: 0.0 },
        };
        paper.plate.flaws = vec![pore(&paper)];
        paper
    })
}

/// A place on the outside of the weld, where something echoes that is no flaw: across and depth, mm. `along_toes` goes from toe
/// to toe, `below` from the face to the height of cap or bead; both 0 to 1.
fn outside(paper: &Paper, lower: bool, along_toes: f64, below: f64) -> Option<[f64; 2]> {
    let (joint, thickness) = (&paper.plate.joint, paper.plate.thickness_mm);
    let (toe, high) = match lower {
        false => (joint.upper_toe_mm(thickness), joint.cap.height_mm),
        true => match (&joint.root_bead, &joint.backing_bar) {
            (Some(bead), _) => (bead.width_mm / 2.0, bead.height_mm.abs()),
            (None, Some(bar)) => (bar.width_mm / 2.0, bar.thickness_mm),
            (None, None) => (joint.lower_toe_mm(thickness)?, joint.cap.height_mm),
        },
    };
    let depth = if lower { thickness - below * high } else { below * high };
    (high > 0.0).then_some([toe * (2.0 * along_toes - 1.0), depth])
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
    fn an_empty_sheet_on_a_clean_plate_is_right(
        plate in prop_oneof![joints(), papers()],
        hidden in any::<bool>(),
        false_call_points in 0.0..100.0_f64,
        calls in prop::collection::vec(calls(), 1..4),
    ) {
        // Clean is a plate without flaws as well as one whose flaws all stay below the recording level.
        let mut paper = plate;
        paper.scheme.false_call_points = false_call_points;
        if hidden {
            paper.scheme.below_recording_level = (0..).zip(&paper.plate.flaws).map(|(index, _)| index).collect();
        } else {
            paper.plate.flaws.clear();
        }
        let empty = AnswerSheet::default();
        let stated = AnswerSheet { no_recordable_indication: true, ..empty.clone() };
        let (silent, right) = (mark(&paper, &empty), mark(&paper, &stated));
        prop_assert!(right.passed && right.percent == 100.0 && right.cost == 0.0, "{:?}", right.reasons);
        prop_assert!(silent.passed && silent.cost == 0.0, "{:?}", silent.reasons);
        prop_assert_eq!(silent.points, paper.scheme.clean.nothing_called);
        // Whatever is called, it never does better than an empty sheet.
        let called = mark(&paper, &AnswerSheet { calls, ..stated });
        prop_assert!(called.percent <= silent.percent);
    }

    #[test]
    fn calling_geometry_costs_and_says_so(
        paper in joints(),
        lower in any::<bool>(),
        along_toes in 0.0..1.0_f64,
        below in 0.0..1.0_f64,
        from_pore in 0.2..0.6_f64,
        length_mm in 0.0..20.0_f64,
    ) {
        let Some([offset_mm, depth_mm]) = outside(&paper, lower, along_toes, below) else { return Ok(()) };
        let right = perfect(&paper);
        let start_mm = paper.plate.length_mm * (0.25 + from_pore);
        let called = Call {
            kind: Some(FlawKind::RootCrack),
            start_mm: Some(start_mm),
            end_mm: Some(start_mm + length_mm),
            offset_mm: Some(offset_mm),
            depth_mm: Some(depth_mm),
            ..Call::default()
        };
        let mut sheet = right.clone();
        sheet.calls.push(called);
        let (before, after) = (mark(&paper, &right), mark(&paper, &sheet));
        let row = &after.calls[1];
        prop_assert_eq!(row.outcome, Outcome::Geometry, "{}", row.reason);
        prop_assert_eq!(row.cost, paper.scheme.false_call_points);
        prop_assert_eq!(row.scheme_line.as_deref(), Some("scheme.false_call_points"));
        prop_assert!(row.reason.contains("echoes: geometry called as a flaw"), "{}", row.reason);
        prop_assert!(row.reason.contains(&format!("takes off {} points", words::points(row.cost))), "{}", row.reason);
        prop_assert!(after.points < before.points && after.percent < before.percent);
        // The same place without the call costs nothing, and the pore stays found.
        prop_assert_eq!(after.calls[0].outcome, Outcome::Hit { flaw: 1 });
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
