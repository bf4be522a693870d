//! A bench that drifts while it is used: frames change with the log's time alone, and a check is written down.
#![allow(clippy::unwrap_used, reason = "a test fails by a panic")]

use exam::log::Log;
use exam::paper::Paper;
use page::session::Session;
use specimen::joint::Preparation;

fn session(calibrated: bool) -> Session {
    let mut paper = Paper::generate(Preparation::SingleV, 2, 4711);
    paper.procedure.bench.calibrated = calibrated;
    Session::new(paper).unwrap()
}

fn at(session: &mut Session, minutes: u64) -> String {
    session.set_pose(minutes * 60_000, "A", [25.0, 100.0 + minutes as f64, 0.0]).unwrap();
    session.set_pose(minutes * 60_000 + 1000, "A", [25.0, 100.0, 0.0]).unwrap();
    session.last_digest().unwrap()
}

#[test]
fn a_bench_drifts_in_steps_and_the_same_log_gives_the_same_frame() {
    let mut sitting = session(false);
    let [first, soon, later] = [1, 8, 25].map(|minutes| at(&mut sitting, minutes));
    assert_eq!(first, soon);
    assert_ne!(soon, later);
    let mut again = session(false);
    again.restore(&sitting.log_text().unwrap()).unwrap();
    assert_eq!(again.last_digest().unwrap(), later);
    let mut ready = session(true);
    assert_eq!(at(&mut ready, 1), at(&mut ready, 25), "a bench that comes calibrated stays so");
}

#[test]
fn a_check_that_was_not_begun_or_not_measured_is_refused() {
    let mut sitting = session(false);
    assert!(sitting.calibration_check(1000).is_err());
    sitting.calibration_begin("recheck").unwrap();
    assert!(sitting.calibration_check(2000).is_err());
    let log = Log::parse(&sitting.log_text().unwrap()).unwrap();
    assert_eq!(log.restore().check, None);
}
