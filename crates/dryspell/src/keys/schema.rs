//! The list of keys as a JSON Schema, by which an editor completes a scheme and marks what is wrong while it is typed.

mod pattern;
mod value;

use serde_json::{Map, Value, json};

use super::{ABOUT_VALUES, KEYS, KeyDoc, Presence, SECTIONS, SectionDoc, listed_under, old_names};
use crate::units::{Quantity, System};

/// The whole list of tables and keys as a JSON Schema (draft 2020-12): what each key holds, its range, what happens when it is
/// left out, an example, and what it means.
///
/// It refuses only what the reader of a scheme refuses, and not all of that: the range of a quantity, which has its unit in
/// its text, stands in the description alone, and what hangs on several keys at once is told by the reader.
///
/// # Example
/// ```
/// let schema = dryspell::scheme::keys::schema();
/// let capacity = &schema["properties"]["tank"]["additionalProperties"]["properties"]["capacity"];
/// assert_eq!(capacity["$ref"], "#/$defs/volume");
/// ```
///
/// # References
/// JSON Schema, draft 2020-12, core and validation (from memory).
#[must_use]
pub fn schema() -> Value {
    let mut schema = json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A scheme of dryspell",
    });
    merge(&mut schema, table(""));
    let quantities = Quantity::ALL.into_iter().map(|q| {
        let symbols: Vec<&str> = q.units().iter().map(|unit| unit.symbol).collect();
        let text = json!({
            "type": "string",
            "description": format!("{} with its unit: {}", q.name(), symbols.join(", ")),
            "pattern": pattern::quantity(q),
        });
        (value::name(q), text)
    });
    let shared = json!({
        "text": { "type": "string", "pattern": pattern::TEXT },
        "dates": { "type": "string", "pattern": pattern::dates() },
    });
    schema["$defs"] = Value::Object(quantities.collect());
    merge(&mut schema["$defs"], shared);
    schema
}

/// Adds the members of one object to another.
fn merge(whole: &mut Value, part: Value) {
    if let (Value::Object(whole), Value::Object(part)) = (whole, part) {
        whole.extend(part);
    }
}

/// A table with its keys and the tables inside it.
fn table(path: &str) -> Value {
    if ABOUT_VALUES.contains(&path) {
        // Its keys are those of the scheme, in quotes or as tables within tables: the reader says which stand in it.
        let mut kinds = vec!["string", "object"];
        // An amount of a key without unit may be a bare number; a source is text.
        if path == "uncertain" {
            kinds.push("number");
        }
        return json!({ "type": "object", "additionalProperties": { "type": kinds, "minLength": 1 } });
    }
    let listed = listed_under(path);
    let mut properties = Map::new();
    let mut needed: Vec<&str> = Vec::new();
    for key in KEYS.iter().filter(|key| key.section == listed) {
        properties.insert(key.name.to_owned(), of_key(key));
        if key.presence == Presence::Needed {
            needed.push(key.name);
        }
    }
    // What is needed may stand under the name that it had.
    let mut under_either = Vec::new();
    for (old, now) in old_names(path) {
        let Some(mut key) = properties.get(now).cloned() else { continue };
        merge(
            &mut key,
            json!({ "deprecated": true, "description": format!("now {now}; the old name is read until 0.3") }),
        );
        properties.insert(old.to_owned(), key);
        if needed.contains(&now) {
            needed.retain(|name| *name != now);
            under_either.push(json!({ "anyOf": [{ "required": [now] }, { "required": [old] }] }));
        }
    }
    for (name, inner, doc) in inner(path) {
        let value = if inner.ends_with(".*") { named(&inner, doc) } else { with_meaning(table(&inner), doc) };
        properties.insert(name.to_owned(), value);
        if doc.needed {
            needed.push(name);
        }
    }
    let mut table = json!({ "type": "object", "properties": properties, "additionalProperties": false });
    if !needed.is_empty() {
        table["required"] = json!(needed);
    }
    if !under_either.is_empty() {
        table["allOf"] = json!(under_either);
    }
    table
}

