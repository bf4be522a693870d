//! Grain noise: a random field tied to the plate, looked up where the sound is.
//!
//! Speckle then moves with the probe, repeats from the seed and differs between legs. The field is complex and smoothed
//! across the mean ray to about a node of the grid, or it would alias there. The beam matrix and the pulse shape it
//! like any other echo.

use crate::axes::{Axes, ZONE};
use crate::lanes::{f32x4, load4};
use crate::leg_rays::LEGS;
use crate::placement::Placement;
use crate::seed::Stream;
use crate::spline;

const CELL_MM: f64 = 0.3;
/// Nodes of flatter rays take the grain of this one, 80° from the normal: where they run, they leave the texture.
const FLATTEST_SINE: f64 = 0.985;
const SLICE_MM: f64 = 5.0;
const ACROSS: usize = 256;
const DOWN: usize = 64;
const SLICES: usize = 16;
/// Numbers of a row of a texture: its first cell comes again after the last, so that neighbours always lie together.
const TEXTURE_ROW: usize = 2 * (ACROSS + 1);
/// Mean ray, cosine and sine of 55°.
const RAY: [f64; 2] = [0.573_576_436, 0.819_152_044];
/// Standard deviation of the smoothing across the ray per leg, mm: beams widen with path.
const SMOOTHING_MM: [f64; LEGS] = [0.45, 0.8, 1.35];

/// The random field of one plate, one texture per leg, repeating after 77 mm across, 19 mm down and 80 mm along.
#[derive(Debug)]
pub struct GrainField {
    /// `[leg][slice][down][across][re, im]`; the first across comes again after the last.
    textures: Vec<Vec<f32>>,
}

impl GrainField {
    /// The field of a seed; unit mean square.
    pub fn new(seed: u64) -> Self {
        let textures = (0..LEGS)
            .map(|leg| {
                let mut stream = Stream::new(seed, ["grain leg 1", "grain leg 2", "grain leg 3"][leg]);
                let white: Vec<[f32; 2]> = (0..SLICES * DOWN * ACROSS)
                    .map(|_| {
                        let (a, b) = (stream.bits(), stream.bits());
                        [bell(a), bell(b)]
                    })
                    .collect();
                wrap(&smooth(&white, leg))
            })
            .collect();
        Self { textures }
    }
}

/// Rows of a texture with the first of each row again after its last, so that neighbours always lie together.
fn wrap(texture: &[[f32; 2]]) -> Vec<f32> {
    texture.chunks_exact(ACROSS).flat_map(|row| row.iter().chain(&row[..1])).flatten().copied().collect()
}

/// A nearly normal number of variance 1/2 from 64 random bits: the sum of four 16-bit uniforms.
fn bell(bits: u64) -> f32 {
    let sum = (0..4).map(|k| ((bits >> (16 * k)) & 0xffff) as u32).sum::<u32>();
    // Variance of the sum of four uniforms is 4/12.
    (sum as f32 * (1.0 / 65535.0) - 2.0) * 1.224_744_9
}

/// Smooths along the line across the mean ray of a leg, keeping the mean square.
fn smooth(white: &[[f32; 2]], leg: usize) -> Vec<[f32; 2]> {
    let sigma = SMOOTHING_MM[leg] / CELL_MM;
    let half = (2.5 * sigma) as i64 + 1;
    let weights: Vec<f64> = (-half..=half)
        .map(|k| {
            let x = k as f64 / sigma;
            libm::exp(-0.5 * x * x)
        })
        .collect();
    let norm = 1.0 / f64::sqrt(weights.iter().map(|w| w * w).sum::<f64>());
    let down_sign = if leg.is_multiple_of(2) { 1.0 } else { -1.0 };
    let steps: Vec<(usize, usize, f32)> = (-half..=half)
        .zip(&weights)
        .map(|(k, w)| {
            let across = libm::round(-(k as f64) * RAY[0]) as i64;
            let down = libm::round(k as f64 * RAY[1] * down_sign) as i64;
            (
                across.rem_euclid(ACROSS as i64) as usize,
                down.rem_euclid(DOWN as i64) as usize,
                (w * norm) as f32,
            )
        })
        .collect();
    let mut out = vec![[0.0_f32; 2]; white.len()];
    for slice in 0..SLICES {
        for z in 0..DOWN {
            for x in 0..ACROSS {
                let mut sum = [0.0_f32; 2];
                for &(dx, dz, w) in &steps {
                    let at = (slice * DOWN + (z + dz) % DOWN) * ACROSS + (x + dx) % ACROSS;
                    sum[0] += w * white[at][0];
                    sum[1] += w * white[at][1];
                }
                out[(slice * DOWN + z) * ACROSS + x] = sum;
            }
        }
    }
    out
}

