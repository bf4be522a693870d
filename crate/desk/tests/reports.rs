//! `trialplate report`: what each of three readers is told of a hand-in, of answers, of a recorded exam.
#![expect(clippy::unwrap_used, reason = "a test fails by a panic")]

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use exam::event::Event;
use exam::hand_in;
use exam::log::Log;
use exam::marking::CAUTION;
use exam::paper::Paper;
use exam::recorded_exam::RecordedExam;
use exam::seal::Sealed;
use exam::sheet::{AnswerSheet, Call, Decision};
use exam::snapshot::Snapshot;
use instrument::gate::Gate;
use instrument::pose::{Face, Pose, Side};
use specimen::flaw::FlawKind;

const READERS: [&str; 3] = ["examiner", "welder", "engineer"];

fn trialplate(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_trialplate")).current_dir(folder).args(arguments).output().unwrap()
}

/// A folder with a plate of the yard, plain and sealed.
fn folder() -> (tempfile::TempDir, Paper) {
    let folder = tempfile::tempdir().unwrap();
    let plate = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenarios/plates/th-07.toml");
    let text = fs::read(plate).unwrap();
    fs::write(folder.path().join("plate.toml"), &text).unwrap();
    fs::write(folder.path().join("words.txt"), "the tern that returned\nlow water at nine\n").unwrap();
    let sealing = ["plate", "seal", "plate.toml", "--passphrases", "words.txt", "-o", "exam.json"];
    assert!(trialplate(folder.path(), &sealing).status.success());
    let paper = Paper::parse("plate.toml", &text).unwrap();
    (folder, paper)
}

/// The second flaw as it is, and a call of nothing.
fn sheet(paper: &Paper) -> AnswerSheet {
    let flaw = &paper.plate.flaws[1];
    let extent = flaw.extent(&paper.plate);
    let middle = |ends: [f64; 2]| f64::midpoint(ends[0], ends[1]);
    let good = Call {
        kind: Some(flaw.kind),
        start_mm: Some(extent.along_mm[0]),
        end_mm: Some(extent.along_mm[1]),
        offset_mm: Some(middle(extent.across_mm)),
        depth_mm: Some(middle(extent.depth_mm)),
        height_mm: Some(extent.depth_mm[1] - extent.depth_mm[0]),
        decision: Some(Decision::Reject),
        remark: "sharp from B".to_owned(),
        snapshot: Some(Box::new(Snapshot {
            t_ms: 55_000,
            pose: Pose {
                face: Face::Upper,
                side: Side::A,
                index_offset_mm: 30.0,
                y_mm: 217.0,
                skew_deg: 0.0,
            },
            gain_db: 46.0,
            beam: 30,
            gate: Gate { start_mm: 10.0, length_mm: 60.0, threshold_percent: 5.0 },
            tick: 7,
            contact_loss_db: 0.0,
        })),
        ..Call::default()
    };
    let stray = Call {
        kind: Some(FlawKind::SinglePore),
        start_mm: Some(260.0),
        end_mm: Some(262.0),
        height_mm: Some(1.0),
        ..Call::default()
    };
    AnswerSheet { plate_id: Some("TH-07".to_owned()), calls: vec![good, stray], ..AnswerSheet::default() }
}

/// A session that slid along side A and called that.
fn session(plate_id: &str, digest: &str, sheet: &AnswerSheet, scanned: bool) -> Log {
    let mut log = Log::new(plate_id, digest);
    for step in 0..if scanned { 60_u32 } else { 0 } {
        let y_mm = 5.0 * f64::from(step);
        let pose = Pose { face: Face::Upper, side: Side::A, index_offset_mm: 30.0, y_mm, skew_deg: 0.0 };
        log.push(200 * u64::from(step), Event::Pose(pose)).unwrap();
    }
    for call in &sheet.calls {
        log.push(60_000, Event::CallAdded(call.clone())).unwrap();
    }
    log.push(120_000, Event::HandIn).unwrap();
    log
}

/// The report on a work for a reader, with what else is asked for.
fn report(at: &Path, work: &str, plate: &str, reader: &str, rest: &[&str]) -> Result<String, String> {
    let _ = fs::remove_file(at.join("report.html"));
    let command = [&["report", work, "--plate", plate, "--for", reader, "-o", "report.html"], rest].concat();
    let output = trialplate(at, &command);
    if output.status.success() {
        return Ok(fs::read_to_string(at.join("report.html")).unwrap());
    }
    assert!(!at.join("report.html").exists(), "a refused report leaves no file");
    let error = String::from_utf8(output.stderr).unwrap();
    assert!(matches!(output.status.code(), Some(1 | 2)) && !error.contains("panicked"), "{error}");
    Err(error)
}

