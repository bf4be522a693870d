//! An open plate with everything that was done to it. Plain Rust, so that it can be tested without a browser.

use acoustics::shares::Shares;
use exam::contact::ContactOfLog;
use exam::debrief::FlawNote;
use exam::examined::Examined;
use exam::findable;
use exam::lessons::Course;
use exam::log::{Event, Log, State};
use exam::marking::Marks;
use exam::paper::Paper;
use exam::seal::Terms;
use exam::sheet::{AnswerSheet, Call};
use exam::snapshot;
use instrument::bench::{Instrument, PictureFrame, View};
use instrument::gate::{Gate, GatePoint, Reading};
use instrument::pose::{Face, Pose, Side};
use instrument::set_up::SetUp;
use serde::Serialize;

use crate::about::About;
use crate::calibration::OnBlock;

pub use crate::refusal::SessionError;
pub(crate) use crate::refusal::{finite, value};

/// What the operator holds now, for the page.
#[derive(Serialize)]
struct Now<'a> {
    t_ms: u64,
    pub(crate) pose: Pose,
    gain_db: f64,
    beam: u32,
    gate: Gate,
    second_gate: Option<Gate>,
    gate_points: [GatePoint; 2],
    rail_mm: Option<f64>,
    lifted: bool,
    sheet: &'a AnswerSheet,
    handed_in: bool,
    /// What of a restored log could not be read.
    damage: Option<String>,
}

/// One plate on the bench.
pub struct Session {
    pub(crate) paper: Paper,
    pub(crate) instrument: Instrument,
    pub(crate) log: Log,
    pub(crate) set_up: SetUp,
    pub(crate) pose: Pose,
    pub(crate) gain_db: f64,
    pub(crate) beam: u32,
    pub(crate) gate: Gate,
    pub(crate) second_gate: Option<Gate>,
    pub(crate) gate_points: [GatePoint; 2],
    pub(crate) face: Face,
    /// Number of the next frame, and the log's time at the last.
    pub(crate) tick: u32,
    pub(crate) framed_ms: u64,
    pub(crate) picture: Vec<u8>,
    pub(crate) place: PictureFrame,
    pub(crate) trace: Vec<f32>,
    pub(crate) trace_step_mm: f64,
    /// Whether the probe is lifted off, the contact along the log, and what it took of the last frame, dB.
    pub(crate) lifted: bool,
    pub(crate) contact: ContactOfLog,
    pub(crate) contact_loss_db: f64,
    /// The probe on a block, while a step of the calibration is under way.
    pub(crate) on_block: Option<OnBlock>,
    /// The stretch of use up to which the bench has drifted.
    pub(crate) drifted: u32,
    /// Terms of an exam, and the key of a sealed plate; a recorded exam has none.
    pub(crate) exam: Option<(Terms, Option<[u8; 32]>)>,
    /// What was examined so far, from the first time somebody asks.
    pub(crate) examined: Option<Examined>,
    /// What was made beforehand of the tables of a set-up to come.
    pub(crate) made: Option<Shares>,
    /// How the sound is drawn.
    pub(crate) shown: View,
    /// The session as it is watched again.
    pub(crate) then: Option<State>,
    /// The lesson under way.
    pub(crate) lesson: Option<Course>,
    /// Marks and notes, once handed in.
    pub(crate) marks: Option<(Marks, Vec<FlawNote>)>,
}

impl Session {
    /// Puts a plate on the bench: beam tables are made, the probe stands near the datum on the first side, gain
    /// is scanning gain.
    ///
    /// # Errors
    /// A set-up that cannot send its beams into the plate.
    pub fn new(paper: Paper) -> Result<Self, SessionError> {
        let (plate, procedure) = (&paper.plate, &paper.procedure);
        let set_up = SetUp::of(procedure);
        let scene = plate.scene(findable::spacing_mm(&paper, &set_up));
        let truth = procedure.bench.truth(plate.seed);
        let mut instrument = Instrument::on_bench(scene, &set_up, procedure.reference_gain_db, &truth)?;
        let pose = snapshot::first_pose(&paper);
        let gain_db = procedure.scanning_level_db();
        instrument.set_gain_db(gain_db);
        let beam = u32::try_from(instrument.angles_deg().len() / 2).unwrap_or(0);
        let gate = Gate { start_mm: plate.thickness_mm, length_mm: 10.0, threshold_percent: 20.0 };
        let log = Log::new(&plate.id, &paper.digest());
        let place = instrument.picture_frame(View::Folded);
        let contact = ContactOfLog::new(&paper);
        Ok(Self {
            paper,
            instrument,
            log,
            set_up,
            pose,
            gain_db,
            beam,
            gate,
            second_gate: None,
            gate_points: [GatePoint::Peak; 2],
            face: pose.face,
            tick: 0,
            framed_ms: 0,
            picture: Vec::new(),
            place,
            trace: Vec::new(),
            trace_step_mm: 1.0,
            lifted: false,
            contact,
            contact_loss_db: 0.0,
            on_block: None,
            drifted: 0,
            exam: None,
            examined: None,
            made: None,
            shown: View::Folded,
            then: None,
            lesson: None,
            marks: None,
        })
    }

