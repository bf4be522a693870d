//! Two gates, each at peak or flank, and the face the probe stands on, through the log and back.

use exam::paper::Paper;
use page::session::Session;
use specimen::joint::Preparation;

fn session() -> Session {
    Session::new(Paper::generate(Preparation::SingleV, 2, 4711)).expect("a generated paper can be sat")
}

/// A session with the first gate on its highest echo.
fn on_an_echo() -> Session {
    let mut session = session();
    session.set_gain_db(10, 46.0).expect("a gain");
    let mut best: Option<(f64, f64, u32, f64)> = None;
    for y_mm in [40.0, 80.0, 120.0] {
        session.set_pose(20, "A", [18.0, y_mm, 0.0]).expect("a place");
        session.frame();
        for beam in (0..61).step_by(3) {
            session.set_beam(30, beam).expect("a beam");
            session.set_gate(30, [12.0, 40.0, 20.0]).expect("a gate");
            let Some(reading) = session.reading() else { continue };
            if !reading.clipped && best.is_none_or(|(height, ..)| reading.amplitude_percent > height) {
                best = Some((reading.amplitude_percent, y_mm, beam, reading.sound_path_mm));
            }
        }
    }
    let (_, y_mm, beam, path_mm) = best.expect("an echo of root or cap");
    session.set_pose(40, "A", [18.0, y_mm, 0.0]).expect("a place");
    session.set_beam(40, beam).expect("a beam");
    session.frame();
    session.set_gate(40, [path_mm - 4.0, 8.0, 20.0]).expect("a gate");
    session
}

#[test]
fn the_flank_lies_before_the_peak_by_less_than_a_pulse_and_the_height_is_the_same() {
    let mut session = on_an_echo();
    let peak = session.reading().expect("an echo");
    session.set_gates(50, r#"{"second":null,"points":["flank","peak"]}"#).expect("gates");
    let flank = session.reading().expect("an echo");
    assert!((flank.amplitude_percent - peak.amplitude_percent).abs() < 1e-9);
    let ahead = peak.sound_path_mm - flank.sound_path_mm;
    assert!(ahead > 0.05 && ahead < 4.1, "{ahead} mm");
    // The trace stands at the threshold there, or above it at the gate's start.
    session.take_trace();
    let (trace, step_mm) = session.trace();
    let at = flank.sound_path_mm / step_mm;
    let (low, high) = (f64::from(trace[at as usize]), f64::from(trace[at as usize + 1]));
    let rises = low - 3.0 < 20.0 && high + 3.0 > 20.0;
    assert!(rises || (ahead > 3.9 && high > 20.0), "{low} {high}");
}

#[test]
fn the_second_gate_reads_what_a_first_one_would() {
    let mut session = on_an_echo();
    assert_eq!(session.second_reading(), None);
    let peak = session.reading().expect("an echo");
    let gate =
        format!(r#"{{"start_mm":{},"length_mm":6.0,"threshold_percent":20.0}}"#, peak.sound_path_mm - 3.0);
    session.set_gates(60, &format!(r#"{{"second":{gate},"points":["peak","peak"]}}"#)).expect("gates");
    assert_eq!(session.second_reading(), Some(peak));
    session.set_gates(70, r#"{"second":null,"points":["peak","peak"]}"#).expect("gates");
    assert_eq!(session.second_reading(), None);
}

#[test]
fn gates_and_face_come_back_from_the_log() {
    let mut before = session();
    before.set_face("lower").expect("a face");
    before.set_pose(10, "B", [20.0, 50.0, 4.0]).expect("a place");
    let gates =
        r#"{"second":{"start_mm":30.0,"length_mm":9.0,"threshold_percent":15.0},"points":["peak","flank"]}"#;
    before.set_gates(20, gates).expect("gates");
    let mut after = session();
    let log = before.log_text().expect("a log");
    assert_eq!(after.restore(&log).expect("a state"), before.now(None).expect("a state"));
    assert!(after.now(None).expect("a state").contains(r#""face":"lower""#));
    after.set_pose(30, "B", [20.0, 50.0, 4.0]).expect("a place");
    assert_eq!(after.log_text().expect("a log"), log, "the face is kept for the next poses");
    before.frame();
    after.frame();
    assert_eq!(before.digest(), after.digest());
}

#[test]
fn from_below_the_probe_hears_something_else() {
    let mut session = session();
    let mut heard = |face: &str| {
        session.set_face(face).expect("a face");
        session.set_pose(10, "A", [20.0, 100.0, 0.0]).expect("a place");
        session.frame();
        session.digest()
    };
    assert_ne!(heard("upper"), heard("lower"));
    assert_eq!(
        session.set_face("side").expect_err("no face").to_string(),
        "face of the plate: side, expected upper or lower"
    );
}
