//! A session as it stands: what its events add up to.

use instrument::calibration::{Calibration, Check};
use instrument::gate::{Gate, GatePoint};
use instrument::pose::Pose;
use instrument::set_up::SetUp;
use instrument::shaping::Finger;
use serde::Serialize;

use crate::event::Event;
use crate::lessons::VariedFlaw;
use crate::log::VERSION;
use crate::sheet::{AnswerSheet, MOST_CALLS};

mod bounds;

/// A session as it stood at the end of its log.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
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
    /// The second gate, if it is in use.
    pub second_gate: Option<Gate>,
    /// Where the two gates read.
    pub gate_points: [GatePoint; 2],
    /// Index offset that a guide rail holds, if one is laid, mm.
    pub rail_mm: Option<f64>,
    /// Probe, beams, range and receiver, if the operator ever set them; else they are the procedure's.
    pub set_up: Option<Box<SetUp>>,
    /// What was calibrated, if the operator ever did.
    pub calibration: Option<Box<Calibration>>,
    /// What the latest check of the calibration told.
    pub check: Option<Check>,
    /// Whether the probe is lifted off the plate.
    pub lifted: bool,
    /// Where a wet finger presses.
    pub finger: Option<Finger>,
    /// A flaw that a lesson has varied, as it lies now.
    pub varied: Option<VariedFlaw>,
    /// The answer sheet.
    pub sheet: AnswerSheet,
    /// Whether it was handed in.
    pub handed_in: bool,
    /// Changes of the set-up.
    #[serde(skip)]
    set_ups: u32,
}

impl State {
    /// Takes the first event of a session.
    pub(crate) fn begin(&mut self, event: &Event) -> Result<(), String> {
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

    /// Takes a further event; the state stays as it was where the event cannot follow.
    pub(crate) fn apply(&mut self, event: &Event) -> Result<(), String> {
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
            Event::Pose(pose) => {
                bounds::pose(pose)?;
                self.pose = Some(*pose);
            }
            Event::Gain { gain_db } => {
                bounds::gain(*gain_db)?;
                self.gain_db = Some(*gain_db);
            }
            Event::Beam { beam } => self.beam = Some(*beam),
            Event::Gate(gate) => {
                bounds::gate(gate)?;
                self.gate = Some(*gate);
            }
            Event::SecondGate(gate) => {
                gate.as_ref().map_or(Ok(()), bounds::gate)?;
                self.second_gate = *gate;
            }
            Event::GatePoints(points) => self.gate_points = *points,
            Event::Rail { index_offset_mm } => {
                index_offset_mm.map_or(Ok(()), bounds::rail)?;
                self.rail_mm = *index_offset_mm;
            }
            Event::SetUp(set_up) => {
                bounds::set_up(set_up)?;
                if self.set_ups >= bounds::MOST_SET_UPS {
                    let most = bounds::MOST_SET_UPS;
                    return Err(format!("the set-up was changed {most} times before, expected no more"));
                }
                self.set_ups += 1;
                self.set_up = Some(set_up.clone());
            }
            Event::Calibrated(calibration) => {
                if let Some(problem) = calibration.problem() {
                    return Err(format!("no calibration: {problem}"));
                }
                self.calibration = Some(calibration.clone());
            }
            Event::Checked(check) => {
                if let Some(problem) = check.problem() {
                    return Err(problem);
                }
                self.check = Some(*check);
            }
            Event::Couplant(stroke) => {
                if let Some(problem) = stroke.problem() {
                    return Err(problem);
                }
            }
            Event::Lifted(lifted) => self.lifted = *lifted,
            Event::Finger(finger) => {
                finger.as_ref().map_or(Ok(()), bounds::finger)?;
                self.finger = *finger;
            }
            Event::Varied(varied) => {
                varied.as_ref().map_or(Ok(()), bounds::varied)?;
                self.varied = *varied;
            }
            Event::CallAdded(_) if calls.len() >= MOST_CALLS => {
                return Err(format!("the sheet is full with {MOST_CALLS} calls"));
            }
            Event::CallAdded(call) => {
                bounds::call(call)?;
                calls.push(call.clone());
            }
            Event::CallEdited { index, call } => {
                let at = on_sheet(*index, calls.len())?;
                bounds::call(call)?;
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
