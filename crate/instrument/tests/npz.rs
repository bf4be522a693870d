//! Recordings as files: what is written comes back, nothing is told of the flaws, and bad files get a sentence.
#![allow(clippy::unwrap_used, reason = "a test may stop where something is missing")]

mod yard;

use std::io::{Cursor, Read, Write};

use instrument::pose::Side;
use instrument::recording::npz::{self, NpzError};
use instrument::recording::{Course, Recording};
use yard::{bench, course, procedure, record};
use zip::write::SimpleFileOptions;

/// Two short passes, one with missing lines.
fn recording() -> Recording {
    let mut bench = bench();
    let mut recording = Recording::new(&bench, &procedure(), "TH-00", 60.0);
    record(&mut recording, &mut bench, Course { lines: 3, start_mm: 22.0, ..course(Side::A) });
    let other = Course { lines: 4, start_mm: 20.5, step_mm: 2.0, skew_deg: -5.0, ..course(Side::B) };
    let pass = recording.begin(other).unwrap();
    bench.scan(&other.pose(2), 2);
    recording.take(pass, 2, &bench).unwrap();
    recording
}

fn written(recording: &Recording) -> Vec<u8> {
    let mut file = Cursor::new(Vec::new());
    npz::write(recording, &mut file).unwrap();
    file.into_inner()
}

/// The entries of a file.
fn entries(file: &[u8]) -> Vec<(String, Vec<u8>)> {
    let mut zip = zip::ZipArchive::new(Cursor::new(file)).unwrap();
    (0..zip.len())
        .map(|index| {
            let mut entry = zip.by_index(index).unwrap();
            let mut bytes = Vec::new();
            entry.read_to_end(&mut bytes).unwrap();
            (entry.name().unwrap().into_owned(), bytes)
        })
        .collect()
}

