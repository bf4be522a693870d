//! How long a flaw reads by the 6 dB drop: through the whole chain, from surface points to readings along the weld, against the
//! error-function model of a Gaussian beam (tests/published/data/drop_sizing_gaussian.csv, computed from the formula alone) and
//! Fresnel's integral over the element.
#![allow(clippy::disallowed_methods, clippy::unwrap_used, reason = "compared within tolerances")]

mod yard;

use acoustics::material::Solid;
use acoustics::scene::{Scene, Sides, Surface, SurfacePoint};
use instrument::bench::Instrument;
use instrument::gate::Gate;
use instrument::pose::{Face, Pose, Side};
use instrument::sizing::drop_ends_mm;
use yard::procedure;

/// The 55° beam, and the sound path at which the flaw lies: where the beams are focused.
const BEAM: usize = 30;
const PATH_MM: f64 = 50.0;
const MIDDLE_MM: f64 = 60.0;

/// A strip that the 55° beam meets square, a wavelength high and so long along the weld.
fn strip(along_mm: f64, exit_mm: f64) -> Vec<SurfacePoint> {
    let angle = 55.0_f64.to_radians();
    let (sine, cosine) = (angle.sin(), angle.cos());
    let [x, z] = [exit_mm + PATH_MM * sine, PATH_MM * cosine];
    let columns = (along_mm / 0.15).ceil();
    let (step, rise) = (along_mm / columns, 0.15);
    (0..columns as i32)
        .flat_map(|column| (-2..=2).map(move |row| (f64::from(column), f64::from(row) * rise)))
        .map(|(column, up)| SurfacePoint {
            position_mm: [x - up * cosine, MIDDLE_MM - 0.5 * along_mm + (column + 0.5) * step, z + up * sine],
            normal: [-sine, 0.0, -cosine],
            area_mm2: step * rise,
            sides: Sides::Both,
        })
        .collect()
}

/// Length by the 6 dB drop, mm.
fn read_mm(along_mm: f64) -> f64 {
    let bare = || Scene {
        solid: Solid::STEEL,
        thickness_mm: Some(60.0),
        surface: Surface::default(),
        upper_not_flat: vec![],
        lower_not_flat: vec![],
        grain: None,
        longitudinal: false,
    };
    let mut bench = Instrument::new(bare(), &procedure()).unwrap();
    let exit_mm = bench.exit_forward_mm(BEAM);
    bench.replace_scene(Scene { surface: Surface::from_points(strip(along_mm, exit_mm)), ..bare() });
    // Enough gain that the receiver's noise says nothing, and not so much that the screen ends.
    let gate = Gate { start_mm: PATH_MM - 4.0, length_mm: 8.0, threshold_percent: 0.0 };
    let pose =
        |y_mm: f64| Pose { face: Face::Upper, side: Side::A, index_offset_mm: 0.0, y_mm, skew_deg: 0.0 };
    bench.scan(&pose(MIDDLE_MM), 0);
    let middle_db = bench.reading(BEAM, &gate).unwrap().amplitude_db;
    bench.set_gain_db(procedure().reference_gain_db - middle_db - 3.0);
    let places: Vec<f64> = (-80..=80).map(|k| MIDDLE_MM + 0.4 * f64::from(k)).collect();
    let heights: Vec<f64> = places
        .iter()
        .map(|&y_mm| {
            bench.scan(&pose(y_mm), 0);
            bench.reading(BEAM, &gate).map_or(0.0, |reading| reading.amplitude_percent)
        })
        .collect();
    let [from, to] = drop_ends_mm(&places, &heights, 20.0 * 2.0_f64.log10()).unwrap();
    to - from
}

/// Rows of the table: flaw and its reading, in beam widths.
fn table() -> Vec<[f64; 2]> {
    include_str!("../../../tests/published/data/drop_sizing_gaussian.csv")
        .lines()
        .skip(1)
        .map(|line| {
            let mut cells = line.split(',').map(|cell| cell.parse().unwrap());
            [cells.next().unwrap(), cells.next().unwrap()]
        })
        .collect()
}

