//! Sizes from a recording: how high an echo stands from place to place, and where it has dropped. What that means is the
//! operator's business.

use serde::{Deserialize, Serialize};

use super::{PlateView, Projection, Recording, Selection};
use crate::sizing::drop_ends_mm;

/// Along which way a curve runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Way {
    /// Along the weld.
    Along,
    /// Through the thickness.
    Deep,
}

/// Highest echoes over places, and where they have dropped.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Curve {
    /// Places, mm, rising.
    pub positions_mm: Vec<f64>,
    /// Heights there, % of full screen height at the gain asked for, not clipped.
    pub percent: Vec<f64>,
    /// Where the echo has dropped on both sides of its highest place, mm; none where it has not.
    pub ends_mm: Option<[f64; 2]>,
}

impl Curve {
    /// The curve with its drop points.
    pub fn of(positions_mm: Vec<f64>, percent: Vec<f64>, drop_db: f64) -> Self {
        let ends_mm = drop_ends_mm(&positions_mm, &percent, drop_db);
        Self { positions_mm, percent, ends_mm }
    }
}

impl Recording {
    /// The highest echo in a box of the plate, place by place along one way; `None` where nothing was recorded in it.
    pub fn curve(&self, way: Way, within: Selection, gain_db: f64, drop_db: f64) -> Option<Curve> {
        let view = PlateView::new(self, Projection::Side, within).ok()?;
        let percent = self.scale().percent(gain_db - self.setting().reference_gain_db);
        let [columns, rows] = view.size_cells();
        let (cells, others, [from, to]) = match way {
            Way::Along => (columns, rows, view.horizontal_mm()),
            Way::Deep => (rows, columns, view.vertical_mm()),
        };
        let code = |cell: u32, other: u32| match way {
            Way::Along => view.code(cell, other),
            Way::Deep => view.code(other, cell),
        };
        let (mut positions_mm, mut heights) = (Vec::new(), Vec::new());
        for cell in 0..cells {
            // Places without a sample tell nothing, not even silence.
            let Some(highest) = (0..others).filter_map(|other| code(cell, other)).max() else { continue };
            positions_mm.push(from + (f64::from(cell) + 0.5) * (to - from) / f64::from(cells));
            heights.push(f64::from(percent[usize::from(highest)]));
        }
        (!positions_mm.is_empty()).then(|| Curve::of(positions_mm, heights, drop_db))
    }
}
