//! What stands in a scheme's text, as it was written: for the list of inputs in a report.

use toml_edit::{DocumentMut, Item, TableLike, Value};

/// A table of a scheme and the values that stand in it, in the order of the text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WrittenTable {
    /// Dotted name of the table; empty for what stands before the first.
    pub table: String,
    /// Key and value of each line. Text is without its quotes; lists are whole.
    pub values: Vec<(String, String)>,
}

/// Everything that a scheme's text says; nothing for a text that is no TOML.
///
/// # Example
/// ```
/// let text = "[herd.cows]\ncount = 40   # heads\ndrinks = [\"40 L\", \"60 L\"]\n";
/// let written = dryspell::scheme::written(text);
/// assert_eq!(written[0].table, "herd.cows");
/// assert_eq!(written[0].values[0], ("count".into(), "40".into()));
/// assert_eq!(written[0].values[1], ("drinks".into(), "40 L, 60 L".into()));
/// ```
#[must_use]
pub fn written(text: &str) -> Vec<WrittenTable> {
    let mut list = Vec::new();
    if let Ok(document) = text.parse::<DocumentMut>() {
        walk(document.as_table(), "", &mut list);
    }
    list
}

fn walk(table: &dyn TableLike, name: &str, list: &mut Vec<WrittenTable>) {
    let mut values = Vec::new();
    let mut inside: Vec<(String, &dyn TableLike)> = Vec::new();
    for (key, item) in table.iter() {
        match item {
            Item::Value(value) => values.push((key.to_owned(), shown(value))),
            other => {
                if let Some(table) = other.as_table_like() {
                    let name = if name.is_empty() { key.to_owned() } else { format!("{name}.{key}") };
                    inside.push((name, table));
                }
            }
        }
    }
    if !values.is_empty() {
        list.push(WrittenTable { table: name.to_owned(), values });
    }
    for (name, table) in inside {
        walk(table, &name, list);
    }
}

fn shown(value: &Value) -> String {
    match value {
        Value::Array(list) => {
            let all: Vec<String> = list.iter().map(within).collect();
            all.join(", ")
        }
        other => within(other),
    }
}

/// A value inside a list.
fn within(value: &Value) -> String {
    match value {
        Value::String(text) => text.value().clone(),
        Value::Array(list) => format!("({})", list.iter().map(within).collect::<Vec<_>>().join(", ")),
        Value::InlineTable(table) => {
            table.iter().map(|(key, value)| format!("{key} {}", within(value))).collect::<Vec<_>>().join(", ")
        }
        // Without the spaces and remarks that stand around it.
        other => other.clone().decorated("", "").to_string(),
    }
}
