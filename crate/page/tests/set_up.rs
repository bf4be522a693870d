//! A set-up in the operator's hand: taken, refused with a reason, restored from the log.

use exam::paper::Paper;
use exam::said::Language;
use instrument::bench::View;
use page::session::Session;
use serde_json::{Value, json};
use specimen::joint::Preparation;

fn paper() -> Paper {
    Paper::generate(Preparation::SingleV, 2, 4711)
}

fn session() -> Session {
    Session::new(paper()).expect("a generated paper can be sat")
}

fn read(text: &str) -> Value {
    serde_json::from_str(text).expect("JSON")
}

fn sheet(session: &Session) -> Value {
    read(&session.set_up_sheet().expect("a sheet"))
}

/// Takes the set-up in use with one value changed; gives what came of it.
fn change(session: &mut Session, pointer: &str, value: Value) -> Value {
    let mut set_up = sheet(session)["set_up"].take();
    *set_up.pointer_mut(pointer).expect("a value to change") = value;
    read(&session.change_set_up(1000, &set_up.to_string()).expect("an answer"))
}

fn digest(session: &mut Session) -> String {
    session.set_pose(1200, "A", [20.0, 100.0, 0.0]).expect("a place");
    session.frame();
    session.digest()
}

#[test]
fn a_new_sector_gives_other_beams_and_the_old_one_the_old_frame() {
    let mut session = session();
    let before = digest(&mut session);
    let told = change(&mut session, "/sector/to_deg", json!(60.0));
    assert_eq!(told["problems"], json!([]));
    let about = read(&session.about().unwrap());
    assert_eq!(about["beams"].as_array().unwrap().len(), 41);
    assert_eq!(about["procedure"]["sector"]["to_deg"], 60.0);
    assert_eq!(about["prescribed"]["sector"]["to_deg"], 70.0);
    assert_ne!(digest(&mut session), before);
    session.paint(View::Folded, None);
    change(&mut session, "/sector/to_deg", json!(70.0));
    // The electronic noise is that of its frame number; three frames were taken before.
    let mut fresh = self::session();
    digest(&mut fresh);
    digest(&mut fresh);
    assert_eq!(digest(&mut session), digest(&mut fresh));
}

#[test]
fn the_chosen_beam_keeps_its_angle() {
    let mut session = session();
    session.set_beam(10, 20).unwrap();
    let told = change(&mut session, "/sector/from_deg", json!(45.0));
    assert_eq!(told["beam"], 10);
}

#[test]
fn an_impossible_set_up_is_explained_and_the_old_one_stays() {
    let mut session = session();
    let before = session.log_text().unwrap();
    let told = change(&mut session, "/sector/active_elements", json!(60));
    assert_eq!(told["problems"][0]["kind"], "aperture-too-wide");
    assert_eq!(told["problems"][0]["most_active"], 48);
    assert_eq!(told["set_up"]["sector"]["active_elements"], 32);
    assert_eq!(session.log_text().unwrap(), before);
    assert!(session.change_set_up(10, "{}").is_err());
}

#[test]
fn a_log_brings_the_set_up_back() {
    let mut before = session();
    change(&mut before, "/probe/frequency_mhz", json!(4.0));
    change(&mut before, "/receiver/averages", json!(8));
    before.set_beam(1100, 12).unwrap();
    let mut after = session();
    let state = after.restore(&before.log_text().unwrap()).unwrap();
    assert_eq!(state, before.now(None).unwrap());
    assert_eq!(after.about().unwrap(), before.about().unwrap());
    assert_eq!(digest(&mut after), digest(&mut before));
}

#[test]
fn of_a_log_with_an_impossible_set_up_what_comes_before_is_kept() {
    let mut before = session();
    change(&mut before, "/sector/to_deg", json!(60.0));
    let text = before.log_text().unwrap().replace("\"to_deg\":60.0", "\"to_deg\":89.0");
    let mut after = session();
    let about = after.about().unwrap();
    let state: serde_json::Value = serde_json::from_str(&after.restore(&text).unwrap()).unwrap();
    let damage = state["damage"].as_str().unwrap();
    assert!(damage.starts_with("log line 2: ") && damage.contains("sector.to_deg is 89"), "{damage}");
    assert_eq!(after.about().unwrap(), about);
}

#[test]
fn the_mark_does_not_depend_on_the_set_up() {
    let mut plain = session();
    let mut other = session();
    change(&mut other, "/sector/to_deg", json!(50.0));
    assert_eq!(
        plain.hand_in(2000, &Language::english()).unwrap(),
        other.hand_in(2000, &Language::english()).unwrap()
    );
}

