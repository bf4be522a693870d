//! Reflectors of the cases as surface points and rims.

use acoustics::oracle;
use acoustics::scene::{Cavity, CavityForm, FaceRun, NotFlat, RimPoint, Sides, Surface, SurfacePoint};

use super::file::Object;

/// Distance of surface points, mm: well under a third of the wavelength.
const STEP_MM: f64 = 0.08;

/// What a probe can hear of the objects of a case.
#[derive(Default)]
pub struct Reflectors {
    /// Surface points.
    pub points: Vec<SurfacePoint>,
    /// Rims of thin gaps.
    pub rims: Vec<RimPoint>,
    /// Smooth faces between rims.
    pub runs: Vec<FaceRun>,
    /// Round cavities.
    pub cavities: Vec<Cavity>,
    /// Parts of the upper face that are not flat.
    pub upper_not_flat: Vec<NotFlat>,
    /// Parts of the lower face that are not flat.
    pub lower_not_flat: Vec<NotFlat>,
}

impl Reflectors {
    /// All objects of a case; everything is 1 mm long across the beam plane.
    pub fn of(objects: &[Object], thickness_mm: Option<f64>) -> Self {
        let mut all = Self::default();
        for object in objects {
            match object {
                Object::Circle { c, r } => all.circle(*c, *r),
                Object::Poly { pts } => all.outline(pts),
                Object::Slit { a, b } => all.slit(*a, *b, thickness_mm),
                Object::Cap { xc, w, h } => all.arc(*xc, *w, *h, None),
                Object::Bead { xc, w, h } => all.arc(*xc, *w, *h, Some(thickness_mm.unwrap_or(0.0))),
            }
        }
        all
    }

    /// For the fast frames.
    pub fn surface(&self) -> Surface {
        Surface::from_points(self.points.iter().copied())
            .with_rims(self.rims.clone(), self.runs.clone())
            .with_cavities(self.cavities.clone())
    }

    /// For the exact sum.
    pub fn exact(&self) -> oracle::Reflectors<'_> {
        oracle::Reflectors {
            points: &self.points,
            rims: &self.rims,
            runs: &self.runs,
            cavities: &self.cavities,
        }
    }

    fn point(&mut self, [x, z]: [f64; 2], [nx, nz]: [f64; 2], length_mm: f64, sides: Sides) {
        self.points.push(SurfacePoint {
            position_mm: [x, 0.0, z],
            normal: [nx, 0.0, nz],
            area_mm2: length_mm,
            sides,
        });
    }

    /// A round hole.
    pub fn circle(&mut self, [cx, cz]: [f64; 2], radius: f64) {
        self.cavities.push(Cavity {
            position_mm: [cx, 0.0, cz],
            diameter_mm: 2.0 * radius,
            form: CavityForm::Bore { direction: [0.0, 1.0, 0.0], length_mm: 1.0 },
        });
    }

    fn segment(&mut self, a: [f64; 2], b: [f64; 2], normal: [f64; 2], sides: Sides) {
        let length = libm::hypot(b[0] - a[0], b[1] - a[1]);
        let count = libm::ceil(length / STEP_MM).max(1.0);
        for k in 0..count as u32 {
            let s = (f64::from(k) + 0.5) / count;
            let place = [a[0] + s * (b[0] - a[0]), a[1] + s * (b[1] - a[1])];
            self.point(place, normal, length / count, sides);
        }
    }

    fn outline(&mut self, corners: &[[f64; 2]]) {
        let edges = || corners.iter().zip(corners.iter().cycle().skip(1)).map(|(&a, &b)| (a, b));
        let area: f64 = edges().map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum();
        for (a, b) in edges() {
            let length = libm::hypot(b[0] - a[0], b[1] - a[1]);
            if length > 0.0 {
                let sign = area.signum() / length;
                let normal = [sign * (b[1] - a[1]), -sign * (b[0] - a[0])];
                self.segment(a, b, normal, Sides::One);
            }
        }
    }

    fn slit(&mut self, a: [f64; 2], b: [f64; 2], thickness_mm: Option<f64>) {
        let floor = thickness_mm.unwrap_or(f64::INFINITY);
        // An end beyond the lower face opens there.
        let clip = |from: [f64; 2], to: [f64; 2]| {
            if to[1] <= floor {
                return to;
            }
            let s = (floor - from[1]) / (to[1] - from[1]);
            [from[0] + s * (to[0] - from[0]), floor]
        };
        let opens = |end: [f64; 2]| end[1] >= floor - 0.02 || end[1] <= 0.02;
        let (from, to) = (clip(b, a), clip(a, b));
        let length = libm::hypot(to[0] - from[0], to[1] - from[1]);
        let along = [(to[0] - from[0]) / length, (to[1] - from[1]) / length];
        let normal = [along[1], -along[0]];
        self.segment(from, to, normal, Sides::Both);
        let rim = |[x, z]: [f64; 2], sign: f64| RimPoint {
            position_mm: [x, 0.0, z],
            inward: [sign * along[0], 0.0, sign * along[1]],
            normal: [normal[0], 0.0, normal[1]],
            length_mm: 1.0,
        };
        let (first, last) = (rim(from, 1.0), rim(to, -1.0));
        let (first_opens, last_opens) = (opens(a), opens(b));
        self.rims.extend((!first_opens).then_some(first));
        self.rims.extend((!last_opens).then_some(last));
        if !first_opens && !last_opens {
            self.runs.push(FaceRun { from: first, to: last });
        }
    }

    /// A circular arc above the upper face, or below a lower face at `floor`.
    fn arc(&mut self, xc: f64, width: f64, height: f64, floor: Option<f64>) {
        let radius = (0.25 * width * width + height * height) / (2.0 * height);
        let half = libm::asin((0.5 * width / radius).min(1.0));
        let count = libm::ceil(2.0 * radius * half / STEP_MM);
        let down = if floor.is_some() { 1.0 } else { -1.0 };
        let centre = floor.unwrap_or(0.0) - down * (radius - height);
        for k in 0..count as u32 {
            let angle = half * (2.0 * (f64::from(k) + 0.5) / count - 1.0);
            let (s, c) = (libm::sin(angle), libm::cos(angle));
            let place = [xc + radius * s, centre + down * radius * c];
            self.point(place, [-s, -down * c], 2.0 * radius * half / count, Sides::One);
        }
        let patch = NotFlat { x_mm: [xc - 0.5 * width, xc + 0.5 * width], y_mm: [-1e3, 1e3] };
        if floor.is_some() { self.lower_not_flat.push(patch) } else { self.upper_not_flat.push(patch) }
    }
}
