//! Exams at the command line: sealed plates, hand-ins, a whole class.
#![expect(clippy::unwrap_used, reason = "a test fails by a panic")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use exam::event::Event;
use exam::fair::Marker;
use exam::hand_in::{self, ToldMark};
use exam::log::Log;
use exam::paper::Paper;
use exam::seal::Sealed;
use exam::sheet::Call;
use exam::snapshot::Rerun;
use instrument::pose::{Face, Pose, Side};
use specimen::flaw::FlawKind;

const PASSPHRASES: &str = "the tern that returned\nlow water at nine\n";

fn plate_file() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenarios/plates/th-07.toml")
}

fn trialplate(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_trialplate")).current_dir(folder).args(arguments).output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

fn said(folder: &Path, arguments: &[&str]) -> String {
    let output = trialplate(folder, arguments);
    assert_eq!(output.status.code(), Some(0), "{arguments:?}: {}", text(&output.stderr));
    text(&output.stdout)
}

fn refused(folder: &Path, arguments: &[&str]) -> String {
    let output = trialplate(folder, arguments);
    assert_eq!(output.status.code(), Some(2), "{arguments:?}: {}", text(&output.stdout));
    text(&output.stderr)
}

/// A folder with the plate sealed, and the plate.
fn sealed() -> (tempfile::TempDir, Paper) {
    let folder = tempfile::tempdir().unwrap();
    let plate = plate_file();
    fs::write(folder.path().join("words.txt"), PASSPHRASES).unwrap();
    said(
        folder.path(),
        &["plate", "seal", plate.to_str().unwrap(), "--passphrases", "words.txt", "-o", "exam.json"],
    );
    (folder, Paper::parse("th-07.toml", &fs::read(plate).unwrap()).unwrap())
}

/// A session that slid along one row and called so many of the flaws, each a little beside.
fn session(paper: &Paper, called: usize, beside_mm: f64) -> Log {
    let mut log = Log::new(&paper.plate.id, &paper.digest());
    for step in 0..60_u32 {
        let y_mm = 5.0 * f64::from(step);
        let pose = Pose { face: Face::Upper, side: Side::A, index_offset_mm: 30.0, y_mm, skew_deg: 0.0 };
        log.push(200 * u64::from(step), Event::Pose(pose)).unwrap();
    }
    for flaw in paper.plate.flaws.iter().take(called) {
        let extent = flaw.extent(&paper.plate);
        let call = Call {
            kind: Some(FlawKind::SlagLine),
            start_mm: Some(extent.along_mm[0] + beside_mm),
            end_mm: Some(extent.along_mm[1] - beside_mm),
            depth_mm: Some(extent.depth_mm[0] + beside_mm),
            offset_mm: Some(extent.across_mm[0] - beside_mm),
            ..Call::default()
        };
        log.push(60_000, Event::CallAdded(call)).unwrap();
    }
    log.push(120_000, Event::HandIn).unwrap();
    log
}

fn hand_in(marker: &Marker, log: &Log, name: &str, key: Option<&[u8; 32]>) -> String {
    hand_in::write(name, log, Some(ToldMark::of(&marker.mark(log))), "", key).unwrap()
}

#[test]
fn a_sealed_plate_is_opened_by_the_instructor_alone() {
    let (folder, paper) = sealed();
    let at = folder.path();
    fs::write(at.join("sitting.txt"), "low water at nine").unwrap();
    fs::write(at.join("wrong.txt"), "high water at nine").unwrap();
    said(at, &["plate", "unseal", "exam.json", "--passphrase-file", "words.txt", "-o", "plate.toml"]);
    assert_eq!(Paper::parse("plate.toml", &fs::read(at.join("plate.toml")).unwrap()).unwrap(), paper);
    let unseal = |words: &str| {
        trialplate(at, &["plate", "unseal", "exam.json", "--passphrase-file", words, "-o", "x.toml"])
    };
    assert!(text(&unseal("sitting.txt").stderr).contains("this is the passphrase of the sitting"));
    assert!(text(&unseal("wrong.txt").stderr).contains("this passphrase does not open the plate"));
    assert!(!at.join("x.toml").exists());
    fs::write(at.join("one.txt"), "only one passphrase").unwrap();
    let plate = plate_file();
    let error =
        refused(at, &["plate", "seal", plate.to_str().unwrap(), "--passphrases", "one.txt", "-o", "y.json"]);
    assert!(error.contains("one.txt:1: 1 passphrases, expected two lines"), "{error}");
}

#[test]
fn a_hand_in_is_marked_again_to_the_same_digit_and_an_edited_one_is_refused() {
    let (folder, paper) = sealed();
    let at = folder.path();
    let opened = Sealed::parse("exam", &fs::read(at.join("exam.json")).unwrap())
        .unwrap()
        .open("low water at nine")
        .unwrap();
    let marker = Marker::new(&paper).unwrap();
    let log = session(&paper, 2, 0.7);
    assert_eq!(
        marker.mark(&log),
        exam::fair::mark_session(&paper, &log).unwrap(),
        "one by one or many at once"
    );
    let text = hand_in(&marker, &log, "Ada", Some(&opened.signing_key));
    fs::write(at.join("ada.json"), &text).unwrap();
    let mark = ["mark", "exam.json", "ada.json", "--passphrase-file", "words.txt"];
    let told = said(at, &mark);
    assert!(told.contains("Hand-in of Ada, 2:00 used; signed with the plate's key and unchanged; the mark is the one the page told."), "{told}");
    fs::write(at.join("ada.json"), text.replace("\"Ada\"", "\"Bea\"")).unwrap();
    assert!(refused(at, &mark).contains("its signature is not that of this plate"));
    assert!(refused(at, &mark[..3]).contains("is sealed, expected --passphrase-file"));
}

/// The log that was handed in is not the one that was sat, whoever signed it: mark, report and table tell.
#[test]
fn a_session_is_replayed_and_a_log_that_was_changed_is_told_of() {
    let (folder, paper) = sealed();
    let at = folder.path();
    let exam = Sealed::parse("exam", &fs::read(at.join("exam.json")).unwrap()).unwrap();
    let key = exam.open("low water at nine").unwrap().signing_key;
    let marker = Marker::new(&paper).unwrap();
    let (sat, altered) = (session(&paper, 2, 0.7), session(&paper, 2, 0.7));
    let mut text = altered.to_text().unwrap();
    let last = text.rfind("\"y_mm\":295.0").unwrap();
    text.replace_range(last..last + 12, "\"y_mm\":255.0");
    let altered = Log::parse(&text).unwrap();
    let digest = Rerun::new(&paper, &sat).last_digest().unwrap();
    fs::create_dir(at.join("class")).unwrap();
    for (name, log) in [("ada", &sat), ("bea", &altered)] {
        let told = Some(ToldMark::of(&marker.mark(log)));
        let text = hand_in::write(name, log, told, &digest, Some(&key)).unwrap();
        fs::write(at.join(format!("class/{name}.json")), text).unwrap();
    }
    const SAME: &str = "Replayed: the session’s last frame came out again, to the last bit.";
    const OTHER: &str =
        "Replayed: what the session saw last is not what this plate gives. The log was changed";
    let secret = ["--passphrase-file", "words.txt"];
    let marked = |work: &str, more: &[&str]| {
        said(at, &[&["mark", "exam.json", work], secret.as_slice(), more].concat())
    };
    assert!(marked("class/ada.json", &[]).contains(SAME));
    let told = marked("class/bea.json", &[]);
    assert!(told.contains("signed with the plate's key") && told.contains(OTHER), "{told}");
    assert!(
        told.contains("\n\nLive: the probe was moved over the plate, and the log tells how.\n"),
        "{told}"
    );
    assert!(!marked("class/bea.json", &["--without-replay"]).contains("Replayed"));
    let json: serde_json::Value = serde_json::from_str(&marked("class/bea.json", &["--json"])).unwrap();
    assert_eq!(json["replayed"]["last_frame"], "differs");
    assert_eq!(json["session"], "live");
    for (work, words) in [("class/ada.json", SAME), ("class/bea.json", OTHER)] {
        let report = ["report", work, "--plate", "exam.json", "--for", "examiner", "-o", "report.html"];
        said(at, &[report.as_slice(), &secret].concat());
        assert!(fs::read_to_string(at.join("report.html")).unwrap().contains(words), "{work}");
    }
    let class = |more: &[&str]| {
        let class = ["mark", "exam.json", "--class", "class", "-o", "out"];
        said(at, &[class.as_slice(), &secret, more].concat());
        [
            fs::read_to_string(at.join("out/class.csv")).unwrap(),
            fs::read_to_string(at.join("out/class.html")).unwrap(),
        ]
    };
    for told in class(&[]) {
        assert_eq!(told.matches(OTHER).count(), 1, "{told}");
        assert!(!told.contains(SAME), "what is right needs no remark");
    }
    assert!(!class(&["--without-replay"]).concat().contains("Replayed"));
}

/// A folder with room for a class's hand-ins, the plate they are of, and who marks them.
fn class_room() -> (tempfile::TempDir, PathBuf, Paper, Marker) {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join("class")).unwrap();
    let plate = plate_file();
    let paper = Paper::parse("th-07.toml", &fs::read(&plate).unwrap()).unwrap();
    let marker = Marker::new(&paper).unwrap();
    (folder, plate, paper, marker)
}

