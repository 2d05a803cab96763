//! What a key of each kind holds.

use serde_json::{Value, json};

use super::super::{COMPASS, KeyDoc, Kind, MONTHS, Range};
use super::{merge, pattern};
use crate::draw::pattern::PRESETS;
use crate::pipe::{FITTINGS, MATERIALS};
use crate::units::Quantity;

/// The name of a quantity among the shared definitions: `a volume a day` is `volume_a_day`.
pub(super) fn name(q: Quantity) -> String {
    let name = q.name();
    name.split_once(' ').map_or(name, |(_, rest)| rest).replace(' ', "_")
}

fn shared(name: &str) -> Value {
    json!({ "$ref": format!("#/$defs/{name}") })
}

fn quantity(q: Quantity) -> Value {
    shared(&name(q))
}

/// A bound as people write it: whole where it is whole.
fn bound(value: f64) -> Value {
    serde_json::from_str(&value.to_string()).unwrap_or_else(|_| json!(value))
}

/// A number within a range; a quantity's range cannot be told of its text.
fn number(kind: &str, range: Range) -> Value {
    let mut number = json!({ "type": kind });
    let bounds = match range {
        Range::Any => json!({}),
        Range::Between(low, high) => json!({ "minimum": bound(low), "maximum": bound(high) }),
        Range::Above(low, high) => json!({ "exclusiveMinimum": bound(low), "maximum": bound(high) }),
        Range::Below(low, high) => json!({ "minimum": bound(low), "exclusiveMaximum": bound(high) }),
    };
    merge(&mut number, bounds);
    number
}

/// A list of so many values, any number of them from the first on.
fn list(item: &Value, least: usize, most: Option<usize>) -> Value {
    let mut list = json!({ "type": "array", "items": item, "minItems": least });
    if let Some(most) = most {
        list["maxItems"] = json!(most);
    }
    list
}

/// Rows of cells, at least one.
fn rows(cells: &[Value]) -> Value {
    let row = json!({
        "type": "array",
        "prefixItems": cells,
        "minItems": cells.len(),
        "maxItems": cells.len(),
    });
    list(&row, 1, None)
}

/// One of these shapes.
fn either(shapes: &[Value]) -> Value {
    json!({ "anyOf": shapes })
}

/// One of some words: as the list spells them, to choose from, or as they may be typed.
fn word<'w>(words: impl IntoIterator<Item = &'w str>) -> Value {
    let words: Vec<&str> = words.into_iter().collect();
    either(&[json!({ "enum": words }), json!({ "type": "string", "pattern": pattern::words(words) })])
}

fn direction() -> Value {
    let points: Vec<&str> = COMPASS.iter().map(|(long, _)| *long).collect();
    either(&[
        json!({ "enum": points }),
        json!({ "type": "string", "pattern": pattern::compass() }),
        number("number", Range::Between(0.0, 360.0)),
        quantity(Quantity::Angle),
    ])
}

/// What a column of a maker's table holds, by its name.
fn column(name: &str) -> Option<Quantity> {
    match name {
        "flow" => Some(Quantity::Flow),
        "head" | "drawdown" => Some(Quantity::Length),
        "power" => Some(Quantity::Power),
        "voltage" => Some(Quantity::Voltage),
        "current" => Some(Quantity::Current),
        "efficiency" | "load" => Some(Quantity::Fraction),
        "hours" => Some(Quantity::Duration),
        "capacity" => Some(Quantity::Charge),
        _ => None,
    }
}

/// The columns of rows that are described in words: `rows of head, flow and current`.
fn columns(words: &str) -> Vec<&str> {
    let words = words.strip_prefix("rows of ").unwrap_or(words);
    words.split(", ").flat_map(|word| word.split(" and ")).collect()
}

/// Rows with a unit in each cell, or the name of a CSV file.
fn table(names: &[&str]) -> Value {
    let cells: Vec<Value> =
        names.iter().map(|name| column(name).map_or_else(|| shared("text"), quantity)).collect();
    either(&[rows(&cells), shared("text")])
}

/// What a key holds.
pub(super) fn of(key: &KeyDoc) -> Value {
    let text = || shared("text");
    let dates = || shared("dates");
    match key.kind {
        Kind::Text => text(),
        Kind::Files | Kind::Names | Kind::Settings => either(&[text(), list(&text(), 1, None)]),
        Kind::Word(words) => word(words.iter().copied()),
        Kind::Material => word(MATERIALS.iter().map(|(name, _)| *name)),
        Kind::Quantity(q) => quantity(q),
        Kind::Months(q) => either(&[quantity(q), list(&quantity(q), 12, Some(12))]),
        Kind::Coefficient(q) => either(&[quantity(q), quantity(Quantity::FractionPerKelvin)]),
        Kind::Ratio => either(&[number("number", key.range), quantity(Quantity::Fraction)]),
        Kind::Number => number("number", key.range),
        Kind::Count => number("integer", key.range),
        Kind::Flag => json!({ "type": "boolean" }),
        Kind::Direction => direction(),
        Kind::Month => either(&[
            json!({ "enum": MONTHS }),
            json!({ "type": "string", "pattern": pattern::month() }),
            number("integer", Range::Between(1.0, 12.0)),
        ]),
        Kind::Dates => either(&[dates(), list(&dates(), 0, None)]),
        Kind::MonthDay => dates(),
        Kind::Stages => list(&number("number", key.range), 4, Some(4)),
        Kind::Hours => list(&number("integer", key.range), 1, None),
        Kind::Places => rows(&[text(), dates()]),
        Kind::Counts => rows(&[dates(), number("number", key.range)]),
        Kind::Pattern => either(&[word(PRESETS), list(&number("number", key.range), 24, Some(24))]),
        Kind::Horizon => rows(&[direction(), quantity(Quantity::Angle)]),
        Kind::Seasons => rows(&[dates(), quantity(Quantity::Angle)]),
        Kind::Duty => table(&["head", "power", "flow"]),
        Kind::Rows(what) => table(&columns(what)),
        Kind::Fittings => {
            let one = number("integer", key.range);
            let names = FITTINGS.iter().map(|(name, _)| (name.replace(' ', "_"), one.clone()));
            json!({ "type": "object", "properties": serde_json::Map::from_iter(names), "additionalProperties": false })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::super::KEYS;
    use super::*;

    #[test]
    fn every_column_of_a_table_in_the_list_is_a_quantity() {
        let mut tables = 0;
        for key in KEYS {
            if let Kind::Rows(what) = key.kind {
                assert!(columns(what).len() >= 2, "{what}");
                for name in columns(what) {
                    assert!(column(name).is_some(), "{}: {name}", key.path());
                }
                tables += 1;
            }
        }
        assert!(tables > 5);
    }
}
