//! Every lesson can be done: each goal is open when its step begins, and reached by what the page lets hands do.

mod student;

use serde_json::json;
use student::{Student, file};

#[test]
fn sound_in_steel() {
    let mut student = Student::opens("sound-in-steel");
    student.stands("A", 35.0, 30.0);
    assert!(student.gates(20.0, 0.0, 1));
    student.reached();
    student.shows("unfolded", None);
    student.reached();
    student.shows("folded", None);
    student.stands("A", -60.0, 30.0);
    assert!(student.gates(1.0, 110.0, 2));
    student.reached();
    student.is_done();
}

#[test]
fn what_stays() {
    let mut student = Student::opens("what-stays");
    assert!(student.gates(20.0, 2.5, 1));
    student.reached();
    student.stands("A", 21.0, 180.0);
    student.reached();
    // The cap lies at the face, where the second leg ends and the third begins: its highest sample is in either.
    assert!([2, 3].into_iter().any(|leg| student.gates(0.4, 13.5, leg)));
    student.reached();
    student.stands("A", 39.0, 130.0);
    assert!(student.gates(11.0, -5.4, 2));
    student.reached();
    student.is_done();
}

#[test]
fn gain() {
    let mut student = Student::opens("gain");
    assert!(student.gates(39.0, -107.0, 1));
    student.reached();
    student.gain(40.0);
    student.reached();
    student.gain(34.0);
    student.reached();
    student.stands("B", -45.0, 12.5);
    assert!(student.gates(59.0, -89.0, 1));
    student.gain(40.0);
    student.reached();
    student.is_done();
}

#[test]
fn contact() {
    let mut student = Student::opens("contact");
    student.wets();
    student.reached();
    assert!((0..=20).any(|more| {
        student.stands("A", 20.0 + f64::from(more), 100.0);
        student.gates(20.0, 2.5, 1) || student.gates(20.0, 2.5, 2)
    }));
    student.reached();
    student.wets();
    student.reached();
    student.is_done();
}

#[test]
fn from_the_other_side() {
    let mut student = Student::opens("other-side");
    student.stands("A", 39.0, 130.0).gain(30.0);
    assert!(student.gates(10.8, -5.4, 2));
    student.reached();
    student.stands("B", 15.0, 130.0);
    assert!(student.gates(12.3, -4.7, 1));
    student.reached();
    for turn in 1..=8 {
        student.turns(f64::from(turn));
        if student.looks()["met"] == true {
            break;
        }
    }
    student.reached();
    student.is_done();
}

#[test]
fn size_it() {
    let mut student = Student::opens("size-it");
    student.stands("A", 39.0, 130.0);
    student.reached();
    student.seeks("fallen_db", (0..400).map(|step| 130.0 - f64::from(step) * 0.1));
    let start_mm = student.place_mm();
    student.reached();
    student.seeks("fallen_db", (0..400).map(|step| 130.0 + f64::from(step) * 0.1));
    let end_mm = student.place_mm();
    student.reached();
    // What was measured, not what is known.
    student.calls(&json!({ "start_mm": start_mm, "end_mm": end_mm }));
    student.reached();
    student.is_done();
}

#[test]
fn crack_or_slag() {
    let mut student = Student::opens("crack-or-slag");
    student.stands("A", 17.0, 55.0);
    assert!(student.gates(8.5, 1.2, 2));
    student.reached();
    student.stands("B", 33.0, 55.0);
    assert!(student.gates(8.9, 2.5, 2));
    student.reached();
    student.stands("B", 16.0, 222.0);
    assert!(student.gates(20.0, 2.5, 1) || student.gates(20.0, 2.5, 2));
    student.reached();
    student.calls(&json!({ "kind": "slag-line", "start_mm": 55.0, "end_mm": 55.0 }));
    student.reached();
    student.calls(&json!({ "kind": "root-crack", "start_mm": 222.0, "end_mm": 222.0 }));
    student.reached();
    student.is_done();
}

