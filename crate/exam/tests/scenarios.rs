//! The plates that come with the program can be sat and can be passed.
#![expect(clippy::unwrap_used, reason = "a test fails by a panic")]

use std::fs;
use std::path::{Path, PathBuf};

use exam::debrief;
use exam::detectability;
use exam::findable;
use exam::marking::{self, Outcome};
use exam::paper::Paper;
use exam::sheet::{AnswerSheet, Call};
use exam::standard;
use specimen::flaw::{FlawKind, Place};
use specimen::joint::{Bevel, Preparation};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenarios/plates")
}

fn paper(name: &str) -> Paper {
    let bytes = fs::read(folder().join(name)).unwrap();
    Paper::parse(name, &bytes).unwrap_or_else(|error| panic!("{error}"))
}

fn all() -> Vec<(String, Paper)> {
    let mut names: Vec<String> = fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.ends_with(".toml"))
        .collect();
    names.sort();
    assert!(names.len() >= 3);
    names.into_iter().map(|name| (name.clone(), paper(&name))).collect()
}

#[test]
fn every_plate_reads_and_writes_unchanged() {
    for (name, paper) in all() {
        let again = Paper::parse(&name, paper.to_toml().unwrap().as_bytes()).unwrap();
        assert_eq!(again, paper, "{name}");
        assert!(paper.plate.id.starts_with("TH-"), "{name}");
    }
}

#[test]
fn every_procedure_names_its_own_numbers_and_the_caution() {
    for (name, paper) in all() {
        let procedure = &paper.procedure;
        let text = procedure.text.replace('\n', " ");
        assert!(text.contains("For training only. No finding on a real weld may rest on this"), "{name}");
        let [near, far] = procedure.index_offset_mm;
        let (reference, more) = (procedure.reference_gain_db, procedure.scanning_gain_db);
        let level = procedure.recording_level_db;
        if *procedure == standard::procedure(&paper.plate) {
            // The yard's own words; they leave the limits to the scheme.
            assert!(text.contains(&format!("between {near:.1} mm and {far:.1} mm")), "{name}");
            assert!(text.contains(&format!("the reference gain, {reference} dB")), "{name}");
            assert!(text.contains(&format!("Add {more} dB for scanning")), "{name}");
            assert!(text.contains(&format!("reaches {level:.1} dB")), "{name}");
            continue;
        }
        assert!(text.contains(&format!("between {near} and {far} mm")), "{name}");
        assert!(text.contains(&format!("{reference} dB, the reference gain")), "{name}");
        assert!(text.contains(&format!("Scan with {more} dB more")), "{name}");
        assert!(text.contains(&format!("at or above {level} dB")), "{name}");
        let rule = &paper.scheme.acceptance;
        let (length, height) = (rule.volumetric_length_mm, rule.volumetric_height_mm);
        assert!(text.contains(&format!("longer than {length} mm or higher than {height} mm")), "{name}");
    }
}

#[test]
fn every_flaw_can_be_met_by_a_beam_and_perfect_answers_pass() {
    for (name, paper) in all() {
        let plate = &paper.plate;
        let calls: Vec<Call> = plate
            .flaws
            .iter()
            .map(|flaw| {
                let extent = flaw.extent(plate);
                let middle = |ends: [f64; 2]| f64::midpoint(ends[0], ends[1]);
                Call {
                    kind: Some(flaw.kind),
                    start_mm: Some(extent.along_mm[0]),
                    end_mm: Some(extent.along_mm[1]),
                    offset_mm: Some(middle(extent.across_mm)),
                    depth_mm: Some(middle(extent.depth_mm)),
                    height_mm: Some(extent.depth_mm[1] - extent.depth_mm[0]),
                    decision: marking::right_decision(&paper, flaw, &extent, None).0,
                    ..Call::default()
                }
            })
            .collect();
        let no_recordable_indication = calls.is_empty();
        let sheet = AnswerSheet { calls, no_recordable_indication, ..AnswerSheet::default() };
        let marks = marking::mark(&paper, &sheet);
        assert!(marks.passed && marks.percent > 100.0 - 1e-9, "{name}: {:?}", marks.reasons);
        assert!(marks.calls.iter().all(|row| matches!(row.outcome, Outcome::Hit { .. })), "{name}");
        for note in debrief::notes(&paper, &marks) {
            let view = note.best_view.unwrap_or_else(|| panic!("{name}: flaw {} is out of reach", note.flaw));
            let [near, far] = paper.procedure.index_offset_mm;
            assert!((near..=far).contains(&view.index_offset_mm), "{name}: flaw {}", note.flaw);
        }
    }
}

