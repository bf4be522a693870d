//! Sentences that people of several languages read: in English here, and as a key with its values for whoever has the same
//! sentence in another language.

use std::fmt;
use std::ops::Deref;

use serde::ser::{Serialize, SerializeMap, SerializeStruct, Serializer};

use crate::words;

mod english;

/// A value in a sentence. What a number is and how it is written, the end of its name says: `_mm`, `_deg`, `_ms`, `percent`,
/// `_db` for a level with its sign, `_decibels` for a difference; else it is a count.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A number.
    Number(f64),
    /// A letter or name that no language changes.
    Name(String),
    /// A part that is a sentence of its own.
    Said(Said),
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
        if let Some((_, value)) = values.iter().find(|(known, _)| *known == name) {
            text.push_str(&value.written(name));
        }
        text.push_str(rest);
    }
    text
}

impl Value {
    fn written(&self, name: &str) -> String {
        match (self, name.rsplit('_').next().unwrap_or_default()) {
            (Self::Name(text), _) => text.clone(),
            (Self::Said(said), _) => said.english.clone(),
            (&Self::Number(value), "mm") => words::mm(value),
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
            match value {
                Value::Number(number) => map.serialize_entry(name, number)?,
                Value::Name(text) => map.serialize_entry(name, text)?,
                Value::Said(said) => map.serialize_entry(name, said)?,
            }
        }
        map.end()
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
        let sentence = "{a_mm} {b_deg} {c_db} {d_decibels} {percent} {t_ms} {leg} {side}";
        let values: Vec<(&'static str, Value)> = vec![
            ("a_mm", 12.34.into()),
            ("b_deg", 57.6.into()),
            ("c_db", (-3.0).into()),
            ("d_decibels", (-3.0).into()),
            ("percent", 6.0.into()),
            ("t_ms", 192_000.0.into()),
            ("leg", 2.into()),
            ("side", instrument::pose::Side::B.into()),
        ];
        assert_eq!(filled(sentence, &values), "12.3 mm 58° −3.0 dB 3.0 dB 6 % 3:12 2 B");
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
