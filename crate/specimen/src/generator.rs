//! Plates drawn from a design, a level and a seed: the same for ever.
//!
//! Lengths are drawn in whole steps (half or tenth millimetres), so that the plate file reads well and no sum of
//! fractions decides anything. Any change to what is drawn, or in which order, changes every plate ever handed out
//! by its numbers: the digests in the tests are there to stop that.

use acoustics::material::Solid;
use acoustics::seed::Stream;

use crate::flaw::{Flaw, FlawKind};
use crate::joint::{BackingBar, Cap, Joint, Preparation, RootBead, Undercut, WeldSide};
use crate::plate::Plate;

mod draw;
#[cfg(test)]
mod even_tests;
mod level;
mod spread;

use level::Level;

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

/// What joint a plate is to have.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Design {
    /// How the edges were prepared.
    pub preparation: Preparation,
    /// Whether a backing bar lies under the root; only of a single V.
    pub backing_bar: bool,
}

impl Design {
    /// Every joint that is drawn.
    pub fn all() -> Vec<Self> {
        let backed = Self { preparation: Preparation::SingleV, backing_bar: true };
        Preparation::ALL.into_iter().map(Self::from).chain([backed]).collect()
    }

    /// The joint of a name, as in [`Design::name`].
    pub fn named(name: &str) -> Option<Self> {
        Self::all().into_iter().find(|design| design.name() == name)
    }

    /// Its name in addresses and on the command line.
    pub fn name(self) -> &'static str {
        match self.preparation {
            Preparation::SingleV if self.backing_bar => "backing-bar",
            Preparation::SingleV => "single-v",
            Preparation::DoubleV => "double-v",
            Preparation::SingleBevel => "single-bevel",
            Preparation::DoubleBevel => "double-bevel",
            Preparation::SingleJ => "single-j",
            Preparation::Square => "square",
            Preparation::None => "none",
        }
    }
}

impl From<Preparation> for Design {
    fn from(preparation: Preparation) -> Self {
        Self { preparation, backing_bar: false }
    }
}

