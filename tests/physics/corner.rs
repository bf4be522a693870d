use acoustics::material::Solid;
use acoustics::scene::{RimPoint, Scene, Sides, Surface, SurfacePoint};
use instrument::bench::Instrument;
use instrument::gate::Gate;
use instrument::pose::{Face, Pose, Side};

use crate::lack_of_fusion::paper;

const THICKNESS_MM: f64 = 20.0;
const HEIGHT_MM: f64 = 3.0;

/// An upright gap as wide as the beam, open to the lower face at x = 0.
fn corner() -> Scene {
    let points = (0..100).flat_map(|row| {
        (0..20).map(move |column| SurfacePoint {
            position_mm: [
                0.0,
                0.2 * (f64::from(row) + 0.5) - 10.0,
                THICKNESS_MM - HEIGHT_MM * (f64::from(column) + 0.5) / 20.0,
            ],
            normal: [-1.0, 0.0, 0.0],
            area_mm2: 0.2 * HEIGHT_MM / 20.0,
            sides: Sides::Both,
        })
    });
    let rim = (0..40).map(|row| RimPoint {
        position_mm: [0.0, 0.5 * (f64::from(row) + 0.5) - 10.0, THICKNESS_MM - HEIGHT_MM],
        inward: [0.0, 0.0, 1.0],
        normal: [-1.0, 0.0, 0.0],
        length_mm: 0.5,
    });
    Scene {
        solid: Solid::STEEL,
        thickness_mm: Some(THICKNESS_MM),
        surface: Surface::from_points(points).with_rims(rim.collect(), Vec::new()),
        upper_not_flat: vec![],
        lower_not_flat: vec![],
        grain: None,
        longitudinal: false,
    }
}

/// Highest echo, relative to the reference hole, of one beam as the probe moves to and fro over its aim.
fn corner_db(bench: &mut Instrument, angle_deg: f64) -> f64 {
    let beam = bench.angles_deg().iter().position(|&a| (a - angle_deg).abs() < 1e-9).unwrap();
    let aim = bench.exit_forward_mm(beam) + THICKNESS_MM * angle_deg.to_radians().tan();
    let path = THICKNESS_MM / angle_deg.to_radians().cos();
    let gate = Gate { start_mm: path - 3.0, length_mm: 6.0, threshold_percent: 0.0 };
    (-10..=10)
        .map(|step| {
            let index_offset_mm = aim + 0.2 * f64::from(step);
            bench.scan(
                &Pose { face: Face::Upper, side: Side::A, index_offset_mm, y_mm: 0.0, skew_deg: 0.0 },
                0,
            );
            bench.reading(beam, &gate).unwrap().amplitude_db
        })
        .fold(f64::NEG_INFINITY, f64::max)
}

/// The corner echo of a 60° beam is weaker than that of a 45° beam by what two reflections say (corner_SV_steel.csv,
/// product of two free-surface reflections, computed), averaged over the beam. The face shows sin β of its height to
/// the beam and the reference hole shows the same at every angle, so that factor is taken out.
#[test]
fn corner_echo_at_60_degrees_is_weak_as_two_reflections_say() {
    let mut paper = paper("th-07.toml");
    paper.procedure.range_mm = 60.0;
    let mut bench = Instrument::new(corner(), &paper.procedure).unwrap();
    bench.set_gain_db(30.0);
    let table: Vec<Vec<f64>> = include_str!("../published/data/corner_SV_steel.csv")
        .lines()
        .skip(1)
        .map(|line| line.split(',').map(|cell| cell.parse().unwrap()).collect())
        .collect();
    // Average of the complex product over a Gaussian two-way beam of 2° half width at -6 dB.
    let averaged = |beam: f64| {
        let (mut re, mut im, mut sum) = (0.0, 0.0, 0.0);
        for row in &table {
            let x = (row[0] - beam) / 2.0;
            let weight = (-x * x * std::f64::consts::LN_2).exp();
            let phase = row[3].to_radians();
            re += weight * row[1] * phase.cos();
            im += weight * row[1] * phase.sin();
            sum += weight;
        }
        20.0 * (re.hypot(im) / sum).log10()
    };
    let height = |beam: f64| 20.0 * beam.to_radians().sin().log10();
    let modelled = corner_db(&mut bench, 60.0) - corner_db(&mut bench, 45.0);
    let expected = averaged(60.0) - averaged(45.0) + height(60.0) - height(45.0);
    println!("corner 60° against 45°: {modelled:.1} dB, expected {expected:.1} dB");
    assert!((modelled - expected).abs() < 3.0, "modelled {modelled:.1} dB, expected {expected:.1} dB");
}
