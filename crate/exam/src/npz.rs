//! Recordings as files of NumPy's .npz form: a zip of arrays and one JSON entry. `docs/recording.md` has the layout.
//! Nothing of the plate's flaws is written; there is nothing of them in a recording but their echoes.

mod archive;
mod array;
mod read;
mod write;

use serde::{Deserialize, Serialize};

pub use read::{read, read_beside, read_plate_id};
pub use write::{Writing, write, write_with};

use instrument::recording::{Course, Setting, scale};

/// Version of the layout.
pub const VERSION: u32 = 1;
/// What the JSON entry says of itself.
const FORM: &str = "trialplate recording";
/// Stands in every file.
const CAUTION: &str = "Simulated, for training only: no finding on a real weld may rest on it.";
/// Most bytes of the JSON entry.
const MOST_METADATA_BYTES: u64 = 1_000_000;

/// Largest file that is looked at, bytes: more than a full recording can take.
pub const MOST_FILE_BYTES: usize = 450_000_000;

/// Most samples of a line, of all its beams: what is looked at of a file takes forty times as many bytes. 181 beams over the
/// longest range have a fifth of it.
const MOST_FRAME_SAMPLES: u64 = 2_000_000;

const METADATA: &str = "metadata.json";
const PERCENT_OF_CODE: &str = "percent_of_code.npy";
const ANGLE: &str = "beam_angle_deg.npy";
const EXIT: &str = "beam_exit_forward_mm.npy";
const FIRST_PATH: &str = "beam_first_path_mm.npy";
const FIRST_SAMPLE: &str = "beam_first_sample.npy";

fn amplitude(pass: usize) -> String {
    format!("pass_{pass}_amplitude.npy")
}

fn recorded(pass: usize) -> String {
    format!("pass_{pass}_recorded.npy")
}

/// Why a file cannot be read or written.
#[derive(Debug, thiserror::Error)]
pub enum NpzError {
    /// No zip, or one that cannot be followed.
    #[error("not an .npz file: expected a zip archive ({0})")]
    NoArchive(String),
    /// Larger than any recording.
    #[error("the file has {mb} MB, expected at most {} MB", MOST_FILE_BYTES / 1_000_000)]
    TooLarge {
        /// Its size, MB.
        mb: usize,
    },
    /// An entry that cannot be used.
    #[error("{entry}: {message}")]
    Entry {
        /// Name of the entry.
        entry: String,
        /// What is wrong and what was expected.
        message: String,
    },
    /// The file could not be written.
    #[error("the recording cannot be written: {0}")]
    Write(String),
}

impl NpzError {
    fn entry(entry: &str, message: impl core::fmt::Display) -> Self {
        Self::Entry { entry: entry.to_owned(), message: message.to_string() }
    }
}

/// The JSON entry.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Metadata {
    form: String,
    version: u32,
    caution: String,
    scale: ScaleNote,
    setting: Setting,
    passes: Vec<Course>,
}

/// The scale of amplitudes in words of JSON; fixed by the version.
#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ScaleNote {
    step_db: f64,
    floor_db: f64,
}

const SCALE: ScaleNote = ScaleNote { step_db: scale::STEP_DB, floor_db: scale::FLOOR_DB };