#[test]
fn averaging_quietens_the_receiver() {
    let noise = |averages: u32| {
        let mut session = session();
        change(&mut session, "/receiver/averages", json!(averages));
        change(&mut session, "/receiver/rectification", json!("unrectified"));
        session.set_gain_db(1300, 80.0).unwrap();
        session.set_pose(1300, "A", [25.0, 100.0, 0.0]).unwrap();
        // Echoes and grain stay from frame to frame; what changes is electronic noise.
        let mut frames = (0..2).map(|_| {
            session.frame();
            session.take_trace();
            session.trace().0.to_vec()
        });
        let (one, other) = (frames.next().unwrap(), frames.next().unwrap());
        assert!(one.iter().any(|&value| value < 0.0), "an unrectified wave swings both ways");
        one.iter().zip(&other).map(|(a, b)| f64::from((a - b) * (a - b))).sum::<f64>()
    };
    let ratio = noise(1) / noise(16);
    assert!((12.0..20.0).contains(&ratio), "the noise power falls to a sixteenth: {ratio}");
}

#[test]
fn the_plan_of_a_set_up_is_told_before_it_is_taken() {
    let session = session();
    let plan = |range_mm: f64, sides: Value, index_offset_mm: [f64; 2]| {
        let mut set_up = sheet(&session)["set_up"].take();
        set_up["range_mm"] = json!(range_mm);
        let wish = json!({
            "set_up": set_up, "face": "upper", "sides": sides, "index_offset_mm": index_offset_mm, "legs": 3,
        });
        read(&session.scan_plan(&wish.to_string()).unwrap())
    };
    let reached = |plan: &Value| plan["plan"]["coverage"]["reached_percent"].as_f64().unwrap();
    let both = || json!(["A", "B"]);
    let whole = reached(&plan(110.0, both(), [15.0, 40.0]));
    assert!(whole > reached(&plan(25.0, both(), [15.0, 40.0])) + 5.0);
    // On a guide rail one side is not enough.
    let rail = |sides| reached(&plan(40.0, sides, [12.0; 2]));
    let (rail, one_side) = (rail(both()), rail(json!(["A"])));
    assert!(whole > rail && rail > one_side, "{whole} {rail} {one_side}");
    let refused = plan(5000.0, json!(["A"]), [15.0, 40.0]);
    assert_eq!(refused["problems"][0]["kind"], "out-of-range");
    assert!(refused["plan"].is_null());
}

/// Changes the largest angle, with tables made by two, by an order for some angle; the other's share is handed over as `passed` leaves it.
fn shared(session: &mut Session, ordered_deg: f64, to_deg: f64, passed: impl Fn(&mut Vec<u8>)) -> String {
    let mut set_up = sheet(session)["set_up"].take();
    set_up["sector"]["to_deg"] = json!(ordered_deg);
    let order = session.order_tables(&set_up.to_string()).expect("an order");
    assert!(!order.is_empty());
    session.make_share(0, 2);
    let mut share = page::tables::share(&order, 1, 2).expect("a share");
    passed(&mut share);
    session.take_share(share);
    change(session, "/sector/to_deg", json!(to_deg));
    digest(session)
}

#[test]
fn tables_shared_out_give_the_frame_of_one_worker() {
    let mut alone = session();
    change(&mut alone, "/sector/to_deg", json!(60.0));
    let wanted = digest(&mut alone);
    assert_eq!(shared(&mut session(), 60.0, 60.0, |_| ()), wanted);
    // What was made for another set-up is not used, nor is half a share.
    assert_eq!(shared(&mut session(), 60.5, 60.0, |_| ()), wanted);
    assert_eq!(shared(&mut session(), 60.0, 60.0, |share| share.truncate(1000)), wanted);
    // And what was made for this one is: with other numbers in it, the frame is another.
    let spoilt = |share: &mut Vec<u8>| {
        // Behind the order's digest and the head of the run come arrays, each after its length: rows, delays, coefficients.
        let after = |share: &[u8], at: usize| {
            let length = share[at..at + 4].try_into().map(u32::from_le_bytes).expect("a length");
            at + 4 + length as usize
        };
        let coefficients = after(share, after(share, 24));
        let end = after(share, coefficients);
        share[coefficients + 4..end].fill(0);
    };
    assert_ne!(shared(&mut session(), 60.0, 60.0, spoilt), wanted);
}

#[test]
fn nothing_is_ordered_for_a_set_up_that_needs_no_tables_or_cannot_be() {
    let mut session = session();
    let mut set_up = sheet(&session)["set_up"].take();
    set_up["receiver"]["averages"] = json!(4);
    assert!(session.order_tables(&set_up.to_string()).expect("no order").is_empty());
    set_up["sector"]["to_deg"] = json!(89.9);
    assert!(session.order_tables(&set_up.to_string()).expect("no order").is_empty());
    assert!(session.order_tables("{}").is_err());
    assert!(page::tables::share(b"no order", 0, 2).is_err());
}
