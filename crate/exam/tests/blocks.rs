//! Reference blocks: what a probe hears from radii, holes and notches.
#![allow(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "compared within tolerances, on one machine"
)]

use std::fs;
use std::path::{Path, PathBuf};

use acoustics::frame_maker::{FrameMaker, Shot};
use exam::findable;
use exam::paper::Paper;
use instrument::bench::{Instrument, Trace};
use instrument::pose::{Face, Pose, Side};
use instrument::sensitivity::Sensitivity;
use instrument::set_up::SetUp;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenarios/blocks")
}

fn block(name: &str) -> (Paper, Instrument) {
    let paper = Paper::parse(name, &fs::read(folder().join(name)).unwrap()).unwrap();
    let instrument = findable::instrument(&paper, &paper.plate).unwrap();
    (paper, instrument)
}

fn pose(side: Side, index_offset_mm: f64, y_mm: f64) -> Pose {
    Pose { face: Face::Upper, side, index_offset_mm, y_mm, skew_deg: 0.0 }
}

fn beam(instrument: &Instrument, angle_deg: f64) -> usize {
    instrument.angles_deg().iter().position(|angle| (angle - angle_deg).abs() < 1e-6).unwrap()
}

/// Highest point of a trace between two sound paths: path and height.
fn highest(trace: &Trace, from_mm: f64, to_mm: f64) -> (f64, f64) {
    let heights =
        trace.percent.iter().enumerate().map(|(at, &height)| (at as f64 * trace.step_mm, f64::from(height)));
    heights
        .filter(|(path, _)| (from_mm..to_mm).contains(path))
        .fold((0.0, 0.0), |a, b| if b.1 > a.1 { b } else { a })
}

#[test]
fn all_blocks_are_read_and_written() {
    let mut count = 0;
    for entry in fs::read_dir(folder()).unwrap() {
        let path = entry.unwrap().path();
        let paper = Paper::parse("block", &fs::read(&path).unwrap()).unwrap();
        assert!(paper.plate.block.is_some() && paper.plate.joint.is_none());
        assert_eq!(Paper::parse("again", paper.to_toml().unwrap().as_bytes()).unwrap(), paper);
        assert!(paper.plate.outline().preparation.is_empty() && !paper.plate.outline().root.is_empty());
        count += 1;
    }
    assert_eq!(count, 3);
}

/// Sound that leaves the wedge at the axis of a round end comes back along every beam after the radius. Common practice,
/// no source.
#[test]
fn radii_answer_at_their_sound_paths() {
    let (_, mut instrument) = block("radius-block.toml");
    instrument.set_gain_db(20.0);
    for angle_deg in [45.0, 60.0, 70.0] {
        let beam = beam(&instrument, angle_deg);
        let offset = instrument.exit_forward_mm(beam) - 50.0;
        instrument.scan(&pose(Side::A, offset, 12.5), 0);
        let trace = instrument.trace(beam);
        let (near, far) = (highest(&trace, 40.0, 60.0), highest(&trace, 90.0, 110.0));
        println!("{angle_deg}: {near:?} {far:?}");
        assert!((near.0 - 50.0).abs() < 0.5 && near.1 > 5.0, "{angle_deg}: {near:?}");
        assert!((far.0 - 100.0).abs() < 0.5 && far.1 > 5.0, "{angle_deg}: {far:?}");
        // A centimetre to or fro lowers the echo.
        for step in [-10.0, 10.0] {
            instrument.scan(&pose(Side::A, offset + step, 12.5), 0);
            assert!(highest(&instrument.trace(beam), 90.0, 110.0).1 < far.1, "{angle_deg} {step}");
        }
    }
}

/// Highest echo of a hole in the 60 degree beam over the index offset: path and height in dB. Far holes have a flat top, on
/// which the noise picks the highest; its middle is read, as an operator reads it.
fn hole(instrument: &mut Instrument, offset_mm: f64, depth_mm: f64) -> (f64, f64) {
    let beam = beam(instrument, 60.0);
    let path = depth_mm / 0.5 - 1.5;
    // From side B the sound goes towards smaller x.
    let straight = offset_mm + depth_mm * 3_f64.sqrt() + instrument.exit_forward_mm(beam);
    let mut echo = |step: i32| {
        instrument.scan(&pose(Side::B, straight + 0.5 * f64::from(step), 12.5), 0);
        let (path, percent) = highest(&instrument.trace(beam), path - 2.0, path + 2.0);
        (path, 20.0 * percent.log10())
    };
    let echoes: Vec<(f64, f64)> = (-6..=6).map(&mut echo).collect();
    let highest_db = echoes.iter().map(|echo| echo.1).fold(f64::NEG_INFINITY, f64::max);
    let top: Vec<f64> = echoes.iter().filter(|echo| echo.1 > highest_db - 0.5).map(|echo| echo.0).collect();
    (top.iter().sum::<f64>() / top.len() as f64, highest_db)
}

