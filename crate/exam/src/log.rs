//! The log of a session: everything the operator did, enough to restore the session and to look back on it.
//!
//! As text it has one event a line, each a JSON list of time and event: `[1200,{"gain":{"gain_db":46.0}}]`. A log
//! that was cut off in the middle of a line loses that line only.

use instrument::pose::Pose;
use serde::{Deserialize, Serialize};

use crate::contact;

mod pose_line;

pub use crate::event::Event;
pub use crate::state::State;

/// Version of the log's form.
pub const VERSION: u32 = 1;

/// Poses closer in time than this to the one kept before are merged, ms.
const POSE_STEP_MS: u64 = 200;

/// Most entries that are poses; beyond it the path is thinned to half as many points.
const MOST_POSES: usize = 20_000;

/// An event and when it happened, ms since the session began.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Entry(pub u64, pub Event);

/// The log of one session.
#[derive(Clone, Debug, PartialEq)]
pub struct Log {
    entries: Vec<Entry>,
    poses: usize,
    state: State,
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

impl Log {
    /// A log that begins now, with the paper it is about.
    pub fn new(plate_id: &str, paper_digest: &str) -> Self {
        let start = Event::Start {
            version: VERSION,
            plate_id: plate_id.to_owned(),
            paper_digest: paper_digest.to_owned(),
        };
        let mut state = State::default();
        // Cannot fail: the event is a start of this version.
        let begun = state.begin(&start);
        debug_assert_eq!(begun, Ok(()));
        Self { entries: vec![Entry(0, start)], poses: 0, state }
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
        let line = self.entries.len() + 1;
        self.state.apply(&event).map_err(|message| LogError { line, message })?;
        // A clock set back does not run time backwards.
        self.state.t_ms = self.state.t_ms.max(t_ms);
        self.append(self.state.t_ms, event);
        Ok(())
    }

    fn append(&mut self, t_ms: u64, event: Event) {
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
    pub fn restore(&self) -> &State {
        &self.state
    }

    /// How far the probe slid, mm; where it is set down anew it does not slide.
    pub fn way_mm(&self) -> f64 {
        let mut last: Option<&Pose> = None;
        let mut way_mm = 0.0;
        for Entry(_, event) in &self.entries {
            if let Event::Pose(pose) = event {
                way_mm += last.map_or(0.0, |last| contact::slid_mm(last, pose));
                last = Some(pose);
            }
        }
        way_mm
    }

    /// The entries up to a time, ms since the session began.
    pub fn until(&self, t_ms: u64) -> &[Entry] {
        let end = self.entries.partition_point(|Entry(at_ms, _)| *at_ms <= t_ms);
        &self.entries[..end]
    }

    /// The session as it stood at a time, ms since it began.
    pub fn at(&self, t_ms: u64) -> State {
        let mut state = State::default();
        for (index, Entry(at_ms, event)) in self.until(t_ms).iter().enumerate() {
            // Cannot fail: these events followed each other before.
            let taken = if index == 0 { state.begin(event) } else { state.apply(event) };
            debug_assert_eq!(taken, Ok(()));
            state.t_ms = *at_ms;
        }
        state
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
            (None, None) => Err(LogError {
                line: 1,
                message: "the log is empty, expected the start of a session".to_owned(),
            }),
        }
    }

    /// Reads a log as far as it is sound: what could be read (`None` without a sound start), and the first line
    /// that could not.
    pub fn salvage(text: &str) -> (Option<Self>, Option<LogError>) {
        let mut entries = Vec::new();
        let mut state = State::default();
        let mut damage = None;
        for (index, line) in text.lines().enumerate() {
            if let Err(message) =
                read_line(line, &mut state, entries.is_empty()).map(|entry| entries.push(entry))
            {
                damage = Some(LogError { line: index + 1, message });
                break;
            }
        }
        let poses = entries.iter().filter(|entry| matches!(entry.1, Event::Pose(_))).count();
        ((!entries.is_empty()).then_some(Self { entries, poses, state }), damage)
    }
}

fn read_line(line: &str, state: &mut State, first: bool) -> Result<Entry, String> {
    let general = || {
        crate::json::read(line.as_bytes()).map_err(|error| {
            let text = error.to_string();
            let what = text.split(" at line ").next().unwrap_or(&text).to_owned();
            format!("no event at column {}: {what}", error.column())
        })
    };
    let entry: Entry = pose_line::read(line).map_or_else(general, Ok)?;
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

#[cfg(test)]
mod tests;
