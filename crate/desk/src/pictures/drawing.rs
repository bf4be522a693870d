//! A sector image in plate coordinates, side A at the left, with the weld's lines and the truth drawn in.

use std::collections::BTreeMap;

use instrument::bench::{Instrument, View};
use instrument::picture::PX_PER_MM;
use instrument::pose::{Pose, Side};
use specimen::flaw::Extent;
use specimen::section::Outline;

use crate::failure::Failure;

/// What is shown beyond the weld's centreline, away from the probe, and towards it, mm.
const AHEAD_MM: f64 = 24.0;
const BEHIND_MM: f64 = 46.0;
/// What is shown above and below the plate, mm.
const MARGIN_MM: f64 = 3.0;
/// Distance of a marked place from what it marks, mm.
const AROUND_MM: f64 = 0.6;

/// Steps of the colour scale that are kept: fewer make smaller files.
const STEPS: usize = 64;
/// Colours before those of the scale: nothing, metal that no beam reaches, lines, the truth.
const NOTHING: u8 = 0;
const METAL: u8 = 1;
const LINE: u8 = 2;
const TRUTH: u8 = 3;
const FIXED: [[u8; 3]; 4] = [[0, 0, 0], [0x16, 0x33, 0x4a], [0xb8, 0xc4, 0xbf], [0xff, 0x94, 0x66]];

/// A picture in the making.
pub struct Drawing {
    width: usize,
    height: usize,
    left_mm: f64,
    pixels: Vec<u8>,
    palette: Vec<u8>,
    thickness_mm: f64,
}

impl Drawing {
    /// The sound of the instrument's frame.
    pub fn new(instrument: &mut Instrument, pose: &Pose, thickness_mm: f64) -> Self {
        let frame = instrument.picture_frame(View::Folded);
        let mut rgba = vec![0; frame.width_px as usize * frame.height_px as usize * 4];
        instrument.paint(View::Folded, None, &mut rgba);
        let scale = Instrument::colours();
        let steps: BTreeMap<[u8; 3], u8> = scale
            .iter()
            .enumerate()
            .map(|(index, colour)| (*colour, (FIXED.len() + index * STEPS / scale.len()) as u8))
            .collect();
        let kept = (0..STEPS).map(|step| scale[(step * scale.len() + scale.len() / 2) / STEPS]);
        let palette = FIXED.into_iter().chain(kept).flatten().collect();
        let (left_mm, right_mm) = match pose.side {
            Side::A => (-BEHIND_MM, AHEAD_MM),
            Side::B => (-AHEAD_MM, BEHIND_MM),
        };
        let size = |length_mm: f64| (length_mm * PX_PER_MM).round() as usize;
        let (width, height) = (size(right_mm - left_mm), size(thickness_mm + 2.0 * MARGIN_MM));
        let pixels = vec![NOTHING; width * height];
        let mut drawing = Self { width, height, left_mm, pixels, palette, thickness_mm };
        for row in 0..height {
            for column in 0..width {
                let [x, z] = drawing.place_of(column, row);
                let forward = pose.index_offset_mm + pose.side.sign() * x;
                let at = |value: f64, from: f64| (value - from) * PX_PER_MM;
                let (right, down) = (at(forward, frame.forward_mm[0]), at(z, frame.depth_mm[0]));
                let inside = right >= 0.0
                    && down >= 0.0
                    && right < f64::from(frame.width_px)
                    && down < f64::from(frame.height_px);
                let start = 4 * (down as usize * frame.width_px as usize + right as usize);
                let metal = if (0.0..=thickness_mm).contains(&z) { METAL } else { NOTHING };
                drawing.pixels[row * width + column] = match rgba.get(start..start + 4) {
                    Some(&[r, g, b, 255]) if inside => steps.get(&[r, g, b]).copied().unwrap_or(metal),
                    _ => metal,
                };
            }
        }
        drawing
    }

    fn place_of(&self, column: usize, row: usize) -> [f64; 2] {
        let [x, z] = [column, row].map(|pixel| (pixel as f64 + 0.5) / PX_PER_MM);
        [self.left_mm + x, z - MARGIN_MM]
    }