#[test]
fn the_single_v_holds_three_flaws_with_a_lack_of_fusion_met_square_from_its_side() {
    let paper = paper("th-07.toml");
    assert_eq!((paper.plate.thickness_mm, paper.plate.joint.preparation), (20.0, Preparation::SingleV));
    assert_eq!(paper.plate.flaws.len(), 3);
    let marks = marking::mark(&paper, &AnswerSheet::default());
    let row = marks.flaws.iter().find(|row| row.kind == FlawKind::LackOfSideWallFusion.words()).unwrap();
    let note = &debrief::notes(&paper, &marks)[row.number as usize - 1];
    let view = note.best_view.unwrap();
    assert_eq!((format!("{:?}", view.side).as_str(), view.leg), ("A", 2));
    assert!(view.off_square_deg.unwrap() < 1.0);
}

#[test]
fn the_double_v_holds_a_lower_bevel_flaw_and_an_inline_crack_near_the_cap() {
    let paper = paper("th-11.toml");
    assert_eq!((paper.plate.thickness_mm, paper.plate.joint.preparation), (25.0, Preparation::DoubleV));
    let lower = |place: &Place| matches!(place, Place::Bevel { bevel: Bevel::Lower, .. });
    let flaws = &paper.plate.flaws;
    assert!(flaws.iter().any(|flaw| flaw.kind == FlawKind::LackOfSideWallFusion && lower(&flaw.place)));
    let crack = flaws.iter().find(|flaw| flaw.kind == FlawKind::CentrelineCrack).unwrap();
    let extent = crack.extent(&paper.plate);
    assert!(extent.depth_mm[0] < 4.0 && extent.across_mm[0] < 0.5 && extent.across_mm[1] > -0.5);
}

#[test]
fn the_clean_plate_is_clean_but_has_cap_and_root() {
    let paper = paper("th-03.toml");
    assert_eq!((paper.plate.thickness_mm, paper.plate.flaws.len()), (12.0, 0));
    assert!(paper.plate.joint.cap.height_mm > 0.5 && paper.plate.joint.root_bead.is_some());
}

/// The whole way through the instrument: scanned as the procedure says, every mandatory flaw reaches the recording
/// level from one side at least, and a face met square from one side only stands higher from there.
#[test]
fn every_mandatory_flaw_can_be_found_with_the_procedure() {
    for (name, paper) in all() {
        let echoes = findable::best_echoes(&paper).unwrap();
        assert_eq!(findable::out_of_reach(&echoes), [0_u32; 0], "{name}: {echoes:#?}");
        for (index, flaw) in paper.plate.flaws.iter().enumerate() {
            let of_flaw: Vec<_> = echoes.iter().filter(|echo| echo.flaw as usize == index).collect();
            assert_eq!(of_flaw.len(), paper.procedure.sides.len(), "{name}");
            if name == "th-07.toml" && flaw.kind == FlawKind::LackOfSideWallFusion {
                let gap = of_flaw[0].amplitude_db - of_flaw[1].amplitude_db;
                assert!(gap >= 9.0, "{name}: {gap} dB");
                assert!((of_flaw[0].angle_deg - 60.0).abs() <= 2.0, "{:?}", of_flaw[0]);
            }
        }
    }
}

/// A sample of drawn papers, every joint and level among them: what is mandatory can be found with the standard
/// procedure, and what cannot be found is told to the scheme.
#[test]
fn mandatory_flaws_of_drawn_papers_can_be_found_with_the_standard_procedure() {
    let designs = specimen::generator::Design::all();
    let papers = designs.into_iter().zip(0_u64..).map(|(design, index)| {
        Paper::generate(design, 1 + (index % 5) as u8, 900 + index).made_fair().unwrap()
    });
    let (mut flaws, mut reached) = (0, 0);
    for paper in papers {
        assert_eq!(paper.check(), [], "{}", paper.plate.id);
        let below = findable::out_of_reach(&findable::best_echoes(&paper).unwrap());
        for (index, flaw) in (0..).zip(&paper.plate.flaws) {
            assert_eq!(flaw.mandatory, !below.contains(&index), "{}: flaw {index}", paper.plate.id);
            flaws += 1;
            reached += u32::from(flaw.mandatory);
        }
        assert_eq!(paper.scheme.below_recording_level, below, "{}", paper.plate.id);
    }
    println!("{reached} of {flaws}");
    assert!(flaws > 15 && 4 * reached >= 3 * flaws, "{reached} of {flaws} flaws can be found");
}

/// Where grain alone comes up to the recording level, nobody could tell it from a flaw.
#[test]
fn metal_whose_grain_would_have_to_be_recorded_is_made_quieter() {
    let mut drawn = Paper::generate(Preparation::Square, 5, 838);
    // As loud as this seed draws it, it comes within a hair of the level, on one side or the other.
    drawn.plate.grain_level_db += 3.0;
    assert!(!detectability::table(&drawn).unwrap().is_fair());
    let (fair, table) = detectability::made_fair(drawn.clone()).unwrap();
    assert!(table.is_fair(), "{:?}", table.unfair);
    assert!(fair.plate.grain_level_db < drawn.plate.grain_level_db);
    assert_eq!(detectability::table(&fair).unwrap(), table, "the file as it is handed out");
}
