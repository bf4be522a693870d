//! A recorded scan from the command line.
#![expect(clippy::unwrap_used, reason = "a test fails by a panic")]

use std::fs::{self, File};
use std::io::{Cursor, Read};
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use exam::npz;
use instrument::recording::{PlateView, Projection, Recording, Selection};

fn trialplate(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_trialplate")).arg("scan").args(arguments).output().unwrap()
}

fn good(arguments: &[&str]) {
    let output = trialplate(arguments);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
}

fn bad(arguments: &[&str]) -> String {
    let output = trialplate(arguments);
    let error = String::from_utf8(output.stderr).unwrap();
    assert!(matches!(output.status.code(), Some(1 | 2)) && !error.contains("panicked"), "{error}");
    error
}

fn scenario(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenarios/plates").join(name)
}

fn text_of(path: &Path) -> String {
    path.to_str().unwrap().to_owned()
}

fn recording(path: &Path) -> Recording {
    npz::read(&fs::read(path).unwrap()).unwrap()
}

#[test]
fn any_number_of_cores_makes_the_same_file_and_flaws_stand_in_their_places() {
    let folder = tempfile::tempdir().unwrap();
    let plate = text_of(&scenario("th-07.toml"));
    let scan = |cores: &str| {
        let file = folder.path().join(format!("{cores}.npz"));
        let span =
            ["--from", "110", "--to", "150", "--index-offset", "15,31", "--side", "A,B", "--cores", cores];
        good(&[&[plate.as_str(), "-o", &text_of(&file)], &span[..]].concat());
        file
    };
    let files = ["1", "2", "5"].map(scan);
    let bytes = fs::read(&files[0]).unwrap();
    assert!(files[1..].iter().all(|file| fs::read(file).unwrap() == bytes));

    let recording = recording(&files[0]);
    assert_eq!(recording.passes().len(), 4);
    assert!(recording.passes().iter().all(|pass| pass.missing().is_empty() && pass.course().lines == 41));
    // Lack of fusion on the bevel of side A, 118 to 142 mm, middle 10.5 mm deep, from side A in the second leg.
    let groove = Selection {
        leg: Some(2),
        pass: Some(1),
        offset_mm: Some([-12.0, 0.0]),
        depth_mm: Some([4.0, 17.0]),
        ..Selection::default()
    };
    let view = PlateView::new(&recording, Projection::Side, groove).unwrap();
    let [column, row] = view.highest().unwrap();
    let place = view.place(&recording, column, row).unwrap();
    assert!((117.0..143.0).contains(&place.y_mm), "{place:?}");
    assert!((8.0..13.0).contains(&place.depth_mm) && (-9.0..-2.0).contains(&place.offset_mm), "{place:?}");
    assert!(place.amplitude_db.unwrap() > -14.0, "{place:?}");
}

/// All entries of an archive but the amplitudes.
fn all_but_echoes(file: &Path) -> Vec<(String, Vec<u8>)> {
    let mut zip = zip::ZipArchive::new(Cursor::new(fs::read(file).unwrap())).unwrap();
    let mut entries = Vec::new();
    for index in 0..zip.len() {
        let mut entry = zip.by_index(index).unwrap();
        let name = entry.name().unwrap().into_owned();
        let mut bytes = Vec::new();
        entry.read_to_end(&mut bytes).unwrap();
        if !name.ends_with("_amplitude.npy") {
            entries.push((name, bytes));
        }
    }
    entries
}

#[test]
fn nothing_but_the_echoes_depends_on_what_is_in_the_plate() {
    let folder = tempfile::tempdir().unwrap();
    let text = fs::read_to_string(scenario("th-07.toml")).unwrap();
    let span = ["--from", "118", "--to", "119"];
    let scan = |name: &str, text: &str| {
        let plate = folder.path().join(format!("{name}.toml"));
        let file = folder.path().join(format!("{name}.npz"));
        fs::write(&plate, text).unwrap();
        good(&[&[text_of(&plate).as_str(), "-o", &text_of(&file)], &span[..]].concat());
        file
    };
    let before = scan("with", &text);
    // Without its flaws, with another seed.
    let flaws = text.find("# Slag left between runs").unwrap()..text.find("[procedure]").unwrap();
    let mut clean = text.clone();
    clean.replace_range(flaws, "");
    let clean = clean.replacen("seed = 20070", "seed = 5", 1);
    let after = scan("without", &clean);
    assert_ne!(fs::read(&before).unwrap(), fs::read(&after).unwrap(), "the echoes differ");
    let entries = all_but_echoes(&before);
    assert_eq!(entries, all_but_echoes(&after));
    assert!(entries.len() > 6);
    for (name, bytes) in entries {
        let readable = String::from_utf8_lossy(&bytes);
        for word in ["slag", "fusion", "crack", "pore", "penetration", "flaw", "seed", "20070", "kind"] {
            assert!(!readable.contains(word), "{name} says {word}");
        }
    }
}

