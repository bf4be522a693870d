//! The scan plan: which part of a zone of the section beams reach from where the probe may stand, and which none does. By
//! rays alone: level faces are mirrors, and a ray that bounces where a face is not level is lost.

use acoustics::order::sort_by;
use serde::Serialize;

use crate::pose::{Face, Side};
use crate::stand::unfold;

/// A beam of the plan.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PlanBeam {
    /// Refracted angle, degrees.
    pub angle_deg: f64,
    /// Where it leaves the wedge, forward from the wedge front (negative: behind it), mm.
    pub exit_forward_mm: f64,
}

/// Where the probe may stand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Station {
    /// Face.
    pub face: Face,
    /// Side of the weld.
    pub side: Side,
    /// Index offsets, from and to, mm.
    pub index_offset_mm: [f64; 2],
}

/// What is to be reached, in a plate with level faces.
#[derive(Clone, Debug)]
pub struct Zone {
    /// Thickness of the plate, mm.
    pub thickness_mm: f64,
    /// Left and right edge of the zone, polylines of x and z from the upper face down, mm.
    pub edges: [Vec<[f64; 2]>; 2],
    /// Stretches of the upper and the lower face, in x, that are no mirror, mm.
    pub not_level: [Vec<[f64; 2]>; 2],
}

/// A part of the zone that no beam reaches, by the box it fills.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Gap {
    /// Across the weld, from and to, mm.
    pub offset_mm: [f64; 2],
    /// Depth below the upper face, from and to, mm.
    pub depth_mm: [f64; 2],
    /// Its area, mm².
    pub area_mm2: f64,
}

/// What is reached and what is not.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Coverage {
    /// Part of the zone that is reached from any station, %.
    pub reached_percent: f64,
    /// The same from each station alone, %.
    pub station_percent: Vec<f64>,
    /// The cells that are not reached, joined row by row: x from, x to, z from, z to, mm.
    pub unreached_mm: Vec<[f64; 4]>,
    /// The same as parts that hang together, largest first.
    pub gaps: Vec<Gap>,
}

/// Most legs that a plan can count on.
pub const LEGS: u8 = acoustics::engine::LEGS as u8;
/// Gaps smaller than this are not told of, mm².
const LEAST_GAP_MM2: f64 = 0.8;
/// Index offsets in a range are tried at this distance, mm.
const OFFSET_STEP_MM: f64 = 1.0;

/// Beams with what is needed of them again and again, by rising exit and angle.
struct Fan {
    beams: Vec<Ray>,
    range_mm: f64,
    legs: u8,
}

struct Ray {
    exit_mm: f64,
    sine: f64,
    cosine: f64,
}

impl Fan {
    fn new(beams: &[PlanBeam], range_mm: f64, legs: u8) -> Self {
        let ray = |beam: &PlanBeam| {
            let angle = beam.angle_deg.to_radians();
            Ray { exit_mm: beam.exit_forward_mm, sine: libm::sin(angle), cosine: libm::cos(angle) }
        };
        Self { beams: beams.iter().map(ray).collect(), range_mm, legs: legs.min(LEGS) }
    }

    /// Tangent of the ray to a place of the unfolded plate; `None` outside the fan or beyond the range.
    fn tangent_to(&self, forward_mm: f64, unfolded_mm: f64) -> Option<f64> {
        // Positive on the far side of a beam; falls from beam to beam.
        let past = |ray: &Ray| (forward_mm - ray.exit_mm) * ray.cosine - unfolded_mm * ray.sine;
        let next = self.beams.partition_point(|ray| past(ray) >= 0.0);
        if next == 0 || next >= self.beams.len() {
            return None;
        }
        let (near, far) = (&self.beams[next - 1], &self.beams[next]);
        let (before, beyond) = (past(near), -past(far));
        let exit_mm = near.exit_mm + (far.exit_mm - near.exit_mm) * before / (before + beyond);
        let ahead = forward_mm - exit_mm;
        let path = f64::sqrt(ahead * ahead + unfolded_mm * unfolded_mm);
        (path <= self.range_mm && unfolded_mm > 0.0).then(|| ahead / unfolded_mm)
    }
}

impl Zone {
    /// Left and right edge at a depth; `None` where there is none.
    fn width_at(&self, depth_mm: f64) -> Option<[f64; 2]> {
        let at = |line: &Vec<[f64; 2]>| {
            line.windows(2).find_map(|pair| {
                let ([x, z], [next_x, next_z]) = (pair[0], pair[1]);
                let inside = depth_mm >= z && depth_mm <= next_z && next_z > z;
                inside.then(|| x + (next_x - x) * (depth_mm - z) / (next_z - z))
            })
        };
        let edges = [at(&self.edges[0])?, at(&self.edges[1])?];
        (edges[1] > edges[0]).then_some(edges)
    }