#[test]
fn a_class_is_marked_with_its_bad_files_told_and_left_out() {
    let (folder, plate, paper, marker) = class_room();
    let at = folder.path();
    for number in 0..12_usize {
        let log = session(&paper, number % 4, 0.4 + 0.1 * number as f64);
        let text = hand_in(&marker, &log, &format!("Trainee <{number}>"), None);
        fs::write(at.join(format!("class/{number:02}.json")), text).unwrap();
    }
    let good = fs::read_to_string(at.join("class/03.json")).unwrap();
    fs::write(at.join("class/copied.json"), &good).unwrap();
    fs::write(at.join("class/broken.json"), &good[..200]).unwrap();
    fs::write(at.join("class/notes.txt"), "no hand-in").unwrap();
    let error = refused(at, &["mark", plate.to_str().unwrap(), "--class", "class", "-o", "out"]);
    assert_eq!(error.lines().count(), 1, "{error}");
    assert!(error.contains("broken.json: no hand-in, expected the file as the page saved it"), "{error}");
    let table = fs::read_to_string(at.join("out/class.csv")).unwrap();
    assert_eq!(table.lines().count(), 14);
    assert!(table.starts_with("file,name,percent,passed,found,false_calls,minutes,remark,flaw_1_points"));
    let class: serde_json::Value =
        serde_json::from_slice(&fs::read(at.join("out/class.json")).unwrap()).unwrap();
    assert_eq!(class["count"], 13);
    assert_eq!(class["flaws"].as_array().unwrap().len(), paper.plate.flaws.len());
    let alike = class["alike"].as_array().unwrap();
    assert_eq!(alike.len(), 1, "{alike:?}");
    assert_eq!(alike[0]["files"], serde_json::json!(["03.json", "copied.json"]));
    assert_eq!(alike[0]["each"], alike[0]["equal"]);
    assert_eq!(class["alike_left_out"], 0);
    let report = fs::read_to_string(at.join("out/class.html")).unwrap();
    assert!(report.contains("No finding on a real weld") || report.contains("no finding on a real weld"));
    assert!(report.contains("Trainee &lt;3&gt;") && !report.contains("<3>"), "names are text only");
    for outside in ["http:", "https:", "src=", "<script"] {
        assert!(!report.contains(outside), "{outside}: the report needs nothing else");
    }
}