/// The plate for a design, a level from 1 (easy) to 5 (hard) and a seed: the same for ever. Levels outside are
/// taken as the nearest. Flaws lie in order along the weld, inside the weld and its heat-affected zone, with at least
/// 10 mm of sound weld between two of them, 15 mm at both ends and one sound stretch of 50 mm or more.
pub fn plate(design: Design, level: u8, seed: u64) -> Plate {
    let number = level.clamp(1, 5);
    let level = level::levels().get(usize::from(number) - 1).cloned().unwrap_or_default();
    let mut stream = Stream::new(seed, &format!("{} plate of level {number}", design.name()));
    let mut plate = bare(&mut stream, design, &level);
    plate.id = format!("tern-harbour-{}-{number}-{seed}", design.name());
    plate.seed = seed;
    let job = JOBS[stream.below(JOBS.len() as u32) as usize];
    plate.title = format!("Tern Harbour, {job}");
    plate.note = note(&plate);

    let count = between(&mut stream, level.flaws);
    let mut kinds = Vec::new();
    let flaws: Vec<Flaw> = (0..count).filter_map(|_| flaw(&mut stream, &level, &plate, &mut kinds)).collect();
    // A flaw takes whole half millimetres of the weld.
    let lengths: Vec<u32> = flaws.iter().map(|flaw| libm::ceil(flaw.length_mm * 2.0) as u32).collect();
    let between = libm::round(level.between_mm * 2.0) as u32;
    let starts = spread::starts(&mut stream, &lengths, between, (LENGTH_MM * 2.0) as u32);
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

/// A number of whole tenths within both bounds (of which the lower gives way where none lies between them).
fn tenths(stream: &mut Stream, [low, high]: [f64; 2]) -> f64 {
    let high = libm::floor(high * 10.0 + 1e-6) as u32;
    let low = (libm::ceil(low * 10.0 - 1e-6) as u32).min(high);
    f64::from(between(stream, [low, high])) / 10.0
}

fn side(stream: &mut Stream) -> WeldSide {
    if stream.below(2) == 0 { WeldSide::A } else { WeldSide::B }
}

fn bare(stream: &mut Stream, design: Design, level: &Level) -> Plate {
    let preparation = design.preparation;
    let thicknesses = match preparation {
        Preparation::Square => &level.thickness_mm.square,
        double if double.is_double() => &level.thickness_mm.double,
        _ => &level.thickness_mm.single,
    };
    let drawn = stream.below(thicknesses.len().max(1) as u32) as usize;
    let thickness_mm = f64::from(thicknesses.get(drawn).copied().unwrap_or(20));
    Plate {
        id: String::new(),
        title: String::new(),
        note: String::new(),
        seed: 0,
        thickness_mm,
        length_mm: LENGTH_MM,
        width_mm: WIDTH_MM,
        grain_level_db: level.grain_level_db,
        longitudinal_waves: level.longitudinal_waves,
        solid: Solid::STEEL,
        joint: joint(stream, design, level),
        block: None,
        flaws: Vec::new(),
    }
}

/// A joint as drawings show it; sizes from memory.
fn joint(stream: &mut Stream, design: Design, level: &Level) -> Joint {
    let preparation = design.preparation;
    let (double, square) = (preparation.is_double(), preparation == Preparation::Square);
    let [least, most] = match preparation {
        _ if design.backing_bar => [6, 10],
        Preparation::SingleJ => [3, 5],
        Preparation::SingleBevel | Preparation::DoubleBevel => [8, 10],
        Preparation::Square => [0, 0],
        _ => [10, 14],
    };
    let root_face_mm = match preparation {
        _ if design.backing_bar || square => 0.0,
        _ if double => tenths(stream, [2.0, 3.5]),
        _ => tenths(stream, [1.2, 2.5]),
    };
    let root_gap_mm = tenths(stream, if design.backing_bar { [4.0, 8.0] } else { [1.5, 3.0] });
    let hundredths = level.ripple_mm.map(|mm| libm::round(mm * 100.0) as u32);
    let ripple_mm = f64::from(between(stream, hundredths)) / 100.0;
    let [overlap, height] = if square { [[2.0, 3.5], [0.8, 1.2]] } else { [[1.0, 2.0], [0.8, 2.0]] };
    let cap = Cap { overlap_mm: tenths(stream, overlap), height_mm: tenths(stream, height), ripple_mm };
    let bead = RootBead {
        width_mm: root_gap_mm + tenths(stream, [2.0, 4.0]),
        height_mm: tenths(stream, [0.6, 1.6]),
        ripple_mm,
    };
    let mut joint = Joint {
        preparation,
        prepared_side: preparation.is_one_sided().then(|| side(stream)),
        groove_angle_deg: f64::from(5 * between(stream, [least, most])),
        root_face_mm,
        root_gap_mm,
        j_radius_mm: (preparation == Preparation::SingleJ).then(|| f64::from(between(stream, [4, 6]))),
        upper_share: double.then(|| tenths(stream, [0.4, 0.6])),
        cap,
        root_bead: (!double && !design.backing_bar)
            .then_some(RootBead { width_mm: libm::round(bead.width_mm * 10.0) / 10.0, ..bead }),
        backing_bar: design.backing_bar.then(|| BackingBar {
            width_mm: f64::from(between(stream, [25, 30])),
            thickness_mm: f64::from(between(stream, [5, 8])),
            fused_mm: tenths(stream, [0.5, 1.5]),
        }),
        ..Joint::default()
    };
    distract(stream, level, &mut joint);
    joint
}

/// Geometry that echoes and is no flaw.
fn distract(stream: &mut Stream, level: &Level, joint: &mut Joint) {
    let chance = |stream: &mut Stream| stream.below(100) < level.distractor_percent;
    if chance(stream) && joint.backing_bar.is_none() {
        joint.misalignment_mm = side(stream).x_sign() * tenths(stream, [0.5, 1.5]);
    }
    if chance(stream) {
        let (on, depth_mm, width_mm) = (side(stream), tenths(stream, [0.2, 0.5]), tenths(stream, [1.0, 2.0]));
        joint.undercuts.push(Undercut { side: on, depth_mm, width_mm });
    }
    if chance(stream)
        && let Some(bead) = &mut joint.root_bead
    {
        (bead.height_mm, bead.ripple_mm) = (-tenths(stream, [0.3, 0.8]), bead.ripple_mm.min(0.1));
    }
}

fn note(plate: &Plate) -> String {
    let joint = &plate.joint;
    let groove = match joint.preparation {
        Preparation::Square => String::new(),
        _ => format!("groove {}°, root face {} mm, ", joint.groove_angle_deg, joint.root_face_mm),
    };
    let prepared =
        joint.prepared_side.map_or_else(String::new, |side| format!("prepared edge on side {side:?}, "));
    let bar = joint.backing_bar.map_or_else(String::new, |bar| {
        format!("on a backing bar of {} by {} mm, ", bar.width_mm, bar.thickness_mm)
    });
    format!(
        "{} mm plate, {} butt weld, {prepared}{groove}root gap {} mm, {bar}as welded. The datum is the stamped end.",
        plate.thickness_mm,
        joint.preparation.words(),
        joint.root_gap_mm
    )
}

/// One flaw of the level that fits the plate, still without its place along the weld. `left` holds the kinds not yet
/// used, so that a plate shows all kinds of its level before any twice. `None` only if no kind fits.
fn flaw(stream: &mut Stream, level: &Level, plate: &Plate, left: &mut Vec<FlawKind>) -> Option<Flaw> {
    // Once through what is left, and once through all.
    for _ in 0..2 * FlawKind::ALL.len() {
        if left.is_empty() {
            left.extend(draw::kinds(level, plate));
        }
        let kind = *left.get(stream.below(left.len().max(1) as u32) as usize)?;
        left.retain(|&other| other != kind);
        for _ in 0..TRIES {
            let flaw = draw::flaw(stream, level, plate, kind);
            let probe = Plate { flaws: vec![flaw.clone()], ..plate.clone() };
            if crate::check::plate(&probe).is_empty() {
                return Some(flaw);
            }
        }
    }
    None
}
