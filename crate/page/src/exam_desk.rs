//! Exams for the browser: what a sealed plate tells, opening it, and marking a class.

use exam::class::{self, Class, Work};
use exam::fair::Marker;
use exam::paper::Paper;
use exam::said::Said;
use exam::seal::{self, Holder, RANDOM_BYTES, Sealed, Terms};
use serde::Serialize;
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::bench::{Bench, told};
use crate::session::{Session, value};
use crate::words::Words;

/// What may be read of a sealed plate, as JSON; nothing for any other file.
#[wasm_bindgen]
pub fn sealed_terms(name: &str, bytes: &[u8]) -> Result<Option<String>, JsError> {
    if !Sealed::claimed(bytes) {
        return Ok(None);
    }
    Ok(Some(serde_json::to_string(&Sealed::parse(name, bytes)?.terms)?))
}

/// How many random bytes [`seal_plate`] takes.
#[wasm_bindgen]
pub fn seal_random_bytes() -> usize {
    RANDOM_BYTES
}

/// A plate file, sealed; a drawn or written plate as its file's text.
#[wasm_bindgen]
pub fn seal_plate(
    name: &str,
    plate: &[u8],
    instructor: &str,
    sitting: &str,
    help: bool,
    debrief: bool,
    random: &[u8],
) -> Result<String, JsError> {
    let paper = Paper::parse(name, plate)?;
    let random: [u8; RANDOM_BYTES] = random.try_into().map_err(|_| {
        JsError::from(value("random bytes", &random.len().to_string(), &RANDOM_BYTES.to_string()))
    })?;
    let terms = Terms { help, debrief, ..Terms::of(&paper) };
    Ok(seal::seal(&paper, terms, [instructor, sitting], &random)?)
}

#[wasm_bindgen]
impl Bench {
    /// Opens a sealed plate with a passphrase, for a sitting.
    pub fn from_sealed(name: &str, bytes: &[u8], passphrase: &str) -> Result<Bench, JsError> {
        let sealed = Sealed::parse(name, bytes)?;
        let opened = sealed.open(passphrase)?;
        let mut session = Session::new(opened.paper).map_err(told)?;
        session.exam = Some((sealed.terms, Some(opened.signing_key)));
        Ok(Self { session })
    }

    /// The hand-in as a file.
    pub fn hand_in_file(&mut self, name: &str) -> Result<String, JsError> {
        self.session.hand_in_file(name).map_err(told)
    }
}

/// What is told of a work as it comes in.
#[derive(Serialize)]
struct Row<'a> {
    file: &'a str,
    sitter: &'a str,
    mark_percent: f64,
    passed: bool,
    found: usize,
    flaws: usize,
    wrong: usize,
    used_ms: Option<u64>,
    remarks: &'a [Said],
}

/// The class in the end.
#[derive(Serialize)]
struct Told<'a> {
    class: &'a Class,
    table: String,
}

/// A class at one plate, work by work.
#[wasm_bindgen]
pub struct ClassDesk {
    pub(crate) paper: Paper,
    pub(crate) key: Option<[u8; 32]>,
    marker: Marker,
    works: Vec<Work>,
}

#[wasm_bindgen]
impl ClassDesk {
    /// With the plate file, sealed or not; scans its flaws.
    pub fn new(name: &str, bytes: &[u8], passphrase: &str) -> Result<Self, JsError> {
        let (paper, key) = if Sealed::claimed(bytes) {
            let opened = Sealed::parse(name, bytes)?.open(passphrase)?;
            if opened.holder != Holder::Instructor {
                return Err(value("passphrase", "that of the sitting", "the instructor's").into());
            }
            (opened.paper, Some(opened.signing_key))
        } else {
            (Paper::parse(name, bytes)?, None)
        };
        let marker = Marker::new(&paper)?;
        Ok(Self { paper, key, marker, works: Vec::new() })
    }

    /// Marks a work and gives its row, as JSON.
    pub fn add(&mut self, file: &str, bytes: &[u8]) -> Result<String, JsError> {
        let (work, _) = Work::read(file, bytes, &self.paper, self.key.as_ref(), &self.marker)
            .map_err(|why| JsError::new(&why))?;
        let marks = &work.marks;
        let row = Row {
            file: &work.file,
            sitter: &work.sitter,
            mark_percent: marks.percent,
            passed: marks.passed,
            found: marks.flaws.iter().filter(|row| row.call.is_some()).count(),
            flaws: marks.flaws.len(),
            wrong: marks.calls.iter().filter(|call| call.cost > 0.0).count(),
            used_ms: work.used_ms,
            remarks: &work.remarks,
        };
        let told = serde_json::to_string(&row)?;
        self.works.push(work);
        Ok(told)
    }

    /// The class in numbers, and the table as CSV, as JSON.
    pub fn finish(&self, words: &Words) -> Result<String, JsError> {
        let class = class::class(&self.works);
        let table = class::table(&self.works, &words.0).map_err(|why| JsError::new(&why))?;
        Ok(serde_json::to_string(&Told { class: &class, table })?)
    }
}
