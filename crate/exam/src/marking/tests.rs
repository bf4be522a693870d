use specimen::flaw::{Flaw, FlawKind, Place, RootSpot};
use specimen::joint::Preparation;

use super::*;
use crate::sheet::Call;

/// A paper with three flaws: a lack of side-wall fusion, a slag line and a single pore.
pub(super) fn paper() -> Paper {
    let mut paper = clean_paper();
    let thickness = paper.plate.thickness_mm;
    let flaw = |kind, start_mm, length_mm, height_mm, place| Flaw {
        kind,
        start_mm,
        length_mm,
        height_mm,
        width_mm: None,
        tilt_deg: 0.0,
        branches: 0,
        roughness_ratio: Flaw::USUAL_ROUGHNESS,
        seed: 7,
        mandatory: true,
        place,
    };
    let weld = |depth_mm, offset_mm| Place::Weld { depth_mm, offset_mm };
    paper.plate.flaws = vec![
        flaw(FlawKind::SlagLine, 150.0, 20.0, 2.0, weld(thickness * 0.4, 1.0)),
        flaw(FlawKind::RootCrack, 60.0, 25.0, 3.0, Place::Root { at: RootSpot::Centre }),
        flaw(FlawKind::SinglePore, 220.0, 2.0, 2.0, weld(thickness * 0.5, -1.5)),
    ];
    paper
}

pub(super) fn clean_paper() -> Paper {
    let mut paper = Paper::generate(Preparation::SingleV, 1, 1);
    paper.plate.flaws.clear();
    paper
}

/// The sheet that calls every flaw as it is, in the order of the plate file.
pub(super) fn perfect(paper: &Paper) -> AnswerSheet {
    let calls = paper
        .plate
        .flaws
        .iter()
        .map(|flaw| {
            let extent = flaw.extent(&paper.plate);
            Call {
                kind: Some(flaw.kind),
                start_mm: Some(extent.along_mm[0]),
                end_mm: Some(extent.along_mm[1]),
                offset_mm: Some(matching::middle(extent.across_mm)),
                depth_mm: Some(matching::middle(extent.depth_mm)),
                height_mm: Some(matching::length(extent.depth_mm)),
                decision: right_decision(paper, flaw, &extent, None).0,
                ..Call::default()
            }
        })
        .collect();
    AnswerSheet { calls, ..AnswerSheet::default() }
}

fn part(row: &FlawRow, part: Part) -> &PartRow {
    row.parts.iter().find(|row| row.part == part).unwrap()
}

#[test]
fn perfect_answers_get_everything() {
    let paper = paper();
    let marks = mark(&paper, &perfect(&paper));
    assert_eq!((marks.points, marks.possible, marks.percent, marks.passed), (300.0, 300.0, 100.0, true));
    let reasons: Vec<&str> = marks.reasons.iter().map(|reason| &**reason).collect();
    assert_eq!(reasons, ["Passed: 300 of 300 points, 100 %; 70 % is needed.", "3 of 3 flaws called."]);
    // Rows go along the weld; the numbers of the calls follow the sheet.
    let numbers: Vec<_> = marks.flaws.iter().map(|row| (row.number, row.index, row.call)).collect();
    assert_eq!(numbers, [(1, 1, Some(2)), (2, 0, Some(1)), (3, 2, Some(3))]);
    assert_eq!(&*marks.calls[0].reason, "Call 1 is flaw 2, slag line.");
    // A slag line of 20 mm is over the limit of 10 mm, a pore of 2 mm is not.
    assert_eq!(marks.flaws[1].decision, Some(Decision::Reject));
    assert_eq!(marks.flaws[2].decision, Some(Decision::Accept));
}

#[test]
fn each_part_falls_from_the_tolerance_to_twice_the_tolerance() {
    let paper = paper();
    let mut sheet = perfect(&paper);
    let slag = &mut sheet.calls[0];
    // Tolerances: depth 2 mm, length 5 mm, across 3 mm, height 1 mm.
    slag.depth_mm = slag.depth_mm.map(|depth| depth + 3.0);
    slag.end_mm = slag.end_mm.map(|end| end + 4.0);
    slag.offset_mm = slag.offset_mm.map(|offset| offset + 6.5);
    slag.height_mm = None;
    slag.kind = Some(FlawKind::PoreCluster);
    slag.decision = Some(Decision::Accept);
    let marks = mark(&paper, &sheet);
    let row = &marks.flaws[1];
    let got = |of| part(row, of).points;
    assert!((got(Part::Depth) - 5.0).abs() < 1e-6, "{}", got(Part::Depth));
    assert_eq!(part(row, Part::Depth).scheme_line, "scheme.points.depth");
    assert!(
        part(row, Part::Depth).reason.contains("3.0 mm off; full points within 2.0 mm, none from 4.0 mm on")
    );
    assert_eq!(got(Part::Length), 10.0);
    assert_eq!(part(row, Part::Length).error_mm.map(|error| (error * 10.0).round()), Some(40.0));
    assert_eq!(got(Part::Along), 10.0);
    assert_eq!(got(Part::Across), 0.0);
    assert_eq!((got(Part::Height), part(row, Part::Height).error_mm), (0.0, None));
    assert!(part(row, Part::Height).reason.starts_with("Height not given; true: "));
    assert_eq!(got(Part::Kind), 5.0);
    assert_eq!(
        &*part(row, Part::Kind).reason,
        "Kind called pore cluster, true slag line: another kind, but both are volumetric."
    );
    assert_eq!(part(row, Part::Kind).scheme_line, "scheme.kind_class_share");
    assert_eq!(got(Part::Decision), 0.0);
    assert!(
        part(row, Part::Decision)
            .reason
            .starts_with("Decision accept, right is reject: volumetric: length 20.")
    );
    // Detection 40, along 10, length 10, depth 5, kind 5.
    assert!((row.points - 70.0).abs() < 1e-6);
}

