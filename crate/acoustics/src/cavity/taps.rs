//! What a cavity answers within a probe's band, as complex taps one sample apart about its centre's time: the mirror-like
//! echo ahead of it, the creeping wave behind.

use core::f64::consts::{PI, TAU};
use core::ops::Range;

use super::{Response, Shape, angular};
use crate::complex::{Complex, Complex32};
use crate::pulse::{Pulse, SAMPLING_MHZ};
use crate::spline;

/// Rayleigh speed over shear speed, roughly: it only says how long to listen.
const RAYLEIGH: f64 = 0.92;
/// Samples kept before the earliest and after the latest echo.
const MARGIN: f64 = 4.0;
/// Taps below this part of the largest are left out at both ends.
const FAINTEST: f64 = 0.01;
/// Widest angle between arriving waves that matters, as half the length of the difference of their directions: an upright
/// way down and up at 35° from the faces' normal.
const WIDEST: f64 = 0.82;
/// Added to the diagonal of the fit, as a part of it: keeps the taps small where the pulse has no energy.
const RIDGE: f64 = 1e-4;
/// Below this the pulse is taken to be empty, MHz.
const LOWEST_MHZ: f64 = 0.3;

/// Taps over the angle between the arriving waves.
#[derive(Debug)]
pub struct TapTable {
    /// First tap, samples after the centre's time.
    pub first: i32,
    /// Taps per node.
    pub count: usize,
    /// `[node][tap]`, nodes evenly spaced in half the length of e_i - e_j.
    values: Vec<Complex32>,
    nodes: usize,
    /// Taps that are heard straight back.
    back: Range<usize>,
}

impl TapTable {
    /// For a cavity and a pulse; a metal by its shear speed (mm/µs) and c_T/c_L.
    pub fn new(shape: Shape, radius_mm: f64, speed: f64, kappa: f64, pulse: &Pulse) -> Self {
        let per_radius = radius_mm / speed * SAMPLING_MHZ;
        let first = libm::floor(-2.0 * per_radius - MARGIN) as i32;
        // Once round and to the other side: what has gone round twice is weak.
        let last = libm::ceil(3.0 * PI / RAYLEIGH * per_radius + MARGIN) as i32;
        let taps = usize::try_from(last - first + 1).unwrap_or(1);
        let spectrum_points = 2 * taps + 20;
        let offsets: Vec<f64> = (0..spectrum_points)
            .map(|m| SAMPLING_MHZ * ((m as f64 + 0.5) / spectrum_points as f64 - 0.5))
            .collect();
        let fit = Fit::new(&offsets, first, taps, pulse.spread_mhz);
        let carrier_ka = TAU * pulse.carrier_mhz / speed * radius_mm;
        let nodes = 10 + (6.0 * carrier_ka) as usize;
        let responses: Vec<Option<Response>> = offsets
            .iter()
            .map(|v| {
                let f = pulse.carrier_mhz + v;
                (f > LOWEST_MHZ).then(|| Response::new(shape, kappa, radius_mm, TAU * f / speed))
            })
            .collect();
        let most = responses.iter().flatten().map(Response::orders).max().unwrap_or(0);
        let mut values = Vec::with_capacity(nodes * taps);
        for node in 0..nodes {
            let q = node as f64 / (nodes - 1) as f64;
            // |e_i - e_j| = 2 sin(Θ/2).
            let functions = angular(shape, 1.0 - 2.0 * q * q, most);
            let spectrum: Vec<Complex> = responses
                .iter()
                .map(|response| response.as_ref().map_or(Complex::ZERO, |r| r.strength(&functions)))
                .collect();
            values.extend(fit.taps(&spectrum));
        }
        Self { first, count: taps, values, nodes, back: 0..taps }.trimmed()
    }

    /// Leaves out the taps at both ends that are faint in every direction that a plate's legs come from.
    fn trimmed(self) -> Self {
        let size = |tap: &Complex32| f64::from(tap[0] * tap[0] + tap[1] * tap[1]);
        let straight_back = &self.values[..self.count];
        let faint = FAINTEST * FAINTEST * straight_back.iter().map(size).fold(0.0, f64::max);
        let nodes = 1 + (WIDEST * (self.nodes - 1) as f64) as usize;
        let heard = |at: usize, nodes: usize| {
            self.values[..nodes * self.count]
                .iter()
                .skip(at)
                .step_by(self.count)
                .any(|tap| size(tap) >= faint)
        };
        let ends = |nodes: usize| {
            let from = (0..self.count).find(|&at| heard(at, nodes)).unwrap_or(0);
            from..(from..self.count).rev().find(|&at| heard(at, nodes)).map_or(self.count, |at| at + 1)
        };
        let (all, back) = (ends(nodes), ends(1));
        let values = self.values.chunks_exact(self.count).flat_map(|taps| &taps[all.clone()]).copied();
        Self {
            first: self.first + all.start as i32,
            count: all.len(),
            values: values.collect(),
            nodes: self.nodes,
            back: back.start - all.start..back.end - all.start,
        }
    }

    /// Taps for waves that arrive alike, and the first one's samples after the centre's time.
    pub fn straight_back(&self) -> (i32, &[Complex32]) {
        (self.first + self.back.start as i32, &self.values[self.back.clone()])
    }

