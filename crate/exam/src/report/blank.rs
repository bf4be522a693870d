//! A blank answer sheet: one HTML file that needs nothing else and prints on one page across.

use instrument::pose::Side;
use maud::{DOCTYPE, PreEscaped, html};
use specimen::flaw::FlawKind;

use crate::marking::CAUTION;
use crate::paper::Paper;
use crate::words;

const STYLE: &str = "
@page { size: A4 landscape; margin: 12mm }
:root { color-scheme: light dark; --ink: #1f2e2a; --paper: #fffdf8; --edge: #77716a }
@media screen and (prefers-color-scheme: dark) { :root { --ink: #e9eee9; --paper: #1c2825; --edge: #8b9a94 } }
body { font: 90%/1.35 system-ui, sans-serif; color: var(--ink); background: var(--paper); max-width: 70rem; margin: 1rem auto; padding: 0 1rem }
h1 { font-size: 1.3rem; margin: 0 0 .4rem }
p { margin: .3rem 0 }
.who { display: flex; flex-wrap: wrap; gap: .6rem 1.5rem; margin: .8rem 0 }
.who span { flex: 1 1 12rem; border-bottom: 1px solid var(--edge); min-height: 1.8rem }
.wide { overflow-x: auto }
table { border-collapse: collapse; width: 100%; min-width: 56rem; margin: .5rem 0 }
th, td { border: 1px solid var(--edge); padding: .2rem .35rem; text-align: left; vertical-align: top; font-weight: normal }
thead th { font-weight: 600 }
tbody td { height: 1.7rem }
.remark { width: 18% } .kind { width: 20% }
.box { display: inline-block; width: .9em; height: .9em; border: 1px solid currentColor; vertical-align: -.1em }
.small { font-size: .85em }
@media print { :root { --ink: #000; --paper: #fff; --edge: #555 } body { margin: 0; padding: 0; max-width: none; font-size: 10pt } tbody td { height: 6mm } tr { break-inside: avoid } table { min-width: 0 } }
";

/// The heads of the columns, each with what is written under it.
const COLUMNS: [(&str, &str); 12] = [
    ("Call", ""),
    ("Kind", "number from below"),
    ("Start", "mm from the datum"),
    ("End", "mm from the datum"),
    ("Across", "mm, − side A, + side B"),
    ("Depth", "middle, mm"),
    ("Height", "mm"),
    ("Highest echo", "dB to the reference"),
    ("Side", "A or B"),
    ("Leg", ""),
    ("Decision", "accept, reject"),
    ("Remark", ""),
];

/// The sheet of a plate with so many rows; tells nothing of what is in the plate.
pub fn html(paper: &Paper, rows: usize) -> String {
    let (plate, procedure) = (&paper.plate, &paper.procedure);
    let title = format!("Answer sheet, plate {}", plate.id);
    let sides: Vec<&str> =
        procedure.sides.iter().map(|side| if *side == Side::A { "side A" } else { "side B" }).collect();
    html! {
        (DOCTYPE)
        html lang="en" {
            head { meta charset="utf-8"; meta name="viewport" content="width=device-width, initial-scale=1"; title { (title) } style { (PreEscaped(STYLE)) } }
            body {
                h1 { (title) }
                p {
                    (plate.title) ". " (words::mm(plate.length_mm)) " long, " (words::mm(plate.thickness_mm)) " thick. Scan from "
                    (sides.join(" and ")) ". Record from " (words::db(procedure.recording_level_db)) " to the reference. "
                    (words::count(procedure.time_minutes as usize, "minute")) "."
                }
                div.who { span { "Name" } span { "Date" } span { "Began" } span { "Ended" } }
                p { span.box {} " No recordable indication" }
                div.wide tabindex="0" role="region" aria-label="Calls" {
                    table {
                        thead { tr { @for (head, note) in COLUMNS { th.kind[head == "Kind"].remark[head == "Remark"] scope="col" { (head) @if !note.is_empty() { br; span.small { (note) } } } } } }
                        tbody { @for row in 1..=rows { tr { th scope="row" { (row) } @for _ in 1..COLUMNS.len() { td {} } } } }
                    }
                }
                p.small { "Kinds: " @for (index, kind) in FlawKind::ALL.into_iter().enumerate() { @if index > 0 { " · " } (index + 1) " " (kind.words()) } }
                p.small { (CAUTION) }
            }
        }
    }
    .into_string()
}
