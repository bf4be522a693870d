//! The sector image, or the slanting one of a linear scan: where every pixel finds its sound, and how it is painted.

use acoustics::lanes::f32x4;
use acoustics::ray::Ray;

use crate::beam_grid::BeamGrid;
use crate::scan_plan::LEGS;
use crate::stand;

/// Which drawing of the sound the picture shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum View {
    /// Legs folded at the faces, in plate coordinates.
    Folded,
    /// Straight beams, legs below each other.
    Unfolded,
}

/// Size and place of a picture. Forward is counted from the wedge front in beam direction (for side B the page
/// mirrors it), depth from the face the probe stands on.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct PictureFrame {
    /// Width, pixels.
    pub width_px: u32,
    /// Height, pixels.
    pub height_px: u32,
    /// Forward distance of the left and right edge, mm.
    pub forward_mm: [f64; 2],
    /// Depth of the upper and lower edge, mm.
    pub depth_mm: [f64; 2],
}

/// Pixels per mm of a picture: finer than the sound, so the page may stretch it.
pub const PX_PER_MM: f64 = 5.0;
/// How far the folded picture follows the sound into cap and root bead, mm.
const BEYOND_FACE_MM: f64 = 3.0;

/// What a picture is made for.
#[derive(Clone, Copy, Debug)]
pub struct Layout {
    /// Plate thickness, mm.
    pub thickness_mm: f64,
    /// Longest sound path, mm.
    pub range_mm: f64,
    /// Distance from below the (first) aperture's centre to the wedge front, mm.
    pub to_front_mm: f64,
    /// Height of the (first) aperture's centre, mm.
    pub height_mm: f64,
    /// Speeds in wedge and metal, mm/µs.
    pub speeds: [f64; 2],
}

/// One pixel of one leg: four cells around its place in the frame, by the first and two fractions. Small, for a frame
/// reads hundreds of thousands of them.
#[derive(Clone, Copy, Debug, Default)]
struct Live {
    cell: u32,
    /// 1/65536.
    across: u16,
    /// 1/65536.
    along: u16,
}

/// Pixels of one leg that follow each other.
#[derive(Clone, Debug)]
struct Run {
    first_pixel: usize,
    live: core::ops::Range<usize>,
}

/// The pixels of one leg.
#[derive(Clone, Debug, Default)]
struct Leg {
    live: Vec<Live>,
    runs: Vec<Run>,
}

impl Leg {
    fn push(&mut self, pixel: usize, live: Live) {
        let at = self.live.len();
        self.live.push(live);
        match self.runs.last_mut() {
            Some(run) if run.first_pixel + run.live.len() == pixel => run.live.end = at + 1,
            _ => self.runs.push(Run { first_pixel: pixel, live: at..at + 1 }),
        }
    }
}

/// The map from pixels to frame cells of one view; fixed by the set-up.
#[derive(Debug)]
pub struct Picture {
    /// Size and place.
    pub frame: PictureFrame,
    legs: Vec<Leg>,
    samples: usize,
    heights: Vec<f32>,
}

impl Picture {
    /// Makes the map.
    pub fn new(view: View, layout: &Layout, grid: &BeamGrid) -> Self {
        let (angles, exits) = (&grid.angles, &grid.exit_forward_mm);
        let last = angles.len() - 1;
        let farthest = exits[last] + layout.range_mm * libm::sin(angles[last]);
        let deepest = (f64::from(LEGS) * layout.thickness_mm).min(layout.range_mm * libm::cos(angles[0]));
        let depth_mm = match view {
            View::Folded => [-BEYOND_FACE_MM, layout.thickness_mm + BEYOND_FACE_MM],
            View::Unfolded => [0.0, deepest],
        };
        let forward_mm = [exits[0], farthest];
        let px = |span: [f64; 2]| libm::ceil((span[1] - span[0]) * PX_PER_MM) as u32;
        let frame = PictureFrame { width_px: px(forward_mm), height_px: px(depth_mm), forward_mm, depth_mm };
        let mut picture = Self {
            frame,
            legs: vec![Leg::default(); usize::from(LEGS)],
            samples: grid.samples,
            heights: vec![0.0; (frame.width_px * frame.height_px) as usize],
        };
        for row in 0..frame.height_px {
            let depth = depth_mm[0] + (f64::from(row) + 0.5) / PX_PER_MM;
            for leg in 1..=LEGS {
                let unfolded = match view {
                    View::Folded => stand::unfold(depth, leg, layout.thickness_mm),
                    View::Unfolded if stand::fold(depth, layout.thickness_mm).0 == leg => depth,
                    View::Unfolded => continue,
                };
                let mut row_of = RowOf::new(layout, grid, unfolded);
                // One more at either end: what is seen is decided place by place.
                let column_of = |beam: usize| (row_of.passes_mm[beam] - forward_mm[0]) * PX_PER_MM;
                let (first, last) = (column_of(0), column_of(last));
                for column in (first - 1.0) as u32..frame.width_px.min((last + 2.0) as u32) {
                    let forward = forward_mm[0] + (f64::from(column) + 0.5) / PX_PER_MM;
                    let pixel = row * frame.width_px + column;
                    if let Some(live) = row_of.locate(forward) {
                        picture.legs[usize::from(leg - 1)].push(pixel as usize, live);
                    }
                }
            }
        }
        picture
    }

