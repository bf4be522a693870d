//! Reports on one piece of work, for the three people who read an inspection.

use std::path::PathBuf;

use clap::Args;
use exam::debrief::shot;
use exam::hand_in::{self, HandIn};
use exam::report::{self, Reader, Sitting};
use exam::said::Language;
use exam::sheet::AnswerSheet;
use exam::snapshot::{Kept, Shot};
use exam::{debrief, fair};

use crate::failure::Failure;
use crate::files;
use crate::frame::png_rgba;

/// Arguments of `report`.
#[derive(Args)]
pub struct Arguments {
    /// Hand-in, or an answer sheet (.json, or .csv).
    work: PathBuf,
    /// Plate file, sealed or not.
    #[arg(short, long, value_name = "FILE")]
    plate: PathBuf,
    /// Who reads it: the examiner is told everything, the welder what to grind out, the engineer what was examined and found.
    #[arg(long = "for", value_name = "READER", value_parser = Reader::ALL.map(Reader::name))]
    reader: String,
    /// Text file with the instructor's passphrase in its first line, for a sealed plate.
    #[arg(long, value_name = "FILE")]
    passphrase_file: Option<PathBuf>,
    /// File to write (.html).
    #[arg(short, long, value_name = "FILE")]
    output: PathBuf,
}

/// The picture of a shot as an address in the report itself.
fn picture(shot: &Option<Shot>) -> Result<String, Failure> {
    let Some(Shot { place, rgba, .. }) = shot else { return Ok(String::new()) };
    Ok(shot::address(&png_rgba([place.width_px, place.height_px], rgba)?))
}

/// Writes the report.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let Some(reader) = Reader::named(&arguments.reader) else {
        return Err(Failure::Said(format!("{}: expected examiner, welder or engineer", arguments.reader)));
    };
    let language = Language::english();
    let (paper, key) = crate::mark::plate(&arguments.plate, arguments.passphrase_file.as_deref())?;
    let name = arguments.work.display().to_string();
    let bytes = files::read(&arguments.work, hand_in::SIZE_LIMIT_BYTES)?;
    let text = if HandIn::claimed(&bytes) {
        let work = HandIn::parse(&name, &bytes)?;
        work.check(&name, &paper, key.as_ref())?;
        let shots = match reader {
            Reader::Welder => Vec::new(),
            Reader::Examiner | Reader::Engineer => work.shots(&paper)?,
        };
        let pictures = shots.iter().map(picture).collect::<Result<Vec<String>, Failure>>()?;
        let replayed = match reader {
            Reader::Examiner => work.replay(&paper, &mut Kept::default()).map(|found| found.sentence()),
            _ => None,
        };
        let replayed = replayed.as_ref();
        let sitting = Sitting { shots: &shots, pictures: &pictures, replayed, ..work.sitting(&paper) };
        report::html(reader, &language, &paper, &sitting, || work.look_back(&paper))?
    } else {
        let table = arguments.work.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("csv"));
        let read = if table { AnswerSheet::parse_csv } else { AnswerSheet::parse };
        let sheet = read(&name, &bytes)?;
        if let Some(id) = sheet.plate_id.as_ref().filter(|id| **id != paper.plate.id) {
            let plate = &paper.plate.id;
            return Err(Failure::Said(format!(
                "{name}: is for plate {id}, but the plate file holds plate {plate}"
            )));
        }
        report::html(reader, &language, &paper, &Sitting::of_sheet(&sheet), || {
            let marks = fair::mark(&paper, &sheet)?;
            let notes = debrief::notes(&paper, &marks);
            Ok::<_, Failure>((marks, notes))
        })?
    };
    files::write(&arguments.output, text.as_bytes())
}
