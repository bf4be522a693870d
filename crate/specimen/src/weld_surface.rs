//! The outside of the weld: cap and root bead, arcs with the ripple of the weld pool.

use acoustics::scene::{NotFlat, Sides, SurfacePoint};
use acoustics::seed::Stream;

use crate::flaw::FlawKind;
use crate::joint::Preparation;
use crate::noise::Smooth;
use crate::patch::{Patch, Piece};
use crate::plate::Plate;

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

    /// How far the bead stands off the plate face, mm; 0 at its toes, never negative.
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
        (arc_height(x, self.half_mm, rise) + self.ripple_mm * window * uneven).max(0.0)
    }
}

/// The plate face a bead stands on.
#[derive(Clone, Copy, PartialEq)]
enum Face {
    Upper,
    Lower,
}

/// Cap and root bead as surface points, and the parts of the two faces they take the place of.
#[derive(Default)]
pub(crate) struct Outside {
    pub(crate) points: Vec<SurfacePoint>,
    pub(crate) upper_not_flat: Vec<NotFlat>,
    pub(crate) lower_not_flat: Vec<NotFlat>,
}

pub(crate) fn outside(plate: &Plate, spacing_mm: f64) -> Outside {
    let joint = &plate.joint;
    let whole = [0.0, plate.length_mm];
    let cap = [joint.cap.height_mm, joint.cap.ripple_mm];
    let mut outside = Outside::default();
    if joint.cap.height_mm > 0.0 {
        let half = joint.upper_toe_mm(plate.thickness_mm);
        stretch(plate, "cap", Face::Upper, half, cap, &[whole], spacing_mm, &mut outside);
    }
    match (joint.preparation, joint.root_bead, joint.lower_toe_mm(plate.thickness_mm)) {
        (Preparation::DoubleV, _, Some(half)) if joint.cap.height_mm > 0.0 => {
            stretch(plate, "lower cap", Face::Lower, half, cap, &[whole], spacing_mm, &mut outside);
        }
        (Preparation::SingleV, Some(bead), Some(half)) if bead.height_mm > 0.0 => {
            let bead = [bead.height_mm, bead.ripple_mm];
            let whole = penetrated(plate);
            stretch(plate, "root bead", Face::Lower, half, bead, &whole, spacing_mm, &mut outside);
        }
        _ => {}
    }
    outside
}

/// The lengths of weld with a root bead: all but the incompletely penetrated ones.
fn penetrated(plate: &Plate) -> Vec<[f64; 2]> {
    let mut open: Vec<[f64; 2]> = plate
        .flaws
        .iter()
        .filter(|flaw| flaw.kind == FlawKind::IncompletePenetration)
        .map(|flaw| [flaw.start_mm, flaw.start_mm + flaw.length_mm])
        .collect();
    open.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut lengths = Vec::new();
    let mut from = 0.0;
    for [start, end] in open {
        if start > from {
            lengths.push([from, start]);
        }
        from = f64::max(from, end);
    }
    if from < plate.length_mm {
        lengths.push([from, plate.length_mm]);
    }
    lengths
}

#[expect(clippy::too_many_arguments)]
fn stretch(
    plate: &Plate,
    purpose: &str,
    face: Face,
    half_mm: f64,
    height_and_ripple_mm: [f64; 2],
    lengths: &[[f64; 2]],
    spacing_mm: f64,
    out: &mut Outside,
) {
    let (whole, face_z) = (plate.length_mm, if face == Face::Upper { 0.0 } else { plate.thickness_mm });
    let mut stream = Stream::new(plate.seed, purpose);
    let bead = std::rc::Rc::new(Bead::new(&mut stream, half_mm, height_and_ripple_mm, whole));
    for &[from, to] in lengths {
        let bead = std::rc::Rc::clone(&bead);
        // The bead runs out towards every end of its length that is not the end of the plate.
        let run_out = move |y: f64| {
            let head = if from > 0.0 { (y - from) / RUN_OUT_MM } else { 1.0 };
            let tail = if to < whole { (to - y) / RUN_OUT_MM } else { 1.0 };
            let share = head.min(tail).clamp(0.0, 1.0);
            share * share * (3.0 - 2.0 * share)
        };
        let at = move |across: f64, along: f64| {
            let (x, y) = (half_mm * (2.0 * across - 1.0), from + (to - from) * along);
            let relief = bead.relief_mm(x, y) * run_out(y);
            [x, y, if face == Face::Upper { -relief } else { face_z + relief }]
        };
        // d/dx × d/dy points down, into the metal under a cap; on the lower face the two change places.
        let (place, stretch): (crate::patch::Place, _) = match face {
            Face::Upper => (Box::new(at), [1.0, STRETCH_ALONG]),
            Face::Lower => (Box::new(move |u, v| at(v, u)), [STRETCH_ALONG, 1.0]),
        };
        let patch = Patch { stretch, ..Patch::new(Sides::One, place) };
        Piece::Patch(patch).points(spacing_mm, &mut out.points);
        let not_flat = NotFlat { x_mm: [-half_mm, half_mm], y_mm: [from, to] };
        match face {
            Face::Upper => out.upper_not_flat.push(not_flat),
            Face::Lower => out.lower_not_flat.push(not_flat),
        }
    }
}
