//! Sizes from a recorded scan, towards the page.

use instrument::recording::Selection;
pub use instrument::recording::{Curve, Way};

use crate::recorded::RecordedScan;

impl RecordedScan {
    /// The highest echo in a box of the plate, place by place along one way; `None` where nothing was recorded in it.
    pub fn curve(&self, way: Way, within: Selection, gain_db: f64, drop_db: f64) -> Option<Curve> {
        self.recording.curve(way, within, gain_db, drop_db)
    }
}
