//! A slag line: a long ragged closed volume, flatter on the flank that lay against a bevel.

use std::f64::consts::TAU;

use acoustics::scene::Sides;
use acoustics::seed::Stream;

use crate::flaw::Flaw;
use crate::noise::Smooth;
use crate::patch::{NOWHERE, Patch, Piece, widen};

/// Ripples of the cross-section's outline, by number of lobes: share of the radius.
const LOBES: [f64; 4] = [0.16, 0.08, 0.08, 0.06];
/// Least share of the radius that ripples leave of a very rough outline.
const LEAST_RADIUS: f64 = 0.2;
/// Share of the half width past which the flank is pressed flat, and how much of the rest is left.
const FLANK: [f64; 2] = [0.5, 0.25];
/// Fewest points round the cross-section, however small.
const LEAST_ROUND: u32 = 16;
/// Cells are cut this much shorter than the spacing, for round a lump they come out longer than along the lines
/// they are measured by.
const LUMPS: [f64; 2] = [0.8; 2];
/// Net on which the raw shape is measured before it is fitted into its box: along, round.
const NET: [u32; 2] = [160, 48];

/// Place along the weld from the start (mm) and share of the full section, at a share of the outline's length; the ends
/// are round.
pub(super) fn spine(u: f64, length_mm: f64, end_mm: f64) -> (f64, f64) {
    let quarter = end_mm * TAU / 4.0;
    let total = length_mm - 2.0 * end_mm + 2.0 * quarter;
    let from_end = u.min(1.0 - u) * total;
    let (s, share) = if from_end < quarter {
        let angle = from_end / end_mm;
        (end_mm * (1.0 - libm::cos(angle)), libm::sin(angle))
    } else {
        (end_mm + from_end - quarter, 1.0)
    };
    (if u <= 0.5 { s } else { length_mm - s }, share)
}

/// The raw volume, about as wide and high as -1..1.
struct Raw {
    length_mm: f64,
    end_mm: f64,
    lobes: [(Smooth, f64); 4],
    roughness: f64,
    wander: [Smooth; 2],
    flank_sign: f64,
}

impl Raw {
    /// Raw x, length along the weld (mm), raw z.
    fn at(&self, u: f64, v: f64) -> [f64; 3] {
        let (s, share) = spine(u, self.length_mm, self.end_mm);
        let angle = TAU * v;
        let mut radius = 1.0;
        for (lobe, (size, turn)) in self.lobes.iter().enumerate() {
            radius += self.roughness * LOBES[lobe] * 2.0 * size.at(s) * libm::cos(lobe as f64 * angle + turn);
        }
        let radius = radius.max(LEAST_RADIUS);
        let mut x = radius * libm::cos(angle);
        let past = x * self.flank_sign - FLANK[0];
        if past > 0.0 {
            x = self.flank_sign * (FLANK[0] + FLANK[1] * past);
        }
        let z = radius * libm::sin(angle);
        // The spine wanders, but the ends stay where the flaw map says the flaw ends.
        [share * x + 0.35 * self.wander[0].at(s), s, share * z + 0.25 * self.wander[1].at(s)]
    }
}

pub(super) fn pieces(flaw: &Flaw, depth_mm: f64, offset_mm: f64, seed: u64) -> Vec<Piece> {
    let (start, length, height) = (flaw.start_mm, flaw.length_mm, flaw.height_mm);
    let width = flaw.width_mm.unwrap_or(height);
    let mut stream = Stream::new(seed, "slag");
    let raw = Raw {
        length_mm: length,
        end_mm: (length / 2.0).min(height.max(width) / 2.0),
        lobes: std::array::from_fn(|_| (Smooth::new(&mut stream, length, 2.5), TAU * stream.unit())),
        roughness: flaw.roughness_ratio,
        wander: std::array::from_fn(|_| Smooth::new(&mut stream, length, 5.0)),
        // The flatter flank faces away from the centreline, where the bevel was.
        flank_sign: if offset_mm < 0.0 { -1.0 } else { 1.0 },
    };
    let mut bounds = NOWHERE;
    for i in 0..=NET[0] {
        for j in 0..NET[1] {
            widen(&mut bounds, raw.at(f64::from(i) / f64::from(NET[0]), f64::from(j) / f64::from(NET[1])));
        }
    }
    let fit = |range: [f64; 2], middle: f64, size: f64| {
        let scale = size / (range[1] - range[0]);
        (scale, middle - scale * (range[0] + range[1]) / 2.0)
    };
    let (x_scale, x_shift) = fit(bounds[0], offset_mm, width);
    let (z_scale, z_shift) = fit(bounds[2], depth_mm, height);
    // u along the weld, v from +x to +z: d/du × d/dv points out of the slag.
    let place = move |u: f64, v: f64| {
        let [x, s, z] = raw.at(u, v);
        [x_shift + x_scale * x, start + s, z_shift + z_scale * z]
    };
    let patch =
        Patch { least_cells: [4, LEAST_ROUND], stretch: LUMPS, ..Patch::new(Sides::One, Box::new(place)) };
    vec![Piece::Patch(patch)]
}
