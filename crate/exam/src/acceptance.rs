//! What decides on accept and reject: the yard's own rule, or the levels of ISO 11666:2018 for single echoes in thin plates, for
//! teachers who want the standard.
//!
//! Source of the levels: a public one-page summary of the standard's table, for techniques 1 and 3 (side-drilled hole or notch as
//! reference). It was read for plates of 8 mm to less than 15 mm only, so nothing is said here of thicker ones. Real work
//! follows the standard itself.

use core::ops::Range;

use serde::{Deserialize, Serialize};

use crate::said::{Said, said};
use crate::sheet::Decision;

/// Which rule decides on a flaw.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Rule {
    /// The yard's: planar flaws are rejected; volumetric ones when too long or too high. A rule of our own for training, no
    /// code's.
    #[default]
    #[serde(rename = "yard")]
    Yard,
    /// By length and highest echo, as ISO 11666:2018 has it for acceptance level 2, in plates of 8 mm to less than 15 mm.
    #[serde(rename = "iso-11666-level-2")]
    Iso11666Level2,
}

impl Rule {
    #[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands a reference")]
    fn is_yard(&self) -> bool {
        *self == Self::Yard
    }
}

/// The acceptance rule, and the limits of the yard's own.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct Acceptance {
    /// Which rule decides.
    #[serde(skip_serializing_if = "Rule::is_yard")]
    pub rule: Rule,
    /// Longest volumetric flaw that the yard accepts, mm.
    pub volumetric_length_mm: f64,
    /// Highest volumetric flaw that the yard accepts, mm.
    pub volumetric_height_mm: f64,
}

impl Default for Acceptance {
    fn default() -> Self {
        Self { rule: Rule::Yard, volumetric_length_mm: 10.0, volumetric_height_mm: 3.0 }
    }
}

/// What is known of a flaw or a call.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Known {
    /// Whether it is planar.
    pub planar: bool,
    /// Length, mm.
    pub length_mm: Option<f64>,
    /// Height, mm.
    pub height_mm: Option<f64>,
    /// Highest echo relative to the reference, dB.
    pub echo_db: Option<f64>,
}

impl Acceptance {
    /// The decision and why in words; `None` where what the rule needs is not known, then with what is missing.
    pub fn decide(&self, thickness_mm: f64, known: &Known) -> (Option<Decision>, Said) {
        match self.rule {
            Rule::Yard => self.by_size(known),
            Rule::Iso11666Level2 => by_echo(thickness_mm, known),
        }
    }

    fn by_size(&self, known: &Known) -> (Option<Decision>, Said) {
        if known.planar {
            return (Some(Decision::Reject), said!("said.accept.planar"));
        }
        // What is added forgives the last bits of sums of tenths. One limit passed is enough, even where the other size is
        // missing.
        let over = |size: Option<f64>, most: f64| size.is_some_and(|size| size > most + 1e-9);
        let rejected = over(known.length_mm, self.volumetric_length_mm)
            || over(known.height_mm, self.volumetric_height_mm);
        match (rejected, known.length_mm, known.height_mm) {
            (false, None, _) => (None, said!("said.accept.no_length")),
            (false, _, None) => (None, said!("said.accept.no_height")),
            _ => {
                let size = |value: Option<f64>, most: f64| match value {
                    Some(value) => said!("said.accept.size", value_mm = value, most_mm = most),
                    None => said!("said.accept.no_size", most_mm = most),
                };
                let reason = said!(
                    "said.accept.volumetric",
                    length = size(known.length_mm, self.volumetric_length_mm),
                    height = size(known.height_mm, self.volumetric_height_mm)
                );
                (Some(if rejected { Decision::Reject } else { Decision::Accept }), reason)
            }
        }
    }

    /// What keeps the rule from being used on a plate of a thickness.
    pub(crate) fn problem(&self, thickness_mm: f64) -> Option<String> {
        let Range { start, end } = THICKNESS_MM;
        let unknown = self.rule == Rule::Iso11666Level2 && !THICKNESS_MM.contains(&thickness_mm);
        unknown.then(|| {
            format!(
                "is iso-11666-level-2, expected yard: the standard's levels are held for plates of {start} mm to less than {end} \
                 mm only, this one has {thickness_mm} mm"
            )
        })
    }

