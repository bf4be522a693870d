//! Tests of the rims of thin gaps.

use acoustics::scene::{FaceRun, RimPoint};

use crate::flaw::{Flaw, FlawKind};
use crate::joint::Preparation;
use crate::plate::Plate;
use crate::{sample, shape};

const SPACING_MM: f64 = 0.21;

fn rims(flaw: &Flaw, plate: &Plate) -> (Vec<RimPoint>, Vec<FaceRun>) {
    let (mut rims, mut runs) = (Vec::new(), Vec::new());
    for piece in shape::pieces(flaw, plate) {
        piece.rims(SPACING_MM, &mut rims, &mut runs);
    }
    (rims, runs)
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Rims that a kind of flaw must have: two inside the metal, one where it opens to a face, none for voids.
fn expected(flaw: &Flaw, plate: &Plate) -> usize {
    match flaw.kind {
        FlawKind::LackOfSideWallFusion | FlawKind::CentrelineCrack => 2,
        FlawKind::RootCrack => 1,
        FlawKind::IncompletePenetration if plate.joint.root_gap_mm >= shape::CLOSED_GAP_MM => 0,
        FlawKind::IncompletePenetration if plate.joint.preparation == Preparation::SingleV => 1,
        FlawKind::IncompletePenetration => 2,
        FlawKind::SlagLine | FlawKind::SinglePore | FlawKind::PoreCluster => 0,
    }
}

#[test]
fn rims_are_square_and_as_long_as_the_flaw() {
    for seed in 0..6 {
        for (plate, flaw) in sample::all(seed) {
            let (rims, _) = rims(&flaw, &plate);
            let count = expected(&flaw, &plate);
            assert_eq!(rims.is_empty(), count == 0, "{:?}", flaw.kind);
            for rim in &rims {
                assert!((dot(rim.inward, rim.inward) - 1.0).abs() < 1e-9);
                assert!((dot(rim.normal, rim.normal) - 1.0).abs() < 1e-9);
                assert!(dot(rim.inward, rim.normal).abs() < 1e-9);
            }
            let length: f64 = rims.iter().map(|rim| rim.length_mm).sum();
            let straight = count as f64 * flaw.length_mm;
            // A rim is longer than the flaw by its raggedness, shorter by what fades at its ends.
            let what = format!("{:?}: {length} mm of {straight} mm", flaw.kind);
            assert!(length >= 0.9 * straight && length <= 1.5 * straight, "{what}");
        }
    }
}

#[test]
fn no_rim_lies_on_a_face_of_the_plate() {
    for (plate, flaw) in sample::all(4) {
        for rim in rims(&flaw, &plate).0 {
            let z = rim.position_mm[2];
            assert!(z > 0.1 && z < plate.thickness_mm - 0.1, "{:?} at {z}", flaw.kind);
        }
    }
}

#[test]
fn surface_waves_run_on_smooth_faces_only_and_between_facing_rims() {
    for (plate, flaw) in sample::all(5) {
        let (_, runs) = rims(&flaw, &plate);
        let may_be_smooth = flaw.kind == FlawKind::IncompletePenetration;
        assert!(
            may_be_smooth || (flaw.kind == FlawKind::LackOfSideWallFusion) != runs.is_empty(),
            "{:?}",
            flaw.kind
        );
        // Where a rim turns into the flaw's end it counts with little or nothing.
        let along = |rim: &RimPoint| rim.inward[1].abs() < 0.7;
        for run in runs.iter().filter(|run| along(&run.from) && along(&run.to)) {
            // Seen along the weld, where raggedness of the rims does not count.
            let flat = |v: [f64; 3]| {
                let length = libm::hypot(v[0], v[2]);
                [v[0] / length, 0.0, v[2] / length]
            };
            let facing = dot(flat(run.from.inward), flat(run.to.inward));
            assert!(facing < -0.99, "{:?}: {facing} {run:?}", flaw.kind);
            assert!((run.from.position_mm[1] - run.to.position_mm[1]).abs() < 0.2);
        }
    }
}
