//! Plate files: what is read, and what is said about files that cannot be.

use proptest::prelude::*;
use specimen::file::{self, FileError};
use specimen::flaw::{FlawKind, Place};
use specimen::joint::{Bevel, Preparation, WeldSide};
use specimen::plate::Plate;

/// A file as it goes around: the plate is one of its tables.
#[derive(Debug, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct Paper {
    plate: Plate,
}

const GOOD: &str = r#"# Lock gate, heel post
[plate]
id = "TH-07"
title = "Lock gate, heel post"
seed = 7
thickness_mm = 20
length_mm = 300.0
width_mm = 250.0
grain_level_db = -46.0

[plate.joint]
preparation = "single-v"
groove_angle_deg = 60.0
root_face_mm = 1.5
root_gap_mm = 2.0
cap = { overlap_mm = 1.5, height_mm = 1.5, ripple_mm = 0.1 }
root_bead = { width_mm = 5.0, height_mm = 1.2, ripple_mm = 0.1 }

[[plate.flaw]]
kind = "lack-of-side-wall-fusion"
start_mm = 60.0
length_mm = 25.0
height_mm = 4.0
seed = 1
place = { bevel = { side = "B", depth_mm = 11.0 } }

[[plate.flaw]]
kind = "slag-line"
start_mm = 150.0
length_mm = 30.0
height_mm = 2.0
seed = 2
mandatory = false
place = { weld = { depth_mm = 6.0, offset_mm = -3.0 } }

[[plate.flaw]]
kind = "root-crack"
start_mm = 220.0
length_mm = 20.0
height_mm = 3.0
tilt_deg = 4.0
seed = 3
place = { root = { at = "toe-a" } }
"#;

fn read(text: &str) -> Result<Paper, FileError> {
    file::read("plates/th-07.toml", text.as_bytes())
}

/// The message about the good file with one piece of text exchanged.
fn message(from: &str, to: &str) -> String {
    assert_eq!(GOOD.matches(from).count(), 1, "{from:?} must be in the file once");
    let text = GOOD.replacen(from, to, 1);
    match read(&text) {
        Err(error) => error.to_string(),
        Ok(paper) => {
            let complaints = paper.plate.check();
            assert!(!complaints.is_empty(), "nobody minds {to:?}");
            FileError::from_complaints("plates/th-07.toml", text.as_bytes(), &complaints).to_string()
        }
    }
}

#[test]
fn a_hand_written_file_is_read() {
    let plate = read(GOOD).unwrap().plate;
    assert_eq!(plate.check(), []);
    assert_eq!(plate.thickness_mm, 20.0);
    assert_eq!(plate.joint.preparation, Preparation::SingleV);
    assert_eq!(plate.solid, acoustics::material::Solid::STEEL);
    assert_eq!(plate.flaws[0].place, Place::Bevel { side: WeldSide::B, bevel: Bevel::Upper, depth_mm: 11.0 });
    assert!(plate.flaws[0].mandatory && !plate.flaws[1].mandatory);
    let extent = plate.flaws[0].extent(&plate);
    assert_eq!(extent.along_mm, [60.0, 85.0]);
    assert_eq!(extent.depth_mm, [9.0, 13.0]);
    assert_eq!(plate.flaws[2].extent(&plate).depth_mm, [17.0, 20.0]);
}

#[test]
fn writing_and_reading_give_the_same_plate() {
    let paper = read(GOOD).unwrap();
    let text = file::write(&paper).unwrap();
    let again = read(&text).unwrap();
    assert_eq!(again, paper);
    assert_eq!(file::write(&again).unwrap(), text);
    assert!(text.contains("[plate.joint]") && text.contains("[[plate.flaw]]"), "{text}");
}

#[test]
fn marks_of_other_editors_are_read() {
    assert_eq!(read(&format!("\u{feff}{GOOD}")).unwrap(), read(GOOD).unwrap());
    assert_eq!(read(&GOOD.replace('\n', "\r\n")).unwrap(), read(GOOD).unwrap());
}

#[test]
fn kinds_have_words_and_numbers() {
    for kind in FlawKind::ALL {
        assert!(!kind.words().is_empty() && kind.iso_6520_number() > 100);
    }
    let planar = FlawKind::ALL.iter().filter(|kind| kind.is_planar()).count();
    assert_eq!(planar, 8);
}