#[test]
fn one_sheet_that_went_round_is_one_line_and_one_row() {
    let (folder, plate, paper, marker) = class_room();
    let at = folder.path();
    let names: Vec<String> = (0..33).map(|copy| format!("copy-{copy:02}.json")).collect();
    let copied = hand_in(&marker, &session(&paper, 3, 0.7), "Trainee", None);
    for number in 0..90_usize {
        let text = hand_in(&marker, &session(&paper, number % 4, 0.9 + 0.05 * number as f64), "Other", None);
        fs::write(at.join(format!("class/{number:02}.json")), text).unwrap();
    }
    for name in &names[..20] {
        fs::write(at.join("class").join(name), &copied).unwrap();
    }
    let command = ["mark", plate.to_str().unwrap(), "--class", "class", "-o", "out", "--without-replay"];
    let told = said(at, &command);
    let lines: Vec<&str> = told.lines().filter(|line| line.starts_with("Worth a look: ")).collect();
    assert_eq!(lines.len(), 1, "{told}");
    assert!(lines[0].starts_with("Worth a look: these 20 files share "), "{told}");
    assert!(lines[0].ends_with(&format!(" values that are not true: {}.", names[..20].join(", "))), "{told}");
    let report = fs::read_to_string(at.join("out/class.html")).unwrap();
    assert_eq!(report.matches(&format!("<td>{}</td>", names[..20].join(", "))).count(), 1, "{report}");

    // More files than a line holds: it says so.
    for name in &names[20..] {
        fs::write(at.join("class").join(name), &copied).unwrap();
    }
    let told = said(at, &command);
    assert!(
        told.contains("these 33 files share ")
            && told.contains("copy-29.json and 3 more, all of them in class.html."),
        "{told}"
    );
    assert!(!told.contains("copy-30.json"), "{told}");
}

