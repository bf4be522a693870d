//! Grain noise: a random field tied to the plate, looked up where the sound is.
//!
//! Speckle then moves with the probe, repeats from the seed and differs between legs. The field is complex and smoothed
//! across the mean ray to about a node of the grid, or it would alias there. The beam matrix and the pulse shape it
//! like any other echo.

use crate::axes::{Axes, ZONE};
use crate::leg_rays::LEGS;
use crate::placement::Placement;
use crate::planes::{PAD, Planes, ROW};
use crate::seed::Stream;

const CELL_MM: f64 = 0.3;
const SLICE_MM: f64 = 5.0;
const ACROSS: usize = 384;
const DOWN: usize = 64;
const SLICES: usize = 16;
/// Mean ray, cosine and sine of 55°.
const RAY: [f64; 2] = [0.573_576_436, 0.819_152_044];
/// Standard deviation of the smoothing across the ray per leg, mm: beams widen with path.
const SMOOTHING_MM: [f64; LEGS] = [0.45, 0.8, 1.35];

/// The random field of one plate, one texture per leg, repeating after 115 mm across, 19 mm down and 80 mm along.
#[derive(Debug)]
pub struct GrainField {
    /// `[leg][slice][down][across][re, im]`.
    textures: Vec<Vec<[f32; 2]>>,
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
                smooth(&white, leg)
            })
            .collect();
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
    let norm = 1.0 / libm::sqrt(weights.iter().map(|w| w * w).sum::<f64>());
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

/// Where the cells of the grid lie in the unfolded metal, `[sine][sample]`; fixed by the set-up.
#[derive(Debug)]
pub struct GrainCells {
    /// Distance along the face from below the aperture's centre, mm.
    along: Vec<f32>,
    /// Unfolded depth, mm.
    depth: Vec<f32>,
}

impl GrainCells {
    /// The cells of a grid.
    pub fn new(axes: &Axes) -> Self {
        let mut cells = Self { along: Vec::new(), depth: Vec::new() };
        for node in 0..axes.sines {
            let wedge_sine = axes.sine_start + node as f64 * axes.sine_step;
            let wedge_time = axes.wedge_time_us(wedge_sine);
            let sine = (wedge_sine / axes.kappa).min(0.985);
            for sample in 0..axes.samples {
                let path = (0.5 * axes.time_us(sample as f64) - wedge_time) * axes.speed;
                let [along, depth] = axes.place(sine * axes.kappa, sine, path);
                cells.along.push(along as f32);
                cells.depth.push(depth as f32);
            }
        }
        cells
    }
}

/// Fills every cell of the planes with the plate's grain, scaled.
pub fn fill(
    field: &GrainField,
    cells: &GrainCells,
    axes: &Axes,
    placement: &Placement,
    thickness_mm: Option<f64>,
    scale: f32,
    planes: &mut Planes,
) {
    let per_cell = (1.0 / CELL_MM) as f32;
    let [cx, cy] = placement.centre_mm.map(|v| v as f32);
    let [fx, fy] = placement.forward.map(|v| v as f32);
    let thickness = thickness_mm.map_or(f32::MAX, |t| t as f32);
    let per_thickness = 1.0 / thickness;
    let (lower_start, lower_sign) = placement.lower_face_mm.map_or((0.0, 1.0), |t| (t as f32, -1.0));
    for sine in 0..axes.sines {
        for sample in 0..axes.samples {
            let cell = sine * axes.samples + sample;
            let (along, depth) = (cells.along[cell], cells.depth[cell]);
            let at = planes.row(sample / ZONE, sine) * ROW + PAD + sample % ZONE;
            let passes = if depth < 0.0 { LEGS } else { (depth * per_thickness) as usize };
            if passes >= LEGS {
                planes.re[at] = 0.0;
                planes.im[at] = 0.0;
                continue;
            }
            let over = depth - passes as f32 * thickness;
            let folded = if passes.is_multiple_of(2) { over } else { thickness - over };
            let z = lower_start + lower_sign * folded;
            // The offset keeps all coordinates positive, so truncation is the floor.
            let x = (cx + along * fx) * per_cell + (64 * ACROSS) as f32;
            let z = z * per_cell + (4 * DOWN) as f32;
            let y = (cy + along * fy) * (1.0 / SLICE_MM) as f32 + (64 * SLICES) as f32;
            let (xi, zi, yi) = (x as usize, z as usize, y as usize);
            let (fx_, fz, fy_) = (x - xi as f32, z - zi as f32, y - yi as f32);
            let (x0, x1) = (xi % ACROSS, (xi + 1) % ACROSS);
            let (z0, z1) = (zi % DOWN, (zi + 1) % DOWN);
            let (y0, y1) = (yi % SLICES, (yi + 1) % SLICES);
            // Slices are independent: weights on a circle keep the mean square.
            let norm = scale / ((1.0 - fy_) * (1.0 - fy_) + fy_ * fy_).sqrt();
            let texture = &field.textures[passes];
            let mut sum = [0.0_f32; 2];
            for (slice, weight) in [(y0, (1.0 - fy_) * norm), (y1, fy_ * norm)] {
                let (row0, row1) = ((slice * DOWN + z0) * ACROSS, (slice * DOWN + z1) * ACROSS);
                for k in 0..2 {
                    let upper = texture[row0 + x0][k] + fx_ * (texture[row0 + x1][k] - texture[row0 + x0][k]);
                    let lower = texture[row1 + x0][k] + fx_ * (texture[row1 + x1][k] - texture[row1 + x0][k]);
                    sum[k] += weight * (upper + fz * (lower - upper));
                }
            }
            planes.re[at] = sum[0];
            planes.im[at] = sum[1];
        }
    }
}
