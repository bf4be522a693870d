//! The words of a lesson in one language.

use serde::Serialize;
use specimen::check::Complaint;
use specimen::file::FileError;

use super::table::Reader;
use super::{Lesson, version};

/// Fewest and most hints of a step.
const HINTS: [usize; 2] = [2, 4];

/// All words of a lesson.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Words {
    /// Version of the file's form.
    pub version: u32,
    /// What it is called.
    pub title: String,
    /// What one can do afterwards.
    pub teaches: String,
    /// Said at the end.
    pub end: String,
    /// The words of the steps, in order.
    pub steps: Vec<StepWords>,
}

/// The words of a step.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StepWords {
    /// The step's id.
    pub id: String,
    /// What to do, and why.
    pub text: String,
    /// Ever plainer hints; the last one is the way itself.
    pub hints: Vec<String>,
    /// Said when the goal is reached.
    pub success: String,
}

impl Words {
    /// Reads the words of a lesson. `name` only goes into the errors.
    ///
    /// # Errors
    /// Everything that keeps the file from being used, with its line.
    pub fn parse(name: &str, bytes: &[u8]) -> Result<Self, FileError> {
        let mut reader = Reader::of_file(name, bytes)?;
        let mut words = Self {
            version: version(&mut reader),
            title: reader.text("title"),
            teaches: reader.text("teaches"),
            end: reader.text("end"),
            steps: reader.each("step", |step| StepWords {
                id: step.text("id"),
                text: step.text("text"),
                hints: step.texts("hints"),
                success: step.text("success"),
            }),
        };
        let mut complaints = reader.ended();
        complaints.append(&mut words.check());
        if !complaints.is_empty() {
            return Err(FileError::from_complaints(name, bytes, &complaints));
        }
        words.unbreak();
        Ok(words)
    }

    /// Whether these are the words of a lesson: the same steps in the same order.
    ///
    /// # Errors
    /// What differs, with its line in the file of the words.
    pub fn fit(&self, lesson: &Lesson, name: &str, bytes: &[u8]) -> Result<(), FileError> {
        let (mine, wanted): (Vec<_>, Vec<_>) = (
            self.steps.iter().map(|step| step.id.as_str()).collect(),
            lesson.steps.iter().map(|step| step.id.as_str()).collect(),
        );
        if mine == wanted {
            return Ok(());
        }
        let message = format!("the steps are {}; expected {}", mine.join(", "), wanted.join(", "));
        Err(FileError::from_complaints(name, bytes, &[Complaint { path: "step".to_owned(), message }]))
    }

    fn check(&self) -> Vec<Complaint> {
        let mut found = Vec::new();
        let mut say = |path: String, message: String| found.push(Complaint { path, message });
        for (index, step) in self.steps.iter().enumerate() {
            let count = step.hints.len();
            if !(HINTS[0]..=HINTS[1]).contains(&count) {
                let path = format!("step[{index}].hints");
                say(path, format!("{count} hints, expected {} to {}", HINTS[0], HINTS[1]));
            }
        }
        found
    }

    /// The file breaks lines where it suits the file.
    fn unbreak(&mut self) {
        let flow = |text: &mut String| *text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        [&mut self.title, &mut self.teaches, &mut self.end].into_iter().for_each(flow);
        for step in &mut self.steps {
            step.hints.iter_mut().chain([&mut step.text, &mut step.success]).for_each(flow);
        }
    }
}
