//! Plates and flaws for tests.

use acoustics::material::Solid;

use crate::flaw::{Flaw, FlawKind, Place, RootSpot};
use crate::joint::{BackingBar, Bevel, Cap, Joint, Preparation, RootBead, Undercut, WeldSide};
use crate::plate::Plate;

pub(crate) fn plate(preparation: Preparation) -> Plate {
    let single = preparation == Preparation::SingleV;
    Plate {
        id: "TH-07".to_owned(),
        title: "Lock gate".to_owned(),
        note: String::new(),
        seed: 11,
        thickness_mm: if single { 20.0 } else { 25.0 },
        length_mm: 300.0,
        width_mm: 250.0,
        grain_level_db: -38.0,
        longitudinal_waves: false,
        solid: Solid::STEEL,
        joint: Joint {
            preparation,
            groove_angle_deg: 60.0,
            root_face_mm: 2.0,
            root_gap_mm: 2.0,
            upper_share: None,
            cap: Cap { overlap_mm: 1.5, height_mm: 1.5, ripple_mm: 0.08 },
            root_bead: single.then_some(RootBead { width_mm: 5.0, height_mm: 1.2, ripple_mm: 0.08 }),
            ..Joint::default()
        },
        block: None,
        flaws: Vec::new(),
    }
}

/// A plate of every preparation with a flaw of most kinds' size in mind, 16 mm thick and more.
pub(crate) fn joints() -> Vec<Plate> {
    let mut plates: Vec<Plate> = Preparation::ALL
        .into_iter()
        .flat_map(|preparation| [12.0, 25.0].map(|t| joint(preparation, t)))
        .collect();
    for thickness in [6.0, 60.0] {
        plates.extend(Preparation::ALL.map(|preparation| joint(preparation, thickness)));
    }
    let mut options: Vec<Plate> = plates.iter().map(|plate| Plate { seed: 12, ..plate.clone() }).collect();
    for plate in &mut options {
        let joint = &mut plate.joint;
        joint.misalignment_mm = if plate.thickness_mm > 20.0 { -1.2 } else { 0.8 };
        joint.undercuts = vec![
            Undercut { side: WeldSide::A, depth_mm: 0.3, width_mm: 1.0 },
            Undercut { side: WeldSide::B, depth_mm: 0.5, width_mm: 1.5 },
        ];
        if let Some(bead) = &mut joint.root_bead {
            (bead.height_mm, bead.ripple_mm) = (-0.6, 0.02);
        }
        if joint.preparation.is_one_sided() {
            joint.prepared_side = Some(WeldSide::A);
        }
    }
    let mut backed: Vec<Plate> = plates.clone();
    backed.retain(|plate| !plate.joint.preparation.is_double());
    for plate in &mut backed {
        plate.joint.root_bead = None;
        (plate.joint.root_face_mm, plate.joint.root_gap_mm) = (0.0, 5.0);
        plate.joint.backing_bar = Some(BackingBar { width_mm: 25.0, thickness_mm: 6.0, fused_mm: 1.0 });
    }
    let mut flush = plates.clone();
    for plate in &mut flush {
        (plate.joint.cap, plate.joint.root_bead) = (Cap { overlap_mm: 1.0, ..Cap::default() }, None);
    }
    plates.into_iter().chain(options).chain(backed).chain(flush).collect()
}

fn joint(preparation: Preparation, thickness_mm: f64) -> Plate {
    let mut plate = plate(if preparation.is_double() { Preparation::DoubleV } else { Preparation::SingleV });
    let thin = thickness_mm < 10.0;
    (plate.thickness_mm, plate.length_mm) = (thickness_mm, 120.0);
    let joint = &mut plate.joint;
    joint.preparation = preparation;
    match preparation {
        Preparation::Square => (joint.groove_angle_deg, joint.root_face_mm) = (0.0, 0.0),
        Preparation::SingleJ => joint.groove_angle_deg = 20.0,
        Preparation::SingleBevel | Preparation::DoubleBevel => joint.groove_angle_deg = 45.0,
        _ => {}
    }
    if preparation == Preparation::SingleJ && thin {
        joint.j_radius_mm = Some(3.0);
    }
    if thin || preparation == Preparation::Square {
        joint.cap.height_mm = 0.9;
        joint.cap.overlap_mm = 2.0;
    }
    plate
}

