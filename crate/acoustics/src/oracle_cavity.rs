//! Round cavities in the exact model: every element's wave scattered into every other's by the series.

use core::f64::consts::TAU;

use crate::cavity::{Response, Shape, angular};
use crate::complex::Complex;
use crate::elevation;
use crate::oracle::{Arrival, LEAST_ACROSS, Oracle, Sum};
use crate::scene::{Cavity, CavityForm};

impl Oracle<'_> {
    /// Adds what a cavity gives back to the beams' spectra.
    pub(crate) fn add_cavity(&self, cavity: &Cavity, sum: &mut Sum) {
        let (shape, size) = match cavity.form {
            CavityForm::Ball => (Shape::Ball, 1.0),
            CavityForm::Bore { direction, length_mm } => {
                let across = direction[1].abs();
                if across < LEAST_ACROSS {
                    return;
                }
                (Shape::Bore, length_mm * across)
            }
        };
        let arrivals: Vec<Option<Arrival>> =
            (0..3).map(|leg| self.arrival(leg, cavity.position_mm)).collect();
        for &(i, j) in self.pairs {
            let (Some(a), Some(b)) = (&arrivals[i], &arrivals[j]) else { continue };
            if !(sum.span[0]..sum.span[1]).contains(&(a.time_us() + b.time_us())) {
                continue;
            }
            let ways = if i == j { 1.0 } else { 2.0 };
            // The series holds for polarisations turned to the same side of their directions; legs flip theirs.
            let flips = if (i + j).is_multiple_of(2) { 1.0 } else { -1.0 };
            self.add_pair((a, b), cavity, (shape, size * ways * flips), sum);
        }
    }

    fn add_pair(
        &self,
        (a, b): (&Arrival, &Arrival),
        cavity: &Cavity,
        (shape, size): (Shape, f64),
        sum: &mut Sum,
    ) {
        let (speed, kappa) = (self.solid.shear_mm_per_us, self.solid.speed_ratio());
        let (radius, top) =
            (0.5 * cavity.diameter_mm, sum.band.iter().copied().reduce(f64::max).unwrap_or(0.0));
        let most = Response::new(shape, kappa, radius, TAU * top / speed).orders();
        let functions: Vec<Vec<Vec<[f64; 2]>>> = a
            .directions()
            .iter()
            .map(|p| b.directions().iter().map(|q| angular(shape, p[0] * q[0] + p[1] * q[1], most)).collect())
            .collect();
        let nearness = 1.0 / a.radius_mm(self) + 1.0 / b.radius_mm(self);
        // Out of the plane a bore's front is a line, a ball is round.
        let nearer = if shape == Shape::Bore { radius } else { 0.5 * radius };
        for (m, &f) in sum.band.iter().enumerate() {
            let response = Response::new(shape, kappa, radius, TAU * f / speed).near(nearness);
            let matrix: Vec<Vec<Complex>> = functions
                .iter()
                .map(|row| row.iter().map(|functions| response.strength(functions)).collect())
                .collect();
            let off = cavity.position_mm[1];
            let strip = |arrival: &Arrival| {
                let reach = (arrival.reach_mm(self) - nearer).max(1.0);
                elevation::strip_factor(self.aperture.elevation_mm, off, reach, speed / f)
            };
            let turn = Complex::phasor(TAU * f * (a.time_us() + b.time_us())) * size;
            let common = strip(a) * strip(b) * turn;
            let (out, home) = (self.waves(a, f), self.waves(b, f));
            for (phasors, spectrum) in sum.steering[m].iter().zip(&mut sum.spectra) {
                let delayed = |waves: &[Complex]| -> Vec<Complex> {
                    waves.iter().zip(phasors).map(|(&wave, &phasor)| wave * phasor).collect()
                };
                let (out, home) = (delayed(&out), delayed(&home));
                let total = out.iter().zip(&matrix).fold(Complex::ZERO, |total, (&p, row)| {
                    total + p * row.iter().zip(&home).fold(Complex::ZERO, |total, (&k, &q)| total + k * q)
                });
                spectrum[m] += total * common;
            }
        }
    }
}
