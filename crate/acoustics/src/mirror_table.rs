//! Table of the face's reflection over the sine of the centre ray, with the sideways displacement of the beam.

use core::f64::consts::TAU;

use crate::axes::Axes;
use crate::complex::Complex32;
use crate::interface::FreeSurface;
use crate::material::Solid;
use crate::spline;

const ENTRIES: usize = 129;

/// Reflection at one face, per sine in the wedge.
#[derive(Debug)]
pub struct MirrorTable {
    /// re, im of the SV reflection and the displacement (mm along the face) it gives the beam.
    values: Vec<[f32; 3]>,
    start: f32,
    per_step: f32,
}

impl MirrorTable {
    /// For the sines of a grid and a carrier frequency.
    pub fn new(axes: &Axes, solid: &Solid, carrier_mhz: f64) -> Self {
        let end = axes.sine_start + axes.sine_step * (axes.sines - 1) as f64;
        let step = (end - axes.sine_start) / (ENTRIES - 1) as f64;
        let mirror =
            |wedge_sine: f64| FreeSurface::new(solid, (wedge_sine / axes.kappa).clamp(-0.9999, 0.9999)).shear;
        let values = (0..ENTRIES)
            .map(|i| {
                let sine = axes.sine_start + step * i as f64;
                let (h, r) = (1e-4, mirror(sine));
                let slope = (mirror(sine + h) * mirror(sine - h).conj()).arg() / (2.0 * h);
                // A point moved along the face by δ is met by an element at a sine larger by δ du/dx: a phase that turns
                // with the sine acts on every beam as such a move (wave number along the face: 2πf u/c_w).
                let displacement = slope * axes.wedge_speed / (TAU * carrier_mhz);
                // Next to the critical angle the slope is endless; no beam is narrow enough in angle to see it.
                [r.re as f32, r.im as f32, displacement.clamp(-3.0, 3.0) as f32]
            })
            .collect();
        Self { values, start: axes.sine_start as f32, per_step: (1.0 / step) as f32 }
    }

    /// Reflection and displacement at a sine in the wedge (linear interpolation).
    #[inline(always)]
    pub fn at(&self, wedge_sine: f32) -> (Complex32, f32) {
        let place = ((wedge_sine - self.start) * self.per_step).clamp(0.0, (ENTRIES - 2) as f32);
        let (index, fraction) = spline::split(place);
        let (a, b) = (&self.values[index], &self.values[index + 1]);
        let mix = |k: usize| a[k] + fraction * (b[k] - a[k]);
        ([mix(0), mix(1)], mix(2))
    }
}
