//! A plate without a flaw that counts: nothing may be called, and that should be said.

use super::{Part, PartRow};
use crate::scheme::Scheme;
use crate::sheet::AnswerSheet;
use crate::words;

/// `wrong` is the number of calls that belong to nothing.
pub(super) fn parts(scheme: &Scheme, sheet: &AnswerSheet, wrong: usize) -> Vec<PartRow> {
    let part = |part, possible, key: &str, got: bool, reason: String| PartRow {
        part,
        points: if got { possible } else { 0.0 },
        possible,
        error_mm: None,
        scheme_line: format!("scheme.clean.{key}"),
        reason,
    };
    let none = wrong == 0;
    let stated = sheet.calls.is_empty() && sheet.no_recordable_indication;
    let called = words::count(sheet.calls.len(), "call");
    vec![
        part(
            Part::NothingCalled,
            scheme.clean.nothing_called,
            "nothing_called",
            none,
            if none {
                "The plate has nothing to record, and nothing was called wrongly.".to_owned()
            } else {
                format!("The plate has nothing to record, but the sheet has {called}.")
            },
        ),
        part(
            Part::Statement,
            scheme.clean.statement,
            "statement",
            stated,
            if stated {
                "“No recordable indication” was stated.".to_owned()
            } else if sheet.calls.is_empty() {
                "The sheet is empty; “no recordable indication” was not stated.".to_owned()
            } else {
                format!("“No recordable indication” cannot stand beside {called}.")
            },
        ),
    ]
}
