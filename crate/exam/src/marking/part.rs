//! What points are given for, and one row of a mark.

use serde::Serialize;

use crate::said::Said;

/// What points are given for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Part {
    /// The flaw was called.
    Detection,
    /// Its place along the weld.
    Along,
    /// Its place across the weld.
    Across,
    /// Its length.
    Length,
    /// The depth of its middle.
    Depth,
    /// Its height.
    Height,
    /// Its kind.
    Kind,
    /// Accept or reject.
    Decision,
    /// On a clean plate: nothing was called.
    NothingCalled,
    /// On a clean plate: the statement "no recordable indication".
    Statement,
    /// What of the weld was examined.
    Examined,
    /// Whether that was at scanning gain.
    ScanningGain,
    /// Whether the time allowed was kept.
    Time,
    /// Whether the bench was calibrated before it was scanned with.
    Calibrated,
    /// Whether a check of the calibration stands at the end.
    Checked,
    /// Whether the scan was begun at scanning gain.
    GainSet,
}

/// One part of a mark.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PartRow {
    /// What the points are for.
    pub part: Part,
    /// Points got.
    pub points: f64,
    /// Points possible.
    pub possible: f64,
    /// How far the call is off, mm; absent where nothing was measured.
    pub error_mm: Option<f64>,
    /// The key in the plate file that set the points, e.g. `scheme.points.depth`.
    pub scheme_line: String,
    /// Why, with numbers.
    pub reason: Said,
}

impl PartRow {
    /// A share (0 to 1) of points that the log alone decides; `line` is their key in the plate file.
    pub(super) fn of_log(part: Part, share: f64, possible: f64, line: &str, reason: Said) -> Self {
        Self {
            part,
            points: share * possible,
            possible,
            error_mm: None,
            scheme_line: line.to_owned(),
            reason,
        }
    }
}
