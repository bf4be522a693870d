//! The outside of the weld as it echoes: arcs with the ripple of the weld pool.

use acoustics::scene::{NotFlat, Sides, SurfacePoint};
use acoustics::seed::Stream;

use crate::backing;
use crate::joint::Bevel;
use crate::noise::Smooth;
use crate::patch::{Patch, Piece};
use crate::plate::Plate;
use crate::profile::{self, Part, Stretch};

/// Cells of cap and root bead are this much longer along the weld than across: a probe looks across the weld, so
/// the phase of an echo changes several times slower from point to point along it. Two thirds of a wavelength see no grating
/// up to 35° of skew.
const STRETCH_ALONG: f64 = 2.0;
/// Share by which the height drifts along the weld.
const DRIFT: f64 = 0.15;
/// Length over which the height drifts, mm.
const DRIFT_STEP_MM: f64 = 30.0;
/// Length over which a root bead runs out where penetration stops, mm.
const RUN_OUT_MM: f64 = 3.0;
/// Ranges from which the three ripple periods are drawn, mm. Common practice, no source: 1 to 3 mm.
const PERIODS_MM: [[f64; 2]; 3] = [[1.1, 1.5], [1.6, 2.2], [2.3, 3.0]];
/// Share of each period in the ripple; they sum to 1.
const SHARES: [f64; 3] = [0.25, 0.35, 0.4];

/// Height at `x` of a circular arc over the chord -half..half that rises by `rise` in the middle, mm.
pub(crate) fn arc_height(x: f64, half: f64, rise: f64) -> f64 {
    if rise <= 0.0 || x.abs() >= half {
        return 0.0;
    }
    let radius = (half * half + rise * rise) / (2.0 * rise);
    f64::sqrt(radius * radius - x * x) - (radius - rise)
}

/// The relief of one bead: an arc with drift and ripple.
struct Bead {
    half_mm: f64,
    height_mm: f64,
    ripple_mm: f64,
    drift: Smooth,
    /// Crests bow against the welding direction: by this much at the toes, mm.
    bow_mm: f64,
    waves: [(f64, Smooth); 3],
    across: Smooth,
}

impl Bead {
    fn new(stream: &mut Stream, half_mm: f64, [height_mm, ripple_mm]: [f64; 2], length_mm: f64) -> Self {
        Self {
            half_mm,
            height_mm,
            ripple_mm,
            drift: Smooth::new(stream, length_mm, DRIFT_STEP_MM),
            bow_mm: stream.between(0.2, 0.4) * half_mm,
            waves: PERIODS_MM
                .map(|[low, high]| (stream.between(low, high), Smooth::new(stream, length_mm, 7.0))),
            across: Smooth::new(stream, 2.0 * half_mm, half_mm / 3.0),
        }
    }

    /// How far the bead stands off the plate face, mm; 0 at its toes, never on the other side of the face.
    fn relief_mm(&self, x: f64, y: f64) -> f64 {
        let share = x / self.half_mm;
        // Nothing ripples at the toe, where the bead runs into the plate.
        let window = (1.0 - share * share).max(0.0);
        let along = y + self.bow_mm * share * share;
        let ripple: f64 = self
            .waves
            .iter()
            .zip(SHARES)
            .map(|((period, wander), part)| {
                part * libm::cos(std::f64::consts::TAU * (along / period + 0.4 * wander.at(y)))
            })
            .sum();
        let uneven = 0.75 * ripple + 0.25 * self.across.at(x + self.half_mm);
        let rise = self.height_mm * (1.0 + DRIFT * self.drift.at(y));
        let ripple = self.ripple_mm * window * uneven;
        if rise < 0.0 {
            (ripple - arc_height(x, self.half_mm, -rise)).min(0.0)
        } else {
            (arc_height(x, self.half_mm, rise) + ripple).max(0.0)
        }
    }
}

/// The outside of a weld as surface points, and the parts of the two faces they take the place of.
#[derive(Default)]
pub(crate) struct Outside {
    pub(crate) points: Vec<SurfacePoint>,
    pub(crate) upper_not_flat: Vec<NotFlat>,
    pub(crate) lower_not_flat: Vec<NotFlat>,
}

pub(crate) fn outside(plate: &Plate, spacing_mm: f64) -> Outside {
    let mut outside = Outside::default();
    for part in profile::parts(plate) {
        if !part.is_flat() {
            stretches(plate, &part, spacing_mm, &mut outside);
        }
    }
    backing::points(plate, spacing_mm, &mut outside);
    if let Some(block) = &plate.block {
        block.surfaces(plate, spacing_mm, &mut outside);
    }
    outside
}

fn stretches(plate: &Plate, part: &Part, spacing_mm: f64, out: &mut Outside) {
    let upper = part.face == Bevel::Upper;
    let face_z = if upper { 0.0 } else { plate.thickness_mm };
    let half_mm = (part.x_mm[1] - part.x_mm[0]) / 2.0;
    let centre = (part.x_mm[0] + part.x_mm[1]) / 2.0;
    let mut stream = Stream::new(plate.seed, part.purpose);
    let relief = [part.rise_mm, part.ripple_mm];
    let bead = std::rc::Rc::new(Bead::new(&mut stream, half_mm, relief, plate.length_mm));
    let level = (part.level_mm != [0.0; 2]).then_some((part.level_mm, part.x_mm));
    for &Stretch { y_mm: [from, to], x_mm, runs_out } in &part.stretches {
        let bead = std::rc::Rc::clone(&bead);
        let run_out = move |y: f64| {
            let head = if runs_out[0] { (y - from) / RUN_OUT_MM } else { 1.0 };
            let tail = if runs_out[1] { (to - y) / RUN_OUT_MM } else { 1.0 };
            let share = head.min(tail).clamp(0.0, 1.0);
            share * share * (3.0 - 2.0 * share)
        };
        let at = move |across: f64, along: f64| {
            let local = match x_mm {
                None => half_mm * (2.0 * across - 1.0),
                Some([left, right]) => left - centre + (right - left) * across,
            };
            let y = from + (to - from) * along;
            let relief = bead.relief_mm(local, y) * run_out(y);
            let z = if upper { -relief } else { face_z + relief };
            let x = centre + local;
            let level =
                level.map_or(0.0, |([a, b], [left, right])| a + (b - a) * (x - left) / (right - left));
            [x, y, if level == 0.0 { z } else { z + level }]
        };
        // d/dx × d/dy points down, into the metal under a cap; on the lower face the two change places.
        let (place, stretch): (crate::patch::Place, _) = if upper {
            (Box::new(at), [1.0, STRETCH_ALONG])
        } else {
            (Box::new(move |u, v| at(v, u)), [STRETCH_ALONG, 1.0])
        };
        let patch = Patch { stretch, ..Patch::new(Sides::One, place) };
        Piece::Patch(patch).points(spacing_mm, &mut out.points);
        let not_flat = NotFlat { x_mm: x_mm.unwrap_or(part.x_mm), y_mm: [from, to] };
        if upper {
            out.upper_not_flat.push(not_flat);
        } else {
            out.lower_not_flat.push(not_flat);
        }
    }
}
