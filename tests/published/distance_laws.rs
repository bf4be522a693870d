//! How echoes fall with distance and size, far from the probe: the laws behind distance-gain-size diagrams (Krautkramer,
//! ISO 16811; re-derived). Asked of the exact model, Kirchhoff's integral over the points of a surface, at
//! single frequencies.

use std::f64::consts::TAU;

use acoustics::aperture::{Aperture, Coupling};
use acoustics::complex::Complex;
use acoustics::law::DelayLaw;
use acoustics::material::Solid;
use acoustics::oracle::{Oracle, Reflectors};
use acoustics::placement::BrokenStretches;
use acoustics::scene::{Sides, SurfacePoint};
use instrument::sizing::disc_equal_to_hole_mm;

use crate::{expected, tolerances, within};

const LOSSLESS: Solid = Solid { shear_loss_db_per_mm: 0.0, ..Solid::STEEL };
/// All beams stand at 45°.
const DIRECTION: f64 = std::f64::consts::FRAC_1_SQRT_2;

/// A small square probe on the bare metal: its near field ends after a few mm at the frequencies used.
fn aperture(frequency_mhz: f64, elevation_mm: Option<f64>) -> Aperture {
    Aperture {
        coupling: Coupling::Bare,
        wedge_angle: 0.0,
        first_height_mm: 0.0,
        pitch_mm: 0.25,
        element_width_mm: 0.25,
        elevation_mm,
        first: 0,
        count: 12,
        frequency_mhz,
        bandwidth_percent: 60.0,
    }
}

/// Echo of the 45° beam at some frequencies.
fn echoes(aperture: &Aperture, points: &[SurfacePoint], frequencies_mhz: &[f64]) -> Vec<Complex> {
    let laws = [DelayLaw::new(aperture, &LOSSLESS, 45.0_f64.to_radians(), None).unwrap()];
    let whole = BrokenStretches::default();
    let oracle = Oracle {
        solid: LOSSLESS,
        aperture,
        laws: &laws,
        thickness_mm: None,
        broken: [&whole, &whole],
        pairs: &[(0, 0)],
    };
    let reflectors = Reflectors { points, ..Reflectors::default() };
    oracle.harmonic(&reflectors, frequencies_mhz).swap_remove(0)
}

/// Amplitude of a continuous wave's echo.
fn continuous(frequency_mhz: f64, elevation_mm: Option<f64>, points: &[SurfacePoint]) -> f64 {
    echoes(&aperture(frequency_mhz, elevation_mm), points, &[frequency_mhz])[0].abs()
}

/// Envelope of a pulse's echo at the time of a front at `path_mm`: what comes later, from the borders of the lit part, is
/// not in it. Gaussian, `spread_mhz` wide.
fn front(
    frequency_mhz: f64,
    spread_mhz: f64,
    elevation_mm: Option<f64>,
    path_mm: f64,
    points: &[SurfacePoint],
) -> f64 {
    let places: Vec<f64> = (-9..=9).map(|k| f64::from(k) / 3.0).collect();
    let band: Vec<f64> = places.iter().map(|x| frequency_mhz + x * spread_mhz).collect();
    let time_us = 2.0 * path_mm / LOSSLESS.shear_mm_per_us;
    echoes(&aperture(frequency_mhz, elevation_mm), points, &band)
        .into_iter()
        .zip(places.iter().zip(&band))
        .fold(Complex::ZERO, |sum, (value, (x, f))| {
            sum + value * Complex::phasor(-TAU * f * time_us) * (-0.5 * x * x).exp()
        })
        .abs()
}

fn db(ratio: f64) -> f64 {
    20.0 * ratio.log10()
}

/// A patch of wall `along_mm` up the wave front, `beside_mm` out of the plane and `behind_mm` further away than a point of
/// the axis, with a normal in the same three directions.
fn patch(path_mm: f64, place_mm: [f64; 3], normal: [f64; 3], area_mm2: f64) -> SurfacePoint {
    let turn = |[along, beside, behind]: [f64; 3]| {
        [DIRECTION * (behind + along), beside, DIRECTION * (behind - along)]
    };
    let [along, beside, behind] = place_mm;
    SurfacePoint {
        position_mm: turn([along, beside, path_mm + behind]),
        normal: turn(normal),
        area_mm2,
        sides: Sides::One,
    }
}

/// Middles of equal steps over -half to half, and the step.
fn steps(half_mm: f64, most_mm: f64) -> (Vec<f64>, f64) {
    let count = (2.0 * half_mm / most_mm).ceil();
    let step = 2.0 * half_mm / count;
    ((0..count as u32).map(|k| step * (f64::from(k) + 0.5) - half_mm).collect(), step)
}

/// A wall without edges: its area fades out as a Gaussian, wide against the beam's first Fresnel zone.
fn wall(path_mm: f64) -> Vec<SurfacePoint> {
    let (places, step) = steps(110.0, 1.0);
    let fade = |s: f64| (-0.5 * (s / 40.0) * (s / 40.0)).exp();
    places
        .iter()
        .flat_map(|&u| places.iter().map(move |&y| (u, y)))
        .map(|(u, y)| patch(path_mm, [u, y, 0.0], [0.0, 0.0, -1.0], step * step * fade(u) * fade(y)))
        .collect()
}

