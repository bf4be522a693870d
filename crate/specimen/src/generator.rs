//! Plates drawn from a preparation, a level and a seed: the same for ever.
//!
//! Lengths are drawn in whole steps (half or tenth millimetres), so that the plate file reads well and no sum of
//! fractions decides anything. Any change to what is drawn, or in which order, changes every plate ever handed out
//! by its numbers: the digests in the tests are there to stop that.

use acoustics::material::Solid;
use acoustics::seed::Stream;

use crate::flaw::{Flaw, FlawKind, Place, RootSpot};
use crate::joint::{Bevel, Cap, Joint, Preparation, RootBead, WeldSide};
use crate::plate::Plate;

mod level;
mod spread;

use level::{LEVELS, Level};

/// Length of a drawn plate, mm.
const LENGTH_MM: f64 = 300.0;
/// Width of a drawn plate, mm.
const WIDTH_MM: f64 = 250.0;
/// Tries at a place for a flaw of a kind before another kind is taken.
const TRIES: u32 = 60;

/// Jobs of the training yard a plate may come from.
const JOBS: [&str; 8] = [
    "lock gate heel post",
    "lock gate cross beam",
    "footbridge chord splice",
    "footbridge landing plate",
    "slipway cradle rail",
    "workboat keel strake",
    "mooring dolphin collar",
    "sluice paddle frame",
];

/// The plate for a preparation, a level from 1 (easy) to 5 (hard) and a seed: the same for ever. Levels outside are
/// taken as the nearest. Flaws lie in order along the weld, inside weld and bevel, with at least 10 mm of sound weld
/// between two of them, 15 mm at both ends and one sound stretch of 50 mm or more.
pub fn plate(preparation: Preparation, level: u8, seed: u64) -> Plate {
    let number = level.clamp(1, 5);
    let level = &LEVELS[usize::from(number) - 1];
    let (name, purpose) = match preparation {
        Preparation::SingleV => ("single-v", "single V plate"),
        _ => ("double-v", "double V plate"),
    };
    let mut stream = Stream::new(seed, &format!("{purpose} of level {number}"));
    let mut plate = bare(&mut stream, preparation, level);
    plate.id = format!("tern-harbour-{name}-{number}-{seed}");
    plate.seed = seed;
    let job = JOBS[stream.below(JOBS.len() as u32) as usize];
    plate.title = format!("Tern Harbour, {job}");
    plate.note = note(&plate);

    let count = between(&mut stream, level.flaws);
    let mut kinds = Vec::new();
    let flaws: Vec<Flaw> = (0..count).map(|_| flaw(&mut stream, level, &plate, &mut kinds)).collect();
    // A flaw takes whole half millimetres of the weld.
    let lengths: Vec<u32> = flaws.iter().map(|flaw| libm::ceil(flaw.length_mm * 2.0) as u32).collect();
    let starts = spread::starts(&mut stream, &lengths, level.between_half_mm, (LENGTH_MM * 2.0) as u32);
    plate.flaws = flaws
        .into_iter()
        .zip(starts)
        .map(|(flaw, start)| Flaw { start_mm: f64::from(start) / 2.0, ..flaw })
        .collect();
    plate
}

/// A whole number within both bounds.
fn between(stream: &mut Stream, [low, high]: [u32; 2]) -> u32 {
    low + stream.below(high.max(low) - low + 1)
}

/// A number of tenths within both bounds.
fn tenths(stream: &mut Stream, range: [u32; 2]) -> f64 {
    f64::from(between(stream, range)) / 10.0
}

fn bare(stream: &mut Stream, preparation: Preparation, level: &Level) -> Plate {
    let single = preparation == Preparation::SingleV;
    let thicknesses = if single { level.single_v_mm } else { level.double_v_mm };
    let thickness_mm = f64::from(thicknesses[stream.below(thicknesses.len() as u32) as usize]);
    let groove_angle_deg = f64::from(5 * between(stream, [10, 14]));
    let root_gap = between(stream, [15, 30]);
    let root_face_mm = tenths(stream, if single { [12, 25] } else { [20, 35] });
    let share = tenths(stream, [4, 6]);
    let ripple_mm = f64::from(between(stream, level.ripple_hundredths)) / 100.0;
    let cap = Cap { overlap_mm: tenths(stream, [10, 20]), height_mm: tenths(stream, [8, 20]), ripple_mm };
    let bead = RootBead {
        width_mm: f64::from(root_gap + between(stream, [20, 40])) / 10.0,
        height_mm: tenths(stream, [6, 16]),
        ripple_mm,
    };
    Plate {
        id: String::new(),
        title: String::new(),
        note: String::new(),
        seed: 0,
        thickness_mm,
        length_mm: LENGTH_MM,
        width_mm: WIDTH_MM,
        grain_level_db: level.grain_level_db,
        longitudinal_waves: false,
        solid: Solid::STEEL,
        joint: Joint {
            preparation,
            groove_angle_deg,
            root_face_mm,
            root_gap_mm: f64::from(root_gap) / 10.0,
            upper_share: (!single).then_some(share),
            cap,
            root_bead: single.then_some(bead),
            ..Joint::default()
        },
        block: None,
        flaws: Vec::new(),
    }
}

fn note(plate: &Plate) -> String {
    let joint = &plate.joint;
    format!(
        "{} mm plate, {} butt weld, groove {}°, root face {} mm, root gap {} mm, as welded. \
         The datum is the stamped end.",
        plate.thickness_mm,
        joint.preparation.words(),
        joint.groove_angle_deg,
        joint.root_face_mm,
        joint.root_gap_mm
    )
}

