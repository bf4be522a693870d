//! A linear scan in use: its beams run side by side, and readings, picture, recording and plan all place an echo by the exit
//! point of the beam that hears it.
#![allow(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "compared within tolerances, on one machine"
)]

mod yard;

use instrument::bench::{Instrument, View};
use instrument::gate::Gate;
use instrument::pose::{Face, Pose, Side};
use instrument::procedure::{Linear, Procedure};
use instrument::recording::{Course, PlateView, Projection, Recording, Selection};
use instrument::set_up::{Problem, SetUp};
use yard::{HOLE_MM, bench, course, procedure, record};

const ANGLE_DEG: f64 = 55.0;
const THICKNESS_MM: f64 = 25.0;

fn linear() -> Procedure {
    let mut made = procedure();
    made.probe.first_element_to_front_mm = 40.0;
    made.sector.first_element = 1;
    made.sector.active_elements = 16;
    made.sector.from_deg = ANGLE_DEG;
    made.sector.to_deg = ANGLE_DEG;
    made.sector.focus_path_mm = None;
    made.sector.linear = Some(Linear { step_elements: 2, last_element: 58 });
    made
}

fn instrument() -> Instrument {
    Instrument::new(bench().take_scene(), &linear()).unwrap()
}

fn sine_cosine() -> (f64, f64) {
    (ANGLE_DEG.to_radians().sin(), ANGLE_DEG.to_radians().cos())
}

/// The pose at which a beam's axis meets the ball by a way down and up of so much, from side A.
fn on_the_ball(bench: &Instrument, beam: usize, unfolded_mm: f64) -> Pose {
    let (sine, cosine) = sine_cosine();
    let index_offset_mm = bench.exit_forward_mm(beam) + unfolded_mm * sine / cosine - HOLE_MM[0];
    Pose { face: Face::Upper, side: Side::A, index_offset_mm, y_mm: HOLE_MM[1], skew_deg: 0.0 }
}

/// By the geometry of array and wedge: elements 0.5 mm apart on 36°, sound at asin(2.33/3.23 sin 55°) in the wedge.
#[test]
fn beams_leave_side_by_side() {
    let bench = instrument();
    assert_eq!(bench.angles_deg().len(), 22);
    let in_wedge = (2.33 / 3.23 * ANGLE_DEG.to_radians().sin()).asin();
    let wedge = 36.0_f64.to_radians();
    for beam in 0..22 {
        let along = (2.0 * beam as f64 + 7.5) * 0.5;
        let exit = along * wedge.cos() + (5.0 + along * wedge.sin()) * in_wedge.tan() - 40.0;
        assert!((bench.exit_forward_mm(beam) - exit).abs() < 1e-9, "{beam}");
        assert!((bench.angles_deg()[beam] - ANGLE_DEG).abs() < 1e-12);
    }
}

/// The ball read by the first, a middle and the last beam, on both legs: each from its own exit point.
#[test]
fn every_beam_reads_the_ball_where_it_is() {
    let mut bench = instrument();
    let (sine, cosine) = sine_cosine();
    for beam in [0, 11, 21] {
        for (leg, unfolded) in [(1, HOLE_MM[2]), (2, 2.0 * THICKNESS_MM - HOLE_MM[2])] {
            bench.scan(&on_the_ball(&bench, beam, unfolded), 1);
            let path = unfolded / cosine;
            let gate = Gate { start_mm: path - 4.0, length_mm: 8.0, threshold_percent: 1.0 };
            let reading = bench.reading(beam, &gate).unwrap();
            // The near side of a ball of 0.6 mm radius; a pulse of half a millimetre.
            assert!((reading.sound_path_mm - path + 0.6).abs() < 0.5, "{beam} {leg}: {reading:?}");
            assert_eq!(reading.leg, leg);
            assert!((reading.depth_mm - HOLE_MM[2]).abs() < 0.8, "{beam} {leg}: {reading:?}");
            assert!((reading.offset_mm - HOLE_MM[0]).abs() < 0.9, "{beam} {leg}: {reading:?}");
            let surface = bench.exit_forward_mm(beam) + reading.sound_path_mm * sine;
            assert!((reading.surface_distance_mm - surface).abs() < 1e-9);
            // Beams far beside it hear less.
            let far = if beam < 11 { beam + 10 } else { beam - 10 };
            let beside = bench.reading(far, &Gate { threshold_percent: 0.0, ..gate }).unwrap();
            assert!(beside.amplitude_db < reading.amplitude_db - 6.0, "{beam} {leg}: {beside:?} {reading:?}");
        }
    }
}