#[test]
fn wrong_units_are_explained() {
    assert_eq!(
        message("thickness_mm = 20", "thickness_in = 0.8"),
        "plates/th-07.toml:6:1: plate.thickness_in: unknown key `thickness_in`, expected `thickness_mm` in millimetres"
    );
    assert_eq!(
        message("thickness_mm = 20", "thickness = 20"),
        "plates/th-07.toml:6:1: plate.thickness: unknown key `thickness`, expected `thickness_mm`: a key names its unit, here millimetres"
    );
    assert_eq!(
        message("thickness_mm = 20", "thickness_mm = \"20 mm\""),
        r#"plates/th-07.toml:6:16: plate.thickness_mm: the text "20 mm" in quotes, expected a bare number of millimetres (the key names the unit): thickness_mm = 20"#
    );
    assert_eq!(
        message("thickness_mm = 20", "thickness_mm = \"0.8 in\""),
        r#"plates/th-07.toml:6:16: plate.thickness_mm: the text "0.8 in" in quotes, expected a bare number of millimetres (the key names the unit)"#
    );
    assert_eq!(
        message("depth_mm = 11.0", "depth_mm = \"deep\""),
        r#"plates/th-07.toml:25:44: plate.flaw[0].place.bevel.depth_mm: the text "deep" in quotes, expected a bare number of millimetres (the key names the unit)"#
    );
}

#[test]
fn wrong_words_and_keys_are_explained() {
    assert_eq!(
        message("\"slag-line\"", "\"slagline\""),
        r#"plates/th-07.toml:28:8: plate.flaw[1].kind: unknown word "slagline", expected "slag-line" or another of lack-of-side-wall-fusion, lack-of-inter-run-fusion, lack-of-root-fusion, incomplete-penetration, centreline-crack, transverse-crack, root-crack, toe-crack, slag-line, slag-inclusion, single-pore, pore-cluster, pore-line"#
    );
    assert_eq!(
        message("\"single-v\"", "\"u\""),
        r#"plates/th-07.toml:12:15: plate.joint.preparation: unknown word "u", expected one of single-v, double-v, single-bevel, double-bevel, single-j, square, none"#
    );
    assert_eq!(
        message("{ root =", "{ foot ="),
        r#"plates/th-07.toml:43:11: plate.flaw[2].place.foot: unknown word "foot", expected "root" or another of bevel, weld, root, run, toe"#
    );
    assert_eq!(
        message("tilt_deg = 4.0", "lean_deg = 4.0"),
        "plates/th-07.toml:41:1: plate.flaw[2].lean_deg: unknown key `lean_deg`, expected one of kind, start_mm, length_mm, height_mm, width_mm, tilt_deg, branches, roughness_ratio, seed, mandatory, place"
    );
    assert_eq!(
        message("id = \"TH-07\"\n", ""),
        "plates/th-07.toml:2:1: plate: the key `id` is missing, expected it in this table"
    );
    assert_eq!(
        message("seed = 7", "seed = -7"),
        "plates/th-07.toml:5:8: plate.seed: integer `-7`, expected a whole number, 0 or more"
    );
    assert_eq!(
        message("seed = 7", "seed = 7.5"),
        "plates/th-07.toml:5:8: plate.seed: floating point `7.5`, expected a whole number, 0 or more"
    );
    assert_eq!(
        message("# Lock gate, heel post", "colour = 3"),
        "plates/th-07.toml:1:1: colour: unknown key `colour`, expected one of plate"
    );
}

#[test]
fn text_that_is_no_toml_is_explained_with_all_its_places() {
    assert_eq!(
        message("thickness_mm = 20", "thickness_mm = 20 mm"),
        "plates/th-07.toml:6:16: `20 mm` is no number, expected the bare number: keys name their units"
    );
    assert_eq!(
        message("side = \"B\"", "side = B"),
        "plates/th-07.toml:25:28: `B` without quotes, expected text in quotes"
    );
    assert_eq!(
        message("seed = 7", "seed = 7\nseed = 8"),
        "plates/th-07.toml:6:1: `seed` stands here again, expected every key once"
    );
    let two = GOOD.replace("length_mm = 300.0", "length_mm =").replace("side = \"B\"", "side = B");
    assert_eq!(
        read(&two).unwrap_err().to_string(),
        "plates/th-07.toml:7:12: no value here, expected one after the `=`
plates/th-07.toml:25:28: `B` without quotes, expected text in quotes"
    );
}

