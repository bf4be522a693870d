//! Twenty-one golden frames: the same bits natively (here; by the code of the tests and by released code), in Node and in
//! Chromium (tests/browser), today and for ever.
//!
//! The frames are made through the page's own Bench, so that all three run the very same code.

mod drawn_plates;
mod fair_plates;

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use page::bench::Bench;
use serde::{Deserialize, Serialize};

const FRAMES: usize = 21;

/// One frame and what came out of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Golden {
    /// Plate file, from the root of the tree.
    plate: String,
    /// Face the probe stands on: "upper" or "lower".
    face: String,
    side: String,
    index_offset_mm: f64,
    y_mm: f64,
    skew_deg: f64,
    gain_db: f64,
    /// Size of the frame, apart from its digest: tells another shape from other values.
    beams: usize,
    samples: usize,
    digest: String,
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn file() -> PathBuf {
    folder().join("tests/digests/golden.json")
}

fn golden() -> Vec<Golden> {
    let text = fs::read_to_string(file()).expect("tests/digests/golden.json");
    serde_json::from_str(&text).expect("a list of golden frames")
}

/// Computes a frame anew, on a bench of its own: the first frame of a session.
fn made(asked: &Golden) -> Golden {
    let path = folder().join(&asked.plate);
    let bytes = fs::read(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    let mut bench = done(Bench::from_paper(&asked.plate, &bytes));
    done(bench.set_pose(0.0, &asked.side, asked.index_offset_mm, asked.y_mm, asked.skew_deg));
    done(bench.set_gain_db(0.0, asked.gain_db));
    if asked.face != "upper" {
        // The page has no control for the lower face, a session's log has.
        let log = done(bench.log());
        let turned = log.replace(r#""face":"upper""#, &format!(r#""face":"{}""#, asked.face));
        assert_ne!(log, turned, "the log names the face");
        done(bench.restore(&turned));
    }
    bench.frame();
    bench.take_trace();
    let about: serde_json::Value = serde_json::from_str(&done(bench.about())).expect("JSON");
    let beams = about["beams"].as_array().expect("a list of beams").len();
    Golden { beams, samples: bench.trace_length(), digest: bench.digest(), ..asked.clone() }
}

/// The value of a step of the bench. Its errors are JavaScript's, which cannot be made or printed natively.
fn done<T, E>(result: Result<T, E>) -> T {
    result.unwrap_or_else(|_| panic!("the bench refused a golden frame"))
}

#[test]
fn frames_have_not_changed() {
    let golden = golden();
    assert_eq!(golden.len(), FRAMES);
    let made: Vec<Golden> = golden.iter().map(made).collect();
    if std::env::var_os("TRIALPLATE_BLESS").is_some() {
        let text = serde_json::to_string_pretty(&made).expect("JSON") + "\n";
        fs::write(file(), text).expect("golden.json can be written");
        return;
    }
    assert_eq!(made, golden, "if frames are meant to change: cargo xtask bless");
}

#[test]
fn no_two_frames_are_alike() {
    let mut digests: Vec<String> = golden().into_iter().map(|frame| frame.digest).collect();
    digests.sort();
    digests.dedup();
    assert_eq!(digests.len(), FRAMES);
}

/// What the frames are to differ in.
#[test]
fn the_frames_are_of_many_kinds() {
    let golden = golden();
    let kinds = |of: fn(&Golden) -> String| golden.iter().map(of).collect::<BTreeSet<_>>().len();
    assert!(kinds(|frame| frame.plate.clone()) >= 8, "plates, each with its own noise");
    assert!(kinds(|frame| frame.skew_deg.to_string()) >= 6, "skews");
    assert_eq!(kinds(|frame| format!("{} {}", frame.face, frame.side)), 4, "both sides on both faces");
    assert!(kinds(|frame| format!("{} {}", frame.beams, frame.samples)) >= 6, "sizes, by probe and range");
}

#[test]
fn the_digest_notices_a_tenth_of_a_millimetre() {
    let frame = golden().into_iter().next().expect("a frame");
    let moved = Golden { y_mm: frame.y_mm + 0.1, ..frame.clone() };
    assert_ne!(made(&moved).digest, frame.digest);
}

#[test]
fn the_digest_notices_the_face() {
    let frame = golden().into_iter().find(|frame| frame.face == "lower").expect("a frame on the lower face");
    let turned = Golden { face: "upper".to_owned(), ..frame.clone() };
    assert_ne!(made(&turned).digest, frame.digest);
}
