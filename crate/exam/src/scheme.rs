//! The marking scheme: what counts, how much, and how exact a call must be. It stands in the plate file, so that
//! a mark can always name the line that gave it.

use serde::{Deserialize, Serialize};
use specimen::check::Complaint;

pub use crate::acceptance::{Acceptance, Rule};
use crate::practical;

/// How a plate is marked. Every value has a default, so a plate file names only what it changes.
///
/// The parts follow the practical examination of ISO 9712 at Level 2, see [`crate::practical`]. An answer sheet by itself can
/// only show detection and reporting; with the session's log the application of the method is marked, too. That a missed
/// mandatory flaw fails the part is the same standard's rule from memory. No published source was found for the tolerances: common practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct Scheme {
    /// Share of the points that passes, %.
    pub pass_percent: f64,
    /// Whether missing a flaw marked mandatory fails the plate whatever the points.
    pub missed_mandatory_fails: bool,
    /// Points that every call without a flaw takes off: false calls, geometry called as a flaw, duplicates.
    pub false_call_points: f64,
    /// Share of the points for the kind when planar was called planar, or volumetric volumetric, but the kind is
    /// another one; 0 to 1.
    pub kind_class_share: f64,
    /// Flaws, by their place in the plate file from 0, that no allowed pose brings up to the recording level (see
    /// [`crate::paper::Paper::made_fair`]). They need not be called and are not counted.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub below_recording_level: Vec<u32>,
    /// Which calls can belong to a flaw at all.
    pub matching: Matching,
    /// How exact a call must be.
    pub tolerance: Tolerance,
    /// Points of each part, for each flaw.
    pub points: Points,
    /// Points on a plate without a flaw.
    pub clean: Clean,
    /// Points of the whole sheet, detection and report, beside those of the application of the method.
    pub sheet_points: f64,
    /// Points for the application of the method, marked where the session's log is at hand.
    pub application: Application,
    /// Points for the knowledge of the apparatus, marked from the log where the bench does not come calibrated.
    #[serde(skip_serializing_if = "Apparatus::is_standard")]
    pub apparatus: Apparatus,
    /// The rule for accept and reject.
    pub acceptance: Acceptance,
}

/// Points for the application of the method; by default they add up to what [`practical::LEVEL_2`] gives for it. How they
/// are shared out is our own.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct Application {
    /// How much of weld and heat-affected zone was examined from the sides of the procedure.
    pub examined_points: f64,
    /// Whether that was done at scanning gain.
    pub scanning_gain_points: f64,
    /// Whether the time allowed was kept.
    pub time_points: f64,
    /// Part of what the procedure reaches up to which there are no points, %.
    pub no_points_below_percent: f64,
    /// Part of what the procedure reaches from which on there are all points, %.
    pub full_points_from_percent: f64,
}

/// Points for the knowledge of the apparatus; by default they add up to what [`practical::LEVEL_2`] gives for it. How they are
/// shared out is our own.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct Apparatus {
    /// Whether the bench was calibrated before it was scanned with.
    pub calibrated_points: f64,
    /// Whether a check of the calibration stands at the end.
    pub checked_points: f64,
    /// Whether the scan was begun at scanning gain.
    pub gain_points: f64,
}

/// Limits within which a call can belong to a flaw.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct Matching {
    /// Start and end of call and flaw may differ by this, mm (by half the flaw's length where that is more).
    pub ends_mm: f64,
    /// Places across the weld may differ by this, mm.
    pub across_mm: f64,
    /// Depths of the middles may differ by this, mm.
    pub depth_mm: f64,
}

/// Largest error with full points. Beyond it the points fall in proportion, to nothing at twice the tolerance.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct Tolerance {
    /// Middle of the call along the weld, mm.
    pub along_mm: f64,
    /// Place across the weld, mm.
    pub across_mm: f64,
    /// Length, mm.
    pub length_mm: f64,
    /// Length, share of the true length where that is more; 0 to 1.
    pub length_share: f64,
    /// Depth of the middle, mm.
    pub depth_mm: f64,
    /// Depth of the middle, share of the true depth where that is more; 0 to 1.
    pub depth_share: f64,
    /// Height, mm.
    pub height_mm: f64,
    /// Height, share of the true height where that is more; 0 to 1.
    pub height_share: f64,
}

