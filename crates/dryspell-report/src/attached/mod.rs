//! What the document carries with it, so that anyone can work it again: the scheme, its tables, the results, and what they
//! rest on with hashes. The weather is too large and is told by its hash alone.
//!
//! [`Package::of_pdf`] and [`Package::of_html`] take it out again, [`compare()`] holds results against others.

mod compare;
mod read;

use std::collections::BTreeMap;
use std::path::Path;

use dryspell::results::SCHEMA;
use dryspell::scheme::WeatherOrigin;
use dryspell::units::System;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::error::Error;
use crate::inputs::{Input, Role, hash};
use crate::model::Attached;
use crate::report::Report;
use crate::results::results;

pub use compare::{Compared, Difference, compare};
pub use read::{PackageError, is_pdf};

/// Name of the list of what is attached.
const LIST: &str = "dryspell.json";
/// Name of the scheme.
pub const SCHEME: &str = "scheme.toml";
/// Name of the results.
pub const RESULTS: &str = "results.json";

/// What is attached and what it rests on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
struct List {
    /// Version of the program.
    dryspell: String,
    /// Version of the lists of results.
    schema: String,
    /// Units of the results' words.
    units: String,
    /// Files that are attached.
    attached: Vec<Entry>,
    /// Files that are told by name and hash alone: weather, or a climate.
    not_attached: Vec<Entry>,
}

/// A file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Entry {
    /// Its name, without a folder.
    pub file: String,
    /// Its name in the scheme, where the scheme names it.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub in_scheme: Option<String>,
    /// Number of bytes.
    pub bytes: u64,
    /// SHA-256 of the bytes.
    pub sha256: String,
}

/// What was taken out of a document.
#[derive(Debug, Clone, PartialEq)]
pub struct Package {
    /// Version of the program that made it.
    pub version: String,
    /// Version of the lists of results.
    pub schema: String,
    /// Units of the results' words.
    pub system: System,
    /// The scheme's text.
    pub scheme: String,
    /// Text of each table, by its name in the scheme.
    pub tables: BTreeMap<String, String>,
    /// The weather that the results rest on.
    pub weather: Vec<Entry>,
    /// The results.
    pub results: Value,
    /// Attached files, each with its hash in the list and its own: they differ where the file was changed afterwards.
    pub hashes: Vec<(Entry, String)>,
    /// Words of the pages, with single spaces; `None` where they cannot be read.
    pub words: Option<String>,
}

impl Package {
    /// Whether a text stands on the pages; `None` where they cannot be read.
    #[must_use]
    pub fn shows(&self, text: &str) -> Option<bool> {
        self.words.as_ref().map(|words| words.contains(&spaced(text)))
    }
}

/// Words with single spaces.
fn spaced(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The version of this program.
#[must_use]
pub const fn version() -> &'static str {
    env!("CARGO_PKG_VERSION")
}

/// A path without its folders, written either way.
fn file_name(path: &str) -> String {
    let name = path.rsplit(['/', '\\']).next().unwrap_or(path);
    Path::new(name).file_name().map_or_else(|| name.to_owned(), |name| name.to_string_lossy().into_owned())
}

/// The results as they are attached and compared: without folders of the machine.
///
/// # Errors
/// What keeps the results from being put together.
pub fn results_without_folders(report: &Report<'_>) -> Result<Value, Error> {
    let mut all = results(report)?;
    let bare = |value: &mut Value| {
        if let Value::String(text) = value {
            *text = file_name(text);
        }
    };
    for pointer in ["/scheme/file"] {
        if let Some(file) = all.pointer_mut(pointer) {
            *file = Value::from(SCHEME);
        }
    }
    for (pointer, key) in [("/weather/files", None), ("/inputs", Some("name")), ("/values", Some("file"))] {
        for entry in all.pointer_mut(pointer).and_then(Value::as_array_mut).into_iter().flatten() {
            match key {
                None => bare(entry),
                Some(key) => entry.get_mut(key).into_iter().for_each(bare),
            }
        }
    }
    Ok(all)
}

/// What a document carries with it.
///
/// # Errors
/// What keeps the results from being put together.
pub(crate) fn of(report: &Report<'_>) -> Result<Vec<Attached>, Error> {
    let mut results = serde_json::to_string_pretty(&results_without_folders(report)?)?;
    results.push('\n');
    let attached = |name: &str, about: &str, kind, bytes: &[u8]| Attached {
        name: name.to_owned(),
        about: about.to_owned(),
        kind,
        bytes: bytes.to_vec(),
    };
    let mut all = vec![(None, attached(SCHEME, "the scheme", "text/plain", report.text.as_bytes()))];
    for (at, (in_scheme, text)) in report.document.tables.iter().enumerate() {
        let mut name = file_name(in_scheme);
        if all.iter().any(|(_, other)| other.name == name) || [LIST, RESULTS].contains(&name.as_str()) {
            name = format!("{}-{name}", at + 1);
        }
        let table = attached(&name, "a table that the scheme names", "text/csv", text.as_bytes());
        all.push((Some(in_scheme.clone()), table));
    }
    all.push((None, attached(RESULTS, "the results of the run", "application/json", results.as_bytes())));
    let entry = |(in_scheme, file): &(Option<String>, Attached)| Entry {
        file: file.name.clone(),
        in_scheme: in_scheme.clone(),
        bytes: file.bytes.len() as u64,
        sha256: hash(&file.bytes),
    };
    let named = match &report.scheme.weather.origin {
        WeatherOrigin::Files(files) => files.clone(),
        WeatherOrigin::Climate { file, .. } => vec![file.clone()],
    };
    let outside = |input: &Input| Entry {
        file: file_name(&input.name),
        // A file of a folder that the scheme names has no name in it.
        in_scheme: Some(input.name.clone()).filter(|name| named.contains(name)),
        bytes: input.bytes,
        sha256: input.sha256.clone(),
    };
    let list = List {
        dryspell: version().to_owned(),
        schema: SCHEMA.to_owned(),
        units: if report.system == System::Us { "us" } else { "si" }.to_owned(),
        attached: all.iter().map(entry).collect(),
        not_attached: report
            .inputs
            .of(Role::Weather)
            .chain(report.inputs.of(Role::Climate))
            .map(outside)
            .collect(),
    };
    let mut text = serde_json::to_string_pretty(&list)?;
    text.push('\n');
    let list = attached(LIST, "list of what is attached, with hashes", "application/json", text.as_bytes());
    Ok(std::iter::once(list).chain(all.into_iter().map(|(_, file)| file)).collect())
}
