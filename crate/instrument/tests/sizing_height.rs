//! What the helpers for height and amplitude say of short and long flaws: through the whole chain, from surface points over a
//! recorded raster to the curve through the thickness, against a Huygens sum over the elements (least times of its own, one
//! frequency) and the error-function model of a Gaussian beam (tests/published/data/drop_sizing_gaussian.csv, computed from the
//! formula alone).
#![allow(clippy::disallowed_methods, clippy::unwrap_used, reason = "compared within tolerances")]

mod yard;

use std::f64::consts::TAU;

use acoustics::material::Solid;
use acoustics::scene::{Sides, Surface, SurfacePoint};
use instrument::bench::Instrument;
use instrument::gate::Gate;
use instrument::pose::{Face, Pose, Side};
use instrument::recording::{Course, Recording, Selection, Way};
use instrument::set_up::SetUp;
use instrument::sizing::drop_ends_mm;
use yard::{procedure, thick_plate};

/// The 55° beam, and the sound path at which the flaw lies: where the beams are focused.
const BEAM: usize = 30;
const ANGLE_DEG: f64 = 55.0;
const PATH_MM: f64 = 50.0;
const MIDDLE_MM: f64 = 60.0;

fn sine_cosine() -> (f64, f64) {
    let angle = ANGLE_DEG.to_radians();
    (angle.sin(), angle.cos())
}

fn bench(surface: Surface) -> Instrument {
    let mut bench = Instrument::new(thick_plate(Surface::default()), &procedure()).unwrap();
    bench.replace_scene(thick_plate(surface));
    bench
}

fn exit_mm() -> f64 {
    Instrument::new(thick_plate(Surface::default()), &procedure()).unwrap().exit_forward_mm(BEAM)
}

/// A strip that the 55° beam meets square, so high along it and 3 mm long along the weld; its middle is met at index offset 0.
fn strip(high_mm: f64, exit_mm: f64) -> Surface {
    let (sine, cosine) = sine_cosine();
    let [x, z] = [exit_mm + PATH_MM * sine, PATH_MM * cosine];
    let rows = (high_mm / 0.1).ceil();
    let step = high_mm / rows;
    let point = |row: i32, column: i32| {
        let up = (f64::from(row) + 0.5) * step - 0.5 * high_mm;
        SurfacePoint {
            position_mm: [x - up * cosine, MIDDLE_MM + 0.15 * f64::from(column), z + up * sine],
            normal: [-sine, 0.0, -cosine],
            area_mm2: step * 0.15,
            sides: Sides::Both,
        }
    };
    Surface::from_points((0..rows as i32).flat_map(|row| (-10..=10).map(move |column| point(row, column))))
}

/// What a raster over a strip reads: height through the thickness by the 6 dB drop of the 55° beam, mm, and the highest echo, dB.
fn read(high_mm: f64, exit_mm: f64) -> (f64, f64) {
    let mut bench = bench(strip(high_mm, exit_mm));
    let pose = |index_offset_mm: f64| Pose {
        face: Face::Upper,
        side: Side::A,
        index_offset_mm,
        y_mm: MIDDLE_MM,
        skew_deg: 0.0,
    };
    let gate = Gate { start_mm: PATH_MM - 4.0, length_mm: 8.0, threshold_percent: 0.0 };
    bench.scan(&pose(0.0), 0);
    let middle_db = bench.reading(BEAM, &gate).unwrap().amplitude_db;
    let mut recording = Recording::new(&bench, &procedure(), "strip", 2.0 * MIDDLE_MM);
    for line in -30..=30 {
        let index_offset_mm = 0.6 * f64::from(line);
        let (face, side) = (Face::Upper, Side::A);
        let course = Course {
            face,
            side,
            index_offset_mm,
            skew_deg: 0.0,
            start_mm: MIDDLE_MM,
            step_mm: 1.0,
            lines: 1,
        };
        let pass = recording.begin(course).unwrap();
        bench.scan(&course.pose(0), 0);
        recording.take(pass, 0, &bench).unwrap();
    }
    let within = Selection { beams: Some([BEAM as u32, BEAM as u32]), leg: Some(1), ..Selection::default() };
    let gain_db = procedure().reference_gain_db - middle_db;
    let curve = recording.curve(Way::Deep, within, gain_db, 20.0 * 2.0_f64.log10()).unwrap();
    let [from, to] = curve.ends_mm.unwrap();
    (to - from, middle_db)
}

