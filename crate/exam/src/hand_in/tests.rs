use acoustics::seed::Stream;
use instrument::pose::{Face, Pose, Side};
use specimen::joint::Preparation;

use super::*;
use crate::event::Event;
use crate::sheet::Call;

const KEY: [u8; 32] = [7; 32];
const MARK: Option<ToldMark> = Some(ToldMark { percent: 71.234_567_890_123, passed: true });

fn paper() -> Paper {
    Paper::generate(Preparation::SingleV, 2, 11)
}

/// A session of so many minutes at five poses a second: to and fro along the weld in rows, an echo called now and then.
fn session(minutes: u64) -> Log {
    let paper = paper();
    let mut log = Log::new(&paper.plate.id, &paper.digest());
    for step in 0..minutes * 300 {
        let y_mm = (step % 600) as f64 / 2.0;
        let pose = Pose {
            face: Face::Upper,
            side: if step % 1200 < 600 { Side::A } else { Side::B },
            index_offset_mm: 15.0 + (step / 1200) as f64 * 1.5,
            y_mm: if step % 1200 < 600 { y_mm } else { 300.0 - y_mm },
            skew_deg: 0.0,
        };
        log.push(step * 200, Event::Pose(pose)).unwrap();
        if step % 300 == 299 {
            let call = Call { start_mm: Some(y_mm), end_mm: Some(y_mm + 12.5), ..Call::default() };
            log.push(step * 200, Event::CallAdded(call)).unwrap();
        }
    }
    log.push(minutes * 60_000, Event::HandIn).unwrap();
    log
}

fn written() -> String {
    write("Ada of the boatyard", &session(2), MARK, "0123:4", Some(&KEY)).unwrap()
}

#[test]
fn what_was_handed_in_is_read_to_the_last_digit() {
    let read = HandIn::parse("ada.json", written().as_bytes()).unwrap();
    assert_eq!(read.check("ada.json", &paper(), Some(&KEY)), Ok(Signature::Good));
    assert_eq!(read.told_mark(), MARK);
    assert_eq!(read.log, session(2));
    assert_eq!((read.sitter(), read.used_ms()), ("Ada of the boatyard", 120_000));
    assert_eq!(read.sheet().calls.len(), 2);
}

#[test]
fn half_an_hour_stays_under_two_hundred_kilobytes() {
    let text = write("", &session(30), MARK, "0123:4", Some(&KEY)).unwrap();
    println!("{} bytes", text.len());
    assert!(text.len() < 200_000, "{} bytes", text.len());
}

#[test]
fn another_plate_another_key_and_no_signature_are_told_apart() {
    let read = HandIn::parse("ada.json", written().as_bytes()).unwrap();
    let other = Paper::generate(Preparation::SingleV, 2, 12);
    let said =
        |paper: &Paper, key: Option<&[u8; 32]>| read.check("ada.json", paper, key).unwrap_err().to_string();
    assert!(said(&other, Some(&KEY)).contains("expected plate tern-harbour-single-v-2-12"));
    assert!(said(&paper(), Some(&[8; 32])).contains("its signature is not that of this plate"));
    let unsigned = write("Ada", &session(1), MARK, "", None).unwrap();
    let hurried = unsigned.replacen("60000", "59000", 1);
    let error = HandIn::parse("ada.json", hurried.as_bytes()).unwrap_err().to_string();
    assert!(error.contains("used_ms is 59000, but its log ends at 60000 ms"), "{error}");
    let read = HandIn::parse("ada.json", unsigned.as_bytes()).unwrap();
    assert_eq!(read.check("ada.json", &paper(), None), Ok(Signature::Absent));
    assert!(read.check("ada.json", &paper(), Some(&KEY)).is_err(), "a sealed plate asks for a signature");
}

/// Any byte changed to any other, anywhere: refused in words.
#[test]
fn ten_thousand_flips_of_a_hand_in_are_refused() {
    let (text, paper) = (write("Ada", &session(1), MARK, "0123:4", Some(&KEY)).unwrap(), paper());
    let mut stream = Stream::new(8, "flips of a hand-in");
    for _ in 0..10_000 {
        let mut bytes = text.clone().into_bytes();
        let at = stream.below(bytes.len() as u32) as usize;
        bytes[at] ^= 1 + stream.below(255) as u8;
        let refused =
            HandIn::parse("ada.json", &bytes).and_then(|read| read.check("ada.json", &paper, Some(&KEY)));
        let error = refused.expect_err("a flip was accepted").to_string();
        assert!(error.starts_with("ada.json: ") && error.contains("expected"), "byte {at}: {error}");
    }
}
