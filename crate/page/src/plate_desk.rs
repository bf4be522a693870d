//! A plate looked at by whoever hands it out: what is hidden in it, what each flaw shows, and its file.

use exam::debrief::{self, Drawings};
use exam::detectability::{Detectability, Standing, Survey};
use exam::marking;
use exam::paper::Paper;
use exam::sheet::AnswerSheet;
use serde::Serialize;
use specimen::generator::Design;
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::session::value;

/// What the desk shows in the end.
#[derive(Serialize)]
struct Shown<'a> {
    id: &'a str,
    title: &'a str,
    note: &'a str,
    /// The plate file.
    file: String,
    table: &'a Detectability,
    /// Kinds and standings in words, by their names in the table.
    words: Words,
    drawings: Drawings,
}

#[derive(Serialize)]
struct Words {
    kinds: Vec<&'static str>,
    standings: Vec<Vec<&'static str>>,
}

/// A plate on the desk, looked at flaw by flaw.
#[wasm_bindgen]
pub struct PlateDesk {
    survey: Option<Survey>,
    drawn: bool,
}

#[wasm_bindgen]
impl PlateDesk {
    /// A plate drawn from joint, level and seed.
    pub fn drawn(joint: &str, level: u8, seed: &str) -> Result<Self, JsError> {
        let design = Design::named(joint).ok_or_else(|| {
            JsError::from(value("joint", joint, "the name of a joint that plates are drawn with"))
        })?;
        let seed = seed
            .parse::<u64>()
            .ok()
            .filter(|&seed| i64::try_from(seed).is_ok())
            .ok_or_else(|| JsError::from(value("seed", seed, "a whole number, 0 or more")))?;
        let survey = Survey::new(Paper::generate(design, level, seed))?;
        Ok(Self { survey: Some(survey), drawn: true })
    }

    /// A plate file of one's own.
    pub fn from_file(name: &str, bytes: &[u8]) -> Result<Self, JsError> {
        Ok(Self { survey: Some(Survey::new(Paper::parse(name, bytes)?)?), drawn: false })
    }

    /// Looks at the next flaw; false when all are done.
    pub fn step(&mut self) -> bool {
        self.survey.as_mut().is_some_and(Survey::step)
    }

    /// Part of the work that is done, from 0 to 1.
    pub fn share(&self) -> f64 {
        let Some(survey) = &self.survey else { return 1.0 };
        let [done, all] = survey.progress();
        f64::from(done) / f64::from(all.max(1))
    }

    /// Table, drawings and file, as JSON; once. A drawn plate is made fair, a file is shown as it is.
    pub fn finish(&mut self) -> Result<String, JsError> {
        let survey = self.survey.take().ok_or_else(|| JsError::new("this plate was looked at before"))?;
        let (paper, table) = if self.drawn { survey.made_fair()? } else { survey.table() };
        let sheet = AnswerSheet::default();
        let marks = marking::mark(&paper, &sheet);
        let shown = Shown {
            id: &paper.plate.id,
            title: &paper.plate.title,
            note: &paper.plate.note,
            file: paper.to_toml()?,
            words: Words {
                kinds: table.flaws.iter().map(|flaw| flaw.kind.words()).collect(),
                standings: (table.flaws.iter())
                    .map(|flaw| flaw.rows.iter().map(|row| Standing::words(row.standing)).collect())
                    .collect(),
            },
            table: &table,
            drawings: debrief::drawings(&paper, &sheet, Some(&marks)),
        };
        Ok(serde_json::to_string(&shown)?)
    }
}
