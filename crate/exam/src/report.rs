//! What people read on paper: self-contained HTML that needs no network and no script, and prints on A4. The examiner is told
//! everything, the welder what to grind, the engineer what was examined and found; only the first tells the truth of the plate.

use instrument::bench::SetUpError;
use instrument::procedure::HandedOver;
use maud::{DOCTYPE, Markup, PreEscaped, html as markup};

use crate::debrief::shot::{self, Subject};
use crate::debrief::{self, FlawNote};
use crate::fair;
use crate::hand_in::HandIn;
use crate::log::Entry;
use crate::marking::{CAUTION, Marks};
use crate::paper::Paper;
use crate::sheet::AnswerSheet;
use crate::snapshot::{Rerun, Shot};
use crate::words;

pub mod blank;
mod engineer;
mod examiner;
mod repair;
mod style;
mod verdict;
mod welder;

#[cfg(test)]
mod tests;

/// What a session comes to, as far as reports need it.
#[derive(Clone, Copy)]
pub struct Sitting<'a> {
    /// Who sat, in their own words.
    pub sitter: &'a str,
    /// The answers.
    pub sheet: &'a AnswerSheet,
    /// The log; empty where only a sheet is at hand.
    pub entries: &'a [Entry],
    /// Time used, ms.
    pub used_ms: Option<u64>,
    /// What the calls were made from, in their order; empty where that is not known.
    pub shots: &'a [Option<Shot>],
    /// The pictures of those, as `data:image/png;base64,…`; anything else is left out.
    pub pictures: &'a [String],
    /// Whether the session came out again when it was replayed, in a sentence; for the examiner.
    pub replayed: Option<&'a str>,
}

impl<'a> Sitting<'a> {
    /// An answer sheet alone.
    pub fn of_sheet(sheet: &'a AnswerSheet) -> Self {
        Self { sitter: "", sheet, entries: &[], used_ms: None, shots: &[], pictures: &[], replayed: None }
    }
}

impl HandIn {
    /// What reports need of a hand-in. The log of a recorded exam tells of nothing but the answers.
    pub fn sitting(&self, paper: &Paper) -> Sitting<'_> {
        Sitting {
            sitter: self.sitter(),
            sheet: self.sheet(),
            entries: if self.is_recorded(paper) { &[] } else { self.log.entries() },
            used_ms: Some(self.used_ms()),
            shots: &[],
            pictures: &[],
            replayed: None,
        }
    }

    /// What the calls were made from, computed anew. A line of a recorded exam comes from the plate, not from the recording,
    /// and from a bench as its data sheets say.
    ///
    /// # Errors
    /// A set-up, of procedure or log, that is impossible.
    pub fn shots(&self, paper: &Paper) -> Result<Vec<Option<Shot>>, SetUpError> {
        if !self.is_recorded(paper) {
            return Rerun::new(paper, &self.log).shots();
        }
        let mut recorded = paper.clone();
        recorded.procedure.bench = HandedOver::default();
        Rerun::new(&recorded, &self.log).shots()
    }

    /// The mark and its notes. What the log of a recorded exam does not show is neither marked nor told of.
    ///
    /// # Errors
    /// A set-up, of procedure or log, that is impossible.
    pub fn look_back(&self, paper: &Paper) -> Result<(Marks, Vec<FlawNote>), SetUpError> {
        if self.is_recorded(paper) {
            let marks = fair::mark(paper, self.sheet())?;
            let notes = debrief::notes(paper, &marks);
            return Ok((marks, notes));
        }
        debrief::look_back(paper, &self.log)
    }
}

/// Who a report is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reader {
    /// Everything, truth included.
    Examiner,
    /// What is to be ground out.
    Welder,
    /// What was examined, how, and found.
    Engineer,
}

impl Reader {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Examiner, Self::Welder, Self::Engineer];

    /// The name by which one asks for it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Examiner => "examiner",
            Self::Welder => "welder",
            Self::Engineer => "engineer",
        }
    }

    /// The reader of a name.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|reader| reader.name() == name)
    }
}

/// The report for a reader; `marked` is only asked where the reader is told of marks.
///
/// # Errors
/// Whatever keeps the marks from being told.
pub fn html<E>(
    reader: Reader,
    paper: &Paper,
    sitting: &Sitting,
    marked: impl FnOnce() -> Result<(Marks, Vec<FlawNote>), E>,
) -> Result<String, E> {
    Ok(match reader {
        Reader::Examiner => {
            let (marks, notes) = marked()?;
            examiner(paper, sitting, &marks, &notes)
        }
        Reader::Welder => welder(paper, sitting),
        Reader::Engineer => engineer(paper, sitting),
    })
}

