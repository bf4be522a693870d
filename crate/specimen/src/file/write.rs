//! Values written as TOML text.
//!
//! The toml crate's own serializer is made anew for every type written, twice; in the browser's program that is
//! 70 kB. This one only says what comes next to code that knows no type; numbers, texts and keys look as the same crate writes them.

use std::fmt::Display;

use serde::ser::{
    self, Serialize, SerializeMap, SerializeSeq, SerializeStruct, SerializeStructVariant, SerializeTuple,
    SerializeTupleStruct, SerializeTupleVariant, Serializer,
};
use toml_writer::{ToTomlKey, ToTomlValue};

use super::WriteError;

mod item;
#[cfg(test)]
mod tests;

use item::Item;

impl ser::Error for WriteError {
    fn custom<T: Display>(message: T) -> Self {
        Self(message.to_string())
    }
}

/// Writes a value as the text of a document.
///
/// # Errors
/// A value that is no table, or has something in it that TOML cannot hold.
pub(super) fn text<T: Serialize>(value: &T) -> Result<String, WriteError> {
    let mut writer = Writer::default();
    value.serialize(&mut writer)?;
    writer.finished()
}

/// What is begun and not yet ended.
enum Open {
    Table(Vec<(String, Item)>),
    List(Vec<Item>),
    /// The name of the next entry in the table below.
    Key(String),
}

/// Takes a value piece by piece, in serde's order.
#[derive(Default)]
struct Writer {
    open: Vec<Open>,
    whole: Option<Item>,
    /// The next text is the name of an entry.
    naming: bool,
}

fn refused(what: &str) -> WriteError {
    WriteError(what.to_owned())
}

impl Writer {
    #[inline(never)]
    fn finished(self) -> Result<String, WriteError> {
        match self.whole {
            Some(Item::Table(entries)) => Ok(item::document(&entries)),
            _ => Err(refused("a value by itself; expected a table")),
        }
    }

    #[inline(never)]
    fn key(&mut self, name: &str) {
        self.open.push(Open::Key(name.to_toml_key()));
    }

    #[inline(never)]
    fn begin(&mut self, open: Open) {
        self.open.push(open);
    }

    #[inline(never)]
    fn put(&mut self, item: Item) -> Result<(), WriteError> {
        if self.naming {
            return Err(refused("a name that is no text"));
        }
        match self.open.pop() {
            None => self.whole = Some(item),
            Some(Open::List(mut list)) => {
                list.push(item);
                self.open.push(Open::List(list));
            }
            Some(Open::Key(name)) => {
                if let Some(Open::Table(entries)) = self.open.last_mut() {
                    entries.push((name, item));
                }
            }
            Some(Open::Table(_)) => return Err(refused("a value without a name")),
        }
        Ok(())
    }

    /// Nothing: an entry without a value is left out.
    #[inline(never)]
    fn nothing(&mut self) -> Result<(), WriteError> {
        match self.open.pop() {
            Some(Open::Key(_)) => Ok(()),
            _ => Err(refused("nothing where a value has to be")),
        }
    }

    #[inline(never)]
    fn end(&mut self) -> Result<(), WriteError> {
        match self.open.pop() {
            Some(Open::Table(entries)) => self.put(Item::Table(entries)),
            Some(Open::List(list)) => self.put(Item::List(list)),
            _ => Err(refused("an end without a beginning")),
        }
    }

    #[inline(never)]
    fn whole_number(&mut self, number: i64) -> Result<(), WriteError> {
        self.put(Item::Value(number.to_toml_value()))
    }

    #[inline(never)]
    fn natural(&mut self, number: u64) -> Result<(), WriteError> {
        self.put(Item::Value(number.to_toml_value()))
    }

    #[inline(never)]
    fn real(&mut self, number: f64) -> Result<(), WriteError> {
        self.put(Item::Value(number.to_toml_value()))
    }

    #[inline(never)]
    fn word(&mut self, text: &str) -> Result<(), WriteError> {
        if self.naming {
            self.naming = false;
            self.key(text);
            return Ok(());
        }
        self.put(Item::Value(text.to_toml_value()))
    }
}

/// What is begun ends with one table or list, or with a word's table around it as well.
struct Inside<'w> {
    writer: &'w mut Writer,
    ends: u8,
}

impl Inside<'_> {
    fn end(self) -> Result<(), WriteError> {
        (0..self.ends).try_for_each(|_| self.writer.end())
    }
}

macro_rules! numbers {
    ($($name:ident $of:ty, $by:ident $as:ty)*) => { $(
        fn $name(self, number: $of) -> Result<(), WriteError> {
            self.$by(<$as>::from(number))
        }
    )* };
}

impl<'w> Serializer for &'w mut Writer {
    type Ok = ();
    type Error = WriteError;
    type SerializeSeq = Inside<'w>;
    type SerializeTuple = Inside<'w>;
    type SerializeTupleStruct = Inside<'w>;
    type SerializeTupleVariant = Inside<'w>;
    type SerializeMap = Inside<'w>;
    type SerializeStruct = Inside<'w>;
    type SerializeStructVariant = Inside<'w>;