#[test]
fn plates_that_cannot_be_are_explained() {
    assert_eq!(
        message("thickness_mm = 20", "thickness_mm = 0.8"),
        "plates/th-07.toml:6: plate.thickness_mm: 0.8 mm is out of range, expected 5 to 60 mm"
    );
    assert_eq!(
        message("thickness_mm = 20", "thickness_mm = nan"),
        "plates/th-07.toml:6: plate.thickness_mm: NaN mm is out of range, expected 5 to 60 mm"
    );
    assert_eq!(
        message("start_mm = 220.0", "start_mm = 290.0"),
        "plates/th-07.toml:39: plate.flaw[2].length_mm: 20 mm from 290 mm ends at 310 mm, outside the plate, expected at most 10 mm"
    );
    assert_eq!(
        message("start_mm = 220.0", "start_mm = -5.0"),
        "plates/th-07.toml:38: plate.flaw[2].start_mm: -5 mm is out of range, expected 0 to 300 mm"
    );
    assert_eq!(
        message("offset_mm = -3.0", "offset_mm = -12.0"),
        "plates/th-07.toml:34: plate.flaw[1].place.weld.offset_mm: the flaw reaches 13.0 mm from the centreline on side A where there is room for 8.1 mm (at 7.0 mm depth), expected it inside the weld"
    );
    assert_eq!(
        message("depth_mm = 6.0", "depth_mm = 1.0"),
        "plates/th-07.toml:34: plate.flaw[1].place.weld.depth_mm: 1 mm is out of range, expected 1.5 to 18.5 mm"
    );
    assert_eq!(
        message("depth_mm = 11.0", "depth_mm = 17.5"),
        "plates/th-07.toml:25: plate.flaw[0].place.bevel.depth_mm: 17.5 mm is out of range, expected 2.5 to 16.5 mm"
    );
    assert_eq!(
        message("depth_mm = 11.0", "bevel = \"lower\", depth_mm = 11.0"),
        r#"plates/th-07.toml:25: plate.flaw[0].place.bevel.bevel: a single V has no lower bevel, expected "upper""#
    );
    assert_eq!(
        message("{ root = { at = \"toe-a\" } }", "{ weld = { depth_mm = 9.0, offset_mm = 0.0 } }"),
        "plates/th-07.toml:43: plate.flaw[2].place: root crack lies at the root, expected place.root"
    );
    assert_eq!(
        message("\"toe-a\"", "\"centre\""),
        r#"plates/th-07.toml:43: plate.flaw[2].place.root.at: the root bead covers the centre, expected "toe-a" or "toe-b""#
    );
    assert_eq!(
        message("width_mm = 250.0", "width_mm = 61.0"),
        "plates/th-07.toml:8: plate.width_mm: 61 mm leaves no room for a probe beside the weld, expected at least 66.362 mm"
    );
    assert_eq!(
        message("ripple_mm = 0.1 }\nroot_bead", "ripple_mm = 9.0 }\nroot_bead"),
        "plates/th-07.toml:16: plate.joint.cap.ripple_mm: 9 mm is out of range, expected 0 to 0.75 mm"
    );
    assert_eq!(
        message("\"single-v\"", "\"double-v\""),
        "plates/th-07.toml:17: plate.joint.root_bead: a double V has no root bead, expected none"
    );
}

#[test]
fn files_that_are_no_text_are_explained() {
    let said = |bytes: &[u8]| file::read::<Paper>("x.toml", bytes).unwrap_err().to_string();
    assert_eq!(said(b""), "x.toml: the file is empty; expected TOML text");
    assert_eq!(said(b" \n\n"), "x.toml: the file is empty; expected TOML text");
    assert_eq!(
        said(&vec![0; 2_000_000]),
        "x.toml: the file has 2000000 bytes; expected at most 1000000, so this is probably another kind of file"
    );
    assert_eq!(
        said(b"[plate]\nid = \"\xff\xfe\"\n"),
        "x.toml:2: bytes that are no UTF-8 text; expected the file to be saved as UTF-8"
    );
    assert_eq!(
        said(&[0; 64]).lines().next().unwrap(),
        "x.toml:1:1: not TOML here: invalid unquoted key, expected letters, numbers, `-`, `_`"
    );
}

