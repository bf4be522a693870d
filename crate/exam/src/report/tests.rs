use instrument::pose::{Face, Pose, Side};
use specimen::flaw::FlawKind;
use specimen::joint::Preparation;

use super::repair::Repair;
use super::*;
use crate::event::Event;
use crate::log::Log;
use crate::marking;
use crate::sheet::{Call, Decision};

const HOSTILE: &str = "</td><script>alert(1)</script>\"'&<img src=x onerror=y>";

fn paper() -> Paper {
    Paper::generate(Preparation::SingleV, 2, 4711)
}

fn call() -> Call {
    Call {
        kind: Some(FlawKind::LackOfSideWallFusion),
        start_mm: Some(100.0),
        end_mm: Some(120.0),
        offset_mm: Some(-4.0),
        depth_mm: Some(5.0),
        height_mm: Some(2.0),
        amplitude_db: Some(-3.0),
        decision: Some(Decision::Reject),
        remark: HOSTILE.to_owned(),
        ..Call::default()
    }
}

fn all(paper: &Paper, sitting: &Sitting) -> [String; 3] {
    all_in(&Language::english(), paper, sitting)
}

fn all_in(language: &Language, paper: &Paper, sitting: &Sitting) -> [String; 3] {
    let marks = marking::mark(paper, sitting.sheet);
    let notes = crate::debrief::notes(paper, &marks);
    [
        examiner(language, paper, sitting, &marks, &notes),
        welder(language, paper, sitting),
        engineer(language, paper, sitting),
    ]
}

fn sitting(sheet: &AnswerSheet) -> Sitting<'_> {
    Sitting { sitter: HOSTILE, used_ms: Some(61_000), ..Sitting::of_sheet(sheet) }
}

#[test]
fn whatever_people_write_is_shown_and_never_run_and_the_caution_is_there() {
    let mut paper = paper();
    paper.plate.title = HOSTILE.to_owned();
    paper.plate.id = HOSTILE.to_owned();
    paper.procedure.probe.name = HOSTILE.to_owned();
    let sheet = AnswerSheet { calls: vec![call(), Call::default()], ..AnswerSheet::default() };
    let pictures = [format!("data:image/png;base64,\"{HOSTILE}"), "javascript:alert(1)".to_owned()];
    let sitting = Sitting { pictures: &pictures, ..sitting(&sheet) };
    for text in all(&paper, &sitting) {
        for wrong in ["<script", "<img", "javascript:", "http:", "https:", " style=\""] {
            let allowed = text.replace("http://www.w3.org/2000/svg", "");
            assert!(!allowed.contains(wrong), "{wrong} in {allowed}");
        }
        assert!(text.contains("&lt;script&gt;"), "{text}");
        assert_eq!(text.matches(marking::CAUTION).count(), 2);
    }
}

#[test]
fn every_word_of_a_report_and_of_a_blank_sheet_is_of_the_readers_language() {
    let mut paper = paper();
    (paper.plate.id, paper.plate.title) = ("7".to_owned(), "9".to_owned());
    paper.procedure.probe.name = "5".to_owned();
    let calls =
        vec![Call { remark: String::new(), side: Some(Side::B), leg: Some(2), ..call() }, Call::default()];
    let sheet = AnswerSheet { calls, ..AnswerSheet::default() };
    let replayed = crate::replayed::Replayed::Differs.sentence();
    let mut log = Log::new("7", &paper.digest());
    log.push(5, Event::Gain { gain_db: 60.0 }).unwrap();
    let sitting =
        Sitting { sitter: "6", replayed: Some(&replayed), entries: log.entries(), ..sitting(&sheet) };
    let english = [all(&paper, &sitting).concat(), blank::html(&Language::english(), &paper, 3)].concat();
    let language = Language::of_values();
    let told = [all_in(&language, &paper, &sitting).concat(), blank::html(&language, &paper, 3)].concat();
    // Units, the letters of the sides, and the lines of the plate file, which are as the file has them.
    let known = |word: &str| {
        word.len() < 3 || word == "MHz" || word.starts_with("scheme") || paper.digest().contains(word)
    };
    let words = |html: &str| -> Vec<String> {
        let html = html.replace(style::STYLE, "").replace(blank::STYLE, "");
        let shown = html.split('<').filter_map(|part| Some(part.split_once('>')?.1.to_owned()));
        let labels = html
            .split("aria-label=\"")
            .skip(1)
            .map(|part| part.split('"').next().unwrap_or_default().to_owned());
        shown
            .chain(labels)
            .flat_map(|text| {
                text.split(|letter: char| !letter.is_alphanumeric() && !"._".contains(letter))
                    .map(str::to_owned)
                    .collect::<Vec<_>>()
            })
            .filter(|word| word.contains(char::is_alphabetic) && !known(word))
            .collect()
    };
    assert!(words(&english).len() > 1000, "{}", words(&english).len());
    assert_eq!(words(&told), Vec::<String>::new());
    assert!(blank::html(&Language::read("lang\tes"), &paper, 3).contains("<html lang=\"es\">"));
}

