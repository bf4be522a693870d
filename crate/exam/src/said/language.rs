//! Sentences in the language of whoever reads them: with its words, its decimal mark and the unit of its lengths.

use specimen::flaw::FlawKind;

use super::{Said, Value};
use crate::words;

/// Millimetres of an inch.
const MM_PER_INCH: f64 = 25.4;

/// What a language says under each key. Three keys say how values are written: `lang` is its tag, `decimal_mark`, and `unit` the
/// name of the unit of lengths, inches if it is not mm. What files call by an English name, such as a plate's title, joints and
/// kinds of flaws, stands under that name where it has another one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Language(Vec<(String, String)>);

impl Language {
    /// English, in mm.
    #[cfg(feature = "english")]
    pub fn english() -> Self {
        Self(super::english::all().map(|(key, words)| (key.to_owned(), words.to_owned())).collect())
    }

    /// A language without words, to see whether any come from elsewhere: of each sentence the values alone.
    #[cfg(test)]
    pub(crate) fn of_values() -> Self {
        let bare = |sentence: String| {
            let values = sentence.split('{').skip(1).filter_map(|part| part.split_once('}'));
            values.map(|(value, _)| format!("{{{value}}} ")).collect::<String>()
        };
        let kinds = FlawKind::ALL.into_iter().map(|kind| (kind.words().to_owned(), String::new()));
        let joints = ["Single V", "Square butt"].map(|name| (name.to_owned(), String::new()));
        let sentences = Self::english().0.into_iter().map(|(key, sentence)| (key, bare(sentence)));
        Self(sentences.chain(kinds).chain(joints).collect())
    }

    /// From lines, each a key, a tab and its words.
    pub fn read(lines: &str) -> Self {
        let words = lines.lines().filter_map(|line| line.split_once('\t'));
        Self(words.map(|(key, words)| (key.to_owned(), words.to_owned())).collect())
    }

    /// The words under a key; the key itself where there are none.
    pub fn text<'a>(&'a self, key: &'a str) -> &'a str {
        self.known(key).unwrap_or(key)
    }

    fn known(&self, key: &str) -> Option<&str> {
        self.0.iter().find(|(known, _)| known == key).map(|(_, words)| &**words)
    }

    /// Its tag.
    pub(crate) fn tag(&self) -> &str {
        self.known("lang").unwrap_or("en")
    }

    /// The unit of lengths.
    pub(crate) fn unit(&self) -> &str {
        self.known("unit").unwrap_or("mm")
    }

    /// That unit, mm.
    pub(crate) fn unit_mm(&self) -> f64 {
        if self.unit() == "mm" { 1.0 } else { MM_PER_INCH }
    }

    /// A length without its unit, all of its decimals in mm.
    pub(crate) fn bare_length(&self, value_mm: f64) -> String {
        let shown = if self.unit() == "mm" {
            format!("{value_mm}")
        } else {
            format!("{:.3}", value_mm / MM_PER_INCH)
        };
        shown.replace('.', self.known("decimal_mark").unwrap_or("."))
    }

    /// A sentence that is said once.
    #[inline(never)]
    pub(crate) fn tell(&self, said: Said) -> String {
        self.say(&said)
    }

    /// A sentence with its values.
    pub fn say(&self, said: &Said) -> String {
        self.filled(self.text(said.key), &said.values)
    }

    /// A value alone; what `name` ends in says what it is.
    pub(crate) fn value(&self, name: &str, value: f64) -> String {
        self.written(&Value::Number(value), name, "")
    }

    /// A kind of flaw, as it stands at the beginning of a sentence.
    pub fn kind(&self, kind: FlawKind) -> &str {
        self.text(kind.words())
    }

    /// A list in a sentence: `1, 2 and 5`.
    pub fn list(&self, items: &[String]) -> String {
        match items {
            [] => String::new(),
            [only] => only.clone(),
            [first @ .., last] => format!("{}{}{last}", first.join(", "), self.text("said.and")),
        }
    }

