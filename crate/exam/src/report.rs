//! What people read on paper: self-contained HTML that needs no network and no script, and prints on A4. The examiner is told
//! everything, the welder what to grind, the engineer what was examined and found; only the first tells the truth of the plate.

use instrument::bench::SetUpError;
use instrument::procedure::HandedOver;
use maud::{DOCTYPE, Markup, PreEscaped, html as markup};
use specimen::joint::Preparation;

use crate::debrief::shot::{self, Subject};
use crate::debrief::{self, FlawNote};
use crate::fair;
use crate::hand_in::HandIn;
use crate::log::Entry;
use crate::marking::Marks;
use crate::paper::Paper;
use crate::said::{Language, Said, said};
use crate::session_kind::SessionKind;
use crate::sheet::{AnswerSheet, Decision};
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
    /// Where the answers come from.
    pub kind: SessionKind,
    /// The answers.
    pub sheet: &'a AnswerSheet,
    /// The log of a live session; empty for any other.
    pub entries: &'a [Entry],
    /// Time used, ms.
    pub used_ms: Option<u64>,
    /// What the calls were made from, in their order; empty where that is not known.
    pub shots: &'a [Option<Shot>],
    /// The pictures of those, as `data:image/png;base64,…`; anything else is left out.
    pub pictures: &'a [String],
    /// Whether the session came out again when it was replayed, in a sentence; for the examiner.
    pub replayed: Option<&'a Said>,
}

impl<'a> Sitting<'a> {
    /// An answer sheet alone.
    pub fn of_sheet(sheet: &'a AnswerSheet) -> Self {
        Self {
            sitter: "",
            kind: SessionKind::Sheet,
            sheet,
            entries: &[],
            used_ms: None,
            shots: &[],
            pictures: &[],
            replayed: None,
        }
    }
}

