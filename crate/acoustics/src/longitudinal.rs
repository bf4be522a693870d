//! Echoes of longitudinal waves: sent by the probe where a beam is steered near the first critical angle, and made of shear
//! waves at the root bead, from where they run up to the cap and back the same way.
//!
//! Seen from the lower face, cap and bead change parts.
//!
//! Both are rays with an end at a surface point, heard by the beams like a shear ray that reaches the face at the same
//! place, from the same wedge angle and with the same spread; only their time and strength differ.
//!
//! A longitudinal wave answers straight back with 2 cos θ c_L/c_T where a shear wave answers with 2 cos θ: the traction of
//! the receiver's wave is ρ c_L ω instead of ρ c_T ω. Waves that come home by another longitudinal way than they went,
//! or as shear waves, are left out.

use crate::axes::Axes;
use crate::complex::{Complex, Complex32};
use crate::interface::{FreeSurface, longitudinal_over_shear};
use crate::leg_rays::LegRays;
use crate::material::Solid;
use crate::order::sort_indices;
use crate::placement::LocalPoints;

/// A shallower ray than this along the face is not followed, cosine.
const SHALLOWEST: f64 = 0.08;
/// Closest to a focus that ray tubes are believed: the amplitude rises at most to the root of the reciprocal.
const NARROWEST: f32 = 0.15;
/// Every so many of the cap's points answer, with as many times their area: they lie dense for the longer wave.
const EVERY: usize = 2;

/// One way to a surface point by which sound also comes home.
#[derive(Clone, Copy, Debug)]
pub struct Way {
    /// Index of the surface point.
    pub point: usize,
    /// Sine in the wedge.
    pub wedge_sine: f32,
    /// One-way time of the shear ray that beams hear alike, µs.
    pub alike: f32,
    /// Two-way time beyond that ray's, µs; negative where the longitudinal wave is earlier.
    pub delay: f32,
    /// Distance that diffracts alike, mm.
    pub reach: f32,
    /// Displacement over that of the shear ray.
    pub factor: Complex32,
    /// Area times kernel.
    pub strength: f32,
}

/// Tables and lists for the longitudinal ways of a set-up.
#[derive(Debug)]
pub struct Longitudinal {
    solid: Solid,
    speed: f64,
    nodes: Vec<Node>,
    /// The ways of the last frame.
    pub ways: Vec<Way>,
}

/// A place on the root bead with the shear ray that reaches it and the longitudinal ray that leaves it.
#[derive(Clone, Copy, Debug)]
struct Node {
    place: [f32; 2],
    direction: [f32; 2],
    wedge_sine: f32,
    time: f32,
    reach: f32,
    /// Displacement of the longitudinal over that of the shear wave.
    made: Complex32,
    /// Curvature of the longitudinal wave, 1/mm; negative where it runs to a focus.
    curvature: f32,
}

impl Longitudinal {
    /// For a metal.
    pub fn new(solid: &Solid) -> Self {
        Self { solid: *solid, speed: solid.longitudinal_mm_per_us, nodes: Vec::new(), ways: Vec::new() }
    }

    /// Finds the ways to all points of a scene of this thickness, `direct` being its shear rays on the direct leg.
    pub fn follow(&mut self, points: &LocalPoints, direct: &LegRays, thickness: Option<f32>, axes: &Axes) {
        self.ways.clear();
        // The grid hears nothing steeper than its first node.
        if axes.sine_start < axes.wedge_speed / self.speed {
            self.follow_direct(points, axes);
        }
        if let Some(thickness) = thickness {
            self.meet_bead(points, direct, thickness, axes);
            self.run_to_cap(points, thickness, axes);
        }
    }

