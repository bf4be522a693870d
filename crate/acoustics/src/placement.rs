//! Where the aperture stands over a scene, and the scene's points as it sees them.

use crate::elevation_table::LARGEST_OFF_PLANE_MM;
use crate::scene::{NotFlat, RimPoint, Scene};

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
    fn lists(&mut self) -> [&mut Vec<f32>; 8] {
        [
            &mut self.x,
            &mut self.y,
            &mut self.z,
            &mut self.nx,
            &mut self.ny,
            &mut self.nz,
            &mut self.area,
            &mut self.both,
        ]
    }

    pub(crate) fn clear(&mut self) {
        self.lists().into_iter().for_each(Vec::clear);
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
        let view = View::new(placement, range_mm);
        let s = &scene.surface;
        for i in s.between(view.along[0], view.along[1]) {
            let Some(place) = view.place([s.x[i], s.y[i], s.z[i]]) else { continue };
            self.push(place, view.turn([s.nx[i], s.ny[i], s.nz[i]]), s.area[i], s.both[i]);
        }
    }

    fn pop(&mut self) {
        for list in self.lists() {
            list.pop();
        }
    }

    pub(crate) fn push(&mut self, [x, y, z]: [f32; 3], [nx, ny, nz]: [f32; 3], area: f32, both: f32) {
        self.x.push(x);
        self.y.push(y);
        self.z.push(z);
        self.nx.push(nx);
        self.ny.push(ny);
        self.nz.push(nz);
        self.area.push(area);
        self.both.push(both);
    }
}

/// Rims in the frame of the probe: their places as points (area is the length across the beam plane, the normal lies in the
/// plane) and their directions into the gap.
#[derive(Debug, Default)]
pub struct LocalRims {
    /// The places.
    pub points: LocalPoints,
    /// Unit direction into the gap, x and z.
    pub inward: Vec<[f32; 2]>,
}

impl LocalRims {
    /// Empties the list.
    pub fn clear(&mut self) {
        self.points.clear();
        self.inward.clear();
    }

    /// Adds a rim if the beam can reach it and it lies across the beam plane. The theory is two-dimensional: a rim turned
    /// out of the plane by more than 45° counts with nothing, one turned less with the share that lies across.
    pub fn push(&mut self, rim: &RimPoint, view: &View) -> bool {
        let Some(place) = view.place(rim.position_mm.map(|c| c as f32)) else { return false };
        let (inward, normal) =
            (view.turn(rim.inward.map(|c| c as f32)), view.turn(rim.normal.map(|c| c as f32)));
        // Direction of the rim is inward × normal; its share across the plane is the y component.
        let across = (inward[2] * normal[0] - inward[0] * normal[2]).abs();
        if across < core::f32::consts::FRAC_1_SQRT_2 {
            return false;
        }
        let unit = |v: [f32; 3]| {
            let scale = 1.0 / (v[0] * v[0] + v[2] * v[2]).sqrt();
            [v[0] * scale, v[2] * scale]
        };
        let (inward, normal) = (unit(inward), unit(normal));
        self.points.push(place, [normal[0], 0.0, normal[1]], rim.length_mm as f32 * across, 1.0);
        self.inward.push(inward);
        true
    }

    /// Takes the last rim away.
    pub fn pop(&mut self) {
        self.points.pop();
        self.inward.pop();
    }
}

/// What the elevation beam can reach from a stand.
#[derive(Debug)]
pub struct View {
    centre: [f32; 2],
    forward: [f32; 2],
    depth_start: f32,
    depth_sign: f32,
    side: f32,
    range: f32,
    /// Stretch of the weld that can matter, mm from the datum.
    pub along: [f32; 2],
}

impl View {
    /// The view from a stand, `range_mm` ahead.
    pub fn new(placement: &Placement, range_mm: f64) -> Self {
        let centre = placement.centre_mm.map(|v| v as f32);
        let forward = placement.forward.map(|v| v as f32);
        let (depth_start, depth_sign) = placement.lower_face_mm.map_or((0.0, 1.0), |t| (t as f32, -1.0));
        let (side, range) = (LARGEST_OFF_PLANE_MM as f32 - 0.01, range_mm as f32);
        // Beam strip across the plate: |y - cy| <= |fy| range + |fx| side.
        let reach = forward[1].abs() * range + forward[0].abs() * side + 0.1;
        Self {
            centre,
            forward,
            depth_start,
            depth_sign,
            side,
            range,
            along: [centre[1] - reach, centre[1] + reach],
        }
    }

    /// A direction in the frame of the probe.
    #[inline(always)]
    pub(crate) fn turn(&self, [x, y, z]: [f32; 3]) -> [f32; 3] {
        let [fx, fy] = self.forward;
        [x * fx + y * fy, y * fx - x * fy, self.depth_sign * z]
    }

    /// A place in the frame of the probe; `None` out of reach.
    #[inline(always)]
    pub(crate) fn place(&self, [x, y, z]: [f32; 3]) -> Option<[f32; 3]> {
        let ([cx, cy], [fx, fy]) = (self.centre, self.forward);
        let (dx, dy) = (x - cx, y - cy);
        let (x, y) = (dx * fx + dy * fy, dy * fx - dx * fy);
        let outside = y.abs() >= self.side || x < 0.0 || x > self.range;
        (!outside).then_some([x, y, self.depth_start + self.depth_sign * z])
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
