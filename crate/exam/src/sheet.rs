//! The answer sheet: one row for each flaw the operator calls.

use instrument::gate::Reading;
use instrument::pose::Side;
use serde::{Deserialize, Serialize};
use specimen::flaw::FlawKind;
use specimen::plate::Plate;

use crate::said::{Said, Value};
use crate::snapshot::Snapshot;

pub mod table;

/// Largest answer file that is looked at, bytes.
pub const SIZE_LIMIT_BYTES: usize = 1_000_000;

/// Most calls a sheet may have.
pub const MOST_CALLS: usize = 200;

/// Longest remark, characters.
pub const LONGEST_REMARK: usize = 1000;

/// What is to become of a flaw.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Decision {
    /// It may stay.
    Accept,
    /// It has to be repaired.
    Reject,
}

impl Decision {
    /// The decision as a word.
    pub fn words(self) -> &'static str {
        match self {
            Self::Accept => "accept",
            Self::Reject => "reject",
        }
    }
}

/// One row of the sheet. Whatever is not filled in gets no points; only a place along the weld is needed for a
/// call to be matched with a flaw.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Call {
    /// What it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kind: Option<FlawKind>,
    /// Where it begins along the weld, mm from the datum.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub start_mm: Option<f64>,
    /// Where it ends along the weld, mm from the datum.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub end_mm: Option<f64>,
    /// Its middle across the weld, mm from the centreline, positive towards side B.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub offset_mm: Option<f64>,
    /// Depth of its middle, mm below the upper face.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub depth_mm: Option<f64>,
    /// Its height in the direction of the thickness, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub height_mm: Option<f64>,
    /// Highest echo relative to the reference, dB.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub amplitude_db: Option<f64>,
    /// Side it was sized from.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub side: Option<Side>,
    /// Leg it was sized in, from 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub leg: Option<u8>,
    /// Accept or reject.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub decision: Option<Decision>,
    /// Anything else, in the operator's words.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub remark: String,
    /// What it was made from; absent where its values were written by hand.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub snapshot: Option<Box<Snapshot>>,
}

impl Call {
    /// A row begun from a gate reading: a point along the weld, place, depth, amplitude, side and leg. Kind, ends,
    /// height and decision are left to the operator.
    pub fn from_reading(reading: &Reading, side: Side) -> Self {
        Self {
            start_mm: Some(reading.y_mm),
            end_mm: Some(reading.y_mm),
            offset_mm: Some(reading.offset_mm),
            depth_mm: Some(reading.depth_mm),
            amplitude_db: Some(reading.amplitude_db),
            side: Some(side),
            leg: Some(reading.leg),
            ..Self::default()
        }
    }

    /// Start and end along the weld in order, where at least one of them is filled in with a number.
    pub fn along_mm(&self) -> Option<[f64; 2]> {
        let number = |value: Option<f64>| value.filter(|value| value.is_finite());
        let start = number(self.start_mm).or(number(self.end_mm))?;
        let end = number(self.end_mm).unwrap_or(start);
        Some([start.min(end), start.max(end)])
    }
}

/// The whole sheet.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AnswerSheet {
    /// Id of the plate it belongs to, where the sheet was saved with one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plate_id: Option<String>,
    /// The calls, in the operator's order.
    #[serde(default)]
    pub calls: Vec<Call>,
    /// The operator states that nothing is to be recorded.
    #[serde(default)]
    pub no_recordable_indication: bool,
}

/// An answer file that cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{name}:{line}:{column}: {message}")]
pub struct SheetError {
    /// Name of the file as the reader gave it.
    pub name: String,
    /// Line, from 1.
    pub line: usize,
    /// Column, from 1.
    pub column: usize,
    /// What is wrong and what was expected.
    pub message: String,
}

