//! A plate without a flaw that counts: nothing may be called, and that should be said.

use super::{Part, PartRow, calls};
use crate::said::{Said, said};
use crate::scheme::Scheme;
use crate::sheet::AnswerSheet;

/// `wrong` is the number of calls that belong to nothing.
pub(super) fn parts(scheme: &Scheme, sheet: &AnswerSheet, wrong: usize) -> Vec<PartRow> {
    let part = |part, possible, key: &str, got: bool, reason: Said| PartRow {
        part,
        points: if got { possible } else { 0.0 },
        possible,
        error_mm: None,
        scheme_line: format!("scheme.clean.{key}"),
        reason,
    };
    let none = wrong == 0;
    let stated = sheet.calls.is_empty() && sheet.no_recordable_indication;
    let called = calls(sheet.calls.len());
    vec![
        part(
            Part::NothingCalled,
            scheme.clean.nothing_called,
            "nothing_called",
            none,
            if none {
                said!("said.clean.nothing")
            } else {
                said!("said.clean.calls", calls = called.clone())
            },
        ),
        part(
            Part::Statement,
            scheme.clean.statement,
            "statement",
            stated,
            if stated {
                said!("said.clean.stated")
            } else if sheet.calls.is_empty() {
                said!("said.clean.silent")
            } else {
                said!("said.clean.beside", calls = called)
            },
        ),
    ]
}
