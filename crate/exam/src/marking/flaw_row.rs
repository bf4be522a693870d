//! The mark for one flaw.

use specimen::flaw::{Extent, Flaw};

use super::{Decision, FlawRow, Part, PartRow, right_decision};
use crate::matching::{length, middle};
use crate::paper::Paper;
use crate::scheme::Scheme;
use crate::sheet::Call;
use crate::words;

/// The row of a flaw with its call, if one belongs to it. `place` is its row and its place in the plate file, the
/// call comes with its place on the sheet; all from 0. With the extent comes the highest echo, where it is known.
pub(super) fn row(
    paper: &Paper,
    place: (usize, usize),
    (extent, echo_db): (Extent, Option<f64>),
    counted: bool,
    call: Option<(usize, &Call)>,
) -> FlawRow {
    let (scheme, flaw) = (&paper.scheme, &paper.plate.flaws[place.1]);
    let right = right_decision(paper, flaw, &extent, echo_db);
    let parts = call.map_or_else(Vec::new, |(_, call)| parts(scheme, flaw, &extent, &right, call));
    // Where the right decision is not known nobody is asked for it.
    let unasked = if right.0.is_none() { scheme.points.decision } else { 0.0 };
    let (points, possible) = if counted {
        (parts.iter().map(|part| part.points).sum(), scheme.points.total() - unasked)
    } else {
        (0.0, 0.0)
    };
    let number = place.0 as u32 + 1;
    let call_number = call.map(|(index, _)| index as u32 + 1);
    let what = format!(
        "Flaw {number}, {}, {} along the weld, depth {}",
        flaw.kind.words().to_lowercase(),
        words::stretch_mm(extent.along_mm),
        words::stretch_mm(extent.depth_mm),
    );
    let reason = match call_number {
        Some(call) if !counted => format!(
            "{what}: found by call {call}, though with this procedure it stays below the recording level; it is not \
             counted."
        ),
        None if !counted => format!(
            "{what}: not called, and rightly so: with this procedure it stays below the recording level. It is not \
             counted."
        ),
        Some(call) => format!(
            "{what}: found by call {call}, {} of {} points.",
            words::points(points),
            words::points(possible)
        ),
        None if flaw.mandatory && scheme.missed_mandatory_fails => {
            format!("{what}: not called. It is mandatory, so the plate is failed.")
        }
        None => format!("{what}: not called."),
    };
    FlawRow {
        number,
        index: place.1 as u32,
        kind: flaw.kind.words().to_owned(),
        extent,
        decision: right.0,
        mandatory: flaw.mandatory && counted,
        counted,
        call: call_number,
        points,
        possible,
        parts,
        reason,
    }
}

/// A length that was called, against the true one.
struct Measured {
    part: Part,
    key: &'static str,
    name: &'static str,
    possible: f64,
    tolerance_mm: f64,
    called: Option<f64>,
    truth: f64,
    say: fn(f64) -> String,
}

impl Measured {
    fn row(self) -> PartRow {
        let name = words::capital(self.name);
        let scheme_line = format!("scheme.points.{}", self.key);
        let Some(called) = self.called.filter(|value| value.is_finite()) else {
            return PartRow {
                part: self.part,
                points: 0.0,
                possible: self.possible,
                error_mm: None,
                scheme_line,
                reason: format!("{name} not given; true: {}.", (self.say)(self.truth)),
            };
        };
        let error_mm = (called - self.truth).abs();
        let share = share_of_points(error_mm, self.tolerance_mm);
        let rule = if share >= 1.0 {
            format!("within {}", words::mm(self.tolerance_mm))
        } else {
            format!(
                "full points within {}, none from {} on",
                words::mm(self.tolerance_mm),
                words::mm(2.0 * self.tolerance_mm)
            )
        };
        PartRow {
            part: self.part,
            points: share * self.possible,
            possible: self.possible,
            error_mm: Some(error_mm),
            scheme_line,
            reason: format!(
                "{name} called {}, true {}: {} off; {rule}.",
                (self.say)(called),
                (self.say)(self.truth),
                words::mm(error_mm)
            ),
        }
    }
}

/// Full points within the tolerance, then falling in proportion to none at twice the tolerance.
fn share_of_points(error_mm: f64, tolerance_mm: f64) -> f64 {
    // What is taken off the error forgives the last bits of sums of tenths.
    (2.0 - (error_mm - 1e-9).max(0.0) / tolerance_mm).clamp(0.0, 1.0)
}

