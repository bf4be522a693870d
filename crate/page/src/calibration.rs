//! Calibration and contact towards the page: the probe on a reference block beside the plate, what was measured, what is
//! left; couplant, lift-off and finger.

use acoustics::scene::POINT_SPACING_WAVELENGTHS;
use exam::blocks;
use exam::log::Event;
use instrument::bench::Instrument;
use instrument::calibration::{Calibration, Check, Outcome, Residual, Step, Sweep, Target};
use instrument::contact::{CELL_MM, Stroke};
use instrument::pose::{Face, Pose, Side};
use instrument::set_up::SetUp;
use instrument::shaping::Finger;
use serde::Serialize;
use specimen::section::Outline;
use wasm_bindgen::prelude::*;

use crate::bench::{Bench, told, whole};
use crate::replay::shown;
use crate::session::{Session, SessionError, value};

/// Shortest range on a block, mm: the larger radius and the deeper holes shall be seen.
const BLOCK_RANGE_MM: f64 = 170.0;
/// The probe is moved in steps no longer than this, mm: a focused beam passes a hole within 3 mm.
const STEP_MM: f64 = 0.5;
/// Longest way of one move, mm.
const MOST_MM: f64 = 400.0;

/// The probe on a block.
pub(crate) struct OnBlock {
    instrument: Instrument,
    sweep: Sweep,
    /// The step, or a check with nothing to correct.
    step: Option<Step>,
    /// Whether it is a check of a calibration in use, on the block that it was made on.
    recheck: bool,
    side: Side,
    y_mm: f64,
    index_offset_mm: Option<f64>,
    tick: u32,
}

/// A block as the page draws it.
#[derive(Serialize)]
struct About {
    outline: Outline,
    thickness_mm: f64,
    width_mm: f64,
    wedge_length_mm: f64,
    side: Side,
    /// Where the slide begins and ends, as index offsets, mm.
    way_mm: [f64; 2],
    targets: Vec<Target>,
    angles_deg: Vec<f64>,
}

/// What was measured so far.
#[derive(Serialize)]
struct Measured {
    index_offset_mm: f64,
    /// Beams that have found each target.
    found: Vec<usize>,
    beams: usize,
    /// As the bench reads now.
    before: Vec<Residual>,
    /// After the step's correction, once there is enough.
    outcome: Option<Outcome>,
    /// In a check of a calibration in use: what it tells, once there is enough.
    check: Option<Check>,
}

/// What is calibrated and how wet the plate is.
#[derive(Serialize)]
struct State<'a> {
    calibrated: bool,
    always_wet: bool,
    calibration: Option<&'a Calibration>,
    check: Option<Check>,
    contact_loss_db: f64,
    finger: Option<Finger>,
}

/// The film as the page draws it.
#[derive(Serialize)]
struct Wet {
    cell_mm: f64,
    cells: [usize; 2],
    corner_mm: [f64; 2],
    /// 0 to 9 for each cell of the upper face, `[along][across]`.
    amounts: String,
}

fn step_named(name: &str) -> Result<Option<Step>, SessionError> {
    Ok(match name {
        "check" | "recheck" => None,
        "speed" => Some(Step::Speed),
        "wedge" => Some(Step::Wedge),
        "angles" => Some(Step::Angles),
        "sensitivity" => Some(Step::Sensitivity),
        "path-gain" => Some(Step::PathGain),
        _ => {
            return Err(value(
                "step",
                name,
                "speed, wedge, angles, sensitivity, path-gain, check or recheck",
            ));
        }
    })
}

impl Session {
    /// What was calibrated, as far as it holds for the set-up in use.
    pub(crate) fn calibration(&self) -> Calibration {
        let made = self.state().calibration.as_deref();
        made.map_or_else(|| Calibration::begin(&self.set_up), |made| made.carried_to(&self.set_up))
    }

    /// Hands the calibration of the log to the instrument.
    pub(crate) fn use_calibration(&mut self) {
        let made = self.calibration();
        self.instrument.calibrate(Some(&made));
    }

