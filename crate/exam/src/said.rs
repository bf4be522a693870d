//! Sentences that people of several languages read: a key with its values, and the words of a language that says them.

use specimen::flaw::FlawKind;

use serde::ser::{Serialize, SerializeMap, SerializeStruct, Serializer};

#[cfg(feature = "english")]
mod english;
#[cfg(feature = "english")]
mod english_drawings;
#[cfg(feature = "english")]
mod english_marks;
#[cfg(feature = "english")]
mod english_reports;
mod language;

pub use language::Language;

/// A sentence of the table, with its values by name.
macro_rules! said {
    ($key:expr $(,)?) => {
        $crate::said::Said::new($key, Vec::new())
    };
    ($key:expr $(, $name:ident = $value:expr)+ $(,)?) => {{
        let mut said = $crate::said::Values::default();
        $(said.put(stringify!($name), $value);)+
        $crate::said::Said::new($key, said.0)
    }};
}
pub(crate) use said;

/// A value in a sentence. What a number is and how it is written, the end of its name says: `_mm`, `_deg`, `_ms`, `_mhz`, `percent`,
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

/// A sentence with its values; in English at once for whoever has its words.
#[derive(Clone, Debug, PartialEq)]
pub struct Said {
    key: &'static str,
    values: Vec<(&'static str, Value)>,
    #[cfg(feature = "english")]
    english: String,
}

impl Said {
    /// The sentence of a key.
    #[inline(never)]
    pub fn new(key: &'static str, values: Vec<(&'static str, Value)>) -> Self {
        #[cfg(feature = "english")]
        let english = english::LANGUAGE.filled(english::LANGUAGE.text(key), &values);
        Self {
            key,
            values,
            #[cfg(feature = "english")]
            english,
        }
    }

    /// Its key.
    pub fn key(&self) -> &'static str {
        self.key
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

impl From<&str> for Value {
    fn from(name: &str) -> Self {
        Self::Name(name.to_owned())
    }
}

impl From<String> for Value {
    fn from(name: String) -> Self {
        Self::Name(name)
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

#[cfg(feature = "english")]
impl std::ops::Deref for Said {
    type Target = str;

    fn deref(&self) -> &str {
        &self.english
    }
}

#[cfg(feature = "english")]
impl std::fmt::Display for Said {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.english)
    }
}

/// Values by their names. One is put in after the other by code that stands once for each type: a list of them, written where the
/// sentence is said, is three times as much wasm.
#[derive(Default)]
pub(crate) struct Values(pub(crate) Vec<(&'static str, Value)>);

impl Values {
    #[inline(never)]
    pub(crate) fn put<T: Into<Value>>(&mut self, name: &'static str, value: T) {
        self.0.push((name, value.into()));
    }
}

struct Named<'a>(&'a [(&'static str, Value)]);

impl Serialize for Named<'_> {
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
        let mut whole = serializer.serialize_struct("Said", 2 + usize::from(cfg!(feature = "english")))?;
        whole.serialize_field("key", self.key)?;
        whole.serialize_field("values", &Named(&self.values))?;
        #[cfg(feature = "english")]
        whole.serialize_field("english", &self.english)?;
        whole.end()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sentence_goes_out_with_key_values_and_english() {
        let inner = Said::new("said.never", Vec::new());
        let said = Said::new("said.had", vec![("seen", inner.into())]);
        let json = serde_json::to_value(&said).unwrap();
        assert_eq!(json["key"], "said.had");
        assert_eq!(json["values"]["seen"]["key"], "said.never");
        assert_eq!(json["english"], said.to_string());
        assert!(said.to_string().starts_with("At its highest you had it at This session never"), "{said}");
    }
}