fn packed(entries: &[(String, Vec<u8>)]) -> Vec<u8> {
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in entries {
        zip.start_file(name.as_str(), SimpleFileOptions::default()).unwrap();
        zip.write_all(bytes).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

fn complaint(file: &[u8]) -> String {
    npz::read(Cursor::new(file)).map_or_else(|error| error.to_string(), |_| "no complaint".to_owned())
}

#[test]
fn what_is_written_comes_back() {
    let recording = recording();
    let file = written(&recording);
    let back = npz::read(Cursor::new(&file)).unwrap();
    assert_eq!(back.setting(), recording.setting());
    assert_eq!(back.passes().len(), 2);
    for (back, pass) in back.passes().iter().zip(recording.passes()) {
        assert_eq!(back.course(), pass.course());
        assert_eq!(back.missing(), pass.missing());
        for line in 0..pass.course().lines {
            assert_eq!(back.codes(line), pass.codes(line));
        }
    }
    assert_eq!(back.passes()[1].missing(), [0, 1, 3]);
    assert_eq!(written(&back), file);
}

#[test]
fn the_entries_are_those_of_the_layout() {
    let names: Vec<String> = entries(&written(&recording())).into_iter().map(|(name, _)| name).collect();
    let layout =
        std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/recording.md")).unwrap();
    for name in &names {
        let generic = name.replace("_0_", "_N_").replace("_1_", "_N_");
        assert!(layout.contains(&format!("`{generic}`")), "docs/recording.md names {generic}");
    }
    assert_eq!(names.len(), 10);
}

#[test]
fn damaged_files_get_a_sentence() {
    let good = entries(&written(&recording()));
    let with = |name: &str, change: &dyn Fn(&mut Vec<u8>)| {
        let mut changed = good.clone();
        change(&mut changed.iter_mut().find(|(entry, _)| entry == name).unwrap().1);
        complaint(&packed(&changed))
    };
    let text = |from: &'static str, to: &'static str| {
        with("metadata.json", &move |bytes| {
            let text = String::from_utf8(bytes.clone()).unwrap();
            assert!(text.contains(from), "{text}");
            *bytes = text.replacen(from, to, 1).into_bytes();
        })
    };
    for (message, expected) in [
        (complaint(b"PK but not really"), "not an .npz file: expected a zip archive"),
        (complaint(b""), "not an .npz file"),
        (complaint(&packed(&[])), "metadata.json: is missing, expected in every recording"),
        (complaint(&packed(&good[..4])), "beam_first_sample.npy: is missing"),
        (
            text("trialplate recording", "something else"),
            "metadata.json: form is Some(\"something else\"), expected",
        ),
        (text("\"version\": 1", "\"version\": 9"), "metadata.json: version is 9, expected 1"),
        (
            text("\"thickness_mm\": 25.0", "\"thickness_mm\": -25.0"),
            "setting.thickness_mm is -25, expected 1 to 1000",
        ),
        (text("\"thickness_mm\": 25.0", "\"thickness_mm\": 1e999"), "metadata.json: number out of range"),
        (text("\"step_deg\": 0.5", "\"step_deg\": 0.0"), "sector.step_deg is 0, expected 0.1 to 10 degrees"),
        (text("\"samples\": ", "\"samples\": 9"), "setting.samples is 9"),
        (text("\"lines\": 4", "\"lines\": 4000000000"), "pass 1: lines is 4000000000, expected 1 to 100000"),
        (text("\"lines\": 4", "\"lines\": 90000"), "pass 1: the recording would take"),
        (
            text("\"lines\": 4", "\"lines\": 5"),
            "pass_1_recorded.npy: holds |b1 of shape [4], expected |b1 of shape [5]",
        ),
        (text("\"step_db\": 0.375", "\"step_db\": 0.5"), "metadata.json: scale begins at"),
        (text("\"plate_id\"", "\"plate\""), "metadata.json: unknown field `plate`"),
        (
            with("beam_angle_deg.npy", &|b| {
                let at = b.len() - 2;
                b[at] ^= 0x7f;
            }),
            "beam_angle_deg.npy: beam 60 has",
        ),
        (
            with("percent_of_code.npy", &|b| {
                let at = b.len() - 1;
                b[at] = 0x7f;
            }),
            "percent_of_code.npy: code 255 is",
        ),
        (
            with("beam_first_sample.npy", &|b| {
                let at = b.len() - 3;
                b[at] ^= 0x10;
            }),
            "beam_first_sample.npy: beam 60 has",
        ),
        (
            with("pass_0_recorded.npy", &|b| *b.last_mut().unwrap() = 2),
            "pass_0_recorded.npy: line 2 is 2, expected 0 or 1",
        ),
        (
            with("pass_0_amplitude.npy", &|b| b.truncate(b.len() - 9)),
            "pass_0_amplitude.npy: ends or breaks in row 2 of 3",
        ),
        (
            with("pass_0_amplitude.npy", &|b| b.push(1)),
            "pass_0_amplitude.npy: goes on behind its last number",
        ),
        (with("pass_0_amplitude.npy", &|b| b[0] = 0), "pass_0_amplitude.npy: no NumPy array"),
        (with("pass_0_amplitude.npy", &|b| b[6] = 2), "array version 2, expected 1"),
        (with("pass_0_amplitude.npy", &|b| b.truncate(7)), "pass_0_amplitude.npy: no NumPy array"),
        (with("pass_0_amplitude.npy", &|b| b[9] = 255), "has a header of"),
        (with("pass_0_amplitude.npy", &|b| b[10..74].fill(b'(')), "has a header of a kind not expected here"),
        (with("pass_0_amplitude.npy", &|b| b[10..74].fill(b'7')), "has a header of a kind not expected here"),
    ] {
        assert!(message.contains(expected), "{message}\nexpected: {expected}");
        assert!(!message.contains('\n'), "{message}");
    }
}

#[test]
fn a_file_with_any_bit_wrong_is_read_or_refused_but_never_breaks() {
    let file = written(&recording());
    let mut refused = 0;
    for k in 0..400_usize {
        let mut damaged = file.clone();
        let at = k * 7919 % damaged.len();
        damaged[at] ^= 1 << (k % 8);
        refused += usize::from(npz::read(Cursor::new(&damaged)).is_err());
        let cut = &file[..k * 6007 % file.len()];
        assert!(matches!(npz::read(Cursor::new(cut)), Err(NpzError::NoArchive(_) | NpzError::Entry { .. })));
    }
    assert!(refused > 300, "{refused} of 400: checksums catch what is damaged");
}