/// The lit half of a round hole across the plane with its front at the path. Its length fades out as a Gaussian of a width;
/// without one it is a line of points for a scene in two dimensions.
fn hole(path_mm: f64, diameter_mm: f64, spacing_mm: f64, fading_mm: Option<f64>) -> Vec<SurfacePoint> {
    let radius = 0.5 * diameter_mm;
    let (rows, step) =
        fading_mm.map_or((vec![0.0], 1.0), |width| steps(2.7 * width, (0.03 * width).min(0.6)));
    let count = (TAU * radius / spacing_mm).ceil();
    rows.iter()
        .flat_map(|&y| {
            let faded = fading_mm.map_or(1.0, |width| (-0.5 * (y / width) * (y / width)).exp());
            let area = TAU * radius / count * step * faded;
            let angles = (0..count as u32).map(move |k| TAU * (f64::from(k) + 0.5) / count);
            angles.filter(|angle| angle.cos() > 0.0).map(move |angle| {
                let (s, c) = (angle.sin(), angle.cos());
                patch(path_mm, [radius * s, y, radius - radius * c], [s, 0.0, -c], area)
            })
        })
        .collect()
}

fn disc(path_mm: f64, diameter_mm: f64) -> Vec<SurfacePoint> {
    let radius = 0.5 * diameter_mm;
    let (rings, turns) = (24_u32, 48_u32);
    let step = radius / f64::from(rings);
    (0..rings)
        .flat_map(|ring| {
            let r = step * (f64::from(ring) + 0.5);
            (0..turns).map(move |k| {
                let angle = TAU * f64::from(k) / f64::from(turns);
                let place = [r * angle.sin(), r * angle.cos(), 0.0];
                patch(path_mm, place, [0.0, 0.0, -1.0], TAU * r * step / f64::from(turns))
            })
        })
        .collect()
}

/// A round void with its front at the path.
fn sphere(path_mm: f64, diameter_mm: f64) -> Vec<SurfacePoint> {
    let radius = 0.5 * diameter_mm;
    let (bands, turns) = (80_u32, 80_u32);
    (0..bands)
        .flat_map(|band| {
            let c = 1.0 - 2.0 * (f64::from(band) + 0.5) / f64::from(bands);
            let s = (1.0 - c * c).sqrt();
            (0..turns).map(move |k| {
                let angle = TAU * f64::from(k) / f64::from(turns);
                let normal = [s * angle.sin(), s * angle.cos(), -c];
                let place = [radius * normal[0], radius * normal[1], radius + radius * normal[2]];
                let area = 2.0 * TAU * radius * radius / f64::from(bands * turns);
                patch(path_mm, place, normal, area)
            })
        })
        .collect()
}

/// C24: change of the echo when the path doubles: wall -6.02, side-drilled hole -9.03, disc and sphere -12.04 dB. Computed.
/// Far beyond three near-field lengths, so to 0.05 dB.
#[test]
fn c24_twice_the_distance() {
    let level = |points: &[SurfacePoint]| continuous(2.0, Some(3.0), points);
    let fall = |make: &dyn Fn(f64) -> Vec<SurfacePoint>| db(level(&make(800.0)) / level(&make(400.0)));
    for (what, make) in [
        ("wall_db", &wall as &dyn Fn(f64) -> Vec<SurfacePoint>),
        ("hole_db", &|path| hole(path, 3.0, 0.2, Some(60.0))),
        ("disc_db", &|path| disc(path, 3.0)),
        ("disc_db", &|path| sphere(path, 3.0)),
    ] {
        let found = fall(make);
        assert!((found - expected("C24", what)).abs() < within("C24"), "{what}: {found}");
    }
}

/// C25: a hole of half the diameter at the same path: -3.01 dB, ray law (the root of the diameter), computed. To 0.05 dB for
/// the front echo of short pulses; within 1.5 dB for a continuous wave at 5 MHz, in which the borders of the lit part are
/// heard too.
#[test]
fn c25_half_the_hole() {
    let path_mm = 400.0;
    let points = |diameter: f64, spacing_mm: f64| hole(path_mm, diameter, spacing_mm, None);
    let short = |diameter: f64| front(60.0, 6.0, None, path_mm, &points(diameter, 0.005));
    let long = |diameter: f64| continuous(5.0, None, &points(diameter, 0.03));
    let ray = expected("C25", "hole_db");
    let (short, long) = (db(short(1.5) / short(3.0)), db(long(1.5) / long(3.0)));
    assert!((short - ray).abs() < tolerances("C25")[0], "{short}");
    assert!((long - ray).abs() < tolerances("C25")[1], "{long}");
}

/// C26: disc that echoes like a 3 mm hole at 50 mm, 4 MHz shear: 2.110 mm; constant 0.671 (ISO 16811 and handbooks 0.67,
/// re-derived). The front echoes of the model's own disc and hole meet the constant to 0.5 % where the formula holds: far
/// away and for a hole of many wavelengths, here 6 mm at 10 MHz.
#[test]
fn c26_disc_equal_to_a_hole() {
    let formula = disc_equal_to_hole_mm(3.0, 50.0, LOSSLESS.shear_mm_per_us / 4.0);
    assert!((formula / expected("C26", "disc_mm") - 1.0).abs() < within("C26"), "{formula}");
    let (path_mm, frequency_mhz, hole_mm) = (800.0, 10.0, 6.0);
    let wavelength_mm = LOSSLESS.shear_mm_per_us / frequency_mhz;
    let level = |points: &[SurfacePoint]| front(frequency_mhz, 0.35, Some(3.0), path_mm, points);
    let guess = disc_equal_to_hole_mm(hole_mm, path_mm, wavelength_mm);
    // A small disc echoes as its area.
    let hole = hole(path_mm, hole_mm, 0.06, Some(30.0));
    let found = guess * (level(&hole) / level(&disc(path_mm, guess))).sqrt();
    let constant = found / (wavelength_mm * (hole_mm * path_mm).sqrt()).sqrt();
    assert!((constant / expected("C26", "constant") - 1.0).abs() < within("C26"), "{constant}");
}
