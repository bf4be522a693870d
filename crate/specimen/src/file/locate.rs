//! Lines and columns of bytes and keys.

use toml::de::{DeTable, DeValue};

/// Line (from 1) of a byte of the text.
pub(super) fn line_at(bytes: &[u8], at: usize) -> u32 {
    let before = bytes.get(..at).unwrap_or(bytes);
    1 + before.iter().filter(|&&byte| byte == b'\n').count() as u32
}

/// Column (from 1, in characters) of a byte of the text.
pub(super) fn column_at(text: &str, at: usize) -> u32 {
    let before = text.get(..at).unwrap_or(text);
    1 + before.rsplit('\n').next().unwrap_or("").chars().count() as u32
}

/// Line (from 1) of the key a path names, such as `plate.flaw[1].length_mm`. Where the file has no such key, the
/// line of the nearest table around it; `None` where not even the first key is there or the text is no TOML.
pub fn line_of(bytes: &[u8], path: &str) -> Option<u32> {
    let text = std::str::from_utf8(bytes).ok()?;
    let (document, _) = DeTable::parse_recoverable(text);
    let mut table = Some(document.get_ref());
    let mut found = None;
    'path: for step in path.split('.') {
        let mut parts = step.split('[');
        let name = parts.next().unwrap_or("");
        let Some((key, value)) = table.and_then(|table| table.iter().find(|(key, _)| key.get_ref() == name))
        else {
            break;
        };
        found = Some(key.span().start);
        let mut value = value;
        for index in parts {
            let element = index.trim_end_matches(']').parse::<usize>().ok();
            let Some(element) = value.get_ref().as_array().zip(element).and_then(|(array, i)| array.get(i))
            else {
                break 'path;
            };
            found = Some(element.span().start);
            value = element;
        }
        table = match value.get_ref() {
            DeValue::Table(table) => Some(table),
            _ => None,
        };
    }
    found.map(|at| line_at(bytes, at))
}
