//! The log of a session: everything the operator did, enough to restore the session and to look back on it.
//!
//! As text it has one event a line, each a JSON list of time and event: `[1200,{"gain":{"gain_db":46.0}}]`. A log
//! that was cut off in the middle of a line loses that line only.

use instrument::gate::Gate;
use instrument::pose::Pose;
use serde::{Deserialize, Serialize};

use crate::sheet::{AnswerSheet, Call, MOST_CALLS};

/// Version of the log's form.
pub const VERSION: u32 = 1;

/// Poses closer in time than this to the one kept before are merged, ms.
const POSE_STEP_MS: u64 = 200;

/// Most entries that are poses; beyond it the path is thinned to half as many points.
const MOST_POSES: usize = 20_000;

/// Something that happened.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Event {
    /// The session began; always the first entry.
    Start {
        /// Version of the log's form.
        version: u32,
        /// Id of the plate.
        plate_id: String,
        /// Digest of the paper, see [`crate::paper::Paper::digest`].
        paper_digest: String,
    },
    /// The probe stands somewhere.
    Pose(Pose),
    /// The gain was set.
    Gain {
        /// Gain, dB.
        gain_db: f64,
    },
    /// Another beam was selected.
    Beam {
        /// Index of the beam.
        beam: u32,
    },
    /// The gate was set.
    Gate(Gate),
    /// A call was added at the end of the sheet.
    CallAdded(Call),
    /// A call was changed.
    CallEdited {
        /// Its place on the sheet, from 0.
        index: u32,
        /// What it is now.
        call: Call,
    },
    /// A call was removed; those after it move up.
    CallRemoved {
        /// Its place on the sheet, from 0.
        index: u32,
    },
    /// The statement "no recordable indication" was set or taken back.
    NoRecordableIndication {
        /// Whether it stands now.
        stated: bool,
    },
    /// The sheet was handed in; nothing may follow.
    HandIn,
}

/// An event and when it happened, ms since the session began.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Entry(pub u64, pub Event);

/// The log of one session.
#[derive(Clone, Debug, PartialEq)]
pub struct Log {
    entries: Vec<Entry>,
    poses: usize,
}

/// A line of a log that cannot be used.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("log line {line}: {message}")]
pub struct LogError {
    /// Line, from 1.
    pub line: usize,
    /// What is wrong and what was expected.
    pub message: String,
}

/// A session as it stood at the end of its log.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct State {
    /// Id of the plate.
    pub plate_id: String,
    /// Digest of the paper.
    pub paper_digest: String,
    /// Time of the last event, ms since the session began.
    pub t_ms: u64,
    /// Where the probe stood, if it was ever set down.
    pub pose: Option<Pose>,
    /// The gain, if it was ever set, dB.
    pub gain_db: Option<f64>,
    /// The selected beam, if one ever was.
    pub beam: Option<u32>,
    /// The gate, if it was ever set.
    pub gate: Option<Gate>,
    /// The answer sheet.
    pub sheet: AnswerSheet,
    /// Whether it was handed in.
    pub handed_in: bool,
}

impl Log {
    /// A log that begins now, with the paper it is about.
    pub fn new(plate_id: &str, paper_digest: &str) -> Self {
        let start = Event::Start {
            version: VERSION,
            plate_id: plate_id.to_owned(),
            paper_digest: paper_digest.to_owned(),
        };
        Self { entries: vec![Entry(0, start)], poses: 0 }
    }

    /// All entries, in order of time.
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// Adds an event at `t_ms` since the session began. A time before the last entry's (a clock set back) is taken
    /// as that entry's. Poses in quick succession are merged, so that the path keeps about five points a second
    /// and always its latest one.
    ///
    /// # Errors
    /// An event that cannot follow: a start, anything after the hand-in, a call that is not on the sheet. The log
    /// stays as it was.
    pub fn push(&mut self, t_ms: u64, event: Event) -> Result<(), LogError> {
        let mut state = self.restore()?;
        let line = self.entries.len() + 1;
        state.apply(&event).map_err(|message| LogError { line, message })?;
        self.append(t_ms, event);
        Ok(())
    }

    fn append(&mut self, t_ms: u64, event: Event) {
        let t_ms = self.entries.last().map_or(t_ms, |last| t_ms.max(last.0));
        if let Event::Pose(pose) = &event {
            if let [.., Entry(before_ms, Event::Pose(before)), Entry(last_ms, Event::Pose(last))] =
                self.entries.as_mut_slice()
                && t_ms - *before_ms < POSE_STEP_MS
                && same_hold(before, pose)
                && same_hold(last, pose)
            {
                (*last_ms, *last) = (t_ms, *pose);
                return;
            }
            self.poses += 1;
        }
        self.entries.push(Entry(t_ms, event));
        if self.poses > MOST_POSES {
            self.thin();
        }
    }

    /// Drops every second pose that has poses on both sides of it.
    fn thin(&mut self) {
        let is_pose = |entry: Option<&Entry>| matches!(entry, Some(Entry(_, Event::Pose(_))));
        let mut kept = Vec::with_capacity(self.entries.len());
        let mut dropped_before = false;
        for (index, entry) in self.entries.iter().enumerate() {
            let inner = is_pose(Some(entry))
                && index > 0
                && is_pose(self.entries.get(index - 1))
                && is_pose(self.entries.get(index + 1));
            dropped_before = inner && !dropped_before;
            if !dropped_before {
                kept.push(entry.clone());
            }
        }
        self.poses = kept.iter().filter(|entry| is_pose(Some(entry))).count();
        self.entries = kept;
    }