#[test]
fn calibrate() {
    let mut student = Student::opens("calibrate");
    for step in ["speed", "wedge", "angles", "sensitivity", "path-gain"] {
        student.calibrates(step);
        student.reached();
    }
    student.calibrates_encoder();
    student.reached();
    student.is_done();
}

#[test]
fn scratch() {
    let mut student = Student::opens("scratch");
    assert!(student.gates(18.3, -15.6, 2));
    student.reached();
    student.stands("A", 45.0, 100.0);
    student.reached();
    assert!(student.gates(18.3, 40.6, 2));
    student.reached();
    student.is_done();
}

#[test]
fn report() {
    let mut student = Student::opens("report");
    for side in ["A", "B"] {
        for index_offset_mm in [14.0, 20.0, 26.0, 32.0, 38.0] {
            for y_mm in (0..=300).step_by(10) {
                student.stands(side, index_offset_mm, f64::from(y_mm));
            }
        }
    }
    student.reached();
    student.calls(
        &json!({ "kind": "slag-line", "start_mm": 37.0, "end_mm": 69.0, "offset_mm": -5.0, "depth_mm": 8.0,
        "height_mm": 2.0, "decision": "reject" }),
    );
    student.reached();
    student.hands_in();
    student.reached();
    student.is_done();
}

#[test]
fn third_leg() {
    let mut student = Student::opens("third-leg");
    student.beam(49.5);
    student.gate(43.0, 5.0, 10.0);
    student.reached();
    student.shows("unfolded", None);
    student.reached();
    student.shows("folded", None);
    student.beam(62.5);
    student.gate(32.0, 5.0, 10.0);
    student.reached();
    student.stands("A", 18.0, 197.0);
    student.beam(52.0);
    student.gate(41.0, 5.0, 10.0);
    student.reached();
    student.is_done();
}

#[test]
fn damping() {
    let mut student = Student::opens("damping");
    student.beam(59.5);
    student.gate(36.0, 5.0, 10.0);
    student.reached();
    student.presses(true);
    student.reached();
    student.presses(false);
    student.beam(62.5);
    student.gate(32.0, 5.0, 10.0);
    student.reached();
    student.looks();
    student.presses(true);
    student.reached();
    student.is_done();
}

#[test]
fn tilt() {
    let mut student = Student::opens("tilt");
    student.stands("B", 61.0, 199.0);
    // What is not offered does not move.
    student.varies(0.0);
    student.reached();
    student.varies(28.0);
    assert_eq!(student.looks()["met"], false, "two degrees are not enough");
    student.varies(24.0);
    student.reached();
    student.varies(0.0);
    assert_eq!(student.looks()["met"], false, "upright is dark from both sides");
    student.varies(-30.0);
    student.reached();
    student.is_done();
}

#[test]
fn short_flaws() {
    let mut student = Student::opens("short");
    student.varies(10.0);
    assert_eq!(student.looks()["met"], false, "at 10 mm the echo has hardly fallen");
    student.varies(3.0);
    student.reached();
    student.seeks("fallen_db", (0..200).map(|step| 130.0 - f64::from(step) * 0.1));
    let start_mm = student.place_mm();
    assert!((start_mm - 127.4).abs() < 0.4, "{start_mm}");
    student.reached();
    student.seeks("fallen_db", (0..200).map(|step| 130.0 + f64::from(step) * 0.1));
    let end_mm = student.place_mm();
    assert!((end_mm - 132.6).abs() < 0.4, "{end_mm}");
    student.reached();
    student.calls(&json!({ "start_mm": start_mm, "end_mm": end_mm }));
    student.reached();
    student.is_done();
}

#[test]
fn the_order_names_lessons_that_are_tested_here() {
    let order = exam::lessons::Order::parse("order.toml", &file("lessons/order.toml")).expect("an order");
    let tests = include_str!("main.rs");
    for name in order.lessons {
        assert!(tests.contains(&format!("opens(\"{name}\")")), "{name} is tested by nobody");
    }
}
