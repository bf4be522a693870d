//! What reflects: stress-free surfaces as sets of points, round cavities, and the two faces of the plate.

use crate::cavity::Shape;
use crate::material::Solid;
use crate::order::sort_by;

/// Largest useful distance between neighbouring surface points, as a part of the shear wavelength.
pub const POINT_SPACING_WAVELENGTHS: f64 = 1.0 / 3.0;

/// Which sides of a surface face metal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sides {
    /// Metal on the side the normal points to only: a void, the cap, the root bead.
    One,
    /// Metal on both sides: a crack or another thin gap.
    Both,
}

/// A patch of surface, small against the wavelength.
#[derive(Clone, Copy, Debug)]
pub struct SurfacePoint {
    /// Place in plate coordinates (x across the weld, y along it, z down from the upper surface), mm.
    pub position_mm: [f64; 3],
    /// Unit normal, pointing into the metal.
    pub normal: [f64; 3],
    /// Area, mm². A soft edge has less area than its outline; rims weigh a point down, never up.
    pub area_mm2: f64,
    /// Which sides face metal.
    pub sides: Sides,
}

/// A short piece of the rim of a thin gap (the tip of a crack).
#[derive(Clone, Copy, Debug)]
pub struct RimPoint {
    /// Place in plate coordinates, mm.
    pub position_mm: [f64; 3],
    /// Unit direction in the face, square to the rim, from the rim into the gap.
    pub inward: [f64; 3],
    /// Unit normal of the face, either side.
    pub normal: [f64; 3],
    /// Length of the piece, mm.
    pub length_mm: f64,
}

/// A smooth flat face between two opposite pieces of rim: a Rayleigh wave runs along it from one to the other.
#[derive(Clone, Copy, Debug)]
pub struct FaceRun {
    /// One rim.
    pub from: RimPoint,
    /// The other, whose `inward` points back.
    pub to: RimPoint,
}

/// A round cavity, or a short piece of a long one: heard as a whole by its exact series, not by points of its wall.
#[derive(Clone, Copy, Debug)]
pub struct Cavity {
    /// Its centre in plate coordinates, mm.
    pub position_mm: [f64; 3],
    /// Diameter, mm.
    pub diameter_mm: f64,
    /// Which shape.
    pub form: CavityForm,
}

/// Shape of a cavity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CavityForm {
    /// A sphere.
    Ball,
    /// A piece of a cylinder; pieces longer than a third of the wavelength are heard as gratings.
    Bore {
        /// Unit direction of its axis.
        direction: [f64; 3],
        /// Length of the piece, mm.
        length_mm: f64,
    },
}

impl CavityForm {
    /// The shape alone.
    pub fn shape(self) -> Shape {
        match self {
            Self::Ball => Shape::Ball,
            Self::Bore { .. } => Shape::Bore,
        }
    }
}

/// Surface points in structure-of-arrays form, sorted along the weld.
#[derive(Clone, Debug, Default)]
pub struct Surface {
    pub(crate) x: Vec<f32>,
    pub(crate) y: Vec<f32>,
    pub(crate) z: Vec<f32>,
    pub(crate) nx: Vec<f32>,
    pub(crate) ny: Vec<f32>,
    pub(crate) nz: Vec<f32>,
    pub(crate) area: Vec<f32>,
    /// 1 where both sides face metal, else 0.
    pub(crate) both: Vec<f32>,
    /// Rims of thin gaps, sorted along the weld.
    pub(crate) rims: Vec<RimPoint>,
    /// Faces along which Rayleigh waves run, sorted along the weld.
    pub(crate) runs: Vec<FaceRun>,
    /// Round cavities, sorted along the weld.
    pub(crate) cavities: Vec<Cavity>,
}

impl Surface {
    /// Gathers points; the order given among points of equal y is kept, so equal input gives equal frames.
    pub fn from_points(points: impl IntoIterator<Item = SurfacePoint>) -> Self {
        let mut points: Vec<SurfacePoint> = points.into_iter().collect();
        sort_by(&mut points, |a, b| a.position_mm[1].total_cmp(&b.position_mm[1]));
        let mut surface = Self::default();
        for point in points {
            let ([x, y, z], [nx, ny, nz]) = (point.position_mm, point.normal);
            surface.x.push(x as f32);
            surface.y.push(y as f32);
            surface.z.push(z as f32);
            surface.nx.push(nx as f32);
            surface.ny.push(ny as f32);
            surface.nz.push(nz as f32);
            surface.area.push(point.area_mm2 as f32);
            surface.both.push(if point.sides == Sides::Both { 1.0 } else { 0.0 });
        }
        surface
    }

    /// Adds the rims of thin gaps and the smooth faces between opposite rims.
    #[must_use]
    pub fn with_rims(mut self, mut rims: Vec<RimPoint>, mut runs: Vec<FaceRun>) -> Self {
        sort_by(&mut rims, |a, b| a.position_mm[1].total_cmp(&b.position_mm[1]));
        sort_by(&mut runs, |a, b| a.from.position_mm[1].total_cmp(&b.from.position_mm[1]));
        (self.rims, self.runs) = (rims, runs);
        self
    }

    /// Adds round cavities.
    #[must_use]
    pub fn with_cavities(mut self, mut cavities: Vec<Cavity>) -> Self {
        sort_by(&mut cavities, |a, b| a.position_mm[1].total_cmp(&b.position_mm[1]));
        self.cavities = cavities;
        self
    }

    /// Number of points.
    pub fn len(&self) -> usize {
        self.x.len()
    }

    /// True without any point.
    pub fn is_empty(&self) -> bool {
        self.x.is_empty()
    }

    /// The points with y in `from..to` (mm), as a range of indices.
    pub(crate) fn between(&self, from: f32, to: f32) -> core::ops::Range<usize> {
        self.y.partition_point(|&y| y < from)..self.y.partition_point(|&y| y < to)
    }
}

/// A rectangle of a plate face that is not the flat face: cap, root bead, gap. No beam bounces there as off a
/// flat face; what it gives back comes from its surface points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NotFlat {
    /// Across the weld, from and to, mm.
    pub x_mm: [f64; 2],
    /// Along the weld, from and to, mm.
    pub y_mm: [f64; 2],
}

/// The backscatter of the metal's own grains.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grain {
    /// Seed of the speckle; the same seed gives the same speckle at the same place.
    pub seed: u64,
    /// Mean grain echo relative to a 3 mm side-drilled hole at 40 mm of sound path, dB.
    pub level_db: f64,
}

/// All that a probe can hear: metal between two faces, and surfaces in it.
#[derive(Clone, Debug)]
pub struct Scene {
    /// The metal.
    pub solid: Solid,
    /// Distance of the two faces, mm; `None` is a half space (no back wall).
    pub thickness_mm: Option<f64>,
    /// Everything that reflects.
    pub surface: Surface,
    /// Parts of the upper face that are not flat.
    pub upper_not_flat: Vec<NotFlat>,
    /// Parts of the lower face that are not flat.
    pub lower_not_flat: Vec<NotFlat>,
    /// Grain noise; `None` for noise-free metal.
    pub grain: Option<Grain>,
    /// Whether longitudinal waves are followed: those the probe sends near the first critical angle, and those that shear
    /// waves make at the root bead.
    pub longitudinal: bool,
}
