//! A calibrated bench reads a side-drilled hole where it is and at the height it should have.
#![allow(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "compared within tolerances, on one machine"
)]

use acoustics::material::Solid;
use acoustics::scene::{Cavity, CavityForm, Grain, Scene, Surface};
use instrument::bench::{Instrument, View};
use instrument::gate::Gate;
use instrument::pose::{Face, Pose, Side};

mod yard;

use yard::procedure;

/// A 3 mm hole along y through x = 0 at a depth.
fn holes(depths_mm: &[f64], thickness_mm: f64, grain: Option<Grain>) -> Scene {
    let pieces = depths_mm.iter().flat_map(|&depth| {
        (0..150).map(move |row| Cavity {
            position_mm: [0.0, 0.2 * f64::from(row) - 14.9, depth],
            diameter_mm: 3.0,
            form: CavityForm::Bore { direction: [0.0, 1.0, 0.0], length_mm: 0.2 },
        })
    });
    Scene {
        solid: Solid::STEEL,
        thickness_mm: Some(thickness_mm),
        surface: Surface::default().with_cavities(pieces.collect()),
        upper_not_flat: vec![],
        lower_not_flat: vec![],
        grain,
        longitudinal: false,
    }
}

fn pose(side: Side, index_offset_mm: f64) -> Pose {
    Pose { face: Face::Upper, side, index_offset_mm, y_mm: 0.0, skew_deg: 0.0 }
}

#[test]
fn a_hole_stands_at_eighty_percent_at_every_angle_and_reads_where_it_is() {
    let mut bench = Instrument::new(holes(&[15.0], 200.0, None), &procedure()).unwrap();
    for side in [Side::A, Side::B] {
        for angle in [42.0_f64, 50.0, 55.0, 62.0, 68.0] {
            let beam = bench.angles_deg().iter().position(|&a| (a - angle).abs() < 1e-9).unwrap();
            let offset = bench.exit_forward_mm(beam) + 15.0 * angle.to_radians().tan();
            bench.scan(&pose(side, offset), 0);
            let path = 15.0 / angle.to_radians().cos() - 1.5;
            let gate = Gate { start_mm: path - 4.0, length_mm: 8.0, threshold_percent: 20.0 };
            let reading = bench.reading(beam, &gate).unwrap();
            assert!((reading.amplitude_percent - 80.0).abs() < 5.0, "{angle}: {reading:?}");
            assert!((reading.sound_path_mm - path).abs() < 0.25, "{angle}: {reading:?} {path}");
            let front = 15.0 - 1.5 * angle.to_radians().cos();
            assert!((reading.depth_mm - front).abs() < 0.25, "{angle}: {reading:?}");
            assert!(
                (reading.offset_mm + side.sign() * 1.5 * angle.to_radians().sin()).abs() < 0.35,
                "{reading:?}"
            );
            assert_eq!(reading.leg, 1);
        }
    }
}

#[test]
fn grain_stands_at_its_level() {
    let grain = Grain { seed: 5, level_db: -36.0 };
    let mut bench = Instrument::new(holes(&[], 200.0, Some(grain)), &procedure()).unwrap();
    bench.set_gain_db(60.0);
    let mut sum = 0.0;
    for step in 0..40 {
        bench.scan(&Pose { y_mm: 7.0 * f64::from(step), ..pose(Side::A, 0.0) }, step);
        let trace = bench.trace(30);
        let at = |mm: f64| (mm / trace.step_mm) as usize;
        let window = &trace.percent[at(35.0)..at(45.0)];
        sum += window.iter().map(|&v| f64::from(v)).sum::<f64>() / window.len() as f64;
    }
    let db = 20.0 * (sum / 40.0 / 80.0).log10() - 20.0;
    assert!((db + 36.0).abs() < 1.5, "grain at {db:.1} dB");
}

#[test]
fn the_same_pose_and_tick_give_the_same_digest_and_another_tick_another() {
    let mut bench =
        Instrument::new(holes(&[12.0], 20.0, Some(Grain { seed: 1, level_db: -36.0 })), &procedure())
            .unwrap();
    let mut digest = |tick| {
        bench.scan(&pose(Side::A, 10.0), tick);
        bench.digest()
    };
    let first = digest(1);
    assert_ne!(first, digest(2));
    assert_eq!(first, digest(1));
}

#[test]
fn picture_and_click_agree_with_the_hole() {
    let mut bench = Instrument::new(holes(&[12.0], 20.0, None), &procedure()).unwrap();
    bench.scan(&pose(Side::B, 8.0), 0);
    let spot = bench.spot_at(1.0, 11.0, Some(1)).unwrap();
    assert!(spot.amplitude_percent > 40.0, "{spot:?}");
    let frame = bench.picture_frame(View::Folded);
    let mut rgba = vec![0; (frame.width_px * frame.height_px * 4) as usize];
    bench.paint(View::Folded, Some(1), &mut rgba);
    let brightest =
        rgba.chunks_exact(4).enumerate().max_by_key(|(_, p)| u32::from(p[0]) + u32::from(p[1])).unwrap().0;
    let (row, column) = (brightest as u32 / frame.width_px, brightest as u32 % frame.width_px);
    let mm = |at: u32, count: u32, span: [f64; 2]| {
        span[0] + (f64::from(at) + 0.5) / f64::from(count) * (span[1] - span[0])
    };
    let (depth, forward) =
        (mm(row, frame.height_px, frame.depth_mm), mm(column, frame.width_px, frame.forward_mm));
    // Side B: a place forward of the wedge front lies at offset 8 - forward.
    assert!(
        (depth - 11.0).abs() < 1.0 && (8.0 - forward).abs() < 2.0,
        "depth {depth}, offset {}",
        8.0 - forward
    );
    let echoes = bench.echoes(20.0, 3);
    assert!((echoes[0].depth_mm - 11.0).abs() < 1.0 || echoes[0].leg > 1, "{echoes:?}");
}
