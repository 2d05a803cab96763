//! Everything that a result rests on, in one list: for hashes, for the guard of files that are read, for the headers of
//! unfinished sweeps and for JSON.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use dryspell::results::SCHEMA;
use dryspell::scheme::{Scheme, WeatherOrigin};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use crate::Failure;
use crate::files::{self, name_of};
use crate::kinds::FileNeed;

/// What an input is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Role {
    /// Version of the program.
    Program,
    /// Version of the lists of results.
    Schema,
    /// The scheme.
    Scheme,
    /// A weather file.
    Weather,
    /// A climate of which years are made.
    Climate,
    /// A maker's table in a file of its own.
    Table,
    /// Where made years start from.
    Seed,
    /// An axis of a sweep.
    Cases,
}

/// One input: a file as it was read, or a value that was given.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub(crate) struct Input {
    /// What it is for.
    pub(crate) role: Role,
    /// Path as written, from the scheme's own folder where the scheme names it; of a value the value.
    pub(crate) name: String,
    /// Bytes that were read.
    pub(crate) bytes: u64,
    /// SHA-256 of these bytes.
    pub(crate) sha256: String,
}

impl Input {
    /// Bytes with their name.
    pub(crate) fn of(role: Role, name: impl Into<String>, bytes: &[u8]) -> Self {
        Self { role, name: name.into(), bytes: bytes.len() as u64, sha256: hash(bytes) }
    }

    /// A value that is its own name.
    fn value(role: Role, value: &str) -> Self {
        Self::of(role, value, value.as_bytes())
    }
}

/// All inputs, in the order in which they were read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Inputs(Vec<Input>);

impl Inputs {
    /// Files and values, and the program that took them.
    pub(crate) fn new(of_scheme: impl IntoIterator<Item = Input>) -> Self {
        let mut all: Vec<Input> = of_scheme.into_iter().collect();
        all.push(Input::value(Role::Program, concat!("dryspell ", env!("CARGO_PKG_VERSION"))));
        all.push(Input::value(Role::Schema, SCHEMA));
        Self(all)
    }

    /// Those of a role, in order.
    pub(crate) fn of(&self, role: Role) -> impl Iterator<Item = &Input> {
        self.0.iter().filter(move |input| input.role == role)
    }

    /// SHA-256 of the scheme.
    pub(crate) fn scheme_sha256(&self) -> &str {
        self.of(Role::Scheme).next().map_or("", |input| input.sha256.as_str())
    }

    /// SHA-256 of each file of weather, or of the climate.
    pub(crate) fn weather_sha256(&self) -> Vec<&str> {
        self.of(Role::Weather).chain(self.of(Role::Climate)).map(|input| input.sha256.as_str()).collect()
    }

    /// The list in an order that does not depend on how it came about.
    pub(crate) fn sorted(&self) -> Vec<Input> {
        let mut sorted = self.0.clone();
        sorted.sort();
        sorted.dedup();
        sorted
    }

    /// SHA-256 of the sorted list: the identity of files and text.
    pub(crate) fn hash(&self) -> Result<String, Failure> {
        Ok(hash(&serde_json::to_vec(&self.sorted())?))
    }
}

/// SHA-256 as hexadecimal digits.
pub(crate) fn hash(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The seed of made years as an input, where a scheme has them.
pub(crate) fn seed(scheme: &Scheme) -> Option<Input> {
    match &scheme.weather.origin {
        WeatherOrigin::Files(_) => None,
        WeatherOrigin::Climate { seed, years, .. } => {
            Some(Input::value(Role::Seed, &format!("{seed}, {years} years")))
        }
    }
}

/// Text of a table and how it goes into the list, or what is wrong with it.
type ReadTable = Result<(String, Input), String>;

/// Files that a scheme names beside its weather: each is read once, so that what was hashed is what was used.
#[derive(Debug)]
pub(crate) struct Tables {
    folder: PathBuf,
    read: Mutex<BTreeMap<String, ReadTable>>,
}

impl Tables {
    /// None read yet; names are from this folder.
    pub(crate) fn in_folder(folder: &Path) -> Self {
        Self { folder: folder.to_owned(), read: Mutex::default() }
    }

    /// The text of a table.
    pub(crate) fn text(&self, name: &str) -> Result<String, String> {
        let mut read = self.read.lock().unwrap_or_else(PoisonError::into_inner);
        let entry = read.entry(name.to_owned()).or_insert_with(|| {
            let text = files::read_text(&self.folder.join(name), FileNeed::Beside);
            text.map(|text| (text.clone(), Input::of(Role::Table, name, text.as_bytes())))
                .map_err(|failure| failure.0.join("; "))
        });
        entry.as_ref().map(|(text, _)| text.clone()).map_err(Clone::clone)
    }

    /// Those read so far.
    pub(crate) fn inputs(&self) -> Vec<Input> {
        let read = self.read.lock().unwrap_or_else(PoisonError::into_inner);
        read.values().filter_map(|read| read.as_ref().ok().map(|(_, input)| input.clone())).collect()
    }
}

/// A file's name as a scheme in this folder writes it.
pub(crate) fn as_written(path: &Path, folder: &Path) -> String {
    name_of(path.strip_prefix(folder).unwrap_or(path))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::Job;

    /// Names of fields in the order in which they are told, from either text of a plan.
    fn fields_of_json(value: &serde_json::Value, names: &mut Vec<String>) {
        match value {
            serde_json::Value::Object(map) => {
                for (key, value) in map {
                    // Names of variants begin with a capital.
                    if key.starts_with(|c: char| c.is_ascii_lowercase()) {
                        names.push(key.clone());
                    }
                    fields_of_json(value, names);
                }
            }
            serde_json::Value::Array(list) => list.iter().for_each(|v| fields_of_json(v, names)),
            _ => {}
        }
    }

    #[test]
    fn the_text_of_a_plan_leaves_out_no_field() {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/demo");
        let mut seen = 0;
        for name in ["scheme.toml", "brushed.toml", "five_herds.toml", "roomy.toml", "rounds.toml"] {
            let plan = Job::open(&folder.join(name)).map_err(|f| f.0).unwrap().scheme.plan();
            let debug = format!("{plan:?}");
            // What a derived text for programmers names is complete: `name: value`.
            let named: Vec<String> = debug
                .split(": ")
                .map(|before| {
                    before
                        .rsplit(|c: char| !(c.is_ascii_alphanumeric() || c == '_'))
                        .next()
                        .unwrap()
                        .to_owned()
                })
                .collect();
            let named = &named[..named.len() - 1];
            let mut told = Vec::new();
            fields_of_json(&serde_json::to_value(&plan).unwrap(), &mut told);
            assert_eq!(named, told, "{name}");
            seen += told.len();
        }
        assert!(seen > 300, "{seen}");
    }
}
