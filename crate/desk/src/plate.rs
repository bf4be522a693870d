//! Making and checking plates.

use std::io::{self, Write};
use std::path::PathBuf;

use clap::{Args, Subcommand, ValueEnum};
use exam::paper::Paper;
use exam::words;
use specimen::generator::Design;
use specimen::joint::Preparation;

use crate::failure::Failure;
use crate::files;
use crate::plate_file;

mod batch;
mod check;
mod draw;
pub mod seal;

/// What to do with plates.
#[derive(Subcommand)]
pub enum Command {
    /// Make a new plate from joint, level and seed; the same ones give the same plate on every machine.
    ///
    /// It is scanned once: flaws too quiet for the standard procedure are not mandatory and not counted.
    New(New),
    /// Check plate files, and say how each flaw stands from each side and in each leg.
    ///
    /// Prints everything that is wrong with a file with its line; for a sound one, per flaw, side and leg: the best echo
    /// against the reference, where and with which beam, and what cap, root and grain give beside it. Fails with exit code 2
    /// for a file that is wrong or a plate that cannot be sat fairly, and says why.
    Check(check::Check),
    /// Make many plates with a manifest, on all cores.
    Batch(batch::Batch),
    /// Draw a plate from above, across the weld and from the side.
    Draw(draw::Draw),
    /// Set one value of a plate file; comments and order stay, and a value that does not fit is refused.
    Set(plate_file::Set),
    /// Bring plate files to the newest version of their form; comments and order stay.
    Migrate(plate_file::Migrate),
    /// Seal a plate for an exam: readable with a passphrase only.
    ///
    /// docs/exams.md says what a seal keeps from whom, and what it does not.
    Seal(seal::Seal),
    /// Open a sealed plate with the instructor's passphrase.
    Unseal(seal::Unseal),
    /// Print the JSON Schema of plate files.
    Schema,
}

/// The joint.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum JointName {
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

/// Runs a plate command.
pub fn run(command: &Command) -> Result<(), Failure> {
    match command {
        Command::New(arguments) => new(arguments),
        Command::Check(arguments) => check::run(arguments),
        Command::Batch(arguments) => batch::run(arguments),
        Command::Draw(arguments) => draw::run(arguments),
        Command::Set(arguments) => plate_file::set(arguments),
        Command::Migrate(arguments) => plate_file::migrate(arguments),
        Command::Seal(arguments) => seal::seal(arguments),
        Command::Unseal(arguments) => seal::unseal(arguments),
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

/// The plate in a sentence.
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