    fn is_level(&self, face: Face, x_mm: f64) -> bool {
        let stretches = &self.not_level[usize::from(face == Face::Lower)];
        !stretches.iter().any(|[from, to]| x_mm > *from && x_mm < *to)
    }

    /// Whether a place is reached from one offset of a station.
    fn reached(&self, fan: &Fan, station: &Station, offset_mm: f64, [x, z]: [f64; 2]) -> bool {
        let sign = station.side.sign();
        let (far_face, below) = match station.face {
            Face::Upper => (Face::Lower, z),
            Face::Lower => (Face::Upper, self.thickness_mm - z),
        };
        let forward = sign * x + offset_mm;
        (1..=fan.legs).any(|leg| {
            let unfolded = unfold(below, leg, self.thickness_mm);
            let Some(tangent) = fan.tangent_to(forward, unfolded) else { return false };
            (1..leg).all(|bounce| {
                let back = (unfolded - f64::from(bounce) * self.thickness_mm) * tangent;
                let face = if bounce % 2 == 1 { far_face } else { station.face };
                self.is_level(face, sign * (forward - back - offset_mm))
            })
        })
    }
}

/// The zone cut into cells of half a millimetre, in thick plates of one or two.
#[derive(Clone, Debug)]
pub struct Cells {
    size_mm: f64,
    /// Row and column, row by row from left to right.
    places: Vec<(usize, i32)>,
}

impl Cells {
    /// Those whose middle lies in the zone.
    pub fn new(zone: &Zone) -> Self {
        let rows =
            libm::ceil(zone.thickness_mm / if zone.thickness_mm <= 25.0 { 0.5 } else { 1.0 }).min(80.0);
        let size_mm = zone.thickness_mm / rows;
        let mut places = Vec::new();
        for row in 0..rows as usize {
            let z = (row as f64 + 0.5) * size_mm;
            let Some([left, right]) = zone.width_at(z) else { continue };
            let column_of = |x: f64| libm::floor(x / size_mm + 0.5) as i32;
            let inside = (column_of(left)..=column_of(right)).filter(|&column| {
                let x = f64::from(column) * size_mm;
                x >= left && x <= right
            });
            places.extend(inside.map(|column| (row, column)));
        }
        Self { size_mm, places }
    }

    /// Middles of the cells, x and z, mm.
    pub fn middles_mm(&self) -> impl Iterator<Item = [f64; 2]> {
        self.places
            .iter()
            .map(|&(row, column)| [f64::from(column) * self.size_mm, (row as f64 + 0.5) * self.size_mm])
    }

    /// Which cells beams reach from a station.
    pub fn reached(&self, zone: &Zone, beams: &[PlanBeam], range_mm: f64, station: &Station) -> Vec<bool> {
        self.reached_by(zone, &Fan::new(beams, range_mm, LEGS), station)
    }

    fn reached_by(&self, zone: &Zone, fan: &Fan, station: &Station) -> Vec<bool> {
        let offsets = offsets(station);
        let from_any = |place| offsets.iter().any(|&offset| zone.reached(fan, station, offset, place));
        self.middles_mm().map(from_any).collect()
    }
}

/// What beams reach of a zone from some stations, by the first `legs` legs.
pub fn coverage(zone: &Zone, beams: &[PlanBeam], range_mm: f64, stations: &[Station], legs: u8) -> Coverage {
    let fan = Fan::new(beams, range_mm, legs);
    let cells = Cells::new(zone);
    let reached: Vec<Vec<bool>> =
        stations.iter().map(|station| cells.reached_by(zone, &fan, station)).collect();
    let percent = |count: usize| 100.0 * count as f64 / cells.places.len().max(1) as f64;
    let station_percent =
        reached.iter().map(|cells| percent(cells.iter().filter(|&&reached| reached).count())).collect();
    let dark: Vec<(usize, i32)> = (cells.places.iter().enumerate())
        .filter(|&(cell, _)| !reached.iter().any(|station| station[cell]))
        .map(|(_, &place)| place)
        .collect();
    Coverage {
        reached_percent: percent(cells.places.len() - dark.len()),
        station_percent,
        unreached_mm: joined(&dark, cells.size_mm),
        gaps: gaps(&dark, cells.size_mm),
    }
}

