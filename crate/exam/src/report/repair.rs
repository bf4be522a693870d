//! The groove that takes a called flaw out: from which face, how deep, how wide, how long. Its shape is common practice, no
//! source; the repair procedure of real work says otherwise where it does.

use instrument::pose::Face;
use specimen::plate::Plate;

use crate::matching::middle;
use crate::sheet::Call;

/// So much beyond the called ends and depth is ground, mm: what a call is off.
pub(super) const BEYOND_MM: f64 = 2.0;
/// Radius of the groove's bottom, mm.
pub(super) const BOTTOM_RADIUS_MM: f64 = 4.0;
/// How far its flanks lean from upright, degrees.
pub(super) const FLANK_DEG: f64 = 20.0;
/// Less metal than this left under the groove may burn or break through, mm.
pub(super) const THIN_MM: f64 = 4.0;
/// Steps of the bottom's arc as drawn.
const STEPS: u32 = 12;

/// A groove.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Repair {
    /// The face it is ground from: the one nearer to the call.
    pub(super) face: Face,
    /// The called ends, mm from the datum.
    pub(super) called_mm: [f64; 2],
    /// Where it is at full depth, mm from the datum.
    pub(super) bottom_mm: [f64; 2],
    /// Where it begins and ends at the face: both ends run out at 45°.
    pub(super) open_mm: [f64; 2],
    /// Its middle across the weld, mm, positive towards side B.
    pub(super) offset_mm: f64,
    /// Its depth below the plate's face, mm; the whole thickness where it goes through.
    pub(super) deep_mm: f64,
    /// Its width at the plate's face, mm.
    pub(super) wide_mm: f64,
    /// What is left under it, mm.
    pub(super) left_mm: f64,
    /// The call from top to bottom, mm below the upper face.
    pub(super) depth_mm: [f64; 2],
}

impl Repair {
    /// The groove of a call; by its keys what is missing on the sheet for one.
    pub(super) fn of(plate: &Plate, call: &Call) -> Result<Self, Vec<&'static str>> {
        let known = |value: Option<f64>| value.filter(|value| value.is_finite());
        let along = call.along_mm().filter(|_| call.start_mm.is_some() && call.end_mm.is_some());
        let (offset, depth, height) = (known(call.offset_mm), known(call.depth_mm), known(call.height_mm));
        let (Some(along), Some(offset), Some(depth), Some(height)) = (along, offset, depth, height) else {
            let parts = [
                ("said.missing.ends", along.is_none()),
                ("said.missing.across", offset.is_none()),
                ("said.missing.depth", depth.is_none()),
                ("said.missing.height", height.is_none()),
            ];
            return Err(parts.into_iter().filter(|(_, missing)| *missing).map(|(name, _)| name).collect());
        };
        let thickness = plate.thickness_mm;
        let within = |value: f64| value.clamp(0.0, thickness);
        let depth_mm = [within(depth - height.abs() / 2.0), within(depth + height.abs() / 2.0)];
        let (face, far) = match middle(depth_mm) <= thickness / 2.0 {
            true => (Face::Upper, depth_mm[1]),
            false => (Face::Lower, thickness - depth_mm[0]),
        };
        let deep_mm = (far + BEYOND_MM).min(thickness);
        let on_plate = |ends: [f64; 2], by: f64| {
            [(ends[0] - by).clamp(0.0, plate.length_mm), (ends[1] + by).clamp(0.0, plate.length_mm)]
        };
        let half = half_profile(deep_mm).last().map_or(0.0, |point| point[0]);
        Ok(Self {
            face,
            called_mm: along,
            bottom_mm: on_plate(along, BEYOND_MM),
            open_mm: on_plate(along, BEYOND_MM + deep_mm),
            offset_mm: offset,
            deep_mm,
            wide_mm: 2.0 * half,
            left_mm: thickness - deep_mm,
            depth_mm,
        })
    }

    /// The groove in section, (x, z) in mm with z below the upper face, from one edge to the other.
    pub(super) fn profile(&self, thickness_mm: f64) -> Vec<[f64; 2]> {
        let half = half_profile(self.deep_mm);
        let left = half.iter().rev().map(|[x, z]| [-x, *z]);
        let z = |below: f64| if self.face == Face::Upper { below } else { thickness_mm - below };
        left.chain(half.iter().skip(1).copied()).map(|[x, below]| [self.offset_mm + x, z(below)]).collect()
    }
}

/// Half of a groove of a depth, from the middle of its bottom to its edge: (x, depth below the face), mm.
fn half_profile(deep_mm: f64) -> Vec<[f64; 2]> {
    let radius = BOTTOM_RADIUS_MM;
    let flank = FLANK_DEG.to_radians();
    // The arc ends where it leans as the flank does, or at the face.
    let ends =
        (core::f64::consts::FRAC_PI_2 - flank).min(libm::acos((1.0 - deep_mm / radius).clamp(-1.0, 1.0)));
    let mut points: Vec<[f64; 2]> = (0..=STEPS)
        .map(|step| {
            let angle = ends * f64::from(step) / f64::from(STEPS);
            [radius * libm::sin(angle), deep_mm - radius * (1.0 - libm::cos(angle))]
        })
        .collect();
    if let Some([x, below]) = points.last().copied()
        && below > 1e-9
    {
        points.push([x + below * libm::tan(flank), 0.0]);
    }
    points
}
