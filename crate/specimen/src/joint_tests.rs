//! Tests of joints: one geometry for drawing, echoes and places.

use crate::joint::{Bevel, Preparation, WeldSide};
use crate::weld_surface::outside;
use crate::{profile, runs, sample};

const SPACING_MM: f64 = 0.25;

#[test]
fn joints_are_sound_from_6_to_60_mm() {
    for plate in sample::joints() {
        assert_eq!(plate.check(), [], "{:?} {} mm", plate.joint.preparation, plate.thickness_mm);
    }
}

/// Distance of a place of the section from a polyline, mm.
fn distance(line: &[[f64; 2]], [x, z]: [f64; 2]) -> f64 {
    line.windows(2)
        .map(|ends| {
            let [[ax, az], [bx, bz]] = [ends[0], ends[1]];
            let (dx, dz) = (bx - ax, bz - az);
            let length = dx * dx + dz * dz;
            let t =
                if length > 0.0 { (((x - ax) * dx + (z - az) * dz) / length).clamp(0.0, 1.0) } else { 0.0 };
            libm::hypot(x - ax - t * dx, z - az - t * dz)
        })
        .fold(f64::INFINITY, f64::min)
}

/// The height of a bead drifts by 15 %, ripple adds its amplitude, and arcs are drawn in chords.
#[test]
fn what_echoes_is_what_is_drawn() {
    for plate in sample::joints() {
        let outline = plate.outline();
        let lines: Vec<_> = outline.cap.iter().chain(&outline.root).collect();
        let points = outside(&plate, 0.5).points;
        let play = 0.15 * 1.5 + 0.08 + 0.05;
        for point in &points {
            let [x, _, z] = point.position_mm;
            let off = lines.iter().map(|line| distance(line, [x, z])).fold(f64::INFINITY, f64::min);
            assert!(
                off < play,
                "{:?} {}: {x} {z} is {off} mm off",
                plate.joint.preparation,
                plate.thickness_mm
            );
        }
        // And nothing is drawn that does not echo.
        let flush =
            |line: &&&Vec<[f64; 2]>| line.iter().any(|[_, z]| *z < -1e-9 || *z > 1e-9 + plate.thickness_mm);
        for line in lines.iter().filter(flush) {
            for [x, z] in line.iter() {
                let near = |p: &&acoustics::scene::SurfacePoint| {
                    libm::hypot(p.position_mm[0] - x, p.position_mm[2] - z) < 0.8
                };
                assert!(points.iter().any(|point| near(&point)), "nothing at {x} {z}");
            }
        }
    }
}

#[test]
fn normals_point_into_the_metal() {
    for plate in sample::joints() {
        let thickness = plate.thickness_mm;
        for point in outside(&plate, 0.5).points {
            let ([x, _, z], [nx, _, nz]) = (point.position_mm, point.normal);
            if let Some(bar) = plate.joint.backing_bar.filter(|_| z > thickness) {
                // Into the bar: towards its middle.
                let inwards = -x * nx + (thickness + bar.thickness_mm / 2.0 - z) * nz;
                assert!(inwards > 0.0, "{x} {z}: {nx} {nz}");
            } else {
                let into = if z < thickness / 2.0 { nz } else { -nz };
                assert!(into > 0.3, "{:?} {thickness}: {x} {z}: {nz}", plate.joint.preparation);
            }
        }
    }
}

/// Strips of a face that are not flat lie beside each other without gap or overlap, and reach as far as the toes say.
#[test]
fn strips_of_a_face_join() {
    for plate in sample::joints() {
        for face in [Bevel::Upper, Bevel::Lower] {
            let mut strips: Vec<[f64; 2]> = profile::parts(&plate)
                .into_iter()
                .filter(|part| part.face == face)
                .map(|part| part.x_mm)
                .collect();
            acoustics::order::sort_by(&mut strips, |a, b| a[0].total_cmp(&b[0]));
            assert!(strips.windows(2).all(|pair| (pair[0][1] - pair[1][0]).abs() < 1e-9), "{strips:?}");
            let toe = match face {
                Bevel::Upper => Some(plate.joint.upper_toe_mm(plate.thickness_mm)),
                Bevel::Lower => plate.joint.lower_toe_mm(plate.thickness_mm),
            };
            let widest = strips.iter().flatten().map(|x| x.abs()).fold(0.0, f64::max);
            assert!(toe.is_none_or(|toe| widest <= toe + 1e-9), "{widest} {toe:?}");
        }
    }
}

/// Where two strips meet, so do their depths: no step is left open.
#[test]
fn levels_of_misaligned_edges_join() {
    for plate in sample::joints().into_iter().filter(|plate| plate.joint.misalignment_mm != 0.0) {
        let parts = profile::parts(&plate);
        for face in [Bevel::Upper, Bevel::Lower] {
            let level = |x: f64| {
                parts
                    .iter()
                    .filter(|part| part.face == face)
                    .filter(|part| part.x_mm[0] - 1e-9 <= x && x <= part.x_mm[1] + 1e-9)
                    .map(|part| part.level_at_mm(x))
                    .collect::<Vec<_>>()
            };
            for part in parts.iter().filter(|part| part.face == face) {
                for x in part.x_mm {
                    let levels = level(x);
                    assert!(levels.iter().all(|l| (l - levels[0]).abs() < 1e-9), "{face:?} {x}: {levels:?}");
                    assert!(
                        levels.len() > 1 || levels[0].abs() < 1e-9,
                        "{face:?} {x}: {levels:?} stands alone"
                    );
                }
            }
        }
    }
}

