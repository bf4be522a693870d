//! Curved patches cut into cells, one surface point a cell, and spheres, heard as a whole.
//!
//! A patch is a function of two parameters; the cutting does not change the shape. Points stand in the middle of their
//! cells: less than half a wavelength apart, a regular sum is nearly the integral in every direction. Strewn points made a
//! smooth weld look rough to a skewed probe, by up to 15 dB.

use acoustics::scene::{Cavity, CavityForm, FaceRun, RimPoint, Sides, SurfacePoint};

/// Parts in which a patch's lines are measured before it is cut.
const MEASURED_IN: u32 = 48;
/// What such a measure may miss of a rough line.
const MARGIN: f64 = 1.03;

/// Longest piece of a rim, in units of the point spacing.
const LONGEST_RIM_SPACINGS: f64 = 1.5;
/// How often a piece of a rim may be halved.
const MOST_HALVINGS: usize = 12;

/// Cells in u and v by whose corners a patch is bounded: always the same, so that a box hangs on no spacing.
const BOUNDED_ON: [u32; 2] = [320, 24];

pub(crate) type Vector = [f64; 3];

fn minus(a: Vector, b: Vector) -> Vector {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

fn cross(a: Vector, b: Vector) -> Vector {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

fn length(a: Vector) -> f64 {
    f64::sqrt(a[0] * a[0] + a[1] * a[1] + a[2] * a[2])
}

/// Part of a stress-free surface.
pub(crate) enum Piece {
    /// A curved patch.
    Patch(Patch),
    /// A whole sphere, hollow.
    Sphere {
        /// Centre, mm.
        centre: Vector,
        /// Radius, mm.
        radius_mm: f64,
    },
}

/// The place of each parameter pair (0..=1 each), mm.
pub(crate) type Place = Box<dyn Fn(f64, f64) -> Vector>;
/// The share of its area that a place answers with, 0..=1.
pub(crate) type Weight = Box<dyn Fn(f64, f64) -> f64>;

/// A curved patch over the unit square of u and v. For `Sides::One`, (d/du × d/dv) must point into the metal.
pub(crate) struct Patch {
    pub(crate) place: Place,
    pub(crate) weight: Weight,
    pub(crate) sides: Sides,
    /// Least number of cells in u and v (a closed cross-section needs some to be round).
    pub(crate) least_cells: [u32; 2],
    /// Cell size in u and v in units of the point spacing.
    pub(crate) stretch: [f64; 2],
    /// Whether the edges at v = 0 and v = 1 are rims of a thin gap. Such an edge must be sharp: the rim's own answer takes
    /// the place of what a sharp edge gives.
    pub(crate) rims: [bool; 2],
    /// Whether the face is smooth enough for a Rayleigh wave to run from rim to rim; on rough faces it is scattered.
    pub(crate) smooth: bool,
}

impl Patch {
    pub(crate) fn new(sides: Sides, place: Place) -> Self {
        Self {
            place,
            weight: Box::new(|_, _| 1.0),
            sides,
            least_cells: [2; 2],
            stretch: [1.0; 2],
            rims: [false; 2],
            smooth: false,
        }
    }

    /// Number of cells in u and v so that none is longer than the spacing.
    fn cells(&self, spacing_mm: f64) -> [u32; 2] {
        let share = |i: u32| f64::from(i) / f64::from(MEASURED_IN);
        let longest = |line: &dyn Fn(f64, f64) -> Vector| {
            let part = |i: u32, j: u32| length(minus(line(share(i + 1), share(j)), line(share(i), share(j))));
            (0..=MEASURED_IN).map(|j| (0..MEASURED_IN).map(|i| part(i, j)).sum()).fold(0.0, f64::max)
        };
        let lengths = [longest(&|s, t| (self.place)(s, t)), longest(&|s, t| (self.place)(t, s))];
        std::array::from_fn(|i| {
            let cells = libm::ceil(MARGIN * lengths[i] / (spacing_mm * self.stretch[i]));
            (cells as u32).max(self.least_cells[i])
        })
    }

    /// Corners of all cells, rows along v.
    fn corners(&self, [nu, nv]: [u32; 2]) -> Vec<Vec<Vector>> {
        (0..=nv)
            .map(|j| {
                let v = f64::from(j) / f64::from(nv);
                (0..=nu).map(|i| (self.place)(f64::from(i) / f64::from(nu), v)).collect()
            })
            .collect()
    }

    /// Where the rims are cut, shares of u: like the cells, and finer where an edge turns away from the weld.
    fn rim_cuts(&self, cells: u32, longest_mm: f64) -> Vec<f64> {
        let too_long = |from: f64, to: f64| {
            let edge = |v: f64| length(minus((self.place)(to, v), (self.place)(from, v))) > longest_mm;
            (self.rims[0] && edge(0.0)) || (self.rims[1] && edge(1.0))
        };
        let mut cuts = vec![0.0];
        for i in 0..cells {
            // Stretches still to be taken, the nearest last.
            let mut ahead = vec![f64::from(i + 1) / f64::from(cells)];
            let mut from = cuts[cuts.len() - 1];
            while let Some(&to) = ahead.last() {
                if too_long(from, to) && ahead.len() < MOST_HALVINGS {
                    ahead.push(0.5 * (from + to));
                } else {
                    ahead.pop();
                    cuts.push(to);
                    from = to;
                }
            }
        }
        cuts
    }

    /// The rim at v = 0 or v = 1, in pieces between cuts of u; `None` for pieces that fade away. A piece's direction into
    /// the face is that across the outermost of `rows` rows of cells.
    fn rim(&self, edge: usize, cuts: &[f64], rows: u32) -> Vec<Option<RimPoint>> {
        let (v, inner) =
            if edge == 0 { (0.0, 1.0 / f64::from(rows)) } else { (1.0, 1.0 - 1.0 / f64::from(rows)) };
        cuts.windows(2)
            .map(|ends| {
                let (from, to) = ((self.place)(ends[0], v), (self.place)(ends[1], v));
                let middle = 0.5 * (ends[0] + ends[1]);
                let (centre, inside) = ((self.place)(middle, v), (self.place)(middle, inner));
                let (along, across) = (minus(to, from), minus(inside, centre));
                let normal = cross(along, across);
                let inward = cross(normal, along);
                let weight = (self.weight)(middle, v);
                let sound = length(normal) > 0.0 && weight > 0.0;
                sound.then(|| RimPoint {
                    position_mm: centre,
                    inward: inward.map(|c| c / length(inward)),
                    normal: normal.map(|c| c / length(normal)),
                    length_mm: length(along) * weight,
                })
            })
            .collect()
    }

    fn rims(&self, spacing_mm: f64, rims: &mut Vec<RimPoint>, runs: &mut Vec<FaceRun>) {
        if self.rims == [false; 2] {
            return;
        }
        let [nu, nv] = self.cells(spacing_mm);
        let cuts = self.rim_cuts(nu, LONGEST_RIM_SPACINGS * spacing_mm);
        let edges = [0, 1].map(|edge| if self.rims[edge] { self.rim(edge, &cuts, nv) } else { Vec::new() });
        rims.extend(edges.iter().flatten().flatten());
        if self.smooth {
            runs.extend(
                edges[0]
                    .iter()
                    .zip(&edges[1])
                    .filter_map(|(from, to)| Some(FaceRun { from: (*from)?, to: (*to)? })),
            );
        }
    }

    fn points(&self, spacing_mm: f64, out: &mut Vec<SurfacePoint>) {
        let [nu, nv] = self.cells(spacing_mm);
        let corners = self.corners([nu, nv]);
        for (j, rows) in corners.windows(2).enumerate() {
            for (i, (low, high)) in rows[0].windows(2).zip(rows[1].windows(2)).enumerate() {
                let (a, b, c, d) = (low[0], low[1], high[1], high[0]);
                // Half the cross product of its diagonals is the (mean) vector area of a four-sided cell.
                let normal = cross(minus(c, a), minus(d, b)).map(|n| n / 2.0);
                let area = length(normal);
                let weight =
                    (self.weight)((i as f64 + 0.5) / f64::from(nu), (j as f64 + 0.5) / f64::from(nv));
                if area * weight <= 0.0 {
                    continue;
                }
                out.push(SurfacePoint {
                    position_mm: std::array::from_fn(|k| 0.25 * (a[k] + b[k] + c[k] + d[k])),
                    normal: normal.map(|n| n / area),
                    area_mm2: area * weight,
                    sides: self.sides,
                });
            }
        }
    }
}

/// A box, mm: from and to in x, y, z.
pub(crate) type Bounds = [[f64; 2]; 3];

/// The box of nothing, to be widened.
pub(crate) const NOWHERE: Bounds = [[f64::INFINITY, f64::NEG_INFINITY]; 3];

pub(crate) fn widen(bounds: &mut Bounds, place: Vector) {
    for (range, value) in bounds.iter_mut().zip(place) {
        *range = [range[0].min(value), range[1].max(value)];
    }
}

impl Piece {
    /// Cuts the piece into points.
    pub(crate) fn points(&self, spacing_mm: f64, out: &mut Vec<SurfacePoint>) {
        match self {
            Self::Patch(patch) => patch.points(spacing_mm, out),
            // Heard as a whole.
            Self::Sphere { .. } => {}
        }
    }

    /// The round cavity that the piece is.
    pub(crate) fn cavity(&self) -> Option<Cavity> {
        match self {
            Self::Patch(_) => None,
            Self::Sphere { centre, radius_mm } => {
                Some(Cavity { position_mm: *centre, diameter_mm: 2.0 * radius_mm, form: CavityForm::Ball })
            }
        }
    }

    /// Adds the rims of thin gaps, and the smooth faces between them.
    pub(crate) fn rims(&self, spacing_mm: f64, rims: &mut Vec<RimPoint>, runs: &mut Vec<FaceRun>) {
        if let Self::Patch(patch) = self {
            patch.rims(spacing_mm, rims, runs);
        }
    }

    /// Widens the box so that the piece lies in it.
    pub(crate) fn bound(&self, bounds: &mut Bounds) {
        match self {
            Self::Patch(patch) => {
                for corner in patch.corners(BOUNDED_ON).into_iter().flatten() {
                    widen(bounds, corner);
                }
            }
            Self::Sphere { centre, radius_mm } => {
                for sign in [-1.0, 1.0] {
                    widen(bounds, centre.map(|c| c + sign * radius_mm));
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cut(piece: &Piece, spacing_mm: f64) -> Vec<SurfacePoint> {
        let mut out = Vec::new();
        piece.points(spacing_mm, &mut out);
        out
    }

    fn area(points: &[SurfacePoint]) -> f64 {
        points.iter().map(|point| point.area_mm2).sum()
    }

    #[test]
    fn slanted_rectangle_has_its_area_normal_and_spacing() {
        // 10 by 4 in parameters, sheared up by 45 degrees: 10 by 4·√2.
        let patch = Patch::new(Sides::One, Box::new(|u, v| [4.0 * v, 10.0 * u, -4.0 * v]));
        let points = cut(&Piece::Patch(patch), 0.3);
        assert!((area(&points) / (40.0 * std::f64::consts::SQRT_2) - 1.0).abs() < 1e-12);
        for point in &points {
            assert!((point.normal[0] - point.normal[2]).abs() < 1e-12);
            assert!(point.area_mm2 <= 0.3 * 0.3 + 1e-12, "a cell is longer than the spacing");
        }
    }
}