fn offsets(station: &Station) -> Vec<f64> {
    let [from, to] = station.index_offset_mm;
    let steps = libm::ceil((to - from) / OFFSET_STEP_MM).clamp(0.0, 500.0) as u32;
    (0..=steps).map(|step| (from + OFFSET_STEP_MM * f64::from(step)).min(to.max(from))).collect()
}

/// Box of a cell: x from, x to, z from, z to.
fn bounds((row, column): (usize, i32), cell_mm: f64) -> [f64; 4] {
    let (x, z) = (f64::from(column) * cell_mm, row as f64 * cell_mm);
    [x - 0.5 * cell_mm, x + 0.5 * cell_mm, z, z + cell_mm]
}

/// Neighbours in a row as one box. Cells come row by row, from left to right.
fn joined(cells: &[(usize, i32)], cell_mm: f64) -> Vec<[f64; 4]> {
    let mut boxes: Vec<[f64; 4]> = Vec::new();
    let mut last = None;
    for &(row, column) in cells {
        let [_, right, ..] = bounds((row, column), cell_mm);
        match boxes.last_mut() {
            Some(open) if last == Some((row, column - 1)) => open[1] = right,
            _ => boxes.push(bounds((row, column), cell_mm)),
        }
        last = Some((row, column));
    }
    boxes
}

/// Cells that hang together by their sides.
fn gaps(cells: &[(usize, i32)], cell_mm: f64) -> Vec<Gap> {
    let mut seen = vec![false; cells.len()];
    let find = |row: usize, column: i32| cells.binary_search(&(row, column)).ok();
    let mut gaps = Vec::new();
    for start in 0..cells.len() {
        if seen[start] {
            continue;
        }
        seen[start] = true;
        let (mut open, mut part) = (vec![start], Vec::new());
        while let Some(at) = open.pop() {
            part.push(cells[at]);
            let (row, column) = cells[at];
            let around = [
                find(row, column - 1),
                find(row, column + 1),
                find(row + 1, column),
                row.checked_sub(1).and_then(|above| find(above, column)),
            ];
            for next in around.into_iter().flatten() {
                if !seen[next] {
                    seen[next] = true;
                    open.push(next);
                }
            }
        }
        let mut all = [f64::INFINITY, f64::NEG_INFINITY, f64::INFINITY, f64::NEG_INFINITY];
        for &cell in &part {
            let [left, right, top, bottom] = bounds(cell, cell_mm);
            all = [all[0].min(left), all[1].max(right), all[2].min(top), all[3].max(bottom)];
        }
        gaps.push(Gap {
            offset_mm: [all[0], all[1]],
            depth_mm: [all[2], all[3]],
            area_mm2: part.len() as f64 * cell_mm * cell_mm,
        });
    }
    gaps.retain(|gap| gap.area_mm2 >= LEAST_GAP_MM2);
    sort_by(&mut gaps, |a, b| b.area_mm2.total_cmp(&a.area_mm2));
    gaps
}

#[cfg(test)]
mod tests {
    use super::*;

    const T: f64 = 20.0;

    fn zone(not_level: [Vec<[f64; 2]>; 2]) -> Zone {
        let edge = |x: f64| vec![[x, 0.0], [x, T]];
        Zone { thickness_mm: T, edges: [edge(-10.0), edge(10.0)], not_level }
    }

    /// 40° to 70° from one exit point at the wedge front.
    fn sector() -> Vec<PlanBeam> {
        (40..=70).map(|angle| PlanBeam { angle_deg: f64::from(angle), exit_forward_mm: 0.0 }).collect()
    }

    fn at(face: Face, side: Side, offset: f64) -> Station {
        Station { face, side, index_offset_mm: [offset; 2] }
    }

    fn tan(deg: f64) -> f64 {
        libm::tan(deg.to_radians())
    }