/// What no beam reaches leaves no trace at all: no count, no digest of the plate, no noise drawn from its flaws. One exception:
/// a root that is not fused breaks the root bead, and the pieces of a broken bead ripple otherwise than the whole one.
#[test]
fn a_flaw_that_no_beam_reaches_leaves_no_trace() {
    let folder = tempfile::tempdir().unwrap();
    let text = fs::read_to_string(scenario("th-07.toml")).unwrap();
    // The root crack at 212 to 232 mm; the scan is over at 41 mm.
    let crack = text.find("# A crack up from the root toe").unwrap()..text.find("[procedure]").unwrap();
    let mut without = text.clone();
    without.replace_range(crack, "");
    let another = text.replacen("height_mm = 3.2", "height_mm = 5.0", 1).replacen("seed = 73", "seed = 7", 1);
    assert_ne!(another, text);
    let near = text.replacen("start_mm = 212.0", "start_mm = 25.0", 1);
    let bytes = |name: &str, text: &str| {
        let plate = folder.path().join("plate.toml");
        let file = folder.path().join(format!("{name}.npz"));
        fs::write(&plate, text).unwrap();
        good(&[&text_of(&plate), "-o", &text_of(&file), "--from", "40", "--to", "41"]);
        fs::read(&file).unwrap()
    };
    let whole = bytes("whole", &text);
    assert_eq!(whole, bytes("without", &without));
    assert_eq!(whole, bytes("another", &another));
    assert_ne!(whole, bytes("near", &near), "a flaw in the beam is heard");
}

#[test]
fn a_scan_can_be_drawn_from_three_sides() {
    let folder = tempfile::tempdir().unwrap();
    let plate = text_of(&scenario("th-07.toml"));
    for view in ["top", "side", "end"] {
        let file = folder.path().join(format!("{view}.png"));
        good(&[&plate, "--from", "125", "--to", "134", "--picture", view, "-o", &text_of(&file)]);
        let decoder = png::Decoder::new(std::io::BufReader::new(File::open(&file).unwrap()));
        let mut reader = decoder.read_info().unwrap();
        let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
        let info = reader.next_frame(&mut pixels).unwrap();
        // 10 lines; 60 mm across by 0.5 mm; 20 mm deep by 0.25 mm.
        let expected = match view {
            "top" => (10, 120),
            "side" => (10, 80),
            _ => (120, 80),
        };
        assert_eq!((info.width, info.height), expected, "{view}");
        let seen = pixels.chunks_exact(4).filter(|pixel| pixel[3] == 255).count();
        assert!(seen * 10 > pixels.len() / 4 * 9, "{view}: {seen} pixels");
    }
}

#[test]
fn arguments_that_make_no_sense_are_refused() {
    let plate = text_of(&scenario("th-07.toml"));
    for (arguments, expected) in [
        (&["-o", "x.npy"][..], "x.npy: expected a name that ends in .npz"),
        (&["-o", "x.npz", "--picture", "top"], "x.npz: expected a name that ends in .png"),
        (&["-o", "x.npz", "--step", "0"], "--step is 0, expected 0.1 to 100 mm"),
        (&["-o", "x.npz", "--step", "NaN"], "--step is NaN"),
        (&["-o", "x.npz", "--from", "-1"], "-1"),
        (&["-o", "x.npz", "--from", "200", "--to", "100"], "--to is 100, expected 200 to 300 mm"),
        (&["-o", "x.npz", "--index-offset", "15,900"], "--index-offset is 900, expected -125 to 125 mm"),
        (&["-o", "x.npz", "--side", "C"], "invalid value 'C'"),
        (&["-o", "x.npz", "--cores", "0"], "invalid value '0'"),
        (&["-o", "x.npz", "--step", "0.1", "--index-offset", "15,20,25,30"], "at most 400 MB are kept"),
    ] {
        let error = bad(&[&[plate.as_str()], arguments].concat());
        assert!(error.contains(expected), "{error}\nexpected: {expected}");
    }
}
