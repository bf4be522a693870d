//! Reference blocks: a piece of metal with side-drilled holes, notches and round ends.
//!
//! A block is a plate without a weld: x along its length (0 in its middle), y across its narrow side, z down from the face
//! the probe stands on.

use acoustics::scene::{NotFlat, Sides};
use serde::{Deserialize, Serialize};

use crate::joint::Bevel;
use crate::patch::{Patch, Piece, Place};
use crate::plate::Plate;
use crate::weld_surface::Outside;

/// A hole drilled through the block from side to side.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Hole {
    /// Place of its axis along the block, mm from its middle.
    pub offset_mm: f64,
    /// Depth of its axis, mm.
    pub depth_mm: f64,
    /// Diameter, mm.
    pub diameter_mm: f64,
}

/// A slot with upright walls and a flat end, cut from a face.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Notch {
    /// The face it is cut from; absent means the lower one.
    #[serde(default = "lower")]
    pub face: Bevel,
    /// Place of its middle along the block, mm from its middle.
    pub offset_mm: f64,
    /// Height of its walls, mm.
    pub height_mm: f64,
    /// Distance of its walls, mm.
    pub width_mm: f64,
    /// From and to across the block, mm; absent means from side to side.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub y_mm: Option<[f64; 2]>,
}

fn lower() -> Bevel {
    Bevel::Lower
}

/// A round end: part of a cylinder round an axis in the upper face, seen from inside.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Radius {
    /// Place of its axis along the block, mm from its middle.
    pub centre_mm: f64,
    /// Radius, mm.
    pub radius_mm: f64,
    /// From and to as angles off the vertical, degrees; positive towards larger x.
    pub angle_deg: [f64; 2],
    /// From and to across the block, mm; absent means from side to side.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub y_mm: Option<[f64; 2]>,
}

/// What a block has in place of a weld.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Block {
    /// Side-drilled holes.
    #[serde(default, rename = "hole", skip_serializing_if = "Vec::is_empty")]
    pub holes: Vec<Hole>,
    /// Notches.
    #[serde(default, rename = "notch", skip_serializing_if = "Vec::is_empty")]
    pub notches: Vec<Notch>,
    /// Round ends.
    #[serde(default, rename = "radius", skip_serializing_if = "Vec::is_empty")]
    pub radii: Vec<Radius>,
}

/// Fewest points round a hole, however small.
const LEAST_ROUND: u32 = 16;

fn ring(radius: f64, angle: f64) -> [f64; 2] {
    [radius * libm::sin(angle), radius * libm::cos(angle)]
}

impl Block {
    fn pieces(&self, plate: &Plate) -> Vec<Piece> {
        let whole = [0.0, plate.length_mm];
        let mut pieces = Vec::new();
        let mut add = |least_cells: [u32; 2], place: Place| {
            pieces.push(Piece::Patch(Patch { least_cells, ..Patch::new(Sides::One, place) }));
        };
        for hole in self.holes.iter().copied() {
            // u across the block, v round from below over +x: d/du × d/dv points away from the axis.
            let at = move |u: f64, v: f64| {
                let [x, z] = ring(hole.diameter_mm / 2.0, std::f64::consts::TAU * v);
                [hole.offset_mm + x, whole[1] * u, hole.depth_mm + z]
            };
            add([2, LEAST_ROUND], Box::new(move |u, v| at(u, 1.0 - v)));
        }
        for end in self.radii.iter().copied() {
            let [from, to] = end.y_mm.unwrap_or(whole);
            let [start, stop] = end.angle_deg.map(f64::to_radians);
            let at = move |u: f64, v: f64| {
                let [x, z] = ring(end.radius_mm, start + (stop - start) * v);
                [end.centre_mm + x, from + (to - from) * u, z]
            };
            // The other way round: into the metal is towards the axis.
            add([2, 2], Box::new(at));
        }
        for notch in self.notches.iter().copied() {
            let [from, to] = notch.y_mm.unwrap_or(whole);
            let half = notch.width_mm / 2.0;
            let (mouth, end) = match notch.face {
                Bevel::Upper => (0.0, notch.height_mm),
                Bevel::Lower => (plate.thickness_mm, plate.thickness_mm - notch.height_mm),
            };
            let (low, high) = (mouth.min(end), mouth.max(end));
            let x0 = notch.offset_mm;
            let along = move |u: f64| from + (to - from) * u;
            add([2, 2], Box::new(move |u, v| [x0 + half, along(u), high + (low - high) * (1.0 - v)]));
            add([2, 2], Box::new(move |u, v| [x0 - half, along(u), low + (high - low) * (1.0 - v)]));
            let out = if notch.face == Bevel::Upper { -1.0 } else { 1.0 };
            add([2, 1], Box::new(move |u, v| [x0 + out * half * (2.0 * v - 1.0), along(u), end]));
        }
        pieces
    }

    /// Adds the block's surfaces; where a notch opens or the block has ended, a face is not flat.
    pub(crate) fn surfaces(&self, plate: &Plate, spacing_mm: f64, out: &mut Outside) {
        for piece in self.pieces(plate) {
            piece.points(spacing_mm, &mut out.points);
        }
        for notch in &self.notches {
            let half = notch.width_mm / 2.0;
            let strip = NotFlat {
                x_mm: [notch.offset_mm - half, notch.offset_mm + half],
                y_mm: notch.y_mm.unwrap_or([0.0, plate.length_mm]),
            };
            match notch.face {
                Bevel::Upper => out.upper_not_flat.push(strip),
                Bevel::Lower => out.lower_not_flat.push(strip),
            }
        }
        // Past the axis of a round end the lower face is the round itself.
        for end in &self.radii {
            let reach = end.angle_deg.map(|angle| libm::sin(angle.to_radians()) * end.radius_mm);
            let (low, high) = (reach[0].min(reach[1]), reach[0].max(reach[1]));
            let far = plate.width_mm;
            let x_mm = if low.abs() > high.abs() {
                [end.centre_mm - far, end.centre_mm + high.min(0.0)]
            } else {
                [end.centre_mm + low.max(0.0), end.centre_mm + far]
            };
            out.lower_not_flat.push(NotFlat { x_mm, y_mm: end.y_mm.unwrap_or([0.0, plate.length_mm]) });
        }
    }

    /// Lines for drawing: holes, notches and round ends in the section.
    pub(crate) fn lines(&self, plate: &Plate) -> Vec<crate::section::Line> {
        let arc = |centre: [f64; 2], radius: f64, from: f64, to: f64, chords: u32| {
            (0..=chords)
                .map(|i| ring(radius, (from + (to - from) * f64::from(i) / f64::from(chords)).to_radians()))
                .map(|[x, z]| [centre[0] + x, centre[1] + z])
                .collect::<Vec<_>>()
        };
        let holes =
            self.holes.iter().map(|h| arc([h.offset_mm, h.depth_mm], h.diameter_mm / 2.0, 0.0, 360.0, 24));
        let ends = self
            .radii
            .iter()
            .map(|r| arc([r.centre_mm, 0.0], r.radius_mm, r.angle_deg[0], r.angle_deg[1], 48));
        let notches = self.notches.iter().map(|notch| {
            let (x, half) = (notch.offset_mm, notch.width_mm / 2.0);
            let (mouth, end) = match notch.face {
                Bevel::Upper => (0.0, notch.height_mm),
                Bevel::Lower => (plate.thickness_mm, plate.thickness_mm - notch.height_mm),
            };
            vec![[x - half, mouth], [x - half, end], [x + half, end], [x + half, mouth]]
        });
        holes.chain(ends).chain(notches).collect()
    }
}
