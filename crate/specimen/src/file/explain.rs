//! Errors of the TOML reader in words for whoever wrote the file.

use toml::Spanned;
use toml::de::{DeValue, Error};

use super::Problem;
use super::fit::Misfit;
use super::locate::{column_at, line_at, path_at};

/// Unit suffixes of keys: ours first, with their words, then ones that other people use.
const UNITS: [(&str, &str); 10] = [
    ("mm_per_us", "millimetres per microsecond"),
    ("db_per_mm", "decibels per millimetre"),
    ("g_per_cm3", "grams per cubic centimetre"),
    ("mm", "millimetres"),
    ("deg", "degrees"),
    ("db", "decibels"),
    ("mhz", "megahertz"),
    ("percent", "per cent"),
    ("minutes", "minutes"),
    ("us", "microseconds"),
];
const FOREIGN_UNITS: [&str; 16] = [
    "in", "inch", "inches", "cm", "m", "um", "mil", "ft", "rad", "radians", "degrees", "hz", "khz", "s",
    "seconds", "hours",
];

/// A key's name without its unit, and the unit.
fn stem(key: &str) -> (&str, &str) {
    UNITS
        .iter()
        .map(|(unit, _)| *unit)
        .chain(FOREIGN_UNITS)
        .filter_map(|unit| Some((key.strip_suffix(unit)?.strip_suffix('_')?, unit)))
        .min_by_key(|(stem, _)| stem.len())
        .unwrap_or((key, ""))
}

fn words(unit: &str) -> Option<&'static str> {
    UNITS.iter().find(|(ours, _)| *ours == unit).map(|(_, words)| *words)
}

/// A place where the text is not TOML.
pub(super) fn syntax(text: &str, error: &Error) -> Problem {
    let found = error.span().and_then(|span| text.get(span)).unwrap_or("").trim();
    let message = match error.message() {
        unquoted if unquoted.starts_with("string values must be quoted") => match found.chars().next() {
            None => "no value here, expected one after the `=`".to_owned(),
            Some('0'..='9' | '.' | '+' | '-') => {
                format!("`{found}` is no number, expected the bare number: keys name their units")
            }
            Some(_) => format!("`{found}` without quotes, expected text in quotes"),
        },
        "duplicate key" => format!("`{found}` stands here again, expected every key once"),
        other => format!("not TOML here: {other}"),
    };
    at(text, error.span().map(|span| span.start), String::new(), message)
}

/// A key or value other than expected.
pub(super) fn content(text: &str, document: &Spanned<DeValue<'_>>, misfit: &Misfit) -> Problem {
    let table = document.get_ref().as_table();
    let (path, value) =
        table.zip(misfit.start()).map_or((String::new(), None), |(table, start)| path_at(table, start));
    let message = misfit.message();
    // What is missing at the very top belongs to no key, though one stands where the file begins.
    let path = if misfit.start() == Some(document.span().start) && message.starts_with("missing field ") {
        String::new()
    } else {
        path
    };
    let key = path.rsplit('.').next().unwrap_or("");
    let message = unknown_key(message)
        .or_else(|| unknown_word(message))
        .or_else(|| missing_key(message))
        .or_else(|| other_value(message, key, value))
        .unwrap_or_else(|| message.to_owned());
    at(text, misfit.start(), path, message)
}

/// The words in backquotes of a message.
fn quoted(message: &str) -> Vec<&str> {
    message.split('`').skip(1).step_by(2).collect()
}

fn unknown_key(message: &str) -> Option<String> {
    let names = quoted(message.strip_prefix("unknown field ")?);
    let (unknown, expected) = names.split_first()?;
    let (name, foreign) = stem(unknown);
    let meant = expected.iter().find(|key| stem(key).0 == name);
    Some(match meant.and_then(|key| Some((key, words(stem(key).1)?))) {
        Some((key, unit)) if foreign.is_empty() => {
            format!("unknown key `{unknown}`, expected `{key}`: a key names its unit, here {unit}")
        }
        Some((key, unit)) => {
            format!("unknown key `{unknown}`, expected `{key}` in {unit}")
        }
        None if expected.is_empty() => format!("unknown key `{unknown}`, expected no key here"),
        None => match nearest(unknown, expected) {
            Some(key) => {
                format!("unknown key `{unknown}`, expected `{key}` or another of {}", expected.join(", "))
            }
            None => format!("unknown key `{unknown}`, expected one of {}", expected.join(", ")),
        },
    })
}

fn unknown_word(message: &str) -> Option<String> {
    let names = quoted(message.strip_prefix("unknown variant ")?);
    let (unknown, expected) = names.split_first()?;
    let list = expected.join(", ");
    Some(match nearest(unknown, expected) {
        Some(word) => format!("unknown word \"{unknown}\", expected \"{word}\" or another of {list}"),
        None => format!("unknown word \"{unknown}\", expected one of {list}"),
    })
}

/// The known name that was most likely meant: at most a third of the letters are other ones.
fn nearest<'a>(unknown: &str, known: &[&'a str]) -> Option<&'a str> {
    let distance = |name: &&&str| strsim::levenshtein(unknown, name);
    let name = known.iter().min_by_key(distance)?;
    (3 * distance(&name) <= name.len()).then_some(name)
}

fn missing_key(message: &str) -> Option<String> {
    let names = quoted(message.strip_prefix("missing field ")?);
    Some(format!("the key `{}` is missing, expected it in this table", names.first()?))
}

/// Values of another type or sign than the key has.
fn other_value(message: &str, key: &str, value: Option<&DeValue<'_>>) -> Option<String> {
    let (found, expected) = message
        .strip_prefix("invalid type: ")
        .or_else(|| message.strip_prefix("invalid value: "))?
        .rsplit_once(", expected ")?;
    let unit = words(stem(key).1).map(|unit| format!(" of {unit}")).unwrap_or_default();
    let (expected, number) = match expected {
        "f64" | "f32" => (format!("number{unit}"), true),
        "u8" | "u16" | "u32" | "u64" | "usize" | "a whole number" => {
            (format!("whole number{unit}, 0 or more"), true)
        }
        "i8" | "i16" | "i32" | "i64" => (format!("whole number{unit}"), true),
        "a string" => ("text in quotes".to_owned(), false),
        other => (other.to_owned(), false),
    };
    let Some(text) = value.and_then(DeValue::as_str).filter(|_| number) else {
        return Some(format!("{found}, expected {}{expected}", if number { "a " } else { "" }));
    };
    // Only a number in the key's own unit can be offered as it stands.
    let bare = text.trim().strip_suffix(stem(key).1).unwrap_or(text).trim();
    let example = bare.parse::<f64>().ok().map(|_| format!(": {key} = {bare}")).unwrap_or_default();
    let why = if unit.is_empty() { "" } else { " (the key names the unit)" };
    Some(format!("the text \"{text}\" in quotes, expected a bare {expected}{why}{example}"))
}

fn at(text: &str, start: Option<usize>, path: String, message: String) -> Problem {
    Problem {
        line: start.map(|start| line_at(text.as_bytes(), start)),
        column: start.map(|start| column_at(text, start)),
        path,
        message,
    }
}