/// The place of the section that is pointed at is shown by the beam that runs through it.
#[test]
fn a_place_is_looked_up_on_the_beam_through_it() {
    let mut bench = instrument();
    for beam in [0, 9, 21] {
        bench.scan(&on_the_ball(&bench, beam, HOLE_MM[2]), 1);
        let spot = bench.spot_at(HOLE_MM[0], HOLE_MM[2], Some(1)).unwrap();
        assert!(spot.beam.abs_diff(beam) <= 1, "{spot:?} {beam}");
        assert!((spot.depth_mm - HOLE_MM[2]).abs() < 1.0 && (spot.offset_mm - HOLE_MM[0]).abs() < 1.0);
    }
    // Behind the first beam and ahead of the last there is nothing.
    bench.scan(&on_the_ball(&bench, 0, HOLE_MM[2]), 1);
    assert_eq!(bench.spot_at(HOLE_MM[0] - 8.0, HOLE_MM[2], Some(1)), None);
}

/// The picture is a parallelogram: each row of the first leg is as wide as the exit points lie apart, and further ahead by the
/// depth times the tangent. Its brightest pixel is the ball.
#[test]
fn the_picture_slants_with_the_beams() {
    let mut bench = instrument();
    bench.scan(&on_the_ball(&bench, 11, HOLE_MM[2]), 1);
    bench.set_gain_db(60.0);
    let (sine, cosine) = sine_cosine();
    let frame = bench.picture_frame(View::Folded);
    let mut rgba = vec![0; (frame.width_px * frame.height_px * 4) as usize];
    bench.paint(View::Folded, Some(1), &mut rgba);
    let mm = |pixel: f64, span: [f64; 2], count: u32| {
        span[0] + (pixel + 0.5) * (span[1] - span[0]) / f64::from(count)
    };
    let exits = [bench.exit_forward_mm(0), bench.exit_forward_mm(21)];
    for depth in [4.0, 12.0, 20.0] {
        let row = ((depth - frame.depth_mm[0]) / (frame.depth_mm[1] - frame.depth_mm[0])
            * f64::from(frame.height_px)) as u32;
        let depth = mm(f64::from(row), frame.depth_mm, frame.height_px);
        let painted: Vec<u32> = (0..frame.width_px)
            .filter(|column| rgba[((row * frame.width_px + column) * 4 + 3) as usize] > 0)
            .collect();
        let ends = [painted[0], painted[painted.len() - 1]];
        assert_eq!(painted.len() as u32, ends[1] - ends[0] + 1, "no gap at {depth} mm");
        for k in 0..2 {
            let edge = mm(f64::from(ends[k]), frame.forward_mm, frame.width_px);
            assert!((edge - exits[k] - depth * sine / cosine).abs() < 0.3, "{depth} mm: {edge}");
        }
    }
    let brightest = (0..rgba.len() / 4)
        .max_by_key(|&at| u32::from(rgba[4 * at]) + u32::from(rgba[4 * at + 1]))
        .unwrap() as u32;
    let forward = mm(f64::from(brightest % frame.width_px), frame.forward_mm, frame.width_px);
    let offset = forward - bench.pose().index_offset_mm;
    let depth = mm(f64::from(brightest / frame.width_px), frame.depth_mm, frame.height_px);
    assert!((offset - HOLE_MM[0]).abs() < 1.0 && (depth - HOLE_MM[2]).abs() < 1.0, "{offset} {depth}");
}

