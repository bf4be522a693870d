//! Tests of every kind of flaw in every joint.

use acoustics::scene::{Cavity, Sides, SurfacePoint};

use crate::flaw::{Flaw, FlawKind, Place};
use crate::joint::WeldSide;
use crate::patch::Piece;
use crate::plate::Plate;
use crate::{runs, sample, shape};

fn points(flaw: &Flaw, plate: &Plate, spacing_mm: f64) -> Vec<SurfacePoint> {
    let mut out = Vec::new();
    for piece in shape::pieces(flaw, plate) {
        piece.points(spacing_mm, &mut out);
    }
    out
}

fn cavities(flaw: &Flaw, plate: &Plate) -> Vec<Cavity> {
    shape::pieces(flaw, plate).iter().filter_map(Piece::cavity).collect()
}

/// Every `step`th joint with every flaw it can have, over some seeds.
fn each(step: usize, seeds: std::ops::Range<u64>, test: &mut dyn FnMut(&Plate, &Flaw)) {
    for plate in sample::joints().into_iter().step_by(step) {
        for seed in seeds.clone() {
            for flaw in sample::flaws(&plate, seed) {
                test(&plate, &flaw);
            }
        }
    }
}

#[test]
fn every_kind_is_there_and_sound() {
    let mut kinds = std::collections::BTreeSet::new();
    each(1, 0..1, &mut |plate, flaw| {
        kinds.insert(flaw.kind);
        let whole = Plate { flaws: vec![flaw.clone()], ..plate.clone() };
        assert_eq!(whole.check(), [], "{:?} {}: {flaw:?}", plate.joint.preparation, plate.thickness_mm);
    });
    assert_eq!(kinds.len(), FlawKind::ALL.len());
}

/// What the file says is what the shape measures, to 0.1 mm, for all kinds over many seeds.
#[test]
fn sizes_are_what_the_file_says() {
    each(7, 0..20, &mut |plate, flaw| {
        let [across, along, depth] = shape::bounds(flaw, plate).unwrap();
        let what = || {
            format!(
                "{:?} {} {flaw:?}: {across:?} {along:?} {depth:?}",
                plate.joint.preparation, plate.thickness_mm
            )
        };
        let near = |a: f64, b: f64| (a - b).abs() < 0.1;
        assert!(
            near(along[0], flaw.start_mm) && near(along[1], flaw.start_mm + flaw.length_mm),
            "{}",
            what()
        );
        assert!(near(depth[1] - depth[0], flaw.height_mm), "{}", what());
        match flaw.place {
            Place::Bevel { depth_mm, .. } | Place::Weld { depth_mm, .. } => {
                assert!(near((depth[0] + depth[1]) / 2.0, depth_mm), "{}", what());
            }
            Place::Run { layer, run, groove } => {
                let surface = runs::surface(plate, layer, run, groove).unwrap();
                let crown = if groove == crate::joint::Bevel::Upper { depth[0] } else { depth[1] };
                assert!(near(crown, surface.crown_mm), "{}", what());
            }
            Place::Root { .. } | Place::Toe { .. } => {}
        }
        if let (Some(width), Place::Weld { .. }) = (flaw.width_mm, flaw.place) {
            assert!(near(across[1] - across[0], width), "{}", what());
        }
        // The map rounds to tenths.
        let extent = flaw.extent(plate);
        for (map, exact) in [(extent.across_mm, across), (extent.along_mm, along), (extent.depth_mm, depth)] {
            assert!((0..2).all(|i| (map[i] - exact[i]).abs() <= 0.05 + 1e-9), "{}", what());
        }
    });
}

#[test]
fn points_fill_the_map() {
    each(3, 20..21, &mut |plate, flaw| {
        let extent = flaw.extent(plate);
        let points = points(flaw, plate, 0.1);
        let cavities = cavities(flaw, plate);
        for (axis, range) in [(0, extent.across_mm), (1, extent.along_mm), (2, extent.depth_mm)] {
            let poles = cavities.iter().flat_map(|cavity| {
                [-0.5, 0.5].map(|half| cavity.position_mm[axis] + half * cavity.diameter_mm)
            });
            let (low, high) = points
                .iter()
                .map(|point| point.position_mm[axis])
                .chain(poles)
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| (low.min(at), high.max(at)));
            let what =
                format!("{:?} {flaw:?} axis {axis}: {low}..{high} in {range:?}", plate.joint.preparation);
            assert!(low >= range[0] - 0.06 && high <= range[1] + 0.06, "{what}");
            assert!(low <= range[0] + 0.17 && high >= range[1] - 0.17, "{what}");
        }
        // Cells of curved lumps come out a little longer than the lines they are measured by.
        let cell = if flaw.kind.is_planar() { 1.001 } else { 1.2 } * 0.1 * 0.1;
        for point in &points {
            let square: f64 = point.normal.iter().map(|n| n * n).sum();
            assert!((square - 1.0).abs() < 1e-9 && point.area_mm2 > 0.0);
            assert!(point.area_mm2 <= cell, "{:?}: {}", flaw.kind, point.area_mm2);
        }
    });
}

