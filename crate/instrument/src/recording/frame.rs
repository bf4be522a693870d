//! One line of a recording as a frame: heights, trace, sector image and gate reading at any gain.

use super::scale::STEP_DB;
use super::{Course, Recording};
use crate::bench::{CLIP_PERCENT, Instrument, Trace, View};
use crate::gate::{Gate, Reading};
use crate::picture::{Picture, PictureFrame};
use crate::sensitivity::REFERENCE_HEIGHT_PERCENT;
use crate::stand::{Stand, fold};

/// Steps of a trace from one sample to the next, as in the live trace.
const FINE: usize = 4;

/// A line of a recording, shown at a gain.
#[derive(Clone, Debug)]
pub struct RecordedFrame<'a> {
    recording: &'a Recording,
    course: Course,
    line: u32,
    codes: &'a [u8],
    gain_db: f64,
    percent_of_codes: [f32; 256],
}

/// The map of a sector image and what it needs between two frames. Made once for a recording.
#[derive(Debug)]
pub struct Sector {
    picture: Picture,
    heights: Vec<f32>,
    colours: [[u8; 3]; 256],
}

impl Recording {
    /// A line of a pass at a gain, dB; `None` when it is missing.
    pub fn frame(&self, pass: usize, line: u32, gain_db: f64) -> Option<RecordedFrame<'_>> {
        let pass = self.passes.get(pass)?;
        Some(RecordedFrame {
            recording: self,
            course: pass.course,
            line,
            codes: pass.codes(line)?,
            gain_db,
            percent_of_codes: self.percent_of_codes(gain_db),
        })
    }

    /// What sector images of this recording are painted with.
    pub fn sector(&self, view: View) -> Sector {
        let grid = self.setting.grid();
        Sector {
            heights: vec![0.0; grid.angles.len() * grid.samples],
            picture: Picture::new(view, &self.setting.layout(), &grid),
            colours: Instrument::colours(),
        }
    }
}

impl Sector {
    /// Size and place of the image.
    pub fn frame(&self) -> PictureFrame {
        self.picture.frame
    }

    /// Paints a frame as RGBA rows; where legs overlap the stronger wins, or `leg` (from 1) is shown alone.
    pub fn paint(&mut self, frame: &RecordedFrame, leg: Option<u8>, rgba: &mut [u8]) {
        let setting = &frame.recording.setting;
        let samples = setting.samples as usize;
        let row = self.heights.len() / setting.beams.len();
        let begin = setting.frame_begin();
        self.heights.fill(0.0);
        for (index, beam) in setting.beams.iter().enumerate() {
            let first = index * row + (beam.first_sample - begin) as usize;
            let codes = &frame.codes[index * samples..(index + 1) * samples];
            for (height, &code) in self.heights[first..].iter_mut().zip(codes) {
                *height = frame.percent_of_codes[usize::from(code)].min(CLIP_PERCENT);
            }
        }
        self.picture.paint(&self.heights, leg, &self.colours, rgba);
    }
}

impl RecordedFrame<'_> {
    /// Heights of a beam, % of full screen height up to 200, one a sample; the first at [`super::Beam::first_path_mm`].
    pub fn percent(&self, beam: usize) -> Vec<f32> {
        self.row(beam)
            .iter()
            .map(|&code| self.percent_of_codes[usize::from(code)].min(CLIP_PERCENT))
            .collect()
    }

    /// The echo trace of a beam, with a curve laid through the levels of the samples.
    pub fn trace(&self, beam: usize) -> Trace {
        let setting = &self.recording.setting;
        let step_mm = setting.path_step_mm / FINE as f64;
        let row = self.row(beam);
        let code = |index: i64| f64::from(row[index.clamp(0, row.len() as i64 - 1) as usize]);
        let count = (setting.range_mm / step_mm) as usize + 1;
        let percent = (0..count)
            .map(|k| {
                let place = (k as f64 * step_mm - setting.beams[beam].first_path_mm) / setting.path_step_mm;
                let before = libm::floor(place);
                let (index, t) = (before as i64, place - before);
                let [a, b, c, d] = [-1, 0, 1, 2].map(|step| code(index + step));
                // Catmull and Rom's cubic.
                let level = b + 0.5
                    * t
                    * (c - a + t * (2.0 * a - 5.0 * b + 4.0 * c - d + t * (3.0 * (b - c) + d - a)));
                self.height(level).min(CLIP_PERCENT)
            })
            .collect();
        Trace { step_mm, percent }
    }

    /// Reads the highest echo in a gate on one beam; `None` below the gate's threshold, or where no sample is.
    pub fn reading(&self, beam: usize, gate: &Gate) -> Option<Reading> {
        let setting = &self.recording.setting;
        let about = *setting.beams.get(beam)?;
        let row = self.row(beam);
        let end_mm = setting.path_mm(beam, row.len() as f64);
        if gate.start_mm >= end_mm || gate.start_mm + gate.length_mm <= 0.0 {
            return None;
        }
        let sample = |path_mm: f64| (path_mm - about.first_path_mm) / setting.path_step_mm;
        let last = row.len().saturating_sub(2);
        let from = (libm::ceil(sample(gate.start_mm)).max(1.0) as usize).min(last);
        let to = (libm::floor(sample(gate.start_mm + gate.length_mm)).max(1.0) as usize).min(last);
        let peak = (from..=to).rev().max_by_key(|&k| row[k]).filter(|&k| row[k] > 0)?;
        // A Gaussian pulse is a parabola in levels.
        let [before, top, after] = [peak - 1, peak, peak + 1].map(|k| f64::from(row[k]));
        let bend = before - 2.0 * top + after;
        let shift =
            if bend < 0.0 && top >= before && top >= after { 0.5 * (before - after) / bend } else { 0.0 };
        let height = f64::from(self.height(top - 0.25 * (before - after) * shift));
        let shown = height.min(f64::from(CLIP_PERCENT));
        if shown < gate.threshold_percent {
            return None;
        }
        let path = setting.path_mm(beam, peak as f64 + shift);
        let stand =
            Stand::new(self.course.pose(self.line), setting.aperture_to_front_mm, setting.thickness_mm);
        let angle = about.angle_deg.to_radians();
        let (leg, below) = fold(path * libm::cos(angle), setting.thickness_mm);
        let forward = about.exit_forward_mm + path * libm::sin(angle);
        let [offset_mm, y_mm] = stand.plate_mm(forward);
        Some(Reading {
            beam,
            angle_deg: about.angle_deg,
            amplitude_percent: shown,
            amplitude_db: 20.0 * libm::log10(shown / REFERENCE_HEIGHT_PERCENT)
                - (self.gain_db - setting.reference_gain_db),
            clipped: height > f64::from(CLIP_PERCENT),
            sound_path_mm: path,
            depth_mm: stand.depth_mm(below),
            leg,
            surface_distance_mm: forward,
            offset_mm,
            y_mm,
        })
    }

    fn row(&self, beam: usize) -> &[u8] {
        let samples = self.recording.setting.samples as usize;
        &self.codes[beam * samples..(beam + 1) * samples]
    }

    /// Height of a level between codes, %.
    fn height(&self, level: f64) -> f32 {
        if level < 0.5 {
            return 0.0;
        }
        // Code 1 and the step say all others.
        self.percent_of_codes[1] * libm::exp10((level - 1.0) * STEP_DB / 20.0) as f32
    }
}
