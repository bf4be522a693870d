//! Lays the echoes that go out and come home on the same leg on the grid: one small patch of spline weights each.

use core::ops::Deref;
use std::sync::Arc;

use crate::aperture::Aperture;
use crate::axes::{Axes, ZONE};
use crate::complex::{Complex32, times};
use crate::elevation_table::{ElevationTable, OffPlane, Strip};
use crate::face_response::FaceResponse;
use crate::half_plane::HalfPlane;
use crate::kernel::{ShearWave, incidence, response};
use crate::lanes::f32x4;
use crate::leg_rays::LegRays;
use crate::material::Solid;
use crate::phase;
use crate::placement::{LocalPoints, LocalRims};
use crate::planes::Planes;
use crate::pulse::{Pulse, SAMPLING_MHZ};
use crate::spline;

/// Fixed values and tables of a set-up that every deposit needs.
#[derive(Debug)]
pub struct Setting {
    /// First node of the sine.
    pub sine_start: f32,
    /// Reciprocal of the step of the sine.
    pub per_sine: f32,
    /// Nodes of the sine.
    pub sines: usize,
    /// First sample of the grid.
    pub first_sample: f32,
    /// Samples of the grid.
    pub samples: f32,
    /// Frequency of demodulation, MHz.
    pub carrier_mhz: f32,
    /// Phase of the Hermite terms' x that a delay by a sample turns.
    pub turn_per_sample: f32,
    /// 1/k of shear waves at the carrier, mm.
    pub per_wave_number: f32,
    /// Speed of Rayleigh waves, mm/µs.
    pub rayleigh_speed: f32,
    /// What does not depend on where the aperture lies.
    common: Arc<Common>,
}

/// Tables of metal, pulse and elements, the same wherever an aperture lies along its array.
#[derive(Debug)]
pub struct Common {
    /// How faces move.
    pub face: Arc<FaceResponse>,
    /// How rims answer.
    pub half_plane: HalfPlane,
    /// Out of the plane.
    pub elevation: Arc<ElevationTable>,
}

impl Common {
    /// For a metal and a kind of elements, up to a largest reach (metal path plus wedge path times c_w/c_T), mm. What would
    /// be the same is taken from `before`.
    pub fn new(
        solid: &Solid,
        aperture: &Aperture,
        largest_reach_mm: f64,
        pulse: &Pulse,
        before: Option<&Self>,
    ) -> Self {
        let quality = pulse.quality();
        let face = before.map(|before| &before.face).filter(|face| face.is_for(solid, quality));
        let strip =
            Strip { elevation_mm: aperture.elevation_mm, speed: solid.shear_mm_per_us, pulse: pulse.clone() };
        let elevation = before.map(|before| &before.elevation);
        let elevation = elevation.filter(|elevation| elevation.is_for(&strip, largest_reach_mm));
        Self {
            face: face.map_or_else(|| Arc::new(FaceResponse::new(solid, quality)), Arc::clone),
            half_plane: HalfPlane::new(solid),
            elevation: elevation
                .map_or_else(|| Arc::new(ElevationTable::new(strip, largest_reach_mm)), Arc::clone),
        }
    }
}

impl Deref for Setting {
    type Target = Common;

    fn deref(&self) -> &Common {
        &self.common
    }
}

impl Setting {
    /// From a grid and the tables that all apertures share.
    pub fn new(axes: &Axes, pulse: &Pulse, common: Arc<Common>) -> Self {
        let carrier_mhz = pulse.carrier_mhz;
        Self {
            sine_start: axes.sine_start as f32,
            per_sine: (1.0 / axes.sine_step) as f32,
            sines: axes.sines,
            first_sample: axes.first_sample as f32,
            samples: axes.samples as f32,
            carrier_mhz: carrier_mhz as f32,
            turn_per_sample: (core::f64::consts::TAU * pulse.spread_mhz / SAMPLING_MHZ) as f32,
            per_wave_number: (axes.speed / (core::f64::consts::TAU * carrier_mhz)) as f32,
            rayleigh_speed: axes.speed as f32 / common.half_plane.rayleigh(),
            common,
        }
    }

    /// The kernel of a lit facet, from the wave of a source at a finite distance.
    #[inline(always)]
    pub fn kernel(&self, i: ShearWave<f32>, spread: f32, j: ShearWave<f32>, n: [f32; 3]) -> Complex32 {
        let c = incidence(i, n);
        let motion = self.face.at((1.0 - c * c).max(0.0).sqrt(), spread);
        let (re, im) = response(motion, i, j, n);
        [re, im]
    }

    /// Whether a sample lies within the frame with its spline.
    #[inline(always)]
    pub fn inside(&self, sample: f32) -> bool {
        sample >= 2.0 && sample < self.samples - 3.0
    }

