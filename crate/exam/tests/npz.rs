//! Recordings as files: what is written comes back, nothing is told of the flaws, and bad files get a sentence.
#![allow(clippy::unwrap_used, reason = "a test may stop where something is missing")]

#[path = "../../instrument/tests/yard/mod.rs"]
mod yard;

use std::io::{Cursor, Read, Write};

use exam::npz::{self, NpzError};
use instrument::pose::Side;
use instrument::recording::{Course, Recording};
use yard::{bench, course, procedure, record};
use zip::CompressionMethod;
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
    npz::write(recording).unwrap()
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

/// An archive by another library.
fn packed_by(entries: &[(String, Vec<u8>)], method: CompressionMethod) -> Vec<u8> {
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in entries {
        let options = SimpleFileOptions::default().compression_method(method);
        zip.start_file(name.as_str(), options).unwrap();
        zip.write_all(bytes).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

fn packed(entries: &[(String, Vec<u8>)]) -> Vec<u8> {
    packed_by(entries, CompressionMethod::Deflated)
}

fn complaint(file: &[u8]) -> String {
    npz::read(file).map_or_else(|error| error.to_string(), |_| "no complaint".to_owned())
}

#[test]
fn what_is_written_comes_back() {
    let recording = recording();
    let file = written(&recording);
    let back = npz::read(&file).unwrap();
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

/// The end of an archive that claims to have entries.
fn bare(count: u16) -> Vec<u8> {
    let count = count.to_le_bytes();
    [b"PK\x05\x06".as_slice(), &[0; 4], &count, &count, &[0; 10]].concat()
}

#[test]
fn archives_of_others_are_read_deflated_or_stored() {
    let recording = recording();
    let file = written(&recording);
    let stored = packed_by(&entries(&file), CompressionMethod::Stored);
    assert!(stored.len() > file.len());
    for other in [packed(&entries(&file)), stored] {
        assert_eq!(written(&npz::read(&other).unwrap()), file);
    }
    let mut twice = entries(&file);
    twice[5].0 = "metadata.jsom".to_owned();
    let twice = replaced(&packed(&twice), b"metadata.jsom", b"metadata.json");
    assert!(complaint(&twice).contains("it has metadata.json twice"));
}

fn replaced(bytes: &[u8], from: &[u8], to: &[u8]) -> Vec<u8> {
    let mut bytes = bytes.to_vec();
    let places: Vec<usize> = bytes
        .windows(from.len())
        .enumerate()
        .filter(|(_, window)| *window == from)
        .map(|(at, _)| at)
        .collect();
    for at in places {
        bytes[at..at + to.len()].copy_from_slice(to);
    }
    bytes
}

/// Written by NumPy 2.4 (`numpy.lib.format`, `zipfile`): the arrays of a recording without any line.
#[test]
fn a_file_that_numpy_wrote_is_read() {
    let file = include_bytes!("by-numpy.npz");
    let back = npz::read(file).unwrap();
    assert_eq!(back.passes()[0].missing(), [0, 1, 2]);
    let mut own = Recording::new(&bench(), &procedure(), "TH-00", 60.0);
    own.begin(Course { lines: 3, start_mm: 22.0, ..course(Side::A) }).unwrap();
    assert_eq!(back.setting(), own.setting());
}

#[test]
fn another_library_reads_the_arrays() {
    for (name, bytes) in entries(&written(&recording())).iter().filter(|(name, _)| name.ends_with(".npy")) {
        let file = npyz::NpyFile::new(bytes.as_slice()).unwrap();
        let (shape, descr) = (file.shape().to_vec(), file.dtype().descr());
        assert_eq!(file.order(), npyz::Order::C, "{name}");
        let header = 10 + usize::from(u16::from_le_bytes([bytes[8], bytes[9]]));
        assert_eq!(header % 64, 0, "{name}: the format wants the numbers on a multiple of 64");
        let width: u64 = descr.trim_matches('\'')[2..].parse().unwrap();
        assert_eq!(shape.iter().product::<u64>() * width, (bytes.len() - header) as u64, "{name}: {descr}");
    }
}

#[test]
fn a_text_beside_comes_back_and_is_limited() {
    let recording = recording();
    let file = npz::write_with(&recording, &[("note.txt", b"low water")]).unwrap();
    assert_eq!(npz::read_beside(&file, "note.txt", 9).unwrap(), Some(b"low water".to_vec()));
    assert_eq!(npz::read_beside(&file, "another.txt", 9).unwrap(), None);
    let long = npz::read_beside(&file, "note.txt", 8).unwrap_err().to_string();
    assert_eq!(long, "note.txt: is longer than 8 bytes, expected at most that");
    assert_eq!(written(&npz::read(&file).unwrap()), written(&recording));
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
        (complaint(&written(&recording())[..9000]), "its end is missing"),
        (complaint(&vec![0; npz::MOST_FILE_BYTES + 1]), "the file has 450 MB, expected at most 450 MB"),
        (complaint(&bare(301)), "it has 301 entries or more, expected at most 300"),
        (complaint(&bare(1)), "its list of entries breaks off at entry 0"),
        (complaint(&packed(&[])), "metadata.json: is missing, expected in every recording"),
        (complaint(&packed(&good[..4])), "beam_first_sample.npy: is missing"),
        (
            text("trialplate recording", "something else"),
            "metadata.json: form is Some(\"something else\"), expected",
        ),
        (text("\"version\":1", "\"version\":9"), "metadata.json: version is 9, expected 1"),
        (
            text("\"thickness_mm\":25.0", "\"thickness_mm\":-25.0"),
            "setting.thickness_mm is -25, expected 1 to 1000",
        ),
        (text("\"thickness_mm\":25.0", "\"thickness_mm\":1e999"), "metadata.json: number out of range"),
        (text("\"step_deg\":0.5", "\"step_deg\":0.0"), "sector.step_deg is 0, expected 0.1 to 10°"),
        (text("\"samples\":", "\"samples\":9"), "setting.samples is 9"),
        // A few bytes of zeros, packed, that would be spread over gigabytes.
        (
            with("metadata.json", &|bytes| {
                let mut metadata: serde_json::Value = serde_json::from_slice(bytes).unwrap();
                let setting = &mut metadata["setting"];
                setting["path_step_mm"] = 0.001.into();
                let range_mm = setting["range_mm"].as_f64().unwrap();
                setting["samples"] = ((range_mm / 0.001) as u32 + 1).into();
                *bytes = serde_json::to_vec(&metadata).unwrap();
            }),
            "metadata.json: a line has",
        ),
        (text("\"lines\":4", "\"lines\":4000000000"), "pass 1: lines is 4000000000, expected 1 to 100000"),
        (text("\"lines\":4", "\"lines\":90000"), "pass 1: the recording would take"),
        (
            text("\"lines\":4", "\"lines\":5"),
            "pass_1_recorded.npy: holds |b1 of shape [4], expected |b1 of shape [5]",
        ),
        (text("\"step_db\":0.375", "\"step_db\":0.5"), "metadata.json: scale begins at"),
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
        refused += usize::from(npz::read(&damaged).is_err());
        let cut = &file[..k * 6007 % file.len()];
        assert!(matches!(npz::read(cut), Err(NpzError::NoArchive(_) | NpzError::Entry { .. })));
    }
    assert!(refused > 300, "{refused} of 400: checksums catch what is damaged");
}
