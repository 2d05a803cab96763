//! The tables of the file: those that are there, under whichever spelling, and those that are missing.

use toml::de::{DeTable, DeValue};

use super::called::{called_otherwise, stands_elsewhere};
use super::keys::{SECTIONS, SectionDoc, names_in, renamed};
use super::reader::{Reader, type_name};
use super::section::{Section, entries, join};
use crate::fault::{FaultKind, quoted};
use crate::nearest::nearest;

impl Reader<'_> {
    pub(super) fn root<'d>(&mut self, table: &'d DeTable<'d>) -> Section<'d> {
        self.open(String::new(), "", None, table)
    }

    /// Reads keys under the names that they have now. One that stands there under both names is left to be refused.
    fn take_old_names(&mut self, section: &mut Section<'_>) {
        for i in 0..section.entries.len() {
            let entry = &section.entries[i];
            let Some(now) = renamed(section.doc, entry.name).filter(|now| !section.has(now)) else {
                continue;
            };
            let place = self.location(&section.key(entry.name), Some(entry.key_at));
            self.hints
                .push(format!("{place}: this key is now {now}; the old name is read until 0.3; rename it"));
            section.entries[i].name = now;
        }
    }

    /// Opens a table: notes the places of its keys and the keys that are not known.
    fn open<'d>(
        &mut self,
        path: String,
        doc: &'static str,
        at: Option<usize>,
        table: &'d DeTable<'d>,
    ) -> Section<'d> {
        let mut section = Section { path, doc, at, entries: entries(table), resembled: Vec::new() };
        self.take_old_names(&mut section);
        let known = names_in(doc);
        let free: Vec<&'static str> = known.iter().copied().filter(|k| !section.has(k)).collect();
        for i in 0..section.entries.len() {
            let (name, key_at, value_at, is_table) = {
                let e = &section.entries[i];
                (e.name, e.key_at, e.at, matches!(e.de, DeValue::Table(_) | DeValue::Array(_)))
            };
            let path = section.key(name);
            self.note(&path, value_at);
            if known.contains(&name) {
                continue;
            }
            let elsewhere = stands_elsewhere(doc, name);
            let near = match elsewhere {
                Some(_) => None,
                None => called_otherwise(doc, name, &free).or_else(|| nearest(name, free.iter().copied())),
            };
            let found =
                if section.path.is_empty() { "no key or table of this name" } else { "no key of this name" };
            let way_out = match (elsewhere, near) {
                (Some(there), _) => there,
                (None, Some(near)) => format!("did you mean {near}?"),
                (None, None) => "remove it, or correct its spelling".to_string(),
            };
            self.fault(
                &path,
                Some(key_at),
                FaultKind::UnknownKey,
                found,
                format!("known here: {}", known.join(", ")),
                way_out,
            );
            if let Some(near) = near {
                section.resembled.push(near);
                // What stands in a misspelt table is checked as well.
                let tables = SECTIONS.iter().any(|s| s.path.split('.').any(|part| part == near));
                if is_table && tables {
                    section.entries[i].meant = Some(near);
                }
            }
        }
        section
    }

    /// The table `name` of a section; an absent one is read as empty, so that its defaults are listed.
    pub(super) fn table<'d>(&mut self, parent: &Section<'d>, name: &str) -> Option<Section<'d>> {
        let doc = section_doc(parent.doc, name, false)?;
        match parent.entry(name) {
            Some(entry) => {
                // A misspelt table is read under its right name, so that all later faults find their lines.
                let path = parent.key(name);
                self.note(&path, entry.at);
                match entry.de {
                    DeValue::Table(table) => Some(self.open(path, doc.path, Some(entry.at), table)),
                    other => {
                        self.not_a_table(
                            &path,
                            entry.at,
                            other,
                            &format!("write [{path}] and its keys below it"),
                        );
                        None
                    }
                }
            }
            None => {
                let path = parent.key(name);
                if doc.needed {
                    self.missing_table(parent, name, doc, &path);
                    return None;
                }
                Some(Section {
                    path,
                    doc: doc.path,
                    at: parent.at,
                    entries: Vec::new(),
                    resembled: Vec::new(),
                })
            }
        }
    }

    /// The tables `[name.*]`, in the order in which they stand.
    pub(super) fn named_tables<'d>(&mut self, root: &Section<'d>, name: &str) -> Vec<(String, Section<'d>)> {
        let Some(doc) = section_doc(root.doc, name, true) else { return Vec::new() };
        let Some(entry) = root.entry(name) else {
            if doc.needed {
                let path = root.key(name);
                self.missing_table(root, name, doc, &format!("{path}.main"));
            }
            return Vec::new();
        };
        let path = root.key(name);
        self.note(&path, entry.at);
        let way_out = format!("give each table a name of its own, such as [{path}.main]");
        let DeValue::Table(table) = entry.de else {
            self.not_a_table(&path, entry.at, entry.de, &way_out);
            return Vec::new();
        };
        let children = entries(table);
        let known = names_in(doc.path);
        // [tank] with the keys of a tank: the name was left out.
        if let Some(child) = children.iter().find(|c| known.contains(&c.name)) {
            let found = format!("{} given directly in [{path}]", quoted(child.name));
            self.fault(
                &path,
                Some(child.key_at),
                FaultKind::WrongType,
                found,
                format!("named tables: {}", doc.meaning),
                way_out.clone(),
            );
            return Vec::new();
        }
        if children.is_empty() && doc.needed {
            self.fault(
                &path,
                Some(entry.at),
                FaultKind::MissingKey,
                "no table in it",
                format!("at least one: {}", doc.meaning),
                way_out.clone(),
            );
        }
        let mut tables = Vec::new();
        for child in children {
            let path = join(&path, child.name);
            self.note(&path, child.at);
            let bare = child.name.bytes().all(|b| b.is_ascii_alphanumeric() || matches!(b, b'_' | b'-'));
            if !bare || child.name.is_empty() {
                self.fault(
                    &path,
                    Some(child.key_at),
                    FaultKind::UnknownWord,
                    format!("the name {}", quoted(child.name)),
                    "names of letters a to z, digits, _ and -",
                    "rename it: the name appears in columns and error messages",
                );
            }
            match child.de {
                DeValue::Table(table) => {
                    tables.push((child.name.to_string(), self.open(path, doc.path, Some(child.at), table)));
                }
                other => {
                    self.not_a_table(&path, child.at, other, &format!("write [{path}] and its keys below it"))
                }
            }
        }
        tables
    }

    fn not_a_table(&mut self, path: &str, at: usize, found: &DeValue<'_>, way_out: &str) {
        self.fault(
            path,
            Some(at),
            FaultKind::WrongType,
            format!("{} where a table is needed", type_name(found)),
            "a table",
            way_out,
        );
    }

    fn missing_table(&mut self, parent: &Section<'_>, name: &str, doc: &SectionDoc, header: &str) {
        if !parent.may_have(name) {
            let path = parent.key(name);
            let at = parent.at;
            self.fault(
                &path,
                at,
                FaultKind::MissingKey,
                "this table is missing",
                format!("needed: {}", doc.meaning),
                format!("add [{header}] and its keys"),
            );
        }
    }
}

fn section_doc(parent: &str, name: &str, named: bool) -> Option<&'static SectionDoc> {
    let path = if parent.is_empty() { name.to_string() } else { format!("{parent}.{name}") };
    let path = if named { format!("{path}.*") } else { path };
    SECTIONS.iter().find(|s| s.path == path)
}
