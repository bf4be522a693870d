//! What a call was made from: kept in the log, and computed again to the last bit wherever the log goes.
#![allow(clippy::unwrap_used, reason = "a test fails by a panic")]

use exam::event::Event;
use exam::log::Log;
use exam::paper::Paper;
use exam::recorded_exam::RecordedExam;
use exam::said::Language;
use exam::snapshot::{Rerun, Shot};
use instrument::bench::View;
use instrument::pose::Face;
use instrument::procedure::HandedOver;
use instrument::shaping::Finger;
use page::session::Session;
use serde_json::json;
use specimen::joint::Preparation;

fn paper() -> Paper {
    Paper::generate(Preparation::SingleV, 2, 4711)
}

/// Picture, its place, and trace, as they stand on the screen.
type Screen = (Vec<u8>, String, Vec<f32>);

fn screen(session: &mut Session) -> Screen {
    session.paint(View::Folded, None);
    session.take_trace();
    let place = serde_json::to_string(&session.place()).unwrap();
    (session.picture().to_vec(), place, session.trace().0.to_vec())
}

fn shown(shot: &Shot) -> Screen {
    (shot.rgba.clone(), serde_json::to_string(&shot.place).unwrap(), shot.trace.percent.clone())
}

/// Puts the probe down, calls whatever is highest, and gives what was on the screen then.
fn call(session: &mut Session, t_ms: u64, side: &str, numbers: [f64; 3]) -> Screen {
    session.set_pose(t_ms, side, numbers).unwrap();
    session.set_gate(t_ms, [5.0, 75.0, 0.0]).unwrap();
    session.frame();
    let screen = screen(session);
    let call = session.call_from_gate().unwrap();
    session.edit(t_ms + 50, Event::CallAdded(call)).unwrap();
    // On with the probe at once: the log keeps no pose between.
    for step in 1..20_u32 {
        let y_mm = numbers[1] + f64::from(step) / 7.0;
        session.set_pose(t_ms + 60 + u64::from(step), side, [numbers[0], y_mm, 0.0]).unwrap();
        session.frame();
    }
    screen
}

fn change(session: &mut Session, t_ms: u64, pointer: &str, value: serde_json::Value) {
    let mut sheet: serde_json::Value = serde_json::from_str(&session.set_up_sheet().unwrap()).unwrap();
    let mut set_up = sheet["set_up"].take();
    *set_up.pointer_mut(pointer).unwrap() = value;
    assert!(session.change_set_up(t_ms, &set_up.to_string()).unwrap().contains("\"problems\":[]"));
}

fn all_shots(session: &mut Session, screens: &[Screen]) {
    let before = session.digest();
    let shots = session.shots(None).unwrap();
    for (index, screen) in screens.iter().enumerate() {
        assert!(shown(shots[index].as_ref().unwrap()) == *screen, "call {}", index + 1);
    }
    let one = session.shots(Some(1)).unwrap();
    assert!(one[0].is_none() && shown(one[1].as_ref().unwrap()) == screens[1]);
    assert_eq!(session.digest(), before, "the frame at hand stays");
}

#[test]
fn a_call_shows_what_it_was_made_from_after_a_change_of_set_up_after_a_reload_and_natively() {
    let paper = paper();
    let mut session = Session::new(paper.clone()).unwrap();
    let mut screens = vec![call(&mut session, 1000, "A", [24.3, 101.7, 0.0])];
    session.set_gain_db(5000, 41.5).unwrap();
    session.set_beam(5100, 12).unwrap();
    screens.push(call(&mut session, 6000, "B", [31.123_456_789, 55.5, -2.5]));
    change(&mut session, 9000, "/sector/to_deg", json!(60.0));
    change(&mut session, 9500, "/range_mm", json!(90.0));
    screens.push(call(&mut session, 12_000, "A", [28.0, 160.0, 0.0]));
    session.edit(15_000, Event::CallAdded(exam::sheet::Call::default())).unwrap();
    assert!(session.shots(Some(3)).unwrap()[3].is_none(), "a call by hand shows nothing");
    all_shots(&mut session, &screens);

    let text = session.log_text().unwrap();
    let mut again = Session::new(paper.clone()).unwrap();
    again.restore(&text).unwrap();
    again.frame();
    all_shots(&mut again, &screens);
    let log = Log::parse(&text).unwrap();
    let native = Rerun::new(&paper, &log).shots().unwrap();
    assert_eq!(native.len(), 4);
    assert!(native[3].is_none());
    for (shot, screen) in native.iter().flatten().zip(&screens) {
        assert!(shown(shot) == *screen);
    }
    // What is read in a shot is what stands on the sheet.
    let (call, shot) = (&log.restore().sheet.calls[1], native[1].as_ref().unwrap());
    assert_eq!(call.amplitude_db, shot.reading.as_ref().map(|reading| reading.amplitude_db));
}

