//! Lines for drawing: the section across the weld, and the weld seen from above.

use serde::Serialize;

use crate::joint::{Bevel, Preparation, WeldSide};
use crate::plate::Plate;
use crate::profile::{self, Part};
use crate::runs;

/// A polyline in the section: pairs of x (across) and z (depth), mm.
pub type Line = Vec<[f64; 2]>;

/// The nominal section of a plate, without ripple and without flaws.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Outline {
    /// The flat parts of the upper face, left and right of the weld.
    pub upper_face: Vec<Line>,
    /// The flat parts of the lower face; one line where nothing stands on it.
    pub lower_face: Vec<Line>,
    /// The prepared edges, side A then side B, each from the upper face down.
    pub preparation: Vec<Line>,
    /// The cap, from side A to side B; for a weld from both faces the upper cap, then the lower. Then undercut and dressed
    /// faces, if any.
    pub cap: Vec<Line>,
    /// The root bead, from side A to side B, a backing bar, and the holes, notches and round ends of a block; empty for a weld from both faces and a flush root.
    pub root: Vec<Line>,
    /// Boundaries between the runs of weld metal.
    pub runs: Vec<Line>,
    /// The outer edges of the heat-affected zone, side A then side B, each from the upper face down.
    pub heat_affected: Vec<Line>,
    /// Plan: x of the weld's edges (cap toes) on the upper face, along the whole length, mm.
    pub upper_edges_mm: [f64; 2],
    /// Plan: x of the weld's edges on the lower face, mm.
    pub lower_edges_mm: [f64; 2],
}

/// Chords an arc is drawn with.
const ARC_CHORDS: u32 = 24;

impl Outline {
    pub(crate) fn of(plate: &Plate) -> Self {
        let (joint, thickness) = (&plate.joint, plate.thickness_mm);
        let half_plate = plate.width_mm / 2.0;
        let parts = profile::parts(plate);
        // Toes of the weld on a face, and the level face left and right of all that is not level.
        let toes = |face: Bevel| parts.iter().find(|part| part.face == face).map(|part| part.x_mm);
        let level = |face: Bevel, z: f64| {
            let on_face = || parts.iter().filter(|part| part.face == face);
            if on_face().next().is_none() {
                return vec![vec![[-half_plate, z], [half_plate, z]]];
            }
            let left = on_face().map(|part| part.x_mm[0]).fold(f64::INFINITY, f64::min);
            let right = on_face().map(|part| part.x_mm[1]).fold(f64::NEG_INFINITY, f64::max);
            vec![vec![[-half_plate, z], [left, z]], vec![[right, z], [half_plate, z]]]
        };
        let edge = |side: WeldSide, out_mm: f64| -> Line {
            let depths = joint.corner_depths_mm(thickness, side);
            depths
                .iter()
                .map(|&z| [side.x_sign() * (joint.edge_mm(thickness, side, z) + out_mm), z])
                .collect()
        };
        let edges = |out_mm: f64| match joint.preparation {
            Preparation::None => Vec::new(),
            _ => WeldSide::BOTH.map(|side| edge(side, out_mm)).into(),
        };
        let (root, cap): (Vec<&Part>, Vec<&Part>) =
            parts.iter().partition(|part| part.purpose == "root bead");
        let half_gap = joint.root_gap_mm / 2.0;
        Self {
            upper_face: level(Bevel::Upper, 0.0),
            lower_face: level(Bevel::Lower, thickness),
            preparation: edges(0.0),
            cap: cap.into_iter().map(|part| arc(part, thickness)).collect(),
            root: root
                .into_iter()
                .map(|part| arc(part, thickness))
                .chain(crate::backing::outline(plate))
                .chain(plate.block.iter().flat_map(|block| block.lines(plate)))
                .collect(),
            runs: runs::lines(plate),
            heat_affected: edges(joint.heat_affected_mm()),
            upper_edges_mm: toes(Bevel::Upper).unwrap_or([0.0; 2]),
            lower_edges_mm: toes(Bevel::Lower).unwrap_or([-half_gap, half_gap]),
        }
    }
}

/// A part of the outside: the arc over its chord.
fn arc(part: &Part, thickness: f64) -> Line {
    let [from, to] = part.x_mm;
    let (half, centre) = ((to - from) / 2.0, (from + to) / 2.0);
    let (face, out) = if part.face == Bevel::Upper { (0.0, -1.0) } else { (thickness, 1.0) };
    (0..=ARC_CHORDS)
        .map(|i| {
            let x = half * (2.0 * f64::from(i) / f64::from(ARC_CHORDS) - 1.0);
            let height = crate::weld_surface::arc_height(x, half, part.rise_mm.abs());
            let z = face + part.level_at_mm(centre + x) + out * part.rise_mm.signum() * height;
            [centre + x, z]
        })
        .collect()
}
