//! A linear scan against the exact model: every beam with the elements, the delays and the place of its own aperture.
#![allow(clippy::unwrap_used, reason = "a test")]

use acoustics::aperture::{Aperture, Coupling};
use acoustics::frame_maker::{FrameMaker, Shot};
use acoustics::law::DelayLaw;
use acoustics::material::{Solid, WedgeMaterial};
use acoustics::oracle::{Oracle, Reflectors};
use acoustics::placement::{BrokenStretches, Placement};
use acoustics::scene::{Cavity, CavityForm, Scene, Sides, Surface, SurfacePoint};

const STEEL: Solid = Solid::STEEL;
const THICKNESS_MM: f64 = 20.0;
const PAIRS: [(usize, usize); 6] = [(0, 0), (1, 1), (2, 2), (0, 1), (1, 2), (0, 2)];
/// How far below the beam that hears most the compared beams may lie, dB.
const WINDOW_DB: f64 = 12.0;

/// Apertures of `count` elements along an array of 64, four elements apart.
fn shots(count: u32, angle_deg: f64, focus_mm: Option<f64>) -> Vec<Shot> {
    (0..=64 - count)
        .step_by(4)
        .map(|first| {
            let aperture = Aperture {
                coupling: Coupling::Wedge(WedgeMaterial::POLYSTYRENE),
                wedge_angle: 36.0_f64.to_radians(),
                first_height_mm: 5.0,
                pitch_mm: 0.5,
                element_width_mm: 0.4,
                elevation_mm: Some(10.0),
                first,
                count,
                frequency_mhz: 5.0,
                bandwidth_percent: 60.0,
            };
            let laws = vec![DelayLaw::new(&aperture, &STEEL, angle_deg.to_radians(), focus_mm).unwrap()];
            Shot { aperture, laws }
        })
        .collect()
}

/// Where a beam is after a sound path: from below the centre of the first aperture, and depth in the unfolded metal, mm.
fn place(shots: &[Shot], beam: usize, path_mm: f64) -> [f64; 2] {
    let (law, origin) = (&shots[beam].laws[0], shots[0].aperture.centre_mm()[0]);
    [law.exit_mm - origin + path_mm * libm::sin(law.angle), path_mm * libm::cos(law.angle)]
}

/// Points on a straight strip in the beam plane.
fn strip(centre: [f64; 2], length: f64, angle_deg: f64) -> Vec<SurfacePoint> {
    let along = [libm::cos(angle_deg.to_radians()), libm::sin(angle_deg.to_radians())];
    let count = (length / 0.16).ceil();
    let step = length / count;
    (0..count as u32)
        .map(|i| {
            let s = step * (f64::from(i) + 0.5) - 0.5 * length;
            SurfacePoint {
                position_mm: [centre[0] + s * along[0], 0.0, centre[1] + s * along[1]],
                normal: [along[1], 0.0, -along[0]],
                area_mm2: step,
                sides: Sides::Both,
            }
        })
        .collect()
}

/// Height and place of a row's highest sample, between the samples.
fn peak(row: &[f64]) -> (f64, f64) {
    let at = (1..row.len() - 1).max_by(|&a, &b| row[a].total_cmp(&row[b])).unwrap();
    let (a, b, c) = (row[at - 1], row[at], row[at + 1]);
    let bend = a - 2.0 * b + c;
    let shift = if bend < 0.0 { 0.5 * (a - c) / bend } else { 0.0 };
    (b - 0.25 * (a - c) * shift, at as f64 + shift)
}

/// The beams within the window: errors in dB and in ns, one pair a beam.
fn errors(shots: &[Shot], maker: &mut FrameMaker, at: &Reflectors, plate: bool) -> Vec<[f64; 2]> {
    let scene = Scene {
        solid: STEEL,
        thickness_mm: plate.then_some(THICKNESS_MM),
        surface: Surface::from_points(at.points.iter().copied()).with_cavities(at.cavities.to_vec()),
        upper_not_flat: vec![],
        lower_not_flat: vec![],
        grain: None,
        longitudinal: false,
    };
    let stand = Placement { centre_mm: [0.0, 0.0], forward: [1.0, 0.0], lower_face_mm: None };
    let (samples, start_us) = (maker.samples(), maker.start_us());
    maker.frame(&scene, &stand, None);
    let (re, im) = maker.baseband();
    let whole = BrokenStretches::default();
    let mut peaks = Vec::new();
    for (beam, shot) in shots.iter().enumerate() {
        // The exact model counts from below the aperture that sends the beam.
        let ahead = shot.aperture.centre_mm()[0] - shots[0].aperture.centre_mm()[0];
        let moved = |[x, y, z]: [f64; 3]| [x - ahead, y, z];
        let points: Vec<SurfacePoint> =
            at.points.iter().map(|p| SurfacePoint { position_mm: moved(p.position_mm), ..*p }).collect();
        let cavities: Vec<Cavity> =
            at.cavities.iter().map(|c| Cavity { position_mm: moved(c.position_mm), ..*c }).collect();
        let oracle = Oracle {
            solid: STEEL,
            aperture: &shot.aperture,
            laws: &shot.laws,
            thickness_mm: scene.thickness_mm,
            broken: [&whole, &whole],
            pairs: if plate { &PAIRS } else { &PAIRS[..1] },
        };
        let reflectors = Reflectors { points: &points, cavities: &cavities, ..Reflectors::default() };
        let exact: Vec<f64> =
            oracle.frame(&reflectors, start_us, samples)[0].iter().map(|value| value.abs()).collect();
        let row = beam * samples..(beam + 1) * samples;
        let fast: Vec<f64> =
            re[row.clone()].iter().zip(&im[row]).map(|(&re, &im)| f64::from(libm::hypotf(re, im))).collect();
        peaks.push((peak(&fast), peak(&exact)));
    }
    let highest = peaks.iter().map(|(_, exact)| exact.0).fold(0.0, f64::max);
    let db = |ratio: f64| 20.0 * libm::log10(ratio);
    let heard = peaks.iter().filter(|(_, exact)| db(exact.0 / highest) > -WINDOW_DB);
    let errors: Vec<[f64; 2]> =
        heard.map(|(fast, exact)| [db(fast.0 / exact.0), (fast.1 - exact.1) * 100.0]).collect();
    assert!(!errors.is_empty());
    errors
}

