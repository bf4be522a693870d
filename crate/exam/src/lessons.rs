//! Lessons: a plate or block, and steps whose goals the simulator measures at the bench.
//!
//! A lesson is two files. The one in `scenarios/lessons` holds what is measured and has no words; the one of the same name
//! in the folder of a language holds the words, step by step under the same ids. So another language is another folder.

use serde::Serialize;
use specimen::check::Complaint;
use specimen::file::FileError;

use table::Reader;

mod begin;
mod course;
mod goal;
mod measure;
mod table;
mod vary;
mod words;

pub use begin::Begin;
pub use course::{Course, Told};
pub use goal::{CallGoal, EchoPlace, Goal};
pub use measure::{Measure, Situation};
pub use vary::{Varied, VariedFlaw, Vary};
pub use words::{StepWords, Words};

/// The version of the files' form that this program reads.
pub const VERSION: u32 = 1;

/// Most steps of a lesson.
const MOST_STEPS: usize = 20;

/// What a lesson is done on and what is to be reached, step by step.
#[derive(Clone, Debug, PartialEq)]
pub struct Lesson {
    /// Version of the file's form.
    pub version: u32,
    /// The plate or block on the bench: its file under `scenarios`, without the ending.
    pub plate: String,
    /// The steps, in order.
    pub steps: Vec<Step>,
}

/// One step.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Name that the words of every language stand under.
    pub id: String,
    /// How the bench is set when the step begins; what is not named stays as it is.
    pub begin: Begin,
    /// A flaw that the learner may change meanwhile.
    pub vary: Option<Vary>,
    /// What has to be reached: everything named, at the same time.
    pub goal: Goal,
}

impl Lesson {
    /// Reads a lesson. `name` only goes into the errors.
    ///
    /// # Errors
    /// Everything that keeps the file from being used, with its line.
    pub fn parse(name: &str, bytes: &[u8]) -> Result<Self, FileError> {
        let mut reader = Reader::of_file(name, bytes)?;
        let lesson = Self {
            version: version(&mut reader),
            plate: reader.text("plate"),
            steps: reader.each("step", |step| Step {
                id: step.text("id"),
                begin: step.inside("begin", Begin::read).unwrap_or_default(),
                vary: step.inside("vary", Vary::read),
                goal: step.inside("goal", Goal::read).unwrap_or_default(),
            }),
        };
        let mut complaints = reader.ended();
        if complaints.is_empty() {
            complaints = lesson.check();
        }
        if complaints.is_empty() {
            Ok(lesson)
        } else {
            Err(FileError::from_complaints(name, bytes, &complaints))
        }
    }

    fn check(&self) -> Vec<Complaint> {
        let mut found = Vec::new();
        let mut say = |path: String, message: String| found.push(Complaint { path, message });
        // The path is made into an address: nothing but a file of the scenarios may come out of it.
        let sound = |part: &str| {
            !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'-')
        };
        if !self.plate.split('/').all(sound) {
            let message = format!("is “{}”, expected a folder and a file such as plates/th-01", self.plate);
            say("plate".to_owned(), message);
        }
        if self.steps.is_empty() || self.steps.len() > MOST_STEPS {
            say("step".to_owned(), format!("{} steps, expected 1 to {MOST_STEPS}", self.steps.len()));
        }
        // Marked is the plate of the file.
        let any = |has: fn(&Step) -> bool| self.steps.iter().any(has);
        if any(|step| step.vary.is_some()) && any(|step| step.goal.passed.is_some()) {
            say(
                "step".to_owned(),
                "a flaw is varied and the sheet handed in, expected one of both".to_owned(),
            );
        }
        for (index, step) in self.steps.iter().enumerate() {
            let path = format!("step[{index}]");
            if self.steps[..index].iter().any(|before| before.id == step.id) {
                say(format!("{path}.id"), format!("“{}” is the id of an earlier step, too", step.id));
            }
            for message in step.goal.problems() {
                say(format!("{path}.goal"), message);
            }
        }
        found
    }
}

/// The lessons in the order in which they are best done.
#[derive(Clone, Debug, PartialEq)]
pub struct Order {
    /// Names of their files, without the ending.
    pub lessons: Vec<String>,
}

impl Order {
    /// Reads the order. `name` only goes into the errors.
    ///
    /// # Errors
    /// Everything that keeps the file from being used, with its line.
    pub fn parse(name: &str, bytes: &[u8]) -> Result<Self, FileError> {
        let mut reader = Reader::of_file(name, bytes)?;
        let order = Self { lessons: reader.texts("lessons") };
        let complaints = reader.ended();
        if complaints.is_empty() {
            Ok(order)
        } else {
            Err(FileError::from_complaints(name, bytes, &complaints))
        }
    }
}

/// The version of a file's form, which has to be the one that is read.
fn version(reader: &mut Reader) -> u32 {
    match reader.number("version") {
        Some(number) if number == f64::from(VERSION) => {}
        _ => reader.complain("version", format!("expected {VERSION}: this program reads no other form")),
    }
    VERSION
}

/// What the page shows of a lesson before anything is done.
#[derive(Debug, Serialize)]
pub struct About<'a> {
    /// The words.
    pub words: &'a Words,
    /// How the bench is set at the beginning of each step.
    pub begin: Vec<&'a Begin>,
    /// What may be changed of a flaw in each step.
    pub vary: Vec<Option<&'a Vary>>,
    /// Whether the answer sheet is handed in on the way.
    pub hands_in: bool,
}