    /// Longitudinal rays straight from the probe, in double precision by Newton steps like those of [`crate::ray`].
    fn follow_direct(&mut self, points: &LocalPoints, axes: &Axes) {
        let (kappa, h) = (axes.wedge_speed / self.speed, axes.height_mm);
        let shear_kappa = axes.kappa;
        for point in 0..points.len() {
            let (x, z) = (f64::from(points.x[point]), f64::from(points.z[point]));
            if z < 0.2 || x <= 0.0 {
                continue;
            }
            let mut q = x / (z + 0.82 * kappa * h);
            for _ in 0..4 {
                let square = 1.0 + (1.0 - kappa * kappa) * q * q;
                let root = f64::sqrt(square);
                let residual = z * q + h * kappa * q / root - x;
                q -= residual / (z + h * kappa / (square * root));
            }
            let c = 1.0 / f64::sqrt(1.0 + q * q);
            let (s, u) = (q * c, kappa * q * c);
            if c < SHALLOWEST || u < axes.sine_start {
                continue;
            }
            let k1 = f64::sqrt(1.0 - u * u);
            let (r, wedge) = (z / c, h / k1);
            // The shear ray of the same wedge angle whose tube is as wide: equal r c_wave/cos².
            let shear = u / shear_kappa;
            let alike = r * self.speed / (c * c) * (1.0 - shear * shear) / axes.speed;
            let alike = wedge / axes.wedge_speed + alike / axes.speed;
            let time = wedge / axes.wedge_speed + r / self.speed;
            let facing = -(s as f32 * points.nx[point] + c as f32 * points.nz[point]);
            let lit = if points.both[point] > 0.5 { facing.abs() } else { facing };
            if lit > 0.0 {
                self.ways.push(Way {
                    point,
                    wedge_sine: u as f32,
                    alike: alike as f32,
                    delay: 2.0 * (time - alike) as f32,
                    reach: (r * self.speed / axes.speed + shear_kappa * wedge) as f32,
                    factor: [longitudinal_over_shear(&self.solid, s / self.speed) as f32, 0.0],
                    strength: self.kernel(lit, axes) * points.area[point],
                });
            }
        }
    }

    /// Straight back, in the units of the shear kernel.
    fn kernel(&self, cosine: f32, axes: &Axes) -> f32 {
        -2.0 * cosine * (self.speed / axes.speed) as f32
    }

    /// The row of root bead points in the beam plane, with what leaves them.
    fn meet_bead(&mut self, points: &LocalPoints, direct: &LegRays, thickness: f32, axes: &Axes) {
        self.nodes.clear();
        let beads = (0..points.len()).filter(|&i| points.z[i] >= thickness && points.both[i] < 0.5);
        let Some(row) = beads.clone().map(|i| points.y[i].abs()).min_by(f32::total_cmp) else { return };
        let mut row: Vec<usize> = beads.filter(|&i| points.y[i].abs() <= row + 0.1).collect();
        sort_indices(&mut row, &|a, b| points.x[a].total_cmp(&points.x[b]));
        for ends in row.windows(3) {
            let [before, i, after] = [ends[0], ends[1], ends[2]];
            if let Some(node) = self.node(points, direct, [before, i, after], axes) {
                self.nodes.push(node);
            }
        }
    }

    fn node(
        &self,
        points: &LocalPoints,
        direct: &LegRays,
        [before, i, after]: [usize; 3],
        axes: &Axes,
    ) -> Option<Node> {
        let unit = |i: usize| {
            let scale = 1.0 / (points.nx[i] * points.nx[i] + points.nz[i] * points.nz[i]).sqrt();
            [points.nx[i] * scale, points.nz[i] * scale]
        };
        let n = unit(i);
        let (sine, cosine) = (direct.sine[i], direct.cosine[i]);
        let c = -(sine * n[0] + cosine * n[1]);
        // Along the face, to the right of the normal as the shear wave runs.
        let along = [-n[1], n[0]];
        let s = sine * along[0] + cosine * along[1];
        let made_sine = s * (self.speed / axes.speed) as f32;
        if c <= 0.0 || made_sine.abs() > 0.98 || direct.wedge_sine[i] <= 0.0 {
            return None;
        }
        let made_cosine = (1.0 - made_sine * made_sine).sqrt();
        let direction =
            [made_sine * along[0] + made_cosine * n[0], made_sine * along[1] + made_cosine * n[1]];
        // Only what runs up counts.
        if direction[1] > -0.3 {
            return None;
        }
        let ([ax, az], [bx, bz]) = (unit(before), unit(after));
        let (dx, dz) = (points.x[after] - points.x[before], points.z[after] - points.z[before]);
        // How much the normal turns along the face; positive where the metal bulges out and the face gathers.
        let bend = -((bx - ax) * dx + (bz - az) * dz) / (dx * dx + dz * dz);
        let (ct, cl) = (axes.speed as f32, self.speed as f32);
        let radius = axes.wave_number as f32 * direct.spread[i] * direct.spread[i];
        // Curvature of the wave after a curved face that changes its speed; the mirror's 1/ρ' = 1/ρ - 2/(R cos θ) for one
        // speed.
        let curvature =
            cl / (made_cosine * made_cosine) * (c * c / ct * radius - (c / ct + made_cosine / cl) * bend);
        let made = FreeSurface::new(&self.solid, f64::from(s.abs())).longitudinal;
        let sign = if s < 0.0 { -1.0 } else { 1.0 };
        Some(Node {
            place: [points.x[i], points.z[i]],
            direction,
            wedge_sine: direct.wedge_sine[i],
            time: direct.time[i],
            reach: direct.reach[i],
            made: [made.re as f32 * sign, made.im as f32 * sign],
            curvature,
        })
    }

