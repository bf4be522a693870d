//! The debrief: truth and calls drawn together, and why each flaw shows as it does. Tables are the rows of
//! [`crate::marking::Marks`].

use instrument::bench::{Instrument, SetUpError};
use serde::Serialize;

use crate::examined::Examined;
use crate::fair;
use crate::findable::{self, BestEcho};
use crate::log::Log;
use crate::marking::Marks;
use crate::paper::Paper;
use crate::said::{Language, Said, said};
use crate::sheet::AnswerSheet;
use crate::sights::{self, Sight};

pub(crate) mod canvas;
mod explain;
mod ruler;
mod session;
pub mod shot;
mod telling;
pub(crate) mod views;

pub use explain::{Explained, ExplainedSide, View, explained};

/// Truth and calls in three views, as SVG documents with one unit a millimetre. Truth is drawn as boxes with an
/// unbroken line and a diamond, calls as boxes with a broken line and a cross; style sheets find them as
/// `.truth`, `.call` and `.plate`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Drawings {
    /// From above: along the weld to the right, side B upwards.
    pub top: String,
    /// From side A: along the weld to the right, depth downwards.
    pub side: String,
    /// Along the weld: side A left, side B right, depth downwards.
    pub end: String,
}

/// Why a flaw shows as it does.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FlawNote {
    /// Number of the flaw, as in the marks.
    pub flaw: u32,
    /// What a beam meets there, from each side of the procedure.
    pub sentences: Vec<Said>,
    /// Where it shows best: by its echo where that was computed, else by geometry; `None` where no beam of the procedure
    /// reaches it.
    pub best_view: Option<View>,
    /// What was possible, what the session saw of it, and for a miss why; empty without a log.
    pub session: Vec<Said>,
    /// By what it could have been told; absent where it was told rightly, or no side hears it.
    pub told_by: Option<Said>,
    /// The highest echo the session had of it.
    pub seen: Option<Sight>,
    /// The highest echo that each side of the procedure can have of it; empty where none was computed.
    pub possible: Vec<BestEcho>,
}

/// Draws truth and calls; without marks the calls alone.
pub fn drawings(language: &Language, paper: &Paper, sheet: &AnswerSheet, marks: Option<&Marks>) -> Drawings {
    let seen = views::Seen { language, paper, sheet, marks };
    Drawings { top: views::top(&seen), side: views::side(&seen), end: views::end(&seen) }
}

/// A note for every flaw of the marks, in their order.
pub fn notes(paper: &Paper, marks: &Marks) -> Vec<FlawNote> {
    marks.flaws.iter().map(|row| explain::note(paper, row)).collect()
}

/// The same with what the session saw. `echoes` are the best of every flaw (see [`crate::findable::best_echoes_with`]).
/// Scans the poses of the log near the flaws; the instrument comes back on its own scene, its frame and gain are lost.
///
/// # Errors
/// A set-up of the log that is impossible.
pub fn session_notes(
    instrument: &mut Instrument,
    paper: &Paper,
    log: &Log,
    marks: &Marks,
    echoes: &[BestEcho],
) -> Result<Vec<FlawNote>, SetUpError> {
    let sights = sights::sights(instrument, paper, log.entries())?;
    let examined = Examined::of(paper, log.entries());
    let mut notes = notes(paper, marks);
    for (note, row) in notes.iter_mut().zip(&marks.flaws) {
        note.seen = sights.of_flaws.get(row.index as usize).copied().flatten();
        let of_flaw = echoes.iter().filter(|echo| echo.flaw == row.index && echo.sound_path_mm > 0.0);
        let best = of_flaw.max_by(|a, b| a.amplitude_db.total_cmp(&b.amplitude_db));
        note.best_view = best.map(View::of).or(note.best_view);
        note.session = session::sentences(paper, row, examined.as_ref(), note.seen.as_ref(), best);
        let [used, looked_at] = sights.set_ups;
        if looked_at < used {
            note.session.push(said!("said.set_ups", used = used as u32, looked_at = looked_at as u32));
        }
        note.possible = telling::by_side(paper, row.index, echoes);
        let flaw = paper.plate.flaws.get(row.index as usize).filter(|_| telling::is_wanted(row));
        note.told_by = flaw.and_then(|flaw| {
            let explained = explain::explained(paper, flaw, &row.extent);
            telling::sentence(paper, row, flaw.kind, &note.possible, &explained)
        });
    }
    Ok(notes)
}

/// Marks a session and looks back on it, with an instrument of its own; takes a second and more.
///
/// # Errors
/// A set-up, of procedure or log, that is impossible.
pub fn look_back(paper: &Paper, log: &Log) -> Result<(Marks, Vec<FlawNote>), SetUpError> {
    let mut instrument = findable::instrument(paper, &paper.plate)?;
    let all: Vec<u32> = (0..).zip(&paper.plate.flaws).map(|(index, _)| index).collect();
    let echoes = findable::best_echoes_with(&mut instrument, paper, &all);
    let marks = fair::mark_session_knowing(paper, log, &echoes);
    let notes = session_notes(&mut instrument, paper, log, &marks, &echoes)?;
    Ok((marks, notes))
}

#[cfg(test)]
mod tests;