    numbers! {
        serialize_i8 i8, whole_number i64
        serialize_i16 i16, whole_number i64
        serialize_i32 i32, whole_number i64
        serialize_i64 i64, whole_number i64
        serialize_u8 u8, natural u64
        serialize_u16 u16, natural u64
        serialize_u32 u32, natural u64
        serialize_u64 u64, natural u64
        serialize_f32 f32, real f64
        serialize_f64 f64, real f64
    }

    fn serialize_bool(self, value: bool) -> Result<(), WriteError> {
        self.put(Item::Value(value.to_toml_value()))
    }

    fn serialize_char(self, letter: char) -> Result<(), WriteError> {
        self.word(letter.encode_utf8(&mut [0; 4]))
    }

    fn serialize_str(self, text: &str) -> Result<(), WriteError> {
        self.word(text)
    }

    fn serialize_bytes(self, _: &[u8]) -> Result<(), WriteError> {
        Err(refused("bytes"))
    }

    fn serialize_none(self) -> Result<(), WriteError> {
        self.nothing()
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Result<(), WriteError> {
        value.serialize(self)
    }

    fn serialize_unit(self) -> Result<(), WriteError> {
        self.nothing()
    }

    fn serialize_unit_struct(self, _: &'static str) -> Result<(), WriteError> {
        self.nothing()
    }

    fn serialize_unit_variant(self, _: &'static str, _: u32, word: &'static str) -> Result<(), WriteError> {
        self.word(word)
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        value: &T,
    ) -> Result<(), WriteError> {
        value.serialize(self)
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        _: u32,
        word: &'static str,
        value: &T,
    ) -> Result<(), WriteError> {
        self.begin(Open::Table(Vec::new()));
        self.key(word);
        value.serialize(&mut *self)?;
        self.end()
    }

    fn serialize_seq(self, _: Option<usize>) -> Result<Inside<'w>, WriteError> {
        self.begin(Open::List(Vec::new()));
        Ok(Inside { writer: self, ends: 1 })
    }

    fn serialize_tuple(self, _: usize) -> Result<Inside<'w>, WriteError> {
        self.serialize_seq(None)
    }

    fn serialize_tuple_struct(self, _: &'static str, _: usize) -> Result<Inside<'w>, WriteError> {
        self.serialize_seq(None)
    }

    fn serialize_tuple_variant(
        self,
        _: &'static str,
        _: u32,
        word: &'static str,
        _: usize,
    ) -> Result<Inside<'w>, WriteError> {
        self.begin(Open::Table(Vec::new()));
        self.key(word);
        self.begin(Open::List(Vec::new()));
        Ok(Inside { writer: self, ends: 2 })
    }

    fn serialize_map(self, _: Option<usize>) -> Result<Inside<'w>, WriteError> {
        self.begin(Open::Table(Vec::new()));
        Ok(Inside { writer: self, ends: 1 })
    }

    fn serialize_struct(self, _: &'static str, _: usize) -> Result<Inside<'w>, WriteError> {
        self.serialize_map(None)
    }

    fn serialize_struct_variant(
        self,
        _: &'static str,
        _: u32,
        word: &'static str,
        _: usize,
    ) -> Result<Inside<'w>, WriteError> {
        self.begin(Open::Table(Vec::new()));
        self.key(word);
        self.begin(Open::Table(Vec::new()));
        Ok(Inside { writer: self, ends: 2 })
    }
}

/// Lists: element after element.
macro_rules! elements {
    ($($of:ident $name:ident)*) => { $(
        impl $of for Inside<'_> {
            type Ok = ();
            type Error = WriteError;

            fn $name<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), WriteError> {
                value.serialize(&mut *self.writer)
            }

            fn end(self) -> Result<(), WriteError> {
                Inside::end(self)
            }
        }
    )* };
}

elements! {
    SerializeSeq serialize_element SerializeTuple serialize_element
    SerializeTupleStruct serialize_field SerializeTupleVariant serialize_field
}

/// Tables: name and value.
macro_rules! entries {
    ($($of:ident)*) => { $(
        impl $of for Inside<'_> {
            type Ok = ();
            type Error = WriteError;

            fn serialize_field<T: Serialize + ?Sized>(
                &mut self,
                name: &'static str,
                value: &T,
            ) -> Result<(), WriteError> {
                self.writer.key(name);
                value.serialize(&mut *self.writer)
            }

            fn end(self) -> Result<(), WriteError> {
                Inside::end(self)
            }
        }
    )* };
}

entries! { SerializeStruct SerializeStructVariant }

impl SerializeMap for Inside<'_> {
    type Ok = ();
    type Error = WriteError;

    fn serialize_key<T: Serialize + ?Sized>(&mut self, name: &T) -> Result<(), WriteError> {
        self.writer.naming = true;
        name.serialize(&mut *self.writer)
    }

    fn serialize_value<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), WriteError> {
        value.serialize(&mut *self.writer)
    }

    fn end(self) -> Result<(), WriteError> {
        Inside::end(self)
    }
}
