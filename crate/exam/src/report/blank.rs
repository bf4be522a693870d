//! A blank answer sheet: one HTML file that needs nothing else and prints on one page across.

use maud::html;
use specimen::flaw::FlawKind;

use super::{document, minutes};
use crate::paper::Paper;
use crate::said::{Language, said};

/// What it has beside the looks of reports: room to write, on one page across.
pub(super) const STYLE: &str = "@page { size: A4 landscape; margin: 12mm }
body { max-width: 70rem }
.who { display: flex; flex-wrap: wrap; gap: .6rem 1.5rem; margin: .8rem 0 }
.who span { flex: 1 1 12rem; border-bottom: 1px solid var(--edge); min-height: 1.8rem }
table { min-width: 56rem }
tbody td { height: 1.7rem }
.remark { width: 18% } .kind { width: 20% }
.box { display: inline-block; width: .9em; height: .9em; border: 1px solid currentColor; vertical-align: -.1em }
@media print { tbody td { height: 6mm } table { min-width: 0 } }
";

/// The heads of the columns, each with what is written under it, by their keys.
const COLUMNS: [(&str, &str); 12] = [
    ("said.column.call", ""),
    ("said.column.kind", "said.blank.number"),
    ("said.column.start", "said.blank.datum"),
    ("said.column.end", "said.blank.datum"),
    ("said.column.across", "said.blank.across"),
    ("said.fact.depth", "said.blank.middle"),
    ("said.what.height", "said.blank.unit"),
    ("said.column.highest", "said.blank.level"),
    ("said.column.side", "said.blank.side"),
    ("said.column.leg", ""),
    ("said.column.decision", "said.blank.decision"),
    ("said.column.remark", ""),
];

/// The sheet of a plate with so many rows; tells nothing of what is in the plate.
pub fn html(language: &Language, paper: &Paper, rows: usize) -> String {
    let (plate, procedure) = (&paper.plate, &paper.procedure);
    let text = |key| language.text(key);
    let words = said!(
        "said.blank.words",
        title = language.text(&plate.title),
        length_mm = plate.length_mm,
        thickness_mm = plate.thickness_mm,
        sides = procedure.sides.iter().map(|&side| said!("said.side", side = side)).collect::<Vec<_>>(),
        level_db = procedure.recording_level_db,
        minutes = minutes(procedure.time_minutes)
    );
    let kinds =
        (1..).zip(FlawKind::ALL).map(|(number, kind): (u32, _)| format!("{number} {}", language.kind(kind)));
    let kinds = said!("said.blank.kinds", kinds = kinds.collect::<Vec<_>>().join(" · "));
    let note = |key| language.tell(said!(key, unit = language.unit()));
    let body = html! {
        p { (language.tell(words)) }
        div.who { @for key in ["said.blank.name", "said.blank.date", "said.blank.began", "said.blank.ended"] { span { (text(key)) } } }
        p { span.box {} " " (text("said.blank.nothing")) }
        div.wide tabindex="0" role="region" aria-label=(text("said.head.calls")) {
            table {
                thead { tr { @for (head, below) in COLUMNS { th.kind[head == "said.column.kind"].remark[head == "said.column.remark"] scope="col" { (text(head)) @if !below.is_empty() { br; span.small { (note(below)) } } } } } }
                tbody { @for row in 1..=rows { tr { th scope="row" { (row) } @for _ in 1..COLUMNS.len() { td {} } } } }
            }
        }
        p.small { (language.tell(kinds)) }
        p.small { (text("said.caution")) }
    };
    document(language, said!("said.title.sheet", plate = &*plate.id), STYLE, body)
}
