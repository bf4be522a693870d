use specimen::flaw::{Flaw, FlawKind, Place, RootSpot};
use specimen::joint::{Bevel, Preparation, WeldSide};

use super::*;
use crate::marking::mark;
use crate::sheet::Call;

fn flaw(kind: FlawKind, start_mm: f64, place: Place) -> Flaw {
    Flaw {
        kind,
        start_mm,
        length_mm: 20.0,
        height_mm: 3.0,
        width_mm: None,
        tilt_deg: 0.0,
        branches: 0,
        roughness_ratio: Flaw::USUAL_ROUGHNESS,
        seed: 3,
        mandatory: true,
        place,
    }
}

fn paper() -> Paper {
    let mut paper = Paper::generate(Preparation::SingleV, 1, 1);
    let middle = paper.plate.thickness_mm / 2.0;
    paper.plate.joint.groove_angle_deg = 60.0;
    paper.plate.flaws = vec![
        flaw(
            FlawKind::LackOfSideWallFusion,
            40.0,
            Place::Bevel { side: WeldSide::A, bevel: Bevel::Upper, depth_mm: middle },
        ),
        flaw(FlawKind::RootCrack, 100.0, Place::Root { at: RootSpot::Centre }),
        flaw(FlawKind::SlagLine, 160.0, Place::Weld { depth_mm: middle, offset_mm: 1.0 }),
        flaw(FlawKind::CentrelineCrack, 220.0, Place::Weld { depth_mm: middle, offset_mm: 0.0 }),
    ];
    paper.procedure = crate::standard::procedure(&paper.plate);
    paper
}

fn sheet() -> AnswerSheet {
    let call = Call {
        start_mm: Some(42.0),
        end_mm: Some(61.0),
        offset_mm: Some(-6.0),
        depth_mm: Some(9.0),
        remark: "<script>alert(\"&\")</script>".to_owned(),
        ..Call::default()
    };
    let far =
        Call { start_mm: Some(1e300), offset_mm: Some(-1e300), depth_mm: Some(1e300), ..Call::default() };
    AnswerSheet { calls: vec![call, far, Call::default()], ..AnswerSheet::default() }
}

fn all() -> (Paper, AnswerSheet, Marks, Drawings) {
    let (mut paper, sheet) = (paper(), sheet());
    paper.plate.id = "TH-<7> & \"co\"".to_owned();
    let marks = mark(&paper, &sheet);
    let drawings = drawings(&Language::english(), &paper, &sheet, Some(&marks));
    (paper, sheet, marks, drawings)
}

#[test]
fn a_bevel_face_is_met_square_from_its_own_side_in_the_second_leg_only() {
    let paper = paper();
    let marks = mark(&paper, &AnswerSheet::default());
    let note = &notes(&paper, &marks)[0];
    let best = note.best_view.unwrap();
    // The bevel stands 30° off the vertical, so a beam of 60° going up meets it square.
    assert_eq!((best.side, best.leg, best.angle_deg), (instrument::pose::Side::A, 2, 60.0));
    assert!(best.off_square_deg.unwrap() < 0.1, "{best:?}");
    assert!(
        note.sentences[0]
            .starts_with("From side A the 60° beam in leg 2 meets this face 0° off square, at index offset ")
    );
    assert!(note.sentences[1].starts_with("From side B "), "{}", note.sentences[1]);
    assert!(!note.sentences[1].contains("the face itself answers"), "{}", note.sentences[1]);
}