/// The tables right inside one: name, path, what the list says.
fn inner(path: &str) -> impl Iterator<Item = (&'static str, String, &'static SectionDoc)> {
    let before = if path.is_empty() { String::new() } else { format!("{path}.") };
    SECTIONS.iter().filter_map(move |section| {
        let rest = section.path.strip_prefix(before.as_str())?;
        let (name, after) = rest.split_once('.').unwrap_or((rest, ""));
        (name != "*" && matches!(after, "" | "*")).then(|| (name, section.path.to_owned(), section))
    })
}

/// Tables under names that the user chooses.
fn named(path: &str, doc: &SectionDoc) -> Value {
    let mut tables = json!({
        "type": "object",
        "description": format!("tables under names of your own, each {}", doc.meaning),
        "propertyNames": { "pattern": pattern::NAME },
        "additionalProperties": with_meaning(table(path), doc),
    });
    if doc.needed {
        tables["minProperties"] = json!(1);
    }
    tables
}

fn with_meaning(mut table: Value, doc: &SectionDoc) -> Value {
    table["description"] = json!(doc.meaning);
    table
}

/// A key: what it holds, and in words what the list says of it.
fn of_key(key: &KeyDoc) -> Value {
    let mut described = vec![key.meaning.to_owned(), format!("holds {}", key.kind.words().replace('`', ""))];
    let range = key.range.text(key.kind, System::Si);
    if !range.is_empty() {
        described.push(range);
    }
    described.push(match key.presence {
        Presence::Needed => "needed".to_owned(),
        Presence::Default { literal, source } => format!("left out: {literal}, {source}"),
        Presence::Without { value, means } => format!("left out: {value}, {means}"),
        Presence::Free { note } => format!("left out: {note}"),
    });
    let mut value = value::of(key);
    let mut about = json!({ "description": described.join("; ") });
    if let Presence::Default { literal, .. } = key.presence
        && let Some(default) = json_of(literal)
    {
        about["default"] = default;
    }
    if let Some(example) = json_of(key.example) {
        about["examples"] = json!([example]);
    }
    merge(&mut value, about);
    value
}

/// A TOML literal as JSON.
fn json_of(literal: &str) -> Option<Value> {
    let table: toml::Table = toml::from_str(&format!("value = {literal}")).ok()?;
    serde_json::to_value(table.get("value")?).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// All dotted paths of a table of the schema, `*` for a name of the user's.
    fn paths(table: &Value, before: &str, found: &mut Vec<String>) {
        for (name, value) in table["properties"].as_object().into_iter().flatten() {
            let path = format!("{before}{name}");
            if value.get("additionalProperties").is_some_and(Value::is_object) {
                paths(&value["additionalProperties"], &format!("{path}.*."), found);
            } else if value.get("required").is_some() || value.get("additionalProperties").is_some() {
                paths(value, &format!("{path}."), found);
            }
            found.push(path);
        }
    }

    #[test]
    fn every_key_of_the_list_is_in_the_schema_with_its_meaning() {
        let schema = schema();
        let mut found = Vec::new();
        paths(&schema, "", &mut found);
        for key in KEYS {
            assert!(found.contains(&key.path()), "{}", key.path());
        }
        for section in SECTIONS.iter().filter(|s| s.like.is_some()) {
            let like = section.like.unwrap_or_default();
            for key in KEYS.iter().filter(|key| key.section == like) {
                let path = format!("{}.{}", section.path, key.name);
                assert!(found.contains(&path), "{path}");
            }
        }
        let capacity = &schema["properties"]["tank"]["additionalProperties"]["properties"]["capacity"];
        let described = capacity["description"].as_str().unwrap();
        assert!(
            described.starts_with("usable volume between outlet and overflow; holds a volume"),
            "{described}"
        );
        assert!(described.ends_with("; needed"), "{described}");
    }

    #[test]
    fn every_example_and_default_is_json() {
        for key in KEYS {
            assert!(json_of(key.example).is_some(), "{}", key.path());
            if let Presence::Default { literal, .. } = key.presence {
                assert!(json_of(literal).is_some(), "{}", key.path());
            }
        }
    }
}