/// Gauss: over a closed surface the vector areas sum to zero, and the flux of the position is three times the volume.
#[test]
fn hollow_flaws_are_closed_and_face_out() {
    each(3, 30..31, &mut |plate, flaw| {
        // Round pores are heard as a whole and have no points.
        if flaw.kind.is_planar() || !cavities(flaw, plate).is_empty() {
            return;
        }
        let points = points(flaw, plate, 0.1);
        let whole: f64 = points.iter().map(|point| point.area_mm2).sum();
        for axis in 0..3 {
            let sum: f64 = points.iter().map(|point| point.normal[axis] * point.area_mm2).sum();
            assert!(
                sum.abs() < 0.01 * whole,
                "{:?} {:?} axis {axis}: {sum} of {whole}",
                flaw.kind,
                flaw.place
            );
        }
        let extent = flaw.extent(plate);
        let centre = [extent.across_mm[0], extent.along_mm[0], extent.depth_mm[0]];
        let flux: f64 = points
            .iter()
            .map(|p| (0..3).map(|k| (p.position_mm[k] - centre[k]) * p.normal[k]).sum::<f64>() * p.area_mm2)
            .sum();
        assert!(flux > 0.0 && points.iter().all(|p| p.sides == Sides::One), "{:?}", flaw.kind);
    });
}

/// Lack of fusion lies on the very edge or run it is named for; slag against a bevel is flat there.
#[test]
fn flaws_lie_on_the_boundaries_they_are_named_for() {
    each(2, 40..41, &mut |plate, flaw| {
        let edge = |side: WeldSide, z: f64| {
            side.x_sign() * plate.joint.edge_mm(plate.thickness_mm, side, z.min(plate.thickness_mm))
        };
        let points = points(flaw, plate, 0.1);
        match (flaw.kind, flaw.place) {
            (FlawKind::LackOfSideWallFusion, Place::Bevel { side, .. }) => {
                assert!(
                    points.iter().all(|p| (p.position_mm[0] - edge(side, p.position_mm[2])).abs() < 0.15)
                );
            }
            (FlawKind::LackOfRootFusion, Place::Root { at }) => {
                let side = at.side().unwrap();
                assert!(
                    points.iter().all(|p| (p.position_mm[0] - edge(side, p.position_mm[2])).abs() < 0.05)
                );
            }
            (_, Place::Run { layer, run, groove }) => {
                let surface = runs::surface(plate, layer, run, groove).unwrap();
                assert!(
                    points
                        .iter()
                        .all(|p| (p.position_mm[2] - surface.depth_mm(p.position_mm[0])).abs() < 0.02)
                );
            }
            (_, Place::Bevel { side, .. }) => {
                // A good part of the section lies flat on the bevel, the rest off it in the weld.
                let slope = (edge(side, flaw_depth(flaw) + 0.1) - edge(side, flaw_depth(flaw) - 0.1)) / 0.2;
                let norm = f64::sqrt(1.0 + slope * slope);
                let (mut flat, mut whole) = (0.0, 0.0);
                for p in &points {
                    let off = side.x_sign()
                        * (edge(side, flaw_depth(flaw)) + slope * (p.position_mm[2] - flaw_depth(flaw))
                            - p.position_mm[0])
                        / norm;
                    let square = side.x_sign() * (p.normal[0] - slope * p.normal[2]) / norm;
                    assert!(off > -0.02, "{:?} reaches {off} into the plate", flaw.kind);
                    whole += p.area_mm2;
                    flat += if off < 0.05 && square > 0.99 { p.area_mm2 } else { 0.0 };
                }
                assert!(flat / whole > 0.15 && flat / whole < 0.6, "{:?}: {}", flaw.kind, flat / whole);
            }
            _ => {}
        }
    });
}

fn flaw_depth(flaw: &Flaw) -> f64 {
    match flaw.place {
        Place::Bevel { depth_mm, .. } | Place::Weld { depth_mm, .. } => depth_mm,
        _ => f64::NAN,
    }
}

