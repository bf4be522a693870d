//! The mark for one flaw.

use specimen::flaw::{Extent, Flaw};

use super::{Decision, FlawRow, Part, PartRow, place_across, right_decision};
use crate::matching::{length, middle};
use crate::paper::Paper;
use crate::said::{Said, said};
use crate::scheme::Scheme;
use crate::sheet::Call;

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
    let ([from_mm, to_mm], [top_mm, bottom_mm]) = (extent.along_mm, extent.depth_mm);
    let what = said!(
        "said.flaw",
        flaw = number,
        kind = flaw.kind,
        from_mm = from_mm,
        to_mm = to_mm,
        top_mm = top_mm,
        bottom_mm = bottom_mm
    );
    let reason = match call_number {
        Some(call) if !counted => said!("said.flaw.found_low", what = what, call = call),
        None if !counted => said!("said.flaw.low", what = what),
        Some(call) => {
            said!("said.flaw.found", what = what, call = call, got_points = points, of_points = possible)
        }
        None if flaw.mandatory && scheme.missed_mandatory_fails => said!("said.flaw.mandatory", what = what),
        None => said!("said.flaw.missed", what = what),
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
    name: Said,
    possible: f64,
    tolerance_mm: f64,
    called: Option<f64>,
    truth: f64,
    say: fn(f64) -> Said,
}

impl Measured {
    fn row(self) -> PartRow {
        let what = self.name;
        let scheme_line = format!("scheme.points.{}", self.key);
        let Some(called) = self.called.filter(|value| value.is_finite()) else {
            return PartRow {
                part: self.part,
                points: 0.0,
                possible: self.possible,
                error_mm: None,
                scheme_line,
                reason: said!("said.measured.missing", what = what, truth = (self.say)(self.truth)),
            };
        };
        let error_mm = (called - self.truth).abs();
        let share = share_of_points(error_mm, self.tolerance_mm);
        let (told, truth) = ((self.say)(called), (self.say)(self.truth));
        let limit_mm = self.tolerance_mm;
        let reason = if share >= 1.0 {
            said!(
                "said.measured.within",
                what = what,
                called = told,
                truth = truth,
                error_mm = error_mm,
                limit_mm = limit_mm
            )
        } else {
            said!(
                "said.measured.beyond",
                what = what,
                called = told,
                truth = truth,
                error_mm = error_mm,
                limit_mm = limit_mm,
                none_mm = 2.0 * limit_mm
            )
        };
        PartRow {
            part: self.part,
            points: share * self.possible,
            possible: self.possible,
            error_mm: Some(error_mm),
            scheme_line,
            reason,
        }
    }
}

fn sized(value_mm: f64) -> Said {
    said!("said.length", value_mm = value_mm)
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
    right: &(Option<Decision>, Said),
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
            name: said!("said.what.along"),
            possible: points.along,
            tolerance_mm: tolerance.along_mm,
            called: along.map(middle),
            truth: middle(extent.along_mm),
            say: sized,
        },
        Measured {
            part: Part::Across,
            key: "across",
            name: said!("said.what.across"),
            possible: points.across,
            tolerance_mm: tolerance.across_mm,
            called: call.offset_mm,
            truth: middle(extent.across_mm),
            say: place_across,
        },
        Measured {
            part: Part::Length,
            key: "length",
            name: said!("said.what.length"),
            possible: points.length,
            tolerance_mm: tolerance.length_mm.max(tolerance.length_share * true_length),
            called: both_ends.map(length),
            truth: true_length,
            say: sized,
        },
        Measured {
            part: Part::Depth,
            key: "depth",
            name: said!("said.what.depth"),
            possible: points.depth,
            tolerance_mm: tolerance.depth_mm.max(tolerance.depth_share * true_depth),
            called: call.depth_mm,
            truth: true_depth,
            say: sized,
        },
        Measured {
            part: Part::Height,
            key: "height",
            name: said!("said.what.height"),
            possible: points.height,
            tolerance_mm: tolerance.height_mm.max(tolerance.height_share * true_height),
            called: call.height_mm,
            truth: true_height,
            say: sized,
        },
    ];
    let mut rows = vec![PartRow {
        part: Part::Detection,
        points: points.detection,
        possible: points.detection,
        error_mm: None,
        scheme_line: "scheme.points.detection".to_owned(),
        reason: said!("said.called"),
    }];
    rows.extend(measured.into_iter().map(Measured::row));
    rows.push(kind(scheme, flaw, call));
    rows.push(decision(scheme, right, call));
    rows
}

fn kind(scheme: &Scheme, flaw: &Flaw, call: &Call) -> PartRow {
    let (possible, truth) = (scheme.points.kind, flaw.kind);
    let (points, line, reason) = match call.kind {
        Some(kind) if kind == truth => {
            (possible, "scheme.points.kind", said!("said.kind.right", true_kind = truth))
        }
        Some(kind) if kind.is_planar() == truth.is_planar() => (
            possible * scheme.kind_class_share,
            "scheme.kind_class_share",
            said!(
                if kind.is_planar() { "said.kind.planar" } else { "said.kind.volumetric" },
                called_kind = kind,
                true_kind = truth
            ),
        ),
        Some(kind) => (
            0.0,
            "scheme.points.kind",
            said!(
                if kind.is_planar() { "said.kind.not_planar" } else { "said.kind.not_volumetric" },
                called_kind = kind,
                true_kind = truth
            ),
        ),
        None => (0.0, "scheme.points.kind", said!("said.kind.missing", true_kind = truth)),
    };
    PartRow { part: Part::Kind, points, possible, error_mm: None, scheme_line: line.to_owned(), reason }
}

fn decision(scheme: &Scheme, (right, why): &(Option<Decision>, Said), call: &Call) -> PartRow {
    let told = |decision: Decision| match decision {
        Decision::Accept => said!("said.decision.accept"),
        Decision::Reject => said!("said.decision.reject"),
    };
    let given = call.decision.map_or_else(|| said!("said.decision.none"), told);
    let (possible, why) = (if right.is_some() { scheme.points.decision } else { 0.0 }, why.clone());
    let got = right.is_some() && call.decision == *right;
    PartRow {
        part: Part::Decision,
        points: if got { possible } else { 0.0 },
        possible,
        error_mm: None,
        scheme_line: "scheme.points.decision".to_owned(),
        reason: match right {
            _ if got => said!("said.decision.right", given = given, why = why),
            Some(right) => said!("said.decision.wrong", given = given, right = told(*right), why = why),
            None => said!("said.decision.unknown", given = given, why = why),
        },
    }
}
