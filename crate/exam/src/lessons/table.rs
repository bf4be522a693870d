//! Reads the tables of a lesson's file key by key. By hand: derived for two dozen optional keys the same takes up a good
//! twentieth of the whole program.

use serde::de::DeserializeOwned;
use serde_json::{Map, Value};
use specimen::check::Complaint;
use specimen::file::{self, FileError};

/// The keys of a table; TOML's values are JSON's but for dates, of which no file of ours has one.
type Table = Map<String, Value>;

/// A table whose keys are taken out one by one, and what was wrong with them.
pub(super) struct Reader {
    table: Table,
    path: String,
    pub(super) complaints: Vec<Complaint>,
}

impl Reader {
    /// Reads a whole file.
    pub(super) fn of_file(name: &str, bytes: &[u8]) -> Result<Self, FileError> {
        let table = file::read::<Table>(name, bytes)?;
        Ok(Self { table, path: String::new(), complaints: Vec::new() })
    }

    fn path_of(&self, key: &str) -> String {
        if self.path.is_empty() { key.to_owned() } else { format!("{}.{key}", self.path) }
    }

    pub(super) fn complain(&mut self, key: &str, message: String) {
        let path = self.path_of(key);
        self.complaints.push(Complaint { path, message });
    }

    fn expected(&mut self, key: &str, what: &str) {
        self.complain(key, format!("expected {what}"));
    }

    /// A number.
    pub(super) fn number(&mut self, key: &str) -> Option<f64> {
        let value = self.table.remove(key)?;
        let number = number(&value);
        if number.is_none() {
            self.expected(key, "a number");
        }
        number
    }

    /// Two numbers, the lower one first.
    pub(super) fn band(&mut self, key: &str) -> Option<[f64; 2]> {
        let value = self.table.remove(key)?;
        let band = match value.as_array().map(Vec::as_slice) {
            Some([low, high]) => number(low).zip(number(high)).filter(|(low, high)| low <= high),
            _ => None,
        };
        if band.is_none() {
            self.expected(key, "the lowest and the highest value that will do, such as [1.0, 2.0]");
        }
        band.map(|(low, high)| [low, high])
    }

    /// Whether it is so.
    pub(super) fn truth(&mut self, key: &str) -> Option<bool> {
        let value = self.table.remove(key)?;
        if value.as_bool().is_none() {
            self.expected(key, "true or false");
        }
        value.as_bool()
    }

    /// A text; absent is wrong.
    pub(super) fn text(&mut self, key: &str) -> String {
        let text = self.table.remove(key).and_then(|value| value.as_str().map(str::to_owned));
        if text.is_none() {
            self.expected(key, "a text");
        }
        text.unwrap_or_default()
    }

    /// A list of texts.
    pub(super) fn texts(&mut self, key: &str) -> Vec<String> {
        let Some(value) = self.table.remove(key) else { return Vec::new() };
        let texts = value.as_array().and_then(|list| {
            list.iter().map(|one| one.as_str().map(str::to_owned)).collect::<Option<Vec<_>>>()
        });
        if texts.is_none() {
            self.expected(key, "a list of texts");
        }
        texts.unwrap_or_default()
    }

    /// A name out of a set.
    pub(super) fn name<T: DeserializeOwned>(&mut self, key: &str) -> Option<T> {
        if !self.table.contains_key(key) {
            return None;
        }
        let word = self.text(key);
        self.named(key, &word)
    }

    /// A list of names out of a set.
    pub(super) fn names<T: DeserializeOwned>(&mut self, key: &str) -> Vec<T> {
        self.texts(key).iter().filter_map(|word| self.named(key, word)).collect()
    }

    fn named<T: DeserializeOwned>(&mut self, key: &str, word: &str) -> Option<T> {
        // As JSON, because the names of sides, kinds and decisions are read from it elsewhere, too.
        let named = crate::json::read(format!("\"{word}\"").as_bytes()).ok();
        if named.is_none() {
            self.complain(key, format!("“{word}” is no name that belongs here"));
        }
        named
    }

    /// A table inside; `work` takes its keys out.
    pub(super) fn inside<T>(&mut self, key: &str, work: impl FnOnce(&mut Self) -> T) -> Option<T> {
        match self.table.remove(key)? {
            Value::Object(table) => Some(self.within(key, table, work)),
            _ => {
                self.expected(key, "a table");
                None
            }
        }
    }

    /// A list of tables; `work` takes the keys of each out.
    pub(super) fn each<T>(&mut self, key: &str, mut work: impl FnMut(&mut Self) -> T) -> Vec<T> {
        let Some(Value::Array(list)) = self.table.remove(key) else {
            self.expected(key, "tables, each beginning with its name in double brackets");
            return Vec::new();
        };
        let mut found = Vec::new();
        for (index, one) in list.into_iter().enumerate() {
            let place = format!("{key}[{index}]");
            match one {
                Value::Object(table) => found.push(self.within(&place, table, &mut work)),
                _ => self.expected(&place, "a table"),
            }
        }
        found
    }

    fn within<T>(&mut self, key: &str, table: Table, work: impl FnOnce(&mut Self) -> T) -> T {
        let path = self.path_of(key);
        let mut reader = Self { table, path, complaints: Vec::new() };
        let made = work(&mut reader);
        self.complaints.append(&mut reader.ended());
        made
    }

    /// Keys that nobody took out are unknown; everything that was wrong.
    pub(super) fn ended(mut self) -> Vec<Complaint> {
        let left: Vec<String> = self.table.keys().cloned().collect();
        for key in left {
            self.complain(&key, "is no key that belongs here".to_owned());
        }
        self.complaints
    }
}

fn number(value: &Value) -> Option<f64> {
    let number = value.as_f64()?;
    number.is_finite().then_some(number)
}
