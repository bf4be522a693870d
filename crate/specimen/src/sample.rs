//! Plates and flaws for tests.

use acoustics::material::Solid;

use crate::flaw::{Flaw, FlawKind, Place, RootSpot};
use crate::joint::{Bevel, Cap, Joint, Preparation, RootBead, WeldSide};
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
        },
        flaws: Vec::new(),
    }
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
        FlawKind::PoreCluster => (weld, 5.0),
    };
    Flaw {
        kind,
        start_mm: 60.0,
        length_mm: if kind == FlawKind::SinglePore { height_mm } else { 24.5 },
        height_mm,
        width_mm: (kind == FlawKind::SlagLine).then_some(3.1),
        tilt_deg: 0.0,
        seed,
        mandatory: true,
        place,
    }
}

/// The plates of both preparations with one flaw each of every kind they can have, one after the other.
pub(crate) fn all(seed: u64) -> Vec<(Plate, Flaw)> {
    [Preparation::SingleV, Preparation::DoubleV]
        .into_iter()
        .flat_map(|preparation| {
            FlawKind::ALL
                .into_iter()
                .filter(move |&kind| preparation == Preparation::SingleV || kind != FlawKind::RootCrack)
                .map(move |kind| {
                    (Plate { flaws: vec![flaw(kind, seed)], ..plate(preparation) }, flaw(kind, seed))
                })
        })
        .collect()
}
