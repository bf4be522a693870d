//! A recorded scan without a browser: lines are taken where they are asked for, the probe has been there, and what the
//! browser keeps brings all of it back.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use exam::log::{Event, Log};
use exam::paper::Paper;
use exam::said::Language;
use exam::sheet::Call;
use exam::snapshot::{Rerun, Snapshot};
use instrument::pose::Side;
use instrument::recording::scale::STEP_DB;
use instrument::recording::{Colouring, Projection, Selection};
use page::bench::Bench;
use page::curve::Way;
use page::recorded::{RecordedScan, Wish};
use page::scan::Scan;
use page::session::Session;
use page::words::Words;
use specimen::joint::Preparation;

fn session_paper() -> Paper {
    Paper::generate(Preparation::SingleV, 2, 4711)
}

fn session() -> Session {
    Session::new(session_paper()).expect("a generated paper can be sat")
}

fn wish(from_mm: f64, to_mm: f64) -> Wish {
    Wish {
        face: instrument::pose::Face::Upper,
        sides: vec![Side::A, Side::B],
        index_offsets_mm: vec![14.0],
        skew_deg: 0.0,
        from_mm,
        to_mm,
        step_mm: 1.0,
    }
}

fn recorded(session: &mut Session) -> RecordedScan {
    let mut scan = RecordedScan::new(session);
    let (first, lines) = scan.begin(session, &wish(40.0, 52.0)).unwrap();
    assert_eq!((first, lines.as_slice()), (0, &[13, 13][..]));
    for (pass, &lines) in lines.iter().enumerate() {
        for line in 0..lines {
            // A line is left out, as when the probe is too fast.
            if (pass, line) != (1, 5) {
                scan.take(session, 1000 * (1 + u64::from(line) + 13 * pass as u64), pass, line).unwrap();
            }
        }
    }
    scan
}

#[test]
fn lines_are_taken_the_log_knows_and_what_is_kept_brings_them_back() {
    let mut session = session();
    let mut scan = recorded(&mut session);
    let about = scan.about().unwrap();
    assert!(about.contains("\"missing\":[5]"), "{about}");
    let log = session.log_text().unwrap();
    assert!(
        log.contains("\"y_mm\":52.0") && log.contains("\"side\":\"B\""),
        "where the probe was is in the log"
    );
    assert!(session.examined().unwrap().contains("\"side\":\"A\""));
    let kept = scan.kept().unwrap();
    let mut again = RecordedScan::from_kept(&kept).unwrap();
    assert_eq!(again.about().unwrap(), about);
    for at in [0, 9, 40, 3000, kept.len() - 1] {
        let mut broken = kept.clone();
        broken[at] ^= 4;
        assert!(RecordedScan::from_kept(&broken).is_err(), "byte {at}");
        assert!(RecordedScan::from_kept(&kept[..at]).is_err(), "cut at {at}");
    }
    let samples: usize = 25 * 61;
    assert!(kept.len() > 100 * samples && scan.about().unwrap().len() < 10_000);
    let gain_db = 50.0;
    for projection in [Projection::Top, Projection::Side, Projection::End] {
        let painted = scan.paint(projection, Colouring::Amplitude, gain_db, 0.0).unwrap();
        assert_eq!(again.paint(projection, Colouring::Amplitude, gain_db, 0.0), Some(painted));
        assert!(scan.pixels.chunks_exact(4).any(|pixel| pixel[3] == 255));
        assert_eq!(scan.pixels, again.pixels);
    }
    assert_eq!(scan.highest(), again.highest());
}

#[test]
fn the_highest_place_is_read_and_sized() {
    let mut session = session();
    let mut scan = recorded(&mut session);
    let place = scan.highest().unwrap();
    let gain_db = scan_gain(&scan);
    let reading = scan
        .reading(place.pass as usize, place.line, place.beam as usize, place.sound_path_mm, gain_db)
        .unwrap();
    assert!((reading.y_mm - place.y_mm).abs() < 0.01);
    assert!((reading.depth_mm - place.depth_mm).abs() < 2.5, "{reading:?} {place:?}");
    let near = |mm: f64| Some([mm - 3.0, mm + 3.0]);
    let within = Selection {
        offset_mm: near(place.offset_mm),
        depth_mm: near(place.depth_mm),
        pass: Some(place.pass),
        ..Selection::default()
    };
    let curve = scan.curve(Way::Along, within, gain_db, 6.0).unwrap();
    let peak = curve.percent.iter().copied().fold(0.0, f64::max);
    let at = curve.percent.iter().position(|&height| height >= peak).unwrap();
    // The curve has its highest place where the view has it.
    assert!((curve.positions_mm[at] - place.y_mm).abs() <= 0.5, "{curve:?} {place:?}");
    let shown_db = 20.0 * libm::log10(peak / 80.0) - (gain_db - reference_gain(&scan));
    assert!((shown_db - place.amplitude_db.unwrap()).abs() < 0.01, "{shown_db} {place:?}");
}

