//! The command as a person at a terminal meets it.
#![expect(clippy::unwrap_used, reason = "a test fails by a panic")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn trialplate(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_trialplate")).args(arguments).output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// Standard output of a command that must succeed.
fn good(arguments: &[&str]) -> String {
    let output = trialplate(arguments);
    assert!(output.status.success(), "{}", text(&output.stderr));
    text(&output.stdout)
}

/// Standard error of a command that must fail, but not by a panic.
fn bad(arguments: &[&str]) -> String {
    let output = trialplate(arguments);
    let error = text(&output.stderr);
    assert!(matches!(output.status.code(), Some(1 | 2)), "{error}");
    assert!(!error.contains("panicked"), "{error}");
    error
}

fn scenario(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenarios/plates").join(name);
    path.to_str().unwrap().to_owned()
}

struct Folder(tempfile::TempDir);

impl Folder {
    fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    fn path(&self, name: &str) -> String {
        self.0.path().join(name).to_str().unwrap().to_owned()
    }

    fn write(&self, name: &str, content: impl AsRef<[u8]>) -> String {
        fs::write(self.path(name), content).unwrap();
        self.path(name)
    }
}

#[test]
fn a_new_plate_is_sound_and_the_same_each_time() {
    let folder = Folder::new();
    let file = folder.path("new.toml");
    let new = ["plate", "new", "--preparation", "single-v", "--level", "1", "--seed", "4711"];
    assert_eq!(good(&[new.as_slice(), &["-o", &file]].concat()), "");
    assert_eq!(fs::read_to_string(&file).unwrap(), good(&new));
    assert!(good(&["plate", "check", &file]).contains("new.toml: sound. Plate "));
    assert!(
        good(&["plate", "echoes", &file]).starts_with("Plate tern-harbour-single-v-1-4711, recording level")
    );
    // What is there is not overwritten.
    assert!(bad(&[new.as_slice(), &["-o", &file]].concat()).contains("is there already"));
    assert_eq!(fs::read_to_string(&file).unwrap(), good(&new));
    assert_ne!(
        good(&new),
        good(&["plate", "new", "--preparation", "single-v", "--level", "1", "--seed", "4712"])
    );
}

#[test]
fn levels_and_seeds_out_of_range_are_refused() {
    let new =
        |level, seed| bad(&["plate", "new", "--preparation", "double-v", "--level", level, "--seed", seed]);
    assert!(new("6", "1").contains("6 is not in 1..=5"));
    assert!(new("1", "9223372036854775808").contains("is not in"));
    assert!(new("1", "-1").contains("-1"));
}

#[test]
fn bad_plates_are_named_with_their_lines_and_good_ones_still_checked() {
    let folder = Folder::new();
    let sound = scenario("th-07.toml");
    let original = fs::read_to_string(&sound).unwrap();
    let wrong_unit =
        folder.write("unit.toml", original.replacen("thickness_mm = 20.0", "thickness_in = 0.8", 1));
    let outside = folder.write("outside.toml", original.replacen("start_mm = 118.0", "start_mm = 290.0", 1));
    let kind = folder.write("kind.toml", original.replacen("\"slag-line\"", "\"dent\"", 1));
    let zeros = folder.write("zeros.toml", vec![0_u8; 2_000_000]);
    let bytes = folder.write("bytes.toml", b"version = 1\n\xff\xfe = 2\n");
    let missing = folder.path("missing.toml");
    let output =
        trialplate(&["plate", "check", &wrong_unit, &outside, &kind, &zeros, &bytes, &missing, &sound]);
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stdout).contains("th-07.toml: sound. Plate TH-07"));
    let error = text(&output.stderr);
    let line = |needle: &str| original.lines().position(|line| line.contains(needle)).unwrap() + 1;
    assert!(error.contains(&format!("unit.toml:{}", line("thickness_mm = 20.0"))), "{error}");
    assert!(error.contains("outside.toml:") && error.contains("outside the plate"), "{error}");
    assert!(error.contains(&format!("kind.toml:{}", line("\"slag-line\""))), "{error}");
    assert!(error.contains("zeros.toml: the file has"), "{error}");
    assert!(error.contains("bytes.toml:2: bytes that are no UTF-8 text"), "{error}");
    assert!(error.contains("missing.toml: cannot be read"), "{error}");
    assert_eq!(error.lines().count(), 6, "{error}");
}

#[test]
fn marks_are_printed_row_by_row_with_reasons_and_caution() {
    let folder = Folder::new();
    let plate = scenario("th-07.toml");
    let answers = folder.write(
        "answers.json",
        r#"{ "plate_id": "TH-07", "calls": [
            { "kind": "lack-of-side-wall-fusion", "start_mm": 117.0, "end_mm": 143.5, "offset_mm": -6.0,
              "depth_mm": 11.0, "decision": "reject" },
            { "kind": "slag-line", "start_mm": 250.0, "end_mm": 262.0, "offset_mm": 0.0, "depth_mm": 20.0 }
        ] }"#,
    );
    let report = good(&["mark", &plate, &answers]);
    for expected in [
        "Plate TH-07",
        "Not passed: ",
        "Mandatory flaws 1 and 3 not called",
        "Flaw 2, lack of side-wall fusion, ",
        "10 of  10  Kind called rightly: lack of side-wall fusion. (scheme.points.kind)",
        "Height not given",
        "Call 1 is flaw 2",
        "where the root bead echoes: geometry called as a flaw",
        "Call 2: accept or reject is missing",
        "From side A the 60° beam in leg 2 meets this face 0° off square",
        "Training only",
    ] {
        assert!(report.contains(expected), "{expected} in\n{report}");
    }
    let drawings = folder.path("drawn");
    let json = good(&["mark", &plate, &answers, "--json", "--drawings", &drawings]);
    let report: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(report["marks"]["passed"], false);
    assert_eq!(report["marks"]["calls"][0]["outcome"], "hit");
    assert!(report["marks"]["caution"].as_str().unwrap().starts_with("Training only"));
    for name in ["top.svg", "side.svg", "end.svg"] {
        assert!(fs::read_to_string(Path::new(&drawings).join(name)).unwrap().starts_with("<svg"), "{name}");
    }
}