#[test]
fn a_dry_drifting_bench_with_a_finger_is_shown_as_it_was() {
    let mut paper = paper();
    paper.procedure.bench = HandedOver { calibrated: false, always_wet: false, seed: Some(7) };
    let mut session = Session::new(paper.clone()).unwrap();
    let stroke =
        json!({ "face": "upper", "from_mm": [-40.0, 60.0], "to_mm": [-40.0, 130.0], "reach_mm": 30.0 });
    session.lay_couplant(500, &stroke.to_string()).unwrap();
    let mut screens = vec![call(&mut session, 1000, "A", [24.0, 100.0, 0.0])];
    let minutes = 60_000;
    let finger = Some(Finger::Plate { face: Face::Upper, offset_mm: 6.0, y_mm: 100.0 });
    session.press_finger(30 * minutes, &serde_json::to_string(&finger).unwrap()).unwrap();
    screens.push(call(&mut session, 31 * minutes, "A", [24.0, 100.0, 0.0]));
    session.press_finger(32 * minutes, "null").unwrap();
    screens.push(call(&mut session, 33 * minutes, "A", [24.0, 126.0, 0.0]));
    assert!(screens[0] != screens[1]);
    all_shots(&mut session, &screens);
    let log = Log::parse(&session.log_text().unwrap()).unwrap();
    for (shot, screen) in Rerun::new(&paper, &log).shots().unwrap().iter().flatten().zip(&screens) {
        assert!(shown(shot) == *screen);
    }
}

#[test]
fn answers_of_a_file_come_without_what_they_were_made_from() {
    let mut session = Session::new(paper()).unwrap();
    call(&mut session, 1000, "A", [24.0, 100.0, 0.0]);
    let file = exam::sheet::AnswerSheet::parse("a", session.answers_text().unwrap().as_bytes()).unwrap();
    assert!(file.calls[0].snapshot.is_some());
    let sheet = session.take_answers(5000, "a.json", file.to_json().unwrap().as_bytes()).unwrap();
    assert!(sheet.calls[0].snapshot.is_none());
    assert!(session.shots(None).unwrap()[0].is_none());
}

#[test]
fn watched_again_the_bench_is_set_up_as_it_was() {
    let mut session = Session::new(paper()).unwrap();
    call(&mut session, 1000, "A", [39.3, 130.0, 0.0]);
    change(&mut session, 9000, "/sector/to_deg", json!(60.0));
    call(&mut session, 12_000, "B", [28.0, 160.0, 0.0]);
    change(&mut session, 20_000, "/range_mm", json!(90.0));
    assert!(session.replay(1000).is_err(), "the bench is still in use");
    session.hand_in(30_000, &Language::english()).unwrap();
    let file = session.hand_in_file("Ada").unwrap();
    let log = Log::parse(&session.log_text().unwrap()).unwrap();
    for (call, (beams, set_ups)) in log.restore().sheet.calls.iter().zip([(61, 0), (41, 1)]) {
        let from = call.snapshot.as_ref().unwrap();
        let then: serde_json::Value = serde_json::from_str(&session.replay(from.t_ms).unwrap()).unwrap();
        assert_eq!((then["changed"].as_bool(), then["set_ups"].as_u64()), (Some(true), Some(set_ups)));
        let about: serde_json::Value = serde_json::from_str(&session.about().unwrap()).unwrap();
        assert_eq!(about["beams"].as_array().unwrap().len(), beams);
        let pose = from.pose;
        let side = format!("{:?}", pose.side);
        session.set_pose(0, &side, [pose.index_offset_mm, pose.y_mm, pose.skew_deg]).unwrap();
        session.set_gain_db(0, from.gain_db).unwrap();
        session.set_beam(0, from.beam).unwrap();
        session.set_gate(0, [from.gate.start_mm, from.gate.length_mm, 0.0]).unwrap();
        session.frame();
        // The electronic noise is another frame's.
        let now = session.reading().unwrap().amplitude_db;
        assert!((now - call.amplitude_db.unwrap()).abs() < 0.5, "{now} {call:?}");
    }
    assert_eq!(session.hand_in_file("Ada").unwrap(), file, "what is handed in hangs on the log alone");
}

