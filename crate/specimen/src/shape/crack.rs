//! Cracks: upright sheets of facets, with side branches. Their rims are sharp, for a crack's tips must answer; between their
//! tips no Rayleigh wave runs, for the rough faces scatter it, unless somebody made them smooth.

use std::rc::Rc;

use acoustics::scene::Sides;
use acoustics::seed::Stream;

use super::SMOOTH_WITHIN_MM;
use super::sheet::rounded_ends;
use crate::flaw::Flaw;
use crate::noise::{Ragged, Smooth};
use crate::patch::{Patch, Piece, Vector};

/// Least size of a facet, mm.
const FACET_MM: f64 = 2.4;
/// How far the zig-zag of a crack strays from its mean plane, mm: with the facet size, tilts up to about 15°.
const ZIGZAG_MM: f64 = 0.3;
/// Share of the height by which a crack's edge may fall short of its box.
const RAGGED_SHARE: f64 = 0.3;
/// Share of the height left at the ends of a crack.
const LEAST_AT_ENDS: f64 = 0.25;

/// Length of a branch as a share of the crack's.
const BRANCH_LENGTH: [f64; 2] = [0.2, 0.35];
/// Angle at which a branch leaves the crack, degrees. Common practice, no source.
const BRANCH_DEG: [f64; 2] = [25.0, 50.0];
/// Height of a branch as a share of the crack's.
const BRANCH_HEIGHT: f64 = 0.35;
/// Net on which a transverse crack is measured, each way.
const NET: u32 = 96;
/// Halvings by which its slant is found.
const HALVINGS: u32 = 40;

/// Planar facets between random nodes: the zig-zag of a crack, mm off its mean plane.
struct Facets {
    nodes: Vec<Vec<f64>>,
    shift: Smooth,
    facet_mm: [f64; 2],
}

impl Facets {
    /// For a crack that goes `length_mm` far, along the weld or across it. With `outward` (a sign) the lowest row of nodes
    /// strays to that side only.
    fn new(stream: &mut Stream, flaw: &Flaw, length_mm: f64, outward: Option<f64>) -> Self {
        let height_mm = flaw.height_mm;
        let rows = libm::floor(height_mm / FACET_MM).max(1.0);
        let columns = libm::floor(length_mm / FACET_MM).max(1.0);
        let mut row = |outward: Option<f64>| -> Vec<f64> {
            (0..columns as u32 + 3)
                .map(|_| stream.between(-ZIGZAG_MM, ZIGZAG_MM) * flaw.roughness_ratio)
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
    let facets = Facets::new(&mut stream, flaw, length, None);
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
    with_branches(flaw, seed, [true; 2], Rc::new(place))
}

/// Where a crack opens to a face of the plate.
pub(super) struct Mouth {
    /// Names the random numbers.
    pub(super) purpose: &'static str,
    /// Across the weld, mm.
    pub(super) foot_mm: f64,
    /// Depth of the face, mm.
    pub(super) face_mm: f64,
    /// Which way the crack grows: 1 down, -1 up.
    pub(super) grows: f64,
    /// The side (a sign) to which alone the mouth may stray; the other way it would open into a bead.
    pub(super) outward: Option<f64>,
}

/// A crack that starts at a face of the plate.
pub(super) fn from_face(flaw: &Flaw, mouth: &Mouth, seed: u64) -> Vec<Piece> {
    let (start, length, height) = (flaw.start_mm, flaw.length_mm, flaw.height_mm);
    let &Mouth { foot_mm, face_mm, grows, .. } = mouth;
    let mut stream = Stream::new(seed, mouth.purpose);
    let facets = Facets::new(&mut stream, flaw, length, mouth.outward);
    let tip = Ragged::new(&mut stream, length, 5.0);
    let rise =
        move |u: f64| height * rounded_ends(u, LEAST_AT_ENDS) * (1.0 - RAGGED_SHARE * tip.at(u * length));
    let lean = -grows * libm::tan(flaw.tilt_deg.to_radians());
    let place = move |u: f64, v: f64| {
        let deep = v * rise(u);
        [foot_mm + lean * deep + facets.at(u * length, deep), start + length * u, face_mm + grows * deep]
    };
    // At its mouth a crack has no tip.
    with_branches(flaw, seed, [false, true], Rc::new(place))
}

/// An upright crack across the weld: its length along the weld is that of its zig-zag, and of its way slantwise across.
pub(super) fn across(flaw: &Flaw, depth_mm: f64, offset_mm: f64, seed: u64) -> Vec<Piece> {
    let (start, length, height) = (flaw.start_mm, flaw.length_mm, flaw.height_mm);
    let width = flaw.width_mm.unwrap_or(height);
    let mut stream = Stream::new(seed, "transverse crack");
    let facets = Facets::new(&mut stream, flaw, width, None);
    let top = Ragged::new(&mut stream, width, 5.0);
    let bottom = Ragged::new(&mut stream, width, 5.0);
    let turned = if stream.below(2) == 0 { -1.0 } else { 1.0 };
    let raw = move |u: f64, v: f64| {
        let ends = rounded_ends(u, LEAST_AT_ENDS) * height / 2.0;
        let edge = |ragged: &Ragged| ends * (1.0 - RAGGED_SHARE * ragged.at(u * width));
        let (down, up) = (edge(&bottom), -edge(&top));
        let z = down + (up - down) * v;
        [width * (u - 0.5), facets.at(u * width, height / 2.0 - z), z]
    };
    // The zig-zag is taken as it is if it leaves room for a slant that fills the length, else it is pressed flatter.
    let net: Vec<_> = (0..=NET)
        .flat_map(|i| (0..=NET).map(move |j| [i, j].map(|k| f64::from(k) / f64::from(NET))))
        .map(|[u, v]| raw(u, v))
        .collect();
    let along = |zigzag: f64, slant: f64| {
        net.iter().fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], [x, y, _]| {
            let y = zigzag * y + slant * x;
            [low.min(y), high.max(y)]
        })
    };
    let span = |zigzag: f64, slant: f64| {
        let [low, high] = along(zigzag, slant);
        high - low
    };
    let bare = span(1.0, 0.0);
    let zigzag = (length / bare).min(1.0);
    let (mut slant, mut most) = (0.0, (length / width + bare / width) * turned);
    for _ in 0..HALVINGS {
        let middle = (slant + most) / 2.0;
        if span(zigzag, middle) > length { most = middle } else { slant = middle }
    }
    let low = along(zigzag, slant)[0];
    let place = move |u: f64, v: f64| {
        let [x, y, z] = raw(u, v);
        [offset_mm + x, start + zigzag * y + slant * x - low, depth_mm + z]
    };
    vec![Piece::Patch(Patch {
        rims: [true; 2],
        smooth: is_smooth(flaw),
        ..Patch::new(Sides::Both, Box::new(place))
    })]
}

