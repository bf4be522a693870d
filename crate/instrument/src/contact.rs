//! Contact: couplant as a film on the plate.
//!
//! The operator lays it in strokes, the wedge spreads and uses it up as it slides, and where there is none the sound stays in
//! the wedge: echoes and grain fall, receiver noise stays. Amounts are common practice, no source. Everything follows from
//! the strokes and the way of the probe alone.

use serde::{Deserialize, Serialize};

use crate::pose::{Face, Pose};
use crate::procedure::Probe;

/// Size of a cell of the film, mm.
pub const CELL_MM: f64 = 5.0;
/// Film below which echoes begin to fall, as a part of a freshly wetted face.
const ENOUGH: f64 = 0.3;
/// Loss on a dry face, dB.
pub const DRY_LOSS_DB: f64 = 34.0;
/// Loss of a wedge that is lifted off, dB: nothing goes through air, so that no gain brings it back.
pub const LIFTED_LOSS_DB: f64 = 200.0;
/// Way of the wedge over a spot that uses up a fresh film, mm.
const LASTS_MM: f64 = 900.0;
/// Fewest and most strokes' half width, mm.
const REACH_MM: [f64; 2] = [2.0, 60.0];

/// A stroke of the wet brush.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stroke {
    /// Which face.
    #[serde(default)]
    pub face: Face,
    /// Begin: place across the weld and along it, mm.
    pub from_mm: [f64; 2],
    /// End.
    pub to_mm: [f64; 2],
    /// Half of its width, mm.
    pub reach_mm: f64,
}

impl Stroke {
    /// Why it cannot be laid, in words.
    pub fn problem(&self) -> Option<String> {
        let numbers = [self.from_mm, self.to_mm].concat();
        if numbers.iter().any(|number| !number.is_finite() || number.abs() > 10_000.0) {
            return Some("a stroke of couplant leaves every plate, expected places in mm".to_owned());
        }
        let sound = self.reach_mm >= REACH_MM[0] && self.reach_mm <= REACH_MM[1];
        (!sound)
            .then(|| format!("reach_mm is {}, expected {} to {} mm", self.reach_mm, REACH_MM[0], REACH_MM[1]))
    }
}

/// The film on both faces of a plate.
#[derive(Clone, Debug, PartialEq)]
pub struct Film {
    /// Cells across and along.
    cells: [usize; 2],
    /// x and y of the plate's corner, mm.
    corner_mm: [f64; 2],
    /// Film of every cell, 0 to 1, `[face][along][across]`.
    amount: [Vec<f32>; 2],
}

impl Film {
    /// A dry plate.
    pub fn dry(width_mm: f64, length_mm: f64) -> Self {
        let count = |length: f64| libm::ceil(length.clamp(CELL_MM, 20_000.0) / CELL_MM) as usize;
        let cells = [count(width_mm), count(length_mm)];
        let amount = [(); 2].map(|()| vec![0.0; cells[0] * cells[1]]);
        Self { cells, corner_mm: [-0.5 * width_mm, 0.0], amount }
    }

    /// Cells across and along.
    pub fn cells(&self) -> [usize; 2] {
        self.cells
    }

    /// Film of the cells of a face, 0 to 1, `[along][across]`.
    pub fn amounts(&self, face: Face) -> &[f32] {
        &self.amount[usize::from(face == Face::Lower)]
    }

    /// Lays couplant.
    pub fn lay(&mut self, stroke: &Stroke) {
        let [from, to] = [stroke.from_mm, stroke.to_mm];
        let way = [to[0] - from[0], to[1] - from[1]];
        let length2 = way[0] * way[0] + way[1] * way[1];
        let reach2 = stroke.reach_mm * stroke.reach_mm;
        let along_mm = [from[1].min(to[1]) - stroke.reach_mm, from[1].max(to[1]) + stroke.reach_mm];
        self.change(stroke.face, along_mm, |[x, y], amount| {
            let along = ((x - from[0]) * way[0] + (y - from[1]) * way[1]) / length2.max(1e-9);
            let along = along.clamp(0.0, 1.0);
            let off = [x - from[0] - along * way[0], y - from[1] - along * way[1]];
            if off[0] * off[0] + off[1] * off[1] <= reach2 { 1.0 } else { amount }
        });
    }