    fn dot(&mut self, [x, z]: [f64; 2], colour: u8) {
        let [right, down] = [x - self.left_mm, z + MARGIN_MM].map(|mm| mm * PX_PER_MM);
        if right >= 0.0 && down >= 0.0 && (right as usize) < self.width && (down as usize) < self.height {
            self.pixels[down as usize * self.width + right as usize] = colour;
        }
    }

    /// A line one pixel wide; the truth is drawn two wide, to be seen on any screen and kept by any format.
    fn line(&mut self, places: &[[f64; 2]], colour: u8) {
        for (a, b) in places.iter().zip(places.iter().skip(1)) {
            let count = libm::ceil(libm::hypot(b[0] - a[0], b[1] - a[1]) * PX_PER_MM * 1.5).max(1.0);
            for k in 0..=count as u32 {
                let s = f64::from(k) / count;
                let [x, z] = [a[0] + s * (b[0] - a[0]), a[1] + s * (b[1] - a[1])];
                self.dot([x, z], colour);
                if colour == TRUTH {
                    let beside = 1.0 / PX_PER_MM;
                    for place in [[x + beside, z], [x, z + beside], [x + beside, z + beside]] {
                        self.dot(place, colour);
                    }
                }
            }
        }
    }

    /// Lines of a weld.
    pub fn weld(&mut self, outline: &Outline) {
        let lists =
            [&outline.upper_face, &outline.lower_face, &outline.preparation, &outline.cap, &outline.root];
        for line in lists.into_iter().flatten() {
            self.line(line, LINE);
        }
    }

    /// The two faces of a plate without a weld.
    pub fn faces(&mut self, width_mm: f64) {
        for z in [0.0, self.thickness_mm] {
            self.line(&[[-0.5 * width_mm, z], [0.5 * width_mm, z]], LINE);
        }
    }

    /// A round hole.
    pub fn circle(&mut self, [x, z]: [f64; 2], radius: f64) {
        let places: Vec<[f64; 2]> = (0..=48)
            .map(|k| {
                let angle = core::f64::consts::TAU * f64::from(k) / 48.0;
                [x + radius * libm::cos(angle), z + radius * libm::sin(angle)]
            })
            .collect();
        self.line(&places, TRUTH);
    }

    /// A box around a flaw.
    pub fn place(&mut self, extent: &Extent) {
        let [[left, right], [top, bottom]] =
            [extent.across_mm, extent.depth_mm].map(|[from, to]| [from - AROUND_MM, to + AROUND_MM]);
        let corners = [[left, top], [right, top], [right, bottom], [left, bottom], [left, top]];
        self.line(&corners, TRUTH);
    }

    /// The middle of what is drawn brightest, mm.
    #[cfg(test)]
    pub fn brightest(&self) -> [f64; 2] {
        let top = self.pixels.iter().max();
        let all: Vec<usize> = (0..self.pixels.len()).filter(|at| self.pixels.get(*at) == top).collect();
        let places = all.iter().map(|at| self.place_of(at % self.width, at / self.width));
        places.fold([0.0, 0.0], |[x, z], place| {
            [x + place[0] / all.len() as f64, z + place[1] / all.len() as f64]
        })
    }

    /// As a PNG file with a palette.
    pub fn png(self) -> Result<Vec<u8>, Failure> {
        let mut bytes = Vec::new();
        let mut encoder = png::Encoder::new(&mut bytes, self.width as u32, self.height as u32);
        encoder.set_color(png::ColorType::Indexed);
        encoder.set_depth(png::BitDepth::Eight);
        encoder.set_palette(self.palette);
        encoder.set_trns(vec![0_u8]);
        encoder.set_compression(png::Compression::High);
        // Neighbouring places of a palette are no neighbouring numbers: filters make such a picture larger.
        encoder.set_filter(png::Filter::NoFilter);
        let said =
            |error: png::EncodingError| Failure::Said(format!("the picture cannot be written: {error}"));
        let mut writer = encoder.write_header().map_err(said)?;
        writer.write_image_data(&self.pixels).map_err(said)?;
        writer.finish().map_err(said)?;
        Ok(bytes)
    }
}
