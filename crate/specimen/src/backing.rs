//! A backing bar: a flat bar under the root, fused to the weld and open to the plate beside it.
//!
//! Through the fused strip sound enters the bar and comes back from its lower corners. Beside the strip the plate's own
//! face is free and answers as it does elsewhere. No echo between two faces of the bar is computed, and no shadow of
//! the crevice: the model's faces are those of the plate.

use acoustics::scene::{NotFlat, Sides};

use crate::patch::{Patch, Piece};
use crate::plate::Plate;
use crate::section::Line;
use crate::weld_surface::Outside;

/// Radius of the bar's lower edges, mm. Common practice for drawn flat bar, no source.
const EDGE_RADIUS_MM: f64 = 1.0;
/// Chords a rounded edge is made of.
const CHORDS: u32 = 6;

/// Half the width of the strip fused to the bar, mm.
fn half_strip_mm(plate: &Plate) -> Option<f64> {
    plate.joint.backing_bar.map(|bar| plate.joint.root_gap_mm / 2.0 + bar.fused_mm)
}

/// The bar's outside from its upper edge on side A down, along and up to that on side B: x and z, mm.
pub(crate) fn outline(plate: &Plate) -> Option<Line> {
    let bar = plate.joint.backing_bar?;
    let (half, top, bottom) = (bar.width_mm / 2.0, plate.thickness_mm, plate.thickness_mm + bar.thickness_mm);
    let radius = EDGE_RADIUS_MM.min(bar.thickness_mm / 2.0);
    let mut line = vec![[-half, top]];
    let mut round = |centre_x: f64, from_deg: f64| {
        for chord in 0..=CHORDS {
            let angle = (from_deg + 90.0 * f64::from(chord) / f64::from(CHORDS)).to_radians();
            line.push([centre_x - radius * libm::cos(angle), bottom - radius + radius * libm::sin(angle)]);
        }
    };
    round(-half + radius, 0.0);
    round(half - radius, 90.0);
    line.push([half, top]);
    Some(line)
}

/// Adds the bar's outside, and takes the fused strip out of the plate's lower face.
pub(crate) fn points(plate: &Plate, spacing_mm: f64, out: &mut Outside) {
    let (Some(line), Some(strip)) = (outline(plate), half_strip_mm(plate)) else { return };
    let length = plate.length_mm;
    for part in line.windows(2) {
        let [[x0, z0], [x1, z1]] = [part[0], part[1]];
        // u along the weld, v along the outline: d/du × d/dv points up, into the bar.
        let place = move |u: f64, v: f64| [x0 + (x1 - x0) * v, length * u, z0 + (z1 - z0) * v];
        let patch = Patch { least_cells: [2, 1], ..Patch::new(Sides::One, Box::new(place)) };
        Piece::Patch(patch).points(spacing_mm, &mut out.points);
    }
    out.lower_not_flat.push(NotFlat { x_mm: [-strip, strip], y_mm: [0.0, length] });
}