    /// The session as it stands.
    ///
    /// # Errors
    /// The first entry that cannot follow those before it; never for a log made by this program.
    pub fn restore(&self) -> Result<State, LogError> {
        let mut state = State::default();
        for (index, Entry(t_ms, event)) in self.entries.iter().enumerate() {
            let fail = |message| LogError { line: index + 1, message };
            if (index == 0) != matches!(event, Event::Start { .. }) {
                let message = "expected the start of a session in the first line, and only there";
                return Err(fail(message.to_owned()));
            }
            if *t_ms < state.t_ms {
                let last_ms = state.t_ms;
                return Err(fail(format!("time runs backwards: {t_ms} ms after {last_ms} ms")));
            }
            state.t_ms = *t_ms;
            if index == 0 {
                state.begin(event).map_err(fail)?;
            } else {
                state.apply(event).map_err(fail)?;
            }
        }
        Ok(state)
    }

    /// The log as text.
    ///
    /// # Errors
    /// None in practice; the library's error type has to go on.
    pub fn to_text(&self) -> Result<String, serde_json::Error> {
        let mut text = String::new();
        for entry in &self.entries {
            text.push_str(&serde_json::to_string(entry)?);
            text.push('\n');
        }
        Ok(text)
    }

    /// Reads a log whole.
    ///
    /// # Errors
    /// The first line that is no event or cannot follow those before it.
    pub fn parse(text: &str) -> Result<Self, LogError> {
        match Self::salvage(text) {
            (Some(log), None) => Ok(log),
            (_, Some(error)) => Err(error),
            (None, None) => {
                Err(LogError { line: 1, message: "the log is empty, expected the start of a session".to_owned() })
            }
        }
    }

    /// Reads a log as far as it is sound: what could be read (`None` without a sound start), and the first line
    /// that could not.
    pub fn salvage(text: &str) -> (Option<Self>, Option<LogError>) {
        let mut entries = Vec::new();
        let mut state = State::default();
        let mut damage = None;
        for (index, line) in text.lines().enumerate() {
            if let Err(message) = read_line(line, &mut state, entries.is_empty()).map(|entry| entries.push(entry))
            {
                damage = Some(LogError { line: index + 1, message });
                break;
            }
        }
        let poses = entries.iter().filter(|entry| matches!(entry.1, Event::Pose(_))).count();
        ((!entries.is_empty()).then_some(Self { entries, poses }), damage)
    }
}

fn read_line(line: &str, state: &mut State, first: bool) -> Result<Entry, String> {
    let entry: Entry = serde_json::from_str(line).map_err(|error| {
        let text = error.to_string();
        let what = text.split(" at line ").next().unwrap_or(&text).to_owned();
        format!("no event at column {}: {what}", error.column())
    })?;
    if entry.0 < state.t_ms {
        return Err(format!("time runs backwards: {} ms after {} ms", entry.0, state.t_ms));
    }
    if first {
        state.begin(&entry.1)?;
    } else {
        state.apply(&entry.1)?;
    }
    state.t_ms = entry.0;
    Ok(entry)
}

/// Whether two poses differ by sliding only.
fn same_hold(one: &Pose, other: &Pose) -> bool {
    one.side == other.side && one.face == other.face
}

impl Default for State {
    fn default() -> Self {
        Self {
            plate_id: String::new(),
            paper_digest: String::new(),
            t_ms: 0,
            pose: None,
            gain_db: None,
            beam: None,
            gate: None,
            sheet: AnswerSheet::default(),
            handed_in: false,
        }
    }
}

impl State {
    fn begin(&mut self, event: &Event) -> Result<(), String> {
        let Event::Start { version, plate_id, paper_digest } = event else {
            return Err("expected the start of a session in the first line".to_owned());
        };
        if *version != VERSION {
            return Err(format!("the log's version is {version}, expected {VERSION}"));
        }
        self.plate_id.clone_from(plate_id);
        self.paper_digest.clone_from(paper_digest);
        self.sheet.plate_id = Some(plate_id.clone());
        Ok(())
    }

    fn apply(&mut self, event: &Event) -> Result<(), String> {
        if self.handed_in {
            return Err("the sheet was handed in before; nothing may follow".to_owned());
        }
        let calls = &mut self.sheet.calls;
        let on_sheet = |index: u32, count: usize| {
            usize::try_from(index)
                .ok()
                .filter(|&at| at < count)
                .ok_or_else(|| format!("call {index} (from 0) is not among the {count} on the sheet"))
        };
        match event {
            Event::Start { .. } => return Err("the session started before".to_owned()),
            Event::Pose(pose) => self.pose = Some(*pose),
            Event::Gain { gain_db } => self.gain_db = Some(*gain_db),
            Event::Beam { beam } => self.beam = Some(*beam),
            Event::Gate(gate) => self.gate = Some(*gate),
            Event::CallAdded(_) if calls.len() >= MOST_CALLS => {
                return Err(format!("the sheet is full with {MOST_CALLS} calls"));
            }
            Event::CallAdded(call) => calls.push(call.clone()),
            Event::CallEdited { index, call } => {
                let at = on_sheet(*index, calls.len())?;
                calls[at].clone_from(call);
            }
            Event::CallRemoved { index } => {
                let at = on_sheet(*index, calls.len())?;
                calls.remove(at);
            }
            Event::NoRecordableIndication { stated } => self.sheet.no_recordable_indication = *stated,
            Event::HandIn => self.handed_in = true,
        }
        Ok(())
    }
}