    /// What the page may know of the plate, as JSON.
    ///
    /// # Errors
    /// None in practice; the library's error type has to go on.
    pub fn about(&self) -> Result<String, SessionError> {
        Ok(serde_json::to_string(&About::of(
            &self.paper,
            self.exam.as_ref().map(|(terms, key)| (terms, key.is_none())),
            &self.set_up,
            &self.instrument,
        ))?)
    }

    /// What the operator holds, as JSON.
    ///
    /// # Errors
    /// None in practice; the library's error type has to go on.
    pub fn now(&self, damage: Option<String>) -> Result<String, SessionError> {
        let state = self.log.restore();
        Ok(serde_json::to_string(&Now {
            t_ms: state.t_ms,
            pose: self.pose,
            gain_db: self.gain_db,
            beam: self.beam,
            gate: self.gate,
            second_gate: self.second_gate,
            gate_points: self.gate_points,
            rail_mm: state.rail_mm,
            lifted: self.lifted,
            sheet: &state.sheet,
            handed_in: state.handed_in,
            damage,
        })?)
    }

    /// Takes up the session of a log. A damaged end is left out and told of.
    ///
    /// # Errors
    /// A log without a beginning, or of another plate; the session stays as it was.
    pub fn restore(&mut self, text: &str) -> Result<String, SessionError> {
        let log = match Log::salvage(text) {
            (Some(log), _) if log.restore().paper_digest != self.paper.digest() => {
                return Err(SessionError::OtherPlate {
                    found: log.restore().plate_id.clone(),
                    expected: self.paper.plate.id.clone(),
                });
            }
            (Some(log), damage) => (log, damage.map(|error| error.to_string())),
            (None, Some(error)) => return Err(error.into()),
            (None, None) => return self.now(None),
        };
        self.take_up(log.0.restore().set_up.as_deref())?;
        self.log = log.0;
        self.then = None;
        self.contact = ContactOfLog::new(&self.paper);
        self.on_block = None;
        self.use_calibration();
        self.examined = None;
        self.marks = None;
        let state = self.log.restore();
        self.pose = state.pose.unwrap_or(self.pose);
        self.lifted = state.lifted;
        self.gain_db = state.gain_db.unwrap_or(self.gain_db);
        self.beam = state.beam.unwrap_or(self.beam).min(self.last_beam());
        self.gate = state.gate.unwrap_or(self.gate);
        self.second_gate = state.second_gate;
        self.gate_points = state.gate_points;
        self.face = self.pose.face;
        self.instrument.set_gain_db(self.gain_db);
        self.now(log.1)
    }

    /// Chooses the face that the next poses are on.
    ///
    /// # Errors
    /// An unknown face.
    pub fn set_face(&mut self, face: &str) -> Result<(), SessionError> {
        self.face = match face {
            "upper" => Face::Upper,
            "lower" => Face::Lower,
            _ => return Err(value("face of the plate", face, "upper or lower")),
        };
        Ok(())
    }

    /// Sets the probe down somewhere.
    ///
    /// # Errors
    /// A place that is no number, or an unknown side.
    pub fn set_pose(&mut self, t_ms: u64, side: &str, numbers: [f64; 3]) -> Result<(), SessionError> {
        let side = match side {
            "A" => Side::A,
            "B" => Side::B,
            _ => return Err(value("side of the weld", side, "A or B")),
        };
        let [index_offset_mm, y_mm, skew_deg] = numbers;
        finite("place of the probe", &numbers)?;
        self.stand(t_ms, Pose { face: self.face, side, index_offset_mm, y_mm, skew_deg })
    }

    /// The same where the numbers are known to be some.
    pub(crate) fn stand(&mut self, t_ms: u64, pose: Pose) -> Result<(), SessionError> {
        if pose != self.pose || self.log.restore().pose.is_none() {
            self.pose = pose;
            self.note(t_ms, Event::Pose(pose))?;
        }
        Ok(())
    }

    /// Sets the gain.
    ///
    /// # Errors
    /// A gain that is no number.
    pub fn set_gain_db(&mut self, t_ms: u64, gain_db: f64) -> Result<(), SessionError> {
        finite("gain in dB", &[gain_db])?;
        if gain_db.to_bits() != self.gain_db.to_bits() {
            self.gain_db = gain_db;
            self.instrument.set_gain_db(gain_db);
            self.note(t_ms, Event::Gain { gain_db })?;
        }
        Ok(())
    }

