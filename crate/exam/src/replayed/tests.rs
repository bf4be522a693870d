use instrument::pose::{Face, Pose, Side};
use specimen::joint::Preparation;

use super::*;
use crate::event::Event;
use crate::hand_in;
use crate::log::Log;

fn paper() -> Paper {
    Paper::generate(Preparation::SingleV, 2, 4711)
}

fn log(paper: &Paper, y_mm: f64) -> Log {
    let mut log = Log::new(&paper.plate.id, &paper.digest());
    for (t_ms, side, y_mm) in [(1000, Side::A, 40.0), (2000, Side::B, y_mm)] {
        let pose = Pose { face: Face::Upper, side, index_offset_mm: 25.0, y_mm, skew_deg: 0.0 };
        log.push(t_ms, Event::Pose(pose)).unwrap();
    }
    log.push(3000, Event::HandIn).unwrap();
    log
}

/// A hand-in of one log that tells the last frame of another.
fn work(log: &Log, digest: &str) -> HandIn {
    let text = hand_in::write("Ada", log, None, digest, None).unwrap();
    HandIn::parse("ada.json", text.as_bytes()).unwrap()
}

#[test]
fn what_the_session_saw_comes_out_again_and_an_altered_log_is_told_of() {
    let paper = paper();
    let digest = |log: &Log| Rerun::new(&paper, log).last_digest().unwrap();
    let (seen, altered) = (log(&paper, 101.0), log(&paper, 101.5));
    let mut kept = Kept::default();
    assert_eq!(work(&seen, &digest(&seen)).replay(&paper, &mut kept), Some(Replayed::Same));
    let found = work(&altered, &digest(&seen)).replay(&paper, &mut kept).unwrap();
    assert_eq!(found, Replayed::Differs);
    let words = found.sentence().to_string();
    assert!(words.contains("what the session saw last is not what this plate gives"), "{words}");
    // With the bench of the hand-in before the frame is the same as with one of its own.
    assert_eq!(work(&altered, &digest(&altered)).replay(&paper, &mut kept), Some(Replayed::Same));
    assert_eq!(work(&seen, "").replay(&paper, &mut kept), Some(Replayed::Untold));
}
