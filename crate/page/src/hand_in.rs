//! What was examined, and the end of a session: doubts, marks, debrief.

use exam::debrief::{self, Drawings, FlawNote};
use exam::examined::Examined;
use exam::hand_in::{self, ToldMark};
use exam::log::Event;
use exam::marking::Marks;
use exam::said::{Language, Said};
use exam::seal::Terms;
use exam::{fair, findable};
use instrument::set_up::SetUp;
use serde::Serialize;

use crate::session::{Session, SessionError, value};

/// What the operator sees after hand-in.
#[derive(Serialize)]
struct Debrief<'a> {
    marks: &'a Marks,
    drawings: &'a Drawings,
    notes: &'a [FlawNote],
}

/// What the operator sees after handing in under a seal that shows nothing.
#[derive(Serialize)]
struct Sealed<'a> {
    sealed: &'a Terms,
}

impl Session {
    /// The hand-in as a file, signed where the plate was sealed. `name` is the operator's, in their own words.
    ///
    /// # Errors
    /// A session that was not handed in yet.
    pub fn hand_in_file(&self, name: &str) -> Result<String, SessionError> {
        if !self.log.restore().handed_in {
            return Err(value("hand-in", "not handed in", "the answer sheet to be handed in first"));
        }
        let digest = self.last_digest()?;
        let mark = self.marks.as_ref().map(|(marks, _)| ToldMark::of(marks));
        let key = self.exam.as_ref().and_then(|(_, key)| key.as_ref());
        Ok(hand_in::write(name, &self.log, mark, &digest, key)?)
    }

    /// What was examined so far from each side, as JSON; an empty list for a block.
    ///
    /// # Errors
    /// None in practice; the library's error type has to go on.
    pub fn examined(&mut self) -> Result<String, SessionError> {
        if self.examined.is_none() {
            self.examined = Examined::of(&self.paper, self.log.entries());
        }
        let sides = self.examined.as_ref().map_or_else(Vec::new, Examined::sides);
        Ok(serde_json::to_string(&sides)?)
    }

    /// What is unlikely on the sheet, in words, for the operator before handing in.
    pub fn doubts(&self) -> Vec<Said> {
        let sheet = &self.log.restore().sheet;
        sheet.check(&self.paper.plate)
    }

    /// Hands in, once; marks, drawings and notes as JSON. From here on the truth is out. Scans every flaw for its
    /// best echo, and once more what the session saw of it; takes a second and more.
    ///
    /// # Errors
    /// None in practice; the errors of log and JSON have to go on.
    pub fn hand_in(&mut self, t_ms: u64, language: &Language) -> Result<String, SessionError> {
        if !self.log.restore().handed_in {
            self.log.push(t_ms, Event::HandIn)?;
        }
        // Under a seal the truth leaves this program only if the instructor allows it.
        if let Some((terms, _)) = self.exam.as_ref().filter(|(terms, _)| !terms.debrief) {
            return Ok(serde_json::to_string(&Sealed { sealed: terms })?);
        }
        let sheet = self.log.restore().sheet.clone();
        let (marks, notes) = match self.marks.take() {
            Some(known) => known,
            None => self.look_back()?,
        };
        let drawings = debrief::drawings(language, &self.paper, &sheet, Some(&marks));
        let told = serde_json::to_string(&Debrief { marks: &marks, drawings: &drawings, notes: &notes })?;
        self.marks = Some((marks, notes));
        Ok(told)
    }

    /// Marks and notes. The mark follows the procedure, whatever the operator scanned with last.
    fn look_back(&mut self) -> Result<(Marks, Vec<FlawNote>), SessionError> {
        let (paper, log) = (&self.paper, &self.log);
        // Marks ask what the plate can show: with a bench as the data sheets say and always in contact.
        let as_prescribed = self.set_up == SetUp::of(&paper.procedure) && paper.procedure.bench.is_ready();
        self.instrument.set_finger(None);
        self.instrument.set_contact_loss_db(0.0);
        let mut prescribed = match as_prescribed {
            true => None,
            false => Some(findable::instrument(paper, &paper.plate)?),
        };
        let instrument = prescribed.as_mut().unwrap_or(&mut self.instrument);
        let all: Vec<u32> = (0..).zip(&paper.plate.flaws).map(|(index, _)| index).collect();
        let echoes = findable::best_echoes_with(instrument, paper, &all);
        let marks = fair::mark_session_knowing(paper, log, &echoes);
        let notes = debrief::session_notes(instrument, paper, log, &marks, &echoes)?;
        self.instrument.set_gain_db(self.gain_db);
        self.touch();
        self.instrument.scan(&self.pose, self.frame_tick());
        Ok((marks, notes))
    }
}