#[test]
fn a_planar_flaw_called_volumetric_gets_nothing_for_its_kind() {
    let paper = paper();
    let mut sheet = perfect(&paper);
    sheet.calls[1].kind = Some(FlawKind::SlagLine);
    let marks = mark(&paper, &sheet);
    assert_eq!(part(&marks.flaws[0], Part::Kind).points, 0.0);
    assert_eq!(
        &*part(&marks.flaws[0], Part::Kind).reason,
        "Kind called slag line (volumetric), true root crack (planar)."
    );
}

#[test]
fn a_missed_mandatory_flaw_fails_whatever_the_points() {
    let mut paper = paper();
    let mut sheet = perfect(&paper);
    sheet.calls.remove(2);
    paper.scheme.pass_percent = 50.0;
    let marks = mark(&paper, &sheet);
    assert!(!marks.passed && marks.percent > 66.0);
    assert_eq!(marks.flaws[2].call, None);
    assert!(marks.reasons[1].starts_with("Mandatory flaw 3 not called"), "{:?}", marks.reasons);
    paper.plate.flaws[2].mandatory = false;
    assert!(mark(&paper, &sheet).passed);
}

#[test]
fn a_false_call_costs_and_says_what_was_near() {
    let paper = paper();
    let mut sheet = perfect(&paper);
    let stray = Call { start_mm: Some(120.0), end_mm: Some(125.0), depth_mm: Some(9.0), ..Call::default() };
    sheet.calls.push(stray);
    let marks = mark(&paper, &sheet);
    let row = &marks.calls[3];
    assert_eq!((row.outcome, row.cost, marks.points), (Outcome::False, 20.0, 280.0));
    assert_eq!(row.scheme_line.as_deref(), Some("scheme.false_call_points"));
    assert!(row.reason.contains("Flaw 2 is the nearest, but its start is 30.0 mm off"), "{}", row.reason);
    assert_eq!(&*marks.reasons[2], "1 call without a flaw of its own took off 20 points.");
    // Far from everything, and without any place.
    sheet.calls[3] = Call { start_mm: Some(280.0), ..Call::default() };
    assert!(mark(&paper, &sheet).calls[3].reason.contains("there is no flaw near this place"));
    sheet.calls[3] = Call::default();
    assert!(mark(&paper, &sheet).calls[3].reason.contains("names no place along the weld"));
}

#[test]
fn geometry_called_as_a_flaw_is_named() {
    let paper = paper();
    let thickness = paper.plate.thickness_mm;
    let called = |offset_mm, depth_mm| {
        let mut sheet = perfect(&paper);
        sheet.calls.push(Call {
            start_mm: Some(110.0),
            end_mm: Some(130.0),
            offset_mm: Some(offset_mm),
            depth_mm: Some(depth_mm),
            ..Call::default()
        });
        mark(&paper, &sheet).calls.remove(3)
    };
    let root = called(0.5, thickness);
    assert_eq!(root.outcome, Outcome::Geometry);
    assert!(root.reason.contains("where the root bead echoes: geometry called as a flaw"), "{}", root.reason);
    assert!(called(-5.0, 1.0).reason.contains("where the cap echoes"));
    assert_eq!(called(0.5, thickness / 2.0).outcome, Outcome::False);
    assert_eq!(called(40.0, thickness).outcome, Outcome::False);
}