/// A flaw of every kind that a joint can have, where it can have it.
pub(crate) fn flaws(plate: &Plate, seed: u64) -> Vec<Flaw> {
    let (joint, thickness) = (&plate.joint, plate.thickness_mm);
    let mut flaws = Vec::new();
    let high = (thickness / 6.0).clamp(0.8, 4.0);
    let tenths = |value: f64| libm::round(value * 10.0) / 10.0;
    let mut add = |kind: FlawKind, place: Place, height: f64, length: f64, width: Option<f64>| {
        flaws.push(Flaw {
            kind,
            start_mm: 31.5,
            length_mm: tenths(length),
            height_mm: tenths(height),
            width_mm: width.map(tenths),
            tilt_deg: 0.0,
            branches: if kind.is_crack() && kind != FlawKind::TransverseCrack { 3 } else { 0 },
            roughness_ratio: Flaw::USUAL_ROUGHNESS,
            seed,
            mandatory: true,
            place,
        });
    };
    let middle = Place::Weld {
        depth_mm: tenths(if joint.preparation.is_double() { thickness / 4.0 } else { thickness / 2.5 }),
        offset_mm: 0.0,
    };
    let near = Place::Weld { depth_mm: tenths(thickness / 3.0), offset_mm: 0.0 };
    for side in WeldSide::BOTH {
        for bevel in [Bevel::Upper, Bevel::Lower] {
            if let Some([from, to]) =
                joint.bevel_depth_mm(thickness, side, bevel).filter(|[f, t]| t - f > high + 1.0)
            {
                let depth_mm = tenths(f64::midpoint(from, to));
                let place = Place::Bevel { side, bevel, depth_mm };
                add(FlawKind::LackOfSideWallFusion, place, high, 24.5, None);
                if joint.half_width_mm(thickness, depth_mm) > 2.0 {
                    add(FlawKind::SlagLine, place, high.min(2.4), 22.3, Some(1.1));
                    add(FlawKind::SlagInclusion, place, high.min(2.4), 3.1, Some(0.9));
                }
            }
            if joint.cap.height_mm > 0.0 && (bevel == Bevel::Upper || joint.preparation.is_double()) {
                add(FlawKind::ToeCrack, Place::Toe { side, face: bevel }, high.min(2.5), 17.0, None);
            }
        }
        let at = if side == WeldSide::A { RootSpot::EdgeA } else { RootSpot::EdgeB };
        let root_face =
            if joint.preparation == Preparation::Square { thickness / 4.0 } else { joint.root_face_mm };
        if root_face > 0.5 {
            add(FlawKind::LackOfRootFusion, Place::Root { at }, root_face, 21.0, None);
        }
        let at = if side == WeldSide::A { RootSpot::ToeA } else { RootSpot::ToeB };
        if joint.root_bead.is_some() {
            add(FlawKind::RootCrack, Place::Root { at }, high.min(3.5), 24.5, None);
        }
    }
    if !joint.preparation.is_double() && joint.root_bead.is_none_or(|bead| bead.height_mm < 0.0) {
        add(FlawKind::RootCrack, Place::Root { at: RootSpot::Centre }, high, 24.5, None);
    }
    if joint.root_face_mm > 0.5 {
        add(FlawKind::IncompletePenetration, Place::Root { at: RootSpot::Centre }, 1.4, 24.5, None);
    }
    let surfaces = crate::runs::surfaces(plate);
    let last = surfaces.len().saturating_sub(1);
    for surface in [0, last / 2, last].into_iter().filter_map(|i| surfaces.get(i)) {
        let height = libm::floor(surface.fall_mm * 10.0) / 10.0;
        let place = Place::Run { layer: surface.layer, run: surface.run, groove: surface.groove };
        if height >= 0.5 {
            add(FlawKind::LackOfInterRunFusion, place, height, 18.2, None);
            add(FlawKind::LackOfInterRunFusion, place, 0.5, 18.2, None);
        }
    }
    add(FlawKind::CentrelineCrack, middle, high, 24.5, None);
    for length in [0.7, 1.9] {
        add(FlawKind::TransverseCrack, middle, high, length, Some(4.3));
    }
    add(FlawKind::SinglePore, near, 0.9, 0.9, None);
    add(FlawKind::PoreLine, near, 0.9, 24.5, None);
    add(FlawKind::PoreLine, near, 1.1, 2.5, None);
    if joint.half_width_mm(thickness, thickness / 3.0) > 1.5 {
        add(FlawKind::PoreCluster, near, 1.9, 14.0, None);
        add(FlawKind::SlagLine, near, 1.4, 24.5, Some(1.7));
        add(FlawKind::SlagInclusion, near, 1.4, 2.8, Some(1.7));
    }
    flaws
}

pub(crate) fn flaw(kind: FlawKind, seed: u64) -> Flaw {
    let weld = Place::Weld { depth_mm: 5.0, offset_mm: 1.0 };
    let (place, height_mm) = match kind {
        FlawKind::LackOfSideWallFusion => {
            (Place::Bevel { side: WeldSide::B, bevel: Bevel::Upper, depth_mm: 8.0 }, 4.0)
        }
        FlawKind::CentrelineCrack => (weld, 5.0),
        FlawKind::RootCrack => (Place::Root { at: RootSpot::ToeB }, 3.5),
        FlawKind::IncompletePenetration => (Place::Root { at: RootSpot::Centre }, 1.8),
        FlawKind::SlagLine => (weld, 2.4),
        FlawKind::SinglePore => (weld, 2.2),
        _ => (weld, 5.0),
    };
    Flaw {
        kind,
        start_mm: 60.0,
        length_mm: if kind == FlawKind::SinglePore { height_mm } else { 24.5 },
        height_mm,
        width_mm: (kind == FlawKind::SlagLine).then_some(3.1),
        tilt_deg: 0.0,
        branches: 0,
        roughness_ratio: Flaw::USUAL_ROUGHNESS,
        seed,
        mandatory: true,
        place,
    }
}

/// Kinds whose samples have been the same from the beginning.
const KINDS: [FlawKind; 7] = [
    FlawKind::LackOfSideWallFusion,
    FlawKind::CentrelineCrack,
    FlawKind::RootCrack,
    FlawKind::IncompletePenetration,
    FlawKind::SlagLine,
    FlawKind::SinglePore,
    FlawKind::PoreCluster,
];

/// The plates of both preparations with one flaw each of every kind they can have, one after the other.
pub(crate) fn all(seed: u64) -> Vec<(Plate, Flaw)> {
    [Preparation::SingleV, Preparation::DoubleV]
        .into_iter()
        .flat_map(|preparation| {
            KINDS
                .into_iter()
                .filter(move |&kind| preparation == Preparation::SingleV || kind != FlawKind::RootCrack)
                .map(move |kind| {
                    (Plate { flaws: vec![flaw(kind, seed)], ..plate(preparation) }, flaw(kind, seed))
                })
        })
        .collect()
}
