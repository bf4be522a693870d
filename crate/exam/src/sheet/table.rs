//! The answer sheet as a table (CSV), for spreadsheets.
//!
//! One row a call, one column a field. A row whose `call` says [`STATEMENT`] states that nothing is to be recorded; one with
//! nothing but a plate's id only tells the plate. Semicolons between the columns are read too, decimal commas with them.

use csv::{ErrorKind, Position, Reader, ReaderBuilder, StringRecord, Terminator, WriterBuilder};
use instrument::pose::Side;
use specimen::flaw::FlawKind;

use super::{AnswerSheet, Call, Decision, LONGEST_REMARK, MOST_CALLS, SIZE_LIMIT_BYTES, SheetError};

/// The columns, in the order in which they are written.
pub const COLUMNS: [&str; 13] = [
    "call",
    "plate_id",
    "kind",
    "start_mm",
    "end_mm",
    "offset_mm",
    "depth_mm",
    "height_mm",
    "amplitude_db",
    "side",
    "leg",
    "decision",
    "remark",
];

/// In the column `call`: nothing is to be recorded.
pub const STATEMENT: &str = "no-recordable-indication";

/// What a spreadsheet takes for the beginning of a formula. Such a text is written behind an apostrophe.
const FORMULA: [char; 7] = ['=', '+', '-', '@', '\t', '\r', '\''];

impl AnswerSheet {
    /// The sheet as a table.
    ///
    /// # Errors
    /// None in practice: the library's error type has to go on.
    pub fn to_csv(&self) -> Result<String, csv::Error> {
        let plate = self.plate_id.as_deref().map_or_else(String::new, guarded);
        let mut out = WriterBuilder::new().terminator(Terminator::CRLF).from_writer(Vec::new());
        out.write_record(COLUMNS)?;
        if self.no_recordable_indication || self.calls.is_empty() && self.plate_id.is_some() {
            let mut row = vec![String::new(); COLUMNS.len()];
            if self.no_recordable_indication {
                STATEMENT.clone_into(&mut row[0]);
            }
            row[1].clone_from(&plate);
            out.write_record(&row)?;
        }
        for (index, call) in self.calls.iter().enumerate() {
            let number = |value: Option<f64>| {
                value.filter(|value| value.is_finite()).map_or_else(String::new, |value| value.to_string())
            };
            out.write_record([
                (index + 1).to_string(),
                plate.clone(),
                call.kind.map_or_else(String::new, key),
                number(call.start_mm),
                number(call.end_mm),
                number(call.offset_mm),
                number(call.depth_mm),
                number(call.height_mm),
                number(call.amplitude_db),
                call.side.map_or("", |side| if side == Side::A { "A" } else { "B" }).to_owned(),
                call.leg.map_or_else(String::new, |leg| leg.to_string()),
                call.decision.map_or("", Decision::words).to_owned(),
                guarded(&call.remark),
            ])?;
        }
        let bytes = out.into_inner().map_err(|error| csv::Error::from(error.into_error()))?;
        Ok(String::from_utf8_lossy(&bytes).into_owned())
    }

    /// Reads a sheet from a table. `name` only goes into the error.
    ///
    /// # Errors
    /// A file too large, not UTF-8, with unknown columns or values that a sheet cannot have. The line is the one in which the
    /// row begins, the column counts the table's columns.
    pub fn parse_csv(name: &str, bytes: &[u8]) -> Result<Self, SheetError> {
        read(bytes).map_err(|(line, column, message)| SheetError {
            name: name.to_owned(),
            line,
            column,
            message,
        })
    }
}

/// Line, column, message.
type Trouble = (usize, usize, String);

fn read(bytes: &[u8]) -> Result<AnswerSheet, Trouble> {
    if bytes.len() > SIZE_LIMIT_BYTES {
        return Err((
            1,
            1,
            format!("the file has {} bytes, expected at most {SIZE_LIMIT_BYTES}", bytes.len()),
        ));
    }
    // Spreadsheets put it in front of what they save as UTF-8.
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let head = bytes.split(|&byte| byte == b'\n').next().unwrap_or_default();
    let semicolons = head.contains(&b';') && !head.contains(&b',');
    let mut reader = ReaderBuilder::new()
        .delimiter(if semicolons { b';' } else { b',' })
        .flexible(true)
        .from_reader(bytes);
    let columns = columns(bytes, &mut reader)?;
    let mut sheet = AnswerSheet::default();
    for record in reader.records() {
        let record = record.map_err(|error| trouble(bytes, &error))?;
        let line = line(bytes, record.position());
        if record.len() > columns.len() {
            let message = format!("the row has {} columns, expected {}", record.len(), columns.len());
            return Err((line, columns.len() + 1, message));
        }
        row(&Row { record, columns: &columns, line, semicolons }, &mut sheet)?;
        if sheet.calls.len() > MOST_CALLS {
            return Err((line, 1, format!("has more than {MOST_CALLS} calls")));
        }
    }
    Ok(sheet)
}

/// For each column of the file its place in [`COLUMNS`].
fn columns(bytes: &[u8], reader: &mut Reader<&[u8]>) -> Result<Vec<usize>, Trouble> {
    let head = reader.headers().map_err(|error| trouble(bytes, &error))?;
    let mut columns = Vec::new();
    for (index, name) in head.iter().enumerate() {
        let name = name.trim();
        let Some(place) = COLUMNS.iter().position(|known| known.eq_ignore_ascii_case(name)) else {
            let message = format!("no column is called “{name}”, expected some of {}", COLUMNS.join(", "));
            return Err((1, index + 1, message));
        };
        if columns.contains(&place) {
            return Err((1, index + 1, format!("the column {name} is there twice, expected once")));
        }
        columns.push(place);
    }
    if columns.is_empty() {
        return Err((1, 1, format!("has no columns, expected a first line with {}", COLUMNS.join(", "))));
    }
    Ok(columns)
}