    /// Puts the probe on a block for a step: what to draw, as JSON.
    ///
    /// # Errors
    /// An unknown step.
    pub fn calibration_begin(&mut self, step: &str) -> Result<String, SessionError> {
        let recheck = step == "recheck";
        let step = step_named(step)?;
        let on_own = step.is_some() || recheck;
        let mut block = if on_own { blocks::calibration_block()? } else { blocks::check_block()? };
        block.solid = self.paper.plate.solid;
        let targets = blocks::targets(&block, if recheck { Some(Step::PathGain) } else { step });
        let set_up = SetUp { range_mm: self.set_up.range_mm.max(BLOCK_RANGE_MM), ..self.set_up.clone() };
        let spacing = POINT_SPACING_WAVELENGTHS * block.solid.shear_mm_per_us / set_up.probe.frequency_mhz;
        let gain_db = self.paper.procedure.reference_gain_db;
        self.drift()?;
        let truth = self.truth();
        let mut instrument = Instrument::on_bench(block.scene(spacing), &set_up, gain_db, &truth)?;
        instrument.calibrate(Some(&self.calibration()));
        let on_radii = matches!(targets.first(), Some(Target::Radius { .. }));
        let (side, way_mm) = if on_radii { (Side::A, [-90.0, -44.0]) } else { (Side::B, [-140.0, 100.0]) };
        let about = About {
            outline: block.outline(),
            thickness_mm: block.thickness_mm,
            width_mm: block.width_mm,
            wedge_length_mm: set_up.probe.wedge_length_mm,
            side,
            way_mm,
            targets: targets.clone(),
            angles_deg: instrument.angles_deg().to_vec(),
        };
        let sweep = Sweep::new(targets, instrument.angles_deg().len());
        let y_mm = block.length_mm / 2.0;
        self.on_block =
            Some(OnBlock { instrument, sweep, step, recheck, side, y_mm, index_offset_mm: None, tick: 0 });
        Ok(serde_json::to_string(&about)?)
    }

    /// Slides the probe on the block to an index offset, watching all the way; what was measured so far, as JSON.
    ///
    /// # Errors
    /// A place off the block, or no step begun.
    pub fn calibration_move(&mut self, index_offset_mm: f64) -> Result<String, SessionError> {
        if !(-MOST_MM..=MOST_MM).contains(&index_offset_mm) {
            return Err(value(
                "place on the block",
                &index_offset_mm.to_string(),
                "a place on the block in mm",
            ));
        }
        let made = self.calibration();
        let Some(on) = &mut self.on_block else { return Err(value("step", "none", "a step that was begun")) };
        let from = on.index_offset_mm.unwrap_or(index_offset_mm);
        let steps = ((index_offset_mm - from).abs() / STEP_MM - 1e-6) as u32 + 1;
        for step in 1..=steps {
            let at = from + (index_offset_mm - from) * f64::from(step) / f64::from(steps);
            let pose =
                Pose { face: Face::Upper, side: on.side, index_offset_mm: at, y_mm: on.y_mm, skew_deg: 0.0 };
            on.instrument.scan(&pose, on.tick);
            on.tick = on.tick.wrapping_add(1);
            on.sweep.take(&on.instrument);
        }
        on.index_offset_mm = Some(index_offset_mm);
        let targets = on.sweep.targets().len();
        Ok(serde_json::to_string(&Measured {
            index_offset_mm,
            found: (0..targets).map(|target| on.sweep.found(target)).collect(),
            beams: on.instrument.angles_deg().len(),
            before: on.sweep.residuals(&made, &on.instrument),
            outcome: on.step.and_then(|step| on.sweep.outcome(step, &made, &on.instrument)),
            check: self.on_block_check(),
        })?)
    }

    /// What the holes say of the calibration in use, where a check of it is under way.
    pub(crate) fn on_block_check(&self) -> Option<Check> {
        let on = self.on_block.as_ref().filter(|on| on.recheck)?;
        Check::of(&on.sweep, &self.calibration(), &on.instrument)
    }

    /// Accepts the step's correction, writes it down and reads with it from now on; the state as JSON.
    ///
    /// # Errors
    /// No step begun, too little measured, or an event that cannot follow.
    pub fn calibration_accept(&mut self, t_ms: u64) -> Result<String, SessionError> {
        let made = self.calibration();
        let outcome = self.on_block.as_ref().and_then(|on| on.sweep.outcome(on.step?, &made, &on.instrument));
        let Some(outcome) = outcome else {
            return Err(value("step", "not measured yet", "every beam to have found its echo"));
        };
        self.note(t_ms, Event::Calibrated(Box::new(outcome.calibration)))?;
        self.use_calibration();
        self.on_block = None;
        self.bench_state()
    }

    /// Takes the result of the encoder's check: what a way of so many millimetres was counted as.
    ///
    /// # Errors
    /// An event that cannot follow.
    pub fn encoder_accept(&mut self, t_ms: u64, way_mm: f64) -> Result<String, SessionError> {
        let counted_mm = self.encoder_counts(way_mm);
        let mut made = self.calibration();
        made.set_encoder(way_mm, counted_mm);
        self.note(t_ms, Event::Calibrated(Box::new(made)))?;
        self.bench_state()
    }

    /// What the encoder counts for a way, by its data sheet, mm.
    pub fn encoder_counts(&self, way_mm: f64) -> f64 {
        self.paper.procedure.bench.truth(self.paper.plate.seed).encoder_mm(way_mm)
    }

    /// What is calibrated and how wet the plate is, as JSON.
    ///
    /// # Errors
    /// None in practice; the library's error type has to go on.
    pub fn bench_state(&self) -> Result<String, SessionError> {
        let state = self.state();
        let bench = &self.paper.procedure.bench;
        Ok(serde_json::to_string(&State {
            calibrated: bench.calibrated,
            always_wet: bench.always_wet,
            calibration: state.calibration.as_deref(),
            check: state.check,
            contact_loss_db: self.contact_loss_db,
            finger: state.finger,
        })?)
    }

