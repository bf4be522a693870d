//! Marking an answer sheet.

use std::io::{self, Write};
use std::path::PathBuf;

use clap::Args;
use exam::debrief::{self, FlawNote};
use exam::fair;
use exam::marking::{Marks, PartRow};
use exam::sheet::{self, AnswerSheet};
use exam::words;

use crate::failure::Failure;
use crate::files;

/// Arguments of `mark`.
#[derive(Args)]
pub struct Arguments {
    /// Plate file.
    plate: PathBuf,
    /// Answer sheet (JSON).
    answers: PathBuf,
    /// Print the marks as JSON.
    #[arg(long)]
    json: bool,
    /// Also write the drawings of truth and calls into this folder: top.svg, side.svg and end.svg.
    #[arg(long, value_name = "FOLDER")]
    drawings: Option<PathBuf>,
}

/// Marks and prints.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let paper = files::paper(&arguments.plate)?;
    let bytes = files::read(&arguments.answers, sheet::SIZE_LIMIT_BYTES)?;
    let name = arguments.answers.display().to_string();
    let sheet = AnswerSheet::parse(&name, &bytes)?;
    if let Some(id) = &sheet.plate_id
        && *id != paper.plate.id
    {
        let plate = &paper.plate.id;
        return Err(Failure::Said(format!(
            "{name}: is for plate {id}, but the plate file holds plate {plate}"
        )));
    }
    let marks = fair::mark(&paper, &sheet)?;
    let notes = debrief::notes(&paper, &marks);
    if let Some(folder) = &arguments.drawings {
        std::fs::create_dir_all(folder).map_err(|error| Failure::Write { path: folder.clone(), error })?;
        let drawings = debrief::drawings(&paper, &sheet, &marks);
        for (name, text) in [("top", drawings.top), ("side", drawings.side), ("end", drawings.end)] {
            files::write(&folder.join(format!("{name}.svg")), text.as_bytes())?;
        }
    }
    let doubts: Vec<String> = sheet.check(&paper.plate).into_iter().map(|doubt| doubt.message).collect();
    let mut out = io::stdout().lock();
    if arguments.json {
        #[derive(serde::Serialize)]
        struct Report<'a> {
            marks: &'a Marks,
            notes: &'a [FlawNote],
            doubts: &'a [String],
        }
        serde_json::to_writer_pretty(&mut out, &Report { marks: &marks, notes: &notes, doubts: &doubts })?;
        writeln!(out)?;
        return Ok(());
    }
    print(&mut out, &marks, &notes, &doubts)?;
    Ok(())
}

fn print(out: &mut impl Write, marks: &Marks, notes: &[FlawNote], doubts: &[String]) -> io::Result<()> {
    writeln!(out, "Plate {}\n", marks.plate_id)?;
    for reason in &marks.reasons {
        writeln!(out, "{reason}")?;
    }
    for row in &marks.flaws {
        writeln!(out, "\n{}", row.reason)?;
        parts(out, &row.parts)?;
        for note in notes.iter().filter(|note| note.flaw == row.number) {
            for sentence in &note.sentences {
                writeln!(out, "      {sentence}")?;
            }
        }
    }
    if !marks.clean.is_empty() {
        writeln!(out, "\nA plate without a flaw:")?;
        parts(out, &marks.clean)?;
    }
    if !marks.calls.is_empty() {
        writeln!(out, "\nCalls:")?;
    }
    for row in &marks.calls {
        let line = row.scheme_line.as_ref().map_or_else(String::new, |line| format!(" ({line})"));
        writeln!(out, "  {}{line}", row.reason)?;
    }
    if !doubts.is_empty() {
        writeln!(out, "\nDoubtful on the sheet:")?;
    }
    for doubt in doubts {
        writeln!(out, "  {}", words::capital(doubt))?;
    }
    writeln!(out, "\n{}\n{}", marks.not_marked, marks.caution)
}

fn parts(out: &mut impl Write, rows: &[PartRow]) -> io::Result<()> {
    for part in rows {
        let (points, possible) = (words::points(part.points), words::points(part.possible));
        writeln!(out, "  {points:>4} of {possible:>3}  {} ({})", part.reason, part.scheme_line)?;
    }
    Ok(())
}
