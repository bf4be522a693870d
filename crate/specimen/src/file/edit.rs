//! Plate files changed in place: comments and order stay.

use toml_edit::{ArrayOfTables, DocumentMut, Item, Table, Value};

/// Why a text cannot be changed so.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum EditError {
    /// The text is no TOML.
    #[error("cannot be edited: {0}")]
    NoToml(String),
    /// The value is no TOML value.
    #[error("{0} is no TOML value, expected a number, true, false, \"text\" or {{ key = value }}")]
    NoValue(String),
    /// There is nothing at the path.
    #[error("{0}")]
    NoPlace(String),
}

/// One change of a plate file.
#[derive(Clone, Debug, PartialEq, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Edit {
    /// Puts a value (as TOML writes it) at a path such as `plate.flaw[1].length_mm`; the tables on the way must be there.
    Set(String, String),
    /// Takes a key away; nothing happens where there is none.
    Remove(String),
    /// Adds a flaw behind the others: TOML text of its keys.
    AddFlaw(String),
    /// Takes a flaw away, counted from 0; what the marking scheme says of the others stays with them.
    RemoveFlaw(usize),
}

/// The text after changes, one after the other.
///
/// # Errors
/// A text that is no TOML, a value that is none, or a path to nothing.
pub fn edited(text: &str, edits: &[Edit]) -> Result<String, EditError> {
    let mut document: DocumentMut =
        text.parse().map_err(|error: toml_edit::TomlError| EditError::NoToml(error.to_string()))?;
    for edit in edits {
        match edit {
            Edit::Set(path, value) => put(&mut document, path, value)?,
            Edit::Remove(path) => {
                let (table, key) = place(&mut document, path)?;
                if let Some(table) = table.as_table_like_mut() {
                    table.remove(key);
                }
            }
            Edit::AddFlaw(keys) => add_flaw(&mut document, keys)?,
            Edit::RemoveFlaw(index) => remove_flaw(&mut document, *index)?,
        }
    }
    Ok(document.to_string())
}

/// The table that a path's last key is in, and that key.
fn place<'d, 'p>(document: &'d mut DocumentMut, path: &'p str) -> Result<(&'d mut Item, &'p str), EditError> {
    let (tables, key) = path.rsplit_once('.').unwrap_or(("", path));
    let mut item: &mut Item = document.as_item_mut();
    for step in tables.split('.').filter(|step| !step.is_empty()) {
        let mut parts = step.split('[');
        let name = parts.next().unwrap_or("");
        item = item.get_mut(name).filter(|item| !item.is_none()).ok_or_else(|| {
            EditError::NoPlace(format!("has no table `{name}` (in {path}), expected one of its own"))
        })?;
        for index in parts {
            let found =
                index.trim_end_matches(']').parse::<usize>().ok().and_then(|index| item.get_mut(index));
            item = found.ok_or_else(|| {
                EditError::NoPlace(format!("has no entry [{index} of `{name}`, expected one that is there"))
            })?;
        }
    }
    if item.is_table_like() {
        Ok((item, key))
    } else {
        Err(EditError::NoPlace(format!("`{tables}` is no table, expected one")))
    }
}

fn put(document: &mut DocumentMut, path: &str, value: &str) -> Result<(), EditError> {
    let value: Value = value.parse().map_err(|_| EditError::NoValue(value.to_owned()))?;
    let (item, key) = place(document, path)?;
    let Some(table) = item.as_table_like_mut() else { return Ok(()) };
    match table.get_mut(key).and_then(Item::as_value_mut) {
        // What stands around the old value, such as a comment behind it, stays around the new one.
        Some(old) => {
            let decor = old.decor().clone();
            *old = value;
            *old.decor_mut() = decor;
        }
        None => {
            table.insert(key, Item::Value(value));
        }
    }
    Ok(())
}

fn flaws(document: &mut DocumentMut) -> Result<&mut Item, EditError> {
    let (plate, _) = place(document, "plate.flaw")?;
    let table = plate.as_table_like_mut();
    let table = table.ok_or_else(|| EditError::NoPlace("`plate` is no table, expected one".to_owned()))?;
    Ok(table.entry("flaw").or_insert(Item::ArrayOfTables(ArrayOfTables::new())))
}

fn add_flaw(document: &mut DocumentMut, keys: &str) -> Result<(), EditError> {
    let flaw: DocumentMut =
        keys.parse().map_err(|error: toml_edit::TomlError| EditError::NoToml(error.to_string()))?;
    // Places in the order of another text mean nothing in this one: it comes behind the last flaw.
    let mut keys = flaw.as_table().clone();
    unplaced(&mut keys);
    match flaws(document)? {
        Item::ArrayOfTables(flaws) => {
            flaws.push(keys);
            let last = flaws.len() - 1;
            if let Some(own) = flaws.get_mut(last) {
                own.decor_mut().set_prefix("\n");
            }
        }
        // A list of inline tables.
        Item::Value(Value::Array(flaws)) => flaws.push(keys.into_inline_table()),
        _ => return Err(EditError::NoPlace("`plate.flaw` is no list of tables, expected one".to_owned())),
    }
    Ok(())
}

fn unplaced(table: &mut Table) {
    table.set_position(None);
    for (_, item) in table.iter_mut() {
        if let Some(inner) = item.as_table_mut() {
            unplaced(inner);
        }
    }
}

