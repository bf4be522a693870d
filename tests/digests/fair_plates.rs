//! Drawn plates made fair: what in them counts follows from their echoes, and that is the same natively and in wasm
//! (tests/browser), too.

use std::fs;

use exam::paper::Paper;
use serde::{Deserialize, Serialize};
use specimen::generator::Design;

/// One plate, one of each joint, and the digest of its file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Fair {
    joint: String,
    level: u8,
    seed: u64,
    digest: String,
}

#[test]
fn plates_made_fair_have_not_changed() {
    let file = super::folder().join("tests/digests/fair-plates.json");
    let text = fs::read_to_string(&file).expect("tests/digests/fair-plates.json");
    let kept: Vec<Fair> = serde_json::from_str(&text).expect("a list of plates");
    assert_eq!(kept.len(), Design::all().len());
    let made: Vec<Fair> = (kept.iter().cloned())
        .map(|fair| {
            let design = Design::named(&fair.joint).expect("a joint");
            let drawn = Paper::generate(design, fair.level, fair.seed);
            Fair { digest: drawn.made_fair().expect("a set-up that can be used").digest(), ..fair }
        })
        .collect();
    if std::env::var_os("TRIALPLATE_BLESS").is_some() {
        fs::write(file, serde_json::to_string_pretty(&made).expect("JSON") + "\n").expect("can be written");
        return;
    }
    assert_eq!(made, kept, "if the echoes of flaws are meant to change: cargo xtask bless");
}