#[test]
fn three_readers_of_a_signed_hand_in() {
    let (folder, paper) = folder();
    let at = folder.path();
    let sealed = Sealed::parse("exam", &fs::read(at.join("exam.json")).unwrap()).unwrap();
    let key = sealed.open("low water at nine").unwrap().signing_key;
    let log = session(&paper.plate.id, &paper.digest(), &sheet(&paper), true);
    let text = hand_in::write("Ada <of the boatyard>", &log, None, "", Some(&key)).unwrap();
    fs::write(at.join("ada.json"), &text).unwrap();
    let words = ["--passphrase-file", "words.txt"];
    let told = READERS.map(|reader| report(at, "ada.json", "exam.json", reader, &words).unwrap());
    for report in &told {
        assert_eq!(report.matches(CAUTION).count(), 2);
        assert!(report.contains("Ada &lt;of the boatyard&gt;") && report.contains("2:00"), "{report}");
        for outside in ["<script", "src=", "href=\"http", "url("] {
            assert!(!report.contains(outside), "{outside}: a report needs nothing else");
        }
    }
    for report in &told {
        assert!(report.contains("Live: the probe was moved over the plate"), "{report}");
    }
    let [examiner, welder, engineer] = &told;
    let missed = "Flaw 1, slag line, 46.0–64.0 mm along the weld";
    assert!(examiner.contains(missed), "{examiner}");
    assert!(examiner.contains("(scheme.false_call_points)") && examiner.contains("Not passed"));
    assert!(examiner.contains("class=\"truth\""));
    for report in [welder, engineer] {
        assert!(!report.contains("class=\"truth\"") && !report.contains("46.0–64.0"), "{report}");
        assert!(!report.contains("scheme.") && !report.contains("assed: "), "no mark for them");
    }
    for report in [examiner, engineer] {
        assert!(report.contains("What the calls were made from"));
        assert!(report.contains("After 0:55, from side A, 217.0 mm along, wedge front 30.0 mm"), "{report}");
        assert_eq!(report.matches("href=\"data:image/png;base64,").count(), 1);
        assert_eq!(report.matches("class=\"shot-gate\"").count(), 1);
    }
    assert!(!welder.contains("made from"));
    assert!(welder.contains("Call 1: Lack of side-wall fusion") && welder.contains("Ground to a width of"));
    assert!(!welder.contains("Call 2: "), "a pore that the rule accepts is not drawn");
    assert!(engineer.contains("Findings under the acceptance rule") && engineer.contains("sharp from B"));
    assert!(engineer.contains("<td>Side A</td>") && engineer.contains("<td>Side B</td>"));

    fs::write(at.join("ada.json"), text.replace("Ada", "Bea")).unwrap();
    for reader in READERS {
        let error = report(at, "ada.json", "exam.json", reader, &words).unwrap_err();
        assert!(error.contains("its signature is not that of this plate"), "{error}");
    }
    let sealed = report(at, "ada.json", "exam.json", "welder", &[]).unwrap_err();
    assert!(sealed.contains("is sealed, expected --passphrase-file"), "{sealed}");
}

#[test]
fn answers_alone_are_reported_without_what_only_a_log_tells() {
    let (folder, paper) = folder();
    let at = folder.path();
    let sheet = sheet(&paper);
    fs::write(at.join("answers.json"), sheet.to_json().unwrap()).unwrap();
    fs::write(at.join("answers.csv"), sheet.to_csv().unwrap()).unwrap();
    for reader in READERS {
        let [json, csv] =
            ["answers.json", "answers.csv"].map(|work| report(at, work, "plate.toml", reader, &[]).unwrap());
        assert_eq!(json, csv, "{reader}");
        assert!(json.contains("no name given"), "{json}");
        assert!(json.contains("An answer sheet alone, without a log. How the weld was scanned"), "{json}");
    }
    let engineer = report(at, "answers.json", "plate.toml", "engineer", &[]).unwrap();
    assert!(engineer.contains("Not known: there is no log of a scan"), "{engineer}");
    let row = |name: &str| format!("<th scope=\"row\">{name}</th><td>not known</td>");
    for name in ["Gain used", "Scanned from", "Calibration", "Couplant"] {
        assert!(engineer.contains(&row(name)), "{name}: {engineer}");
    }

    let other = AnswerSheet { plate_id: Some("TH-03".to_owned()), ..sheet };
    fs::write(at.join("other.json"), other.to_json().unwrap()).unwrap();
    let error = report(at, "other.json", "plate.toml", "welder", &[]).unwrap_err();
    assert!(error.contains("is for plate TH-03, but the plate file holds plate TH-07"), "{error}");
    let error = report(at, "answers.json", "plate.toml", "captain", &[]).unwrap_err();
    assert!(READERS.iter().all(|reader| error.contains(reader)), "{error}");
    fs::write(at.join("broken.json"), "{\n  \"calls\": 3\n}").unwrap();
    let error = report(at, "broken.json", "plate.toml", "examiner", &[]).unwrap_err();
    assert!(error.contains("broken.json:2:"), "{error}");
}

/// Nothing was scanned in a recorded exam, so nobody may be told that nothing was scanned.
#[test]
fn a_recorded_exam_is_not_blamed_for_what_was_never_scanned() {
    let (folder, paper) = folder();
    let at = folder.path();
    let sat = RecordedExam::of(&paper, "Harbour wall, June").paper();
    let log = session(&sat.plate.id, &sat.digest(), &sheet(&paper), false);
    fs::write(at.join("ada.json"), hand_in::write("Ada", &log, None, "", None).unwrap()).unwrap();
    let told = READERS.map(|reader| report(at, "ada.json", "plate.toml", reader, &[]).unwrap());
    for report in &told {
        let kind = "Recorded scans were analysed: no probe was moved. How the weld was scanned";
        assert!(report.contains(kind) && !report.contains("Live: "), "{report}");
    }
    let [examiner, _, engineer] = &told;
    let (result, rest) = examiner.split_once("<h2>Answers</h2>").unwrap();
    let not_marked = "detection and reporting only, for recorded scans were analysed";
    assert!(result.contains(not_marked) && !rest.contains(not_marked), "beside the mark: {examiner}");
    assert!(!examiner.contains("<h2>Application of the method</h2>"), "{examiner}");
    for blame in ["Application of the method: ", "This session never had", "no beam of yours"] {
        assert!(!examiner.contains(blame), "{blame}");
    }
    assert!(engineer.contains("Not known: there is no log of a scan"), "{engineer}");
    assert!(!engineer.contains("<td>Side A</td>"));
}