impl AnswerSheet {
    /// Reads an answer file (JSON). `name` only goes into the error.
    ///
    /// # Errors
    /// A file too large, not JSON, or with other keys and values than a sheet has; with line and column.
    pub fn parse(name: &str, bytes: &[u8]) -> Result<Self, SheetError> {
        let error = |line, column, message| SheetError { name: name.to_owned(), line, column, message };
        if bytes.len() > SIZE_LIMIT_BYTES {
            let message = format!("the file has {} bytes, expected at most {SIZE_LIMIT_BYTES}", bytes.len());
            return Err(error(1, 1, message));
        }
        let sheet: Self = crate::json::read(bytes).map_err(|problem| {
            let text = problem.to_string();
            // The position stands in front already.
            let message = text.split(" at line ").next().unwrap_or(&text).to_owned();
            error(problem.line().max(1), problem.column().max(1), format!("not an answer sheet: {message}"))
        })?;
        if sheet.calls.len() > MOST_CALLS {
            let message = format!("has {} calls, expected at most {MOST_CALLS}", sheet.calls.len());
            return Err(error(1, 1, message));
        }
        Ok(sheet)
    }

    /// The sheet as JSON text, indented for people.
    ///
    /// # Errors
    /// Numbers that JSON cannot hold become null, so none in practice; the library's error type has to go on.
    pub fn to_json(&self) -> Result<String, serde_json::Error> {
        serde_json::to_string_pretty(self)
    }

    /// What is unlikely or contradictory on the sheet, for the operator before handing in; calls are counted from 1. Marking
    /// takes any sheet.
    pub fn check(&self, plate: &Plate) -> Vec<Said> {
        let mut found = Vec::new();
        let count = self.calls.len() as f64;
        if self.no_recordable_indication && !self.calls.is_empty() {
            found.push(Said::new("said.sheet.clean", vec![("number", count.into())]));
        }
        if self.calls.len() > MOST_CALLS {
            let most = MOST_CALLS as f64;
            found.push(Said::new("said.sheet.calls", vec![("number", count.into()), ("most", most.into())]));
        }
        for (call, number) in self.calls.iter().zip(1_u32..) {
            check_call(number, call, plate, &mut found);
        }
        found
    }
}

