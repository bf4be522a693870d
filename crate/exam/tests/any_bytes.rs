//! The short version of `tests/fuzz`: the plates and blocks that come with the program, bitten by chance, are read or refused
//! with a sentence; no panic, and what is read survives being written.
#![expect(clippy::unwrap_used, reason = "a test fails by a panic")]

use std::fs;
use std::path::Path;

use exam::paper::Paper;
use proptest::prelude::*;

/// Texts that bite where random bytes do not.
const BITES: [&str; 21] = [
    "nan",
    "4294967295",
    "-inf",
    "1e308",
    "-0.0",
    "0",
    "-1",
    "9223372036854775807",
    "1e-320",
    "[",
    "]]",
    "\"",
    "'''",
    "\n",
    "#",
    "=",
    ".",
    "\u{0}",
    "\u{feff}",
    "[[plate.flaw]]\n",
    "\"square\"",
];

fn corpus() -> Vec<Vec<u8>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenarios");
    let mut paths: Vec<_> = ["plates", "blocks"]
        .iter()
        .flat_map(|folder| fs::read_dir(root.join(folder)).unwrap())
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|end| end == "toml"))
        .collect();
    paths.sort();
    paths.into_iter().map(|path| fs::read(path).unwrap()).collect()
}

/// One bite: where (as a share of the length), how much is eaten, what is left there instead.
fn bite() -> impl Strategy<Value = (f64, usize, Vec<u8>)> {
    let instead = prop_oneof![
        Just(Vec::new()),
        prop::collection::vec(any::<u8>(), 1..4),
        prop::sample::select(&BITES[..]).prop_map(|text| text.as_bytes().to_vec()),
        // A digit for a digit keeps the file readable and moves its values.
        prop::sample::select(&b"0123456789.-"[..]).prop_map(|digit| vec![digit]),
    ];
    (0.0..1.0, prop_oneof![4 => 0_usize..6, 1 => 0_usize..400], instead)
}

/// What holds of any bytes; says whether they were a plate.
fn holds(bytes: &[u8]) -> Result<bool, TestCaseError> {
    match Paper::parse("bitten.toml", bytes) {
        Err(error) => {
            prop_assert!(error.to_string().starts_with("bitten.toml"), "{error}");
            Ok(false)
        }
        Ok(paper) => {
            let text = paper.to_toml().unwrap();
            prop_assert_eq!(&Paper::parse("bitten.toml", text.as_bytes()).unwrap(), &paper);
            let outline = paper.plate.outline();
            prop_assert!(outline.cap.iter().flatten().flatten().all(|value| value.is_finite()));
            for flaw in &paper.plate.flaws {
                let depth = flaw.extent(&paper.plate).depth_mm;
                prop_assert!(depth[0] <= depth[1], "{flaw:?}");
            }
            Ok(true)
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 3000, ..ProptestConfig::default() })]

    #[test]
    fn bitten_files_are_read_or_refused(which in any::<prop::sample::Index>(), bites in prop::collection::vec(bite(), 1..5)) {
        thread_local! { static CORPUS: Vec<Vec<u8>> = corpus(); }
        let mut bytes = CORPUS.with(|corpus| corpus[which.index(corpus.len())].clone());
        for (share, eaten, instead) in bites {
            let at = (share * bytes.len() as f64) as usize;
            let to = (at + eaten).min(bytes.len());
            bytes.splice(at..to, instead);
        }
        holds(&bytes)?;
    }
}

/// The bites do reach past the reader: a test of refusals alone would say little.
#[test]
fn every_file_of_the_corpus_is_read_and_some_moved_values_too() {
    let mut read = 0;
    for bytes in corpus() {
        assert!(holds(&bytes).unwrap());
        for (at, _) in bytes.iter().enumerate().filter(|(_, byte)| byte.is_ascii_digit()).step_by(7) {
            let mut moved = bytes.clone();
            moved[at] = b'0' + (moved[at] - b'0' + 1) % 10;
            read += u32::from(holds(&moved).unwrap());
        }
    }
    assert!(read > 100, "only {read} files with a moved digit were read");
}
