//! Hands a parsed TOML document to serde, and keeps the place of what does not fit.
//!
//! The toml crate's own deserializer does the same with more: dates, borrowed strings, places as values. It is
//! made anew for every type read, and in the browser's program that is 200 kB; this one reads by reference.

use std::fmt;

use serde::de::{
    DeserializeSeed, EnumAccess, Expected, MapAccess, SeqAccess, Unexpected, VariantAccess, Visitor,
};
use serde::{Deserializer, forward_to_deserialize_any};
use toml::Spanned;
use toml::de::{DeInteger, DeTable, DeValue};

/// What does not fit, in serde's words, and the byte where it stands.
#[derive(Debug)]
pub(super) struct Misfit(Box<(String, Option<usize>)>);

impl Misfit {
    pub(super) fn message(&self) -> &str {
        &self.0.0
    }

    pub(super) fn start(&self) -> Option<usize> {
        self.0.1
    }

    /// The same with a place, unless it has a narrower one.
    fn within(mut self, start: usize) -> Self {
        self.0.1.get_or_insert(start);
        self
    }
}

impl fmt::Display for Misfit {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(self.message())
    }
}

impl std::error::Error for Misfit {}

impl serde::de::Error for Misfit {
    fn custom<T: fmt::Display>(message: T) -> Self {
        Self(Box::new((message.to_string(), None)))
    }
}

fn misfit(message: &str) -> Misfit {
    Misfit(Box::new((message.to_owned(), None)))
}

/// A value of the document.
#[derive(Clone, Copy)]
pub(super) struct Node<'t, 'i>(pub(super) &'t Spanned<DeValue<'i>>);

/// A value as serde's visitors take it.
enum Plain<'t, 'i> {
    Text(&'t str),
    Signed(i64),
    Unsigned(u64),
    Real(f64),
    Truth(bool),
    Date(String),
    Array(&'t [Spanned<DeValue<'i>>]),
    Table(&'t DeTable<'i>),
}

impl<'t, 'i> Node<'t, 'i> {
    fn start(self) -> usize {
        self.0.span().start
    }

    /// Apart from the visitors, for those are made anew for every type read.
    #[inline(never)]
    fn plain(self) -> Result<Plain<'t, 'i>, Misfit> {
        Ok(match self.0.get_ref() {
            DeValue::String(text) => Plain::Text(text),
            DeValue::Integer(number) => {
                match (whole(number, i64::from_str_radix), whole(number, u64::from_str_radix)) {
                    (Some(number), _) => Plain::Signed(number),
                    (None, Some(number)) => Plain::Unsigned(number),
                    (None, None) => return Err(misfit("integer number overflowed").within(self.start())),
                }
            }
            DeValue::Float(number) => match number.as_str().parse::<f64>() {
                Ok(value) if value.is_finite() || !number.as_str().contains(|c: char| c.is_ascii_digit()) => {
                    Plain::Real(value)
                }
                _ => return Err(misfit("floating-point number overflowed").within(self.start())),
            },
            DeValue::Boolean(value) => Plain::Truth(*value),
            // No file of ours has dates: whatever is expected here, this is something else.
            DeValue::Datetime(date) => Plain::Date(date.to_string()),
            DeValue::Array(array) => Plain::Array(array),
            DeValue::Table(table) => Plain::Table(table),
        })
    }
}

impl Node<'_, '_> {
    /// In the words of the visitors' own refusal.
    #[inline(never)]
    fn refused(self, expected: &dyn Expected) -> Misfit {
        let plain = match self.plain() {
            Ok(plain) => plain,
            Err(misfit) => return misfit,
        };
        let found = match &plain {
            Plain::Text(text) => Unexpected::Str(text),
            Plain::Signed(number) => Unexpected::Signed(*number),
            Plain::Unsigned(number) => Unexpected::Unsigned(*number),
            Plain::Real(number) => Unexpected::Float(*number),
            Plain::Truth(value) => Unexpected::Bool(*value),
            Plain::Date(date) => Unexpected::Str(date),
            Plain::Array(_) => Unexpected::Seq,
            Plain::Table(_) => Unexpected::Map,
        };
        serde::de::Error::invalid_type(found, expected)
    }
}

/// Whole numbers are decimal, 0x…, 0o… or 0b…; larger ones than 64 bits hold are none.
fn whole<T>(
    number: &DeInteger<'_>,
    from_radix: fn(&str, u32) -> Result<T, std::num::ParseIntError>,
) -> Option<T> {
    from_radix(number.as_str(), number.radix()).ok()
}