    /// Paints the heights of a frame (`[beam][sample]`, % of full screen height) as RGBA. Where legs overlap the
    /// stronger wins, or `leg` (from 1) is shown alone. Pixels that no beam reaches stay transparent.
    pub fn paint(&mut self, percent: &[f32], leg: Option<u8>, colours: &[[u8; 3]; 256], rgba: &mut [u8]) {
        self.heights.fill(-1.0);
        for (index, shown) in self.legs.iter().enumerate() {
            if leg.is_some_and(|leg| usize::from(leg) != index + 1) {
                continue;
            }
            for run in &shown.runs {
                let live = &shown.live[run.live.clone()];
                let (heights, last) = self.heights[run.first_pixel..][..live.len()].as_chunks_mut();
                let (fours, last_live) = live.as_chunks();
                for (old, four) in heights.iter_mut().zip(fours) {
                    *old = stronger(*old, four, percent, self.samples);
                }
                // What is left of the run, with places that nothing is read from.
                let (mut few, mut few_live) = ([0.0; 4], [Live::default(); 4]);
                few[..last.len()].copy_from_slice(last);
                few_live[..last.len()].copy_from_slice(last_live);
                let few = stronger(few, &few_live, percent, self.samples);
                last.copy_from_slice(&few[..last.len()]);
            }
        }
        // The first shade is for pixels that nothing was heard at.
        let mut shades = [[0; 4]; 257];
        for (shade, &[r, g, b]) in shades[1..].iter_mut().zip(colours) {
            *shade = [r, g, b, 255];
        }
        for (&height, pixel) in self.heights.iter().zip(rgba.as_chunks_mut().0) {
            let step = ((height * 2.55) as i32).clamp(-1, 255);
            *pixel = shades[(step + 1) as usize];
        }
    }
}

/// The stronger of what four pixels show and what they hear at their places.
#[inline(always)]
fn stronger(old: [f32; 4], live: &[Live; 4], percent: &[f32], samples: usize) -> [f32; 4] {
    let part = |of: fn(&Live) -> u16| f32x4::new(live.each_ref().map(|l| f32::from(of(l)))) * (1.0 / 65536.0);
    let (along, across) = (part(|live| live.along), part(|live| live.across));
    let between = |beam: usize| {
        let cells = live.each_ref().map(|live| {
            let cell = live.cell as usize + beam * samples;
            percent.get(cell..).and_then(<[f32]>::first_chunk::<2>).copied().unwrap_or_default()
        });
        let [before, after] = [0, 1].map(|k| f32x4::new(cells.map(|cell| cell[k])));
        before + along * (after - before)
    };
    let (near, far) = (between(0), between(1));
    f32x4::new(old).fast_max(near + across * (far - near)).to_array()
}

/// Finds the cells around places at one depth, from left to right.
struct RowOf<'a> {
    layout: &'a Layout,
    grid: &'a BeamGrid,
    unfolded_mm: f64,
    /// Where the beams pass: nothing is seen before the first and beyond the last.
    passes_mm: Vec<f64>,
    /// Tangents of the last two rays, the latest first: they tell where the next one goes.
    tangents: [f64; 2],
    /// The beam before the last place.
    beam: usize,
}

impl<'a> RowOf<'a> {
    fn new(layout: &'a Layout, grid: &'a BeamGrid, unfolded_mm: f64) -> Self {
        Self {
            layout,
            grid,
            unfolded_mm,
            passes_mm: grid.passes_mm(unfolded_mm),
            tangents: [0.0; 2],
            beam: 0,
        }
    }