fn scan_gain(scan: &RecordedScan) -> f64 {
    let about: serde_json::Value = serde_json::from_str(&scan.about().unwrap()).unwrap();
    about["gain_db"].as_f64().unwrap()
}

fn reference_gain(scan: &RecordedScan) -> f64 {
    let about: serde_json::Value = serde_json::from_str(&scan.about().unwrap()).unwrap();
    about["setting"]["reference_gain_db"].as_f64().unwrap()
}

#[test]
fn what_cannot_be_recorded_is_told_and_nothing_is_begun() {
    let mut session = session();
    let mut scan = RecordedScan::new(&session);
    for (wish, word) in [
        (wish(-1.0, 20.0), "First line"),
        (wish(20.0, 10.0), "Last line"),
        (Wish { step_mm: 0.0, ..wish(0.0, 20.0) }, "Step"),
        (Wish { index_offsets_mm: vec![1e6], ..wish(0.0, 20.0) }, "Index offset"),
        (Wish { from_mm: f64::NAN, ..wish(0.0, 20.0) }, "First line"),
        (Wish { index_offsets_mm: vec![10.0; 40], ..wish(0.0, 20.0) }, "at most 64 passes"),
    ] {
        let told = scan.begin(&session, &wish).unwrap_err().to_string();
        assert!(told.contains(word), "{told}");
    }
    assert!(scan.about().unwrap().contains("\"passes\":[]"));
    assert!(scan.take(&mut session, 0, 0, 0).is_err());
}

/// Sixty lines a second: a probe that slides over more than it leaves time for loses lines, one that is slow loses none.
#[test]
fn a_probe_that_slides_too_fast_loses_lines() {
    let recorded = |way_mm: f64, each_ms: f64| -> usize {
        let plate = Paper::generate(Preparation::SingleV, 2, 4711).to_toml().unwrap();
        let mut bench = Bench::from_paper("plate.toml", plate.as_bytes()).ok().unwrap();
        let mut scan = Scan::on(&bench);
        let words = Words::of("");
        let wish = r#"{"face":"upper","sides":["A"],"index_offsets_mm":[14],"skew_deg":0,"from_mm":40,"to_mm":79,"step_mm":1}"#;
        scan.begin(&words, &bench, wish).ok().unwrap();
        let (mut from_mm, mut t_ms) = (39.5, 0.0);
        while from_mm < 79.0 {
            let y_mm = (from_mm + way_mm).min(79.0);
            t_ms += each_ms;
            bench.set_pose(t_ms, "A", 14.0, y_mm, 0.0).ok().unwrap();
            for line in scan.passed(&bench, 0, from_mm, each_ms) {
                scan.take(&mut bench, t_ms, 0, line).ok().unwrap();
            }
            from_mm = y_mm;
        }
        let about: serde_json::Value = serde_json::from_str(&scan.about().ok().unwrap()).unwrap();
        40 - about["passes"][0]["missing"].as_array().unwrap().len()
    };
    // A millimetre in a sixtieth of a second, and one in a second.
    assert_eq!((recorded(1.0, 17.0), recorded(1.0, 1000.0)), (40, 40));
    // Eight millimetres in 50 ms leave time for three lines of eight.
    let found = recorded(8.0, 50.0);
    assert!((10..=20).contains(&found), "{found} of 40");
}

#[test]
fn a_line_without_contact_is_missing() {
    let mut paper = Paper::generate(Preparation::SingleV, 2, 4711);
    paper.procedure.bench.always_wet = false;
    let mut session = Session::new(paper).unwrap();
    let all_but_the_last = "\"missing\":[0,1,2,3,4,5,6,7,8,9,10,11,12]";
    assert!(recorded(&mut session).about().unwrap().contains(all_but_the_last));
    let stroke = r#"{"from_mm":[-40,0],"to_mm":[-40,300],"reach_mm":40}"#;
    session.lay_couplant(100_000, stroke).unwrap();
    let mut scan = RecordedScan::new(&session);
    scan.begin(&session, &wish(40.0, 52.0)).unwrap();
    (0..13).for_each(|line| scan.take(&mut session, 101_000 + u64::from(line), 0, line).unwrap());
    assert!(scan.about().unwrap().contains("\"missing\":[]"));
}

/// Lifted off there is no line, whatever lies on the plate; set down again there is. The log says so to whoever takes it up.
#[test]
fn a_line_with_the_probe_lifted_off_is_missing() {
    let mut session = session();
    let mut scan = RecordedScan::new(&session);
    scan.begin(&session, &wish(40.0, 52.0)).unwrap();
    for line in 0..13_u32 {
        if [4, 8].contains(&line) {
            session.set_lifted(1000 + u64::from(line), line == 4).unwrap();
        }
        scan.take(&mut session, 1000 + u64::from(line), 0, line).unwrap();
    }
    assert!(scan.about().unwrap().contains("\"missing\":[4,5,6,7]"), "{}", scan.about().unwrap());
    session.set_lifted(2000, true).unwrap();
    let mut again = Session::new(Paper::generate(Preparation::SingleV, 2, 4711)).unwrap();
    let state = again.restore(&session.log_text().unwrap()).unwrap();
    assert!(state.contains("\"lifted\":true") && state == session.now(None).unwrap());
    session.hand_in(3000, &Language::english()).unwrap();
    assert!(session.replay(1006).unwrap().contains("\"lifted\":true"));
    assert!(session.replay(1500).unwrap().contains("\"lifted\":false"));
}