/// The mark and its notes, for the examiner.
pub fn examiner(paper: &Paper, sitting: &Sitting, marks: &Marks, notes: &[FlawNote]) -> String {
    let title = format!("Examiner’s report, plate {}", paper.plate.id);
    page(&title, paper, sitting, examiner::body(paper, sitting, marks, notes))
}

/// What is to be ground out, for the welder. Knows the calls alone, not the truth.
pub fn welder(paper: &Paper, sitting: &Sitting) -> String {
    page(&format!("Repair sketch, plate {}", paper.plate.id), paper, sitting, welder::body(paper, sitting))
}

/// What was examined, how, and what was found, for the engineer. Knows calls and log alone, not the truth.
pub fn engineer(paper: &Paper, sitting: &Sitting) -> String {
    let title = format!("Examination report, plate {}", paper.plate.id);
    page(&title, paper, sitting, engineer::body(paper, sitting))
}

fn page(title: &str, paper: &Paper, sitting: &Sitting, body: Markup) -> String {
    let plate = &paper.plate;
    let who = if sitting.sitter.trim().is_empty() { "no name given" } else { sitting.sitter };
    let joint = words::capital(plate.joint.preparation.words());
    markup! {
        (DOCTYPE)
        html lang="en" {
            head { meta charset="utf-8"; meta name="viewport" content="width=device-width, initial-scale=1"; title { (title) } style { (PreEscaped(style::STYLE)) } }
            body {
                h1 { (title) }
                p.caution { (CAUTION) }
                (facts(&[
                    ("Plate", plate.title.clone()),
                    ("Weld", format!("{joint}, {} thick, {} long", words::mm(plate.thickness_mm), words::mm(plate.length_mm))),
                    ("Examined by", who.to_owned()),
                    ("Time used", sitting.used_ms.map_or("not known".to_owned(), words::clock)),
                ]))
                (body)
                p.caution { (CAUTION) " Plate, flaws and echoes are simulated." }
            }
        }
    }
    .into_string()
}

/// Names and values in two columns.
fn facts(rows: &[(&str, String)]) -> Markup {
    markup! { table.facts { tbody { @for (name, value) in rows { tr { th scope="row" { (name) } td { (value) } } } } } }
}

/// A table with a line of heads.
fn table(heads: &[&str], rows: &[Vec<String>]) -> Markup {
    markup! {
        div.wide tabindex="0" role="region" aria-label=(heads.join(", ")) {
            table {
                thead { tr { @for head in heads { th scope="col" { (head) } } } }
                tbody { @for row in rows { tr { @for cell in row { td { (cell) } } } } }
            }
        }
    }
}

fn drawings(drawn: &crate::debrief::Drawings) -> Markup {
    markup! {
        @for (name, drawing) in [("From above", &drawn.top), ("From side A", &drawn.side), ("In section", &drawn.end)] {
            figure { figcaption { (name) } (PreEscaped(drawing)) }
        }
    }
}

/// What the calls were made from, as far as it is known.
fn shots(paper: &Paper, sitting: &Sitting) -> Markup {
    let none = String::new();
    let pictures = sitting.pictures.iter().chain(std::iter::repeat(&none));
    let known = (1..).zip(&sitting.sheet.calls).zip(sitting.shots).zip(pictures);
    let known: Vec<(u32, String, String)> = known
        .filter_map(|(((number, call), shot), picture)| {
            let (snapshot, shot) = (call.snapshot.as_ref()?, shot.as_ref()?);
            let subject = Subject::Call(number);
            let figure = shot::figure(paper, subject, snapshot, shot, picture);
            Some((number, shot::sentence(paper, subject, snapshot, shot), figure))
        })
        .collect();
    markup! {
        @if !known.is_empty() {
            h2 { "What the calls were made from" }
            @for (number, words, figure) in known {
                figure { figcaption { "Call " (number) } p { (words) } (PreEscaped(figure)) }
            }
        }
    }
}

/// A value of the sheet, or a dash.
fn or_dash(value: Option<f64>, say: fn(f64) -> String) -> String {
    value.map_or_else(|| "–".to_owned(), say)
}
