//! The frame engine against the exact model: numerical error of the fast scheme.
#![allow(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "compared within tolerances, on one machine"
)]

use acoustics::aperture::{Aperture, Coupling};
use acoustics::complex::Complex;
use acoustics::engine::FrameEngine;
use acoustics::law::DelayLaw;
use acoustics::material::{Solid, WedgeMaterial};
use acoustics::oracle::{Oracle, Reflectors};
use acoustics::placement::{BrokenStretches, Placement};
use acoustics::scene::{Cavity, CavityForm, FaceRun, RimPoint, Scene, Sides, Surface, SurfacePoint};
use acoustics::seed::Stream;

fn aperture() -> Aperture {
    Aperture {
        coupling: Coupling::Wedge(WedgeMaterial::POLYSTYRENE),
        wedge_angle: 36.0_f64.to_radians(),
        first_height_mm: 5.0,
        pitch_mm: 0.5,
        element_width_mm: 0.4,
        elevation_mm: Some(10.0),
        first: 16,
        count: 32,
        frequency_mhz: 5.0,
        bandwidth_percent: 60.0,
    }
}

struct Setup {
    aperture: Aperture,
    laws: Vec<DelayLaw>,
    engine: FrameEngine,
}

fn setup(step_deg: f64) -> Setup {
    let aperture = aperture();
    let count = (30.0 / step_deg) as u32;
    let laws: Vec<DelayLaw> = (0..=count)
        .map(|i| {
            let angle = (40.0 + step_deg * f64::from(i)).to_radians();
            DelayLaw::new(&aperture, &Solid::STEEL, angle, Some(50.0)).unwrap()
        })
        .collect();
    let engine = FrameEngine::new(&Solid::STEEL, &aperture, laws.clone(), 110.0);
    Setup { aperture, laws, engine }
}

/// One comparison: worst and rms error in dB over beams within `window_db` of the frame's maximum, rms time error in ns.
struct Errors {
    peak_db: f64,
    rms_db: f64,
    worst_db: f64,
    time_ns: f64,
}

fn compare(
    setup: &mut Setup,
    reflectors: &Reflectors,
    thickness_mm: Option<f64>,
    pairs: &[(usize, usize)],
    window_db: f64,
) -> Errors {
    let scene = Scene {
        solid: Solid::STEEL,
        thickness_mm,
        surface: Surface::from_points(reflectors.points.iter().copied())
            .with_rims(reflectors.rims.to_vec(), reflectors.runs.to_vec())
            .with_cavities(reflectors.cavities.to_vec()),
        upper_not_flat: vec![],
        lower_not_flat: vec![],
        grain: None,
        longitudinal: false,
    };
    let placement = Placement { centre_mm: [0.0, 0.0], forward: [1.0, 0.0], lower_face_mm: None };
    let samples = setup.engine.samples();
    let start = setup.engine.start_us();
    let (re, im) = setup.engine.frame(&scene, &placement, None);
    let fast: Vec<Vec<f64>> = (0..setup.laws.len())
        .map(|b| {
            (0..samples)
                .map(|n| Complex::new(f64::from(re[b * samples + n]), f64::from(im[b * samples + n])).abs())
                .collect()
        })
        .collect();
    let whole = BrokenStretches::default();
    let oracle = Oracle {
        solid: Solid::STEEL,
        aperture: &setup.aperture,
        laws: &setup.laws,
        thickness_mm,
        broken: [&whole, &whole],
        pairs,
    };
    let exact: Vec<Vec<f64>> = oracle
        .frame(reflectors, start, samples)
        .iter()
        .map(|row| row.iter().map(|c| c.abs()).collect())
        .collect();
    let peak = |row: &[f64]| {
        let at = (1..row.len() - 1).max_by(|&a, &b| row[a].total_cmp(&row[b])).unwrap();
        let (a, b, c) = (row[at - 1], row[at], row[at + 1]);
        let shift = if a - 2.0 * b + c < 0.0 { 0.5 * (a - c) / (a - 2.0 * b + c) } else { 0.0 };
        (b - 0.25 * (a - c) * shift, at as f64 + shift)
    };
    let db = |ratio: f64| 20.0 * ratio.log10();
    let peaks: Vec<_> = fast.iter().zip(&exact).map(|(f, e)| (peak(f), peak(e))).collect();
    let highest = peaks.iter().map(|p| p.1.0).fold(0.0, f64::max);
    let highest_fast = peaks.iter().map(|p| p.0.0).fold(0.0, f64::max);
    let (mut n, mut sum, mut worst, mut time): (f64, f64, f64, f64) = (0.0, 0.0, 0.0, 0.0);
    for ((fast, fast_at), (exact, exact_at)) in peaks {
        if db(exact / highest) < -window_db {
            continue;
        }
        let error = db(fast / exact);
        n += 1.0;
        sum += error * error;
        worst = worst.max(error.abs());
        time += (fast_at - exact_at) * (fast_at - exact_at) * 1e4;
    }
    Errors {
        peak_db: db(highest_fast / highest),
        rms_db: (sum / n).sqrt(),
        worst_db: worst,
        time_ns: (time / n).sqrt(),
    }
}