    /// Chooses the beam of trace and gate.
    ///
    /// # Errors
    /// A beam the set-up does not have.
    pub fn set_beam(&mut self, t_ms: u64, beam: u32) -> Result<(), SessionError> {
        if beam > self.last_beam() {
            return Err(value("beam", &beam.to_string(), &format!("0 to {}", self.last_beam())));
        }
        if beam != self.beam {
            self.beam = beam;
            self.note(t_ms, Event::Beam { beam })?;
        }
        Ok(())
    }

    /// Sets the gate: start, length (mm of sound path), threshold (% of full screen height).
    ///
    /// # Errors
    /// Values that are no numbers.
    pub fn set_gate(&mut self, t_ms: u64, numbers: [f64; 3]) -> Result<(), SessionError> {
        finite("gate", &numbers)?;
        let [start_mm, length_mm, threshold_percent] = numbers;
        let gate = Gate { start_mm, length_mm, threshold_percent };
        if gate != self.gate {
            self.gate = gate;
            self.note(t_ms, Event::Gate(gate))?;
        }
        Ok(())
    }

    /// Surface points the last frame was made from.
    pub fn points_seen(&self) -> usize {
        self.instrument.points_seen()
    }

    /// Scans once where the probe stands.
    pub fn frame(&mut self) {
        // Cannot fail: the set-up is in use.
        let drifted = self.drift();
        debug_assert!(drifted.is_ok());
        self.touch();
        self.instrument.scan(&self.pose, self.tick);
        self.tick = self.tick.wrapping_add(1);
        self.framed_ms = self.state().t_ms;
    }

    /// Paints the present frame.
    pub fn paint(&mut self, view: View, leg: Option<u8>) {
        self.shown = view;
        self.place = self.instrument.picture_frame(view);
        let bytes = u64::from(self.place.width_px) * u64::from(self.place.height_px) * 4;
        self.picture.resize(usize::try_from(bytes).unwrap_or(0), 0);
        self.instrument.paint(view, leg, &mut self.picture);
    }

    /// Takes the trace of the chosen beam out of the present frame.
    pub fn take_trace(&mut self) {
        let trace = self.instrument.trace(self.beam as usize);
        self.trace_step_mm = trace.step_mm;
        self.trace = trace.percent;
    }

    /// The trace taken last, % of full screen height, and the sound path from one value to the next, mm.
    pub fn trace(&self) -> (&[f32], f64) {
        (&self.trace, self.trace_step_mm)
    }

    /// What the gate reads.
    pub fn reading(&self) -> Option<Reading> {
        self.instrument.reading_at(self.beam as usize, &self.gate, self.gate_points[0])
    }

    /// A call begun from the gate, for the sheet; `None` with an empty gate.
    pub fn call_from_gate(&self) -> Option<Call> {
        let call = Call::from_reading(&self.reading()?, self.pose.side);
        Some(Call { snapshot: Some(Box::new(self.snapshot())), ..call })
    }

    /// Writes an event of the answer sheet down and gives the sheet back.
    ///
    /// # Errors
    /// An event that cannot follow; nothing has changed then.
    pub fn edit(&mut self, t_ms: u64, event: Event) -> Result<&AnswerSheet, SessionError> {
        self.log.push(t_ms, event)?;
        Ok(&self.log.restore().sheet)
    }

    /// The log as text.
    ///
    /// # Errors
    /// None in practice; the library's error type has to go on.
    pub fn log_text(&self) -> Result<String, SessionError> {
        Ok(self.log.to_text()?)
    }

    /// A digest of the present frame.
    pub fn digest(&self) -> String {
        self.instrument.digest()
    }

    /// The answers as a file.
    ///
    /// # Errors
    /// None in practice; the library's error type has to go on.
    pub fn answers_text(&self) -> Result<String, SessionError> {
        Ok(self.log.restore().sheet.to_json()?)
    }

    /// Size and place of the painted picture.
    pub fn place(&self) -> &PictureFrame {
        &self.place
    }

    /// The painted picture, RGBA rows.
    pub fn picture(&self) -> &[u8] {
        &self.picture
    }

    /// Set-up events go into the log until hand-in; afterwards the probe may still be moved, off the record.
    pub(crate) fn note(&mut self, t_ms: u64, event: Event) -> Result<(), SessionError> {
        if !self.log.restore().handed_in {
            if let Some(examined) = &mut self.examined {
                examined.take(t_ms, &event);
            }
            self.log.push(t_ms, event)?;
        }
        Ok(())
    }

    pub(crate) fn last_beam(&self) -> u32 {
        u32::try_from(self.instrument.angles_deg().len().saturating_sub(1)).unwrap_or(u32::MAX)
    }
}
