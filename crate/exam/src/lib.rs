//! What the examiner holds: the paper (plate, procedure, marking scheme), the answer sheet, the session's log,
//! marking and debrief. Knows no screen, no clock and no file system: values in, values out.

pub mod acceptance;
pub mod beams;
pub mod blocks;
pub mod class;
pub mod collection;
pub mod contact;
pub mod debrief;
pub mod detectability;
pub mod event;
pub mod examined;
pub mod fair;
pub mod findable;
pub mod guide;
pub mod hand_in;
pub mod json;
pub mod lessons;
pub mod log;
pub mod marking;
pub mod npz;
pub mod paper;
pub mod pod;
pub mod practical;
pub mod preview;
pub mod probe_store;
pub mod procedure_check;
pub mod progress;
pub mod recorded_exam;
pub mod replayed;
pub mod report;
pub mod said;
pub mod scan_plan;
pub mod scheme;
pub mod seal;
pub mod session_kind;
pub mod sheet;
pub mod sights;
pub mod snapshot;
pub mod standard;
pub mod state;
pub mod words;

mod matching;
