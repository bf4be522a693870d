//! Cracks along the weld: upright sheets of facets. Their rims are sharp, for a crack's tips must answer; between their
//! tips no Rayleigh wave runs, for the rough faces scatter it.

use acoustics::scene::Sides;
use acoustics::seed::Stream;

use super::sheet::rounded_ends;
use crate::flaw::{Flaw, RootSpot};
use crate::noise::{Ragged, Smooth};
use crate::patch::{Patch, Piece};
use crate::plate::Plate;

/// Least size of a facet, mm.
const FACET_MM: f64 = 2.4;
/// How far the zig-zag of a crack strays from its mean plane, mm: with the facet size, tilts up to about 15°.
const ZIGZAG_MM: f64 = 0.3;
/// Share of the height by which a crack's edge may fall short of its box.
const RAGGED_SHARE: f64 = 0.3;
/// Share of the height left at the ends of a crack.
const LEAST_AT_ENDS: f64 = 0.25;

/// Planar facets between random nodes: the zig-zag of a crack, mm off its mean plane.
struct Facets {
    nodes: Vec<Vec<f64>>,
    shift: Smooth,
    facet_mm: [f64; 2],
}

impl Facets {
    /// For a crack `length_mm` long and `height_mm` high. With `outward` (a sign) the lowest row of nodes strays
    /// to that side only.
    fn new(stream: &mut Stream, length_mm: f64, height_mm: f64, outward: Option<f64>) -> Self {
        let rows = libm::floor(height_mm / FACET_MM).max(1.0);
        let columns = libm::floor(length_mm / FACET_MM).max(1.0);
        let mut row = |outward: Option<f64>| -> Vec<f64> {
            (0..columns as u32 + 3)
                .map(|_| stream.between(-ZIGZAG_MM, ZIGZAG_MM))
                .map(|node| outward.map_or(node, |sign| sign * node.abs()))
                .collect()
        };
        let nodes = (0..=rows as u32).map(|i| row(outward.filter(|_| i == 0))).collect();
        // Without the shift, equal columns would answer as a grating.
        let shift = Smooth::new(stream, length_mm, 1.5 * FACET_MM);
        Self { nodes, shift, facet_mm: [length_mm.max(FACET_MM) / columns, height_mm.max(FACET_MM) / rows] }
    }

    /// At `along` from the start and `up` from the lowest row, mm.
    fn at(&self, along: f64, up: f64) -> f64 {
        let s = (along / self.facet_mm[0] + 0.5 + 0.5 * self.shift.at(along)).max(0.0);
        let t = (up / self.facet_mm[1]).max(0.0);
        let row = (t as usize).min(self.nodes.len() - 2);
        let column = (s as usize).min(self.nodes[0].len() - 2);
        let (s, t) = (s - column as f64, (t - row as f64).min(1.0));
        let [low, high] = [&self.nodes[row], &self.nodes[row + 1]];
        let [a, b, c, d] = [low[column], low[column + 1], high[column], high[column + 1]];
        // Two triangles a cell, so that every facet is flat.
        if s + t <= 1.0 {
            a + s * (b - a) + t * (c - a)
        } else {
            d + (1.0 - s) * (c - d) + (1.0 - t) * (b - d)
        }
    }
}

/// A crack inside the weld metal.
pub(super) fn inner(flaw: &Flaw, depth_mm: f64, offset_mm: f64, seed: u64) -> Vec<Piece> {
    let (start, length, height) = (flaw.start_mm, flaw.length_mm, flaw.height_mm);
    let mut stream = Stream::new(seed, "crack");
    let facets = Facets::new(&mut stream, length, height, None);
    let top = Ragged::new(&mut stream, length, 5.0);
    let bottom = Ragged::new(&mut stream, length, 5.0);
    let edges = move |u: f64| {
        let ends = rounded_ends(u, LEAST_AT_ENDS) * height / 2.0;
        let edge = |ragged: &Ragged| ends * (1.0 - RAGGED_SHARE * ragged.at(u * length));
        [edge(&bottom), -edge(&top)]
    };
    let lean = libm::tan(flaw.tilt_deg.to_radians());
    let place = move |u: f64, v: f64| {
        let [down, up] = edges(u);
        let z = down + (up - down) * v;
        [offset_mm - lean * z + facets.at(u * length, height / 2.0 - z), start + length * u, depth_mm + z]
    };
    vec![Piece::Patch(Patch { rims: [true; 2], ..Patch::new(Sides::Both, Box::new(place)) })]
}

/// A crack that stands on the lower face, at a toe of the root bead or where a flush root has its middle.
pub(super) fn from_root(flaw: &Flaw, plate: &Plate, at: RootSpot, seed: u64) -> Vec<Piece> {
    let (start, length, height, face) = (flaw.start_mm, flaw.length_mm, flaw.height_mm, plate.thickness_mm);
    // At a toe the mouth strays outwards only: inwards it would open into the bead.
    let outward = match at {
        RootSpot::Centre => None,
        RootSpot::ToeA => Some(-1.0),
        RootSpot::ToeB => Some(1.0),
    };
    let toe = plate.joint.lower_toe_mm(face).unwrap_or(0.0);
    let foot = outward.map_or(0.0, |sign| sign * toe);
    let mut stream = Stream::new(seed, "root crack");
    let facets = Facets::new(&mut stream, length, height, outward);
    let top = Ragged::new(&mut stream, length, 5.0);
    let rise =
        move |u: f64| height * rounded_ends(u, LEAST_AT_ENDS) * (1.0 - RAGGED_SHARE * top.at(u * length));
    let lean = libm::tan(flaw.tilt_deg.to_radians());
    let place = move |u: f64, v: f64| {
        let up = v * rise(u);
        [foot + lean * up + facets.at(u * length, up), start + length * u, face - up]
    };
    // At its mouth a crack has no tip.
    vec![Piece::Patch(Patch { rims: [false, true], ..Patch::new(Sides::Both, Box::new(place)) })]
}
