//! What a flaw shows from where, by rays: which beam meets its middle, and how square.

use instrument::pose::Side;
use serde::Serialize;
use specimen::flaw::{Extent, Flaw, FlawKind, Place};
use specimen::joint::Bevel;
use specimen::plate::Plate;

use super::FlawNote;
use crate::beams;
use crate::findable::BestEcho;
use crate::marking::FlawRow;
use crate::matching::middle;
use crate::paper::Paper;
use crate::said::{Said, Value};

/// Up to here a face is met so square that its own echo is expected, degrees. Common practice, no source.
const SQUARE_DEG: f64 = 10.0;

/// From here on a face sends next to nothing back and only its edges answer, degrees. A reflector may vanish 20°
/// to 30° off square (a teaching article on the public web; not a measured limit).
const EDGES_ONLY_DEG: f64 = 20.0;

/// Most a face may lean and still make a corner with the plate's face, degrees.
const UPRIGHT_DEG: f64 = 15.0;

/// How near to a face of the plate a flaw is open to it, mm: the step of the flaw map.
const OPEN_MM: f64 = 0.05;

/// A beam that meets a flaw, and where the probe stands for it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct View {
    /// Side the probe stands on.
    pub side: Side,
    /// Index offset, mm.
    pub index_offset_mm: f64,
    /// Place along the weld, mm.
    pub y_mm: f64,
    /// Refracted angle of the beam, degrees.
    pub angle_deg: f64,
    /// Beam of the procedure, from 0: those of a linear scan all have one angle.
    pub beam: u32,
    /// Leg in which it arrives, from 1.
    pub leg: u8,
    /// Sound path to the flaw, mm.
    pub sound_path_mm: f64,
    /// Angle between the beam and the normal of the flaw's face, degrees; absent for a volumetric flaw.
    pub off_square_deg: Option<f64>,
}

impl View {
    /// The view of an echo.
    pub(super) fn of(echo: &BestEcho) -> Self {
        Self {
            side: echo.side,
            index_offset_mm: echo.index_offset_mm,
            y_mm: echo.y_mm,
            angle_deg: echo.angle_deg,
            beam: echo.beam,
            leg: echo.leg,
            sound_path_mm: echo.sound_path_mm,
            off_square_deg: None,
        }
    }
}

/// Normal of a planar flaw's face in the section, (x, z); its sign means nothing.
fn normal(flaw: &Flaw, plate: &Plate) -> Option<[f64; 2]> {
    // A crack across the weld stands on edge to every beam of the section.
    if !flaw.kind.is_planar() || flaw.kind == FlawKind::TransverseCrack {
        return None;
    }
    let (x, z) = match flaw.place {
        Place::Bevel { side, bevel, .. } => {
            let angle = plate.joint.bevel_angle_deg(side).to_radians();
            let opens = match bevel {
                Bevel::Upper => 1.0,
                Bevel::Lower => -1.0,
            };
            (libm::cos(angle), side.x_sign() * opens * libm::sin(angle))
        }
        Place::Run { .. } => (0.0, 1.0),
        Place::Weld { .. } | Place::Root { .. } | Place::Toe { .. } => {
            let tilt = flaw.tilt_deg.to_radians();
            (libm::cos(tilt), libm::sin(tilt))
        }
    };
    Some([x, z])
}

/// All beams of the procedure that meet a place of the section with an allowed index offset, without bouncing off
/// cap or root bead on their way.
fn views(paper: &Paper, side: Side, target: [f64; 2], y_mm: f64, normal: Option<[f64; 2]>) -> Vec<View> {
    let (plate, procedure) = (&paper.plate, &paper.procedure);
    let thickness = plate.thickness_mm;
    let [nearest, farthest] = procedure.index_offset_mm;
    let upper_toe = plate.joint.upper_toe_mm(thickness);
    let lower_toe = plate.joint.lower_toe_mm(thickness).unwrap_or(0.0);
    // In the frame of the side sound always goes towards +x.
    let [x, depth] = [side.sign() * target[0], target[1]];
    let mut found = Vec::new();
    for (beam, [angle_deg, exit]) in (0..).zip(beams::beams(procedure, plate.solid.shear_mm_per_us)) {
        let (sine, cosine) = (libm::sin(angle_deg.to_radians()), libm::cos(angle_deg.to_radians()));
        for (leg, down, vertical) in
            [(1, 1.0, depth), (2, -1.0, 2.0 * thickness - depth), (3, 1.0, 2.0 * thickness + depth)]
        {
            let sound_path_mm = vertical / cosine;
            let index_offset_mm = exit + vertical * sine / cosine - x;
            let bounce = |times: f64| exit - index_offset_mm + times * thickness * sine / cosine;
            let flat =
                (leg < 2 || bounce(1.0).abs() > lower_toe) && (leg < 3 || bounce(2.0).abs() > upper_toe);
            if sound_path_mm <= procedure.range_mm && (nearest..=farthest).contains(&index_offset_mm) && flat
            {
                let off_square_deg = normal.map(|normal| {
                    let along = side.sign() * sine * normal[0] + down * cosine * normal[1];
                    libm::acos(along.abs().min(1.0)).to_degrees()
                });
                found.push(View {
                    side,
                    index_offset_mm,
                    y_mm,
                    angle_deg,
                    beam,
                    leg,
                    sound_path_mm,
                    off_square_deg,
                });
            }
        }
    }
    found
}