fn point(position_mm: [f64; 3], normal: [f64; 3], area_mm2: f64) -> SurfacePoint {
    SurfacePoint { position_mm, normal, area_mm2, sides: Sides::Both }
}

/// Faces without rims.
fn faces(points: &[SurfacePoint]) -> Reflectors<'_> {
    Reflectors { points, ..Reflectors::default() }
}

/// Points on a straight strip in the beam plane.
fn strip(centre: [f64; 2], length: f64, along: [f64; 2]) -> Vec<SurfacePoint> {
    let count = (length / 0.16).ceil() as i32;
    let step = length / f64::from(count);
    (0..count)
        .map(|i| {
            let s = step * (f64::from(i) + 0.5) - 0.5 * length;
            point([centre[0] + s * along[0], 0.0, centre[1] + s * along[1]], [along[1], 0.0, -along[0]], step)
        })
        .collect()
}

#[test]
fn single_points_in_the_beam_plane() {
    let mut setup = setup(1.5);
    let mut stream = Stream::new(3, "points");
    let (mut sum, mut time, mut worst) = (0.0, 0.0, 0.0_f64);
    let n = 24;
    for _ in 0..n {
        let (angle, path) = (stream.between(42.0, 68.0).to_radians(), stream.between(25.0, 100.0));
        let [_, h] = setup.aperture.centre_mm();
        let u = angle.sin() * 2.33 / 3.23;
        let x = h * u / (1.0 - u * u).sqrt() + path * angle.sin();
        let p = point([x, 0.0, path * angle.cos()], [-angle.sin(), 0.0, -angle.cos()], 0.1);
        let errors = compare(&mut setup, &faces(&[p]), None, &[(0, 0)], 12.0);
        sum += errors.rms_db * errors.rms_db;
        time += errors.time_ns * errors.time_ns;
        worst = worst.max(errors.worst_db);
    }
    let (rms, time) = ((sum / f64::from(n)).sqrt(), (time / f64::from(n)).sqrt());
    println!("points: rms {rms:.3} dB, worst {worst:.2} dB, time {time:.1} ns");
    assert!(rms < 0.3 && time < 8.0, "rms {rms} dB, time {time} ns");
}

#[test]
fn strips_and_corners() {
    let mut setup = setup(1.5);
    let thickness = 20.0;
    let [_, h] = setup.aperture.centre_mm();
    let angle = 55.0_f64.to_radians();
    let u = angle.sin() * 2.33 / 3.23;
    let entry = h * u / (1.0 - u * u).sqrt();
    // A strip square to the 55° ray on the second leg, 12 mm deep.
    let x = entry + (2.0 * thickness - 12.0) * angle.tan();
    let square = strip([x, 12.0], 4.0, [angle.cos(), angle.sin()]);
    let turned = 8.0_f64.to_radians();
    let tilted = strip([x, 12.0], 4.0, [(angle + turned).cos(), (angle + turned).sin()]);
    // A 3 mm crack on the far face met by the 50° beam, all legs.
    let corner_x = entry + thickness * 50.0_f64.to_radians().tan();
    let crack = strip([corner_x, thickness - 1.5], 3.0, [0.0, 1.0]);
    let at_top = strip([entry + 2.0 * thickness * 50.0_f64.to_radians().tan(), 1.5], 3.0, [0.0, 1.0]);
    let all: &[(usize, usize)] = &[(0, 0), (1, 1), (2, 2), (0, 1), (1, 2), (0, 2)];
    for (name, points, peak, rms) in [
        ("square strip, second leg", &square, 0.3, 0.4),
        ("tilted 8 degrees", &tilted, 0.3, 0.6),
        ("crack at the far face", &crack, 0.5, 0.9),
        ("crack at the near face", &at_top, 0.5, 0.9),
    ] {
        let errors = compare(&mut setup, &faces(points), Some(thickness), all, 12.0);
        println!(
            "{name}: peak {:+.2} dB, rms {:.2}, worst {:.2}, time {:.1} ns",
            errors.peak_db, errors.rms_db, errors.worst_db, errors.time_ns
        );
        assert!(
            errors.peak_db.abs() < peak && errors.rms_db < rms,
            "{name}: peak {}, rms {}",
            errors.peak_db,
            errors.rms_db
        );
    }
}

