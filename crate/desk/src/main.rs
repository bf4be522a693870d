//! The native command `trialplate`: makes and checks plates, computes frames, marks answer sheets. Everything is
//! computed where the browser has it computed too; this only reads files, calls and prints.

use std::process::ExitCode;

use clap::{Parser, Subcommand};

mod case;
mod failure;
mod files;
mod frame;
mod mark;
mod pictures;
mod plate;
mod plate_file;
mod report;
mod scan;
mod sheet;

use failure::Failure;

/// Trialplate at the command line: training plates for phased-array ultrasonic weld inspection.
///
/// Training only: no finding on a real weld may rest on it. Real work follows the code, the written procedure and
/// certified people.
#[derive(Parser)]
#[command(version)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Make and check plates.
    #[command(subcommand)]
    Plate(plate::Command),
    /// Compute one frame of a plate at a pose, as numbers (.npy) or as a picture (.png).
    Frame(frame::Arguments),
    /// Record a scan along the weld on all cores (.npz), or draw it (.png).
    Scan(scan::Arguments),
    /// Put the echo model to cases with full-wave answers and compare.
    Case(case::Arguments),
    /// Draw textbook situations in a plate's weld as sector images (.png).
    Pictures(pictures::Arguments),
    /// Mark an answer sheet against its plate, row by row with the reasons.
    Mark(mark::Arguments),
    /// A report on a hand-in to print (.html), for the examiner, the welder or the engineer.
    Report(report::Arguments),
    /// Blank answer sheets, and answers as tables.
    #[command(subcommand)]
    Sheet(sheet::Command),
}

fn main() -> ExitCode {
    let result = match Arguments::parse().command {
        Command::Plate(command) => plate::run(&command),
        Command::Frame(arguments) => frame::run(&arguments),
        Command::Scan(arguments) => scan::run(&arguments),
        Command::Case(arguments) => case::run(&arguments),
        Command::Pictures(arguments) => pictures::run(&arguments),
        Command::Mark(arguments) => mark::run(&arguments),
        Command::Report(arguments) => report::run(&arguments),
        Command::Sheet(command) => sheet::run(&command),
    };
    match result {
        Ok(()) => ExitCode::SUCCESS,
        // Whoever read the output has seen enough.
        Err(Failure::Output(error)) if error.kind() == std::io::ErrorKind::BrokenPipe => ExitCode::SUCCESS,
        Err(failure) => {
            eprintln!("{failure}");
            ExitCode::from(failure.code())
        }
    }
}
