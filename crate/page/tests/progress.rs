//! What was learned over many plates, from the records that a browser keeps.

use page::progress::told;
use serde_json::{Value, json};

fn flaw(height_mm: f64, found: bool) -> Value {
    let called = found
        .then(|| json!({ "kind": "single-pore", "length_mm": 12.0, "depth_mm": 9.0, "height_mm": null }));
    json!({ "kind": "root-crack", "length_mm": 10.0, "depth_mm": 10.0, "height_mm": height_mm, "called": called })
}

fn sitting(paper: &str, begun_ms: u64, flaws: Vec<Value>) -> Value {
    json!({ "paper_digest": paper, "begun_ms": begun_ms, "weld_length_mm": 250.0, "false_calls": 1, "flaws": flaws })
}

fn ask(sittings: &[Value]) -> Value {
    serde_json::from_str(&told(&json!(sittings).to_string()).expect("an answer")).expect("JSON")
}

/// One sitting of so many flaws, found by a rule of place and height.
fn of(count: usize, found: impl Fn(usize, f64) -> bool) -> Value {
    let flaws = (0..count)
        .map(|k| {
            let height_mm = 0.5 + 0.2 * k as f64;
            flaw(height_mm, found(k, height_mm))
        })
        .collect();
    ask(&[sitting("a", 1, flaws)])["progress"].clone()
}

fn near(value: &Value, expected: f64, within: f64) {
    let value = value.as_f64().unwrap_or(f64::NAN);
    assert!((value - expected).abs() <= within, "{value}, expected {expected}");
}

/// Small ones missed, with two that overlap.
fn mixed(k: usize, height_mm: f64) -> bool {
    (height_mm > 2.0 || k == 2) && k != 9
}

#[test]
fn nineteen_flaws_have_no_curve_and_twenty_have() {
    let few = of(19, mixed);
    assert_eq!(few["detection"], json!({ "state": "few", "missing": 1 }));
    assert_eq!(few["found"]["of"], 19);
    let curve = &of(20, mixed)["detection"];
    assert_eq!(curve["state"], "curve", "{curve}");
    let (a90, bound) =
        (curve["a90_mm"].as_f64().expect("a90"), curve["a90_95_mm"].as_f64().expect("a bound"));
    assert!(2.0 < a90 && a90 < bound, "{a90} {bound}");
    let points = curve["points"].as_array().expect("points");
    near(&points[0][0], 0.5, 1e-9);
    near(&points[points.len() - 1][0], 4.3, 1e-9);
    assert!(points.windows(2).all(|two| two[0][1].as_f64() < two[1][1].as_f64()), "it rises");
}

#[test]
fn what_has_no_curve_says_why() {
    assert_eq!(of(0, |_, _| true)["detection"], json!({ "state": "few", "missing": 20 }));
    assert_eq!(of(25, |_, _| true)["detection"], json!({ "state": "all-found" }));
    assert_eq!(of(25, |_, _| false)["detection"], json!({ "state": "none-found" }));
    let parted = &of(25, |_, height_mm| height_mm > 2.0)["detection"];
    assert_eq!(parted["state"], "no-curve");
    assert!(parted["reason"].as_str().is_some_and(|why| why.contains("do not overlap")), "{parted}");
    // Higher ones found less often: a curve, but no height that is found nine times in ten.
    let falling = &of(25, |k, height_mm| height_mm < 2.0 && k != 2 || k == 20)["detection"];
    assert_eq!((&falling["state"], &falling["a90_mm"]), (&json!("curve"), &Value::Null));
    assert_eq!(falling["a90_95_mm"], Value::Null);
}

/// The bounds are those of Clopper and Pearson (8 of 10: 44.39 to 97.48 %) and of Garwood (none: 3.689; 10: 4.795 to 18.39).
#[test]
fn counts_come_with_their_bounds() {
    let told = of(10, |k, _| k >= 2);
    assert_eq!((&told["found"]["found"], &told["found"]["of"]), (&json!(8), &json!(10)));
    near(&told["found"]["bounds_percent"][0], 44.39, 0.01);
    near(&told["found"]["bounds_percent"][1], 97.48, 0.01);
    let classes = told["heights"].as_array().expect("classes");
    assert_eq!(classes.iter().map(|class| class["of"].as_u64().unwrap_or(0)).sum::<u64>(), 10);
    // 0.5, 0.7 and 0.9 mm.
    assert_eq!((&classes[0]["found"], &classes[0]["of"]), (&json!(1), &json!(3)));
    for (calls, low, high) in [(0, 0.0, 3.689), (10, 4.795, 18.39)] {
        let mut one = sitting("a", 1, Vec::new());
        one["false_calls"] = json!(calls);
        one["weld_length_mm"] = json!(1000.0);
        let told = &ask(&[one])["progress"]["false_calls"];
        near(&told["per_m"], f64::from(calls), 1e-12);
        near(&told["bounds_per_m"][0], low, 0.001);
        near(&told["bounds_per_m"][1], high, 0.01);
    }
}

#[test]
fn sizes_are_told_with_their_sign_and_kinds_with_what_they_were_called() {
    let mut other = flaw(2.0, true);
    other["called"] = json!({ "kind": "root-crack", "length_mm": 6.0, "height_mm": 2.5 });
    let told = ask(&[sitting("a", 1, vec![flaw(1.0, true), other, flaw(3.0, false)])]);
    let told = &told["progress"];
    // 2 mm too long, 4 mm too short.
    assert_eq!(told["length"]["count"], 2);
    near(&told["length"]["mean_mm"], -1.0, 1e-12);
    near(&told["length"]["spread_mm"], 18_f64.sqrt(), 1e-12);
    assert_eq!(told["depth"], json!({ "count": 1, "mean_mm": -1.0, "spread_mm": null }));
    near(&told["height"]["mean_mm"], 0.5, 1e-12);
    let kinds = told["kinds"].as_array().expect("kinds");
    assert_eq!(kinds.len(), 2, "a miss was called nothing");
    assert_eq!(kinds.iter().filter(|row| row["right"] == true).count(), 1);
}

#[test]
fn a_plate_that_was_sat_before_counts_once_whatever_the_order() {
    let first = sitting("a", 10, vec![flaw(1.0, false)]);
    let again = sitting("a", 20, vec![flaw(1.0, true)]);
    for (list, marks) in [([first.clone(), again.clone()], [true, false]), ([again, first], [false, true])] {
        let told = &ask(&list)["progress"];
        assert_eq!(told["first"], json!(marks));
        assert_eq!((&told["found"]["found"], &told["found"]["of"]), (&json!(0), &json!(1)));
        assert_eq!(told["false_calls"]["count"], 1);
    }
}

#[test]
fn what_cannot_be_read_is_left_out_and_the_rest_told() {
    let good = sitting("a", 1, vec![flaw(1.0, true)]);
    let mut worse = sitting("c", 3, vec![flaw(-1.0, true)]);
    worse["weld_length_mm"] = json!(0);
    let told = ask(&[json!("nonsense"), good, sitting("b", 2, vec![json!({ "kind": "gap" })]), worse]);
    assert_eq!(told["read"], json!([null, 0, null, null]));
    assert_eq!(told["progress"]["found"]["of"], 1);
    assert!(page::progress::told("{").is_err());
}