#[test]
fn answers_that_do_not_belong_or_are_none_are_refused() {
    let folder = Folder::new();
    let plate = scenario("th-03.toml");
    let other = folder.write("other.json", r#"{ "plate_id": "TH-07", "calls": [] }"#);
    assert!(
        bad(&["mark", &plate, &other]).contains("is for plate TH-07, but the plate file holds plate TH-03")
    );
    let broken = folder.write("broken.json", "{ \"calls\": [\n  { \"depth\": 3 } ] }");
    assert!(
        bad(&["mark", &plate, &broken])
            .contains("broken.json:2:11: not an answer sheet: unknown field `depth`")
    );
    let clean = folder.write("clean.json", r#"{ "no_recordable_indication": true }"#);
    assert!(good(&["mark", &plate, &clean]).contains("Passed: 100 of 100 points, 100 %"));
}

/// Reads shape and numbers of a .npy file of 32-bit floats by its published form (NumPy Enhancement Proposal 1).
fn npy(path: &Path) -> (Vec<usize>, Vec<f32>) {
    let bytes = fs::read(path).unwrap();
    assert_eq!(&bytes[..6], b"\x93NUMPY");
    let head = 10 + usize::from(u16::from_le_bytes([bytes[8], bytes[9]]));
    let header = text(&bytes[10..head]);
    assert!(header.contains("'descr': '<f4'") && header.contains("'fortran_order': False"), "{header}");
    let shape = header.split('(').nth(1).unwrap().split(')').next().unwrap();
    let shape = shape.split(',').filter_map(|part| part.trim().parse().ok()).collect();
    let numbers =
        bytes[head..].chunks_exact(4).map(|four| f32::from_le_bytes(four.try_into().unwrap())).collect();
    (shape, numbers)
}

#[test]
fn a_frame_shows_the_flaw_and_is_the_same_each_time() {
    let folder = Folder::new();
    let plate = scenario("th-07.toml");
    let frame = |name: &str, y: &str| -> PathBuf {
        let file = folder.path(name);
        good(&["frame", &plate, "--side", "A", "--offset", "31", "--y", y, "-o", &file]);
        PathBuf::from(file)
    };
    let (shape, on_flaw) = npy(&frame("flaw.npy", "130"));
    assert_eq!(shape.len(), 2);
    assert_eq!(shape[0], 61);
    assert_eq!(shape[0] * shape[1], on_flaw.len());
    assert!(on_flaw.iter().all(|value| (0.0..=200.0).contains(value)));
    assert!(on_flaw.iter().any(|&value| value > 20.0), "an echo stands on the screen");
    assert_eq!(fs::read(frame("again.npy", "130")).unwrap(), fs::read(folder.path("flaw.npy")).unwrap());
    assert_ne!(npy(&frame("beside.npy", "175")).1, on_flaw);
}

#[test]
fn a_frame_can_be_a_picture() {
    let folder = Folder::new();
    let plate = scenario("th-11.toml");
    let file = folder.path("frame.png");
    good(&["frame", &plate, "--side", "b", "--offset", "21", "--y", "87", "--gain", "46", "-o", &file]);
    let decoder = png::Decoder::new(std::io::BufReader::new(fs::File::open(&file).unwrap()));
    let mut reader = decoder.read_info().unwrap();
    let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
    let info = reader.next_frame(&mut pixels).unwrap();
    assert!(info.width >= 100 && info.height >= 100, "{} x {}", info.width, info.height);
    let seen = pixels.chunks_exact(4).filter(|pixel| pixel[3] == 255).count();
    assert!(seen > 1000, "{seen} pixels are not transparent");
}

#[test]
fn poses_and_outputs_that_make_no_sense_are_refused() {
    let plate = scenario("th-03.toml");
    let frame = |side, offset, y, file| {
        bad(&["frame", &plate, "--side", side, "--offset", offset, "--y", y, "-o", file])
    };
    assert!(frame("A", "15", "130", "frame.txt").contains("expected a name that ends in .npy or .png"));
    assert!(frame("C", "15", "130", "frame.npy").contains("invalid value 'C'"));
    assert!(frame("A", "900", "130", "frame.npy").contains("--offset is 900, expected -125 to 125 mm"));
    assert!(frame("A", "15", "-3", "frame.npy").contains("-3"));
    assert!(frame("A", "NaN", "130", "frame.npy").contains("--offset is NaN"));
}

#[test]
fn the_echoes_of_a_plate_are_told_from_each_side() {
    let report = good(&["plate", "echoes", &scenario("th-07.toml")]);
    assert!(
        report.starts_with("Plate TH-07, recording level -14.0 dB\nSlag line, 46.0–64.0 mm along the weld\n")
    );
    assert_eq!(report.matches("  side A: ").count(), 3);
    assert_eq!(report.matches("  side B: ").count(), 3);
    // A recording level that nothing reaches.
    let folder = Folder::new();
    let deaf = fs::read_to_string(scenario("th-07.toml")).unwrap();
    let deaf = deaf.replacen("recording_level_db = -14.0", "recording_level_db = 20.0", 1);
    let error = bad(&["plate", "echoes", &folder.write("deaf.toml", deaf)]);
    let lost = "not in scheme.below_recording_level: plate.flaw[0], plate.flaw[1] and plate.flaw[2]";
    assert!(error.contains(lost), "{error}");
}
