//! Tests of the rims of thin gaps.

use acoustics::scene::{FaceRun, RimPoint, SurfacePoint};

use crate::flaw::{Flaw, FlawKind};
use crate::joint::Preparation;
use crate::plate::Plate;
use crate::shape::SOFT_RIM_MM;
use crate::{sample, shape};

const SPACING_MM: f64 = 0.21;
/// What of a face counts as near to a rim, mm.
const NEAR_MM: f64 = 0.5;

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
        _ => 0,
    }
}

#[test]
fn rims_are_square_and_as_long_as_the_flaw() {
    for seed in 0..6 {
        for (plate, flaw) in sample::all(seed) {
            let (rims, _) = rims(&flaw, &plate);
            let count = expected(&flaw, &plate);
            assert_eq!(rims.is_empty(), count == 0, "{:?}", flaw.kind);
            let mut along = 0.0;
            for rim in &rims {
                assert!((dot(rim.inward, rim.inward) - 1.0).abs() < 1e-9);
                assert!((dot(rim.normal, rim.normal) - 1.0).abs() < 1e-9);
                assert!(dot(rim.inward, rim.normal).abs() < 1e-9);
                assert!(rim.length_mm > 0.0 && rim.length_mm <= 1.5 * SPACING_MM, "{}", rim.length_mm);
                // The rim runs square to both; what counts is its share along the weld, raggedness makes it longer.
                let [run, cut] = [rim.inward, rim.normal];
                along += rim.length_mm * (run[2] * cut[0] - run[0] * cut[2]).abs();
            }
            // A crack ends where it ends; a smooth face fades as 3t² - 2t³ over the soft length S, which takes S/2 off each
            // end. Pieces take the fade at their middles: off by h²/24 · max|f''| · S = h²/(4S) an end at most.
            let cracked = matches!(flaw.kind, FlawKind::CentrelineCrack | FlawKind::RootCrack);
            let (faded, off) = if cracked {
                (0.0, 1e-9)
            } else {
                (SOFT_RIM_MM, 2.0 * SPACING_MM * SPACING_MM / (4.0 * SOFT_RIM_MM))
            };
            let due = count as f64 * (flaw.length_mm - faded);
            assert!((along - due).abs() <= count as f64 * off, "{:?}: {along} mm of {due} mm", flaw.kind);
        }
    }
}

/// Seen from a rim, all of the face that is near lies on the side that `inward` points to, and begins at the rim.
#[test]
fn rims_lie_on_the_edges_of_their_faces() {
    for (plate, flaw) in sample::all(3) {
        for piece in shape::pieces(&flaw, &plate) {
            let (mut points, mut rims) = (Vec::new(), Vec::new());
            piece.points(SPACING_MM, &mut points);
            piece.rims(SPACING_MM, &mut rims, &mut Vec::new());
            for rim in &rims {
                let from_rim = |point: &SurfacePoint| -> [f64; 3] {
                    std::array::from_fn(|k| point.position_mm[k] - rim.position_mm[k])
                };
                let near: Vec<_> = points
                    .iter()
                    .map(|point| (from_rim(point), point.normal))
                    .filter(|(way, _)| dot(*way, *way) < NEAR_MM * NEAR_MM)
                    .collect();
                let what = format!("{:?}: {rim:?}", flaw.kind);
                let first = near.iter().map(|(way, _)| dot(*way, rim.inward)).fold(f64::INFINITY, f64::min);
                assert!(first > -0.3 * SPACING_MM && first < SPACING_MM, "{what}: begins {first} mm in");
                for (way, normal) in &near {
                    assert!(dot(*way, rim.normal).abs() < 0.3 * NEAR_MM, "{what}: {way:?} is off the face");
                    assert!(dot(*normal, rim.normal).abs() > 0.8, "{what}: {normal:?}");
                }
            }
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
