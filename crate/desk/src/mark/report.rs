//! The report on a class: one HTML file that needs nothing else and prints well.

use exam::class::{Alike, Class, Work};
use exam::marking::CAUTION;
use exam::paper::Paper;
use exam::said::Language;
use exam::words;
use maud::{DOCTYPE, Markup, PreEscaped, html};

const STYLE: &str = "
:root { color-scheme: light dark; --ink: #1f2e2a; --paper: #fffdf8; --edge: #d5cebf; --bar: #0072b2; --wash: #e4ece6 }
@media screen and (prefers-color-scheme: dark) { :root { --ink: #e9eee9; --paper: #1c2825; --edge: #34433e; --bar: #56b4e9; --wash: #2a3d37 } }
body { font: 100%/1.4 system-ui, sans-serif; color: var(--ink); background: var(--paper); max-width: 60rem; margin: 1.5rem auto; padding: 0 1rem }
table { border-collapse: collapse; width: 100%; margin: .5rem 0 1.5rem }
th, td { text-align: left; padding: .25rem .6rem; border-bottom: 1px solid var(--edge); font-variant-numeric: tabular-nums }
td.number, th.number { text-align: right }
.bar { background: var(--wash); width: 10rem; height: .8rem } .bar i { display: block; height: 100%; background: var(--bar) }
.caution { border-left: 4px solid #f2bf4e; padding: .4rem .8rem; background: var(--wash) }
@media print { body { margin: 0; max-width: none } tr { break-inside: avoid } .bar { print-color-adjust: exact } }
";

/// The whole report.
pub fn html(paper: &Paper, class: &Class, works: &[Work], refused: &[String]) -> String {
    let plate = &paper.plate;
    let title = format!("Class at plate {}", plate.id);
    let mut rows: Vec<&Work> = works.iter().collect();
    rows.sort_by(|a, b| b.marks.percent.total_cmp(&a.marks.percent));
    html! {
        (DOCTYPE)
        html lang="en" {
            head { meta charset="utf-8"; meta name="viewport" content="width=device-width, initial-scale=1"; title { (title) } style { (PreEscaped(STYLE)) } }
            body {
                h1 { (title) }
                p { (plate.title) ". For instructors: it tells what is hidden in the plate." }
                p.caution { (CAUTION) }
                (overview(class))
                (flaws(class))
                (kinds(class))
                (alike(class))
                h2 { "Everybody" }
                table {
                    thead { tr { th { "File" } th { "Name" } th.number { "Mark" } th { "Passed" } th.number { "Found" } th.number { "False calls" } th.number { "Time" } th { "Remark" } } }
                    tbody { @for work in rows { (one(work)) } }
                }
                @if !refused.is_empty() {
                    h2 { "Left out" }
                    ul { @for why in refused { li { (why) } } }
                }
            }
        }
    }
    .into_string()
}

fn overview(class: &Class) -> Markup {
    let [low, lower, middle, upper, high] = class.quartiles_percent.map(words::percent);
    html! {
        p {
            (words::count(class.count as usize, "hand-in")) ", " (class.passed) " passed. Marks from " (low) " to " (high)
            ", middle " (middle) ", half of them between " (lower) " and " (upper) ". "
            (format!("{:.1}", class.false_calls)) " calls without a flaw on average."
        }
    }
}

fn flaws(class: &Class) -> Markup {
    html! {
        h2 { "What was found" }
        p { "Bounds: the chance that such a trainee finds the flaw, 95 % of confidence (Clopper and Pearson). Points: what those got who found it." }
        table {
            thead { tr { th { "Flaw" } th { "Kind" } th { "Along the weld" } th.number { "Found" } th {} th { "Bounds" } th.number { "Points" } } }
            tbody {
                @for flaw in &class.flaws {
                    @let share = 100.0 * f64::from(flaw.found) / f64::from(flaw.of.max(1));
                    tr {
                        th scope="row" { (flaw.flaw) } td { (flaw.kind) } td { (words::stretch_mm(flaw.along_mm)) }
                        td.number { (flaw.found) " of " (flaw.of) }
                        td { div.bar { i style=(format!("width: {share:.0}%")) {} } }
                        td { (format!("{:.0} to {:.0} %", flaw.bounds_percent[0], flaw.bounds_percent[1])) }
                        td.number { (flaw.points_percent.map_or("–".to_owned(), words::percent)) }
                    }
                }
            }
        }
    }
}

fn kinds(class: &Class) -> Markup {
    html! {
        h2 { "What was taken for what" }
        @if class.confusion.is_empty() { p { "Nobody named a kind of a flaw that was found." } } @else {
            table {
                thead { tr { th { "It was" } th { "It was called" } th.number { "How often" } } }
                tbody {
                    @for row in &class.confusion {
                        tr { td { (row.kind) } td { (row.called) @if row.kind.to_lowercase() == row.called { " ✓" } } td.number { (row.count) } }
                    }
                }
            }
        }
    }
}

fn alike(class: &Class) -> Markup {
    html! {
        h2 { "Answers worth a look" }
        p {
            "Two people who measure for themselves come upon the same wrong tenth of a millimetre now and then, but not eight times. "
            "Counted are equal values that are not true, each by how many others have it too; what the likeliest pair of a class of this size "
            "has by chance is taken off. Files that share the same values stand in one row. A row is a reason to look at the logs, not a proof."
        }
        @if class.alike.is_empty() { p { "None." } } @else {
            table {
                thead { tr { th { "Files" } th.number { "How many" } th.number { "Equal values" } th.number { "One in" } } }
                tbody {
                    @for row in &class.alike {
                        tr { td { (row.files.join(", ")) } td.number { (row.files.len()) } td.number { (equal(row)) } td.number { (format!("{:.0e}", libm::exp2(row.bits))) } }
                    }
                }
            }
        }
        @if class.alike_left_out > 0 { p { (left_out(class.alike_left_out)) } }
    }
}

/// How many values files share: of some each file has a few less.
pub(super) fn equal(row: &Alike) -> String {
    if row.each < row.equal { format!("{} to {}", row.each, row.equal) } else { row.equal.to_string() }
}

/// That the list was cut.
pub(super) fn left_out(pairs: u32) -> String {
    format!("Left out, for the list is long: {} as much worth a look.", words::count(pairs as usize, "pair"))
}

fn one(work: &Work) -> Markup {
    let marks = &work.marks;
    let found = marks.flaws.iter().filter(|row| row.call.is_some()).count();
    let wrong = marks.calls.iter().filter(|call| call.cost > 0.0).count();
    html! {
        tr {
            td { (work.file) } td { (work.sitter) } td.number { (marks.percent_words) } td { (if marks.passed { "yes" } else { "no" }) }
            td.number { (found) " of " (marks.flaws.len()) } td.number { (wrong) }
            td.number { (work.used_ms.map_or(String::new(), words::clock)) } td { (work.remark(&Language::english())) }
        }
    }
}
