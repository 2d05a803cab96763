//! A small typed reader over TOML's tree that notes every fault and goes on.

use std::collections::BTreeMap;

use toml::de::DeValue;

use super::DefaultUsed;
use super::keys::{KeyDoc, Kind, Presence, find};
use super::lines::Lines;
use super::place_in;
pub(super) use super::section::Section;
use super::starter::line_in;
use crate::fault::{Fault, FaultKind, Faults, Location, quoted};
use crate::units::{System, parse, retold_fault, show};

/// Reads a tree; collects faults, places and the defaults that were used.
pub(super) struct Reader<'t> {
    lines: Lines<'t>,
    pub(super) faults: Vec<Fault>,
    pub(super) places: BTreeMap<String, Location>,
    pub(super) defaults: Vec<DefaultUsed>,
    /// What a user should change although it is read, a line each.
    pub(super) hints: Vec<String>,
    /// Names and numbers that are shown and not reckoned with, by their keys.
    pub(super) labels: BTreeMap<String, String>,
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
            labels: BTreeMap::new(),
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

    pub(super) fn note(&mut self, path: &str, at: usize) {
        let location = self.location(path, Some(at));
        self.places.insert(path.to_string(), location);
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
            format!("add {} = {}", doc.name, self.example(doc)),
        );
    }

    /// Takes faults of settings over, each at the place of its key.
    pub(super) fn place_faults(&mut self, faults: Faults) {
        for fault in faults {
            let mut fault = retold_fault(fault, self.system);
            if let Some(place) = fault.location.key.as_deref().and_then(|key| place_in(&self.places, key)) {
                fault.location = place;
            }
            self.faults.push(fault);
        }
    }

    /// A key's example in the units of the scheme.
    pub(super) fn example(&self, doc: &KeyDoc) -> String {
        line_in(doc.example, self.system)
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
            format!("write {} = {}", doc.name, self.example(doc)),
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