/// A smooth gap met so flat that only its rims answer, the far one by a Rayleigh wave too.
#[test]
fn rims_and_runs() {
    let mut setup = setup(1.5);
    let [_, h] = setup.aperture.centre_mm();
    let angle = 55.0_f64.to_radians();
    let u = angle.sin() * 2.33 / 3.23;
    let centre = [h * u / (1.0 - u * u).sqrt() + 40.0 * angle.sin(), 40.0 * angle.cos()];
    for (name, turn, tolerance) in
        [("8 degrees off the beam", 8.0_f64, 0.7), ("30 degrees off the beam", 30.0, 0.7)]
    {
        let turned = angle - turn.to_radians();
        let along = [turned.sin(), turned.cos()];
        let points = strip(centre, 3.0, along);
        let rim = |sign: f64| RimPoint {
            position_mm: [centre[0] - sign * 1.5 * along[0], 0.0, centre[1] - sign * 1.5 * along[1]],
            inward: [sign * along[0], 0.0, sign * along[1]],
            normal: [along[1], 0.0, -along[0]],
            length_mm: 1.0,
        };
        let (rims, runs) = ([rim(1.0), rim(-1.0)], [FaceRun { from: rim(1.0), to: rim(-1.0) }]);
        let errors = compare(
            &mut setup,
            &Reflectors { points: &points, rims: &rims, runs: &runs, cavities: &[] },
            None,
            &[(0, 0)],
            12.0,
        );
        println!(
            "{name}: peak {:+.2} dB, rms {:.2}, worst {:.2}",
            errors.peak_db, errors.rms_db, errors.worst_db
        );
        assert!(errors.peak_db.abs() < tolerance && errors.rms_db < tolerance, "{name}: {}", errors.rms_db);
    }
}

/// Round cavities on the direct leg and by way of the far face: every element's wave scattered by the series against a
/// row of taps at the centre.
#[test]
fn round_cavities() {
    let mut setup = setup(1.5);
    let [_, h] = setup.aperture.centre_mm();
    let across = CavityForm::Bore { direction: [0.0, 1.0, 0.0], length_mm: 0.2 };
    let direct: &[(usize, usize)] = &[(0, 0)];
    let all: &[(usize, usize)] = &[(0, 0), (1, 1), (2, 2), (0, 1), (1, 2), (0, 2)];
    for (name, form, diameter_mm, path, thickness, pairs, rms_db) in [
        ("3 mm hole at 50 mm", across, 3.0, 50.0, None, direct, 0.3),
        ("3 mm hole at 25 mm", across, 3.0, 25.0, None, direct, 1.0),
        ("6 mm hole at 40 mm", across, 6.0, 40.0, None, direct, 0.6),
        ("1 mm hole at 40 mm", across, 1.0, 40.0, None, direct, 0.3),
        ("2 mm pore at 50 mm", CavityForm::Ball, 2.0, 50.0, None, direct, 0.3),
        ("0.5 mm pore at 30 mm", CavityForm::Ball, 0.5, 30.0, None, direct, 0.3),
        // Three legs within a wavelength: what they add up to hangs on small errors of each.
        ("1 mm pore 4 mm above the far face", CavityForm::Ball, 1.0, 28.0, Some(20.0), all, 0.9),
        ("2 mm pore 3 mm above the far face", CavityForm::Ball, 2.0, 30.0, Some(20.0), all, 1.8),
    ] {
        let angle = 55.0_f64.to_radians();
        let u = angle.sin() * 2.33 / 3.23;
        let x = h * u / (1.0 - u * u).sqrt() + path * angle.sin();
        let cavity = Cavity { position_mm: [x, 0.0, path * angle.cos()], diameter_mm, form };
        let reflectors = Reflectors { cavities: &[cavity], ..Reflectors::default() };
        let errors = compare(&mut setup, &reflectors, thickness, pairs, 12.0);
        println!(
            "{name}: peak {:+.2} dB, rms {:.2}, worst {:.2}, time {:.1} ns",
            errors.peak_db, errors.rms_db, errors.worst_db, errors.time_ns
        );
        assert!(errors.rms_db < rms_db && errors.time_ns < 20.0, "{name}: {} dB", errors.rms_db);
        assert!(errors.peak_db.abs() < 1.3, "{name}: {} dB", errors.peak_db);
    }
}