/// Top, side and end view of a recording show the ball in its place, its image is the live one, and so are its readings.
#[test]
fn a_recorded_linear_scan_shows_the_same() {
    let mut bench = instrument();
    let mut recording = Recording::new(&bench, &linear(), "TH-00", 60.0);
    let offset_mm = on_the_ball(&bench, 11, HOLE_MM[2]).index_offset_mm;
    let pass = record(&mut recording, &mut bench, Course { index_offset_mm: offset_mm, ..course(Side::A) });
    let [x, y, z] = HOLE_MM;
    for (projection, expected) in
        [(Projection::Top, [y, x]), (Projection::Side, [y, z]), (Projection::End, [x, z])]
    {
        let view = PlateView::new(&recording, projection, Selection { leg: Some(1), ..Selection::default() })
            .unwrap();
        let [column, row] = view.highest().unwrap();
        let place = view.place(&recording, column, row).unwrap();
        let got = match projection {
            Projection::Top => [place.y_mm, place.offset_mm],
            Projection::Side => [place.y_mm, place.depth_mm],
            Projection::End => [place.offset_mm, place.depth_mm],
        };
        assert!(
            (got[0] - expected[0]).abs() < 1.0 && (got[1] - expected[1]).abs() < 1.0,
            "{projection:?}: {got:?}"
        );
        assert!(place.beam.abs_diff(11) <= 1, "{place:?}");
    }
    let line = 13;
    bench.scan(&recording.passes()[pass].course().pose(line), line);
    bench.set_gain_db(46.0);
    let frame = recording.frame(pass, line, 46.0).unwrap();
    let gate = Gate { start_mm: 15.0, length_mm: 14.0, threshold_percent: 1.0 };
    let (live, recorded) = (bench.reading(11, &gate).unwrap(), frame.reading(11, &gate).unwrap());
    assert!((live.amplitude_db - recorded.amplitude_db).abs() < 0.7);
    assert!(
        (live.offset_mm - recorded.offset_mm).abs() < 0.1 && (live.depth_mm - recorded.depth_mm).abs() < 0.1
    );
    let mut image = recording.sector(View::Folded);
    let size = bench.picture_frame(View::Folded);
    assert_eq!(image.frame(), size);
    let mut images = [0, 1].map(|_| vec![0; (size.width_px * size.height_px * 4) as usize]);
    bench.paint(View::Folded, None, &mut images[0]);
    image.paint(&frame, None, &mut images[1]);
    let painted = |image: &[u8]| image.chunks_exact(4).filter(|pixel| pixel[3] > 0).count();
    assert_eq!(painted(&images[0]), painted(&images[1]));
    let apart = |(a, b): (&u8, &u8)| f64::from(a.abs_diff(*b));
    let mean = images[0].iter().zip(&images[1]).map(apart).sum::<f64>() / images[0].len() as f64;
    assert!(mean < 1.0, "{mean} of 256 colours");
}

fn problems(change: impl FnOnce(&mut SetUp)) -> Vec<Problem> {
    let mut set_up = SetUp::of(&linear());
    change(&mut set_up);
    set_up.problems(&procedure(), &acoustics::material::Solid::STEEL)
}

#[test]
fn what_is_impossible_is_explained() {
    assert_eq!(problems(|_| {}), []);
    let wide = problems(|s| s.sector.active_elements = 62);
    assert!(matches!(wide[..], [Problem::ApertureTooWide { most_active: 58, .. }]), "{wide:?}");
    let few = problems(|s| s.sector.active_elements = 54);
    assert!(matches!(few[..], [Problem::TooFewSteps { beams: 3, fewest: 4, .. }]), "{few:?}");
    let coarse = problems(|s| s.sector.linear.as_mut().unwrap().step_elements = 20);
    assert!(matches!(coarse[..], [Problem::TooFewSteps { beams: 3, .. }]), "{coarse:?}");
    let steep = problems(|s| (s.sector.from_deg, s.sector.to_deg) = (30.0, 30.0));
    assert!(matches!(steep[..], [Problem::NearFirstCritical { .. }]), "{steep:?}");
    // The last aperture lies highest, and its sound needs most room in the wedge.
    let all = problems(|s| s.sector.linear.as_mut().unwrap().last_element = 64);
    let [Problem::AheadOfWedge { elements_back, .. }] = all[..] else { panic!("{all:?}") };
    assert_eq!(problems(|s| s.sector.linear.as_mut().unwrap().last_element = 64 - elements_back), []);
    // Array factor: sin of the lobe = sin of the steering ± λ / pitch, refracted at the foot; 36.6° for 2.5 mm.
    let wide = |pitch_mm: f64| {
        problems(|s| {
            s.probe.pitch_mm = pitch_mm;
            s.probe.first_element_to_front_mm = 120.0;
            s.sector.linear.as_mut().unwrap().last_element = 30;
        })
    };
    let lobe = wide(2.5);
    let [Problem::LinearGratingLobe { largest_pitch_mm, lobe_deg, .. }] = lobe[..] else {
        panic!("{lobe:?}")
    };
    assert!((lobe_deg - 36.61).abs() < 0.01, "{lobe_deg}");
    assert_eq!(wide(largest_pitch_mm), []);
    // Two angles are no linear scan; a step of nothing neither; nor an array that ends before its last element.
    for change in [
        (|s: &mut SetUp| s.sector.to_deg = 60.0) as fn(&mut SetUp),
        |s| s.sector.linear.as_mut().unwrap().step_elements = 0,
        |s| s.sector.linear.as_mut().unwrap().last_element = 65,
    ] {
        let found = problems(change);
        assert!(matches!(found[..], [Problem::OutOfRange { .. }]), "{found:?}");
    }
    let mut loose = procedure();
    loose.bench.calibrated = false;
    let found = SetUp::of(&linear()).problems(&loose, &acoustics::material::Solid::STEEL);
    assert_eq!(found, [Problem::LinearNotCalibrated]);
}
