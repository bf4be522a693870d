//! Where the aperture stands over a scene, and the scene's points as it sees them.

use crate::elevation_table::LARGEST_OFF_PLANE_MM;
use crate::scene::{NotFlat, Scene};

/// The stand of the probe in plate coordinates. The frame of the probe has x along the beam from below the aperture's
/// centre, y to its side and z into the metal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placement {
    /// Point of the face below the centre of the aperture, plate x and y, mm.
    pub centre_mm: [f64; 2],
    /// Unit direction of the beam along the face, plate x and y.
    pub forward: [f64; 2],
    /// Thickness to stand on the lower face (depth is then counted upwards), `None` on the upper face.
    pub lower_face_mm: Option<f64>,
}

/// Scene points near the beam plane in the frame of the probe, structure of arrays.
#[derive(Debug, Default)]
pub struct LocalPoints {
    /// Distance along the beam, mm.
    pub x: Vec<f32>,
    /// Distance beside the beam plane, mm.
    pub y: Vec<f32>,
    /// Depth, mm.
    pub z: Vec<f32>,
    /// Normal into the metal.
    pub nx: Vec<f32>,
    /// Normal into the metal.
    pub ny: Vec<f32>,
    /// Normal into the metal.
    pub nz: Vec<f32>,
    /// Area, mm².
    pub area: Vec<f32>,
    /// 1 where both sides face metal.
    pub both: Vec<f32>,
}

impl LocalPoints {
    fn clear(&mut self) {
        for list in [
            &mut self.x,
            &mut self.y,
            &mut self.z,
            &mut self.nx,
            &mut self.ny,
            &mut self.nz,
            &mut self.area,
            &mut self.both,
        ] {
            list.clear();
        }
    }

    /// Number of points.
    pub fn len(&self) -> usize {
        self.x.len()
    }

    /// True without any point.
    pub fn is_empty(&self) -> bool {
        self.x.is_empty()
    }

    /// Gathers the points within reach of the elevation beam and `range_mm` ahead.
    pub fn gather(&mut self, scene: &Scene, placement: &Placement, range_mm: f64) {
        self.clear();
        let [cx, cy] = placement.centre_mm.map(|v| v as f32);
        let [fx, fy] = placement.forward.map(|v| v as f32);
        let (depth_start, depth_sign) = placement.lower_face_mm.map_or((0.0, 1.0), |t| (t as f32, -1.0));
        let (side, range) = (LARGEST_OFF_PLANE_MM as f32 - 0.01, range_mm as f32);
        // Beam strip across the plate: |y - cy| <= |fy| range + |fx| side.
        let reach = fy.abs() * range + fx.abs() * side + 0.1;
        let s = &scene.surface;
        for i in s.between(cy - reach, cy + reach) {
            let (dx, dy) = (s.x[i] - cx, s.y[i] - cy);
            let (x, y) = (dx * fx + dy * fy, dy * fx - dx * fy);
            if y.abs() >= side || x < 0.0 || x > range {
                continue;
            }
            self.x.push(x);
            self.y.push(y);
            self.z.push(depth_start + depth_sign * s.z[i]);
            self.nx.push(s.nx[i] * fx + s.ny[i] * fy);
            self.ny.push(s.ny[i] * fx - s.nx[i] * fy);
            self.nz.push(depth_sign * s.nz[i]);
            self.area.push(s.area[i]);
            self.both.push(s.both[i]);
        }
    }
}

/// Stretches of a face, along the beam, where it is not flat; edges are soft over ±0.5 mm because a beam bounces off a
/// Fresnel zone and not off a point.
#[derive(Debug, Default)]
pub struct BrokenStretches(Vec<[f32; 2]>);

impl BrokenStretches {
    /// The stretches that the beam plane crosses.
    pub fn cross(patches: &[NotFlat], placement: &Placement) -> Self {
        let [cx, cy] = placement.centre_mm;
        let [fx, fy] = placement.forward;
        let clip = |patch: &NotFlat| {
            // The beam line c + s f inside the rectangle, slab by slab.
            let slab = |start: f64, slope: f64, [low, high]: [f64; 2]| {
                if slope.abs() < 1e-9 {
                    let inside = start >= low && start <= high;
                    return if inside { [f64::NEG_INFINITY, f64::INFINITY] } else { [1.0, 0.0] };
                }
                let (a, b) = ((low - start) / slope, (high - start) / slope);
                [a.min(b), a.max(b)]
            };
            let (along, across) = (slab(cx, fx, patch.x_mm), slab(cy, fy, patch.y_mm));
            let [from, to] = [along[0].max(across[0]), along[1].min(across[1])];
            (to > from && to > 0.0).then_some([from as f32, to as f32])
        };
        Self(patches.iter().filter_map(clip).collect())
    }

    /// 1 where the face is flat, 0 inside a broken stretch.
    #[inline(always)]
    pub fn flat(&self, x: f32) -> f32 {
        let mut flat = 1.0;
        for &[from, to] in &self.0 {
            let inside = ((x - from) + 0.5).clamp(0.0, 1.0) * ((to - x) + 0.5).clamp(0.0, 1.0);
            flat *= 1.0 - inside;
        }
        flat
    }
}
