//! Reading JSON: one reader for bytes and text, and records only as records.
//!
//! serde_json also takes a list where a record is expected, value after value. No file of ours has that, and serde generates
//! that code for every type: 40 kB of wasm.

use core::fmt;

use serde::de::{
    DeserializeOwned, DeserializeSeed, Deserializer, EnumAccess, MapAccess, SeqAccess, VariantAccess, Visitor,
};
use serde_json::Error;

/// Reads a value.
///
/// # Errors
/// No JSON, or other keys and values than `T` has; with line and column.
pub fn read<T: DeserializeOwned>(bytes: &[u8]) -> Result<T, Error> {
    let mut text = serde_json::Deserializer::from_slice(bytes);
    let value = T::deserialize(Records(&mut text))?;
    text.end()?;
    Ok(value)
}

/// What serde and serde_json hand each other, either way; all that is reached through it is wrapped as well.
struct Records<T>(T);

/// Kinds of values with nothing inside.
macro_rules! pass_on {
    ($($name:ident)*) => { $(
        fn $name<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, D::Error> {
            self.0.$name(visitor)
        }
    )* };
}

impl<'de, D: Deserializer<'de>> Deserializer<'de> for Records<D> {
    type Error = D::Error;

    pass_on! {
        deserialize_bool deserialize_i8 deserialize_i16 deserialize_i32 deserialize_i64 deserialize_u8
        deserialize_u16 deserialize_u32 deserialize_u64 deserialize_f32 deserialize_f64 deserialize_char
        deserialize_str deserialize_string deserialize_bytes deserialize_byte_buf deserialize_unit
        deserialize_identifier deserialize_ignored_any deserialize_any
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, D::Error> {
        self.0.deserialize_map(Records(visitor))
    }

    fn deserialize_map<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, D::Error> {
        self.0.deserialize_map(Records(visitor))
    }

    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, D::Error> {
        self.0.deserialize_seq(Records(visitor))
    }

    fn deserialize_tuple<V: Visitor<'de>>(self, _: usize, visitor: V) -> Result<V::Value, D::Error> {
        self.0.deserialize_seq(Records(visitor))
    }

    fn deserialize_tuple_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: usize,
        visitor: V,
    ) -> Result<V::Value, D::Error> {
        self.0.deserialize_seq(Records(visitor))
    }

    fn deserialize_unit_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        visitor: V,
    ) -> Result<V::Value, D::Error> {
        self.0.deserialize_unit(visitor)
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, D::Error> {
        self.0.deserialize_option(Records(visitor))
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        visitor: V,
    ) -> Result<V::Value, D::Error> {
        self.0.deserialize_newtype_struct(name, Records(visitor))
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        name: &'static str,
        variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, D::Error> {
        self.0.deserialize_enum(name, variants, Records(visitor))
    }
}

impl<'de, V: Visitor<'de>> Visitor<'de> for Records<V> {
    type Value = V::Value;

    fn expecting(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.expecting(out)
    }

    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<V::Value, A::Error> {
        self.0.visit_map(Records(map))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, list: A) -> Result<V::Value, A::Error> {
        self.0.visit_seq(Records(list))
    }

    fn visit_unit<E: serde::de::Error>(self) -> Result<V::Value, E> {
        self.0.visit_unit()
    }

    fn visit_none<E: serde::de::Error>(self) -> Result<V::Value, E> {
        self.0.visit_none()
    }

    fn visit_some<D: Deserializer<'de>>(self, value: D) -> Result<V::Value, D::Error> {
        self.0.visit_some(Records(value))
    }

    fn visit_newtype_struct<D: Deserializer<'de>>(self, value: D) -> Result<V::Value, D::Error> {
        self.0.visit_newtype_struct(Records(value))
    }

    fn visit_enum<A: EnumAccess<'de>>(self, choice: A) -> Result<V::Value, A::Error> {
        self.0.visit_enum(Records(choice))
    }
}

impl<'de, S: DeserializeSeed<'de>> DeserializeSeed<'de> for Records<S> {
    type Value = S::Value;

    fn deserialize<D: Deserializer<'de>>(self, value: D) -> Result<S::Value, D::Error> {
        self.0.deserialize(Records(value))
    }
}

