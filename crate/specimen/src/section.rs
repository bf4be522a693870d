//! Lines for drawing: the section across the weld, and the weld seen from above.

use serde::Serialize;

use crate::joint::Preparation;
use crate::plate::Plate;

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
    /// The cap, from side A to side B; for a double V the upper cap, then the lower.
    pub cap: Vec<Line>,
    /// The root bead, from side A to side B; empty for a double V and a flush root.
    pub root: Vec<Line>,
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
        let upper_toe = joint.upper_toe_mm(thickness);
        let lower_toe = joint.lower_toe_mm(thickness);
        let [root_top, root_bottom] = joint.root_face_depth_mm(thickness);
        let mut depths = vec![0.0, root_top, root_bottom];
        if joint.preparation == Preparation::DoubleV {
            depths.push(thickness);
        }
        depths.dedup();
        let edge = |sign: f64| -> Line {
            depths.iter().map(|&z| [sign * joint.half_width_mm(thickness, z), z]).collect()
        };
        let face =
            |toe: f64, z: f64| vec![vec![[-half_plate, z], [-toe, z]], vec![[toe, z], [half_plate, z]]];
        let mut cap = vec![arc(upper_toe, 0.0, -joint.cap.height_mm)];
        let mut root = Vec::new();
        match (joint.preparation, lower_toe, joint.root_bead) {
            (Preparation::DoubleV, Some(toe), _) => cap.push(arc(toe, thickness, joint.cap.height_mm)),
            (_, Some(toe), Some(bead)) => root.push(arc(toe, thickness, bead.height_mm)),
            _ => {}
        }
        let lower_edge = lower_toe.unwrap_or(joint.root_gap_mm / 2.0);
        Self {
            upper_face: face(upper_toe, 0.0),
            lower_face: match lower_toe {
                Some(toe) => face(toe, thickness),
                None => vec![vec![[-half_plate, thickness], [half_plate, thickness]]],
            },
            preparation: vec![edge(-1.0), edge(1.0)],
            cap,
            root,
            upper_edges_mm: [-upper_toe, upper_toe],
            lower_edges_mm: [-lower_edge, lower_edge],
        }
    }
}

/// The arc over a chord of ±`half` at depth `z`, bulging by `rise` (negative: upwards).
fn arc(half: f64, z: f64, rise: f64) -> Line {
    (0..=ARC_CHORDS)
        .map(|i| {
            let x = half * (2.0 * f64::from(i) / f64::from(ARC_CHORDS) - 1.0);
            [x, z + rise.signum() * crate::weld_surface::arc_height(x, half, rise.abs())]
        })
        .collect()
}