fn rms(values: impl Iterator<Item = f64> + Clone) -> f64 {
    let count = values.clone().count() as f64;
    f64::sqrt(values.map(|value| value * value).sum::<f64>() / count)
}

/// The bars are those of the sector's own comparison (`fast_against_exact.rs`).
#[test]
fn every_beam_hears_what_its_own_elements_hear() {
    let mut complaints = Vec::new();
    for (count, focus_mm) in [(16, None), (32, Some(50.0))] {
        let shots = shots(count, 55.0, focus_mm);
        let mut maker = FrameMaker::new(&STEEL, shots.clone(), 110.0);
        assert_eq!(maker.laws().len(), shots.len());
        let [first, middle, last] = [0, shots.len() / 2, shots.len() - 1];
        let square = |beam: usize, path: f64| strip(place(&shots, beam, path), 0.1, -55.0);
        // Second leg, 12 mm deep: the face stands square to the beam that has come up again.
        let up = (2.0 * THICKNESS_MM - 12.0) / libm::cos(55.0_f64.to_radians());
        let second = [place(&shots, middle, up)[0], 12.0];
        let corner = place(&shots, middle, THICKNESS_MM / libm::cos(55.0_f64.to_radians()))[0];
        let hole = |path: f64| {
            let [x, z] = place(&shots, middle, path);
            let across = CavityForm::Bore { direction: [0.0, 1.0, 0.0], length_mm: 0.2 };
            vec![Cavity { position_mm: [x, 0.0, z], diameter_mm: 3.0, form: across }]
        };
        let cases = [
            ("point before the first beam", square(first, 30.0), vec![], false, 0.3),
            ("point before the middle beam", square(middle, 60.0), vec![], false, 0.3),
            ("point before the last beam", square(last, 90.0), vec![], false, 0.3),
            ("square strip, second leg", strip(second, 4.0, 55.0), vec![], true, 0.4),
            ("tilted 8 degrees", strip(second, 4.0, 63.0), vec![], true, 0.6),
            ("crack at the far face", strip([corner, THICKNESS_MM - 1.5], 3.0, 90.0), vec![], true, 0.9),
            ("3 mm hole at 50 mm", vec![], hole(50.0), false, 0.3),
            ("3 mm hole at 25 mm", vec![], hole(25.0), false, 1.0),
        ];
        for (name, points, cavities, plate, bar_db) in cases {
            let at = Reflectors { points: &points, cavities: &cavities, ..Reflectors::default() };
            let errors = errors(&shots, &mut maker, &at, plate);
            let (db, ns) = (rms(errors.iter().map(|e| e[0])), rms(errors.iter().map(|e| e[1])));
            println!("{count} elements, {name}: {} beams, rms {db:.2} dB, {ns:.1} ns", errors.len());
            if db.is_nan() || db > bar_db || ns > 20.0 {
                complaints.push(format!("{count} elements, {name}: {db:.2} dB rms, {ns:.1} ns"));
            }
        }
    }
    assert!(complaints.is_empty(), "{complaints:#?}");
}

/// Moving the whole array by a step of the aperture is the same as sending from the aperture one step further on, but for the
/// height that the wedge gains there: on a wedge without angle, where it gains none, the bits of the beam agree.
#[test]
fn on_a_level_array_the_next_aperture_is_the_probe_moved() {
    let level = |first: u32| {
        let aperture = Aperture {
            coupling: Coupling::Wedge(WedgeMaterial::POLYSTYRENE),
            wedge_angle: 0.0,
            first_height_mm: 12.0,
            pitch_mm: 0.5,
            element_width_mm: 0.4,
            elevation_mm: Some(10.0),
            first,
            count: 16,
            frequency_mhz: 5.0,
            bandwidth_percent: 60.0,
        };
        let laws = vec![DelayLaw::new(&aperture, &STEEL, 45.0_f64.to_radians(), None).unwrap()];
        Shot { aperture, laws }
    };
    let mut maker = FrameMaker::new(&STEEL, vec![level(0), level(4)], 90.0);
    let scene = Scene {
        solid: STEEL,
        thickness_mm: None,
        surface: Surface::from_points(strip([45.0, 30.0], 2.0, -45.0)),
        upper_not_flat: vec![],
        lower_not_flat: vec![],
        grain: None,
        longitudinal: false,
    };
    let samples = maker.samples();
    let mut beam_at = |x: f64, beam: usize| {
        let stand = Placement { centre_mm: [x, 0.0], forward: [1.0, 0.0], lower_face_mm: None };
        let (re, _) = maker.frame(&scene, &stand, None);
        re[beam * samples..(beam + 1) * samples].to_vec()
    };
    let (second, moved) = (beam_at(0.0, 1), beam_at(2.0, 0));
    assert!(second.iter().any(|&value| value.abs() > 1e-6));
    assert_eq!(second, moved);
}
