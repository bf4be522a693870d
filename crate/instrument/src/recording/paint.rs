//! Colours of the views of a recording.

use serde::{Deserialize, Serialize};

use super::section_map::SectionMap;
use super::{PlateView, Recording};
use crate::picture;

/// What the colour of a cell says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Colouring {
    /// Amplitude, from 0 to 100 % of full screen height.
    Amplitude,
    /// Depth of the highest sample, from the upper to the lower face.
    Depth,
}

impl PlateView {
    /// Paints the view at a gain as RGBA, a pixel a cell, rows from above (length columns × rows × 4). Cells in which nothing
    /// was recorded (missing lines, places no beam reaches) are transparent; those below the threshold, % of full screen height,
    /// have the lowest colour, by depth none.
    pub fn paint(
        &self,
        recording: &Recording,
        colouring: Colouring,
        gain_db: f64,
        threshold_percent: f64,
        rgba: &mut [u8],
    ) {
        let colours = picture::cividis();
        let percent = recording.percent_of_codes(gain_db);
        let depths: Vec<Vec<f32>> = match colouring {
            Colouring::Amplitude => Vec::new(),
            Colouring::Depth => (0..recording.passes.len()).map(|pass| depths_mm(recording, pass)).collect(),
        };
        let thickness = recording.setting.thickness_mm as f32;
        let [columns, rows] = self.size_cells();
        let cells = (0..rows).flat_map(|row| (0..columns).map(move |column| (column, row)));
        for ((column, row), pixel) in cells.zip(rgba.chunks_exact_mut(4)) {
            pixel.copy_from_slice(&[0; 4]);
            let (Some(code), Some((pass, sample))) = (self.code(column, row), self.source(column, row))
            else {
                continue;
            };
            let height = percent[usize::from(code)];
            let below = f64::from(height) < threshold_percent;
            let share = match colouring {
                Colouring::Amplitude if below => 0.0,
                Colouring::Amplitude => height / 100.0,
                Colouring::Depth if below => continue,
                Colouring::Depth => depths[pass][sample as usize] / thickness,
            };
            let [r, g, b] = colours[((share * 255.0) as usize).min(255)];
            pixel.copy_from_slice(&[r, g, b, 255]);
        }
    }
}

/// Depth of every sample of a pass's frames, mm.
fn depths_mm(recording: &Recording, pass: usize) -> Vec<f32> {
    let setting = &recording.setting;
    let map = SectionMap::new(setting, &recording.passes[pass].course);
    let samples = setting.samples as usize;
    (0..setting.frame_samples())
        .map(|number| map.spot(number / samples, number % samples).map_or(0.0, |spot| spot.depth_mm as f32))
        .collect()
}
