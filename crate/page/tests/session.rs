//! A session without a browser: what it tells before hand-in, and that a log brings it back.

use exam::log::Event;
use exam::paper::Paper;
use exam::said::Language;
use exam::sheet::Call;
use instrument::bench::View;
use page::session::{Session, SessionError};
use specimen::joint::Preparation;

fn paper() -> Paper {
    Paper::generate(Preparation::SingleV, 2, 4711)
}

fn session() -> Session {
    Session::new(paper()).expect("a generated paper can be sat")
}

#[test]
fn nothing_before_hand_in_tells_of_the_flaws() {
    let mut session = session();
    let flaws = paper().plate.flaws;
    assert!(!flaws.is_empty());
    session.frame();
    for text in [session.about().unwrap(), session.now(None).unwrap(), session.log_text().unwrap()] {
        for word in ["\"flaw", "\"extent\"", "\"mandatory\"", "\"scheme\"", "\"marks\""] {
            assert!(!text.contains(word), "{word} in {text}");
        }
    }
    let told = session.hand_in(10, &Language::english()).unwrap();
    assert!(told.contains("\"mandatory\""));
    assert_eq!(session.hand_in(20, &Language::english()).unwrap(), told);
}

#[test]
fn a_log_brings_the_session_back() {
    let mut before = session();
    before.set_pose(100, "B", [21.5, 133.0, -3.0]).unwrap();
    before.set_gain_db(200, 38.5).unwrap();
    before.set_beam(300, 12).unwrap();
    before.set_gate(400, [31.0, 8.0, 15.0]).unwrap();
    before.edit(500, Event::CallAdded(Call { start_mm: Some(120.0), ..Call::default() })).unwrap();
    let mut after = session();
    let state = after.restore(&before.log_text().unwrap()).unwrap();
    assert_eq!(state, before.now(None).unwrap());
    // The same place and gain give the same frame.
    for session in [&mut before, &mut after] {
        session.frame();
        session.paint(View::Folded, None);
    }
    assert_eq!(before.digest(), after.digest());
    assert!(before.picture() == after.picture());
}

#[test]
fn a_cut_log_loses_its_last_line_only_and_says_so() {
    let mut before = session();
    before.set_gain_db(200, 38.5).unwrap();
    before.set_beam(300, 12).unwrap();
    let text = before.log_text().unwrap();
    let state = session().restore(&text[..text.len() - 5]).unwrap();
    assert!(state.contains("\"gain_db\":38.5"), "{state}");
    assert!(state.contains("log line 3"), "{state}");
}

#[test]
fn a_log_of_another_plate_is_refused_and_changes_nothing() {
    let other = Session::new(Paper::generate(Preparation::SingleV, 2, 4712)).unwrap();
    let mut session = session();
    session.set_gain_db(10, 33.0).unwrap();
    let before = session.now(None).unwrap();
    let refused = session.restore(&other.log_text().unwrap());
    assert!(matches!(refused, Err(SessionError::OtherPlate { .. })));
    assert_eq!(session.now(None).unwrap(), before);
}

#[test]
fn commands_out_of_range_are_refused_in_words() {
    let mut session = session();
    let said = |result: Result<(), SessionError>| result.unwrap_err().to_string();
    assert_eq!(said(session.set_pose(0, "C", [20.0, 10.0, 0.0])), "side of the weld: C, expected A or B");
    assert_eq!(
        said(session.set_pose(0, "A", [20.0, f64::NAN, 0.0])),
        "place of the probe: NaN, expected a finite number"
    );
    assert_eq!(said(session.set_beam(0, 9999)), "beam: 9999, expected 0 to 60");
    assert!(said(session.set_gain_db(0, f64::INFINITY)).starts_with("gain in dB: inf"));
}

#[test]
fn after_hand_in_the_probe_moves_off_the_record() {
    let mut session = session();
    session.hand_in(10, &Language::english()).unwrap();
    let log = session.log_text().unwrap();
    session.set_pose(20, "B", [25.0, 50.0, 0.0]).unwrap();
    assert_eq!(session.log_text().unwrap(), log);
    assert!(session.edit(30, Event::CallAdded(Call::default())).is_err());
}

#[test]
fn marks_belong_to_the_log_that_was_brought_back() {
    let mut other = session();
    other.edit(10, Event::CallAdded(Call { start_mm: Some(120.0), ..Call::default() })).unwrap();
    let told = other.hand_in(20, &Language::english()).unwrap();
    let mut session = session();
    assert_ne!(session.hand_in(10, &Language::english()).unwrap(), told);
    session.restore(&other.log_text().unwrap()).unwrap();
    assert_eq!(session.hand_in(30, &Language::english()).unwrap(), told);
}