    /// The rule in a sentence.
    pub fn words(&self) -> Said {
        match self.rule {
            Rule::Yard => said!(
                "said.rule.yard",
                length_mm = self.volumetric_length_mm,
                height_mm = self.volumetric_height_mm
            ),
            Rule::Iso11666Level2 => said!("said.rule.standard"),
        }
    }
}

/// What the standard's level for single echoes makes of a length and an echo.
pub(crate) fn by_echo(thickness_mm: f64, known: &Known) -> (Option<Decision>, Said) {
    let (Some(length_mm), Some(db)) = (known.length_mm, known.echo_db) else {
        let no_length = known.length_mm.is_none();
        return (None, if no_length { said!("said.accept.no_length") } else { said!("said.accept.no_echo") });
    };
    let Some(levels) = levels(AcceptanceLevel::Two, thickness_mm, length_mm) else {
        return (None, said!("said.accept.no_levels"));
    };
    let decision = if db >= levels.acceptance_db { Decision::Reject } else { Decision::Accept };
    (
        Some(decision),
        said!("said.accept.echo", echo_db = db, limit_db = levels.acceptance_db, length_mm = length_mm),
    )
}

/// Thickness of the plates spoken of, mm.
pub const THICKNESS_MM: Range<f64> = 8.0..15.0;

/// How far below the acceptance level an echo is still recorded, dB.
const RECORDING_BELOW_DB: f64 = 4.0;

/// Acceptance level of the standard.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AcceptanceLevel {
    /// AL 2, the stricter (for quality level B of ISO 5817).
    Two,
    /// AL 3 (for quality level C).
    Three,
}

/// Levels relative to the reference, dB.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Levels {
    /// From here up an echo is not accepted.
    pub acceptance_db: f64,
    /// From here up it is recorded.
    pub recording_db: f64,
    /// From here up it is looked at.
    pub evaluation_db: f64,
}

/// Levels for an indication of a length in a plate of a thickness; `None` outside [`THICKNESS_MM`].
pub fn levels(level: AcceptanceLevel, thickness_mm: f64, length_mm: f64) -> Option<Levels> {
    if !THICKNESS_MM.contains(&thickness_mm) {
        return None;
    }
    let short = length_mm <= thickness_mm;
    let (acceptance_db, evaluation_db) = match (level, short) {
        (AcceptanceLevel::Two, true) => (-4.0, -14.0),
        (AcceptanceLevel::Two, false) => (-10.0, -14.0),
        (AcceptanceLevel::Three, true) => (0.0, -10.0),
        (AcceptanceLevel::Three, false) => (-6.0, -10.0),
    };
    Some(Levels { acceptance_db, recording_db: acceptance_db - RECORDING_BELOW_DB, evaluation_db })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn known(planar: bool, length_mm: f64, height_mm: f64, echo_db: f64) -> Known {
        Known { planar, length_mm: Some(length_mm), height_mm: Some(height_mm), echo_db: Some(echo_db) }
    }

    #[test]
    fn the_yard_goes_by_kind_and_size_and_the_standard_by_length_and_echo() {
        let yard = Acceptance::default();
        let standard = Acceptance { rule: Rule::Iso11666Level2, ..yard };
        let decided = |rule: &Acceptance, known: Known| rule.decide(12.0, &known).0;
        let (low, high) = (known(true, 5.0, 1.0, -4.1), known(false, 5.0, 1.0, -4.0));
        assert_eq!(
            (decided(&yard, low), decided(&yard, high)),
            (Some(Decision::Reject), Some(Decision::Accept))
        );
        assert_eq!(
            (decided(&standard, low), decided(&standard, high)),
            (Some(Decision::Accept), Some(Decision::Reject))
        );
        // Longer than the plate is thick: 6 dB stricter.
        assert_eq!(decided(&standard, known(false, 12.1, 1.0, -9.9)), Some(Decision::Reject));
        assert_eq!(decided(&standard, Known { echo_db: None, ..high }), None);
        assert_eq!(standard.decide(20.0, &high).0, None);
        assert_eq!(&*standard.decide(12.0, &high).1, "−4.0 dB against −4.0 dB, 5.0 mm long");
        assert_eq!((yard.problem(20.0), standard.problem(12.0)), (None, None));
        assert!(standard.problem(20.0).unwrap().contains("expected yard"));
    }
}