/// Points of each part, for each flaw.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct Points {
    /// The flaw was called.
    pub detection: f64,
    /// Its place along the weld.
    pub along: f64,
    /// Its place across the weld.
    pub across: f64,
    /// Its length.
    pub length: f64,
    /// The depth of its middle.
    pub depth: f64,
    /// Its height.
    pub height: f64,
    /// Its kind.
    pub kind: f64,
    /// Accept or reject.
    pub decision: f64,
}

/// Points on a plate without a flaw.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct Clean {
    /// Nothing was called.
    pub nothing_called: f64,
    /// The sheet says "no recordable indication".
    pub statement: f64,
}

impl Default for Scheme {
    fn default() -> Self {
        Self {
            pass_percent: practical::PASS_PERCENT,
            missed_mandatory_fails: true,
            false_call_points: 20.0,
            kind_class_share: 0.5,
            below_recording_level: Vec::new(),
            matching: Matching::default(),
            tolerance: Tolerance::default(),
            points: Points::default(),
            clean: Clean::default(),
            sheet_points: practical::LEVEL_2.detection_points,
            application: Application::default(),
            apparatus: Apparatus::default(),
            acceptance: Acceptance::default(),
        }
    }
}

impl Default for Application {
    fn default() -> Self {
        Self {
            examined_points: 12.0,
            scanning_gain_points: 4.0,
            time_points: 4.0,
            no_points_below_percent: 30.0,
            full_points_from_percent: 95.0,
        }
    }
}

impl Default for Apparatus {
    fn default() -> Self {
        Self { calibrated_points: 5.0, checked_points: 3.0, gain_points: 2.0 }
    }
}

impl Apparatus {
    /// Whether it is the default: a file that does not name it keeps its digest.
    fn is_standard(&self) -> bool {
        *self == Self::default()
    }
}

impl Default for Matching {
    fn default() -> Self {
        Self { ends_mm: 15.0, across_mm: 8.0, depth_mm: 6.0 }
    }
}

impl Default for Tolerance {
    fn default() -> Self {
        Self {
            along_mm: 5.0,
            across_mm: 3.0,
            length_mm: 5.0,
            length_share: 0.2,
            depth_mm: 2.0,
            depth_share: 0.1,
            height_mm: 1.0,
            height_share: 0.25,
        }
    }
}

impl Default for Points {
    fn default() -> Self {
        Self {
            detection: 40.0,
            along: 10.0,
            across: 5.0,
            length: 10.0,
            depth: 10.0,
            height: 5.0,
            kind: 10.0,
            decision: 10.0,
        }
    }
}

impl Points {
    /// Sum of all parts.
    pub fn total(&self) -> f64 {
        self.detection
            + self.along
            + self.across
            + self.length
            + self.depth
            + self.height
            + self.kind
            + self.decision
    }
}

impl Default for Clean {
    fn default() -> Self {
        Self { nothing_called: 80.0, statement: 20.0 }
    }
}

