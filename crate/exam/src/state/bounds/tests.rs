use instrument::pose::{Face, Side};
use specimen::joint::Preparation;

use super::*;
use crate::debrief;
use crate::event::Event;
use crate::hand_in::{self, HandIn};
use crate::log::Log;
use crate::paper::Paper;
use crate::snapshot::Snapshot;

fn paper() -> Paper {
    Paper::generate(Preparation::SingleV, 2, 4711)
}

fn at(y_mm: f64) -> Pose {
    Pose { face: Face::Upper, side: Side::A, index_offset_mm: 25.0, y_mm, skew_deg: 0.0 }
}

/// What is said of a log with one event after its start.
fn said(event: &str) -> String {
    let start = Log::new("TH-07", "0123").to_text().unwrap();
    Log::parse(&format!("{start}[5,{event}]\n")).map_or_else(|error| error.to_string(), |_| String::new())
}

fn json(event: &Event) -> String {
    serde_json::to_string(event).unwrap()
}

#[test]
fn numbers_that_no_instrument_has_are_refused_in_words() {
    let gate = |start: &str, length: &str, threshold: &str| {
        format!(
            "{{\"gate\":{{\"start_mm\":{start},\"length_mm\":{length},\"threshold_percent\":{threshold}}}}}"
        )
    };
    let finger =
        |y: &str| format!("{{\"finger\":{{\"plate\":{{\"face\":\"upper\",\"offset_mm\":0,\"y_mm\":{y}}}}}}}");
    for (event, expected) in [
        ("{\"gain\":{\"gain_db\":1e300}}".to_owned(), "the gain is 1e300 dB, expected -200 to 200 dB"),
        ("{\"gain\":{\"gain_db\":-201}}".to_owned(), "expected -200 to 200 dB"),
        ("{\"gain\":{\"gain_db\":null}}".to_owned(), "no event at column"),
        ("{\"gain\":{\"gain_db\":\"NaN\"}}".to_owned(), "no event at column"),
        ("{\"gain\":{\"gain_db\":1e999}}".to_owned(), "no event at column"),
        (gate("1e300", "5", "20"), "the gate’s start is 1e300 mm, expected -100000 to 100000 mm"),
        (gate("10", "-5", "20"), "the gate’s length is -5e0 mm, expected 0 to 100000 mm"),
        (gate("10", "5", "1e9"), "the gate’s threshold is 1e9 %, expected 0 to 1000 %"),
        (gate("10", "5", "1e9").replace("gate", "second-gate"), "the gate’s threshold is 1e9 %"),
        ("{\"rail\":{\"index_offset_mm\":-1e300}}".to_owned(), "the guide rail’s index offset is -1e300 mm"),
        (finger("1e300"), "the finger’s place along the weld is 1e300 mm"),
        ("{\"beam\":{\"beam\":-1}}".to_owned(), "no event at column"),
        (json(&Event::Pose(at(1e300))), "the probe stands 1e300 along the weld, expected at most 1e5"),
    ] {
        let found = said(&event);
        assert!(found.starts_with("log line 2: ") && found.contains(expected), "{event}: {found}");
    }
    for good in [gate("10", "5", "20"), finger("30"), json(&Event::Pose(at(30.0)))] {
        assert_eq!(said(&good), "");
    }
}

#[test]
fn set_ups_that_no_instrument_has_are_refused_in_words() {
    let change = |pointer: &str, value: serde_json::Value| {
        let mut event = serde_json::to_value(Event::SetUp(Box::new(SetUp::of(&paper().procedure)))).unwrap();
        *event.pointer_mut(&format!("/set-up/{pointer}")).unwrap() = value;
        said(&event.to_string())
    };
    assert_eq!(change("range_mm", 110.0.into()), "");
    for (pointer, value) in [
        ("range_mm", 1e300),
        ("sector/to_deg", 89.9),
        ("sector/step_deg", 1e-9),
        ("sector/active_elements", 4e9),
        ("probe/elements", 4e9),
        ("probe/pitch_mm", -0.5),
        ("probe/frequency_mhz", 1e-300),
        ("probe/wedge_width_mm", 1e300),
        ("probe/wedge_material/longitudinal_mm_per_us", 0.0),
        ("probe/wedge_material/loss_db_per_mm", -1e300),
        ("receiver/averages", 4e9),
    ] {
        let whole = matches!(pointer, "sector/active_elements" | "probe/elements" | "receiver/averages");
        let value = if whole { (value as u64).into() } else { value.into() };
        let found = change(pointer, value);
        assert!(
            found.starts_with("log line 2: no set-up: ") && found.contains("expected"),
            "{pointer}: {found}"
        );
    }
}

