//! Lessons towards the page: begun beside a plate, looked at after each frame.

use acoustics::scene::Scene;
use exam::findable;
use exam::lessons::{Course, Lesson, Situation, Told, Words};
use exam::log::Event;
use serde::Serialize;
use wasm_bindgen::prelude::*;

use crate::bench::{Bench, told};
use crate::session::{Session, SessionError, finite};

/// A lesson in the list.
#[derive(Serialize)]
struct Listed {
    title: String,
    teaches: String,
    steps: usize,
}

impl Session {
    /// Begins a lesson at a step, from 0; its words and settings as JSON.
    ///
    /// # Errors
    /// Files that cannot be used, or words of another lesson.
    pub fn begin_lesson(
        &mut self,
        lesson: (&str, &[u8]),
        words: (&str, &[u8]),
        step: usize,
    ) -> Result<String, SessionError> {
        let read = Lesson::parse(lesson.0, lesson.1)?;
        let said = Words::parse(words.0, words.1)?;
        said.fit(&read, words.0, words.1)?;
        let course = Course::new(read, said, step);
        let about = serde_json::to_string(&course.about())?;
        self.lesson = Some(course);
        self.lay_varied()?;
        Ok(about)
    }

    /// Lays the plate anew with the flaw as the step has it, and writes that down; it stays as it is where nothing is changed.
    ///
    /// # Errors
    /// None in practice; the log's have to go on.
    fn lay_varied(&mut self) -> Result<(), SessionError> {
        let varied = self.lesson.as_ref().and_then(Course::varied);
        let state = self.log.restore();
        if varied != state.varied {
            self.note(state.t_ms, Event::Varied(varied))?;
        }
        if self.lesson.as_ref().is_some_and(Course::varies) {
            let scene = self.scene(findable::spacing_mm(&self.paper, &self.set_up));
            self.instrument.replace_scene(scene);
        }
        Ok(())
    }

    /// The surfaces of the plate as it lies, so many millimetres apart.
    pub(crate) fn scene(&self, spacing_mm: f64) -> Scene {
        let plate = &self.paper.plate;
        let varied = self.lesson.as_ref().and_then(Course::varied).and_then(|varied| varied.plate(plate));
        varied.as_ref().unwrap_or(plate).scene(spacing_mm)
    }

    /// Changes the flaw of the present step, as far as it lets it.
    ///
    /// # Errors
    /// None in practice; the log's have to go on.
    pub fn vary_lesson(&mut self, wanted_deg_or_mm: f64) -> Result<(), SessionError> {
        if let Some(course) = &mut self.lesson {
            course.set_varied(wanted_deg_or_mm);
            self.lay_varied()?;
        }
        Ok(())
    }

    /// How the lesson stands, with the present frame; `None` without a lesson.
    pub fn look_at_lesson(&mut self) -> Option<Told> {
        let reading = self.reading();
        let sides = self.examined.as_ref().map(exam::examined::Examined::sides);
        let state = self.log.restore();
        let now = Situation {
            pose: self.pose,
            gain_db: self.gain_db,
            beam_deg: self.instrument.angles_deg().get(self.beam as usize).copied().unwrap_or_default(),
            reading,
            view: self.shown,
            contact_loss_db: self.contact_loss_db,
            finger: state.finger,
            calibration: state.calibration.as_deref(),
            sheet: &state.sheet,
            examined_percent: sides
                .and_then(|sides| sides.iter().map(|side| side.at_level_percent).reduce(f64::min)),
            passed: self.marks.as_ref().map(|(marks, _)| marks.passed),
        };
        self.lesson.as_mut().map(|course| course.look(&now))
    }

    /// Goes on to the next step, once the goal of this one was reached.
    ///
    /// # Errors
    /// None in practice; the log's have to go on.
    pub fn next_lesson_step(&mut self) -> Result<(), SessionError> {
        if let Some(course) = &mut self.lesson {
            course.next();
            self.lay_varied()?;
        }
        Ok(())
    }
}

#[wasm_bindgen]
impl Bench {
    /// Begins a lesson at a step, from 0: its file and that of its words, each with a name for the messages.
    pub fn begin_lesson(
        &mut self,
        lesson_name: &str,
        lesson: &[u8],
        words_name: &str,
        words: &[u8],
        step: u32,
    ) -> Result<String, JsError> {
        self.session.begin_lesson((lesson_name, lesson), (words_name, words), step as usize).map_err(told)
    }

    /// How the lesson stands, or `null`.
    pub fn lesson(&mut self) -> Result<String, JsError> {
        let told_now = self.session.look_at_lesson();
        serde_json::to_string(&told_now).map_err(|error| told(error.into()))
    }

    /// Changes the flaw of the present step, as far as it lets it.
    pub fn vary_lesson(&mut self, wanted_deg_or_mm: f64) -> Result<(), JsError> {
        finite("varied", &[wanted_deg_or_mm]).map_err(told)?;
        self.session.vary_lesson(wanted_deg_or_mm).map_err(told)
    }

    /// Goes on to the next step, once the goal of this one was reached.
    pub fn next_lesson_step(&mut self) -> Result<(), JsError> {
        self.session.next_lesson_step().map_err(told)
    }
}

/// The file under the scenarios, without its ending, that a lesson is done on.
#[wasm_bindgen]
pub fn lesson_plate(name: &str, lesson: &[u8]) -> Result<String, JsError> {
    Ok(Lesson::parse(name, lesson).map_err(|error| told(error.into()))?.plate)
}

/// What the list of lessons shows of one, from the file of its words.
#[wasm_bindgen]
pub fn lesson_listed(name: &str, words: &[u8]) -> Result<String, JsError> {
    let words = Words::parse(name, words).map_err(|error| told(error.into()))?;
    let listed = Listed { title: words.title, teaches: words.teaches, steps: words.steps.len() };
    serde_json::to_string(&listed).map_err(|error| told(error.into()))
}

/// The lessons in their order, from `order.toml`.
#[wasm_bindgen]
pub fn lesson_order(name: &str, order: &[u8]) -> Result<String, JsError> {
    let order = exam::lessons::Order::parse(name, order).map_err(|error| told(error.into()))?;
    serde_json::to_string(&order.lessons).map_err(|error| told(error.into()))
}
