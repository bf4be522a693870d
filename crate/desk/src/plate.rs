//! Making and checking plates.

use std::io::{self, Write};
use std::path::PathBuf;

use clap::{Args, Subcommand, ValueEnum};
use exam::findable;
use exam::paper::Paper;
use exam::words;
use specimen::generator::Design;
use specimen::joint::Preparation;

use crate::failure::Failure;
use crate::files;
use crate::plate_file;

/// What to do with plates.
#[derive(Subcommand)]
pub enum Command {
    /// Draw a new plate from preparation, level and seed; the same ones give the same plate on every machine. It is
    /// scanned once, which takes some seconds: flaws too quiet for the procedure are not counted.
    New(New),
    /// Check plate files: prints a summary, or everything that is wrong with its line.
    Check(Check),
    /// Scan a plate and say how high each flaw stands at best from each side; fails when a flaw stays below
    /// the recording level and the marking scheme does not say so.
    Echoes(Echoes),
    /// Set one value of a plate file; comments and order stay, and a value that does not fit is refused.
    Set(plate_file::Set),
    /// Bring plate files to the newest version of their form; comments and order stay.
    Migrate(plate_file::Migrate),
    /// Print the JSON Schema of plate files.
    Schema,
}

/// The joint.
#[derive(Clone, Copy, ValueEnum)]
enum JointName {
    /// One V open to the upper face.
    SingleV,
    /// A V from each face.
    DoubleV,
    /// One edge bevelled, the other upright.
    SingleBevel,
    /// One edge bevelled from both faces, the other upright.
    DoubleBevel,
    /// One edge with a J, the other upright.
    SingleJ,
    /// Both edges upright.
    Square,
    /// A single V on a backing bar.
    BackingBar,
}

impl From<JointName> for Design {
    fn from(name: JointName) -> Self {
        let preparation = match name {
            JointName::SingleV | JointName::BackingBar => Preparation::SingleV,
            JointName::DoubleV => Preparation::DoubleV,
            JointName::SingleBevel => Preparation::SingleBevel,
            JointName::DoubleBevel => Preparation::DoubleBevel,
            JointName::SingleJ => Preparation::SingleJ,
            JointName::Square => Preparation::Square,
        };
        Self { preparation, backing_bar: matches!(name, JointName::BackingBar) }
    }
}

/// Arguments of `plate new`.
#[derive(Args)]
pub struct New {
    /// The joint.
    #[arg(long, alias = "preparation", value_enum)]
    joint: JointName,
    /// From 1 (easy) to 5 (hard).
    #[arg(long, value_parser = clap::value_parser!(u8).range(1..=5))]
    level: u8,
    /// Any whole number below 2^63 (the largest a plate file can hold).
    #[arg(long, value_parser = clap::value_parser!(u64).range(..=i64::MAX as u64))]
    seed: u64,
    /// File to write; standard output without it.
    #[arg(short, long)]
    output: Option<PathBuf>,
}

/// Arguments of `plate check`.
#[derive(Args)]
pub struct Check {
    /// Plate files.
    #[arg(required = true)]
    files: Vec<PathBuf>,
}

/// Arguments of `plate echoes`.
#[derive(Args)]
pub struct Echoes {
    /// Plate file.
    file: PathBuf,
}

/// Runs a plate command.
pub fn run(command: &Command) -> Result<(), Failure> {
    match command {
        Command::New(arguments) => new(arguments),
        Command::Check(arguments) => check(arguments),
        Command::Echoes(arguments) => echoes(arguments),
        Command::Set(arguments) => plate_file::set(arguments),
        Command::Migrate(arguments) => plate_file::migrate(arguments),
        Command::Schema => plate_file::schema(),
    }
}

fn new(arguments: &New) -> Result<(), Failure> {
    let text = Paper::generate(arguments.joint, arguments.level, arguments.seed).made_fair()?.to_toml()?;
    match &arguments.output {
        Some(path) => files::write_new(path, text.as_bytes()),
        None => Ok(io::stdout().write_all(text.as_bytes())?),
    }
}

fn check(arguments: &Check) -> Result<(), Failure> {
    let mut bad = Vec::new();
    let mut out = io::stdout().lock();
    for path in &arguments.files {
        match files::paper(path) {
            Ok(paper) => writeln!(out, "{}: sound. {}", path.display(), summary(&paper))?,
            Err(failure) => bad.push(failure.to_string()),
        }
    }
    if bad.is_empty() { Ok(()) } else { Err(Failure::Files(bad.join("\n"))) }
}

fn echoes(arguments: &Echoes) -> Result<(), Failure> {
    let paper = files::paper(&arguments.file)?;
    let found = findable::best_echoes(&paper)?;
    let level = words::db(paper.procedure.recording_level_db);
    let mut out = io::stdout().lock();
    writeln!(out, "Plate {}, recording level {level}", paper.plate.id)?;
    for (index, flaw) in (0..).zip(&paper.plate.flaws) {
        let along = words::stretch_mm(flaw.extent(&paper.plate).along_mm);
        writeln!(out, "{}, {along} along the weld", flaw.kind.words())?;
        for echo in found.iter().filter(|echo| echo.flaw == index) {
            writeln!(
                out,
                "  side {:?}: {}{}; {} beam, sound path {}, wedge front {} from the centreline, at {}",
                echo.side,
                words::db(echo.amplitude_db),
                if echo.recordable { "" } else { ", below the recording level" },
                words::degrees(echo.angle_deg),
                words::mm(echo.sound_path_mm),
                words::mm(echo.index_offset_mm),
                words::mm(echo.y_mm),
            )?;
        }
    }
    let lost: Vec<String> = findable::out_of_reach(&found)
        .into_iter()
        .filter(|index| !paper.scheme.below_recording_level.contains(index))
        .map(|index| format!("plate.flaw[{index}]"))
        .collect();
    if lost.is_empty() {
        return Ok(());
    }
    let file = arguments.file.display();
    Err(Failure::Said(format!(
        "{file}: below the recording level everywhere, but not in scheme.below_recording_level: {}",
        words::list(&lost)
    )))
}

fn summary(paper: &Paper) -> String {
    let plate = &paper.plate;
    let mut kinds: Vec<String> = plate.flaws.iter().map(|flaw| flaw.kind.words().to_lowercase()).collect();
    kinds.sort();
    let flaws = if kinds.is_empty() { "no flaw".to_owned() } else { words::list(&kinds) };
    format!(
        "Plate {}: {} thick, {} long, {}; {flaws}.",
        plate.id,
        words::mm(plate.thickness_mm),
        words::mm(plate.length_mm),
        plate.joint.preparation.words(),
    )
}
