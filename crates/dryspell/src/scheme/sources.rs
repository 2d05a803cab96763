//! Where values come from, as the user says it: `[sources]`. Nothing is reckoned with it.

use std::collections::BTreeMap;

use toml::de::DeValue;

use super::keys::{ABOUT_VALUES, SECTIONS, fits, names_in, of_path};
use super::reader::{Reader, Section, described};
use super::section::{Entry, leaves};
use crate::fault::{FaultKind, quoted};
use crate::nearest::nearest;

/// Name of the table.
const TABLE: &str = "sources";

/// An example of a line.
const EXAMPLE: &str = r#""well.static_level" = "driller's log, 2024-05-03""#;

/// The source of each value or table that has one.
///
/// # Example
/// ```
/// use dryspell::scheme::{STARTER, Scheme};
/// let text = format!("{STARTER}\n[sources]\n\"well\" = \"driller's log\"\n\"well.static_level\" = \"own dip, 2024-05-03\"\n");
/// let sources = Scheme::from_toml(&text)?.sources;
/// assert_eq!(sources.of("well.static_level"), Some("own dip, 2024-05-03"));
/// assert_eq!(sources.of("well.yield"), Some("driller's log"));
/// assert_eq!(sources.of("tank.main.capacity"), None);
/// # Ok::<(), dryspell::fault::Faults>(())
/// ```
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Sources(BTreeMap<String, String>);

impl Sources {
    /// The source of a dotted key or table: its own, or that of the nearest table that it stands in.
    #[must_use]
    pub fn of(&self, key: &str) -> Option<&str> {
        let mut path = key;
        loop {
            if let Some(source) = self.own(path) {
                return Some(source);
            }
            path = &path[..path.rfind('.')?];
        }
    }

    /// The source that is given for this key or table itself.
    #[must_use]
    pub fn own(&self, key: &str) -> Option<&str> {
        self.0.get(key).map(String::as_str)
    }

    /// Whether none is given.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

/// Reads the table; every place that a source may name has been noted by then.
pub(super) fn sources(r: &mut Reader<'_>, root: &Section<'_>) -> Sources {
    let mut found = Sources::default();
    for (path, entry) in lines_about(r, root, TABLE, "a table of sources", EXAMPLE) {
        let place = format!("{TABLE}.{}", quoted(&path));
        match entry.de {
            DeValue::String(text) if text.trim().is_empty() || text.chars().any(char::is_control) => {
                let shown = if text.trim().is_empty() {
                    "an empty source"
                } else {
                    "a source with a control character"
                };
                let way_out =
                    format!("say where the value comes from, such as {EXAMPLE}, or remove the line");
                r.fault(&place, Some(entry.at), FaultKind::UnknownWord, shown, "text on one line", way_out);
            }
            DeValue::String(text) => {
                if stands_there(r, TABLE, &path, entry.key_at)
                    && found.0.insert(path.clone(), text.trim().to_owned()).is_some()
                {
                    let (found, way_out) =
                        ("a second source for the same value", "keep one of the two lines");
                    r.fault(
                        &place,
                        Some(entry.key_at),
                        FaultKind::Contradiction,
                        found,
                        "one source for each value",
                        way_out,
                    );
                }
            }
            other => {
                let found = described(other);
                let way_out = format!("write it like {EXAMPLE}");
                r.fault(&place, Some(entry.at), FaultKind::WrongType, found, "a source as text", way_out);
            }
        }
    }
    found
}

/// The lines of a table about the scheme's own values, by the path that each names; where it is no table, the fault is noted.
pub(super) fn lines_about<'d>(
    r: &mut Reader<'_>,
    root: &Section<'d>,
    about: &str,
    accepted: &str,
    example: &str,
) -> Vec<(String, Entry<'d>)> {
    match root.entry(about).map(|entry| (entry.at, entry.de)) {
        None => Vec::new(),
        Some((_, DeValue::Table(table))) => leaves("", table),
        Some((at, other)) => {
            let way_out = format!("write [{about}] and below it {example}");
            r.fault(about, Some(at), FaultKind::WrongType, described(other), accepted, way_out);
            Vec::new()
        }
    }
}

/// Whether a line of a table about the scheme's own values names what stands in it; if not, the fault is noted.
pub(super) fn stands_there(r: &mut Reader<'_>, about: &str, path: &str, at: usize) -> bool {
    let in_scheme = |place: &str| {
        !place.contains('[')
            && !ABOUT_VALUES.contains(&place.split('.').next().unwrap_or(""))
            && !place.is_empty()
    };
    if in_scheme(path) && r.places.contains_key(path) {
        return true;
    }
    let place = format!("{about}.{}", quoted(path));
    let is_table = SECTIONS.iter().any(|section| fits(section.path, path));
    if !path.contains('*') && (is_table || of_path(path).is_some()) {
        let what = if is_table { "table" } else { "value" };
        r.fault(
            &place,
            Some(at),
            FaultKind::Contradiction,
            format!("{path} is not given in this scheme"),
            "a value or a table that stands in this scheme",
            format!("give the {what}, or remove this line"),
        );
        return false;
    }
    let there: Vec<String> = r.places.keys().filter(|place| in_scheme(place)).cloned().collect();
    let near = nearest(path, there.iter().map(String::as_str));
    let table = path.rsplit_once('.').map_or("", |(table, _)| table);
    let section = SECTIONS.iter().find(|section| !table.is_empty() && fits(section.path, table));
    let accepted = match section.filter(|_| r.places.contains_key(table)) {
        Some(section) => format!("known in {table}: {}", names_in(section.path).join(", ")),
        None => "a value or a table of this scheme, such as well.static_level or pump".to_owned(),
    };
    let way_out = match near {
        Some(near) => format!("did you mean {near}?"),
        None => "name it as it stands in this file: the table, a dot, the key".to_owned(),
    };
    r.fault(&place, Some(at), FaultKind::UnknownKey, "no value and no table of this name", accepted, way_out);
    false
}
