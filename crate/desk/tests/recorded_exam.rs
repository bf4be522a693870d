//! Recorded exams: what the trainee gets tells nothing of the map, and what comes back is marked with the plate file alone.
#![expect(clippy::unwrap_used, reason = "a test fails by a panic")]

use std::fs;
use std::io::{Cursor, Read};
use std::path::Path;
use std::process::{Command, Output};

use exam::event::Event;
use exam::log::Log;
use exam::paper::Paper;
use exam::recorded_exam::{ENTRY, RecordedExam};
use exam::sheet::{AnswerSheet, Call};
use exam::{fair, hand_in, npz};
use specimen::flaw::FlawKind;

const NAME: &str = "Harbour wall, June";

fn trialplate(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_trialplate")).current_dir(folder).args(arguments).output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

fn said(folder: &Path, arguments: &[&str]) -> String {
    let output = trialplate(folder, arguments);
    assert_eq!(output.status.code(), Some(0), "{arguments:?}: {}", text(&output.stderr));
    text(&output.stdout)
}

fn refused(folder: &Path, arguments: &[&str]) -> String {
    let output = trialplate(folder, arguments);
    assert!(matches!(output.status.code(), Some(1 | 2)), "{arguments:?}: {}", text(&output.stdout));
    text(&output.stderr)
}

fn scenario(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenarios/plates").join(name);
    fs::read_to_string(path).unwrap()
}

/// The file of an exam at a plate, recorded from and to, mm.
fn recorded(folder: &Path, plate: &str, [from, to]: [&str; 2]) -> Vec<u8> {
    fs::write(folder.join("plate.toml"), plate).unwrap();
    let span = ["--from", from, "--to", to, "--exam", NAME, "-o", "exam.npz"];
    said(folder, &[&["scan", "plate.toml"], &span[..]].concat());
    fs::read(folder.join("exam.npz")).unwrap()
}

/// Entries but the amplitudes, with what stands around them: their places, comments and extra fields.
fn entries(file: &[u8]) -> Vec<(String, Vec<u8>)> {
    let mut zip = zip::ZipArchive::new(Cursor::new(file)).unwrap();
    assert!(zip.comment().is_empty());
    let mut entries = Vec::new();
    for index in 0..zip.len() {
        let mut entry = zip.by_index(index).unwrap();
        assert!(entry.comment().is_empty() && entry.extra_data().as_deref().is_none_or(<[u8]>::is_empty));
        let name = entry.name().unwrap().into_owned();
        let mut bytes = Vec::new();
        entry.read_to_end(&mut bytes).unwrap();
        if !name.ends_with("_amplitude.npy") {
            entries.push((name, bytes));
        }
    }
    entries
}

/// Another map under the same drawing: other flaws, seeds, names and scheme.
fn other_map(plate: &str) -> String {
    let mut paper = Paper::parse("plate", plate.as_bytes()).unwrap();
    paper.plate.flaws.truncate(1);
    paper.plate.flaws[0].seed += 17;
    paper.plate.flaws[0].length_mm += 3.25;
    paper.plate.seed = 987_654_321;
    paper.plate.id = "tern-harbour-single-v-4-987654321".to_owned();
    paper.plate.title = "Lack of fusion, for the instructor".to_owned();
    paper.scheme.below_recording_level = vec![0];
    paper.procedure.bench.seed = Some(4711);
    paper.procedure.bench.calibrated = false;
    paper.to_toml().unwrap()
}

#[test]
fn the_file_has_no_trace_of_the_map() {
    let folder = tempfile::tempdir().unwrap();
    let plate = scenario("th-07.toml");
    let other = other_map(&plate);
    let in_the_beam = ["118", "119"];
    let (file, another) =
        (recorded(folder.path(), &plate, in_the_beam), recorded(folder.path(), &other, in_the_beam));
    assert_ne!(file, another, "the echoes differ");
    let (own, others) = (entries(&file), entries(&another));
    assert_eq!(own, others, "and nothing else does");
    assert!(own.iter().any(|(name, _)| name == ENTRY));
    let paper = Paper::parse("plate", plate.as_bytes()).unwrap();
    for (name, bytes) in &own {
        let readable = text(bytes).to_lowercase();
        // Kinds by name and in words, and the words that only a map has.
        let kinds = FlawKind::ALL.iter().flat_map(|kind| {
            let name = serde_json::to_string(kind).unwrap();
            [name.trim_matches('"').to_owned(), kind.words().to_lowercase()]
        });
        let words =
            ["plate.flaw", "[flaw", "seed", "scheme", "mandatory", "th-07", "inner lock"].map(str::to_owned);
        for word in kinds.chain(words) {
            assert!(!readable.contains(&word), "{name} says {word}");
        }
        let seeds = paper.plate.flaws.iter().map(|flaw| flaw.seed).chain([paper.plate.seed]);
        for seed in seeds.filter(|seed| *seed > 999) {
            assert!(!readable.contains(&seed.to_string()), "{name} says {seed}");
        }
    }
    let exam = RecordedExam::from_file("exam.npz", &file).unwrap().unwrap();
    let sat = exam.paper();
    assert!(sat.plate.flaws.is_empty() && sat.plate.seed == 0 && sat.procedure.bench.is_ready());
    assert_eq!((sat.plate.id.as_str(), sat.plate.title.as_str()), (NAME, NAME));
    assert_eq!(npz::read(&file).unwrap().setting().plate_id, NAME);
}

/// Sizes, kinds and places outside every beam change no byte of the whole file.
#[test]
fn what_no_beam_reaches_changes_no_byte() {
    let folder = tempfile::tempdir().unwrap();
    let plate = scenario("th-07.toml");
    let mut paper = Paper::parse("plate", plate.as_bytes()).unwrap();
    let far = paper.plate.flaws.len() - 1;
    paper.plate.flaws[far].length_mm -= 4.0;
    paper.plate.flaws[far].seed += 1;
    let other = paper.to_toml().unwrap();
    let span = ["40", "41"];
    assert_eq!(recorded(folder.path(), &plate, span), recorded(folder.path(), &other, span));
}

fn handed_in(exam: &RecordedExam) -> String {
    let sat = exam.paper();
    let mut log = Log::new(&sat.plate.id, &sat.digest());
    let call = Call {
        kind: Some(FlawKind::RootCrack),
        start_mm: Some(212.0),
        end_mm: Some(232.0),
        depth_mm: Some(18.4),
        ..Call::default()
    };
    log.push(60_000, Event::CallAdded(call)).unwrap();
    log.push(90_000, Event::HandIn).unwrap();
    hand_in::write("Ada of the boatyard", &log, None, "", None).unwrap()
}

#[test]
fn a_hand_in_is_marked_with_the_plate_file_and_no_other() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let plate = scenario("th-07.toml");
    let file = recorded(folder, &plate, ["118", "118"]);
    let exam = RecordedExam::from_file("exam.npz", &file).unwrap().unwrap();
    fs::create_dir(folder.join("class")).unwrap();
    fs::write(folder.join("class/ada.json"), handed_in(&exam)).unwrap();

    let paper = Paper::parse("plate", plate.as_bytes()).unwrap();
    let work = hand_in::HandIn::parse("ada", handed_in(&exam).as_bytes()).unwrap();
    let expected = fair::mark(&paper, &AnswerSheet { plate_id: None, ..work.sheet().clone() }).unwrap();
    assert!(expected.percent > 5.0, "the crack counts");
    let marked = said(folder, &["mark", "plate.toml", "class/ada.json", "--json"]);
    let marked: serde_json::Value = serde_json::from_str(&marked).unwrap();
    assert_eq!(marked["marks"]["percent"].as_f64().unwrap(), expected.percent);
    assert_eq!(marked["session"], "recorded");
    assert_eq!(marked["marks"]["not_marked"]["key"], "said.not_marked.recorded");
    let told = said(folder, &["mark", "plate.toml", "class/ada.json"]);
    assert!(told.contains("of a recorded exam, not signed"), "{told}");
    assert!(told.contains("\n\nRecorded scans were analysed: no probe was moved."), "{told}");
    assert!(told.contains("\nMarked is detection and reporting only, for recorded scans"), "{told}");

    said(folder, &["mark", "plate.toml", "--class", "class", "-o", "out"]);
    let table = fs::read_to_string(folder.join("out/class.csv")).unwrap();
    assert!(table.contains("recorded exam, the scanning is not marked"), "{table}");

    fs::write(folder.join("another.toml"), scenario("th-02.toml")).unwrap();
    let wrong = refused(folder, &["mark", "another.toml", "class/ada.json"]);
    assert!(wrong.contains("expected plate TH-02"), "{wrong}");
    fs::write(folder.join("words.txt"), "the tern that returned\nlow water at nine\n").unwrap();
    said(folder, &["plate", "seal", "plate.toml", "--passphrases", "words.txt", "-o", "sealed.json"]);
    let sealed =
        refused(folder, &["mark", "sealed.json", "class/ada.json", "--passphrase-file", "words.txt"]);
    assert!(sealed.contains("recorded exam, which nobody can sign"), "{sealed}");
}

