//! A small typed reader over TOML's tree that notes every fault and goes on.

use std::collections::BTreeMap;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::DefaultUsed;
use super::called::called_otherwise;
use super::keys::{KeyDoc, Kind, Presence, SECTIONS, SectionDoc, find, names_in, renamed};
use super::lines::Lines;
use crate::fault::{Fault, FaultKind, Location, quoted};
use crate::nearest::nearest;
use crate::units::{System, parse, show};

/// Reads a tree; collects faults, places and the defaults that were used.
pub(super) struct Reader<'t> {
    lines: Lines<'t>,
    pub(super) faults: Vec<Fault>,
    pub(super) places: BTreeMap<String, Location>,
    pub(super) defaults: Vec<DefaultUsed>,
    /// What a user should change although it is read, a line each.
    pub(super) hints: Vec<String>,
    pub(super) system: System,
    /// Gives the text of a file that the scheme names.
    pub(super) files: Files<'t>,
}

/// Gives the text of a file by its name in the scheme, or says what is wrong with it.
pub(super) type Files<'t> = &'t dyn Fn(&str) -> Result<String, String>;

/// A value and where it stands; defaults stand nowhere.
#[derive(Clone, Copy)]
pub(super) struct Value<'v> {
    pub(super) path: &'v str,
    pub(super) at: Option<usize>,
    pub(super) de: &'v DeValue<'v>,
}

/// One table of the file, its entries in the order in which they stand.
pub(super) struct Section<'d> {
    /// Dotted path as the user wrote it.
    pub(super) path: String,
    /// The path in [`SECTIONS`].
    doc: &'static str,
    at: Option<usize>,
    entries: Vec<Entry<'d>>,
    /// Known names that a misspelt key resembles: they are not missing as well.
    resembled: Vec<&'static str>,
}

struct Entry<'d> {
    name: &'d str,
    /// The table that a misspelt name stands for.
    meant: Option<&'static str>,
    key_at: usize,
    at: usize,
    de: &'d DeValue<'d>,
}