impl<'de> Deserializer<'de> for Node<'_, '_> {
    type Error = Misfit;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        match self.plain()? {
            Plain::Text(text) => visitor.visit_str(text),
            Plain::Signed(number) => visitor.visit_i64(number),
            Plain::Unsigned(number) => visitor.visit_u64(number),
            Plain::Real(number) => visitor.visit_f64(number),
            Plain::Truth(value) => visitor.visit_bool(value),
            Plain::Date(date) => visitor.visit_string(date),
            Plain::Array(array) => visitor.visit_seq(Elements(array.iter())),
            Plain::Table(table) => visitor.visit_map(Entries::of(table)),
        }
        .map_err(|error| error.within(self.start()))
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        visitor.visit_some(self)
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        visitor: V,
    ) -> Result<V::Value, Misfit> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Misfit> {
        match self.0.get_ref() {
            DeValue::String(word) => {
                visitor.visit_enum(Choice { word: Name(word, self.start()), content: None })
            }
            DeValue::Table(table) => match table.iter().next().filter(|_| table.len() == 1) {
                Some((key, content)) => {
                    let word = Name(key.get_ref(), key.span().start);
                    visitor.visit_enum(Choice { word, content: Some(Node(content)) })
                }
                None => Err(misfit("not exactly one word in this table, expected one")),
            },
            _ => Err(misfit("neither a word nor a table, expected a word in quotes or a table of one")),
        }
        .map_err(|error| error.within(self.start()))
    }

    // What a visitor takes is known below: the calls it would refuse are not made, for each is code of its own, for every type.

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Misfit> {
        self.deserialize_map(visitor)
    }

    fn deserialize_map<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        match self.0.get_ref() {
            DeValue::Table(table) => visitor.visit_map(Entries::of(table)),
            _ => Err(self.refused(&visitor)),
        }
        .map_err(|error| error.within(self.start()))
    }

    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        match self.0.get_ref() {
            DeValue::Array(array) => visitor.visit_seq(Elements(array.iter())),
            _ => Err(self.refused(&visitor)),
        }
        .map_err(|error| error.within(self.start()))
    }

    fn deserialize_tuple<V: Visitor<'de>>(self, _: usize, visitor: V) -> Result<V::Value, Misfit> {
        self.deserialize_seq(visitor)
    }

    fn deserialize_tuple_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: usize,
        visitor: V,
    ) -> Result<V::Value, Misfit> {
        self.deserialize_seq(visitor)
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 u8 u16 u32 u64 f32 f64 char str string bytes byte_buf unit unit_struct identifier ignored_any
    }
}

/// A key or a word, with its place.
struct Name<'t>(&'t str, usize);

impl<'de> Deserializer<'de> for Name<'_> {
    type Error = Misfit;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        visitor.visit_str(self.0).map_err(|error: Misfit| error.within(self.1))
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 u8 u16 u32 u64 f32 f64 char str string bytes byte_buf option unit unit_struct
        newtype_struct seq tuple tuple_struct map struct enum identifier ignored_any
    }
}

struct Elements<'t, 'i>(std::slice::Iter<'t, Spanned<DeValue<'i>>>);

impl<'de> SeqAccess<'de> for Elements<'_, '_> {
    type Error = Misfit;

    fn next_element_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Result<Option<T::Value>, Misfit> {
        self.0.next().map(|element| seed.deserialize(Node(element))).transpose()
    }
}

type Entry<'t, 'i> = (&'t Spanned<std::borrow::Cow<'i, str>>, &'t Spanned<DeValue<'i>>);

struct Entries<'t, 'i> {
    rest: std::vec::IntoIter<Entry<'t, 'i>>,
    value: Option<Node<'t, 'i>>,
}

impl<'t, 'i> Entries<'t, 'i> {
    fn of(table: &'t DeTable<'i>) -> Self {
        Self { rest: table.iter().collect::<Vec<_>>().into_iter(), value: None }
    }
}

impl<'de> MapAccess<'de> for Entries<'_, '_> {
    type Error = Misfit;

    fn next_key_seed<K: DeserializeSeed<'de>>(&mut self, seed: K) -> Result<Option<K::Value>, Misfit> {
        let Some((key, value)) = self.rest.next() else { return Ok(None) };
        self.value = Some(Node(value));
        seed.deserialize(Name(key.get_ref(), key.span().start)).map(Some)
    }

    fn next_value_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Result<T::Value, Misfit> {
        match self.value.take() {
            Some(value) => seed.deserialize(value),
            None => Err(misfit("a value was asked for before its key")),
        }
    }
}

/// One of the words of an enum, with a table behind it or not.
struct Choice<'t, 'i> {
    word: Name<'t>,
    content: Option<Node<'t, 'i>>,
}

impl<'de, 't, 'i> EnumAccess<'de> for Choice<'t, 'i> {
    type Error = Misfit;
    type Variant = Content<'t, 'i>;

    fn variant_seed<T: DeserializeSeed<'de>>(self, seed: T) -> Result<(T::Value, Self::Variant), Misfit> {
        Ok((seed.deserialize(self.word)?, Content(self.content)))
    }
}

struct Content<'t, 'i>(Option<Node<'t, 'i>>);

impl<'t, 'i> Content<'t, 'i> {
    fn table(self) -> Result<Node<'t, 'i>, Misfit> {
        self.0.ok_or_else(|| misfit("invalid type: unit variant, expected a table with its values"))
    }
}

impl<'de> VariantAccess<'de> for Content<'_, '_> {
    type Error = Misfit;

    fn unit_variant(self) -> Result<(), Misfit> {
        match self.0 {
            None => Ok(()),
            Some(node) => {
                Err(misfit("this word stands alone, expected no table behind it").within(node.start()))
            }
        }
    }

    fn newtype_variant_seed<T: DeserializeSeed<'de>>(self, seed: T) -> Result<T::Value, Misfit> {
        seed.deserialize(self.table()?)
    }

    fn tuple_variant<V: Visitor<'de>>(self, _: usize, visitor: V) -> Result<V::Value, Misfit> {
        self.table()?.deserialize_seq(visitor)
    }

    fn struct_variant<V: Visitor<'de>>(
        self,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Misfit> {
        self.table()?.deserialize_map(visitor)
    }
}
