//! What part of a recording is shown: box in the plate, gate, beams, leg, pass.

use serde::{Deserialize, Serialize};

use super::section_map::{SectionMap, Spot};
use super::{Course, Setting};

/// What part of a recording is shown; what is not given is not limited. All spans from and to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Selection {
    /// Along the weld, mm from the datum.
    pub along_mm: Option<[f64; 2]>,
    /// Offset from the centreline, mm.
    pub offset_mm: Option<[f64; 2]>,
    /// Depth, folded, mm.
    pub depth_mm: Option<[f64; 2]>,
    /// Sound path in the metal, mm: a gate on every beam.
    pub sound_path_mm: Option<[f64; 2]>,
    /// Beams, first and last, from 0.
    pub beams: Option<[u32; 2]>,
    /// Leg, from 1.
    pub leg: Option<u8>,
    /// One pass only, from 0.
    pub pass: Option<u32>,
}

impl Selection {
    /// Whether a sample is selected by all but its place along the weld and its pass.
    pub(super) fn holds(&self, beam: usize, path_mm: f64, spot: &Spot) -> bool {
        let inside =
            |span: Option<[f64; 2]>, mm: f64| span.is_none_or(|[from, to]| (from..=to).contains(&mm));
        inside(self.offset_mm, spot.offset_mm)
            && inside(self.depth_mm, spot.depth_mm)
            && inside(self.sound_path_mm, path_mm)
            && self.beams.is_none_or(|[first, last]| (first as usize..=last as usize).contains(&beam))
            && self.leg.is_none_or(|leg| leg == spot.leg)
    }
}

/// The selected samples of a course: number in a frame and place.
pub(super) fn spots(setting: &Setting, course: &Course, selection: &Selection) -> Vec<(u32, Spot)> {
    let map = SectionMap::new(setting, course);
    let samples = setting.samples as usize;
    let all = (0..setting.beams.len()).flat_map(|beam| (0..samples).map(move |sample| (beam, sample)));
    (0..)
        .zip(all)
        .filter_map(|(number, (beam, sample))| {
            let spot = map.spot(beam, sample)?;
            let path = setting.path_mm(beam, sample as f64);
            selection.holds(beam, path, &spot).then_some((number, spot))
        })
        .collect()
}