#[test]
fn welder_and_engineer_are_told_nothing_of_the_truth() {
    let paper = paper();
    let sheet = AnswerSheet { calls: vec![call()], ..AnswerSheet::default() };
    let mut other = paper.clone();
    other.plate.flaws.clear();
    let sitting = sitting(&sheet);
    let [told, repair, report] = all(&paper, &sitting);
    let [_, other_repair, other_report] = all(&other, &sitting);
    assert!(told.contains("Flaw 1"));
    assert_eq!(repair, other_repair);
    assert_eq!(report, other_report);
    assert!(!report.contains("class=\"truth\"") && report.contains("class=\"call\""));
}

#[test]
fn a_groove_takes_the_whole_call_out_from_the_nearer_face() {
    let plate = paper().plate;
    let thickness = plate.thickness_mm;
    let repair = Repair::of(&plate, &call()).unwrap();
    assert_eq!((repair.face, repair.deep_mm, repair.called_mm), (Face::Upper, 8.0, [100.0, 120.0]));
    assert_eq!((repair.bottom_mm, repair.open_mm), ([98.0, 122.0], [90.0, 130.0]));
    // By hand: the arc of 4 mm radius ends 70° from its foot, 4 sin 70° aside and 4 (1 − cos 70°) up; the flank goes on at 20°.
    let (aside, up) = (4.0 * libm::sin(1.221_730_476), 4.0 * (1.0 - libm::cos(1.221_730_476)));
    let half = aside + (8.0 - up) * libm::tan(0.349_065_850);
    assert!((repair.wide_mm - 2.0 * half).abs() < 1e-6, "{} {half}", repair.wide_mm);
    let deep = Call { depth_mm: Some(thickness - 2.0), ..call() };
    let repair = Repair::of(&plate, &deep).unwrap();
    assert_eq!((repair.face, repair.deep_mm), (Face::Lower, 5.0));
    assert!(
        repair.profile(thickness).iter().all(|point| point[1] <= thickness && point[1] >= thickness - 5.0)
    );
    // A call through the whole plate is ground through, never deeper; one past the plate's end stops there.
    let through = Call { height_mm: Some(100.0), end_mm: Some(1e6), ..call() };
    let repair = Repair::of(&plate, &through).unwrap();
    assert_eq!((repair.deep_mm, repair.left_mm, repair.open_mm[1]), (thickness, 0.0, plate.length_mm));
    let lacking = Call { height_mm: None, offset_mm: Some(f64::NAN), ..call() };
    assert_eq!(Repair::of(&plate, &lacking).unwrap_err(), ["said.missing.across", "said.missing.height"]);
}

#[test]
fn only_what_the_rule_rejects_is_drawn() {
    let paper = paper();
    let rule = &paper.scheme.acceptance;
    let pore = Call {
        kind: Some(FlawKind::SinglePore),
        end_mm: Some(100.0 + rule.volumetric_length_mm),
        height_mm: Some(rule.volumetric_height_mm),
        ..call()
    };
    let longer = Call { end_mm: pore.end_mm.map(|end| end + 1.0), height_mm: None, ..pore.clone() };
    let unknown = Call { height_mm: None, ..pore.clone() };
    let decision = |call: &Call| verdict::of(&paper, call).0;
    assert_eq!(decision(&pore), Some(Decision::Accept));
    assert_eq!(decision(&longer), Some(Decision::Reject));
    assert_eq!(decision(&unknown), None);
    assert_eq!(decision(&Call { kind: None, ..call() }), None);
    let sheet = AnswerSheet { calls: vec![pore, call(), unknown], ..AnswerSheet::default() };
    let text = welder(&Language::english(), &paper, &sitting(&sheet));
    assert_eq!(text.matches("<section class=\"repair\"").count(), 1);
    assert!(text.contains("1 of 3") && text.contains("Call 2: Lack of side-wall fusion"), "{text}");
    assert!(text.contains("Call 3 was rejected by whoever called it"), "{text}");
    assert!(
        welder(&Language::english(), &paper, &sitting(&AnswerSheet::default()))
            .contains("Nothing is to be ground out.")
    );
}

#[test]
fn the_engineer_reads_what_was_not_covered_and_where_it_was_dry() {
    let mut paper = paper();
    paper.procedure.bench.always_wet = false;
    let mut log = Log::new(&paper.plate.id, &paper.digest());
    let offset = paper.procedure.index_offset_mm[0];
    for step in 0..40_u32 {
        let pose = Pose {
            face: Face::Upper,
            side: Side::A,
            index_offset_mm: offset,
            y_mm: 50.0 + f64::from(step),
            skew_deg: 0.0,
        };
        log.push(u64::from(1000 + 100 * step), Event::Pose(pose)).unwrap();
    }
    let sheet = AnswerSheet::default();
    let live = Sitting { kind: SessionKind::Live, entries: log.entries(), ..sitting(&sheet) };
    let text = engineer(&Language::english(), &paper, &live);
    assert!(text.contains("laid in 0 strokes"), "{text}");
    let row = text.split("<td>Side A</td>").nth(1).unwrap().split("</tr>").next().unwrap();
    let cells: Vec<&str> = row.split("<td>").skip(1).map(|cell| cell.trim_end_matches("</td>")).collect();
    assert_eq!(
        cells[2],
        crate::words::stretch_mm([0.0, paper.plate.length_mm]),
        "nothing was covered: {cells:?}"
    );
    assert!(cells[3].starts_with("4") && cells[3].contains("mm"), "dry about 50 to 90: {cells:?}");
}
