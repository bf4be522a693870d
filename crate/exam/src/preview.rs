//! A paper under the hand of whoever draws it: a frame at any pose, with everything or one flaw alone, and the best echoes of
//! the flaws, one flaw and side at a time. What a change of the paper leaves alone is not computed again.

use instrument::bench::{Instrument, SetUpError};
use instrument::pose::{Pose, Side};
use instrument::set_up::SetUp;
use specimen::flaw::Flaw;
use specimen::plate::Plate;

use crate::detectability::{self, Detectability};
use crate::findable::{self, BestEcho, FromSide};
use crate::paper::Paper;

/// What the instrument stands on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shown {
    /// The whole plate: weld, grain, flaws.
    Whole,
    /// One flaw by itself, by its place in the file from 0.
    Alone(u32),
}

/// A paper with its instrument and what is known of its flaws.
pub struct Preview {
    paper: Paper,
    instrument: Instrument,
    shown: Option<Shown>,
    /// Of each flaw, of each side of the procedure.
    known: Vec<Vec<Option<FromSide>>>,
}

/// The plate as far as echoes of its flaws depend on it.
fn ground(plate: &Plate) -> Plate {
    Plate { id: String::new(), title: String::new(), note: String::new(), flaws: Vec::new(), ..plate.clone() }
}

/// Whether an instrument made for one paper serves the other.
fn same_bench(one: &Paper, other: &Paper) -> bool {
    let set_up = |paper: &Paper| SetUp::of(&paper.procedure);
    let (a, b) = (&one.plate, &other.plate);
    set_up(one) == set_up(other)
        && one.procedure.reference_gain_db == other.procedure.reference_gain_db
        && (a.thickness_mm, a.seed, a.grain_level_db) == (b.thickness_mm, b.seed, b.grain_level_db)
        && a.solid == b.solid
}

/// Whether a flaw of the one paper shows the same in the other.
fn same_ground(one: &Paper, other: &Paper) -> bool {
    let (a, b) = (&one.procedure, &other.procedure);
    same_bench(one, other)
        && ground(&one.plate) == ground(&other.plate)
        && a.sides == b.sides
        && a.index_offset_mm == b.index_offset_mm
        && a.recording_level_db == b.recording_level_db
}

/// Whether two flaws show the same.
fn same_flaw(one: &Flaw, other: &Flaw) -> bool {
    Flaw { mandatory: other.mandatory, ..one.clone() } == *other
}

impl Preview {
    /// Sets the instrument up; nothing is scanned yet.
    ///
    /// # Errors
    /// A set-up that is impossible.
    pub fn new(paper: Paper) -> Result<Self, SetUpError> {
        let instrument = findable::instrument(&paper, &ground(&paper.plate))?;
        let known = unknown(&paper);
        Ok(Self { paper, instrument, shown: None, known })
    }

    /// Takes another paper, or the same after a change.
    ///
    /// # Errors
    /// A set-up that is impossible; the preview then stays as it was.
    pub fn change(&mut self, paper: Paper) -> Result<(), SetUpError> {
        if !same_bench(&self.paper, &paper) {
            *self = Self::new(paper)?;
            return Ok(());
        }
        let mut known = unknown(&paper);
        if same_ground(&self.paper, &paper) {
            let mut before: Vec<_> = self.paper.plate.flaws.iter().zip(&self.known).collect();
            for (index, (flaw, known)) in (0..).zip(paper.plate.flaws.iter().zip(&mut known)) {
                let Some(found) = before.iter().position(|(old, _)| same_flaw(old, flaw)) else { continue };
                known.clone_from(before.swap_remove(found).1);
                known.iter_mut().flatten().flat_map(|side| &mut side.legs).for_each(|echo| echo.flaw = index);
            }
        } else {
            let spacing_mm = findable::point_spacing_mm(&paper);
            self.instrument.replace_scene(ground(&paper.plate).scene(spacing_mm));
        }
        self.known = known;
        self.shown = None;
        self.paper = paper;
        Ok(())
    }

    /// The paper.
    pub fn paper(&self) -> &Paper {
        &self.paper
    }

    /// The instrument with its latest frame.
    pub fn instrument(&mut self) -> &mut Instrument {
        &mut self.instrument
    }

    /// What is known of each flaw from each side of the procedure.
    pub fn known(&self) -> &[Vec<Option<FromSide>>] {
        &self.known
    }

    /// Scans at a pose with a gain.
    pub fn scan(&mut self, shown: Shown, pose: &Pose, gain_db: f64) {
        if self.shown != Some(shown) {
            let spacing_mm = findable::point_spacing_mm(&self.paper);
            let scene = match shown {
                Shown::Whole => self.paper.plate.scene(spacing_mm),
                Shown::Alone(index) => lone(&self.paper, index, spacing_mm),
            };
            self.instrument.replace_scene(scene);
            self.shown = Some(shown);
        }
        self.instrument.set_gain_db(gain_db);
        self.instrument.scan(pose, 0);
    }