/// A cell of the grid folded into the plate.
#[derive(Clone, Copy, Debug)]
struct Cell {
    /// Distance along the face from below the aperture's centre, in texture cells.
    along: f32,
    /// Fraction between the two texture rows.
    down: f32,
    /// Upper and lower texture row.
    rows: [u16; 2],
    /// Leg, from 0; [`LEGS`] for cells that hold no grain.
    leg: u16,
}

/// Where the cells of the grid lie in the plate, `[zone][sine][sample]`; fixed by the set-up and the plate's thickness.
#[derive(Debug)]
pub struct GrainCells {
    cells: Vec<Cell>,
    /// Cells of a zone.
    per_zone: usize,
    /// Thickness, and whether the probe stands on the lower face.
    folded_for: (Option<f64>, bool),
}

impl GrainCells {
    /// The cells of a grid.
    pub fn new(axes: &Axes, thickness_mm: Option<f64>, on_lower_face: bool) -> Self {
        let mut cells = Vec::with_capacity(axes.sines * axes.samples);
        for zone in 0..axes.zones() {
            for node in 0..axes.sines {
                let wedge_sine = axes.sine_start + node as f64 * axes.sine_step;
                let wedge_time = axes.wedge_time_us(wedge_sine);
                let sine = (wedge_sine / axes.kappa).min(FLATTEST_SINE);
                for sample in zone * ZONE..(zone + 1) * ZONE {
                    let path = (0.5 * axes.time_us(sample as f64) - wedge_time) * axes.speed;
                    let place = axes.place(sine * axes.kappa, sine, path);
                    cells.push(fold(place, thickness_mm, on_lower_face));
                }
            }
        }
        Self { cells, per_zone: axes.sines * ZONE, folded_for: (thickness_mm, on_lower_face) }
    }

    /// True when made for this plate and face.
    pub fn fit(&self, thickness_mm: Option<f64>, on_lower_face: bool) -> bool {
        self.folded_for == (thickness_mm, on_lower_face)
    }
}

fn fold([along, depth]: [f64; 2], thickness_mm: Option<f64>, on_lower_face: bool) -> Cell {
    let passes = thickness_mm.map_or(0, |thickness| (depth.max(0.0) / thickness) as usize);
    let over = depth - thickness_mm.map_or(0.0, |thickness| passes as f64 * thickness);
    let turned = passes.is_multiple_of(2) == on_lower_face;
    let z = if turned { thickness_mm.unwrap_or(0.0) - over } else { over };
    // The offset keeps the coordinate positive, so truncation is the floor.
    let row = z / CELL_MM + (64 * DOWN) as f64;
    let upper = row as usize;
    Cell {
        along: (along / CELL_MM) as f32,
        down: (row - upper as f64) as f32,
        rows: [(upper % DOWN) as u16, ((upper + 1) % DOWN) as u16],
        leg: if depth < 0.0 { LEGS } else { passes.min(LEGS) } as u16,
    }
}

/// The two slices between which a place along the weld lies: rows of the texture where they begin, and weights.
#[derive(Clone, Copy)]
struct Slices {
    rows: [usize; 2],
    weights: [f32; 2],
}

impl Slices {
    #[inline(always)]
    fn at(y: f32, scale: f32) -> Self {
        let (whole, between) = spline::split(y);
        let near = 1.0 - between;
        // Slices are independent: weights on a circle keep the mean square.
        let norm = scale / (near * near + between * between).sqrt();
        Self {
            rows: [whole % SLICES * DOWN, (whole + 1) % SLICES * DOWN],
            weights: [near * norm, between * norm],
        }
    }
}

