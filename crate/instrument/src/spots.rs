//! Places in the frame: where an echo plots, and which beam shows a place.

use acoustics::ray::Ray;

use crate::bench::{CLIP_PERCENT, Instrument};
use crate::echoes;
use crate::stand::{fold, unfold};

/// A place in the frame.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Spot {
    /// Beam index.
    pub beam: usize,
    /// Sound path in the metal, mm.
    pub sound_path_mm: f64,
    /// Amplitude there, % of full screen height.
    pub amplitude_percent: f64,
    /// Leg, from 1.
    pub leg: u8,
    /// Depth below the upper face, folded, mm.
    pub depth_mm: f64,
    /// Place across the weld, mm.
    pub offset_mm: f64,
}

/// A place farther than this before the first or beyond the last of parallel beams, along the face, is shown by none, mm.
const BESIDE_MM: f64 = 1.5;

impl Instrument {
    pub(crate) fn spot(&self, beam: usize, sound_path_mm: f64, amplitude_percent: f64) -> Spot {
        let angle = self.reckoning.angles[beam];
        let (leg, depth) = fold(sound_path_mm * libm::cos(angle), self.layout.thickness_mm);
        let forward = self.exit_forward_mm(beam) + sound_path_mm * libm::sin(angle);
        Spot {
            beam,
            sound_path_mm,
            amplitude_percent,
            leg,
            depth_mm: self.stand.depth_mm(depth),
            offset_mm: self.stand.plate_mm(forward)[0],
        }
    }

    /// Number of surface points the last frame was made from.
    pub fn points_seen(&self) -> usize {
        self.engine.points_seen()
    }

    /// Local maxima of the frame at or above a height, highest first, at most `limit`.
    pub fn echoes(&self, threshold_percent: f64, limit: usize) -> Vec<Spot> {
        let samples = self.engine.samples();
        let factor = self.amplification();
        // Looked for before clipping, or a clipped echo would be a plateau without a top.
        echoes::peaks(&self.heights, samples, threshold_percent as f32 / factor, limit)
            .into_iter()
            .map(|peak| {
                let path = (peak.sample as f64 - self.first_path_sample(peak.beam)) * self.path_step_mm();
                let percent = f64::from(peak.percent * factor).min(f64::from(CLIP_PERCENT));
                self.spot(peak.beam, path, percent)
            })
            .collect()
    }

    /// The beam and sound path that show a place of the section (the strongest leg, or the one asked for); `None`
    /// where no beam reaches.
    pub fn spot_at(&self, offset_mm: f64, depth_mm: f64, leg: Option<u8>) -> Option<Spot> {
        let along = self.stand.forward_to_offset(offset_mm)? + self.layout.to_front_mm;
        let below = self.stand.depth_mm(depth_mm);
        (1..=3_u8)
            .filter(|&candidate| leg.is_none_or(|leg| leg == candidate))
            .filter_map(|candidate| {
                let unfolded = unfold(below, candidate, self.layout.thickness_mm);
                self.look_at(along, unfolded)
            })
            .max_by(|a, b| a.amplitude_percent.total_cmp(&b.amplitude_percent))
    }

    /// Strongest cell within a beam and a millimetre of a place in the unfolded metal.
    fn look_at(&self, along_mm: f64, unfolded_mm: f64) -> Option<Spot> {
        if unfolded_mm < 0.1 {
            return None;
        }
        if self.linear {
            return self.look_along(along_mm - self.layout.to_front_mm, unfolded_mm);
        }
        if along_mm <= 0.0 {
            return None;
        }
        let [wedge_speed, speed] = self.layout.speeds;
        let ray = Ray::least_time(along_mm, self.layout.height_mm, unfolded_mm, wedge_speed, speed);
        let angle_deg = libm::asin(ray.sine).to_degrees();
        let beam = (0..self.angles_deg.len()).min_by(|&a, &b| {
            (self.angles_deg[a] - angle_deg).abs().total_cmp(&(self.angles_deg[b] - angle_deg).abs())
        })?;
        if (self.angles_deg[beam] - angle_deg).abs() > 1.0 || ray.path_mm > self.layout.range_mm {
            return None;
        }
        let centre = if self.shaping.nominal {
            self.engine.sample_of(2.0 * ray.time_us)
        } else {
            self.first_path_sample(beam) + ray.path_mm / self.path_step_mm()
        };
        self.strongest_near(beam, centre)
    }

    /// The same among parallel beams: the nearest of them.
    fn look_along(&self, forward_mm: f64, unfolded_mm: f64) -> Option<Spot> {
        let angle = *self.reckoning.angles.first()?;
        let exit = forward_mm - unfolded_mm * libm::tan(angle);
        let exits = &self.reckoning.exits_forward_mm;
        let off = |beam: usize| (exits[beam] - exit).abs();
        let beam = (0..exits.len()).min_by(|&a, &b| off(a).total_cmp(&off(b)))?;
        let path_mm = unfolded_mm / libm::cos(angle);
        let beside = (exits[0] - exit).max(exit - exits[exits.len() - 1]);
        if beside > BESIDE_MM || path_mm > self.layout.range_mm {
            return None;
        }
        self.strongest_near(beam, self.first_path_sample(beam) + path_mm / self.path_step_mm())
    }

    /// Strongest cell within a beam and half a microsecond of a place of the frame.
    fn strongest_near(&self, beam: usize, sample: f64) -> Option<Spot> {
        let (samples, centre) = (self.engine.samples(), sample.max(0.0) as usize);
        let cells = (beam.saturating_sub(1)..(beam + 2).min(self.angles_deg.len())).flat_map(|b| {
            (centre.saturating_sub(6)..(centre + 7).min(samples)).map(move |s| b * samples + s)
        });
        let best = cells.max_by(|&a, &b| self.heights[a].total_cmp(&self.heights[b]))?;
        let (beam, sample) = (best / samples, best % samples);
        let path = (sample as f64 - self.first_path_sample(beam)) * self.path_step_mm();
        Some(self.spot(beam, path.max(0.0), f64::from(self.percent[best])))
    }
}