fn parts(
    scheme: &Scheme,
    flaw: &Flaw,
    extent: &Extent,
    right: &(Option<Decision>, String),
    call: &Call,
) -> Vec<PartRow> {
    let (points, tolerance) = (&scheme.points, &scheme.tolerance);
    let along = call.along_mm();
    let (true_length, true_depth, true_height) =
        (length(extent.along_mm), middle(extent.depth_mm), length(extent.depth_mm));
    let both_ends = along.filter(|_| call.start_mm.is_some() && call.end_mm.is_some());
    let measured = [
        Measured {
            part: Part::Along,
            key: "along",
            name: "middle along the weld",
            possible: points.along,
            tolerance_mm: tolerance.along_mm,
            called: along.map(middle),
            truth: middle(extent.along_mm),
            say: words::mm,
        },
        Measured {
            part: Part::Across,
            key: "across",
            name: "place across the weld",
            possible: points.across,
            tolerance_mm: tolerance.across_mm,
            called: call.offset_mm,
            truth: middle(extent.across_mm),
            say: words::across_mm,
        },
        Measured {
            part: Part::Length,
            key: "length",
            name: "length",
            possible: points.length,
            tolerance_mm: tolerance.length_mm.max(tolerance.length_share * true_length),
            called: both_ends.map(length),
            truth: true_length,
            say: words::mm,
        },
        Measured {
            part: Part::Depth,
            key: "depth",
            name: "depth of the middle",
            possible: points.depth,
            tolerance_mm: tolerance.depth_mm.max(tolerance.depth_share * true_depth),
            called: call.depth_mm,
            truth: true_depth,
            say: words::mm,
        },
        Measured {
            part: Part::Height,
            key: "height",
            name: "height",
            possible: points.height,
            tolerance_mm: tolerance.height_mm.max(tolerance.height_share * true_height),
            called: call.height_mm,
            truth: true_height,
            say: words::mm,
        },
    ];
    let mut rows = vec![PartRow {
        part: Part::Detection,
        points: points.detection,
        possible: points.detection,
        error_mm: None,
        scheme_line: "scheme.points.detection".to_owned(),
        reason: "The flaw was called.".to_owned(),
    }];
    rows.extend(measured.into_iter().map(Measured::row));
    rows.push(kind(scheme, flaw, call));
    rows.push(decision(scheme, right, call));
    rows
}

fn kind(scheme: &Scheme, flaw: &Flaw, call: &Call) -> PartRow {
    let possible = scheme.points.kind;
    let truth = flaw.kind.words().to_lowercase();
    let class = |planar: bool| if planar { "planar" } else { "volumetric" };
    let (points, line, reason) = match call.kind {
        Some(kind) if kind == flaw.kind => {
            (possible, "scheme.points.kind", format!("Kind called rightly: {truth}."))
        }
        Some(kind) if kind.is_planar() == flaw.kind.is_planar() => (
            possible * scheme.kind_class_share,
            "scheme.kind_class_share",
            format!(
                "Kind called {}, true {truth}: another kind, but both are {}.",
                kind.words().to_lowercase(),
                class(kind.is_planar())
            ),
        ),
        Some(kind) => (
            0.0,
            "scheme.points.kind",
            format!(
                "Kind called {} ({}), true {truth} ({}).",
                kind.words().to_lowercase(),
                class(kind.is_planar()),
                class(flaw.kind.is_planar())
            ),
        ),
        None => (0.0, "scheme.points.kind", format!("Kind not given; true: {truth}.")),
    };
    PartRow { part: Part::Kind, points, possible, error_mm: None, scheme_line: line.to_owned(), reason }
}

fn decision(scheme: &Scheme, (right, why): &(Option<Decision>, String), call: &Call) -> PartRow {
    let given = call.decision.map_or("not given", Decision::words);
    let possible = if right.is_some() { scheme.points.decision } else { 0.0 };
    let got = right.is_some() && call.decision == *right;
    PartRow {
        part: Part::Decision,
        points: if got { possible } else { 0.0 },
        possible,
        error_mm: None,
        scheme_line: "scheme.points.decision".to_owned(),
        reason: match right {
            _ if got => format!("Decision {given} is right: {why}."),
            Some(right) => format!("Decision {given}, right is {}: {why}.", right.words()),
            None => format!("Decision {given}; not marked, for what is right is not known: {why}."),
        },
    }
}