/// The same two-way beam by Fresnel's integral over the element, in the plane across the beam, at the distance that spreads a wave
/// as wedge and steel together do: place and complex height every 0.05 mm.
fn fresnel() -> Vec<(f64, [f64; 2])> {
    let probe = procedure().probe;
    let wavelength = Solid::STEEL.shear_mm_per_us / probe.frequency_mhz;
    let aperture = instrument::set_up::SetUp::of(&procedure()).aperture();
    let ratio = probe.wedge_material.longitudinal_mm_per_us / Solid::STEEL.shear_mm_per_us;
    let in_wedge = (55.0_f64.to_radians().sin() * ratio).asin();
    let distance = PATH_MM + aperture.centre_mm()[1] / in_wedge.cos() * ratio;
    (-600..=600)
        .map(|k| {
            let y = 0.05 * f64::from(k);
            let (mut re, mut im) = (0.0, 0.0);
            for piece in 0..100 {
                let from = probe.elevation_mm * ((f64::from(piece) + 0.5) / 100.0 - 0.5);
                let phase = std::f64::consts::PI * (y - from).powi(2) / (wavelength * distance);
                re += phase.cos();
                im += phase.sin();
            }
            (y, [re * re - im * im, 2.0 * re * im])
        })
        .collect()
}

/// Length by the 6 dB drop of a flaw under such a beam, mm.
fn fresnel_read_mm(beam: &[(f64, [f64; 2])], along_mm: f64) -> f64 {
    let places: Vec<f64> = (-80..=80).map(|k| 0.25 * f64::from(k)).collect();
    let height = |at: f64| {
        let heard = beam.iter().filter(|(y, _)| (y - at).abs() <= 0.5 * along_mm);
        let sum = heard.fold([0.0, 0.0], |sum, (_, [re, im])| [sum[0] + re, sum[1] + im]);
        sum[0].hypot(sum[1])
    };
    let heights: Vec<f64> = places.iter().map(|&at| height(at)).collect();
    let [from, to] = drop_ends_mm(&places, &heights, 20.0 * 2.0_f64.log10()).unwrap();
    to - from
}

/// Short flaws read as long as the beam is wide, and long ones right, as the Gaussian model says. About as long as the beam is
/// wide they read up to a fifth of a width longer than it says, for the beam of a rectangular element is no Gaussian: as
/// Fresnel's integral over that element says.
#[test]
fn six_db_lengths_are_biased_as_the_beam_of_the_element_says() {
    let (width, beam) = (read_mm(0.15), fresnel());
    let fresnel_width = fresnel_read_mm(&beam, 0.15);
    println!("the beam is {width:.2} mm wide, by Fresnel {fresnel_width:.2} mm");
    assert!((width / fresnel_width - 1.0).abs() < 0.07, "{width} against {fresnel_width}");
    let mut biases = Vec::new();
    for [flaw, gaussian] in table().into_iter().filter(|row| row[0] >= 0.25 && row[0] <= 4.0) {
        let read = read_mm(flaw * width) / width;
        let expected = fresnel_read_mm(&beam, flaw * fresnel_width) / fresnel_width;
        println!(
            "a flaw of {flaw} widths reads {read:.3}, by Fresnel {expected:.3}, under a Gaussian {gaussian:.3}"
        );
        assert!((read - expected).abs() < 0.08, "{flaw}: {read} against {expected}");
        let like_it = !(0.75..3.0).contains(&flaw);
        assert!(
            (read - gaussian).abs() < if like_it { 0.05 } else { 0.2 },
            "{flaw}: {read} against {gaussian}"
        );
        biases.push(read - flaw);
    }
    // The bias falls with the length, from three quarters of the beam's width to nothing.
    assert!(biases.windows(2).all(|pair| pair[1] < pair[0] + 0.02), "{biases:?}");
    assert!(biases[0] > 0.7 && biases.last().is_some_and(|last| last.abs() < 0.03), "{biases:?}");
}