fn check_call(number: u32, call: &Call, plate: &Plate, found: &mut Vec<Said>) {
    let mut say = |key, values: &[(&'static str, f64)]| {
        let values = values.iter().map(|&(name, value)| (name, Value::from(value)));
        found.push(Said::new(key, [("call", number.into())].into_iter().chain(values).collect()));
    };
    let half_width = plate.width_mm / 2.0;
    let lengths = [
        ("said.call.start", call.start_mm, 0.0, plate.length_mm),
        ("said.call.end", call.end_mm, 0.0, plate.length_mm),
        ("said.call.across", call.offset_mm, -half_width, half_width),
        ("said.call.depth", call.depth_mm, 0.0, plate.thickness_mm),
        ("said.call.height", call.height_mm, 0.0, plate.thickness_mm),
    ];
    for (key, value, low, high) in lengths {
        if let Some(value) = value
            && !(low..=high).contains(&value)
        {
            say(key, &[("value_mm", value), ("low_mm", low), ("high_mm", high)]);
        }
    }
    match (call.start_mm, call.end_mm) {
        (None, None) => say("said.call.no_ends", &[]),
        (None, Some(_)) => say("said.call.no_start", &[]),
        (Some(_), None) => say("said.call.no_end", &[]),
        (Some(start), Some(end)) if end < start => {
            say("said.call.backwards", &[("start_mm", start), ("end_mm", end)]);
        }
        (Some(start), Some(end)) if end <= start => say("said.call.no_length", &[("value_mm", start)]),
        _ => {}
    }
    if call.amplitude_db.is_some_and(|db| !(-80.0..=80.0).contains(&db)) {
        say("said.call.amplitude", &[]);
    }
    if call.leg.is_some_and(|leg| !(1..=5).contains(&leg)) {
        say("said.call.leg", &[]);
    }
    if call.kind.is_none() {
        say("said.call.kind", &[]);
    }
    if call.decision.is_none() {
        say("said.call.decision", &[]);
    }
    if call.remark.chars().count() > LONGEST_REMARK {
        say("said.call.remark", &[("most", LONGEST_REMARK as f64)]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plate() -> Plate {
        specimen::generator::plate(specimen::joint::Preparation::SingleV.into(), 1, 1)
    }

    #[test]
    fn a_sheet_survives_writing_and_reading() {
        let sheet = AnswerSheet {
            plate_id: Some("TH-07".to_owned()),
            calls: vec![
                Call {
                    kind: Some(FlawKind::SlagLine),
                    start_mm: Some(38.0),
                    end_mm: Some(60.5),
                    offset_mm: Some(-3.0),
                    decision: Some(Decision::Reject),
                    side: Some(Side::B),
                    leg: Some(2),
                    remark: "ragged \"top\"".to_owned(),
                    ..Call::default()
                },
                Call::default(),
            ],
            no_recordable_indication: false,
        };
        let text = sheet.to_json().unwrap();
        assert_eq!(AnswerSheet::parse("answers.json", text.as_bytes()).unwrap(), sheet);
    }

    #[test]
    fn what_is_no_sheet_is_refused_with_its_place() {
        let message = |text: &[u8]| AnswerSheet::parse("answers.json", text).unwrap_err().to_string();
        assert_eq!(
            message(b"{\n  \"calls\": [{\"kind\": \"dent\"}]\n}"),
            "answers.json:2:27: not an answer sheet: unknown variant `dent`, expected one of \
             `lack-of-side-wall-fusion`, `lack-of-inter-run-fusion`, `lack-of-root-fusion`, \
             `incomplete-penetration`, `centreline-crack`, `transverse-crack`, `root-crack`, `toe-crack`, \
             `slag-line`, `slag-inclusion`, `single-pore`, `pore-cluster`, `pore-line`"
        );
        assert!(message(b"{\"calls\": [{\"start_in\": 1}]}").contains("unknown field `start_in`"));
        assert!(message(b"").starts_with("answers.json:1:1: not an answer sheet: EOF"));
        assert!(message(b"\xff\xfe").contains("not an answer sheet"));
        assert!(message(&vec![b' '; SIZE_LIMIT_BYTES + 1]).contains("expected at most 1000000"));
        let deep = "[".repeat(100_000);
        assert!(message(deep.as_bytes()).contains("not an answer sheet"));
    }

    #[test]
    fn doubtful_rows_are_named() {
        let call = Call { start_mm: Some(40.0), end_mm: Some(30.0), depth_mm: Some(99.0), ..Call::default() };
        let sheet = AnswerSheet { calls: vec![call], no_recordable_indication: true, ..Default::default() };
        let found: Vec<_> = sheet.check(&plate()).into_iter().map(|doubt| doubt.to_string()).collect();
        assert_eq!(found[0], "“No recordable indication” is stated, but calls stand on the sheet: 1");
        assert!(found[1].starts_with("Call 1: its depth is 99.0 mm, expected 0.0 mm to "), "{}", found[1]);
        assert_eq!(found[2], "Call 1: the end, 30.0 mm, lies before the start, 40.0 mm");
        assert_eq!(found[3..], ["Call 1: the kind is missing", "Call 1: accept or reject is missing"]);
    }

    /// As a call from the gate begins, before its ends are looked for.
    #[test]
    fn a_call_without_length_is_named() {
        let doubts = |end_mm| {
            let call = Call { start_mm: Some(40.0), end_mm: Some(end_mm), ..Call::default() };
            let sheet = AnswerSheet { calls: vec![call], ..Default::default() };
            sheet.check(&plate()).into_iter().map(|doubt| doubt.to_string()).collect::<Vec<_>>()
        };
        assert_eq!(doubts(40.0)[0], "Call 1: start and end are the same place, 40.0 mm");
        assert_eq!(doubts(40.1)[0], "Call 1: the kind is missing");
    }

    #[test]
    fn a_reading_fills_what_it_knows() {
        let reading = Reading {
            beam: 3,
            angle_deg: 55.0,
            amplitude_percent: 84.0,
            amplitude_db: 4.1,
            clipped: false,
            sound_path_mm: 47.6,
            depth_mm: 12.7,
            leg: 2,
            surface_distance_mm: 21.3,
            offset_mm: 5.8,
            y_mm: 131.0,
        };
        let call = Call::from_reading(&reading, Side::A);
        assert_eq!(call.along_mm(), Some([131.0, 131.0]));
        assert_eq!((call.offset_mm, call.depth_mm, call.leg), (Some(5.8), Some(12.7), Some(2)));
        assert_eq!((call.kind, call.height_mm, call.decision), (None, None, None));
    }
}
