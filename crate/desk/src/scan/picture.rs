//! A recorded scan as a picture of the plate.

use clap::ValueEnum;
use instrument::recording::{Colouring, PlateView, Projection, Recording, Selection};

use crate::failure::Failure;
use crate::frame::png_rgba;

/// Offsets that are drawn, in thicknesses of the plate on either side of the centreline.
const THICKNESSES: f64 = 1.5;

/// From where the plate is seen.
#[derive(Clone, Copy, ValueEnum)]
pub enum ProjectionName {
    /// From above: along the weld to the right, offset downwards.
    Top,
    /// From the side: along the weld to the right, depth downwards.
    Side,
    /// From the datum end: offset to the right, depth downwards.
    End,
}

/// The view at the procedure's scanning gain, a pixel a cell: a line along the weld, 0.5 mm across, 0.25 mm deep.
pub fn png(recording: &Recording, projection: ProjectionName) -> Result<Vec<u8>, Failure> {
    let projection = match projection {
        ProjectionName::Top => Projection::Top,
        ProjectionName::Side => Projection::Side,
        ProjectionName::End => Projection::End,
    };
    let beside_mm = THICKNESSES * recording.setting().thickness_mm;
    let selection = Selection { offset_mm: Some([-beside_mm, beside_mm]), ..Selection::default() };
    let view = PlateView::new(recording, projection, selection)
        .map_err(|error| Failure::Said(format!("no picture: {error}")))?;
    let [columns, rows] = view.size_cells();
    let mut rgba = vec![0; columns as usize * rows as usize * 4];
    view.paint(recording, Colouring::Amplitude, recording.gain_db(), 0.0, &mut rgba);
    png_rgba([columns, rows], &rgba)
}