    pub(super) fn filled(&self, sentence: &str, values: &[(&'static str, Value)]) -> String {
        let mut parts = sentence.split('{');
        let mut text = parts.next().unwrap_or_default().to_owned();
        for part in parts {
            let (name, rest) = part.split_once('}').unwrap_or(("", part));
            let (name, form) = name.split_once(':').unwrap_or((name, ""));
            if let Some((_, value)) = values.iter().find(|(known, _)| *known == name) {
                text.push_str(&self.written(value, name, form));
            }
            text.push_str(rest);
        }
        text
    }

    /// Of a number the form says how many decimals it has, if others than usual, and whether it goes without its unit (`n`), as on
    /// the page.
    fn written(&self, value: &Value, name: &str, form: &str) -> String {
        let number = match value {
            Value::Name(text) => return text.clone(),
            Value::Kind(kind) => return self.kind(*kind).to_lowercase(),
            Value::Said(said) => return self.say(said),
            Value::List(all) => {
                return self.list(&all.iter().map(|one| self.written(one, name, form)).collect::<Vec<_>>());
            }
            Value::Number(number) => *number,
        };
        let decimals = form.bytes().find(u8::is_ascii_digit).map(|digit| usize::from(digit - b'0'));
        let text = match name.rsplit('_').next().unwrap_or_default() {
            "mm" => self.length(number, decimals.unwrap_or(1)),
            "deg" => words::with_unit(number, decimals.unwrap_or(0), "°"),
            "db" => words::db(number),
            "decibels" => words::db_amount(number),
            "mhz" => words::with_unit(number, 1, " MHz"),
            "percent" | "mark" => words::percent(number),
            "ms" => words::clock(number.max(0.0) as u64),
            _ => words::points(number),
        };
        let text = match text.rsplit_once(' ') {
            Some((bare, _)) if form.contains('n') => bare.to_owned(),
            _ => text,
        };
        text.replace('.', self.known("decimal_mark").unwrap_or("."))
    }

    fn length(&self, value_mm: f64, decimals: usize) -> String {
        match self.unit() {
            "mm" => words::with_unit(value_mm, decimals, " mm"),
            // As much of it as these decimals show in mm.
            unit => words::with_unit(value_mm / MM_PER_INCH, decimals + 2, &format!(" {unit}")),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::said::said;

    const VALUES: &str = "{a_mm} {a_mm:0n} {b_deg} {c_db} {d_decibels} {percent} {t_ms} {leg} {side} {kind} {legs} {e_mark} \
                          {f_mhz} {b_deg:1} {d_decibels:n}";

    fn values() -> Vec<(&'static str, Value)> {
        vec![
            ("a_mm", 12.34.into()),
            ("b_deg", 57.6.into()),
            ("c_db", (-3.0).into()),
            ("d_decibels", (-3.0).into()),
            ("percent", 6.0.into()),
            ("t_ms", 192_000.0.into()),
            ("leg", 2.into()),
            ("side", instrument::pose::Side::B.into()),
            ("kind", FlawKind::SlagLine.into()),
            ("legs", vec![1, 2, 3].into()),
            ("e_mark", 69.97.into()),
            ("f_mhz", 5.0.into()),
        ]
    }

    #[test]
    fn values_are_written_as_their_names_say() {
        let written =
            "12.3 mm 12 58° −3.0 dB 3.0 dB 6 % 3:12 2 B slag line 1, 2 and 3 69.9 % 5.0 MHz 57.6° 3.0";
        assert_eq!(Language::english().filled(VALUES, &values()), written);
    }

    #[test]
    fn another_language_has_its_words_its_mark_and_its_unit() {
        let other = "decimal_mark\t,\nunit\tin\nsaid.and\t y \nSlag line\tLínea de escoria\nsaid.flaws.more\t{number} imperfecciones";
        let other = Language::read(other);
        let written = "0,486 in 0,49 58° −3,0 dB 3,0 dB 6 % 3:12 2 B línea de escoria 1, 2 y 3 69,9 % 5,0 MHz 57,6° 3,0";
        assert_eq!(other.filled(VALUES, &values()), written);
        assert_eq!(other.say(&said!("said.flaws.more", number = 3)), "3 imperfecciones");
        assert_eq!(other.text("said.flaws.one"), "said.flaws.one", "nothing else is at hand");
    }
}