/// The receiver's correction was measured on single holes in an endless plate. On the block each hole comes out at its path
/// and at the reference height, one after the other.
#[test]
fn holes_lie_on_one_smooth_curve() {
    let (paper, mut instrument) = block("radius-block.toml");
    instrument.set_gain_db(paper.procedure.reference_gain_db);
    let holes = &paper.plate.block.as_ref().unwrap().holes;
    assert_eq!(holes.len(), 8);
    // The first lies in the ripples close before the array, where the highest echo is not that of the beam's axis.
    for drilled in &holes[1..] {
        let (path, height_db) = hole(&mut instrument, drilled.offset_mm, drilled.depth_mm);
        // The crown of the hole is nearer than its axis by its radius.
        assert!((path - (drilled.depth_mm / 0.5 - 1.5)).abs() < 0.6, "{path} mm for {drilled:?}");
        let off_db = height_db - 20.0 * 80_f64.log10();
        assert!(off_db.abs() < 1.0, "{off_db:.2} dB for {drilled:?}");
    }
}

/// Without the receiver's correction the holes of the block fall with distance as the far-field law of ISO 16811 has it for a
/// side-drilled hole, 9.03 dB a doubling of the path (from memory; re-derived from the spread of the beam both ways and of
/// the hole's echo), and the metal's own loss. Asked with a small unfocused part of the array, whose near field ends before
/// the first hole: three near-field lengths of its elements, 4 mm long across the beam, are 20 mm.
#[test]
fn raw_heights_of_holes_fall_by_the_far_field_law() {
    let (mut paper, _) = block("radius-block.toml");
    paper.procedure.probe.elevation_mm = 4.0;
    (paper.procedure.sector.first_element, paper.procedure.sector.active_elements) = (29, 8);
    paper.procedure.sector.focus_path_mm = None;
    let mut instrument = findable::instrument(&paper, &paper.plate).unwrap();
    instrument.set_gain_db(paper.procedure.reference_gain_db);
    let set_up = SetUp::of(&paper.procedure);
    let (solid, aperture) = (paper.plate.solid, set_up.aperture());
    let shot = Shot { aperture: aperture.clone(), laws: set_up.laws(&solid).unwrap() };
    let mut engine = FrameMaker::new(&solid, vec![shot], paper.procedure.range_mm);
    let raw = Sensitivity::measure(&mut engine, &solid, aperture.centre_mm(), paper.procedure.range_mm);
    let curve = raw.curve(beam(&instrument, 60.0));
    // Behind the wedge the sound seems to come from further back, across the beam plane by the ratio of the speeds, in the
    // plane by that and the ratio of the squared cosines (ray tubes at a plane interface; Schmerr, from memory).
    let (shear, near) = (solid.shear_mm_per_us, aperture.near_speed(&solid));
    let in_wedge = (60.0_f64.to_radians().sin() * near / shear).asin();
    let way_mm = aperture.centre_mm()[1] / in_wedge.cos() * near / shear;
    let back_mm = [way_mm * (60.0_f64.to_radians().cos() / in_wedge.cos()).powi(2), way_mm];
    let law_db = |path: f64| {
        let spread = (path + back_mm[0]) * (path + back_mm[1]).sqrt();
        -20.0 * spread.log10() - 2.0 * solid.shear_loss_db_per_mm * path
    };
    let mut off = Vec::new();
    for drilled in &paper.plate.block.as_ref().unwrap().holes[1..] {
        let (path, corrected_db) = hole(&mut instrument, drilled.offset_mm, drilled.depth_mm);
        let raw_db = corrected_db + 20.0 * curve.height(path).log10();
        off.push(raw_db - law_db(path));
    }
    println!("{off:?} {back_mm:?} {}", solid.shear_loss_db_per_mm);
    let mean = off.iter().sum::<f64>() / off.len() as f64;
    for (off, drilled) in off.iter().zip(&paper.plate.block.as_ref().unwrap().holes[1..]) {
        assert!((off - mean).abs() < 1.0, "{:.2} dB off the law: {drilled:?}", off - mean);
    }
}

/// The higher a notch in the lower face, the stronger the echo of its corner. Common practice, no source.
#[test]
fn higher_notches_answer_louder() {
    let (paper, mut instrument) = block("notch-block.toml");
    instrument.set_gain_db(20.0);
    let (beam, thickness) = (beam(&instrument, 45.0), paper.plate.thickness_mm);
    let path = thickness * 2_f64.sqrt();
    let mut heights = Vec::new();
    for notch in &paper.plate.block.as_ref().unwrap().notches[..3] {
        let straight = notch.offset_mm + thickness + instrument.exit_forward_mm(beam);
        let heard = |step: i32| {
            instrument.scan(&pose(Side::B, straight + 0.5 * f64::from(step), 30.0), 0);
            highest(&instrument.trace(beam), path - 4.0, path + 4.0).1
        };
        heights.push((-8..=8).map(heard).fold(0.0, f64::max));
    }
    assert!(heights[0] > 5.0 && heights.windows(2).all(|pair| pair[1] > 1.2 * pair[0]), "{heights:?}");
}
