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
    let checked = good(&["plate", "check", &file]);
    assert!(checked.contains("new.toml: sound. Plate tern-harbour-single-v-1-4711"), "{checked}");
    assert!(checked.ends_with("Can be sat fairly.\n"), "{checked}");
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
fn the_echoes_of_a_plate_are_told_by_side_and_leg() {
    let plate = scenario("th-07.toml");
    let report = good(&["plate", "check", &plate]);
    assert!(report.contains("Recording level −14.0 dB; grain reaches −"), "{report}");
    assert!(report.contains("Flaw 1: Slag line, 46.0–64.0 mm along the weld, mandatory"), "{report}");
    let json: serde_json::Value = serde_json::from_str(&good(&["plate", "check", &plate, "--json"])).unwrap();
    let table = &json[0];
    assert_eq!((&table["plate_id"], &table["fair"]), (&"TH-07".into(), &true.into()));
    // The lack of fusion on side A's bevel: square to the 60° beam in the second leg from there, and from there alone.
    let flaw = &table["flaws"][1];
    let rows = flaw["rows"].as_array().unwrap();
    let height = |side: &str| {
        let of_side = rows.iter().filter(|row| row["side"] == side);
        of_side.max_by(|a, b| {
            a["amplitude_db"].as_f64().unwrap().total_cmp(&b["amplitude_db"].as_f64().unwrap())
        })
    };
    let (a, b) = (height("A").unwrap(), height("B").unwrap());
    assert_eq!((&a["leg"], &a["standing"]), (&2.into(), &"clear".into()), "{a}");
    assert!((a["angle_deg"].as_f64().unwrap() - 60.0).abs() <= 2.0, "{a}");
    assert!(a["amplitude_db"].as_f64().unwrap() >= b["amplitude_db"].as_f64().unwrap() + 9.0, "{a} {b}");
    for row in rows {
        assert!(row["noise_db"].as_f64().unwrap() < -20.0, "{row}");
    }
    // Nobody looks at the echoes of a file that is only read.
    assert!(!good(&["plate", "check", "--form", &plate]).contains("Recording level"));
}

#[test]
fn plates_that_cannot_be_sat_fairly_are_refused_with_the_reason() {
    let folder = Folder::new();
    let original = fs::read_to_string(scenario("th-07.toml")).unwrap();
    let refused = |name: &str, from: &str, to: &str| {
        assert!(original.contains(from), "{from}");
        let output = trialplate(&["plate", "check", &folder.write(name, original.replacen(from, to, 1))]);
        assert_eq!(output.status.code(), Some(2), "{name}");
        assert!(text(&output.stdout).contains("Cannot be sat fairly."), "{name}");
        text(&output.stderr)
    };
    let deaf = refused("deaf.toml", "recording_level_db = -14.0", "recording_level_db = 20.0");
    for index in 0..3 {
        assert!(deaf.contains(&format!("plate.flaw[{index}]")), "{deaf}");
    }
    assert!(deaf.contains("below the recording level everywhere"), "{deaf}");
    let grain = refused("grain.toml", "grain_level_db = -38.0", "grain_level_db = -14.0");
    assert!(grain.contains("plate.grain_level_db: grain alone reaches"), "{grain}");
    let listed =
        refused("listed.toml", "pass_percent = 70.0", "pass_percent = 70.0\nbelow_recording_level = [1]");
    assert!(listed.contains("lists plate.flaw[1] (lack of side-wall fusion), but it reaches"), "{listed}");
}

/// Names and contents of a folder.
fn contents(folder: &str) -> Vec<(String, Vec<u8>)> {
    let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap());
    let mut all: Vec<_> = entries
        .map(|entry| (entry.file_name().into_string().unwrap(), fs::read(entry.path()).unwrap()))
        .collect();
    all.sort();
    all
}

#[test]
fn shards_of_a_batch_together_write_what_one_run_writes() {
    let folder = Folder::new();
    let batch = |shard: &str, to: &str| {
        let (fixed, to) = (["plate", "batch", "--joint", "single-v", "--level", "2"], folder.path(to));
        good(&[&fixed[..], &["--count", "5", "--first-seed", "70", "--shard", shard, "-o", &to]].concat());
        to
    };
    let whole = batch("1/1", "whole");
    batch("2/3", "shards");
    batch("3/3", "shards");
    assert!(!Path::new(&folder.path("shards/manifest.json")).exists(), "two shards of three are not all");
    let shards = batch("1/3", "shards");
    let (whole, shards) = (contents(&whole), contents(&shards));
    assert_eq!(whole.len(), 11, "five plates, five entries and the manifest, nothing half written");
    assert!(whole == shards, "{:?}", shards.iter().map(|file| &file.0).collect::<Vec<_>>());
    let manifest: serde_json::Value = serde_json::from_slice(&whole[0].1).unwrap();
    assert_eq!(whole[0].0, "manifest.json");
    assert_eq!(manifest["plates"].as_array().unwrap().len(), 5);
    assert_eq!(manifest["plates"][4]["seed"], 74);
    let file = folder.path("shards/single-v-2-74.toml");
    let alone = good(&["plate", "new", "--joint", "single-v", "--level", "2", "--seed", "74"]);
    assert_eq!(fs::read_to_string(file).unwrap(), alone);
}

#[test]
fn shards_that_are_none_and_folders_that_cannot_be_are_refused() {
    let folder = Folder::new();
    let batch = |shard: &str, to: &str| {
        let fixed = ["plate", "batch", "--joint", "square", "--level", "1", "--count", "1"];
        bad(&[&fixed[..], &["--first-seed", "1", "--shard", shard, "-o", to]].concat())
    };
    for wrong in ["0/2", "3/2", "1", "a/b"] {
        assert!(batch(wrong, &folder.path("out")).contains("expected i/n with i from 1 to n"), "{wrong}");
    }
    let file = folder.write("file", "");
    assert!(batch("1/1", &file).contains("cannot be written"));
}
