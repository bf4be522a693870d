//! Centre rays from the aperture to all near points on one leg, by single-precision Newton steps in plain loops.

use crate::axes::Axes;
use crate::complex::Complex32;
use crate::kernel::ShearWave;
use crate::lanes::{f32x8, load8_or_fewer, store8_or_fewer};
use crate::mirror_table::MirrorTable;
use crate::placement::{BrokenStretches, LocalPoints};

/// Legs followed: before the far face, after it, after the near face again.
pub const LEGS: usize = 3;

/// Rays that end less deep than this are not followed.
const LEAST_DEPTH_MM: f32 = 0.2;

/// Rays of one leg, one entry per point.
#[derive(Debug, Default)]
pub struct LegRays {
    /// Sine in the wedge; negative where no ray of the sector arrives.
    pub wedge_sine: Vec<f32>,
    /// Sine in the wedge moved by the beam's displacement at the faces.
    pub moved_sine: Vec<f32>,
    /// One-way time, µs.
    pub time: Vec<f32>,
    /// Sine in the metal.
    pub sine: Vec<f32>,
    /// Cosine in the metal, positive.
    pub cosine: Vec<f32>,
    /// Distance that diffracts alike, for the strip factor, mm.
    pub reach: Vec<f32>,
    /// 1/√(k r) of the wave that arrives, r its radius of curvature in the plane.
    pub spread: Vec<f32>,
    /// Product of the reflections at the faces; 0 where a bounce falls on a part that is not flat.
    pub mirror: Vec<Complex32>,
}

/// The plate as the rays see it, unfolded.
pub struct Plate<'a> {
    /// Distance of the faces, mm; endless for a half space.
    pub thickness: Option<f32>,
    /// Broken stretches of the face the probe stands on.
    pub near: &'a BrokenStretches,
    /// Broken stretches of the far face.
    pub far: &'a BrokenStretches,
}

impl LegRays {
    /// The wave that arrives at a point.
    #[inline(always)]
    pub fn wave(&self, leg: usize, index: usize) -> ShearWave<f32> {
        let flip = if leg.is_multiple_of(2) { 1.0 } else { -1.0 };
        ShearWave::new(self.sine[index], self.cosine[index], flip)
    }

    /// False where the ray bounced on a part that is not flat, or was not followed.
    #[inline(always)]
    pub fn arrives(&self, index: usize) -> bool {
        self.mirror[index] != [0.0; 2]
    }

    /// Follows leg `leg` (0 is direct) to all points.
    pub fn trace(
        &mut self,
        leg: usize,
        points: &LocalPoints,
        plate: &Plate,
        axes: &Axes,
        mirrors: &MirrorTable,
    ) {
        let n = points.len();
        for list in [
            &mut self.wedge_sine,
            &mut self.moved_sine,
            &mut self.time,
            &mut self.sine,
            &mut self.cosine,
            &mut self.reach,
            &mut self.spread,
        ] {
            list.clear();
            list.resize(n, 0.0);
        }
        self.mirror.clear();
        self.mirror.resize(n, [0.0; 2]);
        // Image depth: start + sign z.
        let (start, sign) = match (leg, plate.thickness) {
            (0, _) => (0.0, 1.0),
            (_, None) => {
                self.wedge_sine.fill(-1.0);
                return;
            }
            (1, Some(t)) => (2.0 * t, -1.0),
            (_, Some(t)) => (2.0 * t, 1.0),
        };
        self.solve(points, start, sign, axes);
        self.bounce(leg, points, plate, (start, sign), axes, mirrors);
    }

    /// Three Newton steps for the tangent q of the refracted angle (see [`crate::ray`]); the start is within a few
    /// percent for all rays of a sector. The time is taken from its plane-wave form, which is stationary in q.
    fn solve(&mut self, points: &LocalPoints, start: f32, sign: f32, axes: &Axes) {
        let (kappa, h) = (axes.kappa as f32, axes.height_mm as f32);
        let (bend, guess) = (1.0 - kappa * kappa, 0.82 * kappa * h);
        let (per_wedge, per_metal) = ((1.0 / axes.wedge_speed) as f32, (1.0 / axes.speed) as f32);
        let per_wave = (1.0 / axes.wave_number) as f32;
        let (one, least) = (f32x8::splat(1.0), f32x8::splat(LEAST_DEPTH_MM));
        for at in (0..points.len()).step_by(8) {
            let x = load8_or_fewer(&points.x, at);
            let depth = load8_or_fewer(&points.z, at) * sign + start;
            let shallow = depth.simd_lt(least);
            let depth = shallow.select(least, depth);
            let mut q = x / (depth + guess);
            for _ in 0..3 {
                let square = q * bend * q + 1.0;
                let root = square.sqrt();
                let residual = depth * q + q * (h * kappa) / root - x;
                q -= residual / (depth + f32x8::splat(h * kappa) / (square * root));
            }
            let c = one / (q * q + 1.0).sqrt();
            let s = q * c;
            let u = s * kappa;
            let k1 = (one - u * u).sqrt();
            let radius = depth / c + c * (h * kappa) * c / (k1 * k1 * k1);
            store8_or_fewer(&mut self.time, at, (u * x + k1 * h) * per_wedge + c * depth * per_metal);
            store8_or_fewer(&mut self.wedge_sine, at, shallow.select(f32x8::splat(-1.0), u));
            store8_or_fewer(&mut self.sine, at, s);
            store8_or_fewer(&mut self.cosine, at, c);
            store8_or_fewer(&mut self.reach, at, depth / c + f32x8::splat(kappa * h) / k1);
            store8_or_fewer(&mut self.spread, at, (f32x8::splat(per_wave) / radius).sqrt());
        }
    }

    fn bounce(
        &mut self,
        leg: usize,
        points: &LocalPoints,
        plate: &Plate,
        (start, sign): (f32, f32),
        axes: &Axes,
        mirrors: &MirrorTable,
    ) {
        let thickness = plate.thickness.unwrap_or(0.0);
        let per_wedge_sine = axes.height_mm as f32;
        // A ray outside the grid is heard by no beam, wherever it bounces; a node's room is left for the displacement.
        let (lowest, highest) =
            (axes.sine_start as f32, (axes.sine_start + axes.sines as f64 * axes.sine_step) as f32);
        for i in 0..points.len() {
            let u = self.wedge_sine[i];
            if leg > 0 && (u < lowest || u > highest) {
                self.mirror[i] = [0.0; 2];
                self.moved_sine[i] = -1.0;
                continue;
            }
            if leg == 0 {
                self.mirror[i] = [1.0, 0.0];
                self.moved_sine[i] = u;
                continue;
            }
            let tangent = self.sine[i] / self.cosine[i];
            let depth = start + sign * points.z[i];
            let flat = plate.far.flat(points.x[i] - (depth - thickness) * tangent)
                * if leg == 2 {
                    plate.near.flat(points.x[i] - (depth - 2.0 * thickness) * tangent)
                } else {
                    1.0
                };
            let (r, displacement) = mirrors.at(u);
            let product = if leg == 1 { r } else { [r[0] * r[0] - r[1] * r[1], 2.0 * r[0] * r[1]] };
            self.mirror[i] = [product[0] * flat, product[1] * flat];
            // How the sine changes with distance along the face: dx/du from x = h tan α + depth tan θ.
            let k1 = (1.0 - u * u).sqrt();
            let (kappa, c) = (axes.kappa as f32, self.cosine[i]);
            let spread = per_wedge_sine / (k1 * k1 * k1) + depth / (kappa * c * c * c);
            self.moved_sine[i] = u + leg as f32 * displacement / spread;
        }
    }
}