/// Whoever restores the log of a hand-in hears the same last frame.
/// A probe in the air shows the receiver's noise alone, however much gain; set down the frame is what it was.
#[test]
fn a_lifted_probe_shows_no_echo_and_spoils_no_marks() {
    let highest = |session: &mut Session| {
        session.frame();
        session.take_trace();
        session.trace().0.iter().copied().fold(0.0, f32::max)
    };
    let mut session = session();
    session.set_gain_db(0, paper().procedure.reference_gain_db).unwrap();
    // Where the corner under the weld or a flaw stands high.
    let at = |session: &mut Session, offset_mm: f64| {
        session.set_pose(100, "A", [offset_mm, 80.0, 0.0]).unwrap();
        highest(session)
    };
    let offset_mm = (0..14_u32)
        .map(|step| 10.0 + 3.0 * f64::from(step))
        .max_by(|&one, &other| at(&mut session, one).total_cmp(&at(&mut session, other)))
        .unwrap();
    at(&mut session, offset_mm);
    let set_down = highest(&mut session);
    session.set_lifted(200, true).unwrap();
    let lifted = highest(&mut session);
    assert!(set_down > 20.0 && lifted < 4.0, "{set_down} {lifted} %");
    session.set_lifted(300, false).unwrap();
    assert!((highest(&mut session) / set_down - 1.0).abs() < 0.1);
    // Handed in while it hangs: the flaws are no harder to find for that.
    let mut hung = Session::new(paper()).unwrap();
    hung.set_lifted(400, true).unwrap();
    hung.frame();
    let mut stood = Session::new(paper()).unwrap();
    stood.frame();
    let marks = |session: &mut Session| {
        let told: serde_json::Value =
            serde_json::from_str(&session.hand_in(500, &Language::english()).unwrap()).unwrap();
        told["marks"].clone()
    };
    assert_eq!(marks(&mut hung), marks(&mut stood));
    // Afterwards it is set down off the record.
    let log = hung.log_text().unwrap();
    hung.set_pose(600, "A", [offset_mm, 80.0, 0.0]).unwrap();
    let in_the_air = highest(&mut hung);
    hung.set_lifted(700, false).unwrap();
    assert!(highest(&mut hung) > 5.0 * in_the_air);
    assert_eq!(hung.log_text().unwrap(), log);
}

#[test]
fn a_hand_in_replays_to_the_same_frame_and_state() {
    let paper = Paper::generate(specimen::joint::Preparation::SingleV, 2, 11);
    let mut session = Session::new(paper.clone()).unwrap();
    for step in 0..40_u32 {
        session.set_pose(250 * u64::from(step), "A", [20.0, 40.0 + f64::from(step), 0.0]).unwrap();
        session.frame();
    }
    session.set_gain_db(11_000, 41.0).unwrap();
    session.hand_in(12_000, &Language::english()).unwrap();
    let file = session.hand_in_file("").unwrap();
    let log = session.log_text().unwrap();

    let mut again = Session::new(paper).unwrap();
    again.restore(&log).unwrap();
    again.hand_in(99_000, &Language::english()).unwrap();
    assert_eq!(again.hand_in_file("").unwrap(), file, "to the last byte, mark and digest among it");
    let mut at =
        |t_ms: u64| -> serde_json::Value { serde_json::from_str(&again.replay(t_ms).unwrap()).unwrap() };
    assert_eq!(at(5_000)["pose"]["y_mm"], 60.0);
    assert_eq!(at(11_500)["gain_db"], 41.0);
    assert_eq!(at(1)["end_ms"], 12_000);
}

#[test]
fn answers_of_a_file_take_the_place_of_those_on_the_sheet_and_a_bad_file_changes_nothing() {
    let mut session = session();
    let call = |start_mm| Event::CallAdded(Call { start_mm: Some(start_mm), ..Call::default() });
    session.edit(100, call(120.0)).unwrap();
    session.edit(200, call(150.0)).unwrap();
    let before = session.log_text().unwrap();
    let wrong = b"call,kind,start_mm\n1,root-crack,12\n2,dent,40\n";
    let told = session.take_answers(300, "mine.csv", wrong).unwrap_err().to_string();
    assert!(told.starts_with("mine.csv:3:2: kind is “dent”, expected one of "), "{told}");
    let other = b"{\"plate_id\": \"elsewhere\", \"calls\": []}";
    let told = session.take_answers(300, "mine.json", other).unwrap_err().to_string();
    let own = &paper().plate.id;
    assert_eq!(told, format!("mine.json:1:1: these answers are for plate elsewhere, expected plate {own}"));
    assert_eq!(session.log_text().unwrap(), before);

    let table = b"call,kind,start_mm\n1,root-crack,12\nno-recordable-indication,,\n";
    let sheet = session.take_answers(400, "MINE.CSV", table).unwrap().clone();
    assert_eq!((sheet.calls.len(), sheet.calls[0].start_mm), (1, Some(12.0)));
    assert!(sheet.no_recordable_indication);
    assert_eq!(sheet.plate_id.as_ref(), Some(own));
    // Back again, as the page takes it back.
    let json = br#"{"calls":[{"kind":null,"start_mm":120},{"start_mm":150,"remark":""}],"no_recordable_indication":false}"#;
    let back = session.take_answers(500, "", json).unwrap();
    assert_eq!(back.calls.iter().map(|call| call.start_mm).collect::<Vec<_>>(), [Some(120.0), Some(150.0)]);
    assert!(!back.no_recordable_indication);
    session.hand_in(600, &Language::english()).unwrap();
    assert!(session.take_answers(700, "mine.csv", table).unwrap_err().to_string().contains("handed in"));
}
