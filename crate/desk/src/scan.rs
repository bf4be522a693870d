//! A recorded scan of a plate, computed on all cores.

use std::io::{IsTerminal, Write, stderr};
use std::path::PathBuf;

use clap::Args;
use exam::npz;
use exam::paper::Paper;
use exam::recorded_exam::{self, RecordedExam, RecordedExamError};
use instrument::pose::{Face, Side};
use instrument::recording::{Course, Recording};

use crate::failure::Failure;
use crate::files;
use crate::frame::SideName;

mod picture;
mod workers;

use picture::ProjectionName;

/// Arguments of `scan`.
#[derive(Args)]
pub struct Arguments {
    /// Plate file.
    plate: PathBuf,
    /// Sides to scan from; without it those of the procedure.
    #[arg(long, value_enum, ignore_case = true, value_delimiter = ',')]
    side: Vec<SideName>,
    /// Index offsets (centreline to wedge front), mm: a pass for each from each side; without it the middle of what the
    /// procedure allows.
    #[arg(long, allow_negative_numbers = true, value_delimiter = ',')]
    index_offset: Vec<f64>,
    /// Turn of the probe, degrees, positive towards larger y.
    #[arg(long, default_value_t = 0.0, allow_negative_numbers = true)]
    skew: f64,
    /// From one line to the next, mm.
    #[arg(long, default_value_t = 1.0)]
    step: f64,
    /// First line, mm from the datum.
    #[arg(long, default_value_t = 0.0)]
    from: f64,
    /// Last line, mm from the datum; without it the end of the plate.
    #[arg(long)]
    to: Option<f64>,
    /// How many cores compute; without it all. The result is the same.
    #[arg(long, value_parser = clap::value_parser!(u32).range(1..=256))]
    cores: Option<u32>,
    /// Draw the plate as scanned from this direction, instead of writing the samples.
    #[arg(long, value_enum)]
    picture: Option<ProjectionName>,
    /// Make it a recorded exam of this name: a file that a trainee opens in the page. It tells nothing of the plate but its
    /// drawing and procedure.
    #[arg(long, value_name = "NAME", conflicts_with = "picture")]
    exam: Option<String>,
    /// File to write: .npz for the recording (see docs/recording.md), .png with --picture.
    #[arg(short, long)]
    output: PathBuf,
}

/// Scans and writes.
///
/// # Errors
/// A plate or an argument that cannot be used, or a file that cannot be written.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let expected = if arguments.picture.is_some() { "png" } else { "npz" };
    if arguments.output.extension().is_none_or(|extension| extension != expected) {
        let output = arguments.output.display();
        return Err(Failure::Said(format!("{output}: expected a name that ends in .{expected}")));
    }
    let mut paper = files::paper(&arguments.plate)?;
    let mut exam = None;
    if let Some(name) = &arguments.exam {
        paper = recorded_exam::to_record(&paper, name)?;
        exam = Some(RecordedExam::of(&paper, name).to_toml().map_err(RecordedExamError::from)?);
    }
    let courses = courses(arguments, &paper)?;
    let loud = stderr().is_terminal();
    let mut told = 0;
    let recording = workers::record(&paper, &courses, arguments.cores, |done, all| {
        let percent = done * 100 / all;
        if loud && percent > told {
            told = percent;
            // Nobody needs to be told that nobody could be told.
            let _ = write!(stderr(), "\r{percent:3} % of {all} lines{}", if done == all { "\n" } else { "" });
        }
    })?;
    let bytes = match arguments.picture {
        Some(projection) => picture::png(&recording, projection)?,
        None => {
            let exam = exam.as_ref().map(|text| (recorded_exam::ENTRY, text.as_bytes()));
            npz::write_with(&recording, exam.as_slice()).map_err(RecordedExamError::from)?
        }
    };
    files::write(&arguments.output, &bytes)
}

/// The passes asked for.
fn courses(arguments: &Arguments, paper: &Paper) -> Result<Vec<Course>, Failure> {
    let plate = &paper.plate;
    let within = |name: &str, value: f64, low: f64, high: f64, unit: &str| {
        if (low..=high).contains(&value) {
            Ok(value)
        } else {
            Err(Failure::Said(format!("--{name} is {value}, expected {low} to {high}{unit}")))
        }
    };
    let start_mm = within("from", arguments.from, 0.0, plate.length_mm, " mm")?;
    let end_mm = within("to", arguments.to.unwrap_or(plate.length_mm), start_mm, plate.length_mm, " mm")?;
    let step_mm = within("step", arguments.step, 0.1, 100.0, " mm")?;
    let skew_deg = within("skew", arguments.skew, -180.0, 180.0, "°")?;
    let half = plate.width_mm / 2.0;
    for &offset in &arguments.index_offset {
        within("index-offset", offset, -half, half, " mm")?;
    }
    let [near, far] = paper.procedure.index_offset_mm;
    let middle = [(near + far) / 2.0];
    let offsets = if arguments.index_offset.is_empty() { &middle[..] } else { &arguments.index_offset };
    let sides: Vec<Side> = if arguments.side.is_empty() {
        paper.procedure.sides.clone()
    } else {
        arguments.side.iter().map(|side| side.side()).collect()
    };
    // A step that divides the length is not robbed of its last line by rounding.
    let lines = ((end_mm - start_mm) / step_mm + 1e-6) as u32 + 1;
    let course = |side, index_offset_mm| Course {
        face: Face::Upper,
        side,
        index_offset_mm,
        skew_deg,
        start_mm,
        step_mm,
        lines,
    };
    Ok(sides.iter().flat_map(|&side| offsets.iter().map(move |&offset| course(side, offset))).collect())
}

/// A recording of a paper's plate without any line, with its passes begun.
fn begun(paper: &Paper, mut recording: Recording, courses: &[Course]) -> Result<Recording, Failure> {
    for course in courses {
        recording
            .begin(*course)
            .map_err(|error| Failure::Said(format!("plate {}: {error}", paper.plate.id)))?;
    }
    Ok(recording)
}