    /// Slides the probe from one pose to another and uses film up under it. A probe that is lifted over (to the other side
    /// or face) uses nothing.
    pub fn slide(&mut self, probe: &Probe, from: &Pose, to: &Pose) {
        if from.side != to.side || from.face != to.face {
            return;
        }
        let way = [to.index_offset_mm - from.index_offset_mm, to.y_mm - from.y_mm];
        let length = f64::sqrt(way[0] * way[0] + way[1] * way[1]);
        if !(1e-9..=2000.0).contains(&length) {
            return;
        }
        // In steps shorter than a cell, so that nothing is leapt over.
        let steps = libm::ceil(length / CELL_MM);
        let used = (length / steps / LASTS_MM) as f32;
        for step in 1..=steps as u32 {
            let share = f64::from(step) / steps;
            let at = Pose {
                index_offset_mm: from.index_offset_mm + share * way[0],
                y_mm: from.y_mm + share * way[1],
                ..*to
            };
            let foot = Foot::of(probe, &at);
            let change = |place, amount: f32| {
                if foot.covers(place) { (amount - used).max(0.0) } else { amount }
            };
            self.change(to.face, foot.along_mm(), change);
        }
    }

    /// What the contact takes of all echoes at a pose, dB: 0 on a wet face, [`DRY_LOSS_DB`] on a dry one.
    pub fn loss_db(&self, probe: &Probe, pose: &Pose) -> f64 {
        let foot = Foot::of(probe, pose);
        let amounts = &self.amount[usize::from(pose.face == Face::Lower)];
        let (mut sum, mut count) = (0.0, 0.0);
        for index in self.rows(foot.along_mm()) {
            if foot.covers(self.place_mm(index)) {
                sum += (f64::from(amounts[index]) / ENOUGH).min(1.0);
                count += 1.0;
            }
        }
        // Off the plate, or a foot smaller than a cell, there is no contact to speak of.
        let wet = if count > 0.0 { sum / count } else { 0.0 };
        // The coupled part of the foot counts as amplitude, out and home; a bare foot still couples a little.
        let dry = libm::exp10(-DRY_LOSS_DB / 40.0);
        -40.0 * libm::log10(dry + (1.0 - dry) * wet)
    }

    fn place_mm(&self, index: usize) -> [f64; 2] {
        let (across, along) = (index % self.cells[0], index / self.cells[0]);
        [0, 1].map(|k| self.corner_mm[k] + CELL_MM * ([across, along][k] as f64 + 0.5))
    }

    /// Cells of the rows in a stretch along the weld.
    fn rows(&self, [from_mm, to_mm]: [f64; 2]) -> core::ops::Range<usize> {
        let row = |y_mm: f64| {
            (libm::floor((y_mm - self.corner_mm[1]) / CELL_MM).max(0.0) as usize).min(self.cells[1])
        };
        row(from_mm) * self.cells[0]..(row(to_mm) + 1).min(self.cells[1]) * self.cells[0]
    }

    fn change(&mut self, face: Face, along_mm: [f64; 2], to: impl Fn([f64; 2], f32) -> f32) {
        let face = usize::from(face == Face::Lower);
        for index in self.rows(along_mm) {
            let place = self.place_mm(index);
            let cell = &mut self.amount[face][index];
            *cell = to(place, *cell);
        }
    }
}

/// The wedge's foot on the plate.
struct Foot {
    front_mm: [f64; 2],
    forward: [f64; 2],
    length_mm: f64,
    half_width_mm: f64,
}

impl Foot {
    fn of(probe: &Probe, pose: &Pose) -> Self {
        let (sign, skew) = (pose.side.sign(), pose.skew_deg.to_radians());
        Self {
            front_mm: [-sign * pose.index_offset_mm, pose.y_mm],
            forward: [sign * libm::cos(skew), libm::sin(skew)],
            length_mm: probe.wedge_length_mm,
            half_width_mm: 0.5 * probe.wedge_width_mm,
        }
    }

    /// A stretch along the weld with all of the foot in it, mm.
    fn along_mm(&self) -> [f64; 2] {
        let reach = self.length_mm + self.half_width_mm;
        [self.front_mm[1] - reach, self.front_mm[1] + reach]
    }

    fn covers(&self, [x, y]: [f64; 2]) -> bool {
        let off = [x - self.front_mm[0], y - self.front_mm[1]];
        let back = -(off[0] * self.forward[0] + off[1] * self.forward[1]);
        let across = off[1] * self.forward[0] - off[0] * self.forward[1];
        (0.0..=self.length_mm).contains(&back) && across.abs() <= self.half_width_mm
    }
}

#[cfg(test)]
mod tests;
