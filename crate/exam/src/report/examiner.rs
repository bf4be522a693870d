//! The examiner's report: everything, truth included.

use maud::{Markup, html};

use super::{Sitting, decision, drawings, heading, paragraph, shots, stretch, table};
use crate::debrief::{self, FlawNote};
use crate::marking::{CallRow, FlawRow, Marks, PartRow, place_across};
use crate::paper::Paper;
use crate::said::{Language, Said, said};
use crate::sheet::AnswerSheet;

pub(super) fn body(
    language: &Language,
    paper: &Paper,
    sitting: &Sitting,
    marks: &Marks,
    notes: &[FlawNote],
) -> Markup {
    let say = |said: &Said| language.say(said);
    html! {
        (paragraph(language, said!("said.examiner")))
        (heading(language, "said.head.result"))
        @for (index, reason) in marks.reasons.iter().enumerate() { p.result[index == 0] { (say(reason)) } }
        p { (say(&marks.not_marked)) }
        @if let Some(sentence) = sitting.replayed { p { (say(sentence)) } }
        (heading(language, "said.head.answers"))
        (answers(language, sitting.sheet))
        (shots(language, paper, sitting))
        (heading(language, "said.head.truth"))
        (drawings(language, &debrief::drawings(language, paper, sitting.sheet, Some(marks))))
        (heading(language, "said.head.flaws"))
        @if marks.flaws.is_empty() { (paragraph(language, said!("said.no_flaw"))) }
        @for row in &marks.flaws { (flaw(language, row, notes.iter().find(|note| note.flaw == row.number))) }
        @if !marks.clean.is_empty() { (parts(language, &marks.clean)) }
        @if !marks.calls.is_empty() { (heading(language, "said.head.calls")) ul { @for row in &marks.calls { li { (say(&row.reason)) (cost(row)) } } } }
        @if !marks.apparatus.is_empty() { (heading(language, "said.head.apparatus")) (parts(language, &marks.apparatus)) }
        @if !marks.application.is_empty() { (heading(language, "said.head.application")) (parts(language, &marks.application)) }
        p.small { (language.tell(said!("said.edition", edition = &*marks.paper_digest))) }
    }
}

/// What was stated, and the sheet as a table.
pub(super) fn answers(language: &Language, sheet: &AnswerSheet) -> Markup {
    let or_dash = |said: Option<Said>| said.map_or_else(|| "–".to_owned(), |said| language.tell(said));
    let value = |name: &str, value: Option<f64>| {
        value.map_or_else(|| "–".to_owned(), |value| language.value(name, value))
    };
    let rows: Vec<Vec<String>> = (1..)
        .zip(&sheet.calls)
        .map(|(number, call): (u32, _)| {
            let from = match (call.side, call.leg) {
                (Some(side), Some(leg)) => {
                    language.tell(said!("said.side.leg", side = side, leg = u32::from(leg)))
                }
                (Some(side), None) => format!("{side:?}"),
                (None, leg) => or_dash(leg.map(|leg| said!("said.leg", leg = u32::from(leg)))),
            };
            vec![
                number.to_string(),
                call.kind.map_or("–", |kind| language.kind(kind)).to_owned(),
                or_dash(call.along_mm().map(stretch)),
                or_dash(call.offset_mm.map(place_across)),
                value("mm", call.depth_mm),
                value("mm", call.height_mm),
                value("db", call.amplitude_db),
                from,
                call.decision.map_or("–", |own| language.text(decision(own))).to_owned(),
                call.remark.clone(),
            ]
        })
        .collect();
    let heads = [
        "said.column.call",
        "said.column.kind",
        "said.column.along",
        "said.column.across",
        "said.column.middle",
        "said.what.height",
        "said.column.echo",
        "said.column.from",
        "said.column.decision",
        "said.column.remark",
    ];
    html! {
        @if sheet.no_recordable_indication { (paragraph(language, said!("said.stated"))) }
        @if rows.is_empty() { (paragraph(language, said!("said.no_calls"))) }
        @else { (table(&heads.map(|head| language.text(head)), &rows)) }
    }
}

fn flaw(language: &Language, row: &FlawRow, note: Option<&FlawNote>) -> Markup {
    html! {
        h3 { (language.say(&row.reason)) }
        @if let Some(note) = note {
            ul { @for sentence in note.session.iter().chain(&note.told_by).chain(&note.sentences) { li { (language.say(sentence)) } } }
        }
        @if !row.parts.is_empty() { (parts(language, &row.parts)) }
    }
}

fn parts(language: &Language, rows: &[PartRow]) -> Markup {
    let rows: Vec<Vec<String>> = rows
        .iter()
        .map(|row| {
            let points = said!("said.points", got_points = row.points, of_points = row.possible);
            vec![language.tell(points), language.say(&row.reason), row.scheme_line.clone()]
        })
        .collect();
    let heads = ["said.column.points", "said.column.why", "said.column.line"];
    html! { div.parts { (table(&heads.map(|head| language.text(head)), &rows)) } }
}

fn cost(row: &CallRow) -> String {
    row.scheme_line.as_ref().map_or_else(String::new, |key| format!(" ({key})"))
}
