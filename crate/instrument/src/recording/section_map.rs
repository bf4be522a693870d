//! Where the samples of a pass lie in the plate's section, relative to the line they were taken on.

use super::{Course, Setting};
use crate::scan_plan::LEGS;
use crate::stand::{Stand, fold};

/// A place in the plate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Spot {
    /// Leg, from 1.
    pub leg: u8,
    /// Offset from the centreline, mm.
    pub offset_mm: f64,
    /// Depth, mm.
    pub depth_mm: f64,
    /// Along the weld, mm from the line.
    pub beside_mm: f64,
}

/// From beam and sound path to the plate's section, for one course.
pub(super) struct SectionMap<'a> {
    setting: &'a Setting,
    stand: Stand,
    /// Sine and cosine of the beams.
    turns: Vec<[f64; 2]>,
}

impl<'a> SectionMap<'a> {
    pub fn new(setting: &'a Setting, course: &Course) -> Self {
        let pose = crate::pose::Pose { y_mm: 0.0, ..course.pose(0) };
        let angles = setting.beams.iter().map(|beam| beam.angle_deg.to_radians());
        Self {
            setting,
            stand: Stand::new(pose, setting.aperture_to_front_mm, setting.thickness_mm),
            turns: angles.map(|angle| [libm::sin(angle), libm::cos(angle)]).collect(),
        }
    }

    /// Forward from the wedge front, and depth in the unfolded metal, of a sample of a beam, mm.
    fn straight(&self, beam: usize, sample: f64) -> [f64; 2] {
        let path = self.setting.path_mm(beam, sample);
        let [sine, cosine] = self.turns[beam];
        [self.setting.beams[beam].exit_forward_mm + path * sine, path * cosine]
    }

    /// `None` beyond the legs that are drawn.
    fn folded(&self, [forward, unfolded]: [f64; 2]) -> Option<Spot> {
        let (leg, depth) = fold(unfolded, self.setting.thickness_mm);
        let [offset_mm, beside_mm] = self.stand.plate_mm(forward);
        (leg <= LEGS).then(|| Spot { leg, offset_mm, depth_mm: self.stand.depth_mm(depth), beside_mm })
    }

    /// Place of a sample; `None` beyond the range and the legs that are drawn.
    pub fn spot(&self, beam: usize, sample: usize) -> Option<Spot> {
        if self.setting.path_mm(beam, sample as f64) > self.setting.range_mm {
            return None;
        }
        self.folded(self.straight(beam, sample as f64))
    }

    /// Places between a sample and what the next beam hears at the same time, no farther apart than `spacing_mm`; each
    /// with the share of the way. Empty for the last beam and where the next one has no such sample.
    pub fn between(&self, beam: usize, sample: usize, spacing_mm: f64) -> Vec<(f64, Spot)> {
        let beams = &self.setting.beams;
        let Some(next) = beams.get(beam + 1) else { return Vec::new() };
        let later = sample as f64 + f64::from(beams[beam].first_sample) - f64::from(next.first_sample);
        if later < 0.0 || later >= f64::from(self.setting.samples) {
            return Vec::new();
        }
        let ([x, z], [far_x, far_z]) = (self.straight(beam, sample as f64), self.straight(beam + 1, later));
        let apart = f64::sqrt((far_x - x) * (far_x - x) + (far_z - z) * (far_z - z));
        let steps = libm::ceil(apart / spacing_mm) as u32;
        (1..steps)
            .filter_map(|step| {
                let share = f64::from(step) / f64::from(steps);
                Some((share, self.folded([x + share * (far_x - x), z + share * (far_z - z)])?))
            })
            .collect()
    }

    /// Number of the sample in the next beam that is heard at the same time, in a frame's `[beam][sample]`.
    pub fn neighbour(&self, beam: usize, sample: usize) -> Option<usize> {
        let beams = &self.setting.beams;
        let later = sample as i64 + i64::from(beams[beam].first_sample)
            - i64::from(beams.get(beam + 1)?.first_sample);
        let samples = i64::from(self.setting.samples);
        (0..samples).contains(&later).then(|| (beam + 1) * samples as usize + later as usize)
    }
}
