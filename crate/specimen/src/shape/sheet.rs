//! A sheet on an edge of the groove: lack of side-wall fusion and of root fusion.

use acoustics::scene::Sides;
use acoustics::seed::Stream;

use super::SMOOTH_WITHIN_MM;
use crate::flaw::Flaw;
use crate::joint::{Bevel, WeldSide};
use crate::noise::{Ragged, Smooth2};
use crate::patch::{Patch, Piece};
use crate::plate::Plate;

/// Largest distance of a usual unfused face from the prepared bevel, mm.
const WAVINESS_MM: f64 = 0.06;
/// Length over which an unfused face fades into sound metal at its ends along the weld, mm.
pub(crate) const SOFT_RIM_MM: f64 = 0.3;
/// Share of half the height by which an edge may fall short of the box.
pub(super) const RAGGED_SHARE: f64 = 0.25;

/// Share of the full height at a share `u` of the length: 1 in the middle, down to `least` at both ends.
pub(super) fn rounded_ends(u: f64, least: f64) -> f64 {
    let t = (2.0 * u - 1.0).abs();
    let (t2, t4) = (t * t, t * t * t * t);
    least + (1.0 - least) * f64::sqrt((1.0 - t4 * t2).max(0.0))
}

/// How much of its area a place answers with, given its distance from the end.
pub(super) fn soft(distance_mm: f64) -> f64 {
    let share = (distance_mm / SOFT_RIM_MM).clamp(0.0, 1.0);
    share * share * (3.0 - 2.0 * share)
}

pub(super) fn pieces(flaw: &Flaw, plate: &Plate, side: WeldSide, depth_mm: f64, seed: u64) -> Vec<Piece> {
    let (start, length, half) = (flaw.start_mm, flaw.length_mm, flaw.height_mm / 2.0);
    let mut stream = Stream::new(seed, "sheet");
    let top = Ragged::new(&mut stream, length, 4.0);
    let bottom = Ragged::new(&mut stream, length, 4.0);
    let waves = Smooth2::new(&mut stream, [length, flaw.height_mm], 3.0);
    let waviness_mm = WAVINESS_MM * flaw.roughness_ratio;
    // Edges of the sheet above and below its middle depth, at a share of its length.
    let edges = move |u: f64| {
        let ends = rounded_ends(u, 0.35) * half;
        let edge = |ragged: &Ragged| ends * (1.0 - RAGGED_SHARE * ragged.at(u * length));
        [-edge(&top), edge(&bottom)]
    };
    let (joint, thickness, sign) = (plate.joint.clone(), plate.thickness_mm, side.x_sign());
    // Which way the bevel leans decides which way is off it.
    let lean =
        joint.edge_mm(thickness, side, depth_mm + half) - joint.edge_mm(thickness, side, depth_mm - half);
    let norm = f64::sqrt(lean * lean + 4.0 * half * half);
    let off = [sign * 2.0 * half / norm, -lean / norm];
    let place = move |u: f64, v: f64| {
        let [up, down] = edges(u);
        let along = up + (down - up) * v;
        let z = depth_mm + along;
        // The face waves about the bevel but keeps to it at its rim.
        let wave = waviness_mm * waves.at(u * length, along + half) * 4.0 * v * (1.0 - v);
        [sign * joint.edge_mm(thickness, side, z) + off[0] * wave, start + length * u, z + off[1] * wave]
    };
    // The edges above and below are rims; along the weld the sheet fades away.
    let weight = move |u: f64, _: f64| soft((u * length).min((1.0 - u) * length));
    vec![Piece::Patch(Patch {
        weight: Box::new(weight),
        rims: [true; 2],
        smooth: waviness_mm < SMOOTH_WITHIN_MM,
        ..Patch::new(Sides::Both, Box::new(place))
    })]
}

/// One root edge that was not fused, up from the lower face; of a weld from both faces the part in the middle of the root
/// face.
pub(super) fn on_root(flaw: &Flaw, plate: &Plate, side: WeldSide, seed: u64) -> Vec<Piece> {
    let (start, length, height) = (flaw.start_mm, flaw.length_mm, flaw.height_mm);
    let mut stream = Stream::new(seed, "root sheet");
    let tip = Ragged::new(&mut stream, length, 4.0);
    let (joint, thickness, sign) = (plate.joint.clone(), plate.thickness_mm, side.x_sign());
    let breaking = !joint.preparation.is_double();
    let [root_top, root_bottom] = joint.root_face_depth_mm(thickness);
    let foot = if breaking {
        crate::profile::face_depth_mm(plate, Some(side), Bevel::Lower)
    } else {
        (root_top + root_bottom + height) / 2.0
    };
    let place = move |u: f64, v: f64| {
        let up = v * height * rounded_ends(u, 0.35) * (1.0 - RAGGED_SHARE * tip.at(u * length));
        [sign * joint.edge_mm(thickness, side, (foot - up).min(thickness)), start + length * u, foot - up]
    };
    let weight = move |u: f64, _: f64| soft((u * length).min((1.0 - u) * length));
    vec![Piece::Patch(Patch {
        weight: Box::new(weight),
        rims: [!breaking, true],
        smooth: true,
        ..Patch::new(Sides::Both, Box::new(place))
    })]
}