#[test]
fn what_a_call_was_made_from_lies_within_the_same_bounds() {
    let good = Snapshot {
        t_ms: u64::MAX,
        pose: at(30.0),
        gain_db: 46.0,
        beam: u32::MAX,
        gate: Gate { start_mm: 20.0, length_mm: 10.0, threshold_percent: 0.0 },
        tick: u32::MAX,
        contact_loss_db: 0.0,
    };
    let called = |snapshot: Snapshot| {
        said(&json(&Event::CallAdded(Call { snapshot: Some(Box::new(snapshot)), ..Call::default() })))
    };
    assert_eq!(called(good.clone()), "");
    assert!(called(Snapshot { gain_db: -1e300, ..good.clone() }).contains("the gain is -1e300 dB"));
    assert!(
        called(Snapshot { contact_loss_db: -1e300, ..good.clone() }).contains("what the contact took is")
    );
    assert!(called(Snapshot { pose: at(1e9), ..good.clone() }).contains("expected at most 1e5"));
    let gate = Gate { length_mm: 1e300, ..good.gate };
    assert!(called(Snapshot { gate, ..good }).contains("the gate’s length is 1e300 mm"));
}

#[test]
fn no_session_has_a_hundred_thousand_set_ups_or_slides_around_the_earth() {
    let mut log = Log::new("TH-07", "0123");
    let set_up = Box::new(SetUp::of(&paper().procedure));
    let refused = (0..100_000_u64).find_map(|k| log.push(k, Event::SetUp(set_up.clone())).err()).unwrap();
    let line = MOST_SET_UPS + 2;
    assert_eq!(
        refused.to_string(),
        format!("log line {line}: the set-up was changed 2000 times before, expected no more")
    );
    let mut log = Log::new("TH-07", "0123");
    for k in 0..7_000_u32 {
        log.push(20_000 * u64::from(k), Event::Pose(at(if k % 2 == 0 { 0.0 } else { 1900.0 }))).unwrap();
    }
    log.push(u64::MAX, Event::HandIn).unwrap();
    let text = hand_in::write("Eve", &log, None, "0", None).unwrap();
    let refused = HandIn::parse("eve.json", text.as_bytes()).unwrap_err().to_string();
    assert_eq!(refused, "eve.json: its probe slid 13.3 km, expected at most 10 km");
}

/// A file as large as any may be, of what takes longest to follow: it comes to an end, and answers that mean nothing do no harm.
#[test]
fn a_hostile_session_is_marked_and_looked_back_on() {
    let paper = paper();
    let mut log = Log::new(&paper.plate.id, &paper.digest());
    let own = SetUp::of(&paper.procedure);
    for k in 0..40_u32 {
        let set_up = SetUp { range_mm: own.range_mm - f64::from(k), ..own.clone() };
        log.push(u64::from(k) * 1000, Event::SetUp(Box::new(set_up))).unwrap();
        for flaw in &paper.plate.flaws {
            log.push(u64::from(k) * 1000, Event::Pose(at(flaw.start_mm))).unwrap();
        }
    }
    let huge = |value: f64| Call {
        start_mm: Some(value),
        end_mm: Some(-value),
        offset_mm: Some(value),
        depth_mm: Some(value),
        height_mm: Some(value),
        amplitude_db: Some(value),
        leg: Some(255),
        remark: "\u{202e}<script>".repeat(50),
        ..Call::default()
    };
    for value in [1e300, f64::MAX, -f64::MAX, f64::MIN_POSITIVE] {
        log.push(60_000, Event::CallAdded(huge(value))).unwrap();
    }
    log.push(u64::MAX, Event::HandIn).unwrap();
    let text = hand_in::write("Eve", &log, None, "0", None).unwrap();
    let work = HandIn::parse("eve.json", text.as_bytes()).unwrap();
    let (marks, notes) = debrief::look_back(&paper, &work.log).unwrap();
    assert!(!marks.passed && marks.percent.is_finite() && marks.percent >= 0.0);
    let words = notes[0].session.last().unwrap().to_string();
    assert_eq!(words, "Looked at were the 16 most used of your 40 set-ups.");
    let language = crate::said::Language::english();
    let drawn = debrief::drawings(&language, &paper, work.sheet(), Some(&marks));
    assert!([drawn.top, drawn.side, drawn.end].iter().all(|svg| svg.len() < 100_000));
    let sitting = work.sitting(&paper);
    assert!(crate::report::examiner(&language, &paper, &sitting, &marks, &notes).len() < 1_000_000);
    assert!(crate::report::engineer(&language, &paper, &sitting).len() < 1_000_000);
    assert!(crate::report::welder(&language, &paper, &sitting).len() < 1_000_000);
}