#[test]
fn a_j_is_round_at_its_foot_and_straight_above() {
    let mut plate =
        sample::joints().into_iter().find(|plate| plate.joint.preparation == Preparation::SingleJ).unwrap();
    plate.thickness_mm = 25.0;
    plate.joint.j_radius_mm = Some(6.0);
    let joint = &plate.joint;
    let [top, _] = joint.root_face_depth_mm(25.0);
    // Centre of the foot: a radius above the root face, over its edge.
    let foot = joint.edge_mm(25.0, WeldSide::B, top);
    for i in 0..=100 {
        let depth = top - 0.039 * f64::from(i);
        let x = joint.edge_mm(25.0, WeldSide::B, depth) - foot;
        let radius = libm::hypot(x, 6.0 - (top - depth));
        assert!((radius - 6.0).abs() < 1e-9, "{radius} at {depth}");
    }
    let angle = 20_f64.to_radians();
    let slope = (joint.edge_mm(25.0, WeldSide::B, 1.0) - joint.edge_mm(25.0, WeldSide::B, 11.0)) / 10.0;
    assert!((slope - libm::tan(angle)).abs() < 1e-12);
    // Smooth where the two meet, and the other edge is upright.
    let round = 6.0 * (1.0 - libm::sin(angle));
    let at = |off: f64| joint.edge_mm(25.0, WeldSide::B, top - round - off);
    assert!((at(1e-6) - 2.0 * at(0.0) + at(-1e-6)).abs() < 1e-9);
    assert_eq!(joint.edge_mm(25.0, WeldSide::A, 0.0), joint.edge_mm(25.0, WeldSide::A, 25.0));
}

/// Bevel angles as drawn: half of a V's groove angle, all of a bevel's; from the corners of the outline.
#[test]
fn drawn_edges_stand_at_the_bevel_angle() {
    for plate in sample::joints() {
        let outline = plate.outline();
        assert_eq!(outline.preparation.len(), 2);
        for (side, edge) in WeldSide::BOTH.into_iter().zip(&outline.preparation) {
            let [a, b] = [edge[0], edge[1]];
            let drawn = libm::atan((a[0] - b[0]).abs() / (b[1] - a[1])).to_degrees();
            let expected = plate.joint.bevel_angle_deg(side);
            // A thin J has no straight part.
            let round = plate.joint.preparation == Preparation::SingleJ
                && expected > 0.0
                && plate.thickness_mm < 10.0;
            assert!(round || (drawn - expected).abs() < 1e-9, "{side:?} {drawn} {expected}");
            assert!(edge.iter().all(|[x, _]| x * side.x_sign() >= 0.0));
        }
    }
}

#[test]
fn runs_fill_the_groove_from_edge_to_edge() {
    for plate in sample::joints() {
        let surfaces = runs::surfaces(&plate);
        let words = format!("{:?} {} mm", plate.joint.preparation, plate.thickness_mm);
        assert!(plate.thickness_mm < 10.0 || !surfaces.is_empty(), "{words}");
        let layers = surfaces
            .iter()
            .filter(|surface| surface.groove == Bevel::Upper)
            .map(|s| s.layer)
            .max()
            .unwrap_or(0);
        for surface in &surfaces {
            let [from, to] = surface.across_mm;
            assert!(
                to - from <= 9.0 + 1e-9
                    && surface.crown_mm > 1.0
                    && surface.crown_mm < plate.thickness_mm - 1.0
            );
            // The surface stays within the weld and half a millimetre of fusion.
            for i in 0..=10 {
                let x = from + (to - from) * f64::from(i) / 10.0;
                let side = if x < 0.0 { WeldSide::A } else { WeldSide::B };
                let edge = plate.joint.edge_mm(plate.thickness_mm, side, surface.depth_mm(x));
                assert!(x.abs() <= edge + 1.0, "{words}: {surface:?} at {x}, edge {edge}");
            }
            let beside: Vec<_> = surfaces
                .iter()
                .filter(|other| (other.layer, other.groove) == (surface.layer, surface.groove))
                .collect();
            assert!(beside.windows(2).all(|pair| (pair[0].across_mm[1] - pair[1].across_mm[0]).abs() < 1e-9));
        }
        // Layers are 2 to 4.5 mm high.
        if layers > 1 && !plate.joint.preparation.is_double() {
            let height = plate.thickness_mm / f64::from(layers + 1);
            assert!((2.0..=4.5).contains(&height), "{words}: {height}");
        }
        assert_eq!(plate.outline().runs.len(), surfaces.len());
    }
}

/// Where one root edge is not fused the bead ends at it: the corner that answers stands free.
#[test]
fn the_bead_leaves_an_unfused_root_edge_free() {
    let mut plate = sample::plate(Preparation::SingleV);
    plate.flaws = sample::flaws(&plate, 1)
        .into_iter()
        .filter(|flaw| flaw.kind == crate::flaw::FlawKind::LackOfRootFusion)
        .take(1)
        .collect();
    let [from, to] = plate.flaws[0].extent(&plate).along_mm;
    let outside = outside(&plate, SPACING_MM);
    let on_bead = |x: std::ops::Range<f64>, y: std::ops::Range<f64>| {
        outside.points.iter().any(|p| {
            p.position_mm[2] > 15.0 && x.contains(&p.position_mm[0]) && y.contains(&p.position_mm[1])
        })
    };
    assert!(
        on_bead(-2.4..-1.1, 0.0..from) && !on_bead(-2.4..-1.1, from..to) && on_bead(-2.4..-1.1, to..300.0)
    );
    assert!(on_bead(1.1..2.4, from..to) && on_bead(-0.9..0.9, from..to));
    let strips: Vec<_> = outside.lower_not_flat.iter().filter(|strip| strip.y_mm == [from, to]).collect();
    assert_eq!((strips.len(), strips[0].x_mm), (1, [-1.0, 2.5]));
}