impl HandIn {
    /// What reports need of a hand-in. The log of a recorded exam tells of nothing but the answers.
    pub fn sitting(&self, paper: &Paper) -> Sitting<'_> {
        let kind = self.kind(paper);
        Sitting {
            sitter: self.sitter(),
            kind,
            entries: if kind == SessionKind::Live { self.log.entries() } else { &[] },
            used_ms: Some(self.used_ms()),
            ..Sitting::of_sheet(self.sheet())
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
            let marks = SessionKind::Recorded.tell(fair::mark(paper, self.sheet())?);
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

/// The report for a reader in a language; `marked` is only asked where the reader is told of marks.
///
/// # Errors
/// Whatever keeps the marks from being told.
pub fn html<E>(
    reader: Reader,
    language: &Language,
    paper: &Paper,
    sitting: &Sitting,
    marked: impl FnOnce() -> Result<(Marks, Vec<FlawNote>), E>,
) -> Result<String, E> {
    Ok(match reader {
        Reader::Examiner => {
            let (marks, notes) = marked()?;
            examiner(language, paper, sitting, &marks, &notes)
        }
        Reader::Welder => welder(language, paper, sitting),
        Reader::Engineer => engineer(language, paper, sitting),
    })
}

/// The mark and its notes, for the examiner.
pub fn examiner(
    language: &Language,
    paper: &Paper,
    sitting: &Sitting,
    marks: &Marks,
    notes: &[FlawNote],
) -> String {
    let body = examiner::body(language, paper, sitting, marks, notes);
    page(language, "said.title.examiner", paper, sitting, body)
}

/// What is to be ground out, for the welder. Knows the calls alone, not the truth.
pub fn welder(language: &Language, paper: &Paper, sitting: &Sitting) -> String {
    page(language, "said.title.welder", paper, sitting, welder::body(language, paper, sitting))
}

/// What was examined, how, and what was found, for the engineer. Knows calls and log alone, not the truth.
pub fn engineer(language: &Language, paper: &Paper, sitting: &Sitting) -> String {
    page(language, "said.title.engineer", paper, sitting, engineer::body(language, paper, sitting))
}

fn page(language: &Language, title: &'static str, paper: &Paper, sitting: &Sitting, body: Markup) -> String {
    let plate = &paper.plate;
    let mut facts = Facts::new(language);
    facts.row("said.fact.plate", said!("said.name", name = language.text(&plate.title)));
    facts.row(
        "said.fact.weld",
        said!(
            "said.weld",
            joint = joint(language, plate.joint.preparation),
            thickness_mm = plate.thickness_mm,
            length_mm = plate.length_mm
        ),
    );
    let unnamed = sitting.sitter.trim().is_empty();
    let who = if unnamed { said!("said.nobody") } else { said!("said.name", name = sitting.sitter) };
    facts.row("said.fact.by", who);
    let used =
        sitting.used_ms.map_or_else(|| said!("said.unknown"), |ms| said!("said.clock", used_ms = ms as f64));
    facts.row("said.fact.used", used);
    facts.row("said.fact.session", sitting.kind.sentence());
    let caution = language.text("said.caution");
    let body = markup! {
        p.caution { (caution) }
        (facts.table())
        (body)
        p.caution { (caution) " " (language.text("said.simulated")) }
    };
    document(language, said!(title, plate = &*plate.id), "", body)
}

/// A file to print, with what its looks have beside those of all reports.
fn document(language: &Language, title: Said, style: &'static str, body: Markup) -> String {
    let title = language.tell(title);
    markup! {
        (DOCTYPE)
        html lang=(language.tag()) {
            head { meta charset="utf-8"; meta name="viewport" content="width=device-width, initial-scale=1"; title { (title) } style { (PreEscaped(style::STYLE)) (PreEscaped(style)) } }
            body { h1 { (title) } (body) }
        }
    }
    .into_string()
}

/// A heading by its key.
#[inline(never)]
fn heading(language: &Language, key: &'static str) -> Markup {
    markup! { h2 { (language.text(key)) } }
}

/// A sentence of its own.
#[inline(never)]
fn paragraph(language: &Language, said: Said) -> Markup {
    markup! { p { (language.tell(said)) } }
}

/// A drawing under its name.
#[inline(never)]
fn figure(language: &Language, name: Said, drawing: &str) -> Markup {
    markup! { figure { figcaption { (language.tell(name)) } (PreEscaped(drawing)) } }
}

/// Sentences, one below the other.
#[inline(never)]
fn items(language: &Language, all: Vec<Said>) -> Markup {
    markup! { ul { @for said in all { li { (language.tell(said)) } } } }
}

/// A joint by its name, as it stands at the beginning of a sentence.
fn joint(language: &Language, preparation: Preparation) -> String {
    let name = match preparation {
        Preparation::None => "said.no_weld".to_owned(),
        // As the page calls it.
        Preparation::Square => "Square butt".to_owned(),
        known => words::capital(known.words()),
    };
    language.text(&name).to_owned()
}

/// Names, by their keys, and values in two columns.
struct Facts<'a> {
    language: &'a Language,
    rows: Vec<(&'static str, String)>,
}

impl<'a> Facts<'a> {
    fn new(language: &'a Language) -> Self {
        Self { language, rows: Vec::new() }
    }

    #[inline(never)]
    fn row(&mut self, name: &'static str, value: Said) {
        self.rows.push((name, self.language.tell(value)));
    }

    fn table(&self) -> Markup {
        markup! { table.facts { tbody { @for (name, value) in &self.rows { tr { th scope="row" { (self.language.text(name)) } td { (value) } } } } } }
    }
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

fn drawings(language: &Language, drawn: &crate::debrief::Drawings) -> Markup {
    markup! {
        @for (name, drawing) in [("said.view.top", &drawn.top), ("said.view.side", &drawn.side), ("said.view.end", &drawn.end)] {
            (figure(language, said!(name), drawing))
        }
    }
}

/// What the calls were made from, as far as it is known.
fn shots(language: &Language, paper: &Paper, sitting: &Sitting) -> Markup {
    let none = String::new();
    let pictures = sitting.pictures.iter().chain(std::iter::repeat(&none));
    let known = (1..).zip(&sitting.sheet.calls).zip(sitting.shots).zip(pictures);
    let known: Vec<(u32, String, String)> = known
        .filter_map(|(((number, call), shot), picture)| {
            let (snapshot, shot) = (call.snapshot.as_ref()?, shot.as_ref()?);
            let subject = Subject::Call(number);
            let figure = shot::figure(language, paper, subject, snapshot, shot, picture);
            Some((number, shot::sentence(language, paper, subject, snapshot, shot), figure))
        })
        .collect();
    markup! {
        @if !known.is_empty() {
            (heading(language, "said.head.shots"))
            @for (number, words, figure) in known {
                figure { figcaption { (language.tell(said!("said.call", call = number))) } p { (words) } (PreEscaped(figure)) }
            }
        }
    }
}

/// The name of a decision, alone or at the beginning of a sentence.
fn decision(decision: Decision) -> &'static str {
    match decision {
        Decision::Accept => "said.decision.accept",
        Decision::Reject => "said.decision.reject",
    }
}

/// A stretch along the weld or in depth.
fn stretch(ends_mm: [f64; 2]) -> Said {
    said!("said.stretch", from_mm = ends_mm[0], to_mm = ends_mm[1])
}

/// Of two keys the one that goes with a count, with that count.
fn counted(one: &'static str, more: &'static str, number: u32) -> Said {
    said!(if number == 1 { one } else { more }, number = number)
}

fn minutes(number: u32) -> Said {
    counted("said.minutes.one", "said.minutes.more", number)
}