#[test]
fn the_best_view_of_a_face_lies_where_the_drawing_says() {
    // Retrace the ray by hand, wholly in plate coordinates.
    let paper = paper();
    let marks = mark(&paper, &AnswerSheet::default());
    let view = notes(&paper, &marks)[0].best_view.unwrap();
    let [angle_deg, exit] = crate::beams::beams(&paper.procedure, 3.23)[view.beam as usize];
    assert!((angle_deg - view.angle_deg).abs() < 1e-9);
    let thickness = paper.plate.thickness_mm;
    let x = -view.index_offset_mm + exit + view.sound_path_mm * libm::sin(60_f64.to_radians());
    let depth = 2.0 * thickness - view.sound_path_mm * libm::cos(60_f64.to_radians());
    let extent = marks.flaws[0].extent;
    assert!((x - f64::midpoint(extent.across_mm[0], extent.across_mm[1])).abs() < 1e-6);
    assert!((depth - f64::midpoint(extent.depth_mm[0], extent.depth_mm[1])).abs() < 1e-6);
}

#[test]
fn what_is_open_to_the_lower_face_is_explained_as_a_corner() {
    let paper = paper();
    let marks = mark(&paper, &AnswerSheet::default());
    let notes = notes(&paper, &marks);
    assert!(notes[1].sentences[0].contains("open to the lower face and makes a corner"));
    assert!(notes[1].sentences[1].starts_with("From side A its foot is best met by the "));
    assert!(notes[1].sentences[1].contains(" beam in leg 1, at index offset "), "{:?}", notes[1].sentences);
    // A crack in the middle of the wall is no corner; an upright face stands off every beam from 40° to 70°.
    assert!(notes[3].sentences.iter().all(|sentence| !sentence.contains("corner")));
    assert!(notes[3].best_view.unwrap().off_square_deg.unwrap() >= 20.0 - 1e-9);
    assert!(notes[2].sentences[0].contains("in every direction"));
}

#[test]
fn drawings_are_well_formed_and_carry_no_style_or_script() {
    let (_, _, _, drawings) = all();
    for drawing in [&drawings.top, &drawings.side, &drawings.end] {
        assert!(drawing.starts_with("<svg ") && drawing.trim_end().ends_with("</svg>"));
        assert!(
            drawing.contains("role=\"img\"") && drawing.contains("<title>") && drawing.contains("<desc>")
        );
        assert!(drawing.contains("TH-&lt;7&gt; &amp;"), "text is escaped");
        for never in ["style=", "<style", "script", "href", " on", "NaN", "inf"] {
            // " on" would begin an event attribute; the description is free text and is looked at without it.
            let markup = drawing
                .replace(&drawing[drawing.find("<desc>").unwrap()..drawing.find("</desc>").unwrap()], "");
            assert!(!markup.contains(never), "{never} in {markup}");
        }
        let depth = drawing.matches("<g ").count() - drawing.matches("</g>").count();
        assert_eq!(depth, 0);
    }
}

#[test]
fn truth_and_calls_differ_in_shape() {
    let (_, _, marks, drawings) = all();
    let groups = |class: &str| drawings.side.matches(&format!("<g class=\"{class}\"")).count();
    // Each with one more in the key; the third call has no place.
    assert_eq!((groups("truth"), groups("call")), (marks.flaws.len() + 1, 2 + 1));
    for group in drawings.side.split("<g ").skip(1) {
        let group = group.split("</g>").next().unwrap();
        assert_eq!(group.starts_with("class=\"call\""), group.contains("stroke-dasharray"), "{group}");
    }
    assert!(drawings.side.contains("Not drawn for want of a place: call 3."));
}

#[test]
fn the_same_marks_give_the_same_drawing() {
    let (paper, sheet, marks, drawings) = all();
    assert_eq!(super::drawings(&Language::english(), &paper, &sheet, Some(&marks)), drawings);
}

#[test]
fn labels_never_overlap_while_there_is_room() {
    let places = canvas::spread(&[50.0, 50.0, 51.0, 299.0, 300.0], 20.0, [10.0, 290.0]);
    let mut sorted = places.clone();
    acoustics::order::sort_by(&mut sorted, f64::total_cmp);
    assert!(sorted.windows(2).all(|pair| pair[1] - pair[0] >= 20.0 - 1e-9), "{places:?}");
    assert!(sorted[0] >= 10.0 && sorted[4] <= 290.0, "{places:?}");
}
