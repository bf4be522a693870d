//! Plates drawn from a preparation, a level and a seed.

use crate::joint::{Cap, Joint, Preparation, RootBead};
use crate::plate::Plate;

/// The plate for a preparation, a level from 1 (easy) to 5 (hard) and a seed: the same for ever. Levels outside
/// are taken as the nearest.
pub fn plate(preparation: Preparation, level: u8, seed: u64) -> Plate {
    let level = level.clamp(1, 5);
    Plate {
        id: format!("TH-{level}-{seed}"),
        title: String::new(),
        note: String::new(),
        seed,
        thickness_mm: 20.0,
        length_mm: 300.0,
        width_mm: 250.0,
        grain_level_db: -46.0,
        solid: acoustics::material::Solid::STEEL,
        joint: Joint {
            preparation,
            groove_angle_deg: 60.0,
            root_face_mm: 1.5,
            root_gap_mm: 2.0,
            upper_share: None,
            cap: Cap { overlap_mm: 1.5, height_mm: 1.5, ripple_mm: 0.1 },
            root_bead: (preparation == Preparation::SingleV).then_some(RootBead {
                width_mm: 5.0,
                height_mm: 1.2,
                ripple_mm: 0.1,
            }),
        },
        flaws: Vec::new(),
    }
}
