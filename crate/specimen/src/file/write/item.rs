//! Where the parts of a TOML document stand.

/// A value that is whole.
pub(super) enum Item {
    /// As it is written.
    Value(String),
    List(Vec<Item>),
    /// Names as they are written.
    Table(Vec<(String, Item)>),
}

impl Item {
    fn is_table(&self) -> bool {
        matches!(self, Self::Table(_))
    }

    /// Whether it is written below heads of its own; all else stands in one line.
    fn has_heads(&self) -> bool {
        match self {
            Self::Value(_) => false,
            Self::List(list) => !list.is_empty() && list.iter().all(Self::is_table),
            Self::Table(_) => true,
        }
    }

    /// The value in one line.
    fn line(&self, text: &mut String) {
        match self {
            Self::Value(value) => text.push_str(value),
            Self::List(list) => {
                text.push('[');
                for (index, item) in list.iter().enumerate() {
                    text.push_str(if index > 0 { ", " } else { "" });
                    item.line(text);
                }
                text.push(']');
            }
            Self::Table(entries) => {
                text.push('{');
                for (index, (name, item)) in entries.iter().enumerate() {
                    text.push_str(if index > 0 { ", " } else { " " });
                    text.push_str(name);
                    text.push_str(" = ");
                    item.line(text);
                }
                text.push_str(" }");
            }
        }
    }
}

/// A table as a whole document.
pub(super) fn document(entries: &[(String, Item)]) -> String {
    let mut text = String::new();
    below(entries, "", &mut text);
    text
}

/// Values first, for what stands below a head belongs to it.
fn below(entries: &[(String, Item)], path: &str, text: &mut String) {
    for (name, item) in entries.iter().filter(|(_, item)| !item.has_heads()) {
        text.push_str(name);
        text.push_str(" = ");
        item.line(text);
        text.push('\n');
    }
    for (name, item) in entries.iter().filter(|(_, item)| item.has_heads()) {
        let path = if path.is_empty() { name.clone() } else { format!("{path}.{name}") };
        match item {
            Item::Value(_) => {}
            Item::List(list) => {
                for item in list {
                    head(&format!("[[{path}]]\n"), text);
                    if let Item::Table(entries) = item {
                        below(entries, &path, text);
                    }
                }
            }
            Item::Table(entries) => {
                // A table of tables alone needs no head.
                if entries.is_empty() || entries.iter().any(|(_, item)| !item.has_heads()) {
                    head(&format!("[{path}]\n"), text);
                }
                below(entries, &path, text);
            }
        }
    }
}

fn head(line: &str, text: &mut String) {
    text.push_str(if text.is_empty() { "" } else { "\n" });
    text.push_str(line);
}