    /// Half skip and skip: a beam of angle θ meets the far face T tan θ ahead, and its own face again 2 T tan θ ahead
    /// (trigonometry; public notes on V paths). On a depth z the first leg reaches from z tan 40° to z tan 70°.
    #[test]
    fn a_first_leg_covers_what_trigonometry_says() {
        let (zone, offset) = (zone([vec![], vec![]]), 20.0);
        // A range that ends before any beam is back from the far face.
        let found = coverage(&zone, &sector(), 26.0, &[at(Face::Upper, Side::A, offset)], LEGS);
        for [left, right, top, bottom] in &found.unreached_mm {
            let z = 0.5 * (top + bottom);
            let mut x = left + 0.25;
            while x < *right {
                let forward = x + offset;
                let path = libm::hypot(forward, z);
                let inside = forward >= z * tan(40.0) && forward <= z * tan(70.0) && path <= 26.0;
                assert!(!inside, "{x} {z} is told as not reached");
                x += 0.5;
            }
        }
        let cells: f64 = found.unreached_mm.iter().map(|[left, right, ..]| (right - left) / 0.5).sum();
        let mut expected = 0.0;
        for row in 0..40 {
            let z = (f64::from(row) + 0.5) * 0.5;
            for column in -20..=20 {
                let forward = f64::from(column) * 0.5 + offset;
                let inside = forward >= z * tan(40.0) && forward <= z * tan(70.0);
                expected += f64::from(u8::from(!inside || libm::hypot(forward, z) > 26.0));
            }
        }
        assert!((cells - expected).abs() <= 2.0, "{cells} cells against {expected}");
    }

    #[test]
    fn the_second_leg_reaches_the_cap_and_a_bead_at_the_bounce_takes_it_away() {
        // From 30 mm the 45° beam is back under the upper face 40 mm ahead: 10 mm past the centreline.
        let station = [at(Face::Upper, Side::A, 30.0)];
        let reach = |not_level| {
            let zone = zone(not_level);
            let fan = Fan::new(&sector(), 200.0, LEGS);
            zone.reached(&fan, &station[0], 30.0, [9.75, 0.25])
        };
        assert!(reach([vec![], vec![]]));
        // It bounces 20 mm ahead, at x = -10.
        assert!(!reach([vec![], vec![[-12.0, -8.0]]]));
        assert!(reach([vec![], vec![[-7.0, 7.0]]]));
    }

    #[test]
    fn both_sides_reach_mirror_images_and_together_more() {
        let zone = zone([vec![], vec![]]);
        let (a, b) = (at(Face::Upper, Side::A, 15.0), at(Face::Upper, Side::B, 15.0));
        let both = coverage(&zone, &sector(), 40.0, &[a, b], LEGS);
        let [from_a, from_b] = both.station_percent[..] else { panic!("two stations") };
        assert!((from_a - from_b).abs() < 1e-9);
        assert!(both.reached_percent > from_a);
        let mirrored: f64 = both.gaps.iter().map(|gap| gap.offset_mm[0] + gap.offset_mm[1]).sum();
        assert!(mirrored.abs() < 1e-9, "{:?}", both.gaps);
        // The same from below is the same upside down.
        let below = coverage(&zone, &sector(), 40.0, &[at(Face::Lower, Side::A, 15.0)], LEGS);
        assert!((below.reached_percent - from_a).abs() < 1e-9);
    }

    #[test]
    fn more_offsets_reach_more_and_gaps_add_up() {
        let zone = zone([vec![], vec![]]);
        let one = coverage(&zone, &sector(), 60.0, &[at(Face::Upper, Side::A, 12.0)], LEGS);
        let wide = Station { index_offset_mm: [12.0, 40.0], ..at(Face::Upper, Side::A, 12.0) };
        let many = coverage(&zone, &sector(), 60.0, &[wide], LEGS);
        assert!(many.reached_percent > one.reached_percent);
        let boxes: f64 = one.unreached_mm.iter().map(|[l, r, t, b]| (r - l) * (b - t)).sum();
        let gaps: f64 = one.gaps.iter().map(|gap| gap.area_mm2).sum();
        assert!(gaps > 0.0 && gaps <= boxes + 1e-6 && boxes - gaps < 5.0, "{gaps} of {boxes}");
    }

    #[test]
    fn no_beams_reach_nothing() {
        let found = coverage(&zone([vec![], vec![]]), &[], 60.0, &[at(Face::Upper, Side::A, 12.0)], LEGS);
        assert!(found.reached_percent < 1e-9);
        assert_eq!(found.gaps.len(), 1);
    }

    /// A probe far off reaches the body by its second leg only.
    #[test]
    fn legs_that_do_not_count_reach_nothing() {
        let zone = zone([vec![], vec![]]);
        let far = [at(Face::Upper, Side::A, 70.0)];
        let by = [1, 2, 3].map(|legs| coverage(&zone, &sector(), 200.0, &far, legs).reached_percent);
        assert!(by[0] < 0.1 && by[1] > 30.0 && by[2] > by[1], "{by:?}");
    }
}