    /// Where and how an echo is laid in time: sample (with its fraction), strip factor and carrier phase; `None` outside
    /// the frame.
    #[inline(always)]
    pub fn arrival(&self, two_way_us: f32, off_plane_mm: f32, reach_mm: f32) -> Option<Arrival> {
        let off = self.elevation.at(off_plane_mm, reach_mm);
        let sample = two_way_us * SAMPLING_MHZ as f32 - self.first_sample + off.delay;
        self.inside(sample).then(|| Arrival {
            sample,
            off,
            carrier: phase::phasor(self.carrier_mhz * (two_way_us + off.delay * (1.0 / SAMPLING_MHZ as f32))),
        })
    }
}

/// An echo's place in time.
#[derive(Clone, Copy, Debug)]
pub struct Arrival {
    /// Sample, with fraction.
    pub sample: f32,
    /// Strip factor.
    pub off: OffPlane,
    /// Phase of the carrier.
    pub carrier: Complex32,
}

/// The normal of a point turned to the side a wave comes from; `None` where the wave meets no lit face.
#[inline(always)]
pub fn lit_normal(points: &LocalPoints, index: usize, e: [f32; 2]) -> Option<[f32; 3]> {
    let n = [points.nx[index], points.ny[index], points.nz[index]];
    let facing = e[0] * n[0] + e[1] * n[2];
    if facing < 0.0 {
        Some(n)
    } else if points.both[index] > 0.5 && facing > 0.0 {
        Some([-n[0], -n[1], -n[2]])
    } else {
        None
    }
}

/// Complex taps over four samples: the amplitude times the strip factor as spline value, slope and curvature.
#[inline(always)]
pub fn taps(amplitude: Complex32, off: &OffPlane, fraction: f32) -> [f32x4; 2] {
    let (value, slope, curvature) =
        (spline::weights(fraction), spline::slopes(fraction), spline::curvatures(fraction));
    let f = &off.factors;
    let (a, b, c) =
        (times(amplitude, [f[0], f[1]]), times(amplitude, [f[2], f[3]]), times(amplitude, [f[4], f[5]]));
    [0, 1].map(|part| value * a[part] + slope * b[part] + curvature * c[part])
}

/// Lays one echo on the planes, `place` being its node (with fraction) of the sine.
#[inline(always)]
fn lay(place: f32, arrival: &Arrival, amplitude: Complex32, planes: &mut Planes) {
    let amplitude = times(amplitude, arrival.carrier);
    let ((node, across), (sample, later)) = (spline::split(place), spline::split(arrival.sample));
    let taps = taps(amplitude, &arrival.off, later);
    planes.add(sample / ZONE, node - 1, sample - 1, spline::weights(across), taps);
}

/// Node of the sine at which an echo of a leg is laid; `None` outside the grid or where no ray arrives.
#[inline(always)]
fn place_of(rays: &LegRays, index: usize, setting: &Setting) -> Option<f32> {
    let place = (rays.moved_sine[index] - setting.sine_start) * setting.per_sine;
    (place >= 1.0 && place < (setting.sines - 3) as f32 && rays.arrives(index)).then_some(place)
}

/// Lays every lit point of one leg on the planes.
pub fn faces(leg: usize, points: &LocalPoints, rays: &LegRays, setting: &Setting, planes: &mut Planes) {
    for i in 0..points.len() {
        let Some(place) = place_of(rays, i, setting) else { continue };
        let wave = rays.wave(leg, i);
        let Some(normal) = lit_normal(points, i, wave.e) else { continue };
        let Some(arrival) = setting.arrival(2.0 * rays.time[i], points.y[i], rays.reach[i]) else { continue };
        let [re, im] = setting.kernel(wave, rays.spread[i], wave, normal);
        let area = points.area[i];
        let mirror = times(rays.mirror[i], rays.mirror[i]);
        lay(place, &arrival, times([re * area, im * area], mirror), planes);
    }
}

/// Lays what the rims add on one leg.
pub fn rims(leg: usize, rims: &LocalRims, rays: &LegRays, setting: &Setting, planes: &mut Planes) {
    let points = &rims.points;
    for i in 0..points.len() {
        let Some(place) = place_of(rays, i, setting) else { continue };
        let Some(mut arrival) = setting.arrival(2.0 * rays.time[i], points.y[i], rays.reach[i]) else {
            continue;
        };
        arrival.off = arrival.off.per_frequency(setting.carrier_mhz);
        let wave = rays.wave(leg, i);
        let [re, im] = setting.half_plane.rim(wave, wave, true, rims.inward[i], [points.nx[i], points.nz[i]]);
        let length = points.area[i] * setting.per_wave_number;
        let mirror = times(rays.mirror[i], rays.mirror[i]);
        lay(place, &arrival, times([re * length, im * length], mirror), planes);
    }
}
