//! Any bytes are a plate file or are refused with a sentence: no panic, and what is accepted survives being written,
//! drawn and turned into what a probe hears.
#![no_main]

use exam::paper::Paper;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    match Paper::parse("fuzz.toml", bytes) {
        Err(error) => assert!(error.to_string().starts_with("fuzz.toml"), "{error}"),
        Ok(paper) => {
            let text = paper.to_toml().expect("a sound paper can be written");
            let back = Paper::parse("fuzz.toml", text.as_bytes()).expect("a written paper can be read");
            assert_eq!(back, paper);
            let outline = paper.plate.outline();
            assert!(outline.cap.iter().flatten().flatten().all(|value| value.is_finite()));
            for flaw in &paper.plate.flaws {
                let extent = flaw.extent(&paper.plate);
                assert!(extent.depth_mm[0] <= extent.depth_mm[1], "{flaw:?} {extent:?}");
            }
            let scene = paper.plate.scene(2.0);
            assert!(scene.surface.len() < 50_000_000);
        }
    }
});