/// Whether a Rayleigh wave runs along the crack.
fn is_smooth(flaw: &Flaw) -> bool {
    ZIGZAG_MM * flaw.roughness_ratio < SMOOTH_WITHIN_MM
}

/// A crack's sheet and the branches that leave it.
fn with_branches(
    flaw: &Flaw,
    seed: u64,
    rims: [bool; 2],
    place: Rc<dyn Fn(f64, f64) -> Vector>,
) -> Vec<Piece> {
    let main = Rc::clone(&place);
    let smooth = is_smooth(flaw);
    let sheet = Patch { rims, smooth, ..Patch::new(Sides::Both, Box::new(move |u, v| main(u, v))) };
    let mut pieces = vec![Piece::Patch(sheet)];
    let mut stream = Stream::new(seed, "branches");
    for _ in 0..flaw.branches {
        let reach = stream.between(BRANCH_LENGTH[0], BRANCH_LENGTH[1]);
        let from = stream.between(0.1, 0.9 - reach);
        let root = stream.between(0.35, 0.6);
        let off = libm::tan(stream.between(BRANCH_DEG[0], BRANCH_DEG[1]).to_radians());
        let side = if stream.below(2) == 0 { -1.0 } else { 1.0 };
        let sheet = Rc::clone(&place);
        // The branch leaves the sheet sideways while it follows it towards the tip; it thins out towards its ends.
        let branch = move |u: f64, v: f64| {
            let along = from + reach * u;
            let grown = BRANCH_HEIGHT * rounded_ends(u, LEAST_AT_ENDS) * v;
            let [x, y, z] = sheet(along, root + grown);
            let way = grown * (sheet(along, 1.0)[2] - sheet(along, 0.0)[2]).abs();
            [x + side * off * way, y, z]
        };
        let patch = Patch { rims: [false, true], ..Patch::new(Sides::Both, Box::new(branch)) };
        pieces.push(Piece::Patch(patch));
    }
    pieces
}
