//! A flaw of the plate under the learner's hand: one of its properties follows a slider.

use serde::{Deserialize, Serialize};
use specimen::plate::Plate;

use super::goal::Band;
use super::table::Reader;

/// The property.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Varied {
    /// Lean off upright, degrees.
    #[default]
    TiltDeg,
    /// Length along the weld, mm; the middle stays.
    LengthMm,
}

/// A flaw as it lies now, as a log keeps it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct VariedFlaw {
    /// Number of the flaw in the plate's file, from 1.
    pub flaw: usize,
    /// The property.
    pub what: Varied,
    /// Its value, degrees or mm.
    pub value: f64,
}

impl VariedFlaw {
    /// The plate with the flaw as it is set; `None` where it has no such flaw.
    pub fn plate(&self, plate: &Plate) -> Option<Plate> {
        let mut varied = plate.clone();
        let flaw = varied.flaws.get_mut(self.flaw.checked_sub(1)?)?;
        match self.what {
            Varied::TiltDeg => flaw.tilt_deg = self.value,
            Varied::LengthMm => {
                flaw.start_mm += (flaw.length_mm - self.value) / 2.0;
                flaw.length_mm = self.value;
            }
        }
        Some(varied)
    }
}

/// What may be changed in a step.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Vary {
    /// Number of the flaw in the plate's file, from 1.
    pub flaw: usize,
    /// The property.
    pub what: Varied,
    /// Its value when the step begins.
    pub begin: f64,
    /// Lowest and highest value; the same twice where nothing may be changed.
    pub range: Band,
}

impl Vary {
    pub(super) fn read(reader: &mut Reader) -> Self {
        let flaw = reader.number("flaw").unwrap_or_default() as usize;
        if flaw == 0 {
            reader.complain("flaw", "expected the number of a flaw, from 1".to_owned());
        }
        let (what, begin, range) = match (reader.number("tilt_deg"), reader.number("length_mm")) {
            (Some(begin), None) => (Varied::TiltDeg, begin, reader.band("range_deg")),
            (None, Some(begin)) => (Varied::LengthMm, begin, reader.band("range_mm")),
            _ => {
                reader.complain("flaw", "expected either tilt_deg or length_mm beside it".to_owned());
                return Self::default();
            }
        };
        if !range.is_some_and(|[low, high]| (low..=high).contains(&begin)) {
            reader.complain("flaw", "expected a range beside it that its value lies in".to_owned());
        }
        Self { flaw, what, begin, range: range.unwrap_or_default() }
    }

    /// The flaw with a value.
    pub fn at(&self, value: f64) -> VariedFlaw {
        VariedFlaw { flaw: self.flaw, what: self.what, value }
    }
}