#[test]
fn deep_nesting_is_an_error_and_no_crash() {
    for text in ["a = ".to_owned() + &"[".repeat(900_000), "a = ".to_owned() + &"{ a = ".repeat(100_000)] {
        let said = read(&text).unwrap_err().to_string();
        assert!(said.lines().next().unwrap().starts_with("plates/th-07.toml:1:"), "{said}");
        assert!(said.len() < 10_000, "{} characters", said.len());
    }
    let dotted = "a".to_owned() + &".a".repeat(400_000) + " = 1";
    assert!(read(&dotted).is_err());
    let closed = format!("a = {}{}", "[".repeat(400_000), "]".repeat(400_000));
    assert!(read(&closed).is_err());
}

#[test]
fn paths_have_lines() {
    let line = |path: &str| file::line_of(GOOD.as_bytes(), path);
    assert_eq!(line("plate"), Some(2));
    assert_eq!(line("plate.thickness_mm"), Some(6));
    assert_eq!(line("plate.joint.cap.height_mm"), Some(16));
    assert_eq!(line("plate.flaw[1].length_mm"), Some(30));
    assert_eq!(line("plate.flaw[2]"), Some(36));
    assert_eq!(line("plate.flaw[1].width_mm"), Some(27), "an absent key is sought at its table");
    assert_eq!(line("plate.flaw[9].width_mm"), Some(19));
    assert_eq!(line("scheme"), None);
    assert_eq!(file::line_of(b"\xff", "plate"), None);
}

/// Reads, checks and, where nothing is wrong, uses a file.
fn use_up(bytes: &[u8]) -> Result<(), TestCaseError> {
    let problems = match file::read::<Paper>("x.toml", bytes) {
        Err(error) => error.problems,
        Ok(Paper { plate }) => {
            let complaints = plate.check();
            if complaints.is_empty() {
                prop_assert!(plate.flaws.iter().all(|flaw| flaw.extent(&plate).along_mm[1] > 0.0));
                return Ok(());
            }
            FileError::from_complaints("x.toml", bytes, &complaints).problems
        }
    };
    prop_assert!(!problems.is_empty());
    let last = bytes.iter().filter(|&&byte| byte == b'\n').count() as u32 + 1;
    for problem in problems {
        prop_assert!(
            !problem.message.is_empty() && problem.line.is_none_or(|line| (1..=last).contains(&line))
        );
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_file_makes_it_panic(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        use_up(&bytes)?;
    }

    #[test]
    fn no_change_to_a_file_makes_it_panic(at in 0..GOOD.len(), gone in 0_usize..12, new in "[-0-9.a-z_\"{}\\[\\]=\n ]{0,6}") {
        let mut text = GOOD.as_bytes().to_vec();
        text.splice(at..(at + gone).min(GOOD.len()), new.bytes());
        use_up(&text)?;
    }

    #[test]
    fn no_number_makes_it_panic(which in 0_usize..40, value in prop_oneof![
        any::<f64>(), -50.0..400.0, Just(0.0), Just(1e300), Just(-0.0), Just(f64::NAN), Just(f64::INFINITY),
    ]) {
        let mut lines: Vec<String> = GOOD.lines().map(str::to_owned).collect();
        let numbers: Vec<usize> = (0..lines.len()).filter(|&i| lines[i].contains("_mm = ") || lines[i].contains("_deg = ")).collect();
        let line = &mut lines[numbers[which % numbers.len()]];
        let key = line.rfind(" = ").unwrap_or(0);
        let closing = line[key..].matches('}').count();
        *line = format!("{} = {}{}", &line[..key], float(value), " }".repeat(closing));
        use_up(lines.join("\n").as_bytes())?;
    }
}

/// A number as TOML writes it.
fn float(value: f64) -> String {
    if value.is_nan() { "nan".to_owned() } else { format!("{value:?}") }
}
