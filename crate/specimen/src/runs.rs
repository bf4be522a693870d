//! The runs (passes) a weld was laid in: layers from the root outwards, each of runs side by side. Where one run met the
//! next is where fusion between runs can be missing.

use crate::joint::{Bevel, Preparation, WeldSide};
use crate::plate::Plate;
use crate::section::Line;

/// Layers are about this high, mm. Common practice for metal-arc welding, no source.
const LAYER_MM: f64 = 3.0;
/// Runs are at most this wide, mm. Common practice, no source.
const WIDEST_RUN_MM: f64 = 9.0;
/// How much the crown of a run stands above its edges, as a share of the layer's height and of half the run's width.
const CROWN: [f64; 2] = [0.55, 0.45];
/// Chords a run's surface is drawn with.
const CHORDS: u32 = 8;

/// The surface of one run on which the next layer was laid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RunSurface {
    /// Layer, from 1 at the root.
    pub layer: u32,
    /// Run within the layer, from 1 on side A.
    pub run: u32,
    /// The groove it lies in.
    pub groove: Bevel,
    /// Its edges across the weld, mm.
    pub across_mm: [f64; 2],
    /// Depth of its crown, mm.
    pub crown_mm: f64,
    /// How far its edges lie below its crown (towards the root), mm.
    pub fall_mm: f64,
}

impl RunSurface {
    /// Depth of the surface at x, mm.
    pub fn depth_mm(&self, x: f64) -> f64 {
        let [from, to] = self.across_mm;
        let share = (2.0 * x - from - to) / (to - from);
        let fall = self.fall_mm * share * share;
        self.crown_mm + if self.groove == Bevel::Upper { fall } else { -fall }
    }
}

/// All surfaces between layers, the upper groove first, from the root outwards and from side A to side B.
pub fn surfaces(plate: &Plate) -> Vec<RunSurface> {
    let (joint, thickness) = (&plate.joint, plate.thickness_mm);
    let mut out = Vec::new();
    if joint.preparation == Preparation::None {
        return out;
    }
    let [root_top, root_bottom] = joint.root_face_depth_mm(thickness);
    let middle = (root_top + root_bottom) / 2.0;
    let grooves: &[(Bevel, f64, f64)] = if joint.preparation.is_double() {
        &[(Bevel::Upper, middle, 0.0), (Bevel::Lower, middle, thickness)]
    } else {
        &[(Bevel::Upper, thickness, 0.0)]
    };
    for &(groove, root, face) in grooves {
        let whole = (root - face).abs();
        let layers = libm::round(whole / LAYER_MM).max(1.0);
        let height = whole / layers;
        // The last layer is the cap: nothing was laid on it.
        for layer in 1..layers as u32 {
            let crown_mm = root + (face - root) * f64::from(layer) / layers;
            let inside = crown_mm + (root - face).signum() * height / 2.0;
            let edge = |side| side_x(plate, side, inside);
            let (left, right) = (edge(WeldSide::A), edge(WeldSide::B));
            let runs = libm::ceil((right - left) / WIDEST_RUN_MM).max(1.0);
            let width = (right - left) / runs;
            if width < 1.0 {
                continue;
            }
            for run in 0..runs as u32 {
                let from = left + width * f64::from(run);
                let fall_mm = (CROWN[0] * height).min(CROWN[1] * width / 2.0);
                out.push(RunSurface {
                    layer,
                    run: run + 1,
                    groove,
                    across_mm: [from, from + width],
                    crown_mm,
                    fall_mm,
                });
            }
        }
    }
    out
}

fn side_x(plate: &Plate, side: WeldSide, depth_mm: f64) -> f64 {
    side.x_sign() * plate.joint.edge_mm(plate.thickness_mm, side, depth_mm)
}

/// The surface of one run.
pub fn surface(plate: &Plate, layer: u32, run: u32, groove: Bevel) -> Option<RunSurface> {
    surfaces(plate)
        .into_iter()
        .find(|surface| (surface.layer, surface.run, surface.groove) == (layer, run, groove))
}

/// The boundaries as drawn.
pub(crate) fn lines(plate: &Plate) -> Vec<Line> {
    let line = |surface: RunSurface| -> Line {
        let [from, to] = surface.across_mm;
        (0..=CHORDS)
            .map(|i| from + (to - from) * f64::from(i) / f64::from(CHORDS))
            .map(|x| [x, surface.depth_mm(x)])
            .collect()
    };
    surfaces(plate).into_iter().map(line).collect()
}
