//! `plate check`: what is wrong with a file, and how each flaw stands.

use std::io::{self, Write};
use std::path::{Path, PathBuf};

use clap::Args;
use exam::detectability::{self, Detectability, FlawRows, Row};
use exam::words;

use crate::failure::Failure;
use crate::files;

/// Arguments of `plate check`.
#[derive(Args)]
pub struct Check {
    /// Plate files.
    #[arg(required = true)]
    files: Vec<PathBuf>,
    /// Print the tables as JSON: an array, one entry a sound file.
    #[arg(long)]
    json: bool,
    /// Only read the files and check their values; scan nothing.
    #[arg(long, conflicts_with = "json")]
    form: bool,
}

/// A table with the file it belongs to.
#[derive(serde::Serialize)]
struct Checked {
    file: String,
    fair: bool,
    #[serde(flatten)]
    table: Detectability,
}

/// Runs the command.
pub fn run(arguments: &Check) -> Result<(), Failure> {
    let mut bad = Vec::new();
    let mut tables = Vec::new();
    let mut out = io::stdout().lock();
    for path in &arguments.files {
        match one(path, arguments, &mut out) {
            Ok(Some(checked)) => {
                bad.extend(checked.table.unfair.iter().map(|why| format!("{}: {why}", checked.file)));
                tables.push(checked);
            }
            Ok(None) => {}
            Err(Failure::Output(error)) => return Err(Failure::Output(error)),
            Err(failure) => bad.push(failure.to_string()),
        }
    }
    if arguments.json {
        serde_json::to_writer_pretty(&mut out, &tables)?;
        writeln!(out)?;
    }
    out.flush()?;
    if bad.is_empty() { Ok(()) } else { Err(Failure::Files(bad.join("\n"))) }
}

/// Checks a file and prints its table, or hands it back for the JSON text.
fn one(path: &Path, arguments: &Check, out: &mut impl Write) -> Result<Option<Checked>, Failure> {
    let paper = files::paper(path)?;
    let file = path.display().to_string();
    if arguments.form {
        writeln!(out, "{file}: sound. {}", super::summary(&paper))?;
        return Ok(None);
    }
    let table = detectability::table(&paper)?;
    if !arguments.json {
        writeln!(out, "{file}: sound. {}", super::summary(&paper))?;
        print(&table, out)?;
    }
    Ok(Some(Checked { file, fair: table.is_fair(), table }))
}

/// The table as text.
fn print(table: &Detectability, out: &mut impl Write) -> io::Result<()> {
    let noise = table.noise_db.map_or(String::new(), |noise| format!("; grain reaches {}", words::db(noise)));
    writeln!(out, "  Recording level {}{noise}.", words::db(table.recording_level_db))?;
    for flaw in &table.flaws {
        print_flaw(flaw, out)?;
    }
    match table.is_fair() {
        true => writeln!(out, "  Can be sat fairly."),
        false => writeln!(out, "  Cannot be sat fairly."),
    }
}

fn print_flaw(flaw: &FlawRows, out: &mut impl Write) -> io::Result<()> {
    let counted = match (flaw.excused, flaw.mandatory) {
        (true, _) => ", not counted",
        (false, true) => ", mandatory",
        (false, false) => "",
    };
    let along = words::stretch_mm(flaw.extent.along_mm);
    writeln!(out, "  Flaw {}: {}, {along} along the weld{counted}", flaw.flaw + 1, flaw.kind.words())?;
    writeln!(
        out,
        "    side leg  {:>8}  {:>4}  {:>8}  {:>8}  {:>10}  {:>9}  {:>9}  {:>8}",
        "echo", "beam", "path", "depth", "wedge front", "along", "cap, root", "grain"
    )?;
    for Row { echo, geometry_db, noise_db, standing } in &flaw.rows {
        let [side, leg] = [format!("{:?}", echo.side), echo.leg.to_string()];
        writeln!(
            out,
            "    {side:<4} {leg:<3}  {:>8}  {:>4}  {:>8}  {:>8}  {:>10}   {:>9}  {:>9}  {:>8}  {}",
            words::db(echo.amplitude_db),
            words::degrees(echo.angle_deg),
            words::mm(echo.sound_path_mm),
            words::mm(echo.depth_mm),
            words::mm(echo.index_offset_mm),
            words::mm(echo.y_mm),
            words::db(*geometry_db),
            words::db(*noise_db),
            standing.words(),
        )?;
    }
    Ok(())
}
