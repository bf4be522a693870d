//! A recorded scan: frames taken at even steps along the weld, in one or more passes, and what can be drawn and read from
//! them afterwards. One byte a sample ([`scale`]); whatever gain, gate or leg is asked for, the frames are not taken anew.

mod axis;
mod curve;
mod frame;
mod paint;
mod pass;
mod plate_view;
pub mod scale;
mod section_map;
mod selection;
mod setting;

use crate::bench::Instrument;
use crate::procedure::Procedure;
pub use curve::{Curve, Way};
pub use frame::{RecordedFrame, Sector};
pub use paint::Colouring;
pub use pass::{Course, Pass};
pub use plate_view::{Place, PlateView, Projection, ViewError};
use scale::Scale;
pub use selection::Selection;
pub use setting::{Beam, Setting};

/// Most bytes of a recording.
pub const MOST_BYTES: u64 = 400_000_000;
/// Most passes.
pub const MOST_PASSES: usize = 64;
/// Most lines of a pass.
pub const MOST_LINES: u32 = 100_000;

/// Why something cannot be recorded.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum RecordingError {
    /// A number of the course is out of its range.
    #[error("{name} is {value}, expected {expected}")]
    OutOfRange {
        /// Which number.
        name: &'static str,
        /// Its value.
        value: f64,
        /// What would be right.
        expected: String,
    },
    /// More than memory is meant to hold.
    #[error(
        "the recording would take {:.0} MB, at most {:.0} MB are kept; a larger step, a shorter range or fewer beams make it smaller",
        *bytes as f64 / 1e6, MOST_BYTES as f64 / 1e6
    )]
    TooLarge {
        /// Bytes it would take.
        bytes: u64,
    },
    /// No such pass, or no such line of it.
    #[error("the recording has no line {line} of pass {pass} (both from 0)")]
    NoSuchLine {
        /// Pass, from 0.
        pass: usize,
        /// Line, from 0.
        line: u32,
    },
    /// The frame was taken with other beams or samples.
    #[error("the frame has {got} samples, expected {expected}: it was taken with another set-up")]
    OtherSetUp {
        /// Its samples.
        got: usize,
        /// Samples of this recording's frames.
        expected: usize,
    },
    /// The frame was taken elsewhere.
    #[error("the frame was taken at another place than that of line {line}")]
    Elsewhere {
        /// Line, from 0.
        line: u32,
    },
}

/// Frames of one or more passes over one plate with one set-up.
#[derive(Clone, Debug)]
pub struct Recording {
    setting: Setting,
    passes: Vec<Pass>,
    scale: Scale,
}

impl Recording {
    /// An empty recording for an instrument that follows a procedure over a plate.
    pub fn new(instrument: &Instrument, procedure: &Procedure, plate_id: &str, length_mm: f64) -> Self {
        Self::with(Setting::new(instrument, procedure, plate_id, length_mm))
    }

    /// An empty recording with a setting.
    pub fn with(setting: Setting) -> Self {
        Self { setting, passes: Vec::new(), scale: Scale::default() }
    }

    /// What it was made with.
    pub fn setting(&self) -> &Setting {
        &self.setting
    }

    /// The passes, in the order they were begun.
    pub fn passes(&self) -> &[Pass] {
        &self.passes
    }

    /// The scale of its samples.
    pub fn scale(&self) -> &Scale {
        &self.scale
    }

    /// Begins a pass with all lines missing; gives its number, from 0.
    ///
    /// # Errors
    /// A course that makes no sense, or more than fits.
    pub fn begin(&mut self, course: Course) -> Result<usize, RecordingError> {
        check_course(&course)?;
        within("number of passes", self.passes.len() as f64 + 1.0, 1.0, MOST_PASSES as f64, "")?;
        let courses = self.passes.iter().map(Pass::course).chain([&course]);
        let bytes = bytes_needed(&self.setting, courses);
        if bytes > MOST_BYTES {
            return Err(RecordingError::TooLarge { bytes });
        }
        self.passes.push(Pass::new(course));
        Ok(self.passes.len() - 1)
    }

    /// Takes the instrument's present frame as a line of a pass, in place of one that is there.
    ///
    /// # Errors
    /// No such line; a frame taken with another set-up or at another pose than [`Course::pose`] of the line.
    pub fn take(&mut self, pass: usize, line: u32, instrument: &Instrument) -> Result<(), RecordingError> {
        let course = self.passes.get(pass).ok_or(RecordingError::NoSuchLine { pass, line })?.course;
        if *instrument.stand.pose() != course.pose(line) {
            return Err(RecordingError::Elsewhere { line });
        }
        self.put(pass, line, self.setting.codes(&self.scale, instrument))
    }

    /// Takes the frame at hand as a line that an encoder asked for which counts more or less than the way: the probe may stand
    /// elsewhere along the weld than the line says.
    ///
    /// # Errors
    /// No such line; a frame taken with another set-up.
    pub fn take_counted(
        &mut self,
        pass: usize,
        line: u32,
        instrument: &Instrument,
    ) -> Result<(), RecordingError> {
        self.put(pass, line, self.setting.codes(&self.scale, instrument))
    }

    /// Puts the codes of a frame ([`Setting::codes`]) as a line of a pass.
    ///
    /// # Errors
    /// No such line, or codes of another set-up.
    pub fn put(&mut self, pass: usize, line: u32, codes: Box<[u8]>) -> Result<(), RecordingError> {
        let expected = self.setting.frame_samples();
        if codes.len() != expected {
            return Err(RecordingError::OtherSetUp { got: codes.len(), expected });
        }
        let slot = self.passes.get_mut(pass).and_then(|pass| pass.lines.get_mut(line as usize));
        *slot.ok_or(RecordingError::NoSuchLine { pass, line })? = Some(codes);
        Ok(())
    }

    /// Gain at which it is shown unless another is set: the procedure's for scanning, dB.
    pub fn gain_db(&self) -> f64 {
        self.setting.reference_gain_db + self.setting.scanning_gain_db
    }

    /// Heights of all codes at a gain, % of full screen height, not clipped.
    fn percent_of_codes(&self, gain_db: f64) -> [f32; 256] {
        self.scale.percent(gain_db - self.setting.reference_gain_db)
    }
}

/// Bytes that passes take once all their lines are recorded: a byte a sample, and 16 a line to find it.
pub fn bytes_needed<'a>(setting: &Setting, courses: impl IntoIterator<Item = &'a Course>) -> u64 {
    let lines: u64 = courses.into_iter().map(|course| u64::from(course.lines)).sum();
    lines.saturating_mul(setting.frame_samples() as u64 + 16)
}

fn within(name: &'static str, value: f64, low: f64, high: f64, unit: &str) -> Result<(), RecordingError> {
    if (low..=high).contains(&value) {
        return Ok(());
    }
    Err(RecordingError::OutOfRange { name, value, expected: format!("{low} to {high}{unit}") })
}

fn check_course(course: &Course) -> Result<(), RecordingError> {
    within("index_offset_mm", course.index_offset_mm, -1000.0, 1000.0, " mm")?;
    within("skew_deg", course.skew_deg, -180.0, 180.0, "°")?;
    within("start_mm", course.start_mm, -10_000.0, 100_000.0, " mm")?;
    within("step_mm", course.step_mm, 0.1, 100.0, " mm")?;
    within("lines", f64::from(course.lines), 1.0, f64::from(MOST_LINES), "")
}
