//! A recorded exam: what a trainee needs beside the recording of a plate, and nothing of what is hidden in it. It lies as one
//! more entry in the recording's file. Marking needs the instructor's plate file.

use instrument::procedure::{HandedOver, Procedure};
use serde::{Deserialize, Serialize};
use specimen::check::Complaint;
use specimen::file::{self, FileError, WriteError};
use specimen::joint::Joint;
use specimen::plate::Plate;

use crate::marking::CAUTION;
use crate::npz::{self, NpzError};
use crate::paper::{self, Paper};
use crate::scheme::Scheme;

/// Name of the entry.
pub const ENTRY: &str = "exam.toml";
/// Most bytes of it.
const LIMIT_BYTES: u64 = 200_000;
const VERSION: u32 = 1;
/// Nobody scans the plate that a trainee has: its grain is never heard.
const GRAIN_LEVEL_DB: f64 = -60.0;

/// What the entry holds: the drawing's side of the plate, and the procedure.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Task {
    version: u32,
    caution: String,
    name: String,
    note: String,
    thickness_mm: f64,
    length_mm: f64,
    width_mm: f64,
    joint: Joint,
    procedure: Procedure,
}

/// A recorded exam without its recording.
#[derive(Clone, Debug, PartialEq)]
pub struct RecordedExam {
    task: Task,
}

/// Why a plate cannot be given out as a recorded exam, or such a file cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum RecordedExamError {
    /// A reference block.
    #[error("a reference block hides nothing, expected a plate with a weld")]
    Block,
    /// The exam's name.
    #[error("the exam's name has {0} characters, expected 1 to 80")]
    Name(usize),
    /// The recording's file.
    #[error(transparent)]
    Npz(#[from] NpzError),
    /// The entry with the exam.
    #[error(transparent)]
    Entry(#[from] FileError),
    /// The exam cannot be written.
    #[error(transparent)]
    Write(#[from] WriteError),
    /// The recording beside it is another plate's.
    #[error("the recording is of plate {found}, expected that of the exam, {expected}")]
    OtherPlate {
        /// Plate of the recording.
        found: String,
        /// Name of the exam.
        expected: String,
    },
}

/// The paper that is recorded for an exam of this name: the name stands in place of the plate's own, which may tell where it
/// comes from, and the bench is as its data sheets say.
///
/// # Errors
/// A block, or a name that cannot be one.
pub fn to_record(paper: &Paper, name: &str) -> Result<Paper, RecordedExamError> {
    let name = name.trim();
    let length = name.chars().count();
    if !(1..=80).contains(&length) {
        return Err(RecordedExamError::Name(length));
    }
    if paper.plate.block.is_some() {
        return Err(RecordedExamError::Block);
    }
    let plate = Plate { id: name.to_owned(), ..paper.plate.clone() };
    let procedure = Procedure { bench: HandedOver::default(), ..paper.procedure.clone() };
    Ok(Paper { plate, procedure, ..paper.clone() })
}

impl RecordedExam {
    /// The exam of this name at a plate. Neither flaws nor seeds nor the marking scheme (which may speak of flaws) go into it,
    /// nor the plate's own id and title, which may tell its seed.
    pub fn of(paper: &Paper, name: &str) -> Self {
        let plate = &paper.plate;
        let task = Task {
            version: VERSION,
            caution: CAUTION.to_owned(),
            name: name.trim().to_owned(),
            note: plate.note.clone(),
            thickness_mm: plate.thickness_mm,
            length_mm: plate.length_mm,
            width_mm: plate.width_mm,
            joint: plate.joint.clone(),
            procedure: Procedure {
                bench: HandedOver::default(),
                operator_sets: Vec::new(),
                ..paper.procedure.clone()
            },
        };
        Self { task }
    }

    /// The exam that a recording's file brings; `None` for a recording that is no exam. `name` only goes into the errors.
    ///
    /// # Errors
    /// An entry that cannot be used, with its line and what was expected; a recording of another plate.
    pub fn from_file(name: &str, file: &[u8]) -> Result<Option<Self>, RecordedExamError> {
        let Some(text) = npz::read_beside(file, ENTRY, LIMIT_BYTES)? else { return Ok(None) };
        let exam = Self::parse(&format!("{name}, {ENTRY}"), &text)?;
        let found = npz::read_plate_id(file)?;
        if found != exam.task.name {
            return Err(RecordedExamError::OtherPlate { found, expected: exam.task.name });
        }
        Ok(Some(exam))
    }

    /// Reads the entry. `name` only goes into the errors.
    ///
    /// # Errors
    /// Everything that keeps it from being used, with its line.
    pub fn parse(name: &str, bytes: &[u8]) -> Result<Self, FileError> {
        let task: Task = file::read(name, bytes)?;
        let version = task.version;
        let exam = Self { task };
        let mut complaints = exam.paper().check();
        if version != VERSION {
            let message = format!("is {version}, expected {VERSION}: this program reads no other form");
            complaints.insert(0, Complaint { path: "version".to_owned(), message });
        }
        if complaints.is_empty() {
            Ok(exam)
        } else {
            Err(FileError::from_complaints(name, bytes, &complaints))
        }
    }

    /// The entry's text.
    ///
    /// # Errors
    /// A value that TOML cannot hold; never for a paper without complaints.
    pub fn to_toml(&self) -> Result<String, WriteError> {
        file::write(&self.task)
    }

    /// The paper that the trainee sits: a plate as on the drawing, without a flaw.
    pub fn paper(&self) -> Paper {
        let task = &self.task;
        Paper {
            version: paper::VERSION,
            plate: Plate {
                id: task.name.clone(),
                title: task.name.clone(),
                note: task.note.clone(),
                seed: 0,
                thickness_mm: task.thickness_mm,
                length_mm: task.length_mm,
                width_mm: task.width_mm,
                grain_level_db: GRAIN_LEVEL_DB,
                longitudinal_waves: false,
                solid: acoustics::material::Solid::STEEL,
                joint: task.joint.clone(),
                block: None,
                flaws: Vec::new(),
            },
            procedure: task.procedure.clone(),
            scheme: Scheme::default(),
        }
    }
}
