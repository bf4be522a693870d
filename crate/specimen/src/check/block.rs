//! What a block must be.

use super::Complaints;
use crate::block::Block;
use crate::plate::Plate;

/// Most holes, notches or round ends of a block.
const MOST: usize = 60;

pub(super) fn check(plate: &Plate, block: &Block, out: &mut Complaints) {
    let (half, thickness) = (plate.width_mm / 2.0, plate.thickness_mm);
    if !plate.flaws.is_empty() {
        out.add("plate.flaw", "a block has no flaws, expected none".to_owned());
    }
    for (key, count) in
        [("hole", block.holes.len()), ("notch", block.notches.len()), ("radius", block.radii.len())]
    {
        if count > MOST {
            out.add(&format!("plate.block.{key}"), format!("{count} of them, expected at most {MOST}"));
            return;
        }
    }
    for (index, hole) in block.holes.iter().enumerate() {
        let at = |key: &str| format!("plate.block.hole[{index}].{key}");
        if out.within(&at("diameter_mm"), hole.diameter_mm, [0.3, 50.0], "mm") {
            let radius = hole.diameter_mm / 2.0;
            out.within(&at("offset_mm"), hole.offset_mm, [radius - half, half - radius], "mm");
            out.within(&at("depth_mm"), hole.depth_mm, [radius, thickness - radius], "mm");
        }
    }
    for (index, notch) in block.notches.iter().enumerate() {
        let at = |key: &str| format!("plate.block.notch[{index}].{key}");
        out.within(&at("offset_mm"), notch.offset_mm, [-half, half], "mm");
        out.within(&at("height_mm"), notch.height_mm, [0.1, thickness / 2.0], "mm");
        out.within(&at("width_mm"), notch.width_mm, [0.1, 10.0], "mm");
        stretch(&at("y_mm"), notch.y_mm, plate, out);
    }
    for (index, end) in block.radii.iter().enumerate() {
        let at = |key: &str| format!("plate.block.radius[{index}].{key}");
        out.within(&at("centre_mm"), end.centre_mm, [-half, half], "mm");
        out.within(&at("radius_mm"), end.radius_mm, [5.0, thickness], "mm");
        for angle in end.angle_deg {
            out.within(&at("angle_deg"), angle, [-90.0, 90.0], "degrees");
        }
        if end.angle_deg[0] >= end.angle_deg[1] {
            out.add(&at("angle_deg"), "the arc has no extent, expected the smaller angle first".to_owned());
        }
        stretch(&at("y_mm"), end.y_mm, plate, out);
    }
}

fn stretch(path: &str, y_mm: Option<[f64; 2]>, plate: &Plate, out: &mut Complaints) {
    for y in y_mm.into_iter().flatten() {
        out.within(path, y, [0.0, plate.length_mm], "mm");
    }
    if y_mm.is_some_and(|[from, to]| from >= to) {
        out.add(path, "has no extent, expected the smaller value first".to_owned());
    }
}
