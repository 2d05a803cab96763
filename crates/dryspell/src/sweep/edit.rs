//! A scheme's text with some of its values set anew.

use toml_edit::{DocumentMut, Item, Table, Value};

use crate::fault::{Fault, FaultKind};
use crate::keys::ABOUT_VALUES;

/// The text with each key set to its literal; all else stays as it is, notes and blank lines too, also the note behind the
/// value.
///
/// # Errors
/// A text that is no TOML, a key inside a thing that is no table, a literal that is none.
pub(crate) fn with_values(text: &str, values: &[(&str, &str)]) -> Result<String, Fault> {
    let mut document = parsed(text)?;
    for (key, literal) in values {
        let refuse = |found: &str| {
            Fault::at_key(
                *key,
                FaultKind::WrongType,
                found,
                "a value of the scheme, inside its tables",
                "check the names in the key",
            )
        };
        let mut value: Value = literal.parse().map_err(|_| refuse("a value that does not fit there"))?;
        let parts: Vec<&str> = key.split('.').collect();
        let Some((name, tables)) = parts.split_last() else { continue };
        let mut table: &mut dyn toml_edit::TableLike = document.as_table_mut();
        for part in tables {
            let item = table.entry(part).or_insert_with(|| Item::Table(bare()));
            table =
                item.as_table_like_mut().ok_or_else(|| refuse("a key inside a value that is not a table"))?;
        }
        // Set in its place: what is inserted loses the notes before it.
        match table.get_mut(name) {
            Some(item) => {
                if let Item::Value(before) = item {
                    *value.decor_mut() = before.decor().clone();
                }
                *item = Item::Value(value);
            }
            None => {
                table.insert(name, Item::Value(value));
            }
        }
    }
    Ok(document.to_string())
}

/// A table that has no header of its own while it has no value of its own.
fn bare() -> Table {
    let mut table = Table::new();
    table.set_implicit(true);
    table
}

/// The text without one of a scheme's tables and what is said about its values.
///
/// # Errors
/// A text that is no TOML.
pub(crate) fn without(text: &str, table: &str) -> Result<String, Fault> {
    let mut document = parsed(&without_words_about(text, table)?)?;
    document.as_table_mut().remove(table);
    Ok(document.to_string())
}

/// The text without what is said about the values of one of a scheme's tables.
///
/// # Errors
/// A text that is no TOML.
pub(super) fn without_words_about(text: &str, table: &str) -> Result<String, Fault> {
    let mut document = parsed(text)?;
    let within =
        |name: &str| name.strip_prefix(table).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'));
    for about in ABOUT_VALUES {
        let Some(lines) = document.get_mut(about).and_then(Item::as_table_like_mut) else { continue };
        let names: Vec<String> =
            lines.iter().map(|(name, _)| name.to_owned()).filter(|name| within(name)).collect();
        for name in names {
            lines.remove(&name);
        }
    }
    Ok(document.to_string())
}

/// The text of some of a scheme's tables and values alone.
///
/// # Errors
/// A text that is no TOML.
pub(super) fn only(text: &str, names: &[&str]) -> Result<String, Fault> {
    let mut document = parsed(text)?;
    document.as_table_mut().retain(|name, _| names.contains(&name));
    Ok(document.to_string())
}

pub(super) fn parsed(text: &str) -> Result<DocumentMut, Fault> {
    text.parse().map_err(|_| {
        Fault::at_key(
            "scheme",
            FaultKind::Syntax,
            "text that is not TOML",
            "a scheme that dryspell run accepts",
            "run the scheme on its own first",
        )
    })
}