/// The line in which a row begins, from 1. The reader's own count is one behind where lines end in two characters, for it
/// takes the second of them as the next row's.
fn line(bytes: &[u8], position: Option<&Position>) -> usize {
    let from = position.map_or(0, |position| usize::try_from(position.byte()).unwrap_or(0)).min(bytes.len());
    let start = bytes[from..].iter().take_while(|byte| matches!(byte, b'\r' | b'\n')).count() + from;
    let ends = |at: &usize| bytes[*at] == b'\n' || bytes[*at] == b'\r' && bytes.get(at + 1) != Some(&b'\n');
    1 + (0..start).filter(ends).count()
}

fn trouble(bytes: &[u8], error: &csv::Error) -> Trouble {
    let line = line(bytes, error.position());
    match error.kind() {
        ErrorKind::Utf8 { err, .. } => {
            (line, err.field() + 1, "is not UTF-8 text, expected a table saved as CSV UTF-8".to_owned())
        }
        _ => (line, 1, format!("not a table: {error}")),
    }
}

struct Row<'a> {
    record: StringRecord,
    columns: &'a [usize],
    line: usize,
    semicolons: bool,
}

impl Row<'_> {
    fn column(&self, name: &str) -> Option<usize> {
        self.columns.iter().position(|&place| COLUMNS[place] == name)
    }

    fn raw(&self, name: &str) -> &str {
        self.column(name).and_then(|index| self.record.get(index)).unwrap_or_default()
    }

    fn refuse(&self, name: &str, expected: &str) -> Trouble {
        let column = self.column(name).map_or(1, |index| index + 1);
        let value: String = self.raw(name).trim().chars().take(60).collect();
        (self.line, column, format!("{name} is “{value}”, expected {expected}"))
    }

    /// A value, where the field is filled in.
    fn value<T>(
        &self,
        name: &str,
        expected: &str,
        read: impl Fn(&str) -> Option<T>,
    ) -> Result<Option<T>, Trouble> {
        match self.raw(name).trim() {
            "" => Ok(None),
            text => read(text).map(Some).ok_or_else(|| self.refuse(name, expected)),
        }
    }

    fn number(&self, name: &str) -> Result<Option<f64>, Trouble> {
        let unit = if name.ends_with("_db") { "a number of dB" } else { "a number of mm" };
        self.value(name, unit, |text| {
            let text = if self.semicolons { text.replace(',', ".") } else { text.to_owned() };
            text.parse().ok().filter(|value: &f64| value.is_finite())
        })
    }
}

fn row(row: &Row, sheet: &mut AnswerSheet) -> Result<(), Trouble> {
    let plate = unguarded(row.raw("plate_id").trim());
    match &sheet.plate_id {
        _ if plate.is_empty() => {}
        None => sheet.plate_id = Some(plate.to_owned()),
        Some(known) if known == plate => {}
        Some(known) => return Err(row.refuse("plate_id", &format!("{known} as in the rows before"))),
    }
    let of_a_call = row.columns.iter().zip(&row.record).filter(|(place, _)| **place > 1);
    let blank = of_a_call.clone().all(|(_, text)| text.trim().is_empty());
    let number = row.raw("call").trim();
    if number == STATEMENT {
        if !blank {
            return Err(row.refuse("call", "a number, as the row has values of a call"));
        }
        sheet.no_recordable_indication = true;
        return Ok(());
    }
    row.value("call", &format!("a number or {STATEMENT}"), |text| text.parse::<u32>().ok())?;
    if blank && number.is_empty() {
        return Ok(());
    }
    let remark = unguarded(row.raw("remark"));
    if remark.chars().count() > LONGEST_REMARK {
        return Err(row.refuse("remark", &format!("at most {LONGEST_REMARK} characters")));
    }
    let kinds = FlawKind::ALL.map(key).join(", ");
    sheet.calls.push(Call {
        kind: row.value("kind", &format!("one of {kinds}"), |text| {
            let same = |kind: &FlawKind| {
                [key(*kind).as_str(), kind.words()].iter().any(|name| name.eq_ignore_ascii_case(text))
            };
            FlawKind::ALL.into_iter().find(same)
        })?,
        start_mm: row.number("start_mm")?,
        end_mm: row.number("end_mm")?,
        offset_mm: row.number("offset_mm")?,
        depth_mm: row.number("depth_mm")?,
        height_mm: row.number("height_mm")?,
        amplitude_db: row.number("amplitude_db")?,
        side: row.value("side", "A or B", |text| match text {
            "A" | "a" => Some(Side::A),
            "B" | "b" => Some(Side::B),
            _ => None,
        })?,
        leg: row
            .value("leg", "a whole number from 1", |text| text.parse().ok().filter(|&leg: &u8| leg > 0))?,
        decision: row.value("decision", "accept or reject", |text| {
            [Decision::Accept, Decision::Reject]
                .into_iter()
                .find(|decision| decision.words().eq_ignore_ascii_case(text))
        })?,
        remark: remark.to_owned(),
        snapshot: None,
    });
    Ok(())
}

/// A kind as files name it.
fn key(kind: FlawKind) -> String {
    match serde_json::to_value(kind) {
        Ok(serde_json::Value::String(name)) => name,
        _ => kind.words().to_owned(),
    }
}

fn guarded(text: &str) -> String {
    if text.starts_with(FORMULA) { format!("'{text}") } else { text.to_owned() }
}

fn unguarded(text: &str) -> &str {
    text.strip_prefix('\'').filter(|rest| rest.starts_with(FORMULA)).unwrap_or(text)
}

#[cfg(test)]
mod tests;