/// A root flaw lies where the bead echoes: a call that stopped at its highest echo is short, and no geometry.
#[test]
fn a_call_on_a_root_flaw_that_is_too_short_is_told_of_its_ends() {
    let mut paper = paper();
    paper.plate.flaws[1].length_mm = 50.0;
    let extent = paper.plate.flaws[1].extent(&paper.plate);
    let called = |from_mm: f64, to_mm: f64| {
        let call = Call {
            start_mm: Some(from_mm),
            end_mm: Some(to_mm),
            offset_mm: Some(matching::middle(extent.across_mm)),
            depth_mm: Some(paper.plate.thickness_mm),
            ..Call::default()
        };
        mark(&paper, &AnswerSheet { calls: vec![call], ..AnswerSheet::default() }).calls.remove(0)
    };
    let [from, to] = extent.along_mm;
    let short = called(from + 10.0, from + 10.0);
    assert_eq!(short.outcome, Outcome::False);
    assert!(short.reason.contains("Flaw 1 is the nearest, but its end is 40.0 mm off"), "{}", short.reason);
    // The bead all along the weld, and beside the flaw.
    assert_eq!(called(0.0, paper.plate.length_mm).outcome, Outcome::Geometry);
    assert_eq!(called(to + 30.0, to + 40.0).outcome, Outcome::Geometry);
}

#[test]
fn a_second_call_of_a_flaw_is_one_hit_and_one_false_call() {
    let paper = paper();
    let mut sheet = perfect(&paper);
    let again = Call { start_mm: sheet.calls[0].start_mm.map(|start| start + 1.0), ..sheet.calls[0].clone() };
    sheet.calls.insert(0, again);
    let marks = mark(&paper, &sheet);
    assert_eq!(marks.calls[0].outcome, Outcome::Duplicate { flaw: 2 });
    assert_eq!(marks.calls[1].outcome, Outcome::Hit { flaw: 2 });
    assert_eq!(
        &*marks.calls[0].reason,
        "Call 1 is a second call of flaw 2 that call 2 has named already; it counts as a false call. \
         It takes off 20 points."
    );
    assert_eq!(marks.points, 280.0);
}

#[test]
fn a_clean_plate_wants_an_empty_sheet_and_the_statement() {
    let paper = clean_paper();
    let stated = AnswerSheet { no_recordable_indication: true, ..AnswerSheet::default() };
    let marks = mark(&paper, &stated);
    assert_eq!((marks.percent, marks.passed), (100.0, true));
    let silent = mark(&paper, &AnswerSheet::default());
    assert_eq!((silent.percent, silent.passed), (80.0, true));
    assert!(silent.clean[1].reason.contains("was not stated"));
    let call = Call { start_mm: Some(50.0), ..Call::default() };
    let wrong = mark(&paper, &AnswerSheet { calls: vec![call], ..stated });
    assert_eq!((wrong.points, wrong.passed), (0.0, false));
    assert_eq!(&*wrong.clean[0].reason, "The plate has nothing to record, but the sheet has 1 call.");
}

#[test]
fn a_flaw_below_the_recording_level_counts_for_and_against_nobody() {
    let mut paper = paper();
    paper.scheme.below_recording_level = vec![2];
    let all = perfect(&paper);
    let mut without = all.clone();
    without.calls.remove(2);
    for sheet in [&all, &without] {
        let marks = mark(&paper, sheet);
        assert_eq!((marks.points, marks.possible, marks.passed), (200.0, 200.0, true));
        assert!(marks.reasons[2].starts_with("Not counted"), "{:?}", marks.reasons);
    }
    assert!(mark(&paper, &without).flaws[2].reason.contains("not called, and rightly so"));
    let mut twice = all;
    twice.calls.push(twice.calls[2].clone());
    assert_eq!(mark(&paper, &twice).cost, 0.0);
    // With nothing that counts the plate is as good as clean.
    paper.scheme.below_recording_level = vec![0, 1, 2];
    let stated = AnswerSheet { no_recordable_indication: true, ..AnswerSheet::default() };
    assert_eq!(mark(&paper, &stated).percent, 100.0);
    assert_eq!(mark(&paper, &perfect(&paper)).percent, 80.0);
}

#[test]
fn a_false_call_on_a_clean_plate_is_wrong_even_where_it_costs_nothing() {
    let mut paper = clean_paper();
    paper.scheme.false_call_points = 0.0;
    let call = Call { start_mm: Some(50.0), ..Call::default() };
    let marks = mark(&paper, &AnswerSheet { calls: vec![call], ..AnswerSheet::default() });
    assert_eq!((marks.points, marks.passed), (0.0, false));
}

#[test]
fn the_statement_on_a_plate_with_flaws_is_wrong() {
    let paper = paper();
    let marks = mark(&paper, &AnswerSheet { no_recordable_indication: true, ..AnswerSheet::default() });
    assert_eq!((marks.points, marks.passed), (0.0, false));
    assert_eq!(
        &**marks.reasons.last().unwrap(),
        "“No recordable indication” was stated, but the plate has 3 flaws."
    );
}

#[test]
fn marks_carry_caution_and_what_is_not_marked() {
    let marks = mark(&paper(), &AnswerSheet::default());
    let json = serde_json::to_value(&marks).unwrap();
    assert!(json["caution"].as_str().unwrap().starts_with("Training only"));
    assert!(json["not_marked"]["english"].as_str().unwrap().contains("detection and reporting only"));
}