impl Scheme {
    /// Everything out of range for a plate of a thickness with so many flaws, with paths that begin with `scheme`.
    pub fn check(&self, flaws: usize, thickness_mm: f64) -> Vec<Complaint> {
        let mut found = Vec::new();
        let mut within = |key: &str, value: f64, low: f64, high: f64, unit: &str| {
            if !(low..=high).contains(&value) {
                found.push(Complaint {
                    path: format!("scheme.{key}"),
                    message: format!("is {value}, expected {low} to {high}{unit}"),
                });
            }
        };
        within("pass_percent", self.pass_percent, 0.0, 100.0, " %");
        within("false_call_points", self.false_call_points, 0.0, 1000.0, " points");
        within("kind_class_share", self.kind_class_share, 0.0, 1.0, "");
        let matching = &self.matching;
        within("matching.ends_mm", matching.ends_mm, 1.0, 100.0, " mm");
        within("matching.across_mm", matching.across_mm, 1.0, 100.0, " mm");
        within("matching.depth_mm", matching.depth_mm, 1.0, 100.0, " mm");
        let tolerance = &self.tolerance;
        within("tolerance.along_mm", tolerance.along_mm, 0.1, 100.0, " mm");
        within("tolerance.across_mm", tolerance.across_mm, 0.1, 100.0, " mm");
        within("tolerance.length_mm", tolerance.length_mm, 0.1, 100.0, " mm");
        within("tolerance.length_share", tolerance.length_share, 0.0, 1.0, "");
        within("tolerance.depth_mm", tolerance.depth_mm, 0.1, 100.0, " mm");
        within("tolerance.depth_share", tolerance.depth_share, 0.0, 1.0, "");
        within("tolerance.height_mm", tolerance.height_mm, 0.1, 100.0, " mm");
        within("tolerance.height_share", tolerance.height_share, 0.0, 1.0, "");
        let points = &self.points;
        // A plate that gives no point for finding a flaw cannot be marked.
        within("points.detection", points.detection, 1.0, 1000.0, " points");
        within("points.along", points.along, 0.0, 1000.0, " points");
        within("points.across", points.across, 0.0, 1000.0, " points");
        within("points.length", points.length, 0.0, 1000.0, " points");
        within("points.depth", points.depth, 0.0, 1000.0, " points");
        within("points.height", points.height, 0.0, 1000.0, " points");
        within("points.kind", points.kind, 0.0, 1000.0, " points");
        within("points.decision", points.decision, 0.0, 1000.0, " points");
        within("clean.nothing_called", self.clean.nothing_called, 1.0, 1000.0, " points");
        within("clean.statement", self.clean.statement, 0.0, 1000.0, " points");
        within("sheet_points", self.sheet_points, 1.0, 1000.0, " points");
        let application = &self.application;
        within("application.examined_points", application.examined_points, 0.0, 1000.0, " points");
        within("application.scanning_gain_points", application.scanning_gain_points, 0.0, 1000.0, " points");
        within("application.time_points", application.time_points, 0.0, 1000.0, " points");
        let full = application.full_points_from_percent;
        within("application.full_points_from_percent", full, 1.0, 100.0, " %");
        let none = application.no_points_below_percent;
        within("application.no_points_below_percent", none, 0.0, full, " %, the part with full points");
        let apparatus = &self.apparatus;
        within("apparatus.calibrated_points", apparatus.calibrated_points, 0.0, 1000.0, " points");
        within("apparatus.checked_points", apparatus.checked_points, 0.0, 1000.0, " points");
        within("apparatus.gain_points", apparatus.gain_points, 0.0, 1000.0, " points");
        let acceptance = &self.acceptance;
        within("acceptance.volumetric_length_mm", acceptance.volumetric_length_mm, 0.0, 1000.0, " mm");
        within("acceptance.volumetric_height_mm", acceptance.volumetric_height_mm, 0.0, 1000.0, " mm");
        found.extend(
            acceptance
                .problem(thickness_mm)
                .map(|message| Complaint { path: "scheme.acceptance.rule".to_owned(), message }),
        );
        for index in &self.below_recording_level {
            if usize::try_from(*index).is_ok_and(|index| index >= flaws) {
                found.push(Complaint {
                    path: "scheme.below_recording_level".to_owned(),
                    message: format!("names flaw {index}, but the plate has {flaws}, counted from 0"),
                });
            }
        }
        found
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_default_scheme_is_in_range_and_sums_to_a_hundred() {
        let scheme = Scheme::default();
        assert_eq!(scheme.check(0, 20.0), []);
        assert_eq!(scheme.points.total(), 100.0);
        assert_eq!(scheme.clean.nothing_called + scheme.clean.statement, 100.0);
        let Application { examined_points, scanning_gain_points, time_points, .. } = scheme.application;
        assert_eq!(
            examined_points + scanning_gain_points + time_points,
            practical::LEVEL_2.application_points
        );
        let Apparatus { calibrated_points, checked_points, gain_points } = scheme.apparatus;
        assert_eq!(calibrated_points + checked_points + gain_points, practical::LEVEL_2.apparatus_points);
    }

    #[test]
    fn what_is_out_of_range_is_named_with_its_key_and_range() {
        let mut scheme = Scheme { pass_percent: f64::NAN, ..Scheme::default() };
        scheme.points.detection = 0.0;
        scheme.below_recording_level = vec![1, 2];
        let found = scheme.check(2, 20.0);
        assert_eq!(found.len(), 3);
        assert_eq!(found[0].path, "scheme.pass_percent");
        assert_eq!(found[0].message, "is NaN, expected 0 to 100 %");
        assert_eq!(found[1].path, "scheme.points.detection");
        assert_eq!(found[2].message, "names flaw 2, but the plate has 2, counted from 0");
    }
}