/// The field where a probe that looks square to the weld cuts it: all its beams lie between the same two slices.
#[derive(Debug, Default)]
pub struct GrainCut {
    /// `[leg][down][across][re, im]`
    legs: [Vec<f32>; LEGS],
}

impl GrainCut {
    fn take(&mut self, field: &GrainField, slices: &Slices) {
        for (cut, texture) in self.legs.iter_mut().zip(&field.textures) {
            cut.resize(DOWN * TEXTURE_ROW, 0.0);
            let [near, far] = slices.rows.map(|row| &texture[row * TEXTURE_ROW..][..DOWN * TEXTURE_ROW]);
            let [by_near, by_far] = slices.weights;
            for (value, (near, far)) in cut.iter_mut().zip(near.iter().zip(far)) {
                *value = near * by_near + far * by_far;
            }
        }
    }
}

/// Grain of one zone of the grid, `[sine][sample]`: filled and heard at once, so that it stays in the cache.
#[derive(Debug, Default)]
pub struct GrainZone {
    /// Real parts.
    pub re: Vec<f32>,
    /// Imaginary parts.
    pub im: Vec<f32>,
}

/// A plate's grain as the probe stands.
pub struct GrainView<'a> {
    field: &'a GrainField,
    scale: f32,
    /// Where the probe stands, in cells along the texture's rows and in slices; positive, so that truncation is the floor.
    start: [f32; 2],
    /// The same per cell along the beam.
    step: [f32; 2],
    cut: Option<&'a GrainCut>,
}

impl<'a> GrainView<'a> {
    /// From a stand, with a factor on the field. `cut` is working room.
    pub fn new(field: &'a GrainField, scale: f32, placement: &Placement, cut: &'a mut GrainCut) -> Self {
        let [fx, fy] = placement.forward.map(|v| v as f32);
        let start = [
            (placement.centre_mm[0] / CELL_MM) as f32 + (64 * ACROSS) as f32,
            (placement.centre_mm[1] / SLICE_MM) as f32 + (64 * SLICES) as f32,
        ];
        let step = [fx, fy * (CELL_MM / SLICE_MM) as f32];
        let cut = (step[1] == 0.0).then(|| {
            cut.take(field, &Slices::at(start[1], scale));
            &*cut
        });
        Self { field, scale, start, step, cut }
    }

    /// The grain of a zone.
    pub fn fill(&self, cells: &GrainCells, zone: usize, out: &mut GrainZone) {
        out.re.resize(cells.per_zone, 0.0);
        out.im.resize(cells.per_zone, 0.0);
        let cells = cells.cells[zone * cells.per_zone..][..cells.per_zone].iter();
        let values = cells.zip(out.re.iter_mut().zip(&mut out.im));
        let ([x_start, y_start], [x_step, y_step]) = (self.start, self.step);
        if let Some(cut) = self.cut {
            for (cell, (re, im)) in values {
                let texture = cut.legs.get(usize::from(cell.leg)).map(Vec::as_slice).unwrap_or_default();
                [*re, *im] = cell.between(x_start + cell.along * x_step, |row, column| {
                    load4(texture, 2 * column + row * TEXTURE_ROW)
                });
            }
        } else {
            for (cell, (re, im)) in values {
                let texture =
                    self.field.textures.get(usize::from(cell.leg)).map(Vec::as_slice).unwrap_or_default();
                let Slices { rows: [first, second], weights: [near, far] } =
                    Slices::at(y_start + cell.along * y_step, self.scale);
                [*re, *im] = cell.between(x_start + cell.along * x_step, |row, column| {
                    let at = |slice: usize| load4(texture, 2 * column + (slice + row) * TEXTURE_ROW);
                    at(first) * near + at(second) * far
                });
            }
        }
    }
}

impl Cell {
    /// The texture between the cell's two rows at a distance across; `pair` gives two neighbours of a row and column.
    #[inline(always)]
    fn between(&self, x: f32, pair: impl Fn(usize, usize) -> f32x4) -> [f32; 2] {
        let (whole, across) = spline::split(x);
        let [upper, lower] = self.rows.map(|row| pair(usize::from(row), whole % ACROSS));
        let [a, b, c, d] = (upper + (lower - upper) * self.down).to_array();
        [a + across * (c - a), b + across * (d - b)]
    }
}
