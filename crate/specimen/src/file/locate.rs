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
    lines_of(bytes, std::iter::once(path)).pop().flatten()
}

/// The lines of many keys of one text, as [`line_of`] gives them.
pub(super) fn lines_of<'p>(bytes: &[u8], paths: impl Iterator<Item = &'p str>) -> Vec<Option<u32>> {
    let text = std::str::from_utf8(bytes).unwrap_or("");
    let (document, _) = DeTable::parse_recoverable(text);
    paths.map(|path| start_of(document.get_ref(), path).map(|at| line_at(bytes, at))).collect()
}

/// First byte of the key a path names, or of the nearest table around it.
fn start_of(document: &DeTable<'_>, path: &str) -> Option<usize> {
    let mut table = Some(document);
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
    found
}

/// The key that a byte of the text belongs to, as a path, and its value; an empty path where there is none.
pub(super) fn path_at<'t, 'i>(document: &'t DeTable<'i>, at: usize) -> (String, Option<&'t DeValue<'i>>) {
    let mut best = Found { width: usize::MAX, path: String::new(), value: None };
    search(document, at, "", &mut best);
    (best.path, best.value)
}

struct Found<'t, 'i> {
    width: usize,
    path: String,
    value: Option<&'t DeValue<'i>>,
}

impl<'t, 'i> Found<'t, 'i> {
    fn offer(&mut self, span: std::ops::Range<usize>, at: usize, path: &str, value: &'t DeValue<'i>) {
        if (span.contains(&at) || span.start == at) && span.len() < self.width {
            *self = Self { width: span.len(), path: path.to_owned(), value: Some(value) };
        }
    }
}

// Depth is bounded by the reader's own limit of nesting.
fn search<'t, 'i>(table: &'t DeTable<'i>, at: usize, prefix: &str, best: &mut Found<'t, 'i>) {
    for (key, value) in table {
        let path =
            if prefix.is_empty() { key.get_ref().to_string() } else { format!("{prefix}.{}", key.get_ref()) };
        best.offer(key.span(), at, &path, value.get_ref());
        inside(value, at, &path, best);
    }
}

fn inside<'t, 'i>(value: &'t toml::Spanned<DeValue<'i>>, at: usize, path: &str, best: &mut Found<'t, 'i>) {
    best.offer(value.span(), at, path, value.get_ref());
    match value.get_ref() {
        DeValue::Table(table) => search(table, at, path, best),
        DeValue::Array(array) => {
            for (index, element) in array.iter().enumerate() {
                inside(element, at, &format!("{path}[{index}]"), best);
            }
        }
        _ => {}
    }
}
