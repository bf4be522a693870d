//! What a call was made from: enough to compute the very frame again from plate and log, so that no picture has to be kept.

use instrument::bench::{Instrument, PictureFrame, SetUpError, Trace, View};
use instrument::calibration::Calibration;
use instrument::gate::{Gate, Reading};
use instrument::pose::{Face, Pose, Side};
use instrument::set_up::SetUp;
use serde::{Deserialize, Serialize};

use crate::contact::ContactOfLog;
use crate::findable::{self, BestEcho};
use crate::lessons::VariedFlaw;
use crate::log::{Log, State};
use crate::paper::Paper;

/// What was held when a call got its values from the gate. Set-up, calibration, drift of the bench and finger are those of the
/// log at that time.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Snapshot {
    /// When, ms since the session began.
    pub t_ms: u64,
    /// Where the probe stood.
    pub pose: Pose,
    /// Gain, dB.
    pub gain_db: f64,
    /// Index of the beam.
    pub beam: u32,
    /// The gate.
    pub gate: Gate,
    /// Number of the frame, on which its electronic noise hangs; 0 for a line of a recording.
    #[serde(default)]
    pub tick: u32,
    /// What the contact took, dB: the film's way is not kept to the last pose.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub contact_loss_db: f64,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands a reference")]
fn is_zero(value: &f64) -> bool {
    *value == 0.0
}

/// Length of the gate about an echo, mm.
const GATE_MM: f64 = 5.0;

impl Snapshot {
    /// What shows an echo with the procedure's own set-up at a gain.
    pub fn of_echo(echo: &BestEcho, gain_db: f64) -> Self {
        let start_mm = (echo.sound_path_mm - GATE_MM / 2.0).max(0.0);
        Self {
            t_ms: 0,
            pose: echo.pose(),
            gain_db,
            beam: echo.beam,
            gate: Gate { start_mm, length_mm: GATE_MM, threshold_percent: 0.0 },
            tick: 0,
            contact_loss_db: 0.0,
        }
    }
}

/// The picture and the trace of a snapshot.
#[derive(Clone, Debug)]
pub struct Shot {
    /// The picture folded, all legs: RGBA rows.
    pub rgba: Vec<u8>,
    /// Its size and place.
    pub place: PictureFrame,
    /// The trace of the beam.
    pub trace: Trace,
    /// Refracted angle of the beam, degrees.
    pub angle_deg: f64,
    /// What the gate read.
    pub reading: Option<Reading>,
}

impl Shot {
    /// Takes picture and trace out of an instrument's frame; `None` where the set-up has no such beam.
    pub fn of(instrument: &mut Instrument, snapshot: &Snapshot) -> Option<Self> {
        let beam = snapshot.beam as usize;
        let angle_deg = *instrument.angles_deg().get(beam)?;
        let place = instrument.picture_frame(View::Folded);
        let mut rgba = vec![0; place.width_px as usize * place.height_px as usize * 4];
        instrument.paint(View::Folded, None, &mut rgba);
        let reading = instrument.reading(beam, &snapshot.gate);
        Some(Self { rgba, place, trace: instrument.trace(beam), angle_deg, reading })
    }
}

/// Scans what a snapshot saw. The instrument has the set-up of that time; `then` is the session as it stood.
pub fn scan(instrument: &mut Instrument, set_up: &SetUp, then: &State, snapshot: &Snapshot) {
    instrument.set_receiver(set_up.receiver);
    instrument.calibrate(Some(&calibration(set_up, then)));
    instrument.set_contact_loss_db(snapshot.contact_loss_db);
    instrument.set_finger(then.finger);
    instrument.set_gain_db(snapshot.gain_db);
    instrument.scan(&snapshot.pose, snapshot.tick);
}

/// What was calibrated at a time, as far as it held for the set-up.
pub fn calibration(set_up: &SetUp, then: &State) -> Calibration {
    let made = then.calibration.as_deref();
    made.map_or_else(|| Calibration::begin(set_up), |made| made.carried_to(set_up))
}

/// Where the probe stands at first, mm from the datum.
const START_MM: f64 = 20.0;

