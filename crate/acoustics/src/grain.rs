//! Grain noise: a random field tied to the plate, looked up where the sound is.
//!
//! Speckle then moves with the probe, repeats from the seed and differs between legs. The field is complex and smoothed
//! across the mean ray to about a node of the grid, or it would alias there. The beam matrix and the pulse shape it
//! like any other echo.

use crate::axes::{Axes, ZONE};
use crate::lanes::{add_scaled, f32x4, i32x4, load4};
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
/// Numbers of the textures of all legs in one slice.
const SLICE: usize = LEGS * DOWN * TEXTURE_ROW;
/// The texture row of cells that hold no grain: beyond all textures, where zeros are read.
const NO_ROW: u32 = u32::MAX / 2;
/// Cells looked up at once.
const AT_ONCE: usize = 4;
const _: () = assert!(ZONE.is_multiple_of(AT_ONCE) && ACROSS.is_power_of_two());
/// Mean ray, cosine and sine of 55°.
const RAY: [f64; 2] = [0.573_576_436, 0.819_152_044];
/// Standard deviation of the smoothing across the ray per leg, mm: beams widen with path.
const SMOOTHING_MM: [f64; LEGS] = [0.45, 0.8, 1.35];

/// The random field of one plate, one texture per leg, repeating after 77 mm across, 19 mm down and 80 mm along.
#[derive(Debug)]
pub struct GrainField {
    /// `[slice][leg][down][across][re, im]`; the first across comes again after the last.
    textures: Vec<f32>,
}

impl GrainField {
    /// The field of a seed; unit mean square.
    pub fn new(seed: u64) -> Self {
        let mut textures = vec![0.0; SLICES * SLICE];
        for leg in 0..LEGS {
            let mut stream = Stream::new(seed, ["grain leg 1", "grain leg 2", "grain leg 3"][leg]);
            let white: Vec<[f32; 2]> = (0..SLICES * DOWN * ACROSS)
                .map(|_| {
                    let (a, b) = (stream.bits(), stream.bits());
                    [bell(a), bell(b)]
                })
                .collect();
            let slices = smooth(&white, leg);
            for (slice, rows) in slices.chunks_exact(DOWN * ACROSS).enumerate() {
                let first = slice * SLICE + leg * DOWN * TEXTURE_ROW;
                for (row, texture) in
                    rows.chunks_exact(ACROSS).zip(textures[first..].chunks_exact_mut(TEXTURE_ROW))
                {
                    let again = row.iter().chain(&row[..1]).flatten();
                    texture.iter_mut().zip(again).for_each(|(value, &cell)| *value = cell);
                }
            }
        }
        Self { textures }
    }
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
    let slices = white.chunks_exact(DOWN * ACROSS);
    for (slice, smoothed) in slices.zip(out.chunks_exact_mut(DOWN * ACROSS)) {
        for (z, sums) in smoothed.chunks_exact_mut(ACROSS).enumerate() {
            for &(dx, dz, w) in &steps {
                let row = &slice[(z + dz) % DOWN * ACROSS..][..ACROSS];
                // The row turned by dx, in two stretches without a gap, for the lanes.
                let (head, tail) = sums.split_at_mut(ACROSS - dx);
                add_scaled(head.as_flattened_mut(), row[dx..].as_flattened(), w);
                add_scaled(tail.as_flattened_mut(), row[..dx].as_flattened(), w);
            }
        }
    }
    out
}

/// Cells of the grid folded into the plate, those that are looked up at once.
#[derive(Clone, Copy, Debug)]
struct Cells {
    /// Distance along the face from below the aperture's centre, in texture cells.
    along: [f32; AT_ONCE],
    /// Fraction between the two texture rows.
    down: [f32; AT_ONCE],
    /// Where the upper and the lower texture row begin in a slice, or [`NO_ROW`].
    rows: [[u32; 2]; AT_ONCE],
}

/// Where the cells of the grid lie in the plate, `[zone][sine][sample]`; fixed by the set-up and the plate's thickness.
#[derive(Debug)]
pub struct GrainCells {
    cells: Vec<Cells>,
    /// Cells of a zone.
    per_zone: usize,
    /// Thickness, and whether the probe stands on the lower face.
    folded_for: (Option<f64>, bool),
}

