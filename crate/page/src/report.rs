//! Reports for the browser, of the open session and of a class's works.

use exam::hand_in::HandIn;
use exam::report::{self, Reader, Sitting};
use exam::said::Language;
use exam::session_kind::SessionKind;
use exam::snapshot::{Kept, Shot};
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::bench::{Bench, told};
use crate::exam_desk::ClassDesk;
use crate::session::{Session, SessionError, value};
use crate::snapshot::Shots;
use crate::words::Words;

fn named(reader: &str) -> Result<Reader, SessionError> {
    Reader::named(reader).ok_or_else(|| value("reader", reader, "examiner, welder or engineer"))
}

impl Session {
    /// A report on the session as HTML, once it was handed in; `shots` are what its calls were made from, with their pictures as
    /// data addresses.
    ///
    /// # Errors
    /// An unknown reader; a session not handed in; the examiner's report where the seal keeps the truth.
    pub fn report(
        &self,
        reader: &str,
        language: &Language,
        sitter: &str,
        (shots, pictures): (&[Option<Shot>], &[String]),
    ) -> Result<String, SessionError> {
        let reader = named(reader)?;
        let state = self.log.restore();
        if !state.handed_in {
            return Err(value("report", "not handed in", "the answer sheet to be handed in first"));
        }
        // The log of a recorded exam tells of nothing but the answers.
        let (kind, entries) = match &self.exam {
            Some((_, None)) => (SessionKind::Recorded, &[][..]),
            _ => (SessionKind::Live, self.log.entries()),
        };
        let used_ms = Some(state.t_ms);
        let of_sheet = Sitting::of_sheet(&state.sheet);
        let sitting = Sitting { sitter, kind, entries, used_ms, shots, pictures, ..of_sheet };
        report::html(reader, language, &self.paper, &sitting, || {
            self.marks.clone().ok_or_else(|| value("marks", "sealed", "the instructor to tell them"))
        })
    }
}

#[wasm_bindgen]
impl Bench {
    /// A report on the session for `examiner`, `welder` or `engineer`, as an HTML file to print.
    pub fn report(
        &self,
        reader: &str,
        words: &Words,
        sitter: &str,
        shots: &Shots,
        pictures: Vec<String>,
    ) -> Result<String, JsError> {
        self.session.report(reader, &words.0, sitter, (&shots.shots, &pictures)).map_err(told)
    }
}

impl ClassDesk {
    /// A hand-in of this class's plate.
    fn work_of(&self, file: &str, bytes: &[u8]) -> Result<HandIn, JsError> {
        let work = HandIn::parse(file, bytes)?;
        work.check(file, &self.paper, self.key.as_ref())?;
        Ok(work)
    }
}

#[wasm_bindgen]
impl ClassDesk {
    /// A report on a hand-in of the class.
    pub fn report(
        &self,
        file: &str,
        bytes: &[u8],
        reader: &str,
        words: &Words,
        shots: &Shots,
        pictures: Vec<String>,
    ) -> Result<String, JsError> {
        let reader = named(reader).map_err(told)?;
        let work = self.work_of(file, bytes)?;
        let replayed = match reader {
            Reader::Examiner => work.replay(&self.paper, &mut Kept::default()).map(|found| found.sentence()),
            _ => None,
        };
        let replayed = replayed.as_ref();
        let sitting =
            Sitting { shots: &shots.shots, pictures: &pictures, replayed, ..work.sitting(&self.paper) };
        Ok(report::html(reader, &words.0, &self.paper, &sitting, || work.look_back(&self.paper))?)
    }

    /// What the calls of a hand-in of the class were made from.
    pub fn shots(&self, file: &str, bytes: &[u8]) -> Result<Shots, JsError> {
        Ok(Shots { shots: self.work_of(file, bytes)?.shots(&self.paper)? })
    }
}