#[test]
fn lines_lie_where_the_encoder_counts_them() {
    let mut paper = Paper::generate(Preparation::SingleV, 2, 4711);
    paper.procedure.bench.calibrated = false;
    let mut session = Session::new(paper).unwrap();
    let last_mm = |session: &mut Session, t_ms: u64| -> f64 {
        let mut scan = RecordedScan::new(session);
        scan.begin(session, &wish(40.0, 240.0)).unwrap();
        scan.take(session, t_ms, 0, 200).unwrap();
        let now: serde_json::Value = serde_json::from_str(&session.now(None).unwrap()).unwrap();
        now["pose"]["y_mm"].as_f64().unwrap()
    };
    let before = (last_mm(&mut session, 1000) - 240.0).abs();
    assert!((2.0..5.0).contains(&before), "{before} mm off");
    session.encoder_accept(2000, 500.0).unwrap();
    let after = (last_mm(&mut session, 3000) - 240.0).abs();
    assert!(after < 0.1, "{after} mm off");
}

/// What the line showed, and what is computed anew, differ by the steps in which a recording keeps heights, no more.
#[test]
fn a_call_in_a_recorded_scan_shows_what_it_was_made_from() {
    let mut session = session();
    let mut scan = recorded(&mut session);
    let place = scan.highest().unwrap();
    let (at, path_mm, gain_db) =
        ((place.pass as usize, place.line, place.beam as usize), place.sound_path_mm, 41.5);
    let reading = scan.reading(at.0, at.1, at.2, path_mm, gain_db).unwrap();
    let made_from = scan.made_from(&session, at, path_mm, gain_db).unwrap();
    assert_eq!((made_from.pose.y_mm, made_from.pose.index_offset_mm), (place.y_mm, 14.0));
    let call = |snapshot: &Snapshot| Call {
        snapshot: Some(Box::new(snapshot.clone())),
        ..Call::from_reading(&reading, snapshot.pose.side)
    };
    session.edit(60_000, Event::CallAdded(call(&made_from))).unwrap();
    // What was kept in the browser has lost the numbers of its frames: the receiver's noise is another.
    let kept = RecordedScan::from_kept(&scan.kept().unwrap()).unwrap();
    let by_the_log = kept.made_from(&session, at, path_mm, gain_db).unwrap();
    assert_eq!(Snapshot { tick: by_the_log.tick, ..made_from.clone() }, by_the_log);
    session.edit(61_000, Event::CallAdded(call(&by_the_log))).unwrap();

    let recorded = scan.trace(at.0, at.1, at.2, gain_db).unwrap();
    let shots = session.shots(None).unwrap();
    let log = Log::parse(&session.log_text().unwrap()).unwrap();
    let native = Rerun::new(&session_paper(), &log).shots().unwrap();
    for (shot, apart_db) in shots.iter().zip([STEP_DB, 2.0 * STEP_DB]) {
        let shot = shot.as_ref().unwrap();
        let again = shot.reading.as_ref().unwrap();
        assert!((again.amplitude_db - reading.amplitude_db).abs() <= apart_db, "{again:?} {reading:?}");
        assert!((again.sound_path_mm - reading.sound_path_mm).abs() < 0.3, "{again:?} {reading:?}");
        assert_eq!(shot.trace.percent.len(), recorded.percent.len());
    }
    let high = |percent: &&f32| **percent > 20.0;
    assert!(recorded.percent.iter().filter(high).count() > 5);
    let exact = &shots[0].as_ref().unwrap().trace.percent;
    for (again, kept) in exact.iter().zip(&recorded.percent).filter(|(again, _)| **again > 20.0) {
        let apart_db = 20.0 * libm::log10(f64::from(again / kept));
        assert!(apart_db.abs() < 1.5 * STEP_DB, "{again} {kept}");
    }
    for (shot, native) in shots.iter().zip(&native) {
        let [shot, native] = [shot, native].map(|shot| shot.as_ref().unwrap());
        assert!(shot.rgba == native.rgba && shot.trace.percent == native.trace.percent);
    }
    // With another set-up on the bench the frame would be another one: nothing is kept then.
    let mut sheet: serde_json::Value = serde_json::from_str(&session.set_up_sheet().unwrap()).unwrap();
    let mut set_up = sheet["set_up"].take();
    set_up["range_mm"] = 90.0.into();
    session.change_set_up(70_000, &set_up.to_string()).unwrap();
    assert_eq!(scan.made_from(&session, at, path_mm, gain_db), None);
    assert!(session.shots(None).unwrap().iter().all(Option::is_some), "those that were made stay");
}
