//! Gas pores: spheres, alone, in a row or in a cluster.

use acoustics::seed::Stream;

use crate::flaw::Flaw;
use crate::patch::Piece;

/// Smallest and largest radius of a pore in a cluster, mm.
const RADII_MM: [f64; 2] = [0.6, 1.4];
/// Metal left between two pores, mm.
const BETWEEN_MM: f64 = 0.1;
/// Pores per 100 mm³ of the cluster's box (beyond the six that reach its sides).
const PER_100_MM3: f64 = 8.0;
/// Most pores of a cluster.
const MOST: u32 = 30;
/// Tries before a pore is made smaller, and how often that may happen.
const TRIES: [u32; 2] = [60, 12];

fn middle(flaw: &Flaw, depth_mm: f64, offset_mm: f64) -> [f64; 3] {
    [offset_mm, flaw.start_mm + flaw.length_mm / 2.0, depth_mm]
}

pub(super) fn single(flaw: &Flaw, depth_mm: f64, offset_mm: f64) -> Vec<Piece> {
    vec![Piece::Sphere { centre: middle(flaw, depth_mm, offset_mm), radius_mm: flaw.height_mm / 2.0 }]
}

/// Pores of seeded size in a row along the weld. The first and the last touch the ends; the first is as large as the row
/// is high, the others stray within that.
pub(super) fn line(flaw: &Flaw, depth_mm: f64, offset_mm: f64, seed: u64) -> Vec<Piece> {
    let mut stream = Stream::new(seed, "pore line");
    let (length, largest) = (flaw.length_mm, flaw.height_mm / 2.0);
    let count = libm::floor(length / (2.0 * largest * stream.between(1.3, 2.0))).clamp(2.0, f64::from(MOST));
    // Every pore has a share of the length of its own.
    let share = length / count;
    (0..count as u32)
        .map(|index| {
            let radius = if index == 0 { largest } else { largest * stream.between(0.6, 1.0) };
            let play = share - 2.0 * radius - BETWEEN_MM;
            let along = match index {
                0 => radius,
                last if f64::from(last) == count - 1.0 => length - radius,
                _ => share * f64::from(index) + BETWEEN_MM / 2.0 + radius + play.max(0.0) * stream.unit(),
            };
            let mut stray = || (largest - radius) * stream.between(-1.0, 1.0);
            let centre = [offset_mm + stray(), flaw.start_mm + along, depth_mm + stray()];
            Piece::Sphere { centre, radius_mm: radius }
        })
        .collect()
}

/// Pores of seeded size in a box; the first six touch its six sides, and no two touch each other.
pub(super) fn cluster(flaw: &Flaw, depth_mm: f64, offset_mm: f64, seed: u64) -> Vec<Piece> {
    let mut stream = Stream::new(seed, "pores");
    let size = [flaw.width_mm.unwrap_or(flaw.height_mm), flaw.length_mm, flaw.height_mm];
    let middle = middle(flaw, depth_mm, offset_mm);
    let volume = size[0] * size[1] * size[2];
    let more = (volume / 100.0 * PER_100_MM3 * stream.between(0.7, 1.3)) as u32;
    let largest = RADII_MM[1].min(size.iter().fold(f64::INFINITY, |a, &b| a.min(b)) / 2.6);
    let mut pores: Vec<([f64; 3], f64)> = Vec::new();
    for index in 0..(6 + more).min(MOST) {
        let mut radius = stream.between(RADII_MM[0].min(largest), largest);
        'smaller: for _ in 0..TRIES[1] {
            for _ in 0..TRIES[0] {
                let mut centre: [f64; 3] =
                    std::array::from_fn(|k| middle[k] + (size[k] / 2.0 - radius) * stream.between(-1.0, 1.0));
                if index < 6 {
                    let (axis, sign) = ((index / 2) as usize, if index % 2 == 0 { -1.0 } else { 1.0 });
                    centre[axis] = middle[axis] + sign * (size[axis] / 2.0 - radius);
                }
                let free = pores.iter().all(|(other, r)| {
                    let apart: f64 = (0..3).map(|k| (centre[k] - other[k]) * (centre[k] - other[k])).sum();
                    let least = radius + r + BETWEEN_MM;
                    apart >= least * least
                });
                if free {
                    pores.push((centre, radius));
                    break 'smaller;
                }
            }
            radius *= 0.85;
        }
    }
    pores.into_iter().map(|(centre, radius_mm)| Piece::Sphere { centre, radius_mm }).collect()
}
