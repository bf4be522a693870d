//! A lesson under way.

use serde::Serialize;

use super::measure::{Highest, Measure, Situation};
use super::vary::{VariedFlaw, Vary};
use super::{About, Lesson, Words};

/// A lesson, and how far it is.
#[derive(Clone, Debug)]
pub struct Course {
    lesson: Lesson,
    words: Words,
    step: usize,
    met: bool,
    highest: Option<Highest>,
    varied: f64,
}

/// How a lesson stands.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Told {
    /// The present step, from 0.
    pub step: usize,
    /// How many there are.
    pub steps: usize,
    /// Whether its goal was reached; it stays so.
    pub met: bool,
    /// Whether that was the last one.
    pub done: bool,
    /// What the goal asks for, one by one, as it is now.
    pub measures: Vec<Measure>,
}

impl Course {
    /// Begins at a step, from 0; beyond the last one at the last.
    pub fn new(lesson: Lesson, words: Words, step: usize) -> Self {
        let step = step.min(lesson.steps.len().saturating_sub(1));
        let mut course = Self { lesson, words, step, met: false, highest: None, varied: 0.0 };
        course.begin();
        course
    }

    fn begin(&mut self) {
        self.met = false;
        self.highest = None;
        self.varied = self.vary().map_or(0.0, |vary| vary.begin);
    }

    /// What may be changed of a flaw in the present step.
    pub fn vary(&self) -> Option<Vary> {
        self.lesson.steps.get(self.step)?.vary
    }

    /// Sets what may be changed, as far as the step lets it.
    pub fn set_varied(&mut self, value: f64) {
        if let Some(Vary { range: [low, high], .. }) = self.vary() {
            self.varied = value.max(low).min(high);
        }
    }

    /// The flaw as it is set; `None` where the step changes none.
    pub fn varied(&self) -> Option<VariedFlaw> {
        Some(self.vary()?.at(self.varied))
    }

    /// Whether some step changes a flaw.
    pub fn varies(&self) -> bool {
        self.lesson.steps.iter().any(|step| step.vary.is_some())
    }

    /// What the page shows.
    pub fn about(&self) -> About<'_> {
        let steps = &self.lesson.steps;
        About {
            words: &self.words,
            begin: steps.iter().map(|step| &step.begin).collect(),
            vary: steps.iter().map(|step| step.vary.as_ref()).collect(),
            hands_in: steps.iter().any(|step| step.goal.passed.is_some()),
        }
    }

    /// Whether the present step asks how much was examined: that takes time to work out.
    pub fn asks_examined(&self) -> bool {
        self.lesson.steps.get(self.step).is_some_and(|step| step.goal.examined_percent.is_some())
    }

    /// Holds the present step against the bench.
    pub fn look(&mut self, now: &Situation<'_>) -> Told {
        let steps = self.lesson.steps.len();
        let mut measures = Vec::new();
        if let Some(step) = self.lesson.steps.get(self.step) {
            step.goal.watch(now, &mut self.highest);
            measures = step.goal.measures(now, self.highest);
            self.met |= measures.iter().all(|measure| measure.met);
        }
        Told { step: self.step, steps, met: self.met, done: self.met && self.step + 1 == steps, measures }
    }

    /// Goes on to the next step, once the goal of this one was reached.
    pub fn next(&mut self) {
        if self.met && self.step + 1 < self.lesson.steps.len() {
            self.step += 1;
            self.begin();
        }
    }
}