impl<'d> Section<'d> {
    fn entry(&self, name: &str) -> Option<&Entry<'d>> {
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
fn join(path: &str, name: &str) -> String {
    let bare =
        !name.is_empty() && name.bytes().all(|b| b.is_ascii_alphanumeric() || matches!(b, b'_' | b'-'));
    let name = if bare { name.to_string() } else { quoted(name) };
    if path.is_empty() { name } else { format!("{path}.{name}") }
}

pub(super) fn type_name(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "text",
        DeValue::Integer(_) | DeValue::Float(_) => "a number without quotes",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date without quotes",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

/// A value of the wrong type, in the user's own characters where it has few.
pub(super) fn described(value: &DeValue<'_>) -> String {
    match value {
        DeValue::Integer(n) => format!("{} (a whole number)", quoted(n.as_str())),
        DeValue::Float(n) => format!("{} (a number)", quoted(n.as_str())),
        DeValue::String(s) => format!("{} (text)", quoted(s)),
        other => type_name(other).to_string(),
    }
}

impl<'t> Reader<'t> {
    pub(super) fn new(text: &'t str, files: Files<'t>) -> Self {
        Self {
            lines: Lines::new(text),
            faults: Vec::new(),
            places: BTreeMap::new(),
            defaults: Vec::new(),
            hints: Vec::new(),
            system: System::Si,
            files,
        }
    }

    pub(super) fn location(&self, path: &str, at: Option<usize>) -> Location {
        let mut location = Location::key(path);
        if let Some(at) = at {
            let (line, column) = self.lines.place(at);
            location.line = Some(line);
            location.column = Some(column);
        }
        location
    }

    pub(super) fn fault(
        &mut self,
        path: &str,
        at: Option<usize>,
        kind: FaultKind,
        found: impl Into<String>,
        accepted: impl Into<String>,
        way_out: impl Into<String>,
    ) {
        let location = self.location(path, at);
        self.faults.push(Fault {
            location,
            kind,
            found: found.into(),
            accepted: accepted.into(),
            way_out: way_out.into(),
        });
    }

    /// A fault at a value, with found and accepted in words.
    pub(super) fn refuse(
        &mut self,
        value: Value<'_>,
        kind: FaultKind,
        found: impl Into<String>,
        accepted: impl Into<String>,
        way_out: impl Into<String>,
    ) {
        self.fault(value.path, value.at, kind, found, accepted, way_out);
    }

    /// A fault that concerns a key of a section which may have been left out.
    pub(super) fn fault_at(
        &mut self,
        section: &Section<'_>,
        name: &str,
        kind: FaultKind,
        found: impl Into<String>,
        accepted: impl Into<String>,
        way_out: impl Into<String>,
    ) {
        let at = section.entry(name).map(|e| e.at).or(section.at);
        self.fault(&section.key(name), at, kind, found, accepted, way_out);
    }

    pub(super) fn root<'d>(&mut self, table: &'d DeTable<'d>) -> Section<'d> {
        self.open(String::new(), "", None, table)
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
            let near = called_otherwise(doc, name, &free).or_else(|| nearest(name, free.iter().copied()));
            let found =
                if section.path.is_empty() { "no key or table of this name" } else { "no key of this name" };
            let way_out = match near {
                Some(near) => format!("did you mean {near}?"),
                None => "remove it, or correct its spelling".to_string(),
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

    pub(super) fn note(&mut self, path: &str, at: usize) {
        let location = self.location(path, Some(at));
        self.places.insert(path.to_string(), location);
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
        if doc.most > 0 && tables.len() > doc.most {
            for (_, extra) in &tables[doc.most..] {
                self.fault(
                    &extra.path,
                    extra.at,
                    FaultKind::Contradiction,
                    format!("more tables [{name}.NAME] than {}", doc.most),
                    format!("exactly {} table [{name}.NAME]", doc.most),
                    "keep one; its capacity is the volume of all tanks connected at one level",
                );
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

    /// Reads a key with `read`: the user's value, or the default, which is noted.
    pub(super) fn key<T>(
        &mut self,
        section: &Section<'_>,
        name: &str,
        read: impl FnOnce(&mut Self, Value<'_>, &'static KeyDoc) -> Option<T>,
    ) -> Option<T> {
        let doc = find(section.doc, name)?;
        let path = section.key(name);
        if let Some(entry) = section.entry(name) {
            return read(self, Value { path: &path, at: Some(entry.at), de: entry.de }, doc);
        }
        if section.resembled.contains(&name) {
            return None;
        }
        match doc.presence {
            Presence::Needed => {
                self.missing(section, doc);
                None
            }
            Presence::Free { .. } => None,
            Presence::Without { value, means } => {
                self.defaults.push(DefaultUsed { key: path, value: value.into(), why: means.into() });
                None
            }
            Presence::Default { literal, source } => {
                let default = DeValue::parse(literal).ok()?;
                let value = read(self, Value { path: &path, at: section.at, de: default.get_ref() }, doc)?;
                let text = default_text(literal, doc, self.system);
                self.defaults.push(DefaultUsed { key: path, value: text, why: source.into() });
                Some(value)
            }
        }
    }

    /// The fault of a key that is needed and not there.
    pub(super) fn missing(&mut self, section: &Section<'_>, doc: &KeyDoc) {
        if section.may_have(doc.name) {
            return;
        }
        self.fault(
            &section.key(doc.name),
            section.at,
            FaultKind::MissingKey,
            "this key is missing",
            format!("needed: {}", doc.meaning),
            format!("add {} = {}", doc.name, doc.example),
        );
    }

    /// As [`Self::missing`], for a key that only some schemes need.
    pub(super) fn missing_here(&mut self, section: &Section<'_>, name: &str) {
        if let Some(doc) = find(section.doc, name) {
            self.missing(section, doc);
        }
    }

    /// The fault of a value of the wrong type.
    pub(super) fn wrong_type(&mut self, value: Value<'_>, accepted: &str, doc: &KeyDoc) {
        let found = described(value.de);
        self.refuse(
            value,
            FaultKind::WrongType,
            found,
            accepted,
            format!("write {} = {}", doc.name, doc.example),
        );
    }
}

/// The default as a report shows it: in the units of the report where it has one.
fn default_text(literal: &str, doc: &KeyDoc, system: System) -> String {
    let text = literal.trim_matches('"');
    match doc.kind {
        // Nothing is nothing in any unit, and the literal's own unit suits it best.
        Kind::Quantity(q) => match parse(text, q) {
            Ok(v) if v != 0.0 => show(v, q, system),
            _ => text.to_string(),
        },
        _ => text.to_string(),
    }
}

fn section_doc(parent: &str, name: &str, named: bool) -> Option<&'static SectionDoc> {
    let path = if parent.is_empty() { name.to_string() } else { format!("{parent}.{name}") };
    let path = if named { format!("{path}.*") } else { path };
    SECTIONS.iter().find(|s| s.path == path)
}

fn entries<'d>(table: &'d DeTable<'d>) -> Vec<Entry<'d>> {
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
