//! Recorded exams for the browser: making the file from a plate, and sitting one.

use exam::npz::Writing;
use exam::paper::Paper;
use exam::recorded_exam::{self, ENTRY, RecordedExam, RecordedExamError};
use exam::said::Said;
use exam::seal::Terms;
use serde::Serialize;
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::bench::{Bench, told};
use crate::scan::{Saving, Scan};
use crate::session::{Session, SessionError};
use crate::words::Words;

/// What a recording's file tells of its exam.
#[derive(Serialize)]
struct Told {
    terms: Terms,
    /// What [`Bench::from_recorded_exam`] opens.
    exam: String,
}

/// The exam that a recording's file brings, as JSON; nothing for a recording that is no exam.
#[wasm_bindgen]
pub fn recorded_exam(name: &str, file: &[u8]) -> Result<Option<String>, JsError> {
    let Some(exam) = RecordedExam::from_file(name, file)? else { return Ok(None) };
    let told = Told { terms: Terms::of(&exam.paper()), exam: exam.to_toml()? };
    Ok(Some(serde_json::to_string(&told)?))
}

impl Session {
    /// Opens a recorded exam. `name` only goes into the errors.
    ///
    /// # Errors
    /// A text that is no exam.
    pub fn of_recorded_exam(name: &str, text: &[u8]) -> Result<Self, SessionError> {
        let paper = RecordedExam::parse(name, text)?.paper();
        let exam = Some((Terms::of(&paper), None));
        Ok(Self { exam, ..Self::new(paper)? })
    }
}

#[wasm_bindgen]
impl Bench {
    /// Opens a recorded exam: drawing, procedure and answer sheet. There is no flaw in its plate.
    pub fn from_recorded_exam(name: &str, text: &[u8]) -> Result<Bench, JsError> {
        Ok(Self { session: Session::of_recorded_exam(name, text).map_err(told)? })
    }

    /// Opens a plate that is to be recorded for an exam of some name.
    pub fn to_record(words: &Words, name: &str, plate: &[u8], exam: &str) -> Result<Bench, JsError> {
        let refused = |error| match error {
            RecordedExamError::Block => words.refusal(&Said::new("said.record.block", Vec::new())),
            other => other.into(),
        };
        let paper = recorded_exam::to_record(&Paper::parse(name, plate)?, exam).map_err(refused)?;
        Ok(Self { session: Session::new(paper).map_err(told)? })
    }

    /// Index offsets that the procedure allows, `count` of them evenly from the nearest to the farthest, mm.
    pub fn raster_mm(&self, count: u32) -> Vec<f64> {
        let [near, far] = self.session.paper.procedure.index_offset_mm;
        match count {
            0 | 1 => vec![f64::midpoint(near, far)],
            _ => (0..count).map(|k| near + (far - near) * f64::from(k) / f64::from(count - 1)).collect(),
        }
    }
}

#[wasm_bindgen]
impl Saving {
    /// Begins a recorded exam: the scan of a bench that [`Bench::to_record`] gave.
    pub fn exam(scan: &Scan, bench: &Bench) -> Result<Saving, JsError> {
        let paper = &bench.session.paper;
        let text = RecordedExam::of(paper, &paper.plate.id).to_toml()?;
        Ok(Self { writing: Writing::new(&scan.scan.recording, &[(ENTRY, text.as_bytes())])? })
    }
}
