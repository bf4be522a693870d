//! Finger and scratch: what damps an echo tells where it comes from.
#![allow(clippy::disallowed_methods, clippy::unwrap_used, reason = "compared within tolerances")]

mod yard;

use acoustics::material::Solid;
use acoustics::shares::Shares;
use instrument::bench::Instrument;
use instrument::gate::{Gate, Reading};
use instrument::pose::{Face, Pose, Side};
use instrument::set_up::SetUp;
use instrument::shaping::Finger;
use instrument::table_order::table_order;
use instrument::truth::{Scratch, Truth};
use yard::{HOLE_MM, bench, procedure};

/// The 55° beam.
const BEAM: usize = 30;
const THICKNESS_MM: f64 = 25.0;
const TICK: u32 = 3;

fn sine_cosine() -> (f64, f64) {
    let angle = 55.0_f64.to_radians();
    (angle.sin(), angle.cos())
}

/// Puts the middle beam on the ball by a leg; gives the pose and the sound path.
fn on_the_ball(bench: &Instrument, unfolded_mm: f64) -> (Pose, f64) {
    let (sine, cosine) = sine_cosine();
    let path = unfolded_mm / cosine;
    let index_offset_mm = bench.exit_forward_mm(BEAM) + path * sine - HOLE_MM[0];
    (Pose { face: Face::Upper, side: Side::A, index_offset_mm, y_mm: HOLE_MM[1], skew_deg: 0.0 }, path)
}

fn read(bench: &mut Instrument, pose: &Pose, path_mm: f64) -> Option<Reading> {
    bench.scan(pose, TICK);
    bench.reading(BEAM, &Gate { start_mm: path_mm - 4.0, length_mm: 8.0, threshold_percent: 0.5 })
}

#[test]
fn a_finger_where_the_sound_bounces_lowers_what_comes_after_and_nothing_else() {
    let mut bench = bench();
    let (sine, cosine) = sine_cosine();
    let (second, long) = on_the_ball(&bench, 2.0 * THICKNESS_MM - HOLE_MM[2]);
    let (first, short) = on_the_ball(&bench, HOLE_MM[2]);
    let free = read(&mut bench, &second, long).unwrap();
    let direct = read(&mut bench, &first, short).unwrap();
    assert_eq!((free.leg, direct.leg), (2, 1));
    let exit_mm = bench.exit_forward_mm(BEAM);
    let bounce_mm = |pose: &Pose| exit_mm - pose.index_offset_mm + THICKNESS_MM / cosine * sine;
    let at = |offset_mm: f64, face: Face| Some(Finger::Plate { face, offset_mm, y_mm: HOLE_MM[1] });
    let (there, of_first) = (bounce_mm(&second), bounce_mm(&first));

    bench.set_finger(at(there, Face::Lower));
    let damped = read(&mut bench, &second, long).unwrap();
    let lost_db = free.amplitude_db - damped.amplitude_db;
    assert!((8.0..10.0).contains(&lost_db), "{lost_db} dB");
    assert!((damped.sound_path_mm - free.sound_path_mm).abs() < 0.3);
    // Elsewhere, or on the other face, it does nothing; nor to an echo that comes before the bounce.
    for finger in [at(there + 30.0, Face::Lower), at(there, Face::Upper)] {
        bench.set_finger(finger);
        assert_eq!(read(&mut bench, &second, long), Some(free));
    }
    bench.set_finger(at(of_first, Face::Lower));
    assert_eq!(read(&mut bench, &first, short), Some(direct));
}

