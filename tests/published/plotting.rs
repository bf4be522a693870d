//! Where echoes plot and how long they take.

use acoustics::engine::FrameEngine;
use acoustics::law::DelayLaw;
use acoustics::material::Solid;
use acoustics::ray::Ray;
use exam::standard;
use instrument::pose::{Face, Pose, Side};
use instrument::set_up::SetUp;
use instrument::sizing::{drop_ends_mm, tip_pair_height_mm};
use instrument::stand::{Stand, fold, unfold};
use specimen::joint::Preparation;

use crate::{column, expected, table, within};

/// C34: 20 mm plate, 60°, path 60 mm: second leg, 51.962 mm along the surface, 10 mm deep; half skip 34.641 mm.
/// Trigonometry, computed; depth in the second leg 2T - s cos β as in public notes (looked up).
#[test]
fn c34_second_leg() {
    let (thickness_mm, beam) = (20.0, 60.0_f64.to_radians());
    let surface_mm = 60.0 * beam.sin();
    let (leg, depth_mm) = fold(60.0 * beam.cos(), thickness_mm);
    assert_eq!(leg, 2);
    assert!((depth_mm - expected("C34", "depth_mm")).abs() < within("C34"));
    // The same place by the stand: an exit point at the wedge front on the centreline, sound towards +x.
    let pose = Pose { face: Face::Upper, side: Side::A, index_offset_mm: 0.0, y_mm: 0.0, skew_deg: 0.0 };
    let stand = Stand::new(pose, 0.0, thickness_mm);
    assert!((stand.plate_mm(surface_mm)[0] - expected("C34", "surface_mm")).abs() < within("C34"));
    // Half skip: where the folded depth turns round at the far face.
    let half_skip_mm = unfold(thickness_mm, 1, thickness_mm) * beam.tan();
    assert!((half_skip_mm - expected("C34", "half_skip_mm")).abs() < within("C34"));
    assert_eq!(fold(half_skip_mm / beam.tan() - 1e-6, thickness_mm).0, 1);
    assert_eq!(fold(half_skip_mm / beam.tan() + 1e-6, thickness_mm).0, 2);
}

/// C35: flaws of 2, 1 and 0.5 beam widths read 2.020, 1.249 and 1.059 widths long by 6 dB drop under a Gaussian beam, and the
/// whole table with 20 dB drop. Error-function model, computed. With the probe on the edge of a long flaw the echo stands
/// at -6.02 dB.
#[test]
fn c35_drop_lengths_under_a_gaussian_beam() {
    let sigma = 0.5 / (2.0 * 2.0_f64.ln()).sqrt();
    let width = sigma * std::f64::consts::SQRT_2;
    let heights = |places: &[f64], flaw: f64| -> Vec<f64> {
        places
            .iter()
            .map(|x| libm::erf((x + 0.5 * flaw) / width) - libm::erf((x - 0.5 * flaw) / width))
            .collect()
    };
    let places: Vec<f64> = (-1600..=1600).map(|k| f64::from(k) * 0.005).collect();
    let read = |flaw: f64, drop_db: f64| {
        let [from, to] = drop_ends_mm(&places, &heights(&places, flaw), drop_db).unwrap();
        to - from
    };
    let half_db = 20.0 * 2.0_f64.log10();
    for (what, flaw) in [("flaw_2", 2.0), ("flaw_1", 1.0), ("flaw_0.5", 0.5)] {
        let found = read(flaw, half_db);
        assert!((found / expected("C35", what) - 1.0).abs() < within("C35"), "{flaw}: {found}");
    }
    let table = table("drop_sizing_gaussian.csv");
    let flaws = column(&table, "L_over_w");
    for (name, drop_db) in [("len6dB_over_w", half_db), ("len20dB_over_w", 20.0)] {
        for (&flaw, length) in flaws.iter().zip(column(&table, name)) {
            assert!((read(flaw, drop_db) / length - 1.0).abs() < within("C35"), "{flaw} {drop_db}");
        }
    }
    let edge = heights(&[5.0], 10.0)[0] / heights(&[0.0], 10.0)[0];
    assert!((20.0 * edge.log10() + 6.02).abs() < 0.01);
}

/// C36: height between two tips 1 µs apart, shear: 2.284, 3.230 and 4.722 mm at 45, 60 and 70°. Same-angle formula,
/// computed; on a public teaching page (looked up).
#[test]
fn c36_height_of_a_tip_pair() {
    for (beam, what) in [(45.0, "height_mm_45"), (60.0, "height_mm_60"), (70.0, "height_mm_70")] {
        let found = tip_pair_height_mm(1.0, beam, Solid::STEEL.shear_mm_per_us);
        assert!((found - expected("C36", what)).abs() < within("C36"), "{beam}: {found}");
    }
}

/// C37: shear echo of radii of 100 and 50 mm around the exit point: 61.920 and 30.960 µs after the time in the wedge. 2R/c,
/// computed. By the model's ray and, on its time axis, by the reading of the sound path.
#[test]
fn c37_radius_echoes() {
    let plate = specimen::generator::plate(Preparation::SingleV.into(), 1, 1);
    let procedure = standard::procedure(&plate);
    let set_up = SetUp::of(&procedure);
    let aperture = set_up.aperture();
    let laws: Vec<DelayLaw> = set_up.laws(&Solid::STEEL).unwrap();
    let engine = FrameEngine::new(&Solid::STEEL, &aperture, laws.clone(), 110.0);
    let [centre_mm, height_mm] = aperture.centre_mm();
    for (radius_mm, what) in [(100.0, "r100_us"), (50.0, "r50_us")] {
        for (beam, law) in laws.iter().enumerate() {
            let along = law.exit_mm - centre_mm + radius_mm * law.angle.sin();
            let speeds = (aperture.near_speed(&Solid::STEEL), Solid::STEEL.shear_mm_per_us);
            let ray = Ray::least_time(along, height_mm, radius_mm * law.angle.cos(), speeds.0, speeds.1);
            let round_trip_us = 2.0 * (ray.time_us - law.wedge_time_us);
            assert!((round_trip_us - expected("C37", what)).abs() < within("C37"), "{beam}: {round_trip_us}");
            let samples = engine.sample_of(2.0 * ray.time_us) - engine.first_path_sample(beam);
            assert!((samples * engine.path_step_mm() - radius_mm).abs() < 1e-6, "{beam}");
        }
    }
}
