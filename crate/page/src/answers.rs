//! The answer sheet as a file and on paper: tables and JSON out and back in, a blank sheet to print.

use exam::event::Event;
use exam::report::blank;
use exam::sheet::{AnswerSheet, SheetError};
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::bench::{Bench, json, told, whole};
use crate::session::{Session, SessionError};
use crate::words::Words;

impl Session {
    /// Puts the answers of a file in place of those on the sheet: a table where the name ends in `.csv`, else JSON.
    ///
    /// # Errors
    /// A file that is no answer sheet, with its line, or one of another plate; a sheet that was handed in. Nothing has
    /// changed then.
    pub fn take_answers(
        &mut self,
        t_ms: u64,
        name: &str,
        bytes: &[u8],
    ) -> Result<&AnswerSheet, SessionError> {
        let table = name.to_lowercase().ends_with(".csv");
        let read = if table { AnswerSheet::parse_csv } else { AnswerSheet::parse };
        let mut next = read(name, bytes)?;
        // What a call was made from is told by the log of its session, not by this one.
        next.calls.iter_mut().for_each(|call| call.snapshot = None);
        let own = &self.paper.plate.id;
        if let Some(id) = next.plate_id.as_ref().filter(|id| *id != own) {
            let message = format!("these answers are for plate {id}, expected plate {own}");
            let (name, line, column) = (name.to_owned(), 1, 1);
            return Err(SheetError { name, line, column, message }.into());
        }
        let now = &self.log.restore().sheet;
        let stated = next.no_recordable_indication;
        let state =
            (stated != now.no_recordable_indication).then_some(Event::NoRecordableIndication { stated });
        let remove = (0..now.calls.len() as u32).rev().map(|index| Event::CallRemoved { index });
        let events: Vec<Event> =
            remove.chain(next.calls.into_iter().map(Event::CallAdded)).chain(state).collect();
        for event in events {
            self.log.push(t_ms, event)?;
        }
        Ok(&self.log.restore().sheet)
    }
}

#[wasm_bindgen]
impl Bench {
    /// Puts the answers of a file (CSV by its name, else JSON) in place of those on the sheet; gives the sheet.
    pub fn take_answers(&mut self, t_ms: f64, name: &str, bytes: &[u8]) -> Result<String, JsError> {
        json(self.session.take_answers(whole(t_ms), name, bytes).map_err(told)?)
    }

    /// The answer sheet as a table (CSV).
    pub fn answers_table(&self) -> Result<String, JsError> {
        Ok(self.session.log.restore().sheet.to_csv()?)
    }

    /// A blank sheet of this plate with so many rows, as an HTML file to print.
    pub fn blank_sheet(&self, words: &Words, rows: u8) -> String {
        blank::html(&words.0, &self.session.paper, usize::from(rows))
    }
}
