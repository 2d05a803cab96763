//! One table of the file with its entries.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::fault::quoted;

/// One table of the file, its entries in the order in which they stand.
pub(super) struct Section<'d> {
    /// Dotted path as the user wrote it.
    pub(super) path: String,
    /// The path in `SECTIONS`.
    pub(super) doc: &'static str,
    pub(super) at: Option<usize>,
    pub(super) entries: Vec<Entry<'d>>,
    /// Known names that a misspelt key resembles: they are not missing as well.
    pub(super) resembled: Vec<&'static str>,
}

pub(super) struct Entry<'d> {
    pub(super) name: &'d str,
    /// The table that a misspelt name stands for.
    pub(super) meant: Option<&'static str>,
    pub(super) key_at: usize,
    pub(super) at: usize,
    pub(super) de: &'d DeValue<'d>,
}

impl<'d> Section<'d> {
    pub(super) fn entry(&self, name: &str) -> Option<&Entry<'d>> {
        self.entries
            .iter()
            .find(|e| e.name == name)
            .or_else(|| self.entries.iter().find(|e| e.meant == Some(name)))
    }

    /// Whether the user wrote the key.
    pub(super) fn has(&self, name: &str) -> bool {
        self.entry(name).is_some()
    }

    /// Whether the key is there, or a misspelling of it.
    pub(super) fn may_have(&self, name: &str) -> bool {
        self.has(name) || self.resembled.contains(&name)
    }

    /// Whether the key holds a list without anything in it.
    pub(super) fn is_empty_list(&self, name: &str) -> bool {
        self.entry(name).is_some_and(|e| matches!(e.de, DeValue::Array(list) if list.is_empty()))
    }

    /// Where the table begins.
    pub(super) const fn at(&self) -> Option<usize> {
        self.at
    }

    /// The names of the tables inside a table of this one, sound or not.
    pub(super) fn names_within(&self, name: &str) -> Vec<&'d str> {
        match self.entry(name).map(|e| e.de) {
            Some(DeValue::Table(table)) => table.iter().map(|(key, _)| key.get_ref().as_ref()).collect(),
            _ => Vec::new(),
        }
    }

    /// Path of a key of this table.
    pub(super) fn key(&self, name: &str) -> String {
        join(&self.path, name)
    }
}

/// A dotted path; a name that TOML would want in quotes gets them.
pub(super) fn join(path: &str, name: &str) -> String {
    let bare =
        !name.is_empty() && name.bytes().all(|b| b.is_ascii_alphanumeric() || matches!(b, b'_' | b'-'));
    let name = if bare { name.to_string() } else { quoted(name) };
    if path.is_empty() { name } else { format!("{path}.{name}") }
}

/// All values of a table and of those inside it, with their dotted paths below `above`: a key without quotes is a table within a table
/// in TOML.
pub(super) fn leaves<'d>(above: &str, table: &'d DeTable<'d>) -> Vec<(String, Entry<'d>)> {
    let below = |entry: Entry<'d>| {
        let path = if above.is_empty() { entry.name.to_owned() } else { format!("{above}.{}", entry.name) };
        match entry.de {
            DeValue::Table(inner) => leaves(&path, inner),
            _ => vec![(path, entry)],
        }
    };
    entries(table).into_iter().flat_map(below).collect()
}

/// The entries of a table, in the order in which they stand.
pub(super) fn entries<'d>(table: &'d DeTable<'d>) -> Vec<Entry<'d>> {
    let mut entries: Vec<Entry<'d>> = table
        .iter()
        .map(|(k, v): (&'d Spanned<_>, &'d Spanned<DeValue<'d>>)| Entry {
            name: k.get_ref(),
            meant: None,
            key_at: k.span().start,
            at: v.span().start,
            de: v.get_ref(),
        })
        .collect();
    entries.sort_by_key(|e| e.key_at);
    entries
}