fn remove_flaw(document: &mut DocumentMut, index: usize) -> Result<(), EditError> {
    let none = || EditError::NoPlace(format!("has no entry [{index}] of `flaw`, expected one that is there"));
    match flaws(document)? {
        Item::ArrayOfTables(flaws) if index < flaws.len() => {
            flaws.remove(index);
        }
        Item::Value(Value::Array(flaws)) if index < flaws.len() => {
            flaws.remove(index);
        }
        _ => return Err(none()),
    }
    if let Some(listed) = document
        .get_mut("scheme")
        .and_then(|scheme| scheme.get_mut("below_recording_level"))
        .and_then(Item::as_array_mut)
    {
        let kept: Vec<i64> = (listed.iter().filter_map(Value::as_integer))
            .filter(|&flaw| usize::try_from(flaw) != Ok(index))
            .map(|flaw| if usize::try_from(flaw).is_ok_and(|flaw| flaw > index) { flaw - 1 } else { flaw })
            .collect();
        *listed = kept.into_iter().collect();
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "# head\nversion = 2 # form\n[plate]\nthickness_mm = 20.0 # as delivered\n\n\
        [[plate.flaw]] # first\nstart_mm = 1.0\n[plate.flaw.place.bevel]\ndepth_mm = 4.0\n\n\
        # second\n[[plate.flaw]]\nstart_mm = 2.0\nplace = { weld = { depth_mm = 5.0, offset_mm = 0.0 } }\n\n\
        [procedure]\n# last\ntime_minutes = 40\n\n[scheme]\nbelow_recording_level = [0, 1]\n";

    fn with(edit: Edit) -> String {
        edited(TEXT, &[edit]).unwrap()
    }

    #[test]
    fn a_value_is_set_and_all_else_stays() {
        let set = |path: &str, value: &str| with(Edit::Set(path.to_owned(), value.to_owned()));
        assert_eq!(set("plate.thickness_mm", "12.5"), TEXT.replace("20.0", "12.5"));
        assert_eq!(set("plate.flaw[0].place.bevel.depth_mm", "6.0"), TEXT.replace("4.0", "6.0"));
        assert_eq!(set("plate.flaw[1].place.weld.depth_mm", "6.0"), TEXT.replace("5.0", "6.0"));
        let moved = set("plate.flaw[0].place", "{ weld = { depth_mm = 3.0, offset_mm = 1.0 } }");
        let read: toml::Table = moved.parse().unwrap();
        assert_eq!(read["plate"]["flaw"][0]["place"]["weld"]["offset_mm"].as_float(), Some(1.0), "{moved}");
        assert!(moved.contains("# second") && moved.contains("# last"));
    }

    #[test]
    fn a_key_is_taken_away() {
        assert_eq!(
            with(Edit::Remove("procedure.time_minutes".into())),
            TEXT.replace("# last\ntime_minutes = 40\n", "")
        );
        assert_eq!(with(Edit::Remove("procedure.nothing".into())), TEXT);
    }

    #[test]
    fn a_flaw_is_added_behind_the_last() {
        let text = with(Edit::AddFlaw("start_mm = 3.0\nplace = { root = { at = \"centre\" } }\n".into()));
        let read: toml::Table = text.parse().unwrap();
        assert_eq!(read["plate"]["flaw"].as_array().unwrap().len(), 3);
        assert_eq!(read["plate"]["flaw"][2]["start_mm"].as_float(), Some(3.0));
        let at = |words: &str| text.find(words).unwrap_or_else(|| panic!("{words} in {text}"));
        assert!(
            at("start_mm = 2.0") < at("start_mm = 3.0") && at("start_mm = 3.0") < at("[procedure]"),
            "{text}"
        );
        assert!(text.contains("# head") && text.contains("# form") && text.contains("# last"));
    }

    #[test]
    fn a_first_flaw_is_added_to_a_plate_without() {
        let text =
            edited("[plate]\nid = \"a\"\n[procedure]\nb = 1\n", &[Edit::AddFlaw("c = 1\n".into())]).unwrap();
        let read: toml::Table = text.parse().unwrap();
        assert_eq!(read["plate"]["flaw"][0]["c"].as_integer(), Some(1), "{text}");
    }

    #[test]
    fn with_a_flaw_its_line_of_the_scheme_goes() {
        let text = with(Edit::RemoveFlaw(0));
        assert!(!text.contains("start_mm = 1.0") && text.contains("# second\n[[plate.flaw]]"), "{text}");
        assert!(text.contains("below_recording_level = [0]"), "{text}");
    }

    #[test]
    fn what_cannot_be_done_is_said() {
        let refused = |edit: Edit| edited(TEXT, &[edit]).unwrap_err().to_string();
        assert!(refused(Edit::Set("plate.flaw[7].start_mm".into(), "1".into())).contains("expected"));
        assert!(refused(Edit::Set("plate.id".into(), "a b".into())).contains("no TOML value"));
        assert!(refused(Edit::Set("version.x".into(), "1".into())).contains("expected"));
        assert!(refused(Edit::Set("none.x".into(), "1".into())).contains("no table"));
        assert!(refused(Edit::RemoveFlaw(2)).contains("expected"));
        assert!(refused(Edit::AddFlaw("a = ".into())).contains("cannot be edited"));
        assert!(edited("a = ", &[]).is_err());
    }
}
