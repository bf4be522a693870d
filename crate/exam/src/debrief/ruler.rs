//! Marks of rulers in drawings: round numbers in the reader's unit.

use crate::said::Language;

/// A ruler of marks at equal steps, with a number at some of them.
pub(crate) struct Ruler {
    unit_mm: f64,
    /// From mark to mark, in its unit.
    step: f64,
    /// Every so many marks there is a number.
    numbered: u32,
}

/// A mark: its place, mm, and its number.
pub(crate) struct Mark {
    pub(crate) at_mm: f64,
    pub(crate) number: Option<String>,
}

impl Ruler {
    /// The tape along a weld.
    pub(crate) fn tape(language: &Language) -> Self {
        Self::of(language, (10.0, 5), (0.5, 4))
    }

    /// The axis of a trace over a sound path.
    pub(crate) fn path(language: &Language, range_mm: f64) -> Self {
        if range_mm > 120.0 {
            Self::of(language, (50.0, 1), (2.0, 1))
        } else {
            Self::of(language, (20.0, 1), (1.0, 1))
        }
    }

    fn of(language: &Language, metric: (f64, u32), inches: (f64, u32)) -> Self {
        let unit_mm = language.unit_mm();
        let (step, numbered) = if unit_mm > 1.0 { inches } else { metric };
        Self { unit_mm, step, numbered }
    }

    /// Marks from zero as far as a length.
    pub(crate) fn marks(&self, length_mm: f64) -> impl Iterator<Item = Mark> {
        let last = (length_mm / (self.step * self.unit_mm) + 1e-9) as u32;
        (0..=last).map(|index| {
            let shown = f64::from(index) * self.step;
            let number = (index % self.numbered == 0).then(|| format!("{shown}"));
            Mark { at_mm: shown * self.unit_mm, number }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn numbers(ruler: &Ruler, length_mm: f64) -> Vec<(f64, String)> {
        ruler.marks(length_mm).filter_map(|mark| Some((mark.at_mm, mark.number?))).collect()
    }

    fn named(unit: &str) -> Language {
        Language::read(&format!("unit\t{unit}"))
    }

    #[test]
    fn marks_are_round_in_the_unit_of_the_reader() {
        let tape = Ruler::tape(&named("mm"));
        assert_eq!(tape.marks(120.0).count(), 13);
        assert_eq!(
            numbers(&tape, 120.0),
            [(0.0, "0".to_owned()), (50.0, "50".to_owned()), (100.0, "100".to_owned())]
        );
        let tape = Ruler::tape(&named("in"));
        assert_eq!(tape.marks(120.0).count(), 10);
        assert_eq!(
            numbers(&tape, 120.0),
            [(0.0, "0".to_owned()), (50.8, "2".to_owned()), (101.6, "4".to_owned())]
        );
    }

    #[test]
    fn the_last_mark_is_at_the_end_where_the_length_is_a_whole_number_of_steps() {
        assert_eq!(
            Ruler::tape(&named("in")).marks(304.8).last().map(|mark| mark.number),
            Some(Some("12".to_owned()))
        );
        assert_eq!(numbers(&Ruler::path(&named("in"), 76.2), 76.2).last().map(|mark| &*mark.1), Some("3"));
        assert_eq!(numbers(&Ruler::path(&named("mm"), 150.0), 150.0).len(), 4);
    }
}