fn file(path: &str) -> Vec<u8> {
    std::fs::read(std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenarios").join(path))
        .unwrap()
}

fn begin(session: &mut Session) {
    let (lesson, words) = (file("lessons/tilt.toml"), file("lessons/en/tilt.toml"));
    session.begin_lesson(("tilt.toml", &lesson), ("en/tilt.toml", &words), 1).unwrap();
}

/// A lesson that leans a crack under the hand: each call shows the crack as it lay then, not as the plate's file has it.
#[test]
fn a_call_in_a_lesson_shows_the_flaw_as_it_lay_then() {
    let paper = Paper::parse("th-11.toml", &file("plates/th-11.toml")).unwrap();
    let mut session = Session::new(paper.clone()).unwrap();
    begin(&mut session);
    let at = [61.0, 199.0, 0.0];
    let mut screens = Vec::new();
    for (k, lean_deg) in [(1, 30.0), (2, -12.5), (3, 5.0)] {
        session.vary_lesson(lean_deg).unwrap();
        screens.push(call(&mut session, 1000 * k, "B", at));
    }
    assert!(screens[0] != screens[1] && screens[1] != screens[2], "the lean is heard");
    all_shots(&mut session, &screens);
    // Watched from another lean, and from another set-up, whose waves ask for other points.
    session.vary_lesson(22.0).unwrap();
    change(&mut session, 9000, "/probe/frequency_mhz", json!(2.5));
    screens.push(call(&mut session, 10_000, "B", at));
    all_shots(&mut session, &screens);
    let text = session.log_text().unwrap();
    let mut again = Session::new(paper.clone()).unwrap();
    again.restore(&text).unwrap();
    begin(&mut again);
    again.frame();
    all_shots(&mut again, &screens);
    let log = Log::parse(&text).unwrap();
    for (shot, screen) in Rerun::new(&paper, &log).shots().unwrap().iter().flatten().zip(&screens) {
        assert!(shown(shot) == *screen);
    }
}

/// The plate that a trainee of a recorded exam has is empty: nothing computed from it may pass for what was seen.
#[test]
fn a_recorded_exam_computes_nothing_anew() {
    let exam = RecordedExam::of(&paper(), "Harbour wall, June");
    let mut session = Session::of_recorded_exam("exam", exam.to_toml().unwrap().as_bytes()).unwrap();
    session.frame();
    session.set_gate(10, [5.0, 75.0, 0.0]).unwrap();
    let call = session.call_from_gate().unwrap();
    session.edit(20, Event::CallAdded(call)).unwrap();
    assert!(session.shots(None).unwrap()[0].is_none());
}

/// Its log has no pose: the engineer is not told that nothing was covered, but that nothing is known of it.
#[test]
fn a_report_on_a_recorded_exam_says_that_it_is_one() {
    let exam = RecordedExam::of(&paper(), "Harbour wall, June");
    let recorded = Session::of_recorded_exam("exam", exam.to_toml().unwrap().as_bytes()).unwrap();
    let report = |mut session: Session| {
        session.hand_in(10, &Language::english()).unwrap();
        session.report("engineer", &Language::english(), "Ada", (&[], &[])).unwrap()
    };
    let told = report(recorded);
    assert!(told.contains("Recorded scans were analysed: no probe was moved."), "{told}");
    assert!(
        told.contains("Not known: there is no log of a scan") && !told.contains("<td>Side A</td>"),
        "{told}"
    );
    let live = report(Session::new(paper()).unwrap());
    assert!(
        live.contains("Live: the probe was moved over the plate") && live.contains("<td>Side A</td>"),
        "{live}"
    );
}

/// A file from outside may name any beam and any place.
#[test]
fn a_beam_that_is_not_there_shows_nothing() {
    let mut session = Session::new(paper()).unwrap();
    session.frame();
    session.set_gate(10, [5.0, 75.0, 0.0]).unwrap();
    let mut call = session.call_from_gate().unwrap();
    let snapshot = call.snapshot.as_mut().unwrap();
    (snapshot.beam, snapshot.t_ms, snapshot.gain_db) = (4_000_000_000, u64::MAX, 200.0);
    let mut nowhere = call.clone();
    nowhere.snapshot.as_mut().unwrap().pose.y_mm = 1e300;
    session.edit(20, Event::CallAdded(call)).unwrap();
    let error = session.edit(20, Event::CallAdded(nowhere)).unwrap_err().to_string();
    assert!(error.contains("the probe stands 1e300 along the weld, expected"), "{error}");
    assert!(session.shots(None).unwrap()[0].is_none());
}
