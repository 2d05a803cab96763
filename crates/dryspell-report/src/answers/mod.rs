//! What commands answer, as JSON for other programs: a type each, whose JSON Schema is made from it.
//!
//! SI throughout, the unit at the end of a name. What is not known is `null`, never 0 and never left out. Under one `schema` names are
//! only ever added.

mod ahead;
mod compare;
mod curve;
mod frost;
mod odds;
mod review;
mod size;

use dryspell::reliability::interval::Interval;
use dryspell::results::{Content, Field, HEADLINES, MONTH_TABLE, YEAR_TABLE, content};
use dryspell::scheme::Scheme;
use schemars::{JsonSchema, Schema, SchemaGenerator, generate::SchemaSettings};
use serde::Serialize;
use serde_json::{Map, Value, json};

use crate::columns::told;
use crate::error::Error;
use crate::inputs::Inputs;

pub use ahead::{AheadAnswer, ahead_answer};
pub use compare::{CompareAnswer, compare_answer};
pub use curve::{CurveAnswer, curve_answer};
pub use frost::{FrostAnswer, frost_answer};
pub use odds::{OddsAnswer, odds_answer};
pub use review::{ReviewAnswer, review_answer};
pub use size::{SizeAnswer, size_answer};

/// What an answer rests on.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct About {
    /// Name of the scheme.
    pub name: Option<String>,
    /// The scheme file as typed.
    pub file: String,
    /// SHA-256 of its text.
    pub sha256: String,
    /// SHA-256 of the list of all files that the answer rests on: equal only for the same files.
    pub inputs_hash: String,
    /// Version of the program.
    pub program_version: &'static str,
}

impl About {
    /// Of a scheme and all files that an answer rests on.
    ///
    /// # Errors
    /// A list that cannot be put together.
    pub fn of(scheme: &Scheme, file: &str, inputs: &Inputs) -> Result<Self, Error> {
        Ok(Self {
            name: scheme.name.clone(),
            file: file.to_owned(),
            sha256: inputs.scheme_sha256().to_owned(),
            inputs_hash: inputs.hash()?,
            program_version: env!("CARGO_PKG_VERSION"),
        })
    }
}

/// An interval, both ends included.
#[derive(Debug, Clone, Copy, Serialize, JsonSchema)]
pub struct Ends {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Ends {
    /// Of a share, in percent.
    pub(crate) fn percent(interval: Interval) -> Self {
        Self { low: 100.0 * interval.low, high: 100.0 * interval.high }
    }

    /// In the interval's own unit.
    pub(crate) fn of(interval: Interval) -> Self {
        Self { low: interval.low, high: interval.high }
    }
}

/// An answer as the text of a file.
///
/// # Errors
/// What cannot be written as JSON.
pub fn text(answer: &impl Serialize) -> Result<String, Error> {
    let mut text = serde_json::to_string_pretty(answer)?;
    text.push('\n');
    Ok(text)
}

/// Makes the JSON Schema (draft 2020-12) of an answer.
pub type MakesSchema = fn() -> Value;

/// The commands with an answer in JSON, with the schema of each.
pub const ANSWERS: [(&str, MakesSchema); 8] = [
    ("run", of_run),
    ("odds", of::<OddsAnswer>),
    ("size", of::<SizeAnswer>),
    ("compare", of::<CompareAnswer>),
    ("frost", of::<FrostAnswer>),
    ("curve", of::<CurveAnswer>),
    ("ahead", of::<AheadAnswer>),
    ("review", of::<ReviewAnswer>),
];

fn of<T: JsonSchema>() -> Value {
    SchemaSettings::draft2020_12().into_generator().root_schema_for::<T>().to_value()
}

/// What a figure of a list may be in JSON.
fn kind(content: Content) -> Value {
    match content {
        Content::Count => json!(["integer", "null"]),
        Content::Number => json!(["number", "null"]),
        Content::Flag => json!(["boolean", "null"]),
        Content::Date => json!(["string", "null"]),
        // Twelve figures by month are text in a table and a list here.
        Content::Text => json!(["string", "array", "null"]),
    }
}

/// Adds a figure under a dotted name to the properties of an object.
fn add(properties: &mut Map<String, Value>, name: &str, property: Value) {
    match name.split_once('.') {
        None => {
            properties.insert(name.to_owned(), property);
        }
        Some((outer, inner)) => {
            let table =
                properties.entry(outer).or_insert_with(|| json!({"type": "object", "properties": {}}));
            if let Some(inside) = table["properties"].as_object_mut() {
                add(inside, inner, property);
            }
        }
    }
}

/// The properties of a row of a list, with what each may be.
fn properties<R: ?Sized>(
    fields: &[Field<R>],
    contents: impl IntoIterator<Item = Content>,
) -> Map<String, Value> {
    let mut properties = Map::new();
    for (field, content) in fields.iter().zip(contents) {
        let told = told(field.meaning, field.unit);
        add(&mut properties, field.name, json!({"type": kind(content), "description": told}));
    }
    properties
}

/// The properties of the headlines.
fn of_headlines() -> Map<String, Value> {
    properties(HEADLINES, HEADLINES.iter().map(content))
}

/// Headlines by name, as a type: each with its meaning.
pub(crate) fn headlines_schema(_: &mut SchemaGenerator) -> Schema {
    let mut schema = Schema::default();
    schema.insert("type".into(), "object".into());
    schema.insert("properties".into(), of_headlines().into());
    schema
}

/// The schema of `run --json`, from the lists that it is made from.
fn of_run() -> Value {
    let mut properties = of_headlines();
    for table in [MONTH_TABLE, YEAR_TABLE] {
        let row = self::properties(table.fields, table.contents());
        properties.insert(
            table.name.to_owned(),
            json!({"type": "array", "items": {"type": "object", "properties": row}}),
        );
    }
    let required = json!(properties.keys().collect::<Vec<_>>());
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "RunAnswer",
        "description": "What `dryspell run --json` writes. Further tables are listed by `dryspell columns`.",
        "type": "object",
        "properties": properties,
        "required": required,
    })
}
