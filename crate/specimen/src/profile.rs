//! What of the outside of a weld is not the level plate face: arcs over chords. Drawn and heard from one list.

use crate::flaw::{Flaw, FlawKind, Place, RootSpot};
use crate::joint::{Bevel, WeldSide};
use crate::plate::Plate;
use acoustics::order::sort_by;

/// A stretch along the weld over which a part is there.
pub(crate) struct Stretch {
    /// Along the weld, from and to, mm.
    pub(crate) y_mm: [f64; 2],
    /// What of the part's chord is there, mm across the weld; `None` for all of it.
    pub(crate) x_mm: Option<[f64; 2]>,
    /// Whether the part runs out towards either end of the stretch.
    pub(crate) runs_out: [bool; 2],
}

/// A strip of the outside that is not the level plate face: an arc over a chord, which may hang between two levels.
pub(crate) struct Part {
    /// Names its random numbers.
    pub(crate) purpose: &'static str,
    /// The plate face it takes the place of.
    pub(crate) face: Bevel,
    /// Its toes across the weld, mm.
    pub(crate) x_mm: [f64; 2],
    /// How much deeper than the level plate face it begins at either toe, mm.
    pub(crate) level_mm: [f64; 2],
    /// Rise of its middle out of the plate, mm; negative into it.
    pub(crate) rise_mm: f64,
    /// Amplitude of its ripple, mm.
    pub(crate) ripple_mm: f64,
    /// Where it is along the weld.
    pub(crate) stretches: Vec<Stretch>,
}

impl Part {
    /// Whether it is nothing but the level face.
    pub(crate) fn is_flat(&self) -> bool {
        self.rise_mm == 0.0 && self.level_mm == [0.0; 2]
    }

    /// Depth of the chord below the level plate face at x, mm.
    pub(crate) fn level_at_mm(&self, x: f64) -> f64 {
        let [from, to] = self.x_mm;
        self.level_mm[0] + (self.level_mm[1] - self.level_mm[0]) * (x - from) / (to - from)
    }
}

/// All parts of a plate's outside; the two caps and the root bead first. A part may be flat.
pub(crate) fn parts(plate: &Plate) -> Vec<Part> {
    let (joint, thickness) = (&plate.joint, plate.thickness_mm);
    let whole = || vec![Stretch { y_mm: [0.0, plate.length_mm], x_mm: None, runs_out: [false; 2] }];
    let step = joint.misalignment_mm;
    let mut parts = Vec::new();
    if joint.preparation == crate::joint::Preparation::None {
        return parts;
    }
    let cap = |purpose, face| Part {
        purpose,
        face,
        x_mm: [
            -joint.cap_toe_mm(thickness, WeldSide::A, face),
            joint.cap_toe_mm(thickness, WeldSide::B, face),
        ],
        level_mm: [0.0, step],
        rise_mm: joint.cap.height_mm,
        ripple_mm: joint.cap.ripple_mm,
        stretches: whole(),
    };
    parts.push(cap("cap", Bevel::Upper));
    if joint.preparation.is_double() {
        parts.push(cap("lower cap", Bevel::Lower));
    } else if let Some(bead) = joint.root_bead {
        let half = bead.width_mm / 2.0;
        parts.push(Part {
            purpose: "root bead",
            face: Bevel::Lower,
            x_mm: [-half, half],
            level_mm: [0.0, step],
            rise_mm: bead.height_mm,
            ripple_mm: bead.ripple_mm,
            stretches: penetrated(plate),
        });
    }
    // Outermost x of what stands on each face on side B, where dressing begins.
    let mut edges: Vec<(Bevel, f64)> = parts.iter().map(|part| (part.face, part.x_mm[1])).collect();
    for cut in &joint.undercuts {
        let toe = joint.cap_toe_mm(thickness, cut.side, Bevel::Upper);
        let (purpose, x_mm, level) = match cut.side {
            WeldSide::A => ("undercut A", [-toe - cut.width_mm, -toe], 0.0),
            WeldSide::B => ("undercut B", [toe, toe + cut.width_mm], step),
        };
        if cut.side == WeldSide::B {
            edges[0].1 = x_mm[1];
        }
        parts.push(Part {
            purpose,
            face: Bevel::Upper,
            x_mm,
            level_mm: [level; 2],
            rise_mm: -cut.depth_mm,
            ripple_mm: 0.0,
            stretches: whole(),
        });
    }
    if step != 0.0 {
        parts.extend(edges.into_iter().map(|(face, x)| Part {
            purpose: if face == Bevel::Upper { "dressed above" } else { "dressed below" },
            face,
            x_mm: [x, x + joint.dressed_mm()],
            level_mm: [step, 0.0],
            rise_mm: 0.0,
            ripple_mm: 0.0,
            stretches: whole(),
        }));
    }
    parts
}

/// The lengths of weld with a root bead: all but the incompletely penetrated ones. Where one root edge was not fused the
/// bead ends at it, and the corner of the plate stands free.
fn penetrated(plate: &Plate) -> Vec<Stretch> {
    let mut breaks: Vec<&Flaw> = plate
        .flaws
        .iter()
        .filter(|flaw| matches!(flaw.kind, FlawKind::IncompletePenetration | FlawKind::LackOfRootFusion))
        .collect();
    sort_by(&mut breaks, |a, b| a.start_mm.total_cmp(&b.start_mm));
    let half_gap = plate.joint.root_gap_mm / 2.0;
    let half = plate.joint.root_bead.map_or(0.0, |bead| bead.width_mm / 2.0);
    let mut stretches = Vec::new();
    let (mut from, mut head) = (0.0, false);
    let mut whole = |from: f64, to: f64, runs_out: [bool; 2]| {
        if to > from {
            stretches.push(Stretch { y_mm: [from, to], x_mm: None, runs_out });
        }
    };
    let mut shorn = Vec::new();
    for flaw in breaks {
        let end = flaw.start_mm + flaw.length_mm;
        let open = flaw.kind == FlawKind::IncompletePenetration;
        whole(from, flaw.start_mm, [head, open]);
        if !open && end > from {
            let x_mm = match flaw.place {
                Place::Root { at: RootSpot::EdgeA } => [-half_gap, half],
                _ => [-half, half_gap],
            };
            let y_mm = [flaw.start_mm.max(from), end];
            shorn.push(Stretch { y_mm, x_mm: Some(x_mm), runs_out: [false; 2] });
        }
        (from, head) = (f64::max(from, end), open);
    }
    whole(from, plate.length_mm, [head, false]);
    stretches.extend(shorn);
    stretches
}

/// Depth of the plate face at a root spot or toe on one side, mm: what opens there begins there.
pub(crate) fn face_depth_mm(plate: &Plate, side: Option<WeldSide>, face: Bevel) -> f64 {
    let level = if side == Some(WeldSide::B) { plate.joint.misalignment_mm } else { 0.0 };
    let flat = if face == Bevel::Upper { 0.0 } else { plate.thickness_mm };
    if level == 0.0 { flat } else { flat + level }
}