#[test]
fn what_is_no_exam_is_refused_in_words() {
    let folder = tempfile::tempdir().unwrap();
    let file = recorded(folder.path(), &scenario("th-07.toml"), ["118", "118"]);
    let recording = npz::read(&file).unwrap();
    let exam = RecordedExam::from_file("exam.npz", &file).unwrap().unwrap();
    let good = exam.to_toml().unwrap();
    let with = |text: &str| {
        let file = npz::write_with(&recording, &[(ENTRY, text.as_bytes())]).unwrap();
        RecordedExam::from_file("x.npz", &file).map_or_else(|error| error.to_string(), |_| String::new())
    };
    assert_eq!(with(&good), "");
    assert!(RecordedExam::from_file("x", &npz::write(&recording).unwrap()).unwrap().is_none());
    for (text, expected) in [
        (good.replacen("version = 1", "version = 2", 1), "x.npz, exam.toml:1: version: is 2, expected 1"),
        (good.replacen("thickness_mm = 20.0", "thickness_mm = 900.0", 1), "plate.thickness_mm"),
        (good.replacen("version", "versoin", 1), "x.npz, exam.toml:1:1: versoin: unknown key"),
        (
            good.replacen(NAME, "Another", 1),
            "is of plate Harbour wall, June, expected that of the exam, Another",
        ),
        ("x".repeat(300_000), "exam.toml: is longer than 200000 bytes"),
        (String::new(), "the file is empty"),
    ] {
        let message = with(&text);
        assert!(message.contains(expected), "{message}\nexpected: {expected}");
    }
    let block = fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenarios/blocks")).unwrap();
    let block = block.map(|entry| entry.unwrap().path()).next().unwrap();
    let words = refused(folder.path(), &["scan", block.to_str().unwrap(), "--exam", "B", "-o", "b.npz"]);
    assert!(words.contains("hides nothing"), "{words}");
}