/// Where the probe stands when a session begins.
pub fn first_pose(paper: &Paper) -> Pose {
    let procedure = &paper.procedure;
    let [near, far] = procedure.index_offset_mm;
    Pose {
        face: Face::Upper,
        side: procedure.sides.first().copied().unwrap_or(Side::A),
        index_offset_mm: (near + far) / 2.0,
        y_mm: START_MM.min(paper.plate.length_mm / 2.0),
        skew_deg: 0.0,
    }
}

/// What an instrument is made for: the set-up, the stretch of use, and a flaw that a lesson has varied.
type MadeFor = (SetUp, u32, Option<VariedFlaw>);

/// An instrument and what it is made for, kept from one session of a plate to the next.
#[derive(Debug, Default)]
pub struct Kept(Option<(MadeFor, Instrument)>);

/// Frames of a session computed again, with a bench of its own.
#[derive(Debug)]
pub struct Rerun<'a> {
    paper: &'a Paper,
    log: &'a Log,
    /// Stays as long as what it is made for.
    bench: Kept,
}

impl<'a> Rerun<'a> {
    /// Nothing is computed yet.
    pub fn new(paper: &'a Paper, log: &'a Log) -> Self {
        Self::with(paper, log, Kept::default())
    }

    /// The same with the bench of another session of this plate.
    pub fn with(paper: &'a Paper, log: &'a Log, bench: Kept) -> Self {
        Self { paper, log, bench }
    }

    /// The bench, for the next session.
    pub fn keep(self) -> Kept {
        self.bench
    }

    /// Picture and trace of a snapshot. Takes half a second where the set-up is another than before. `None` for a beam that the
    /// set-up of that time has not.
    ///
    /// # Errors
    /// A set-up of the log that is impossible.
    pub fn shot(&mut self, snapshot: &Snapshot) -> Result<Option<Shot>, SetUpError> {
        Ok(Shot::of(self.scan(snapshot)?, snapshot))
    }

    /// Digest of the frame at the session's end, where the probe stood last: the receiver's noise is that of a first frame.
    ///
    /// # Errors
    /// A set-up of the log that is impossible.
    pub fn last_digest(&mut self) -> Result<String, SetUpError> {
        let (state, procedure) = (self.log.restore(), &self.paper.procedure);
        let snapshot = Snapshot {
            t_ms: state.t_ms,
            pose: state.pose.unwrap_or_else(|| first_pose(self.paper)),
            gain_db: state.gain_db.unwrap_or(procedure.reference_gain_db),
            beam: 0,
            gate: Gate { start_mm: 0.0, length_mm: 0.0, threshold_percent: 0.0 },
            tick: 0,
            contact_loss_db: ContactOfLog::new(self.paper).at_end(self.log.entries()).loss_db(),
        };
        Ok(self.scan(&snapshot)?.digest())
    }

    /// The frame of a snapshot.
    fn scan(&mut self, snapshot: &Snapshot) -> Result<&mut Instrument, SetUpError> {
        let (plate, procedure) = (&self.paper.plate, &self.paper.procedure);
        let then = self.log.at(snapshot.t_ms);
        let set_up = then.set_up.as_deref().cloned().unwrap_or_else(|| SetUp::of(procedure));
        let made_for = (set_up, procedure.bench.stretch_at(snapshot.t_ms), then.varied);
        let kept = self.bench.0.take().filter(|(known, _)| *known == made_for);
        let mut instrument = match kept {
            Some((_, instrument)) => instrument,
            None => {
                let (set_up, stretch, varied) = &made_for;
                let varied = varied.and_then(|varied| varied.plate(plate));
                let scene = varied.as_ref().unwrap_or(plate).scene(findable::spacing_mm(self.paper, set_up));
                let truth = procedure.bench.truth_in(plate.seed, *stretch);
                Instrument::on_bench(scene, set_up, procedure.reference_gain_db, &truth)?
            }
        };
        scan(&mut instrument, &made_for.0, &then, snapshot);
        let (_, instrument) = self.bench.0.insert((made_for, instrument));
        Ok(instrument)
    }

    /// Picture and trace of every call on the sheet as it stands; `None` for one that was written by hand.
    ///
    /// # Errors
    /// A set-up of the log that is impossible.
    pub fn shots(&mut self) -> Result<Vec<Option<Shot>>, SetUpError> {
        let log = self.log;
        let calls = log.restore().sheet.calls.iter();
        calls.map(|call| call.snapshot.as_ref().map_or(Ok(None), |snapshot| self.shot(snapshot))).collect()
    }
}
