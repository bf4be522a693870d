//! Numbers and lists as people read them. Every rounding for a reader happens here, so that page, report and
//! command say the same.

/// A true minus: a hyphen is short and may be left alone at the end of a line.
const MINUS: char = '−';

/// A length with one decimal and its unit: `12.4 mm`.
pub fn mm(value: f64) -> String {
    format!("{} mm", tenths(value))
}

/// A number with so many decimals and its unit.
pub(crate) fn with_unit(value: f64, decimals: usize, unit: &str) -> String {
    format!("{}{unit}", fixed(value, decimals))
}

/// A stretch along the weld or in depth: `12.0–24.5 mm`.
pub fn stretch_mm(ends_mm: [f64; 2]) -> String {
    format!("{}–{} mm", tenths(ends_mm[0]), tenths(ends_mm[1]))
}

/// A level with sign and one decimal: `+4.1 dB`.
pub fn db(value: f64) -> String {
    let text = tenths(value);
    let sign = if text.starts_with(MINUS) || text == "0.0" { "" } else { "+" };
    format!("{sign}{text} dB")
}

/// A difference of levels, without a sign: `4.1 dB`.
pub fn db_amount(value: f64) -> String {
    format!("{} dB", tenths(value.abs()))
}

/// Minutes and seconds of a session: `3:12`.
pub fn clock(t_ms: u64) -> String {
    format!("{}:{:02}", t_ms / 60_000, t_ms / 1000 % 60)
}

/// An angle in whole degrees: `24°`.
pub fn degrees(value: f64) -> String {
    format!("{}°", whole(value))
}

/// Points of a mark with one decimal, none where it is a whole number: `7.5`, `10`.
pub fn points(value: f64) -> String {
    let text = tenths(value);
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

/// A share of one hundred, rounded down to one decimal so that it never says more than was reached: `69.9 %`.
pub fn percent(value: f64) -> String {
    // The small addend keeps 70 from showing as 69.9 when it was summed from parts.
    format!("{} %", points(libm::floor(value * 10.0 + 1e-6) / 10.0))
}

/// A count with its noun: `1 flaw`, `3 flaws`.
pub fn count(number: usize, noun: &str) -> String {
    if number == 1 { format!("1 {noun}") } else { format!("{number} {noun}s") }
}

/// A list in a sentence: `1, 2 and 5`.
pub fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// A sentence with its first letter raised.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn tenths(value: f64) -> String {
    fixed(value, 1)
}

fn whole(value: f64) -> String {
    fixed(value, 0)
}

fn fixed(value: f64, decimals: usize) -> String {
    let scale = [1.0, 10.0, 100.0, 1000.0].get(decimals).copied().unwrap_or(10_000.0);
    // Adding zero turns -0 into 0.
    with_minus(format!("{:.decimals$}", libm::round(value * scale) / scale + 0.0))
}

fn with_minus(number: String) -> String {
    number.strip_prefix('-').map_or(number.clone(), |amount| format!("{MINUS}{amount}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_rounded_half_away_and_without_minus_zero() {
        assert_eq!(mm(12.349), "12.3 mm");
        assert_eq!(mm(12.25), "12.3 mm");
        assert_eq!(mm(-0.04), "0.0 mm");
        assert_eq!(stretch_mm([3.0, 4.55]), "3.0–4.6 mm");
    }

    #[test]
    fn levels_have_a_sign() {
        assert_eq!(db(4.08), "+4.1 dB");
        assert_eq!(db(-14.0), "−14.0 dB");
        assert_eq!(db(0.0), "0.0 dB");
    }

    #[test]
    fn a_share_never_says_more_than_was_reached() {
        assert_eq!(percent(69.97), "69.9 %");
        assert_eq!(percent(0.1 + 0.2 + 69.7), "70 %");
        assert_eq!(percent(100.0), "100 %");
    }

    #[test]
    fn lists_and_counts() {
        assert_eq!(count(1, "flaw"), "1 flaw");
        assert_eq!(count(0, "flaw"), "0 flaws");
        assert_eq!(list(&["1".into(), "2".into(), "5".into()]), "1, 2 and 5");
        assert_eq!(capital("über"), "Über");
    }
}