#[test]
fn a_scratch_stays_where_it_is_until_a_finger_presses_the_wedge() {
    const PATH_MM: f64 = 25.0;
    let scratch = Scratch { path_mm: PATH_MM, beam: 0.5, level_db: -8.0 };
    let truth = Truth { scratch: Some(scratch), ..Truth::nominal() };
    let procedure = procedure();
    let scene = bench().take_scene();
    let mut bench =
        Instrument::on_bench(scene, &SetUp::of(&procedure), procedure.reference_gain_db, &truth).unwrap();
    let pose =
        |side, index_offset_mm, y_mm| Pose { face: Face::Upper, side, index_offset_mm, y_mm, skew_deg: 0.0 };
    let here = read(&mut bench, &pose(Side::A, 20.0, 80.0), PATH_MM).unwrap();
    assert!((here.sound_path_mm - PATH_MM).abs() < 0.3, "{}", here.sound_path_mm);
    for other in [pose(Side::A, 35.0, 80.0), pose(Side::A, 20.0, 140.0), pose(Side::B, 12.0, 200.0)] {
        let there = read(&mut bench, &other, PATH_MM).unwrap();
        assert!((there.amplitude_db - here.amplitude_db).abs() < 0.3, "{other:?}");
        assert!((there.sound_path_mm - here.sound_path_mm).abs() < 0.1, "{other:?}");
    }
    // It lies before the film: a dry plate takes the ball's echo, not the scratch's.
    let (on_ball, path) = on_the_ball(&bench, 2.0 * THICKNESS_MM - HOLE_MM[2]);
    let wet = read(&mut bench, &on_ball, path).unwrap();
    bench.set_contact_loss_db(40.0);
    let dry = read(&mut bench, &pose(Side::A, 20.0, 80.0), PATH_MM).unwrap();
    assert!((dry.amplitude_db - here.amplitude_db).abs() < 0.3);
    assert!(read(&mut bench, &on_ball, path).is_none_or(|dry| dry.amplitude_db < wet.amplitude_db - 20.0));
    bench.set_contact_loss_db(0.0);

    bench.set_finger(Some(Finger::Wedge));
    let pressed = read(&mut bench, &pose(Side::A, 20.0, 80.0), PATH_MM);
    assert!(pressed.is_none_or(|left| left.amplitude_db < here.amplitude_db - 15.0), "{pressed:?}");
    // What comes from the plate stays.
    let still = read(&mut bench, &on_ball, path).unwrap();
    assert!((still.amplitude_db - wet.amplitude_db).abs() < 0.3, "{still:?}");
}

#[test]
fn an_instrument_changed_is_as_one_made_anew() {
    let procedure = procedure();
    let gain_db = procedure.reference_gain_db;
    let own = SetUp::of(&procedure);
    let mut other = own.clone();
    other.sector.to_deg -= 5.0;
    let mut changed = bench();
    let before = changed.digest();
    let truth = Truth::nominal();
    let first = Pose { face: Face::Upper, side: Side::A, index_offset_mm: 0.0, y_mm: 0.0, skew_deg: 0.0 };
    changed.change(None, &other, gain_db, &truth, None).unwrap();
    changed.scan(&first, 0);
    let scene = bench().take_scene();
    let made = Instrument::on_bench(scene, &other, gain_db, &Truth::nominal()).unwrap();
    assert_eq!(changed.digest(), made.digest());
    assert_ne!(changed.digest(), before);
    let mut impossible = own.clone();
    impossible.sector.to_deg = 89.9;
    assert!(changed.change(None, &impossible, gain_db, &truth, None).is_err());
    changed.scan(&first, 0);
    assert_eq!(changed.digest(), made.digest());
    // What hangs on the pulse or the metal is not kept from another.
    let mut narrow = own.clone();
    narrow.probe.bandwidth_percent = 40.0;
    let slow = Truth { metal_speed_factor: 0.98, ..Truth::nominal() };
    for (set_up, truth) in [(&narrow, &truth), (&own, &slow)] {
        changed.change(None, set_up, gain_db, truth, None).unwrap();
        changed.scan(&first, 0);
        let scene = bench().take_scene();
        let mut made = Instrument::on_bench(scene, set_up, gain_db, truth).unwrap();
        made.scan(&first, 0);
        assert_eq!(changed.digest(), made.digest());
    }
    // Half of the tables made beforehand.
    let mut half = Shares::new(table_order(&own, &Solid::STEEL, &truth).unwrap());
    half.make((0, 2));
    changed.change(None, &own, gain_db, &truth, Some(half)).unwrap();
    changed.scan(&first, 0);
    assert_eq!(changed.digest(), before);
}
