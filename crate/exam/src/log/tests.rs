use instrument::gate::Gate;
use instrument::pose::{Face, Side};

use super::*;
use crate::sheet::Call;

fn pose(y_mm: f64) -> Event {
    Event::Pose(Pose { face: Face::Upper, side: Side::A, index_offset_mm: 15.0, y_mm, skew_deg: 0.0 })
}

fn call(start_mm: f64) -> Call {
    Call { start_mm: Some(start_mm), ..Call::default() }
}

fn session() -> Log {
    let mut log = Log::new("TH-07", "0123");
    for (t_ms, event) in [
        (10, pose(20.0)),
        (900, Event::Gain { gain_db: 46.0 }),
        (1000, Event::Beam { beam: 30 }),
        (1000, Event::Gate(Gate { start_mm: 20.0, length_mm: 12.5, threshold_percent: 20.0 })),
        (1100, Event::CallAdded(call(1.0))),
        (1200, Event::CallAdded(call(2.0))),
        (1300, Event::CallEdited { index: 1, call: call(3.0) }),
        (1400, Event::CallRemoved { index: 0 }),
        (1500, pose(31.5)),
        (1600, Event::NoRecordableIndication { stated: true }),
        (1700, Event::NoRecordableIndication { stated: false }),
        (1800, Event::HandIn),
    ] {
        log.push(t_ms, event).unwrap();
    }
    log
}

#[test]
fn a_session_is_restored_from_the_text_of_its_log() {
    let log = session();
    let text = log.to_text().unwrap();
    assert!(text.contains("[900,{\"gain\":{\"gain_db\":46.0}}]\n"), "{text}");
    let back = Log::parse(&text).unwrap();
    assert_eq!(back, log);
    let state = back.restore();
    assert_eq!((state.plate_id.as_str(), state.paper_digest.as_str()), ("TH-07", "0123"));
    assert_eq!(state.pose.unwrap().y_mm, 31.5);
    assert_eq!((state.gain_db, state.beam, state.handed_in, state.t_ms), (Some(46.0), Some(30), true, 1800));
    assert_eq!(state.gate.unwrap().length_mm, 12.5);
    assert_eq!(state.sheet.calls, [call(3.0)]);
    assert!(!state.sheet.no_recordable_indication);
}

#[test]
fn what_cannot_follow_is_refused_and_changes_nothing() {
    let mut log = Log::new("TH-07", "0123");
    log.push(5, Event::CallAdded(call(1.0))).unwrap();
    let before = log.clone();
    let error = log.push(6, Event::CallRemoved { index: 1 }).unwrap_err();
    assert_eq!(error.to_string(), "log line 3: call 1 (from 0) is not among the 1 on the sheet");
    assert_eq!(log, before);
    log.push(7, Event::HandIn).unwrap();
    assert!(log.push(8, pose(1.0)).unwrap_err().message.contains("handed in before"));
}

#[test]
fn a_damaged_line_is_named_and_all_before_it_is_kept() {
    let text = session().to_text().unwrap();
    let cut = &text[..text.len() - 4];
    let lines = text.lines().count();
    let (log, damage) = Log::salvage(cut);
    assert_eq!(log.unwrap().entries().len(), lines - 1);
    assert_eq!(damage.unwrap().line, lines);
    for (broken, expected) in [
        ("", "log line 1: the log is empty"),
        ("[5,\"hand-in\"]", "log line 1: expected the start of a session in the first line"),
        (
            "[0,{\"start\":{\"version\":9,\"plate_id\":\"x\",\"paper_digest\":\"y\"}}]",
            "version is 9, expected 1",
        ),
        ("[0,{\"sneeze\":{}}]", "log line 1: no event at column 12: unknown variant `sneeze`"),
        ("\u{0}\u{0}", "log line 1: no event at column 1: expected value"),
    ] {
        let message = Log::parse(broken).unwrap_err().to_string();
        assert!(message.contains(expected), "{message}");
    }
    let backwards = text.replacen("[1000,", "[10,", 1);
    assert_eq!(
        Log::parse(&backwards).unwrap_err().to_string(),
        "log line 4: time runs backwards: 10 ms after 900 ms"
    );
}

#[test]
fn a_clock_set_back_does_not_spoil_the_log() {
    let mut log = Log::new("TH-07", "0123");
    log.push(500, pose(1.0)).unwrap();
    log.push(20, Event::HandIn).unwrap();
    assert_eq!(log.entries()[2].0, 500);
    assert_eq!(Log::parse(&log.to_text().unwrap()).unwrap(), log);
}

#[test]
fn a_dragged_path_keeps_its_shape_and_its_end_but_not_every_step() {
    let mut log = Log::new("TH-07", "0123");
    for step in 0..600_u32 {
        log.push(u64::from(step) * 16, pose(f64::from(step))).unwrap();
    }
    let poses: Vec<_> = log.entries().iter().filter(|entry| matches!(entry.1, Event::Pose(_))).collect();
    // 9.6 s at five a second.
    assert!((40..=110).contains(&poses.len()), "{}", poses.len());
    assert_eq!(poses[0].1, pose(0.0));
    assert_eq!(poses[poses.len() - 1].1, pose(599.0));
    let gaps = poses.windows(2).map(|pair| pair[1].0 - pair[0].0).max().unwrap();
    assert!(gaps <= 416, "{gaps} ms without a pose");
    assert_eq!(log.restore().pose.unwrap().y_mm, 599.0);
}

#[test]
fn the_path_is_bounded_and_other_events_are_never_dropped() {
    let mut log = Log::new("TH-07", "0123");
    for step in 0..70_000_u32 {
        let t_ms = u64::from(step) * 1000;
        log.push(t_ms, pose(f64::from(step % 300))).unwrap();
        if step % 7000 == 0 {
            log.push(t_ms, Event::CallAdded(call(f64::from(step)))).unwrap();
        }
    }
    assert!(log.entries().len() <= MOST_POSES + 11, "{}", log.entries().len());
    assert_eq!(log.restore().sheet.calls.len(), 10);
    assert_eq!(Log::parse(&log.to_text().unwrap()).unwrap(), log);
}

#[test]
fn a_set_up_is_kept_and_a_log_without_one_has_none() {
    let paper = crate::paper::Paper::generate(specimen::joint::Preparation::SingleV, 1, 1);
    let mut set_up = instrument::set_up::SetUp::of(&paper.procedure);
    let mut log = Log::new("TH-07", "0123");
    log.push(10, pose(1.0)).unwrap();
    assert_eq!(Log::parse(&log.to_text().unwrap()).unwrap().restore().set_up, None);
    for to_deg in [65.0, 68.0] {
        set_up.sector.to_deg = to_deg;
        set_up.receiver.averages = 4;
        log.push(20, Event::SetUp(Box::new(set_up.clone()))).unwrap();
    }
    let back = Log::parse(&log.to_text().unwrap()).unwrap();
    assert_eq!(back, log);
    assert_eq!(back.restore().set_up.as_deref(), Some(&set_up));
}
