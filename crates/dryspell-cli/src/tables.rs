//! Files that a scheme names beside its weather.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use dryspell_report::{Input, Role};

use crate::files;
use crate::kinds::FileNeed;

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

    /// None read yet; names are from the folder of a scheme.
    pub(crate) fn beside(scheme: &Path) -> Self {
        Self::in_folder(scheme.parent().unwrap_or(Path::new("")))
    }

    /// Paths of those that were asked for, whether they could be read or not.
    pub(crate) fn asked(&self) -> Vec<PathBuf> {
        let read = self.read.lock().unwrap_or_else(PoisonError::into_inner);
        read.keys().map(|name| self.folder.join(name)).collect()
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

    /// Name and text of those read so far.
    pub(crate) fn texts(&self) -> Vec<(String, String)> {
        let read = self.read.lock().unwrap_or_else(PoisonError::into_inner);
        let text = |(name, read): (&String, &ReadTable)| Some((name.clone(), read.as_ref().ok()?.0.clone()));
        read.iter().filter_map(text).collect()
    }

    /// Those read so far.
    pub(crate) fn inputs(&self) -> Vec<Input> {
        let read = self.read.lock().unwrap_or_else(PoisonError::into_inner);
        read.values().filter_map(|read| read.as_ref().ok().map(|(_, input)| input.clone())).collect()
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;

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
        for name in [
            "scheme.toml",
            "brushed.toml",
            "five_herds.toml",
            "roomy.toml",
            "rounds.toml",
            "three_tanks.toml",
        ] {
            let plan = Job::open(&folder.join(name), &[]).map_err(|f| f.0).unwrap().scheme.plan();
            let mut debug = format!("{plan:?}");
            // Left out where there are none, so that hashes of older plans stay: inflows, a backup, and columns of one's own,
            // which no text of a scheme has.
            assert!(plan.inflows.is_empty() && plan.backup.is_none() && plan.columns.is_empty());
            debug.truncate(debug.rfind(", inflows: ").unwrap());
            // So are further tanks and wells, the tank of who is at the first, and what is usual of light inside the hour and of snow by rain.
            for left_out in [
                ", other_tanks: [], links: [], lifts: []",
                ", other_lines: []",
                ", tank: None",
                ", inside_hour: Steps",
                ", from_rain: None",
            ] {
                debug = debug.replace(left_out, "");
            }
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
