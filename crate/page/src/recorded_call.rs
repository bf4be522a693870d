//! What a call in a recorded scan was made from: where and when its line was taken, so that the frame can be computed again.

use exam::contact::ContactOfLog;
use exam::log::{Entry, Event};
use exam::snapshot::Snapshot;
use instrument::gate::Gate;
use instrument::pose::Pose;
use instrument::recording::Course;

use crate::recorded::{READ_MM, RecordedScan, counted_mm, setting};
use crate::session::Session;

/// A line as it was taken.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Taken {
    pub(crate) pass: usize,
    pub(crate) line: u32,
    pub(crate) t_ms: u64,
    pub(crate) tick: u32,
    pub(crate) y_mm: f64,
    pub(crate) contact_loss_db: f64,
}

/// What a reading near a sound path looks at.
pub(crate) fn gate_about(path_mm: f64) -> Gate {
    Gate { start_mm: (path_mm - READ_MM).max(0.0), length_mm: 2.0 * READ_MM, threshold_percent: 0.0 }
}

impl RecordedScan {
    /// What a reading near a sound path was made from; `None` where the plate on the bench is another, or its set-up is, for then
    /// the frame would be. A line that was recorded before this visit has lost the number of its frame: its electronic noise will be
    /// another.
    pub fn made_from(
        &self,
        session: &Session,
        (pass, line, beam): (usize, u32, usize),
        path_mm: f64,
        gain_db: f64,
    ) -> Option<Snapshot> {
        let course = self.recording.passes().get(pass)?.course();
        if *self.recording.setting() != setting(session) {
            return None;
        }
        let taken = self.taken.iter().rev().find(|taken| taken.pass == pass && taken.line == line);
        let taken = taken.copied().unwrap_or_else(|| by_the_log(session, course, pass, line));
        Some(Snapshot {
            t_ms: taken.t_ms,
            pose: pose(course, taken.y_mm),
            gain_db,
            beam: beam as u32,
            gate: gate_about(path_mm),
            tick: taken.tick,
            contact_loss_db: taken.contact_loss_db,
        })
    }
}

fn pose(course: &Course, y_mm: f64) -> Pose {
    let &Course { face, side, index_offset_mm, skew_deg, .. } = course;
    Pose { face, side, index_offset_mm, y_mm, skew_deg }
}

/// When the probe stood on a line last, as the log has it; a line that it knows nothing of is taken to be taken now, in good contact.
fn by_the_log(session: &Session, course: &Course, pass: usize, line: u32) -> Taken {
    let y_mm = counted_mm(session, course, line);
    let there = |Entry(_, event): &Entry| matches!(event, Event::Pose(at) if (at.y_mm - y_mm).abs() < 0.5 * course.step_mm && pose(course, at.y_mm) == *at);
    let entries = session.log.entries();
    let found = entries.iter().rposition(there).map(|index| &entries[..=index]);
    let t_ms = found.and_then(<[Entry]>::last).map_or(session.log.restore().t_ms, |entry| entry.0);
    let contact_loss_db =
        found.map_or(0.0, |entries| ContactOfLog::new(&session.paper).at_end(entries).loss_db());
    Taken { pass, line, t_ms, tick: 0, y_mm, contact_loss_db }
}