    /// Taps for waves whose directions differ by a vector of twice the length `half` (0..=1), linear between nodes.
    pub fn at(&self, half: f32, out: &mut Vec<Complex32>) {
        let place = (half * (self.nodes - 1) as f32).clamp(0.0, (self.nodes - 1) as f32 - 1e-3);
        let (node, f) = spline::split(place);
        let near = &self.values[node * self.count..(node + 1) * self.count];
        let far = &self.values[(node + 1) * self.count..(node + 2) * self.count];
        out.clear();
        out.extend(near.iter().zip(far).map(|(a, b)| [a[0] + f * (b[0] - a[0]), a[1] + f * (b[1] - a[1])]));
    }
}

/// Least-squares fit of taps to spectra, weighted with the pulse's energy.
struct Fit {
    /// Lower triangle of the Cholesky factor, row by row.
    factor: Vec<Vec<f64>>,
    /// Weighted phases, `[tap][frequency]`.
    phases: Vec<Vec<Complex>>,
}

impl Fit {
    fn new(offsets: &[f64], first: i32, taps: usize, spread_mhz: f64) -> Self {
        let weight: Vec<f64> =
            offsets.iter().map(|v| libm::exp(-v * v / (spread_mhz * spread_mhz))).collect();
        let turn = |v: f64, samples: f64| Complex::phasor(-TAU * v * samples / SAMPLING_MHZ);
        let phases = (0..taps)
            .map(|tap| {
                let samples = f64::from(first) + tap as f64;
                offsets.iter().zip(&weight).map(|(&v, &w)| turn(v, samples) * w).collect()
            })
            .collect();
        // The offsets lie evenly about 0, so the matrix is real and the same along its diagonals.
        let diagonals: Vec<f64> = (0..taps)
            .map(|apart| offsets.iter().zip(&weight).map(|(&v, w)| w * turn(v, apart as f64).re).sum())
            .collect();
        let mut factor: Vec<Vec<f64>> = Vec::with_capacity(taps);
        for row in 0..taps {
            let mut line: Vec<f64> = Vec::with_capacity(row + 1);
            for column in 0..=row {
                let above: &[f64] = if column == row { &line } else { &factor[column] };
                let known: f64 = line.iter().zip(above).map(|(a, b)| a * b).sum();
                let rest = diagonals[row - column] - known;
                line.push(if column == row {
                    f64::sqrt(rest + RIDGE * diagonals[0])
                } else {
                    rest / factor[column][column]
                });
            }
            factor.push(line);
        }
        Self { factor, phases }
    }

    fn taps(&self, spectrum: &[Complex]) -> impl Iterator<Item = Complex32> {
        let mut x: Vec<Complex> = self
            .phases
            .iter()
            .map(|row| row.iter().zip(spectrum).fold(Complex::ZERO, |sum, (&p, &s)| sum + p * s))
            .collect();
        let n = x.len();
        for row in 0..n {
            let known = (0..row).fold(x[row], |rest, k| rest - x[k] * self.factor[row][k]);
            x[row] = known * (1.0 / self.factor[row][row]);
        }
        for row in (0..n).rev() {
            let known = (row + 1..n).fold(x[row], |rest, k| rest - x[k] * self.factor[k][row]);
            x[row] = known * (1.0 / self.factor[row][row]);
        }
        x.into_iter().map(|c| [c.re as f32, c.im as f32])
    }
}

#[cfg(test)]
mod tests {
    use super::{TAU, TapTable};
    use crate::cavity::{Response, Shape, angular};
    use crate::complex::Complex;
    use crate::material::Solid;
    use crate::pulse::{Pulse, SAMPLING_MHZ};

    /// The taps give back the series across the pulse's band, at nodes and between them.
    #[test]
    fn taps_follow_the_series() {
        let (speed, kappa) = (Solid::STEEL.shear_mm_per_us, Solid::STEEL.speed_ratio());
        let pulse = Pulse::new(5.0, 60.0, 2);
        for (shape, radius) in [
            (Shape::Bore, 1.5),
            (Shape::Bore, 0.25),
            (Shape::Ball, 1.4),
            (Shape::Ball, 0.3),
            (Shape::Bore, 3.0),
        ] {
            let table = TapTable::new(shape, radius, speed, kappa, &pulse);
            let mut taps = Vec::new();
            for half in [0.0_f32, 0.271, 0.6] {
                table.at(half, &mut taps);
                let (mut wrong, mut all) = (0.0, 0.0);
                for step in -30..=30 {
                    let v = 0.13 * f64::from(step);
                    let f = pulse.carrier_mhz + v;
                    let response = Response::new(shape, kappa, radius, TAU * f / speed);
                    let q = f64::from(half);
                    let expected = response.strength(&angular(shape, 1.0 - 2.0 * q * q, response.orders()));
                    let got = taps.iter().enumerate().fold(Complex::ZERO, |sum, (n, tap)| {
                        let samples = f64::from(table.first) + n as f64;
                        let turn = Complex::phasor(TAU * v * samples / SAMPLING_MHZ);
                        sum + Complex::new(f64::from(tap[0]), f64::from(tap[1])) * turn
                    });
                    let weight = pulse.spectrum(f) * pulse.spectrum(f);
                    wrong += weight * (got - expected).norm();
                    all += weight * expected.norm();
                }
                let db = 10.0 * libm::log10(wrong / all);
                println!("{shape:?} {radius} {half}: {db:.1} dB, {} taps from {}", table.count, table.first);
                assert!(db < -30.0, "{shape:?} {radius} {half}: {db:.1} dB");
            }
        }
    }
}
