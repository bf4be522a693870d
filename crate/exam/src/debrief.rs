//! The debrief: truth and calls drawn together, and why each flaw shows as it does. Tables are the rows of
//! [`crate::marking::Marks`].

use serde::Serialize;

use crate::marking::Marks;
use crate::paper::Paper;
use crate::sheet::AnswerSheet;

mod canvas;
mod explain;
mod views;

pub use explain::View;

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
    pub sentences: Vec<String>,
    /// Where it shows best by geometry; `None` where no beam of the procedure reaches it.
    pub best_view: Option<View>,
}

/// Draws truth and calls.
pub fn drawings(paper: &Paper, sheet: &AnswerSheet, marks: &Marks) -> Drawings {
    Drawings {
        top: views::top(paper, sheet, marks),
        side: views::side(paper, sheet, marks),
        end: views::end(paper, sheet, marks),
    }
}

/// A note for every flaw of the marks, in their order.
pub fn notes(paper: &Paper, marks: &Marks) -> Vec<FlawNote> {
    marks.flaws.iter().map(|row| explain::note(paper, row)).collect()
}

#[cfg(test)]
mod tests;
