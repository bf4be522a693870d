//! Ten thousand drawn plates, over all joints and levels: the same to the last byte natively and in wasm (tests/browser, the
//! first thousand with every run).

use std::fs;

use exam::paper::Paper;
use serde::{Deserialize, Serialize};

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Drawn {
    plates: u32,
    /// `digest:bytes`.
    digest: String,
}

#[test]
fn drawn_plates_have_not_changed() {
    let file = super::folder().join("tests/digests/drawn-plates.json");
    let text = fs::read_to_string(&file).expect("tests/digests/drawn-plates.json");
    let kept: Vec<Drawn> = serde_json::from_str(&text).expect("numbers of plates and their digests");
    assert_eq!(kept.iter().map(|drawn| drawn.plates).collect::<Vec<_>>(), [1_000, 10_000]);
    let made: Vec<_> = kept
        .iter()
        .map(|&Drawn { plates, .. }| Drawn { plates, digest: page::plates_digest(plates) })
        .collect();
    if std::env::var_os("TRIALPLATE_BLESS").is_some() {
        fs::write(file, serde_json::to_string_pretty(&made).expect("JSON") + "\n").expect("can be written");
        return;
    }
    assert_eq!(made, kept, "plates handed out by joint, level and seed must never change");
}

/// Form and values, with the standard procedure, of every eleventh: all joints and levels come round. The rest, and whether
/// flaws can be found, is for `exam`'s example `fair_plates`, which takes hours.
#[test]
fn the_files_of_drawn_plates_are_sound_and_read_as_written() {
    for n in (0..10_000).step_by(11) {
        let paper = exam::collection::paper(n);
        let text = paper.to_toml().expect("a plate has a TOML form");
        let read = Paper::parse("drawn", text.as_bytes());
        assert_eq!(read.map_err(|error| error.to_string()).as_ref(), Ok(&paper), "{}", paper.plate.id);
    }
}