/// The two-way beam by Huygens, over places along the strip: place, complex height.
fn huygens() -> Vec<(f64, [f64; 2])> {
    let procedure = procedure();
    let aperture = SetUp::of(&procedure).aperture();
    let (fast, slow) = (Solid::STEEL.shear_mm_per_us, procedure.probe.wedge_material.longitudinal_mm_per_us);
    let (sine, cosine) = sine_cosine();
    let elements: Vec<[f64; 2]> = (0..aperture.count).map(|k| aperture.element_mm(f64::from(k))).collect();
    // Least time over the places where a ray may meet the foot: the sum of two distances over speeds has one lowest place.
    let time = |[from, height]: [f64; 2], [x, z]: [f64; 2]| {
        let over = |at: f64| (at - from).hypot(height) / slow + (x - at).hypot(z) / fast;
        let (mut low, mut high) = (from, x);
        for _ in 0..80 {
            let third = (high - low) / 3.0;
            if over(low + third) < over(high - third) { high -= third } else { low += third }
        }
        over(0.5 * (low + high))
    };
    let exit = SetUp::of(&procedure);
    let exit = Instrument::new(thick_plate(Surface::default()), &procedure).unwrap().exit_forward_mm(BEAM)
        + exit.probe.first_element_to_front_mm;
    let place = |up: f64| [exit + PATH_MM * sine - up * cosine, PATH_MM * cosine + up * sine];
    let focus: Vec<f64> = elements.iter().map(|&element| time(element, place(0.0))).collect();
    let one_way = |up: f64| {
        let turns = elements.iter().zip(&focus).map(|(&element, focused)| {
            TAU * procedure.probe.frequency_mhz * (time(element, place(up)) - focused)
        });
        turns.fold([0.0, 0.0], |sum, turn| [sum[0] + turn.cos(), sum[1] + turn.sin()])
    };
    (-300..=300)
        .map(|k| {
            let up = 0.05 * f64::from(k);
            let [re, im] = one_way(up);
            (up, [re * re - im * im, 2.0 * re * im])
        })
        .collect()
}

/// Height along the strip by the 6 dB drop, mm, and highest echo, of a strip under such a beam.
fn huygens_read(beam: &[(f64, [f64; 2])], high_mm: f64) -> (f64, f64) {
    let height = |at: f64| {
        // The two ends count in part, so that the strip has its very height.
        let share = |up: f64| ((0.5 * high_mm - (up - at).abs()) / 0.05 + 0.5).clamp(0.0, 1.0);
        let sum = beam
            .iter()
            .fold([0.0, 0.0], |sum, (up, [re, im])| [sum[0] + share(*up) * re, sum[1] + share(*up) * im]);
        sum[0].hypot(sum[1])
    };
    let places: Vec<f64> = (-200..=200).map(|k| 0.05 * f64::from(k)).collect();
    let heights: Vec<f64> = places.iter().map(|&at| height(at)).collect();
    let [from, to] = drop_ends_mm(&places, &heights, 20.0 * 2.0_f64.log10()).unwrap();
    (to - from, height(0.0))
}

/// Rows of the table: flaw and its 6 dB reading in beam widths, and its highest echo against an endless one, dB.
fn table() -> Vec<[f64; 3]> {
    include_str!("../../../tests/published/data/drop_sizing_gaussian.csv")
        .lines()
        .skip(1)
        .map(|line| {
            let cells: Vec<f64> = line.split(',').map(|cell| cell.parse().unwrap()).collect();
            [cells[0], cells[1], cells[4]]
        })
        .collect()
}

/// Low flaws read as high as the beam is, and high ones right, as Huygens and the Gaussian model say; and the highest echo grows
/// with the flaw only until that fills the beam: beyond two widths it tells nothing more of its size.
#[test]
fn heights_by_the_6_db_drop_and_by_the_highest_echo_are_biased_as_the_beam_says() {
    let (exit, beam) = (exit_mm(), huygens());
    // Places along the strip, from depths.
    let along = |deep_mm: f64| deep_mm / sine_cosine().0;
    let (width, huygens_width) = (along(read(0.1, exit).0), huygens_read(&beam, 0.1).0);
    println!("the beam is {width:.2} mm high, by Huygens {huygens_width:.2} mm");
    assert!((width / huygens_width - 1.0).abs() < 0.1, "{width} against {huygens_width}");
    let endless = (read(6.0 * width, exit).1, huygens_read(&beam, 6.0 * huygens_width).1);
    let mut biases = Vec::new();
    for [flaw, gaussian, gaussian_db] in table().into_iter().filter(|row| row[0] >= 0.25 && row[0] <= 3.0) {
        let (high, peak_db) = read(flaw * width, exit);
        let (expected, peak) = huygens_read(&beam, flaw * huygens_width);
        let (reads, expected) = (along(high) / width, expected / huygens_width);
        let (below_db, expected_db) = (peak_db - endless.0, 20.0 * (peak / endless.1).log10());
        println!(
            "{flaw} widths: reads {reads:.3}, by Huygens {expected:.3}, under a Gaussian {gaussian:.3}; highest echo {below_db:.2} dB, \
             {expected_db:.2} dB, {gaussian_db:.2} dB"
        );
        assert!((reads - expected).abs() < 0.1, "{flaw}: {reads} against {expected}");
        assert!((reads - gaussian).abs() < 0.2, "{flaw}: {reads} against {gaussian}");
        assert!((below_db - expected_db).abs() < 0.7, "{flaw}: {below_db} against {expected_db} dB");
        assert!((below_db - gaussian_db).abs() < 1.3, "{flaw}: {below_db} against {gaussian_db} dB");
        if flaw >= 2.0 {
            assert!(below_db.abs() < 1.0, "{flaw}: beyond two widths amplitude tells no size, {below_db} dB");
        }
        biases.push(reads - flaw);
    }
    // The bias falls with the height, from three quarters of the beam to nothing. From one row to the next it falls by less than
    // a reading is good for, over two rows by more.
    assert!(biases.windows(3).all(|row| row[2] < row[0]), "{biases:?}");
    assert!(biases[0] > 0.65 && biases.last().is_some_and(|last| last.abs() < 0.08), "{biases:?}");
}
