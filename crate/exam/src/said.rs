//! Sentences that people of several languages read: in English here, and as a key with its values for whoever has the same
//! sentence in another language.

use std::fmt;
use std::ops::Deref;

use specimen::flaw::FlawKind;

use serde::ser::{Serialize, SerializeMap, SerializeStruct, Serializer};

use crate::words;

mod english;
mod english_marks;

/// A sentence of the table, with its values by name.
macro_rules! said {
    ($key:expr $(, $name:ident = $value:expr)* $(,)?) => {
        $crate::said::Said::new($key, vec![$((stringify!($name), $value.into())),*])
    };
}
pub(crate) use said;

/// A value in a sentence. What a number is and how it is written, the end of its name says: `_mm`, `_deg`, `_ms`, `percent`,
/// `_db` for a level with its sign, `_decibels` for a difference, `_mark` for a share that is never said too high, `_points` and
/// all others for a count with a decimal where it has one.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A number.
    Number(f64),
    /// A letter or name that no language changes.
    Name(String),
    /// A kind of flaw.
    Kind(FlawKind),
    /// A part that is a sentence of its own.
    Said(Said),
    /// Several of them.
    List(Vec<Value>),
}

/// A sentence with its values.
#[derive(Clone, Debug, PartialEq)]
pub struct Said {
    key: &'static str,
    values: Vec<(&'static str, Value)>,
    english: String,
}

impl Said {
    /// The sentence of a key in the table of English ones.
    pub fn new(key: &'static str, values: Vec<(&'static str, Value)>) -> Self {
        let english = filled(english::sentence(key), &values);
        Self { key, values, english }
    }

    /// Its key.
    pub fn key(&self) -> &'static str {
        self.key
    }
}

fn filled(sentence: &str, values: &[(&'static str, Value)]) -> String {
    let mut parts = sentence.split('{');
    let mut text = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let (name, rest) = part.split_once('}').unwrap_or(("", part));
        let (name, form) = name.split_once(':').unwrap_or((name, ""));
        if let Some((_, value)) = values.iter().find(|(known, _)| *known == name) {
            text.push_str(&value.written(name, form));
        }
        text.push_str(rest);
    }
    text
}

impl Value {
    /// Of a length the form says whether it goes without decimals (`0`) and without its unit (`n`), as on the page.
    fn written(&self, name: &str, form: &str) -> String {
        match (self, name.rsplit('_').next().unwrap_or_default()) {
            (Self::Name(text), _) => text.clone(),
            (Self::Kind(kind), _) => kind.words().to_lowercase(),
            (Self::Said(said), _) => said.english.clone(),
            (Self::List(all), _) => {
                words::list(&all.iter().map(|one| one.written(name, form)).collect::<Vec<_>>())
            }
            (&Self::Number(value), "mm") => {
                let length = if form.contains('0') { words::whole_mm(value) } else { words::mm(value) };
                if form.contains('n') { length.trim_end_matches(" mm").to_owned() } else { length }
            }
            (&Self::Number(value), "mark") => words::percent(value),
            (&Self::Number(value), "deg") => words::degrees(value),
            (&Self::Number(value), "db") => words::db(value),
            (&Self::Number(value), "decibels") => words::db_amount(value),
            (&Self::Number(value), "percent") => words::percent(value),
            (&Self::Number(value), "ms") => words::clock(value.max(0.0) as u64),
            (&Self::Number(value), _) => words::points(value),
        }
    }
}

impl From<f64> for Value {
    fn from(value: f64) -> Self {
        Self::Number(value)
    }
}

impl From<u32> for Value {
    fn from(value: u32) -> Self {
        Self::Number(f64::from(value))
    }
}

impl From<instrument::pose::Side> for Value {
    fn from(side: instrument::pose::Side) -> Self {
        Self::Name(format!("{side:?}"))
    }
}

impl From<FlawKind> for Value {
    fn from(kind: FlawKind) -> Self {
        Self::Kind(kind)
    }
}

impl<T: Into<Value>> From<Vec<T>> for Value {
    fn from(all: Vec<T>) -> Self {
        Self::List(all.into_iter().map(Into::into).collect())
    }
}

impl From<Said> for Value {
    fn from(said: Said) -> Self {
        Self::Said(said)
    }
}

impl Deref for Said {
    type Target = str;

    fn deref(&self) -> &str {
        &self.english
    }
}

impl fmt::Display for Said {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.english)
    }
}

struct Values<'a>(&'a [(&'static str, Value)]);

impl Serialize for Values<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(self.0.len()))?;
        for (name, value) in self.0 {
            map.serialize_entry(name, value)?;
        }
        map.end()
    }
}

impl Serialize for Value {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Number(number) => number.serialize(serializer),
            Self::Name(text) => text.serialize(serializer),
            Self::Kind(kind) => kind.serialize(serializer),
            Self::Said(said) => said.serialize(serializer),
            Self::List(all) => all.serialize(serializer),
        }
    }
}

impl Serialize for Said {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut whole = serializer.serialize_struct("Said", 3)?;
        whole.serialize_field("key", self.key)?;
        whole.serialize_field("values", &Values(&self.values))?;
        whole.serialize_field("english", &self.english)?;
        whole.end()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_written_as_their_names_say() {
        let sentence = "{a_mm} {a_mm:0n} {b_deg} {c_db} {d_decibels} {percent} {t_ms} {leg} {side} {kind} {legs} {e_mark}";
        let values: Vec<(&'static str, Value)> = vec![
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
        ];
        let written = "12.3 mm 12 58° −3.0 dB 3.0 dB 6 % 3:12 2 B slag line 1, 2 and 3 69.9 %";
        assert_eq!(filled(sentence, &values), written);
    }

    #[test]
    fn a_sentence_goes_out_with_key_values_and_english() {
        let inner = Said::new("said.never", Vec::new());
        let said = Said::new("said.had", vec![("seen", inner.into())]);
        let json = serde_json::to_value(&said).unwrap();
        assert_eq!(json["key"], "said.had");
        assert_eq!(json["values"]["seen"]["key"], "said.never");
        assert_eq!(json["english"], said.to_string());
        assert!(said.starts_with("At its highest you had it at This session never"), "{said}");
    }
}
