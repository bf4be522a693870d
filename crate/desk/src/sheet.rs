//! Answer sheets on paper and in spreadsheets.

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use exam::report::blank;
use exam::said::Language;
use exam::sheet::{self, AnswerSheet};

use crate::failure::Failure;
use crate::files;

/// What is done with a sheet.
#[derive(Subcommand)]
pub enum Command {
    /// A blank sheet for a plate, to print and fill in by hand (.html). Tells nothing of what is in the plate.
    Blank(Blank),
    /// Answers from JSON to a table (.csv), or from a table to JSON.
    Csv(Csv),
}

/// Arguments of `sheet blank`.
#[derive(Args)]
pub struct Blank {
    /// Plate file.
    plate: PathBuf,
    /// Rows for calls.
    #[arg(long, default_value_t = 12, value_parser = clap::value_parser!(u8).range(1..=60))]
    rows: u8,
    /// File to write (.html).
    #[arg(short, long, value_name = "FILE")]
    output: PathBuf,
}

/// Arguments of `sheet csv`.
#[derive(Args)]
pub struct Csv {
    /// Answers: a name that ends in .json or .csv.
    answers: PathBuf,
    /// File to write: .csv for answers in JSON, .json for a table.
    #[arg(short, long, value_name = "FILE")]
    output: PathBuf,
}

/// Runs the command.
pub fn run(command: &Command) -> Result<(), Failure> {
    match command {
        Command::Blank(arguments) => {
            let paper = files::paper(&arguments.plate)?;
            files::write(
                &arguments.output,
                blank::html(&Language::english(), &paper, usize::from(arguments.rows)).as_bytes(),
            )
        }
        Command::Csv(arguments) => convert(&arguments.answers, &arguments.output),
    }
}

fn convert(from: &Path, to: &Path) -> Result<(), Failure> {
    let ends =
        |path: &Path, with: &str| path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case(with));
    let name = from.display().to_string();
    let (ending, to_table) = match (ends(from, "json"), ends(from, "csv")) {
        (true, _) => ("csv", true),
        (_, true) => ("json", false),
        _ => return Err(Failure::Files(format!("{name}: expected a name that ends in .json or .csv"))),
    };
    if !ends(to, ending) {
        return Err(Failure::Files(format!("{}: expected a name that ends in .{ending}", to.display())));
    }
    let bytes = files::read(from, sheet::SIZE_LIMIT_BYTES)?;
    let text = if to_table {
        let written = AnswerSheet::parse(&name, &bytes)?.to_csv();
        written.map_err(|error| Failure::Said(format!("{}: cannot be written: {error}", to.display())))?
    } else {
        AnswerSheet::parse_csv(&name, &bytes)?.to_json()?
    };
    files::write(to, text.as_bytes())
}
