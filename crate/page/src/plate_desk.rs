//! A plate looked at before anybody sits it: what is hidden in it, what each flaw shows, and its file. Every plate drawn from
//! joint, level and seed comes from here, so that the same numbers are one plate on the bench, at the desk and in a file.

use exam::debrief::{self, Drawings};
use exam::detectability::{Detectability, Standing, Survey};
use exam::marking;
use exam::paper::Paper;
use exam::sheet::AnswerSheet;
use serde::Serialize;
use specimen::generator::Design;
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::bench::Bench;
use crate::session::value;
use crate::words::Words;

/// The seeds that a plate file can hold, in words.
const SEEDS: &str = "a whole number from 0 to 9223372036854775807";

/// What the desk shows in the end.
#[derive(Serialize)]
struct Shown<'a> {
    id: &'a str,
    title: &'a str,
    note: &'a str,
    /// The plate file.
    file: &'a str,
    table: &'a Detectability,
    /// Kinds and standings in words, by their names in the table.
    words: Named,
    drawings: Drawings,
}

#[derive(Serialize)]
struct Named {
    kinds: Vec<&'static str>,
    standings: Vec<Vec<&'static str>>,
}

/// A plate on the desk, looked at flaw by flaw.
#[wasm_bindgen]
pub struct PlateDesk {
    survey: Option<Survey>,
    drawn: bool,
    /// The plate file, once made.
    file: String,
}

#[wasm_bindgen]
impl PlateDesk {
    /// A plate drawn from a joint by its name, a level from 1 to 5 and a seed in decimal digits.
    pub fn drawn(joint: &str, level: f64, seed: &str) -> Result<Self, JsError> {
        let design = Design::named(joint).ok_or_else(|| {
            JsError::from(value("joint", joint, "the name of a joint that plates are drawn with"))
        })?;
        // Taken as it comes: a narrower type would quietly turn 257 into 1.
        let level = (1..=5_u8)
            .find(|&known| f64::from(known) == level)
            .ok_or_else(|| JsError::from(value("level", &level.to_string(), "1, 2, 3, 4 or 5")))?;
        let seed = seed
            .parse::<u64>()
            .ok()
            .filter(|&seed| i64::try_from(seed).is_ok())
            .ok_or_else(|| JsError::from(value("seed", seed, SEEDS)))?;
        Self::of(Paper::generate(design, level, seed), true)
    }

    /// A plate file of one's own.
    pub fn from_file(name: &str, bytes: &[u8]) -> Result<Self, JsError> {
        Self::of(Paper::parse(name, bytes)?, false)
    }

    fn of(paper: Paper, drawn: bool) -> Result<Self, JsError> {
        Ok(Self { survey: Some(Survey::new(paper)?), drawn, file: String::new() })
    }

    /// What is handed out, with its table; once. A drawn plate is made fair, a file is taken as it is.
    fn made(&mut self) -> Result<(Paper, Detectability), JsError> {
        let survey = self.survey.take().ok_or_else(|| JsError::new("this plate was looked at before"))?;
        let (paper, table) = if self.drawn { survey.made_fair()? } else { survey.table() };
        self.file = paper.to_toml()?;
        Ok((paper, table))
    }

    /// Looks at the next flaw; false when all are done.
    pub fn step(&mut self) -> bool {
        self.survey.as_mut().is_some_and(Survey::step)
    }

    /// Part of the work that is done, from 0 to 1.
    pub fn share(&self) -> f64 {
        let Some(survey) = &self.survey else { return 1.0 };
        let [done, all] = survey.progress();
        // The last part of the work is what stands beside the flaws: grain, cap and root.
        f64::from(done) / f64::from(all + 1)
    }

    /// Puts it on the bench, to be sat; once, in place of [`PlateDesk::finish`].
    pub fn bench(&mut self) -> Result<Bench, JsError> {
        let (paper, _) = self.made()?;
        Bench::on(paper)
    }

    /// The plate file; empty until the plate is on the bench or shown.
    pub fn file(&self) -> String {
        self.file.clone()
    }

    /// Table, drawings and file, as JSON; once. A drawn plate is made fair, a file is shown as it is.
    pub fn finish(&mut self, words: &Words) -> Result<String, JsError> {
        let (paper, table) = self.made()?;
        let sheet = AnswerSheet::default();
        let marks = marking::mark(&paper, &sheet);
        let shown = Shown {
            id: &paper.plate.id,
            title: &paper.plate.title,
            note: &paper.plate.note,
            file: &self.file,
            words: Named {
                kinds: table.flaws.iter().map(|flaw| flaw.kind.words()).collect(),
                standings: (table.flaws.iter())
                    .map(|flaw| flaw.rows.iter().map(|row| Standing::words(row.standing)).collect())
                    .collect(),
            },
            table: &table,
            drawings: debrief::drawings(&words.0, &paper, &sheet, Some(&marks)),
        };
        Ok(serde_json::to_string(&shown)?)
    }
}