#[test]
fn a_blank_sheet_tells_nothing_of_the_plate() {
    let folder = tempfile::tempdir().unwrap();
    let plate = fs::read_to_string(plate_file()).unwrap();
    let flaws = plate.find("# Slag left between runs").unwrap()..plate.find("[procedure]").unwrap();
    let mut clean = plate.clone();
    clean.replace_range(flaws, "");
    let page = |name: &str, plate: &str| {
        fs::write(folder.path().join(name), plate).unwrap();
        said(folder.path(), &["sheet", "blank", name, "--rows", "7", "-o", "blank.html"]);
        fs::read_to_string(folder.path().join("blank.html")).unwrap()
    };
    let blank = page("plate.toml", &plate);
    assert_eq!(blank, page("clean.toml", &clean));
    assert!(blank.contains("TH-07") && blank.contains(exam::marking::CAUTION));
    assert_eq!(blank.matches("scope=\"row\"").count(), 7);
    assert!(FlawKind::ALL.iter().all(|kind| blank.contains(kind.words())));
}

#[test]
fn answers_go_to_a_table_and_back_and_are_marked_alike() {
    let folder = tempfile::tempdir().unwrap();
    let call =
        Call { kind: Some(FlawKind::SlagLine), start_mm: Some(38.0), end_mm: Some(60.5), ..Call::default() };
    let sheet = exam::sheet::AnswerSheet {
        plate_id: Some("TH-07".to_owned()),
        calls: vec![call],
        ..Default::default()
    };
    let at = |name: &str| folder.path().join(name);
    fs::write(at("answers.json"), sheet.to_json().unwrap()).unwrap();
    said(folder.path(), &["sheet", "csv", "answers.json", "-o", "answers.csv"]);
    said(folder.path(), &["sheet", "csv", "answers.csv", "-o", "again.json"]);
    assert_eq!(fs::read(at("again.json")).unwrap(), fs::read(at("answers.json")).unwrap());
    let plate = plate_file();
    let marked = |answers: &str| said(folder.path(), &["mark", plate.to_str().unwrap(), answers]);
    assert_eq!(marked("answers.csv"), marked("answers.json"));

    fs::write(at("bad.csv"), "kind,start_mm\nslag-line,here\n").unwrap();
    let said = "bad.csv:2:2: start_mm is “here”, expected a number of mm";
    assert!(refused(folder.path(), &["sheet", "csv", "bad.csv", "-o", "x.json"]).contains(said));
    assert!(!at("x.json").exists());
    let wrong = refused(folder.path(), &["sheet", "csv", "bad.csv", "-o", "x.csv"]);
    assert!(wrong.contains("x.csv: expected a name that ends in .json"), "{wrong}");
}