    /// From the bead to the points of the cap: each is met by the ray between two neighbouring ones that pass it on both
    /// sides.
    fn run_to_cap(&mut self, points: &LocalPoints, thickness: f32, axes: &Axes) {
        let speed = self.speed as f32;
        let per_shear = speed / axes.speed as f32;
        for point in (0..points.len()).step_by(EVERY) {
            if points.z[point] > 0.0 || points.both[point] > 0.5 {
                continue;
            }
            let aside = |node: &Node| {
                let (dx, dz) = (points.x[point] - node.place[0], points.z[point] - node.place[1]);
                dx * node.direction[1] - dz * node.direction[0]
            };
            for pair in self.nodes.windows(2) {
                let (a, b) = (aside(&pair[0]), aside(&pair[1]));
                let gap = pair[1].place[0] - pair[0].place[0];
                if a * b > 0.0 || a == b || gap > 0.1 * thickness {
                    continue;
                }
                let f = a / (a - b);
                let mix = |p: f32, q: f32| p + f * (q - p);
                let part = |value: fn(&Node) -> f32| mix(value(&pair[0]), value(&pair[1]));
                let place = [part(|n| n.place[0]), part(|n| n.place[1])];
                let (dx, dz) = (points.x[point] - place[0], points.z[point] - place[1]);
                let distance = (dx * dx + dz * dz).sqrt();
                let facing = -(dx * points.nx[point] + dz * points.nz[point]) / distance;
                if facing <= 0.0 {
                    continue;
                }
                let tube = 1.0 + distance * part(|n| n.curvature);
                let width = 1.0 / tube.abs().max(NARROWEST).sqrt();
                let made = Complex::new(
                    f64::from(part(|n| n.made[0]) * width),
                    f64::from(part(|n| n.made[1]) * width),
                );
                // Behind a focus a wave is a quarter period ahead.
                let made = if tube < 0.0 { made * Complex::new(0.0, -1.0) } else { made };
                self.ways.push(Way {
                    point,
                    wedge_sine: part(|n| n.wedge_sine),
                    alike: part(|n| n.time),
                    delay: 2.0 * distance / speed,
                    reach: part(|n| n.reach) + distance * per_shear,
                    factor: [made.re as f32, made.im as f32],
                    strength: self.kernel(facing, axes) * points.area[point] * EVERY as f32,
                });
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Longitudinal;
    use crate::aperture::{Aperture, Coupling};
    use crate::axes::Axes;
    use crate::law::DelayLaw;
    use crate::leg_rays::{LegRays, Plate};
    use crate::material::{Solid, WedgeMaterial};
    use crate::mirror_table::MirrorTable;
    use crate::placement::{BrokenStretches, LocalPoints};
    use crate::ray::Ray;

    const STEEL: Solid = Solid::STEEL;
    const THICKNESS: f64 = 20.0;

    fn add(points: &mut LocalPoints, [x, z]: [f64; 2], [nx, nz]: [f64; 2]) {
        for (list, value) in [
            (&mut points.x, x),
            (&mut points.y, 0.0),
            (&mut points.z, z),
            (&mut points.nx, nx),
            (&mut points.ny, 0.0),
            (&mut points.nz, nz),
            (&mut points.area, 0.04),
            (&mut points.both, 0.0),
        ] {
            list.push(value as f32);
        }
    }

    /// A bead of 1.5 mm over 5 mm whose middle is at `middle`, and one place of the cap.
    fn weld(middle: f64, cap: [f64; 2]) -> LocalPoints {
        let mut points = LocalPoints::default();
        let radius = (2.5 * 2.5 + 1.5 * 1.5) / 3.0;
        for k in 0..=200 {
            let angle = (f64::from(k) / 100.0 - 1.0) * libm::asin(2.5 / radius);
            let (s, c) = (libm::sin(angle), libm::cos(angle));
            add(&mut points, [middle + radius * s, THICKNESS + 1.5 + radius * (c - 1.0)], [-s, -c]);
        }
        add(&mut points, cap, [0.0, 1.0]);
        add(&mut points, cap, [0.0, 1.0]);
        points
    }

    fn set_up() -> (Axes, MirrorTable) {
        let aperture = Aperture {
            coupling: Coupling::Wedge(WedgeMaterial::POLYSTYRENE),
            wedge_angle: 36.0_f64.to_radians(),
            first_height_mm: 5.0,
            pitch_mm: 0.6,
            element_width_mm: 0.5,
            elevation_mm: Some(10.0),
            first: 0,
            count: 32,
            frequency_mhz: 5.0,
            bandwidth_percent: 60.0,
        };
        let laws: Vec<DelayLaw> = (40..=70)
            .map(|angle| DelayLaw::new(&aperture, &STEEL, f64::from(angle).to_radians(), None).unwrap())
            .collect();
        let axes = Axes::new(&aperture, &STEEL, &laws, 90.0);
        let mirrors = MirrorTable::new(&axes, &STEEL, 5.0);
        (axes, mirrors)
    }

    /// Fermat: the way found is the one whose time does not change when the place on the bead does; and the fan of rays is
    /// as wide at the cap as the curvature says.
    #[test]
    fn the_way_by_the_bead_is_stationary() {
        let (axes, mirrors) = set_up();
        let none = BrokenStretches::default();
        let plate = Plate { thickness: Some(THICKNESS as f32), near: &none, far: &none };
        for (middle, cap) in [(45.0, [52.0, -1.0]), (38.0, [41.0, -1.5]), (52.0, [55.0, -0.5])] {
            let points = weld(middle, cap);
            let mut direct = LegRays::default();
            direct.trace(0, &points, &plate, &axes, &mirrors);
            let mut longitudinal = Longitudinal::new(&STEEL);
            longitudinal.follow(&points, &direct, Some(THICKNESS as f32), &axes);
            assert!(!longitudinal.ways.is_empty(), "no way to {cap:?} by a bead at {middle}");
            for way in &longitudinal.ways {
                // Times over the whole bead, in double precision; the way's must be one of their turning points.
                let times: Vec<f64> = (0..=200)
                    .map(|i| {
                        let (x, z) = (f64::from(points.x[i]), f64::from(points.z[i]));
                        let shear =
                            Ray::least_time(x, axes.height_mm, z, axes.wedge_speed, axes.speed).time_us;
                        shear + libm::hypot(cap[0] - x, cap[1] - z) / STEEL.longitudinal_mm_per_us
                    })
                    .collect();
                let turning = times
                    .windows(3)
                    .filter(|t| (t[1] - t[0]) * (t[2] - t[1]) <= 0.0)
                    .map(|t| (t[1] - f64::from(way.alike + 0.5 * way.delay)).abs())
                    .fold(f64::INFINITY, f64::min);
                assert!(turning < 0.002, "{middle} {cap:?}: {turning} µs from any turning point");
            }
        }
    }

    #[test]
    fn the_fan_is_as_wide_as_its_curvature_says() {
        let (axes, mirrors) = set_up();
        let none = BrokenStretches::default();
        let plate = Plate { thickness: Some(THICKNESS as f32), near: &none, far: &none };
        let points = weld(45.0, [50.0, -1.0]);
        let mut direct = LegRays::default();
        direct.trace(0, &points, &plate, &axes, &mirrors);
        let mut longitudinal = Longitudinal::new(&STEEL);
        longitudinal.follow(&points, &direct, Some(THICKNESS as f32), &axes);
        let mut seen = 0;
        for pair in longitudinal.nodes.windows(3) {
            let [a, node, b] = [&pair[0], &pair[1], &pair[2]];
            // Width of the fan between two rays, measured across the middle one at the bead and 15 mm on.
            let width = |distance: f32| {
                let at = |n: &super::Node| {
                    [n.place[0] + distance * n.direction[0], n.place[1] + distance * n.direction[1]]
                };
                let (p, q) = (at(a), at(b));
                (q[0] - p[0]) * node.direction[1] - (q[1] - p[1]) * node.direction[0]
            };
            let (measured, told) = (width(15.0) / width(0.0), 1.0 + 15.0 * node.curvature);
            assert!((measured - told).abs() < 0.05 * told.abs().max(1.0), "{measured} {told}");
            seen += 1;
        }
        assert!(seen > 10, "{seen}");
    }
}
