//! Lays the echoes of round cavities that go out and come home on the same leg on the grid: a row of taps each.
//!
//! The taps lie at the centre's place, but the grid takes a tap's time for a place too, and so the mirror-like echo sounds
//! as from the front of the cavity. A wave from a point comes home from a round front as if the field were that halfway
//! between front and centre (a circle's delay over the angle between two elements falls half as fast as that of its front);
//! the creeping wave, later than the centre, is that of the centre itself. [`BeamLevels`] makes up the difference.

use crate::axes::{Axes, ZONE};
use crate::beam_levels::{BeamLevels, TapPlace};
use crate::cavity::Shape;
use crate::complex::{Complex32, times};
use crate::deposit::{Arrival, Setting, taps};
use crate::lanes::f32x4;
use crate::leg_rays::LegRays;
use crate::local_cavities::{LocalCavities, TapTables};
use crate::phase;
use crate::planes::Planes;
use crate::pulse::SAMPLING_MHZ;
use crate::spline;

/// A row of complex samples, from sample `first` on.
#[derive(Debug, Default)]
pub struct EchoRow {
    /// First sample.
    pub first: i32,
    values: Vec<Complex32>,
}

impl EchoRow {
    /// Spreads taps one sample apart over the row; `from` counts from the arrival's sample.
    pub fn lay(&mut self, amplitude: Complex32, arrival: &Arrival, from: i32, series: &[Complex32]) {
        let sample = arrival.sample.floor();
        let [re, im] = taps(amplitude, &arrival.off, arrival.sample - sample).map(f32x4::to_array);
        self.first = sample as i32 - 1 + from;
        self.values.clear();
        self.values.resize((series.len() + 3).next_multiple_of(4), [0.0; 2]);
        for (n, &tap) in series.iter().enumerate() {
            for (k, value) in self.values[n..n + 4].iter_mut().enumerate() {
                let part = times(tap, [re[k], im[k]]);
                value[0] += part[0];
                value[1] += part[1];
            }
        }
    }

    /// The row, later by some samples, in fours that lie within `samples`: first sample, real and imaginary parts.
    pub fn fours(&self, later: i32, samples: usize) -> impl Iterator<Item = (usize, [f32x4; 2])> {
        self.values.chunks_exact(4).enumerate().filter_map(move |(index, four)| {
            let sample = usize::try_from(self.first + later + 4 * index as i32).ok()?;
            let inside = sample >= 1 && sample + 6 <= samples;
            let part = |part: usize| f32x4::new(core::array::from_fn(|k| four[k][part]));
            inside.then(|| (sample, [part(0), part(1)]))
        })
    }
}

/// The arrival at a cavity's centre; unlike a point's it may lie outside the frame.
pub fn arrival(setting: &Setting, two_way_us: f32, off_plane_mm: f32, reach_mm: f32) -> Arrival {
    let off = setting.elevation.at(off_plane_mm, reach_mm.max(1.0));
    let time = two_way_us + off.delay * (1.0 / SAMPLING_MHZ as f32);
    Arrival {
        sample: two_way_us * SAMPLING_MHZ as f32 - setting.first_sample + off.delay,
        off,
        carrier: phase::phasor(setting.carrier_mhz * time),
    }
}

/// How much shorter than to its centre the way to a cavity is out of the plane: a bore's front is a line, a ball is round
/// that way too.
pub fn nearer_mm(shape: Shape, front_mm: f32) -> f32 {
    match shape {
        Shape::Bore => front_mm,
        Shape::Ball => 0.5 * front_mm,
    }
}

/// Lays every cavity of one leg on the planes. `scratch` is working room.
pub fn cavities(
    leg_rays: &LegRays,
    cavities: &LocalCavities,
    tables: &TapTables,
    (setting, axes, levels): (&Setting, &Axes, &BeamLevels),
    (series, row): (&mut Vec<Complex32>, &mut EchoRow),
    planes: &mut Planes,
) {
    let per_wave = (1.0 / axes.wave_number) as f32;
    for i in 0..cavities.points.len() {
        let place = (leg_rays.moved_sine[i] - setting.sine_start) * setting.per_sine;
        if !(place >= 1.0 && place < (setting.sines - 3) as f32 && leg_rays.arrives(i)) {
            continue;
        }
        let reach = leg_rays.reach[i] - nearer_mm(cavities.shape[i], cavities.radius[i]);
        let arrival = arrival(setting, 2.0 * leg_rays.time[i], cavities.points.y[i], reach);
        let (node, across) = spline::split(place);
        let distance_mm = per_wave / (leg_rays.spread[i] * leg_rays.spread[i]);
        let (first, taps) = tables.of(cavities, i).straight_back();
        series.clear();
        series.extend(taps.iter().enumerate().map(|(n, tap)| {
            let behind = (first + n as i32) as f32;
            let factor = levels.factor(&TapPlace { place, centre: arrival.sample, behind, distance_mm });
            [tap[0] * factor, tap[1] * factor]
        }));
        let mirror = times(leg_rays.mirror[i], leg_rays.mirror[i]);
        let size = cavities.points.area[i];
        let amplitude = times([mirror[0] * size, mirror[1] * size], arrival.carrier);
        row.lay(amplitude, &arrival, first, series);
        let weights = spline::weights(across);
        for (sample, taps) in row.fours(0, axes.samples) {
            planes.add(sample / ZONE, node - 1, sample, weights, taps);
        }
    }
}
