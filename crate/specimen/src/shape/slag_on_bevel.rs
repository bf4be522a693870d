//! Slag against a bevel: flat where it lay on the plate's edge, lumpy where weld metal closed round it. A probe that
//! meets the bevel square sees one clean face, the other side sees lumps.

use std::f64::consts::{PI, TAU};

use acoustics::scene::Sides;
use acoustics::seed::Stream;

use super::slag::spine;
use crate::flaw::Flaw;
use crate::joint::WeldSide;
use crate::noise::{Smooth, Smooth2};
use crate::patch::{Patch, Piece};
use crate::plate::Plate;

/// Lumps along the weld and round the section: share of the radius.
const LUMP: f64 = 0.5;
/// Size of a lump along the weld, mm.
const LUMP_MM: f64 = 2.2;
/// What a radian round the section counts in terms of that, mm: lumps are about 0.8 radians wide.
const LUMP_PER_RADIAN_MM: f64 = LUMP_MM / 0.8;
/// Least share of the radius that lumps leave of a very rough outline.
const LEAST_RADIUS: f64 = 0.2;
/// How far the outline of the flat wanders along the bevel, as a share of half its height.
const WANDER: f64 = 0.2;
/// Fewest points round the cross-section, however small.
const LEAST_ROUND: u32 = 20;
/// Cells are cut this much shorter than the spacing, for round a lump they come out longer than along the lines
/// they are measured by.
const LUMPS: [f64; 2] = [0.75; 2];
/// Net on which the raw shape is measured before it is fitted: along, round.
const NET: [u32; 2] = [160, 48];
/// Halvings by which the fit is found.
const HALVINGS: u32 = 40;

/// The raw section: along the bevel and off it, about -1..1 and 0..1.
struct Raw {
    length_mm: f64,
    end_mm: f64,
    lumps: Smooth2,
    roughness: f64,
    wander: Smooth,
}

impl Raw {
    /// Along the bevel and off it (raw), and along the weld from the start, mm.
    fn at(&self, u: f64, v: f64) -> [f64; 3] {
        let (s, section) = spine(u, self.length_mm, self.end_mm);
        let angle = TAU * v;
        // Lumps run over the round half only, and die away towards the flat.
        let round = libm::sin(angle).max(0.0);
        let lumps = self.roughness * LUMP * self.lumps.at(s, angle.min(PI) * LUMP_PER_RADIAN_MM);
        let radius = (1.0 + lumps * f64::sqrt(round)).max(LEAST_RADIUS);
        let along = section * radius * libm::cos(angle) + WANDER * section * self.wander.at(s);
        [along, section * radius * round, s]
    }
}

pub(super) fn pieces(flaw: &Flaw, plate: &Plate, side: WeldSide, depth_mm: f64, seed: u64) -> Vec<Piece> {
    let (start, length, height) = (flaw.start_mm, flaw.length_mm, flaw.height_mm);
    let width = flaw.width_mm.unwrap_or(height);
    let mut stream = Stream::new(seed, "slag on a bevel");
    let raw = Raw {
        length_mm: length,
        end_mm: (length / 2.0).min(height.max(width) / 2.0),
        lumps: Smooth2::new(&mut stream, [length, PI * LUMP_PER_RADIAN_MM], LUMP_MM),
        roughness: flaw.roughness_ratio,
        wander: Smooth::new(&mut stream, length, 4.0),
    };
    // The bevel's line at the slag's depth: unit vector down along it, and the one off it into the weld.
    let (joint, thickness, sign) = (&plate.joint, plate.thickness_mm, side.x_sign());
    let half = height / 2.0;
    let edge = |z: f64| joint.edge_mm(thickness, side, z);
    let lean = (edge(depth_mm + half) - edge(depth_mm - half)) / height;
    let norm = f64::sqrt(1.0 + lean * lean);
    let (down, off) = ([sign * lean / norm, 1.0 / norm], [-sign / norm, lean / norm]);
    let foot = sign * edge(depth_mm);

    let share = |i: u32, n: u32| f64::from(i) / f64::from(n);
    let net: Vec<[f64; 3]> = (0..=NET[0])
        .flat_map(|i| (0..NET[1]).map(move |j| (i, j)))
        .map(|(i, j)| raw.at(share(i, NET[0]), share(j, NET[1])))
        .collect();
    let off_scale = width / net.iter().map(|point| point[1]).fold(0.0, f64::max);
    let span = |along_scale: f64| {
        net.iter().fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], [along, out, _]| {
            let z = along * along_scale * down[1] + out * off_scale * off[1];
            [low.min(z), high.max(z)]
        })
    };
    let (mut low, mut high) = (0.0, 2.0 * height);
    for _ in 0..HALVINGS {
        let middle = (low + high) / 2.0;
        let [top, bottom] = span(middle);
        if bottom - top > height { high = middle } else { low = middle }
    }
    let along_scale = low;
    let [top, bottom] = span(along_scale);
    // Moved along the bevel so that its middle has the depth asked for.
    let shift = -(top + bottom) / 2.0 / down[1];
    let turn = if side == WeldSide::B { 1.0 } else { -1.0 };
    let place = move |u: f64, v: f64| {
        // d/du × d/dv points out of the slag: the section is gone round the other way on side A.
        let [along, out, s] = raw.at(u, if turn > 0.0 { v } else { 1.0 - v });
        let (along, out) = (along * along_scale + shift, out * off_scale);
        [foot + along * down[0] + out * off[0], start + s, depth_mm + along * down[1] + out * off[1]]
    };
    let patch =
        Patch { least_cells: [4, LEAST_ROUND], stretch: LUMPS, ..Patch::new(Sides::One, Box::new(place)) };
    vec![Piece::Patch(patch)]
}
