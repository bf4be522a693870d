//! A plate known by joint, level and seed is one plate, whichever way it is come by.

use exam::log::Log;
use exam::paper::Paper;
use page::plate_desk::PlateDesk;
use specimen::generator::Design;

/// Level and seed of drawn plates that are not as fair as they are drawn: one has a flaw that no pose shows.
const DRAWN: [(&str, u8, u64); 3] = [("square", 5, 838), ("double-bevel", 5, 41), ("single-v", 3, 2026)];

fn desk(joint: &str, level: u8, seed: u64) -> PlateDesk {
    PlateDesk::drawn(joint, f64::from(level), &seed.to_string()).unwrap_or_else(|_| panic!("a joint's name"))
}

#[test]
fn bench_desk_and_command_speak_of_the_same_plate() {
    for (joint, level, seed) in DRAWN {
        let drawn = Paper::generate(Design::named(joint).expect("a joint"), level, seed);
        let fair = drawn.clone().made_fair().expect("a set-up that can be used");
        let mut desk = desk(joint, level, seed);
        let mut shares = vec![desk.share()];
        while desk.step() {
            shares.push(desk.share());
        }
        assert!(shares.len() > 2 && shares.is_sorted(), "{shares:?}");
        let bench = desk.bench().unwrap_or_else(|_| panic!("a plate to sit"));
        assert_eq!(desk.file(), fair.to_toml().expect("a plate has a TOML form"));
        let log = bench.log().unwrap_or_else(|_| panic!("a log"));
        let (log, damage) = Log::salvage(&log);
        assert!(damage.is_none());
        assert_eq!(log.expect("a log").restore().paper_digest, fair.digest(), "{joint} {level} {seed}");
        println!("{joint} {level} {seed}: {}", if fair == drawn { "as drawn" } else { "made fair" });
    }
}
