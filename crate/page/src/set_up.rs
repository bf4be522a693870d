//! The set-up towards the page: what is held and what there is to choose from, changes, the scan plan.

use exam::findable::spacing_mm;
use exam::log::Event;
use exam::probe_store::{self, Choice};
use exam::scan_plan::{ScanPlan, scan_plan};
use instrument::pose::{Face, Side};
use instrument::scan_plan::Station;
use instrument::set_up::{Kinds, Problem, SetUp, SetUpPart};
use serde::{Deserialize, Serialize};
use wasm_bindgen::prelude::*;

use crate::bench::{Bench, told, whole};
use crate::session::{Session, SessionError};

/// What is held, what is prescribed, what may be chosen.
#[derive(Serialize)]
struct Sheet<'a> {
    set_up: &'a SetUp,
    prescribed: SetUp,
    operator_sets: &'a [SetUpPart],
    store: Vec<Choice>,
    /// The beams that the prescribed probe begins with in either kind of scan, and those of the store, in its order.
    kinds: Kinds,
    store_kinds: Vec<Kinds>,
}

/// What became of a change.
#[derive(Serialize)]
struct Changed<'a> {
    set_up: &'a SetUp,
    problems: Vec<Problem>,
    /// The chosen beam, which keeps its angle as far as it can.
    beam: u32,
}

/// What a plan is wanted of.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Wish {
    set_up: SetUp,
    face: Face,
    sides: Vec<Side>,
    index_offset_mm: [f64; 2],
    legs: u8,
}

/// The plan, or why there is none.
#[derive(Serialize)]
struct Planned {
    problems: Vec<Problem>,
    plan: Option<ScanPlan>,
}

impl Session {
    /// The set-up in use, the prescribed one, and the store, as JSON.
    ///
    /// # Errors
    /// None in practice; the errors of store and JSON have to go on.
    pub fn set_up_sheet(&self) -> Result<String, SessionError> {
        let (store, solid) = (probe_store::choices()?, &self.paper.plate.solid);
        let prescribed = SetUp::of(&self.paper.procedure);
        let kinds = prescribed.kinds(solid);
        let with =
            |choice: &Choice| choice.set_up(&SetUp { sector: kinds.sector.clone(), ..prescribed.clone() });
        Ok(serde_json::to_string(&Sheet {
            set_up: &self.set_up,
            operator_sets: &self.paper.procedure.operator_sets,
            store_kinds: store.iter().map(|choice| with(choice).kinds(solid)).collect(),
            store,
            kinds,
            prescribed,
        })?)
    }

    /// Takes another set-up and writes it down; what keeps it from being used comes back, and the old one stays.
    ///
    /// # Errors
    /// A text that is no set-up, or an event that cannot follow.
    pub fn change_set_up(&mut self, t_ms: u64, set_up: &str) -> Result<String, SessionError> {
        let set_up: SetUp = exam::json::read(set_up.as_bytes())?;
        let problems = set_up.problems(&self.paper.procedure, &self.paper.plate.solid);
        if problems.is_empty() && set_up != self.set_up {
            let beam = self.beam;
            self.take_up(Some(&set_up))?;
            self.note(t_ms, Event::SetUp(Box::new(set_up)))?;
            if beam != self.beam {
                self.note(t_ms, Event::Beam { beam: self.beam })?;
            }
        }
        Ok(serde_json::to_string(&Changed { set_up: &self.set_up, problems, beam: self.beam })?)
    }

    /// Makes the tables of a set-up, or of the procedure's own. The plate stays unless the waves need it finer or coarser.
    pub(crate) fn take_up(&mut self, set_up: Option<&SetUp>) -> Result<(), SessionError> {
        let prescribed = SetUp::of(&self.paper.procedure);
        let set_up = set_up.unwrap_or(&prescribed);
        let plate = &self.paper.plate;
        if let Some(problem) = set_up.problems(&self.paper.procedure, &plate.solid).into_iter().next() {
            return Err(problem.into());
        }
        if set_up.needs_tables(&self.set_up) {
            let spacing = spacing_mm(&self.paper, set_up);
            let same = spacing.to_bits() == spacing_mm(&self.paper, &self.set_up).to_bits();
            let scene = (!same).then(|| self.scene(spacing));
            let before = self.beam as usize;
            let (angle_deg, exit_mm) =
                (self.instrument.angles_deg()[before], self.instrument.exit_forward_mm(before));
            let parallel = self.set_up.sector.is_linear();
            let gain_db = self.paper.procedure.reference_gain_db;
            let (truth, made) = (self.truth(), self.made.take());
            self.instrument.change(scene, set_up, gain_db, &truth, made)?;
            self.instrument.set_gain_db(self.gain_db);
            // The beam that comes nearest to the one chosen before: by its angle, or among parallel ones by its exit point, for
            // which a sector has none to go by.
            let middle_mm = 0.5
                * (self.instrument.exit_forward_mm(0)
                    + self.instrument.exit_forward_mm(self.last_beam() as usize));
            let exit_mm = if parallel { exit_mm } else { middle_mm };
            let far = |&beam: &u32| match set_up.sector.is_linear() {
                true => (self.instrument.exit_forward_mm(beam as usize) - exit_mm).abs(),
                false => (self.instrument.angles_deg()[beam as usize] - angle_deg).abs(),
            };
            self.beam = (0..=self.last_beam()).min_by(|a, b| far(a).total_cmp(&far(b))).unwrap_or(0);
        }
        self.instrument.set_receiver(set_up.receiver);
        self.set_up = set_up.clone();
        self.on_block = None;
        self.use_calibration();
        Ok(())
    }

    /// The scan plan of a set-up that is not in use yet, or why there is none, as JSON.
    ///
    /// # Errors
    /// A text that is no wish.
    pub fn scan_plan(&self, wish: &str) -> Result<String, SessionError> {
        let Wish { set_up, face, sides, index_offset_mm, legs } = exam::json::read(wish.as_bytes())?;
        let problems = set_up.problems(&self.paper.procedure, &self.paper.plate.solid);
        let stations: Vec<Station> =
            sides.into_iter().map(|side| Station { face, side, index_offset_mm }).collect();
        let plan = match problems.is_empty() {
            true => Some(scan_plan(&self.paper.plate, &set_up, &stations, legs)?),
            false => None,
        };
        Ok(serde_json::to_string(&Planned { problems, plan })?)
    }
}

#[wasm_bindgen]
impl Bench {
    /// The set-up in use, the prescribed one, and the store of probes.
    pub fn set_up_sheet(&self) -> Result<String, JsError> {
        self.session.set_up_sheet().map_err(told)
    }

    /// Takes another set-up; gives the one in use then, and what keeps the wanted one from being used.
    pub fn change_set_up(&mut self, t_ms: f64, set_up: &str) -> Result<String, JsError> {
        self.session.change_set_up(whole(t_ms), set_up).map_err(told)
    }

    /// What a set-up would reach.
    pub fn scan_plan(&self, wish: &str) -> Result<String, JsError> {
        self.session.scan_plan(wish).map_err(told)
    }
}
