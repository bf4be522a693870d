//! Marking an answer sheet.

use std::io::{self, Write};
use std::path::{Path, PathBuf};

use clap::Args;
use exam::debrief::{self, FlawNote};
use exam::fair;
use exam::hand_in::{self, HandIn, Signature, ToldMark};
use exam::marking::{Marks, PartRow};
use exam::paper::Paper;
use exam::replayed::Replayed;
use exam::said::Language;
use exam::seal::{self, Sealed};
use exam::session_kind::SessionKind;
use exam::sheet::AnswerSheet;
use exam::snapshot::Kept;
use exam::words;

use crate::failure::Failure;
use crate::files;

mod class;
mod report;

/// Arguments of `mark`.
#[derive(Args)]
pub struct Arguments {
    /// Plate file, sealed or not.
    plate: PathBuf,
    /// Answer sheet (JSON, or a table whose name ends in .csv) or hand-in.
    #[arg(required_unless_present = "class")]
    answers: Option<PathBuf>,
    /// Text file with the instructor's passphrase in its first line, for a sealed plate.
    #[arg(long, value_name = "FILE")]
    passphrase_file: Option<PathBuf>,
    /// Mark every hand-in and answer sheet (.json) of this folder instead.
    #[arg(long, value_name = "FOLDER", requires = "output", conflicts_with_all = ["answers", "json", "drawings"])]
    class: Option<PathBuf>,
    /// Folder for the class's table (class.csv), numbers (class.json) and report (class.html).
    #[arg(short, long, value_name = "FOLDER")]
    output: Option<PathBuf>,
    /// Do not compute the last frame of each hand-in's session again to compare it with the one the session saw.
    #[arg(long)]
    without_replay: bool,
    /// Print the marks as JSON.
    #[arg(long)]
    json: bool,
    /// Also write the drawings of truth and calls into this folder: top.svg, side.svg and end.svg.
    #[arg(long, value_name = "FOLDER")]
    drawings: Option<PathBuf>,
}

/// Marks and prints.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let (paper, key) = plate(&arguments.plate, arguments.passphrase_file.as_deref())?;
    if let (Some(folder), Some(output)) = (&arguments.class, &arguments.output) {
        let plate = (&paper, key.as_ref());
        return class::run(folder, plate, output, !arguments.without_replay);
    }
    let Some(answers) = &arguments.answers else {
        return Err(Failure::Said("no answers were named, expected a file or --class".to_owned()));
    };
    let bytes = files::read(answers, hand_in::SIZE_LIMIT_BYTES)?;
    let name = answers.display().to_string();
    let (kind, sheet, marks, remark, replayed) = if HandIn::claimed(&bytes) {
        let work = HandIn::parse(&name, &bytes)?;
        let signature = work.check(&name, &paper, key.as_ref())?;
        let kind = work.kind(&paper);
        let marks = match kind {
            SessionKind::Live => fair::mark_session(&paper, &work.log)?,
            _ => kind.tell(fair::mark(&paper, work.sheet())?),
        };
        let remark = told(&work, kind, signature, &marks);
        // Under whatever name it was sat: the hand-in is this plate's.
        let sheet = AnswerSheet { plate_id: None, ..work.sheet().clone() };
        let replayed = match arguments.without_replay {
            true => None,
            false => work.replay(&paper, &mut Kept::default()),
        };
        (kind, sheet, marks, Some(remark), replayed)
    } else {
        let table = answers.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("csv"));
        let sheet =
            if table { AnswerSheet::parse_csv(&name, &bytes)? } else { AnswerSheet::parse(&name, &bytes)? };
        let marks = fair::mark(&paper, &sheet)?;
        (SessionKind::Sheet, sheet, marks, None, None)
    };
    if let Some(id) = &sheet.plate_id
        && *id != paper.plate.id
    {
        let plate = &paper.plate.id;
        return Err(Failure::Said(format!(
            "{name}: is for plate {id}, but the plate file holds plate {plate}"
        )));
    }
    let notes = debrief::notes(&paper, &marks);
    if let Some(folder) = &arguments.drawings {
        std::fs::create_dir_all(folder).map_err(|error| Failure::Write { path: folder.clone(), error })?;
        let drawings = debrief::drawings(&Language::english(), &paper, &sheet, Some(&marks));
        for (name, text) in [("top", drawings.top), ("side", drawings.side), ("end", drawings.end)] {
            files::write(&folder.join(format!("{name}.svg")), text.as_bytes())?;
        }
    }
    let doubts: Vec<String> = sheet.check(&paper.plate).into_iter().map(|doubt| doubt.to_string()).collect();
    let mut out = io::stdout().lock();
    if arguments.json {
        #[derive(serde::Serialize)]
        struct Report<'a> {
            session: SessionKind,
            marks: &'a Marks,
            notes: &'a [FlawNote],
            doubts: &'a [String],
            #[serde(skip_serializing_if = "Option::is_none")]
            replayed: Option<Replay<'a>>,
        }
        #[derive(serde::Serialize)]
        struct Replay<'a> {
            #[serde(flatten)]
            found: &'a Replayed,
            sentence: String,
        }
        let replayed =
            replayed.as_ref().map(|found| Replay { found, sentence: found.sentence().to_string() });
        let report = Report { session: kind, marks: &marks, notes: &notes, doubts: &doubts, replayed };
        serde_json::to_writer_pretty(&mut out, &report)?;
        writeln!(out)?;
        return Ok(());
    }
    if let Some(remark) = remark {
        writeln!(out, "{remark}")?;
        if let Some(found) = &replayed {
            writeln!(out, "{}", found.sentence())?;
        }
        writeln!(out)?;
    }
    writeln!(out, "{}\n", kind.sentence())?;
    print(&mut out, &marks, &notes, &doubts)?;
    Ok(())
}

/// The plate, and the key of its hand-ins where it was sealed.
pub fn plate(path: &Path, passphrase_file: Option<&Path>) -> Result<(Paper, Option<[u8; 32]>), Failure> {
    let bytes = files::read(path, seal::SIZE_LIMIT_BYTES)?;
    if !Sealed::claimed(&bytes) {
        return Ok((files::paper(path)?, None));
    }
    let Some(passphrase_file) = passphrase_file else {
        let plate = path.display();
        return Err(Failure::Files(format!("{plate}: is sealed, expected --passphrase-file as well")));
    };
    let opened = crate::plate::seal::open(path, passphrase_file)?;
    Ok((opened.paper, Some(opened.signing_key)))
}

/// What there is to say of a hand-in beside its marks.
fn told(work: &HandIn, kind: SessionKind, signature: Signature, marks: &Marks) -> String {
    let signed = match signature {
        _ if kind == SessionKind::Recorded => "of a recorded exam, not signed",
        Signature::Good => "signed with the plate's key and unchanged",
        Signature::Absent => "not signed: the plate was not sealed",
    };
    let mark = match work.told_mark() {
        None => "the page told no mark".to_owned(),
        Some(told) if told == ToldMark::of(marks) => "the mark is the one the page told".to_owned(),
        Some(told) => format!("the page told {}", words::percent(told.percent)),
    };
    let who = if work.sitter().is_empty() { "no name" } else { work.sitter() };
    format!("Hand-in of {who}, {} used; {signed}; {mark}.", words::clock(work.used_ms()))
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