#[test]
fn toe_cracks_open_at_the_toe_and_run_into_the_heat_affected_zone() {
    each(1, 50..51, &mut |plate, flaw| {
        let Place::Toe { side, face } = flaw.place else { return };
        let toe = plate.joint.cap_toe_mm(plate.thickness_mm, side, face);
        let level = if side == WeldSide::B { plate.joint.misalignment_mm } else { 0.0 };
        let face_z = if face == crate::joint::Bevel::Upper { 0.0 } else { plate.thickness_mm } + level;
        let crate::patch::Piece::Patch(sheet) = &shape::pieces(flaw, plate)[0] else {
            panic!("a crack is a patch")
        };
        for i in 0..=50 {
            let [x, _, z] = (sheet.place)(f64::from(i) / 50.0, 0.0);
            assert!(
                (z - face_z).abs() < 1e-12 && (0.0..=0.3).contains(&(side.x_sign() * x - toe)),
                "{x} {z}"
            );
        }
    });
}

#[test]
fn branches_leave_their_crack_sideways_and_stay_in_its_box() {
    let mut branched = 0;
    each(5, 60..61, &mut |plate, flaw| {
        if flaw.branches == 0 {
            return;
        }
        branched += 1;
        let pieces = shape::pieces(flaw, plate);
        assert_eq!(pieces.len(), 4);
        let bare = Flaw { branches: 0, ..flaw.clone() };
        let [_, along, depth] = shape::bounds(&bare, plate).unwrap();
        let [_, with_along, with_depth] = shape::bounds(flaw, plate).unwrap();
        assert_eq!((along, depth), (with_along, with_depth), "branches change the box");
        // The sheet itself is the same with branches and without.
        let sheet = |flaw: &Flaw| {
            let mut out = Vec::new();
            shape::pieces(flaw, plate)[0].points(0.2, &mut out);
            format!("{out:?}")
        };
        assert_eq!(sheet(&bare), sheet(flaw));
    });
    assert!(branched > 20);
}

fn roughened(flaw: &Flaw, roughness_ratio: f64) -> Flaw {
    Flaw { roughness_ratio, ..flaw.clone() }
}

#[test]
fn rough_or_smooth_a_flaw_is_as_long_and_high() {
    let mut seen = 0;
    each(7, 0..6, &mut |plate, flaw| {
        if !flaw.kind.has_roughness() {
            return;
        }
        seen += 1;
        let [_, along, depth] = shape::bounds(flaw, plate).unwrap();
        for ratio in [0.0, 3.0] {
            let [_, other_along, other_depth] = shape::bounds(&roughened(flaw, ratio), plate).unwrap();
            for (a, b) in along.iter().chain(&depth).zip(other_along.iter().chain(&other_depth)) {
                assert!((a - b).abs() < 0.1, "{ratio}: {a} {b} {flaw:?}");
            }
        }
    });
    assert!(seen > 50, "{seen}");
}

/// How far the facets of a flaw lean from their mean, degrees rms by area.
fn lean_deg(flaw: &Flaw, plate: &Plate) -> f64 {
    let points = points(flaw, plate, 0.2);
    let sum = |k: usize| points.iter().map(|point| point.area_mm2 * point.normal[k]).sum::<f64>();
    let mean = [sum(0), sum(1), sum(2)];
    let length = f64::sqrt(mean.iter().map(|c| c * c).sum());
    let (mut square, mut area) = (0.0, 0.0);
    for point in &points {
        let cosine = point.normal.iter().zip(mean).map(|(a, b)| a * b / length).sum::<f64>();
        let lean = libm::acos(cosine.clamp(-1.0, 1.0)).to_degrees();
        square += point.area_mm2 * lean * lean;
        area += point.area_mm2;
    }
    f64::sqrt(square / area)
}

#[test]
fn rougher_cracks_and_bevels_lean_more_from_place_to_place() {
    let planar = |kind: FlawKind| kind.is_crack() || kind == FlawKind::LackOfSideWallFusion;
    let mut seen = 0;
    each(5, 0..3, &mut |plate, flaw| {
        // Branches leave a crack sideways, however smooth it is.
        let flaw = &Flaw { branches: 0, ..flaw.clone() };
        if !planar(flaw.kind) {
            return;
        }
        seen += 1;
        let leans = [0.0, 1.0, 3.0].map(|ratio| lean_deg(&roughened(flaw, ratio), plate));
        assert!(leans[0] < leans[1] && leans[1] < leans[2], "{leans:?} {flaw:?}");
        if flaw.kind == FlawKind::CentrelineCrack {
            assert!(leans[0] < 1e-3 && (4.0..16.0).contains(&leans[1]), "{leans:?}");
        }
    });
    assert!(seen > 20, "{seen}");
}

#[test]
fn plates_of_every_joint_and_flaw_survive_writing_and_reading() {
    each(5, 70..71, &mut |plate, flaw| {
        let whole = Plate { flaws: vec![flaw.clone()], ..plate.clone() };
        let text = crate::file::write(&whole).unwrap();
        assert_eq!(crate::file::read::<Plate>("written", text.as_bytes()).unwrap(), whole);
    });
}