impl<'de, A: MapAccess<'de>> MapAccess<'de> for Records<A> {
    type Error = A::Error;

    // Keys have nothing inside.
    fn next_key_seed<K: DeserializeSeed<'de>>(&mut self, seed: K) -> Result<Option<K::Value>, A::Error> {
        self.0.next_key_seed(seed)
    }

    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<S::Value, A::Error> {
        self.0.next_value_seed(Records(seed))
    }
}

impl<'de, A: SeqAccess<'de>> SeqAccess<'de> for Records<A> {
    type Error = A::Error;

    fn next_element_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<Option<S::Value>, A::Error> {
        self.0.next_element_seed(Records(seed))
    }
}

impl<'de, A: EnumAccess<'de>> EnumAccess<'de> for Records<A> {
    type Error = A::Error;
    type Variant = Records<A::Variant>;

    fn variant_seed<S: DeserializeSeed<'de>>(self, seed: S) -> Result<(S::Value, Self::Variant), A::Error> {
        let (word, content) = self.0.variant_seed(seed)?;
        Ok((word, Records(content)))
    }
}

impl<'de, A: VariantAccess<'de>> VariantAccess<'de> for Records<A> {
    type Error = A::Error;

    fn unit_variant(self) -> Result<(), A::Error> {
        self.0.unit_variant()
    }

    fn newtype_variant_seed<S: DeserializeSeed<'de>>(self, seed: S) -> Result<S::Value, A::Error> {
        self.0.newtype_variant_seed(Records(seed))
    }

    fn tuple_variant<V: Visitor<'de>>(self, count: usize, visitor: V) -> Result<V::Value, A::Error> {
        self.0.tuple_variant(count, Records(visitor))
    }

    fn struct_variant<V: Visitor<'de>>(
        self,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, A::Error> {
        self.0.struct_variant(fields, Records(visitor))
    }
}

#[cfg(test)]
mod tests {
    use serde::Deserialize;

    use super::read;

    #[derive(Debug, PartialEq, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Inner {
        a: f64,
        b: Option<u8>,
    }

    #[derive(Debug, PartialEq, Deserialize)]
    enum Word {
        Alone,
        One(Inner),
        Record { place: [f64; 2] },
    }

    #[derive(Debug, PartialEq, Deserialize)]
    struct Outer {
        list: Vec<Inner>,
        words: Vec<Word>,
        pair: (bool, String),
    }

    #[test]
    fn all_shapes_are_read() {
        let text = br#"{"list":[{"a":1.5,"b":null},{"a":2,"b":3}],
            "words":["Alone",{"One":{"a":-1}},{"Record":{"place":[1,2]}}],"pair":[true,"x"]}"#;
        let outer: Outer = read(text).expect("a whole value");
        assert_eq!(outer.list, [Inner { a: 1.5, b: None }, Inner { a: 2.0, b: Some(3) }]);
        let one = Word::One(Inner { a: -1.0, b: None });
        assert_eq!(outer.words, [Word::Alone, one, Word::Record { place: [1.0, 2.0] }]);
        assert_eq!(outer.pair, (true, "x".to_owned()));
    }

    #[test]
    fn a_list_is_no_record() {
        let error = read::<Inner>(b"[1.5, 2]").expect_err("a list");
        assert!(error.to_string().contains("invalid type: sequence"), "{error}");
        let error = read::<Vec<Inner>>(b"[{\"a\":1},\n [1.5, 2]]").expect_err("a list in a list");
        assert_eq!(error.line(), 2, "{error}");
    }

    #[test]
    fn a_value_of_another_type_is_told_with_its_line() {
        let error = read::<Outer>(b"{\n \"list\": [{\"a\": \"x\"}]}").expect_err("a word for a number");
        assert!(error.to_string().contains("invalid type: string \"x\", expected f64"), "{error}");
        assert_eq!(error.line(), 2);
        assert!(read::<Inner>(b"{\"a\":1} more").is_err(), "something behind the end");
    }
}
