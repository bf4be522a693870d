//! Holes on the axis of a beam, from close to the array outwards: the fast frames against every element's wave scattered
//! into every other's.
#![allow(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "compared within tolerances, on one machine"
)]

use acoustics::aperture::{Aperture, Coupling};
use acoustics::complex::Complex;
use acoustics::engine::FrameEngine;
use acoustics::law::DelayLaw;
use acoustics::material::Solid;
use acoustics::oracle::{Oracle, Reflectors};
use acoustics::placement::{BrokenStretches, Placement};
use acoustics::scene::{Cavity, CavityForm, Scene, Surface};

/// Highest value of an envelope, dB: vertex of the parabola through the highest three samples.
fn peak_db(envelope: &[f64]) -> f64 {
    let top = (1..envelope.len() - 1).max_by(|&a, &b| envelope[a].total_cmp(&envelope[b])).unwrap();
    let (a, b, c) = (envelope[top - 1], envelope[top], envelope[top + 1]);
    let shift = 0.5 * (a - c) / (a - 2.0 * b + c);
    20.0 * (b - 0.25 * (a - c) * shift).log10()
}

/// A line of elements on bare metal, 9.6 mm long and endless across.
fn aperture() -> Aperture {
    Aperture {
        coupling: Coupling::Bare,
        wedge_angle: 0.0,
        first_height_mm: 0.0,
        pitch_mm: 0.3,
        element_width_mm: 0.3,
        elevation_mm: None,
        first: 0,
        count: 32,
        frequency_mhz: 5.0,
        bandwidth_percent: 60.0,
    }
}

#[test]
fn holes_near_and_far() {
    let aperture = aperture();
    let stand = Placement { centre_mm: [0.0, 0.0], forward: [1.0, 0.0], lower_face_mm: None };
    let flat = BrokenStretches::default();
    let (mut sum, mut count) = (0.0, 0.0);
    for degrees in [40.0_f64, 55.0, 70.0] {
        let angle = degrees.to_radians();
        let laws = vec![DelayLaw::new(&aperture, &Solid::STEEL, angle, None).unwrap()];
        let mut engine = FrameEngine::new(&Solid::STEEL, &aperture, laws.clone(), 60.0);
        let (samples, start) = (engine.samples(), engine.start_us());
        let oracle = Oracle {
            solid: Solid::STEEL,
            aperture: &aperture,
            laws: &laws,
            thickness_mm: None,
            pairs: &[(0, 0)],
            broken: [&flat, &flat],
        };
        for path in [12.0, 15.0, 25.0, 40.0] {
            for diameter_mm in [0.5, 1.0, 1.5, 2.0, 3.0] {
                let hole = Cavity {
                    position_mm: [path * angle.sin(), 0.0, path * angle.cos()],
                    diameter_mm,
                    form: CavityForm::Bore { direction: [0.0, 1.0, 0.0], length_mm: 1.0 },
                };
                let scene = Scene {
                    solid: Solid::STEEL,
                    thickness_mm: None,
                    surface: Surface::default().with_cavities(vec![hole]),
                    upper_not_flat: vec![],
                    lower_not_flat: vec![],
                    longitudinal: false,
                    grain: None,
                };
                let (re, im) = engine.frame(&scene, &stand, None);
                let fast: Vec<f64> = re
                    .iter()
                    .zip(im.iter())
                    .map(|(&re, &im)| Complex::new(f64::from(re), f64::from(im)).abs())
                    .collect();
                let reflectors = Reflectors { cavities: &[hole], ..Reflectors::default() };
                let exact: Vec<f64> =
                    oracle.frame(&reflectors, start, samples)[0].iter().map(|value| value.abs()).collect();
                let error = peak_db(&fast) - peak_db(&exact);
                println!("{degrees} degrees, {path} mm, {diameter_mm} mm hole: {error:+.2} dB");
                assert!(error.abs() < 0.7, "{degrees} degrees, {path} mm, {diameter_mm} mm hole: {error} dB");
                sum += error * error;
                count += 1.0;
            }
        }
    }
    let rms = f64::sqrt(sum / count);
    println!("rms {rms:.2} dB");
    assert!(rms < 0.25, "{rms} dB");
}