    /// Lays couplant.
    ///
    /// # Errors
    /// A text that is no stroke, or one off every plate.
    pub fn lay_couplant(&mut self, t_ms: u64, stroke: &str) -> Result<(), SessionError> {
        let stroke: Stroke = exam::json::read(stroke.as_bytes())?;
        self.note(t_ms, Event::Couplant(stroke))
    }

    /// Presses a wet finger somewhere, or lifts it.
    ///
    /// # Errors
    /// A text that is no finger.
    pub fn press_finger(&mut self, t_ms: u64, finger: &str) -> Result<(), SessionError> {
        let finger: Option<Finger> = exam::json::read(finger.as_bytes())?;
        self.note(t_ms, Event::Finger(finger))
    }

    /// Lifts the probe off the plate, or sets it down where it hangs.
    ///
    /// # Errors
    /// An event that cannot follow.
    pub fn set_lifted(&mut self, t_ms: u64, lifted: bool) -> Result<(), SessionError> {
        if lifted != self.lifted {
            self.lifted = lifted;
            self.note(t_ms, Event::Lifted(lifted))?;
        }
        Ok(())
    }

    /// The film on the upper face, as JSON; `null` where the plate is always wet.
    ///
    /// # Errors
    /// None in practice; the library's error type has to go on.
    pub fn film(&mut self) -> Result<String, SessionError> {
        let contact = self.contact.at_end(shown(&self.log, self.then.as_ref()));
        let Some(film) = contact.film() else { return Ok("null".to_owned()) };
        let digit = |amount: &f32| char::from_digit((amount * 9.0 + 0.49) as u32, 10).unwrap_or('9');
        Ok(serde_json::to_string(&Wet {
            cell_mm: CELL_MM,
            cells: film.cells(),
            corner_mm: [-self.paper.plate.width_mm / 2.0, 0.0],
            amounts: film.amounts(Face::Upper).iter().map(digit).collect(),
        })?)
    }

    /// Contact and finger for the next frame.
    pub(crate) fn touch(&mut self) {
        let entries = shown(&self.log, self.then.as_ref());
        self.contact_loss_db = self.contact.at_end(entries).held(self.lifted).loss_db();
        self.instrument.set_contact_loss_db(self.contact_loss_db);
        self.instrument.set_finger(self.state().finger);
    }
}

#[wasm_bindgen]
impl Bench {
    /// Puts the probe on a block for a step (`speed`, `wedge`, `angles`, `sensitivity`, `path-gain`), a `check` on
    /// another block or a `recheck` on the same.
    pub fn calibration_begin(&mut self, step: &str) -> Result<String, JsError> {
        self.session.calibration_begin(step).map_err(told)
    }

    /// Slides the probe on the block; gives what was measured so far.
    pub fn calibration_move(&mut self, index_offset_mm: f64) -> Result<String, JsError> {
        self.session.calibration_move(index_offset_mm).map_err(told)
    }

    /// Accepts the step's correction; gives the state of the bench.
    pub fn calibration_accept(&mut self, t_ms: f64) -> Result<String, JsError> {
        self.session.calibration_accept(whole(t_ms)).map_err(told)
    }

    /// What the encoder counts for a way, mm.
    pub fn encoder_counts(&self, way_mm: f64) -> f64 {
        self.session.encoder_counts(way_mm)
    }

    /// Accepts the encoder's factor from a way; gives the state of the bench.
    pub fn encoder_accept(&mut self, t_ms: f64, way_mm: f64) -> Result<String, JsError> {
        self.session.encoder_accept(whole(t_ms), way_mm).map_err(told)
    }

    /// What is calibrated and how wet the plate is.
    pub fn bench_state(&self) -> Result<String, JsError> {
        self.session.bench_state().map_err(told)
    }

    /// Lays couplant in a stroke.
    pub fn lay_couplant(&mut self, t_ms: f64, stroke: &str) -> Result<(), JsError> {
        self.session.lay_couplant(whole(t_ms), stroke).map_err(told)
    }

    /// Presses a wet finger somewhere, or lifts it (`null`).
    pub fn press_finger(&mut self, t_ms: f64, finger: &str) -> Result<(), JsError> {
        self.session.press_finger(whole(t_ms), finger).map_err(told)
    }

    /// Lifts the probe off the plate, or sets it down.
    pub fn set_lifted(&mut self, t_ms: f64, lifted: bool) -> Result<(), JsError> {
        self.session.set_lifted(whole(t_ms), lifted).map_err(told)
    }

    /// The film on the upper face, or `null`.
    pub fn film(&mut self) -> Result<String, JsError> {
        self.session.film().map_err(told)
    }
}