    /// The cells around a place ahead of the wedge front.
    fn locate(&mut self, forward_mm: f64) -> Option<Live> {
        let (layout, grid) = (self.layout, self.grid);
        if self.unfolded_mm < 0.05 {
            return None;
        }
        if grid.by_path.is_some() {
            let (beam, across, sample, path) = grid.place(forward_mm, self.unfolded_mm, &self.passes_mm)?;
            return (path <= layout.range_mm).then(|| live(grid, beam, across, sample)).flatten();
        }
        let along = forward_mm + layout.to_front_mm;
        let guess = 2.0 * self.tangents[0] - self.tangents[1];
        let ray = Ray::least_time_near(guess, along, layout.height_mm, self.unfolded_mm, layout.speeds);
        self.tangents = [ray.tangent, self.tangents[0]];
        if along <= 0.0 || ray.path_mm > layout.range_mm {
            return None;
        }
        let (angle, angles) = (libm::asin(ray.sine), &grid.angles);
        // Angles rise from place to place.
        let next = self.beam + angles[self.beam..].partition_point(|&beam| beam <= angle);
        if next == 0 || next >= angles.len() {
            return None;
        }
        self.beam = next - 1;
        let across = (angle - angles[next - 1]) / (angles[next] - angles[next - 1]);
        // The array's centre ray gives all beams the same time at a place, so both beams are read at the same sample.
        live(grid, next - 1, across, grid.sample_of(ray.time_us * 2.0))
    }
}

fn live(grid: &BeamGrid, beam: usize, across: f64, sample: f64) -> Option<Live> {
    let index = sample as usize;
    (sample >= 0.0 && index + 1 < grid.samples).then(|| Live {
        cell: (beam * grid.samples + index) as u32,
        across: (across * 65536.0) as u16,
        along: ((sample - index as f64) * 65536.0) as u16,
    })
}

/// cividis (Nuñez, Anderton and Renslow 2018, doi:10.1371/journal.pone.0199239) in 256 steps: even in lightness, the
/// same to eyes with and without colour deficiency.
pub fn cividis() -> [[u8; 3]; 256] {
    core::array::from_fn(|step| {
        let colour = colorous::CIVIDIS.eval_rational(step, 256);
        [colour.r, colour.g, colour.b]
    })
}

#[cfg(test)]
mod tests {
    use super::{LEGS, Layout, PX_PER_MM, Picture, RowOf, View};
    use crate::beam_grid::BeamGrid;
    use crate::stand;

    /// Every pixel that shows a place shows it in the picture too, whichever of its row come before.
    #[test]
    fn no_pixel_is_left_out() {
        let layout = Layout {
            thickness_mm: 12.0,
            range_mm: 60.0,
            to_front_mm: 25.0,
            height_mm: 9.0,
            speeds: [2.33, 3.24],
        };
        let angles: Vec<f64> = (0..30).map(|i| (40.3 + f64::from(i)).to_radians()).collect();
        let exit = |angle: &f64| {
            let wedge_sine = libm::sin(*angle) * layout.speeds[0] / layout.speeds[1];
            layout.height_mm * wedge_sine / (1.0 - wedge_sine * wedge_sine).sqrt() - layout.to_front_mm
        };
        let one_clock = BeamGrid {
            exit_forward_mm: angles.iter().map(exit).collect(),
            angles,
            samples: 700,
            sampling_mhz: 10.0,
            first_sample: 40.0,
            by_path: None,
        };
        let own_clocks = BeamGrid { by_path: Some((vec![45.0; 30], 0.16)), ..one_clock.clone() };
        for (grid, view) in [&one_clock, &own_clocks]
            .into_iter()
            .flat_map(|grid| [(grid, View::Folded), (grid, View::Unfolded)])
        {
            let picture = Picture::new(view, &layout, grid);
            let frame = picture.frame;
            let place = |from: f64, pixel: u32| from + (f64::from(pixel) + 0.5) / PX_PER_MM;
            for leg in 1..=LEGS {
                let mut wanted = Vec::new();
                for row in 0..frame.height_px {
                    let depth = place(frame.depth_mm[0], row);
                    let unfolded = match view {
                        View::Folded => stand::unfold(depth, leg, layout.thickness_mm),
                        View::Unfolded => depth,
                    };
                    if view == View::Unfolded && stand::fold(depth, layout.thickness_mm).0 != leg {
                        continue;
                    }
                    let seen = |&column: &u32| {
                        RowOf::new(&layout, grid, unfolded)
                            .locate(place(frame.forward_mm[0], column))
                            .is_some()
                    };
                    let pixels = (0..frame.width_px).filter(seen).map(|column| row * frame.width_px + column);
                    wanted.extend(pixels.map(|pixel| pixel as usize));
                }
                let runs = &picture.legs[usize::from(leg - 1)].runs;
                let shown: Vec<usize> =
                    runs.iter().flat_map(|run| run.first_pixel..run.first_pixel + run.live.len()).collect();
                assert!(!shown.is_empty() && shown == wanted, "{view:?}, leg {leg}");
            }
        }
    }
}