/// The squarest view, or for a volumetric flaw the one with the shortest sound path.
fn best(views: Vec<View>) -> Option<View> {
    views.into_iter().min_by(|a, b| {
        let key = |view: &View| (view.off_square_deg.unwrap_or(0.0), view.sound_path_mm);
        let ((a_off, a_path), (b_off, b_path)) = (key(a), key(b));
        a_off.total_cmp(&b_off).then(a_path.total_cmp(&b_path))
    })
}

/// The note of one flaw.
pub(super) fn note(paper: &Paper, row: &FlawRow) -> FlawNote {
    let Some(flaw) = usize::try_from(row.index).ok().and_then(|index| paper.plate.flaws.get(index)) else {
        return FlawNote {
            flaw: row.number,
            sentences: Vec::new(),
            best_view: None,
            session: Vec::new(),
            told_by: None,
            seen: None,
            possible: Vec::new(),
        };
    };
    let Explained { general, sides } = explained(paper, flaw, &row.extent);
    let best_view = best(sides.iter().filter_map(|side| side.view).collect());
    let sentences = general.into_iter().chain(sides.into_iter().map(|side| side.sentence)).collect();
    FlawNote {
        flaw: row.number,
        sentences,
        best_view,
        session: Vec::new(),
        told_by: None,
        seen: None,
        possible: Vec::new(),
    }
}

/// What a flaw shows, by rays.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Explained {
    /// What holds from everywhere, if anything.
    pub general: Option<Said>,
    /// What a beam meets there, from each side of the procedure.
    pub sides: Vec<ExplainedSide>,
}

/// What a beam from one side meets.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ExplainedSide {
    /// The side.
    pub side: Side,
    /// In words.
    pub sentence: Said,
    /// The beam that meets it best, if one does.
    pub view: Option<View>,
}

/// What a flaw of this extent shows from each side of the procedure.
pub fn explained(paper: &Paper, flaw: &Flaw, extent: &Extent) -> Explained {
    let normal = normal(flaw, &paper.plate);
    let corner = corner_depth_mm(paper, extent, normal);
    let across = middle(extent.across_mm);
    let y_mm = middle(extent.along_mm);
    let of_side = |&side: &Side| {
        let (sentence, view) = if let Some(foot) = corner {
            let view = corner_view(views(paper, side, [across, foot], y_mm, None), foot);
            (corner_sentence(side, view.as_ref()), view)
        } else {
            let view = best(views(paper, side, [across, middle(extent.depth_mm)], y_mm, normal));
            (sentence(side, view.as_ref()), view)
        };
        ExplainedSide { side, sentence, view }
    };
    let general = corner.map(|foot| {
        Said::new(if foot > 0.0 { "said.corner.lower" } else { "said.corner.upper" }, Vec::new())
    });
    Explained { general, sides: paper.procedure.sides.iter().map(of_side).collect() }
}

/// Depth of the plate's face with which an upright flaw makes a corner.
fn corner_depth_mm(paper: &Paper, extent: &Extent, normal: Option<[f64; 2]>) -> Option<f64> {
    let upright = normal.is_some_and(|n| n[1].abs() <= libm::sin(UPRIGHT_DEG.to_radians()));
    let thickness = paper.plate.thickness_mm;
    let [top, bottom] = extent.depth_mm;
    match (upright, bottom >= thickness - OPEN_MM, top <= OPEN_MM) {
        (true, true, _) => Some(thickness),
        (true, _, true) => Some(0.0),
        _ => None,
    }
}

/// The view of a corner that keeps farthest from the poor angle of 60°. At the foot on the lower face leg 1 ends
/// and leg 2 begins, on the upper one leg 2 ends and leg 3 begins; the one that arrives counts.
fn corner_view(views: Vec<View>, foot_mm: f64) -> Option<View> {
    let arrives = if foot_mm > 0.0 { 1 } else { 2 };
    views.into_iter().filter(|view| view.leg == arrives).max_by(|a, b| {
        let key = |view: &View| (view.angle_deg - 60.0).abs();
        key(a).total_cmp(&key(b)).then(b.sound_path_mm.total_cmp(&a.sound_path_mm))
    })
}

/// Side and beam that a sentence names, and where the probe stands.
fn stand(side: Side, view: &View) -> Vec<(&'static str, Value)> {
    vec![
        ("side", side.into()),
        ("angle_deg", view.angle_deg.into()),
        ("leg", u32::from(view.leg).into()),
        ("offset_mm", view.index_offset_mm.into()),
    ]
}

fn corner_sentence(side: Side, view: Option<&View>) -> Said {
    match view {
        Some(view) => Said::new("said.foot", stand(side, view)),
        None => Said::new("said.foot.none", vec![("side", side.into())]),
    }
}

fn sentence(side: Side, view: Option<&View>) -> Said {
    let Some(view) = view else {
        return Said::new("said.face.none", vec![("side", side.into())]);
    };
    let mut values = stand(side, view);
    let Some(off_deg) = view.off_square_deg else {
        return Said::new("said.face.round", values);
    };
    values.push(("off_deg", off_deg.into()));
    let key = if off_deg <= SQUARE_DEG {
        "said.face.square"
    } else if off_deg <= EDGES_ONLY_DEG {
        "said.face.weak"
    } else {
        "said.face.edges"
    };
    Said::new(key, values)
}