/// One flaw of the level that fits the plate, still without its place along the weld. `left` holds the kinds not yet
/// used, so that a plate shows all kinds of its level before any twice.
fn flaw(stream: &mut Stream, level: &Level, plate: &Plate, left: &mut Vec<FlawKind>) -> Flaw {
    if left.is_empty() {
        let single = plate.joint.preparation == Preparation::SingleV;
        left.extend(level.kinds.iter().filter(|&&kind| single || kind != FlawKind::RootCrack));
    }
    let kind = left.remove(stream.below(left.len() as u32) as usize);
    for _ in 0..TRIES {
        let flaw = draw(stream, level, plate, kind);
        let probe = Plate { flaws: vec![flaw.clone()], ..plate.clone() };
        if crate::check::plate(&probe).is_empty() {
            return flaw;
        }
    }
    // A bevel always has room for the smallest unfused face of a level.
    let height_mm = f64::from(level.height_tenths[0]) / 10.0;
    let [from, to] =
        plate.joint.bevel_depth_mm(plate.thickness_mm, WeldSide::A, Bevel::Upper).unwrap_or([0.0; 2]);
    let depth_mm = libm::round((from + to) * 5.0) / 10.0;
    let place = Place::Bevel { side: side(stream), bevel: Bevel::Upper, depth_mm };
    let length_mm = f64::from(level.length_half_mm[0]) / 2.0;
    blank(stream, FlawKind::LackOfSideWallFusion, length_mm, height_mm, place)
}

fn blank(stream: &mut Stream, kind: FlawKind, length_mm: f64, height_mm: f64, place: Place) -> Flaw {
    let seed = u64::from(stream.bits32());
    Flaw {
        kind,
        start_mm: 0.0,
        length_mm,
        height_mm,
        width_mm: None,
        tilt_deg: 0.0,
        branches: 0,
        seed,
        mandatory: true,
        place,
    }
}

fn side(stream: &mut Stream) -> WeldSide {
    if stream.below(2) == 0 { WeldSide::A } else { WeldSide::B }
}

/// A flaw of a kind as the level draws it; it need not fit the plate.
fn draw(stream: &mut Stream, level: &Level, plate: &Plate, kind: FlawKind) -> Flaw {
    let thickness = plate.thickness_mm;
    let length_mm = f64::from(between(stream, level.length_half_mm)) / 2.0;
    // No flaw takes more than two fifths of the wall.
    let highest = ((thickness * 4.0) as u32).min(level.height_tenths[1]);
    let height_mm = tenths(stream, [level.height_tenths[0].min(highest), highest]);
    let whole_depth = [10, (thickness * 10.0) as u32 - 10];
    let sign = side(stream).x_sign();
    match kind {
        FlawKind::LackOfSideWallFusion => {
            let lower = plate.joint.preparation == Preparation::DoubleV && stream.below(2) == 1;
            let bevel = if lower { Bevel::Lower } else { Bevel::Upper };
            let place = Place::Bevel { side: side(stream), bevel, depth_mm: tenths(stream, whole_depth) };
            blank(stream, kind, length_mm, height_mm, place)
        }
        FlawKind::CentrelineCrack => {
            let place = Place::Weld {
                depth_mm: tenths(stream, whole_depth),
                offset_mm: sign * tenths(stream, [0, 8]) + 0.0,
            };
            let tilt_deg = f64::from(between(stream, [0, 16])) - 8.0;
            Flaw { tilt_deg, ..blank(stream, kind, length_mm, height_mm, place) }
        }
        FlawKind::RootCrack => {
            let at = if sign < 0.0 { RootSpot::ToeA } else { RootSpot::ToeB };
            let tilt_deg = f64::from(between(stream, [0, 20])) - 10.0;
            Flaw { tilt_deg, ..blank(stream, kind, length_mm, height_mm, Place::Root { at }) }
        }
        FlawKind::IncompletePenetration => {
            let root_face = libm::round(plate.joint.root_face_mm * 10.0) as u32;
            let height_mm = tenths(stream, [root_face * 7 / 10, root_face]);
            blank(stream, kind, length_mm, height_mm, Place::Root { at: RootSpot::Centre })
        }
        FlawKind::SlagLine => {
            let height_mm = tenths(stream, level.slag_tenths);
            let width_mm = tenths(stream, level.slag_tenths);
            let depth_mm = tenths(stream, whole_depth);
            // Slag stays in the notch between a run and the bevel.
            let edge =
                plate.joint.half_width_mm(thickness, depth_mm) - width_mm / 2.0 - tenths(stream, [0, 12]);
            let offset_mm = sign * (libm::round(edge.max(0.0) * 10.0) / 10.0) + 0.0;
            let place = Place::Weld { depth_mm, offset_mm };
            Flaw { width_mm: Some(width_mm), ..blank(stream, kind, length_mm, height_mm, place) }
        }
        FlawKind::SinglePore => {
            let diameter = tenths(stream, level.pore_tenths);
            let place = anywhere(stream, sign, whole_depth);
            blank(stream, kind, diameter, diameter, place)
        }
        _ => {
            let width_mm = tenths(stream, level.cluster_tenths);
            let height_mm = tenths(stream, level.cluster_tenths);
            let place = anywhere(stream, sign, whole_depth);
            Flaw { width_mm: Some(width_mm), ..blank(stream, kind, length_mm.min(18.0), height_mm, place) }
        }
    }
}

fn anywhere(stream: &mut Stream, sign: f64, whole_depth: [u32; 2]) -> Place {
    Place::Weld { depth_mm: tenths(stream, whole_depth), offset_mm: sign * tenths(stream, [0, 60]) + 0.0 }
}