impl GrainCells {
    /// The cells of a grid.
    pub fn new(axes: &Axes, thickness_mm: Option<f64>, on_lower_face: bool) -> Self {
        let mut cells = Vec::with_capacity(axes.sines * axes.samples / AT_ONCE);
        for zone in 0..axes.zones() {
            for node in 0..axes.sines {
                let wedge_sine = axes.sine_start + node as f64 * axes.sine_step;
                let wedge_time = axes.wedge_time_us(wedge_sine);
                let sine = (wedge_sine / axes.kappa).min(FLATTEST_SINE);
                for first in (zone * ZONE..(zone + 1) * ZONE).step_by(AT_ONCE) {
                    let folded: [_; AT_ONCE] = core::array::from_fn(|k| {
                        let path = (0.5 * axes.time_us((first + k) as f64) - wedge_time) * axes.speed;
                        fold(axes.place(sine * axes.kappa, sine, path), thickness_mm, on_lower_face)
                    });
                    cells.push(Cells {
                        along: folded.map(|(along, _, _)| along),
                        down: folded.map(|(_, down, _)| down),
                        rows: folded.map(|(_, _, rows)| rows),
                    });
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

/// A cell's distance along the face, its fraction between two texture rows, and where these begin in a slice.
fn fold([along, depth]: [f64; 2], thickness_mm: Option<f64>, on_lower_face: bool) -> (f32, f32, [u32; 2]) {
    let passes = thickness_mm.map_or(0, |thickness| (depth.max(0.0) / thickness) as usize);
    let over = depth - thickness_mm.map_or(0.0, |thickness| passes as f64 * thickness);
    let turned = passes.is_multiple_of(2) == on_lower_face;
    let z = if turned { thickness_mm.unwrap_or(0.0) - over } else { over };
    // The offset keeps the coordinate positive, so truncation is the floor.
    let row = z / CELL_MM + (64 * DOWN) as f64;
    let upper = row as usize;
    let begin = |row: usize| ((passes * DOWN + row % DOWN) * TEXTURE_ROW) as u32;
    let rows = if depth < 0.0 || passes >= LEGS { [NO_ROW; 2] } else { [begin(upper), begin(upper + 1)] };
    ((along / CELL_MM) as f32, (row - upper as f64) as f32, rows)
}

/// The two slices between which a place along the weld lies: where they begin, and weights.
#[derive(Clone, Copy)]
struct Slices {
    begin: [usize; 2],
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
            begin: [whole % SLICES * SLICE, (whole + 1) % SLICES * SLICE],
            weights: [near * norm, between * norm],
        }
    }
}

/// The field where a probe that looks square to the weld cuts it: all its beams lie between the same two slices.
#[derive(Debug, Default)]
pub struct GrainCut {
    /// `[leg][down][across][re, im]`
    texture: Vec<f32>,
}

impl GrainCut {
    fn take(&mut self, field: &GrainField, slices: &Slices) {
        self.texture.resize(SLICE, 0.0);
        let [near, far] = slices.begin.map(|begin| &field.textures[begin..begin + SLICE]);
        let [by_near, by_far] = slices.weights;
        for (value, (near, far)) in self.texture.iter_mut().zip(near.iter().zip(far)) {
            *value = near * by_near + far * by_far;
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
        let per_zone = cells.per_zone / AT_ONCE;
        let cells = cells.cells[zone * per_zone..][..per_zone].iter();
        let out = out.re.as_chunks_mut().0.iter_mut().zip(out.im.as_chunks_mut().0);
        let ([x_start, y_start], [x_step, y_step]) = (self.start, self.step);
        if let Some(cut) = self.cut {
            for (cells, (re, im)) in cells.zip(out) {
                [*re, *im] = cells.between(x_start, x_step, |_, at| load4(&cut.texture, at));
            }
        } else {
            for (cells, (re, im)) in cells.zip(out) {
                let slices = cells.along.map(|along| Slices::at(y_start + along * y_step, self.scale));
                [*re, *im] = cells.between(x_start, x_step, |cell, at| {
                    let Slices { begin: [first, second], weights: [near, far] } = slices[cell];
                    let texture = |slice: usize| load4(&self.field.textures, slice + at);
                    texture(first) * near + texture(second) * far
                });
            }
        }
    }
}

impl Cells {
    /// Real and imaginary parts of the texture between the cells' two rows; `pair` gives, for one of the cells, two
    /// neighbours across from a place in a slice.
    #[inline(always)]
    fn between(&self, start: f32, step: f32, pair: impl Fn(usize, usize) -> f32x4) -> [[f32; AT_ONCE]; 2] {
        let x = f32x4::new(self.along) * step + start;
        let whole = x.fast_trunc_int();
        let across = x - whole.round_float();
        let columns = (whole & i32x4::splat(ACROSS as i32 - 1)).to_array();
        let pairs = core::array::from_fn(|k| {
            let [upper, lower] = self.rows[k].map(|row| pair(k, row as usize + 2 * columns[k] as usize));
            upper + (lower - upper) * self.down[k]
        });
        let [a, b, c, d] = f32x4::transpose(pairs);
        [(a + across * (c - a)).to_array(), (b + across * (d - b)).to_array()]
    }
}