    /// Looks for the echoes of one flaw from one side, of this flaw first; false when all are known.
    pub fn step(&mut self, first: u32) -> bool {
        let order = std::iter::once(first as usize).chain(0..self.known.len());
        let next = order
            .filter_map(|flaw| Some((flaw, self.known.get(flaw)?.iter().position(Option::is_none)?)))
            .next();
        let Some((flaw, side)) = next else { return false };
        let index = flaw as u32;
        let scene = lone(&self.paper, index, findable::point_spacing_mm(&self.paper));
        let own = self.instrument.replace_scene(scene);
        let on: Side = self.paper.procedure.sides[side];
        self.known[flaw][side] =
            Some(findable::echoes_from_side(&mut self.instrument, &self.paper, index, on));
        self.instrument.replace_scene(own);
        true
    }

    /// Whether everything is known.
    pub fn is_done(&self) -> bool {
        self.known.iter().flatten().all(Option::is_some)
    }

    /// The table of detectability with its judgement; looks for what is still missing.
    pub fn table(&mut self) -> Detectability {
        while self.step(0) {}
        let echoes: Vec<BestEcho> =
            self.known.iter().flatten().flatten().flat_map(|side| side.legs.iter().copied()).collect();
        // Not through another flaw: cap and root stand beside each flaw as the plate has them.
        self.instrument.set_gain_db(self.paper.procedure.reference_gain_db - findable::HEADROOM_DB);
        detectability::judged(&mut self.instrument, &self.paper, &echoes)
    }
}

/// The scene of one flaw by itself.
fn lone(paper: &Paper, index: u32, spacing_mm: f64) -> acoustics::scene::Scene {
    let flaws = paper.plate.flaws.get(index as usize).cloned().into_iter().collect::<Vec<_>>();
    let one = Plate { flaws, ..paper.plate.clone() };
    one.flaw_scenes(spacing_mm).pop().unwrap_or_else(|| ground(&paper.plate).scene(spacing_mm))
}

fn unknown(paper: &Paper) -> Vec<Vec<Option<FromSide>>> {
    vec![vec![None; paper.procedure.sides.len()]; paper.plate.flaws.len()]
}

#[cfg(test)]
mod tests {
    use instrument::pose::Face;
    use specimen::joint::Preparation;

    use super::*;

    fn paper() -> Paper {
        Paper::generate(Preparation::SingleV, 2, 4711)
    }

    /// Drawing a plate and looking at a finished one must say the same of it.
    #[test]
    fn a_preview_says_what_the_survey_says() {
        let (mut preview, paper) = (Preview::new(paper()).unwrap(), paper());
        assert_eq!(preview.table(), detectability::table(&paper).unwrap());
    }

    /// After any change the preview says what a fresh one would.
    #[test]
    fn what_is_kept_over_a_change_is_right() {
        let mut preview = Preview::new(paper()).unwrap();
        preview.table();
        let mut moved = paper();
        moved.plate.flaws.remove(0);
        moved.plate.flaws[0].start_mm += 1.0;
        preview.change(moved.clone()).unwrap();
        assert!(!preview.is_done());
        assert_eq!(preview.table(), detectability::table(&moved).unwrap());
        let mut wider = moved;
        wider.plate.joint.cap.overlap_mm += 0.5;
        preview.change(wider.clone()).unwrap();
        assert_eq!(preview.table(), detectability::table(&wider).unwrap());
        wider.plate.flaws.clear();
        preview.change(wider).unwrap();
        assert_eq!(preview.table().flaws, []);
    }

    /// A change that leaves a flaw alone leaves its echoes alone.
    #[test]
    fn an_untouched_flaw_is_not_looked_at_again() {
        let mut preview = Preview::new(paper()).unwrap();
        while preview.step(0) {}
        let mut renamed = paper();
        renamed.plate.title = "Another".to_owned();
        renamed.plate.flaws.last_mut().unwrap().length_mm -= 1.0;
        let flaws = renamed.plate.flaws.len();
        preview.change(renamed).unwrap();
        let missing = |preview: &Preview| preview.known.iter().flatten().filter(|one| one.is_none()).count();
        assert_eq!(missing(&preview), 2);
        preview.step(flaws as u32 - 1);
        assert_eq!(missing(&preview), 1);
    }

    /// A beam's highest echo is found beside the best echo of all: to the samples, so within a decibel.
    #[test]
    fn the_best_beam_is_the_best_echo() {
        let mut preview = Preview::new(paper()).unwrap();
        while preview.step(0) {}
        for side in preview.known.iter().flatten().flatten() {
            let best = side.legs.iter().map(|echo| echo.amplitude_db).fold(f64::MIN, f64::max);
            let beam = side.beams_db.iter().copied().fold(f64::MIN, f64::max);
            assert!((best - beam).abs() < 1.0, "{best} {beam}");
        }
    }

    #[test]
    fn a_flaw_alone_is_quieter_than_the_plate() {
        let mut preview = Preview::new(paper()).unwrap();
        let pose = Pose {
            face: Face::Upper,
            side: Side::A,
            index_offset_mm: preview.paper.procedure.index_offset_mm[0],
            y_mm: 5.0,
            skew_deg: 0.0,
        };
        let gain = preview.paper.procedure.reference_gain_db;
        let sum = |preview: &mut Preview, shown| {
            preview.scan(shown, &pose, gain);
            preview.instrument().percent().0.iter().sum::<f32>()
        };
        let (whole, alone) = (sum(&mut preview, Shown::Whole), sum(&mut preview, Shown::Alone(0)));
        assert!(whole > 2.0 * alone, "{whole} {alone}");
        preview.scan(Shown::Alone(99), &pose, gain);
    }
}
