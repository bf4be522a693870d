//! How loud a beam hears the front of a round cavity against what it should hear.
//!
//! A cavity answers as from halfway between its front and its centre, while its taps lie at the front's time, where the
//! table says what is heard of the front. The ratio of the field's heights at the two places corrects that. Plane beams
//! ripple close to the array, and the ratio is taken from the table itself, along the beam that looks there. Inside a focus
//! the table's own steps are larger than what is to be corrected (seen against the exact model), and the wave's spreading
//! from the array's centre says it better.

use crate::axes::{Axes, BLOCK};
use crate::beam_table::BeamTable;
use crate::law::DelayLaw;
use crate::pulse::SAMPLING_MHZ;
use crate::spline;

/// Heights of plane beams, `[sine][block]`; none for focused ones.
#[derive(Debug)]
pub struct BeamLevels {
    values: Vec<f32>,
    blocks: usize,
    step_mm: f32,
}

/// Where a tap of a cavity lies.
#[derive(Clone, Copy, Debug)]
pub struct TapPlace {
    /// Place among the nodes of the sine.
    pub place: f32,
    /// Sample of the cavity's centre.
    pub centre: f32,
    /// Samples from there to the tap.
    pub behind: f32,
    /// Radius of curvature of the wave at the centre, mm.
    pub distance_mm: f32,
}

/// Most that a ratio of heights may say: one from a beam that hardly hears the place says nothing.
const LARGEST_RATIO: f32 = 1.6;

impl BeamLevels {
    /// From the tables of a set-up; `beam_sines` are the beams' sines in the wedge, rising.
    pub fn new(table: &BeamTable, axes: &Axes, laws: &[DelayLaw], beam_sines: &[f32]) -> Self {
        let blocks = axes.samples / BLOCK;
        let step_mm = (0.5 * axes.speed / SAMPLING_MHZ) as f32;
        if laws.iter().any(is_focused) {
            return Self { values: Vec::new(), blocks, step_mm };
        }
        let mut values = Vec::with_capacity(axes.sines * blocks);
        for node in 0..axes.sines {
            let sine = (axes.sine_start + node as f64 * axes.sine_step) as f32;
            let far = |beam: &usize| (beam_sines[*beam] - sine).abs();
            let beam = (0..beam_sines.len()).min_by(|a, b| far(a).total_cmp(&far(b))).unwrap_or(0);
            values.extend((0..blocks).map(|block| {
                let row = &table.rows[block * table.beams + beam];
                let entry = |node: usize| {
                    let inside = node.checked_sub(usize::from(row.low))?;
                    let heard = inside < usize::from(row.count);
                    heard.then(|| table.first[row.offset as usize + inside])
                };
                // The table holds spline coefficients.
                let [mut re, mut im] = [0.0; 2];
                for (at, weight) in
                    [(node.wrapping_sub(1), 1.0 / 6.0), (node, 4.0 / 6.0), (node + 1, 1.0 / 6.0)]
                {
                    let [c_re, c_im] = entry(at).unwrap_or([0.0; 2]);
                    re += weight * c_re;
                    im += weight * c_im;
                }
                (re * re + im * im).sqrt()
            }));
        }
        Self { values, blocks, step_mm }
    }

    /// Wanted height over that with which a tap is heard.
    #[inline]
    pub fn factor(&self, tap: &TapPlace) -> f32 {
        // Halfway for what comes from the front; the creeping wave is that of the centre.
        let halfway = (0.5 * tap.behind).min(0.0);
        if self.values.is_empty() {
            let at = |samples: f32| tap.distance_mm + samples * self.step_mm;
            return (at(tap.behind) / at(halfway)).clamp(1.0 / LARGEST_RATIO, LARGEST_RATIO);
        }
        let last = (self.blocks - 1) as f32;
        let blocks = |samples: f32| (tap.centre + samples) * (1.0 / BLOCK as f32);
        let (block, f) = spline::split((blocks(halfway) - 0.5).clamp(0.0, last - 1e-3));
        // A tap is laid over neighbouring samples, and past the end of a block they are heard by the next.
        let tap_blocks = [-1.0, 0.0, 1.0].map(|off| blocks(tap.behind + off).clamp(0.0, last) as usize);
        let (node, across) = spline::split(tap.place);
        let [mut height, mut heard] = [0.0; 2];
        for (node, weight) in [(node, 1.0 - across), (node + 1, across)] {
            let row = &self.values[node * self.blocks..(node + 1) * self.blocks];
            height += weight * (row[block] + f * (row[block + 1] - row[block]));
            heard += weight * (row[tap_blocks[0]] + 4.0 * row[tap_blocks[1]] + row[tap_blocks[2]]) / 6.0;
        }
        if heard > 0.0 { (height / heard).clamp(1.0 / LARGEST_RATIO, LARGEST_RATIO) } else { 1.0 }
    }
}

/// Whether the delays of a law are not linear over the elements.
fn is_focused(law: &DelayLaw) -> bool {
    let steps = law.delays_us.windows(2).map(|pair| pair[1] - pair[0]);
    let (low, high) =
        steps.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), step| (low.min(step), high.max(step)));
    high - low > 1e-6
}
