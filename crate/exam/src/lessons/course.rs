//! A lesson under way.

use serde::Serialize;

use super::measure::{Highest, Measure, Situation};
use super::{About, Lesson, Words};

/// A lesson, and how far it is.
#[derive(Clone, Debug)]
pub struct Course {
    lesson: Lesson,
    words: Words,
    step: usize,
    met: bool,
    highest: Option<Highest>,
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
        Self { lesson, words, step, met: false, highest: None }
    }

    /// What the page shows.
    pub fn about(&self) -> About<'_> {
        let steps = &self.lesson.steps;
        About {
            words: &self.words,
            begin: steps.iter().map(|step| &step.begin).collect(),
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
            self.met = false;
            self.highest = None;
        }
    }
}
