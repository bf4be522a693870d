//! What calls were made from, shown again: the frame is computed anew.

use exam::debrief::shot::{self, Subject};
use exam::findable;
use exam::log::State;
use exam::snapshot::{self, Rerun, Shot, Snapshot};
use instrument::set_up::SetUp;
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::bench::{Bench, told};
use crate::session::{Session, SessionError};
use crate::words::Words;

impl Session {
    /// Number of the frame at hand.
    pub(crate) fn frame_tick(&self) -> u32 {
        self.tick.saturating_sub(1)
    }

    /// What is held now, for a call made from it.
    pub(crate) fn snapshot(&self) -> Snapshot {
        Snapshot {
            t_ms: self.framed_ms,
            pose: self.pose,
            gain_db: self.gain_db,
            beam: self.beam,
            gate: self.gate,
            tick: self.frame_tick(),
            contact_loss_db: self.contact_loss_db,
        }
    }

    /// Whether anything can be computed anew: the plate of a recorded exam has nothing in it that would echo.
    pub(crate) fn can_rerun(&self) -> bool {
        !matches!(self.exam, Some((_, None)))
    }

    /// What the calls were made from, or one of them alone, by its place from 0; the frame at hand stays. `None` for one that was
    /// written by hand.
    ///
    /// # Errors
    /// A set-up of the log that is impossible.
    pub fn shots(&mut self, only: Option<usize>) -> Result<Vec<Option<Shot>>, SessionError> {
        let procedure = &self.paper.procedure;
        let mut rerun = Rerun::new(&self.paper, &self.log);
        let mut shots = Vec::new();
        for (index, call) in self.log.restore().sheet.calls.iter().enumerate() {
            let wanted = self.can_rerun() && only.is_none_or(|only| only == index);
            let Some(made_from) = call.snapshot.as_ref().filter(|_| wanted) else {
                shots.push(None);
                continue;
            };
            let then = self.log.at(made_from.t_ms);
            let set_up = then.set_up.as_deref().cloned().unwrap_or_else(|| SetUp::of(procedure));
            let as_now = set_up == self.set_up
                && procedure.bench.stretch_at(made_from.t_ms) == self.drifted
                && then.varied == self.state().varied;
            shots.push(if as_now {
                snapshot::scan(&mut self.instrument, &set_up, &then, made_from);
                Shot::of(&mut self.instrument, made_from)
            } else {
                rerun.shot(made_from)?
            });
        }
        self.instrument.set_receiver(self.set_up.receiver);
        self.use_calibration();
        self.touch();
        self.instrument.set_gain_db(self.gain_db);
        self.instrument.scan(&self.pose, self.frame_tick());
        Ok(shots)
    }
}

impl Session {
    /// Where each side of the procedure hears a flaw best, by its number in the marks; empty before they are told.
    fn side_snapshots(&self, flaw: u32) -> Vec<Snapshot> {
        let notes = self.marks.iter().flat_map(|(_, notes)| notes);
        let gain_db = self.paper.procedure.scanning_level_db();
        let of_flaw = notes.filter(|note| note.flaw == flaw).flat_map(|note| &note.possible);
        of_flaw.map(|echo| Snapshot::of_echo(echo, gain_db)).collect()
    }

    /// A flaw from each side at its best, with the procedure's own set-up; the frame at hand stays.
    ///
    /// # Errors
    /// None in practice: the procedure's set-up was in use.
    pub fn side_shots(&mut self, flaw: u32) -> Result<Vec<Option<Shot>>, SessionError> {
        let set_up = SetUp::of(&self.paper.procedure);
        let mut instrument = findable::instrument(&self.paper, &self.paper.plate)?;
        let shots = self.side_snapshots(flaw).into_iter().map(|at| {
            snapshot::scan(&mut instrument, &set_up, &State::default(), &at);
            Shot::of(&mut instrument, &at)
        });
        Ok(shots.collect())
    }
}

/// What calls were made from, or how a flaw shows.
#[wasm_bindgen]
pub struct Shots {
    pub(crate) shots: Vec<Option<Shot>>,
}

#[wasm_bindgen]
impl Shots {
    /// Calls.
    pub fn count(&self) -> usize {
        self.shots.len()
    }

    /// Where the picture of a call lies in memory: RGBA rows. 0 where there is none.
    pub fn pointer(&self, index: usize) -> *const u8 {
        self.get(index).map_or(std::ptr::null(), |shot| shot.rgba.as_ptr())
    }

    /// Its width and height, pixels; 0 where there is none.
    pub fn size_px(&self, index: usize) -> Vec<u32> {
        self.get(index).map_or_else(|| vec![0, 0], |shot| vec![shot.place.width_px, shot.place.height_px])
    }

    fn get(&self, index: usize) -> Option<&Shot> {
        self.shots.get(index)?.as_ref()
    }
}

#[wasm_bindgen]
impl Bench {
    /// What the calls were made from; of one alone where it is named, from 0.
    pub fn shots(&mut self, only: Option<u32>) -> Result<Shots, JsError> {
        Ok(Shots { shots: self.session.shots(only.map(|only| only as usize)).map_err(told)? })
    }

    /// A flaw, by its number in the marks, from each side at its best; empty before the truth is out.
    pub fn side_shots(&mut self, flaw: u32) -> Result<Shots, JsError> {
        Ok(Shots { shots: self.session.side_shots(flaw).map_err(told)? })
    }

    /// The drawing of one of those.
    pub fn side_figure(
        &self,
        words: &Words,
        flaw: u32,
        index: usize,
        shots: &Shots,
        picture: &str,
    ) -> Option<String> {
        let at = self.session.side_snapshots(flaw);
        Some(shot::figure(
            &words.0,
            &self.session.paper,
            Subject::Flaw(flaw),
            at.get(index)?,
            shots.get(index)?,
            picture,
        ))
    }

    /// The drawing of one of them, from 0, with its picture as a data address; nothing where there is none.
    pub fn shot_figure(&self, words: &Words, index: u32, shots: &Shots, picture: &str) -> Option<String> {
        let session = &self.session;
        let call = session.log.restore().sheet.calls.get(index as usize)?;
        let shot = shots.get(index as usize)?;
        Some(shot::figure(
            &words.0,
            &session.paper,
            Subject::Call(index + 1),
            call.snapshot.as_ref()?,
            shot,
            picture,
        ))
    }
}
