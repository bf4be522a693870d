//! What the pair of tips says of the height of an upright crack: each tip read where it stands highest over all probe places and
//! beams, as an operator does it.
#![allow(clippy::unwrap_used, reason = "a test")]

mod yard;

use acoustics::scene::{FaceRun, RimPoint, Sides, Surface, SurfacePoint};
use instrument::bench::Instrument;
use instrument::pose::{Face, Pose, Side};
use yard::{procedure, thick_plate};

/// The crack's middle, mm: near the depth at which the beams are focused.
const DEPTH_MM: f64 = 28.0;
const MIDDLE_MM: f64 = 60.0;
/// Cells of the crack, mm, and how many of them to either side along the weld.
const CELL_MM: f64 = 0.15;
const CELLS: i32 = 40;
/// How far from the crack an echo may plot that is taken for a tip's, mm.
const BESIDE_MM: f64 = 3.0;

/// Depth of the upper and of the lower tip, mm.
fn tips_mm(high_mm: f64) -> [f64; 2] {
    [DEPTH_MM - 0.5 * high_mm, DEPTH_MM + 0.5 * high_mm]
}

/// A smooth upright crack within the plate.
fn crack(high_mm: f64) -> Surface {
    let [top, bottom] = tips_mm(high_mm);
    let rows = (high_mm / CELL_MM).ceil();
    let step = high_mm / rows;
    let along = |column: i32| MIDDLE_MM + CELL_MM * (f64::from(column) + 0.5);
    let face = (-CELLS..CELLS).flat_map(|column| {
        (0..rows as i32).map(move |row| SurfacePoint {
            position_mm: [0.0, along(column), top + step * (f64::from(row) + 0.5)],
            normal: [-1.0, 0.0, 0.0],
            area_mm2: step * CELL_MM,
            sides: Sides::Both,
        })
    });
    let rim = |column: i32, depth_mm: f64, down: f64| RimPoint {
        position_mm: [0.0, along(column), depth_mm],
        inward: [0.0, 0.0, down],
        normal: [1.0, 0.0, 0.0],
        length_mm: CELL_MM,
    };
    let runs: Vec<FaceRun> = (-CELLS..CELLS)
        .map(|column| FaceRun { from: rim(column, top, 1.0), to: rim(column, bottom, -1.0) })
        .collect();
    let rims = runs.iter().flat_map(|run| [run.from, run.to]).collect();
    Surface::from_points(face).with_rims(rims, runs)
}

/// Depth of the highest echo within half the crack's height of each tip, mm.
fn read_mm(bench: &mut Instrument, high_mm: f64) -> [f64; 2] {
    bench.replace_scene(thick_plate(crack(high_mm)));
    let mut highest = [(0.0, f64::NAN); 2];
    for step in 0..=80 {
        let index_offset_mm = 0.5 * f64::from(step);
        bench.scan(
            &Pose { face: Face::Upper, side: Side::A, index_offset_mm, y_mm: MIDDLE_MM, skew_deg: 0.0 },
            0,
        );
        for echo in bench.echoes(0.02, 60) {
            assert!(echo.amplitude_percent < 150.0, "too much gain to tell what is highest");
            for (highest, tip_mm) in highest.iter_mut().zip(tips_mm(high_mm)) {
                let beside =
                    echo.offset_mm.abs() > BESIDE_MM || (echo.depth_mm - tip_mm).abs() > 0.5 * high_mm;
                if !beside && echo.amplitude_percent > highest.0 {
                    *highest = (echo.amplitude_percent, echo.depth_mm);
                }
            }
        }
    }
    highest.map(|(_, depth_mm)| depth_mm)
}

/// High cracks read within the beams' own uncertainty, some tenths of a millimetre either way, and right on the mean. Below
/// two and a half millimetres or so the weak upper tip drowns in the lower one, and the pair tells nothing of the height.
#[test]
fn heights_by_two_tips_are_right_on_the_mean_and_wrong_on_low_cracks() {
    let mut bench = Instrument::new(thick_plate(Surface::default()), &procedure()).unwrap();
    bench.set_gain_db(procedure().reference_gain_db);
    let mut bias = |high_mm: f64| {
        let [top, bottom] = read_mm(&mut bench, high_mm);
        let bias_mm = bottom - top - high_mm;
        println!("{high_mm} mm: tips at {top:.2} and {bottom:.2} mm, {bias_mm:+.2} mm");
        bias_mm
    };
    let high = [2.5, 3.0, 3.5, 4.0, 5.0, 6.0, 7.0, 8.0, 10.0].map(&mut bias);
    let mean = high.iter().sum::<f64>() / high.len() as f64;
    println!("mean {mean:+.2} mm");
    assert!(high.iter().all(|bias| bias.abs() < 0.65), "{high:?}");
    assert!(mean.abs() < 0.25, "{mean}");
    let low = bias(2.0);
    assert!(low.abs() > 1.0, "{low}");
}
