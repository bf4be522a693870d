//! The examiner's report: everything, truth included.

use maud::{Markup, html};

use super::{Sitting, drawings, or_dash, shots, table};
use crate::debrief::{self, FlawNote};
use crate::marking::{CallRow, FlawRow, Marks, PartRow};
use crate::paper::Paper;
use crate::sheet::{AnswerSheet, Decision};
use crate::words;

pub(super) fn body(paper: &Paper, sitting: &Sitting, marks: &Marks, notes: &[FlawNote]) -> Markup {
    html! {
        p { "For the examiner: it tells what is hidden in the plate." }
        h2 { "Result" }
        @for (index, reason) in marks.reasons.iter().enumerate() { p.result[index == 0] { (reason) } }
        @if let Some(sentence) = sitting.replayed { p { (sentence) } }
        h2 { "Answers" }
        @if sitting.sheet.no_recordable_indication { p { "Stated: no recordable indication." } }
        (answers(sitting.sheet))
        (shots(paper, sitting))
        h2 { "Truth and calls" }
        (drawings(&debrief::drawings(paper, sitting.sheet, Some(marks))))
        h2 { "Flaws" }
        @if marks.flaws.is_empty() { p { "The plate has no flaw." } }
        @for row in &marks.flaws { (flaw(row, notes.iter().find(|note| note.flaw == row.number))) }
        @if !marks.clean.is_empty() { (parts(&marks.clean)) }
        @if !marks.calls.is_empty() { h2 { "Calls" } ul { @for row in &marks.calls { li { (row.reason) (cost(row)) } } } }
        @if !marks.apparatus.is_empty() { h2 { "Knowledge of the apparatus" } (parts(&marks.apparatus)) }
        @if !marks.application.is_empty() { h2 { "Application of the method" } (parts(&marks.application)) }
        p { (marks.not_marked) }
        p.small { "Marked against edition " (marks.paper_digest) " of the plate." }
    }
}

/// The sheet as a table.
pub(super) fn answers(sheet: &AnswerSheet) -> Markup {
    let rows: Vec<Vec<String>> = (1..)
        .zip(&sheet.calls)
        .map(|(number, call): (u32, _)| {
            let along = call.along_mm().map_or_else(|| "–".to_owned(), words::stretch_mm);
            let from = match (call.side, call.leg) {
                (Some(side), Some(leg)) => format!("{side:?}, leg {leg}"),
                (Some(side), None) => format!("{side:?}"),
                (None, Some(leg)) => format!("leg {leg}"),
                (None, None) => "–".to_owned(),
            };
            vec![
                number.to_string(),
                call.kind.map_or("–", |kind| kind.words()).to_owned(),
                along,
                or_dash(call.offset_mm, words::across_mm),
                or_dash(call.depth_mm, words::mm),
                or_dash(call.height_mm, words::mm),
                or_dash(call.amplitude_db, words::db),
                from,
                call.decision.map_or("–", Decision::words).to_owned(),
                call.remark.clone(),
            ]
        })
        .collect();
    if rows.is_empty() {
        return html! { p { "No calls." } };
    }
    let heads = [
        "Call",
        "Kind",
        "Along",
        "Across",
        "Depth of middle",
        "Height",
        "Echo",
        "From",
        "Decision",
        "Remark",
    ];
    table(&heads, &rows)
}

fn flaw(row: &FlawRow, note: Option<&FlawNote>) -> Markup {
    html! {
        h3 { (row.reason) }
        @if let Some(note) = note {
            ul {
                @for sentence in note.session.iter() { li { (sentence) } }
                @if let Some(sentence) = &note.told_by { li { (sentence) } }
                @for sentence in &note.sentences { li { (sentence) } }
            }
        }
        @if !row.parts.is_empty() { (parts(&row.parts)) }
    }
}

fn parts(rows: &[PartRow]) -> Markup {
    let rows: Vec<Vec<String>> = rows
        .iter()
        .map(|row| {
            let points = format!("{} of {}", words::points(row.points), words::points(row.possible));
            vec![points, row.reason.to_string(), row.scheme_line.clone()]
        })
        .collect();
    html! { div.parts { (table(&["Points", "Why", "Line of the plate file"], &rows)) } }
}

fn cost(row: &CallRow) -> String {
    row.scheme_line.as_ref().map_or_else(String::new, |key| format!(" ({key})"))
}
