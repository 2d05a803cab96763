//! How sure the writer is of his values: `[uncertain]`.

use toml::de::{DeTable, DeValue};

use super::keys::{KeyDoc, of_path};
use super::reader::{Reader, Section, described};
use super::section::{entries, join};
use super::sources::stands_there;
use crate::fault::{FaultKind, quoted};
use crate::uncertain::{Part, Scale, Unknown};

/// Name of the table.
const TABLE: &str = "uncertain";

/// An example of a line.
const EXAMPLE: &str = r#""herd.cows.count" = "10 %""#;

const ACCEPTED: &str = "one standard deviation: a share of the value such as \"10 %\", or an amount with its unit such as \"2 m\"";

/// Reads the table, after all others.
pub(super) fn uncertain(r: &mut Reader<'_>, root: &Section<'_>) -> Vec<Unknown> {
    let mut found = Vec::new();
    if let Some(entry) = root.entry(TABLE) {
        lines(r, root, "", (entry.at, entry.de), &mut found);
    }
    found
}

/// The lines of the table, or of one inside it: a key without quotes is a table within a table in TOML.
fn lines(
    r: &mut Reader<'_>,
    root: &Section<'_>,
    above: &str,
    (at, de): (usize, &DeValue<'_>),
    found: &mut Vec<Unknown>,
) {
    let DeValue::Table(table) = de else {
        let way_out = format!("write [{TABLE}] and below it {EXAMPLE}");
        r.fault(TABLE, Some(at), FaultKind::WrongType, described(de), "a table of deviations", way_out);
        return;
    };
    for entry in entries(table) {
        let path = if above.is_empty() { entry.name.to_owned() } else { format!("{above}.{}", entry.name) };
        if let DeValue::Table(_) = entry.de {
            lines(r, root, &path, (entry.at, entry.de), found);
            continue;
        }
        let Some(unknown) = line(r, root, &path, (entry.key_at, entry.at), entry.de) else { continue };
        if found.iter().any(|before| before.name == unknown.name) {
            let place = format!("{TABLE}.{}", quoted(&path));
            let (found, way_out) = ("a second deviation of the same value", "keep one of the two lines");
            let accepted = "one deviation for each value";
            r.fault(&place, Some(entry.key_at), FaultKind::Contradiction, found, accepted, way_out);
            continue;
        }
        found.push(unknown);
    }
}

/// One line; its faults are noted.
fn line(
    r: &mut Reader<'_>,
    root: &Section<'_>,
    path: &str,
    (key_at, at): (usize, usize),
    de: &DeValue<'_>,
) -> Option<Unknown> {
    let place = format!("{TABLE}.{}", quoted(path));
    let written = written(root, path);
    if written.is_empty() {
        if stands_there(r, TABLE, path, key_at) {
            let (found, accepted) =
                (format!("{path} is a table"), "a key that holds one number, or one for each month");
            r.fault(&place, Some(key_at), FaultKind::WrongType, found, accepted, "name one of its keys");
        }
        return None;
    }
    let Some((doc, scale)) = of_path(path).and_then(|doc| Some((doc, Part::scale(doc)?))) else {
        let found = format!("{path} holds no number");
        let accepted = "a key that holds one number, or one for each month";
        r.fault(&place, Some(key_at), FaultKind::WrongType, found, accepted, "remove the line");
        return None;
    };
    let text = match de {
        DeValue::String(text) => text.trim().to_owned(),
        DeValue::Integer(number) => number.as_str().to_owned(),
        DeValue::Float(number) => number.as_str().to_owned(),
        other => {
            let way_out = format!("write it like {EXAMPLE}");
            r.fault(&place, Some(at), FaultKind::WrongType, described(other), ACCEPTED, way_out);
            return None;
        }
    };
    let Some(spread) = Spread::read(&text, scale) else {
        let way_out = format!("write it like {EXAMPLE}");
        r.fault(&place, Some(at), FaultKind::OutOfRange, quoted(&text), ACCEPTED, way_out);
        return None;
    };
    // What stands there and cannot be read has its own fault.
    let parts: Option<Vec<Part>> =
        written.into_iter().map(|(key, value)| part(key, value, (doc, scale), spread)).collect();
    let parts = parts?;
    if parts.iter().flat_map(|part| &part.deviations).all(|deviation| *deviation == 0.0) {
        let way_out = "give an amount with its unit";
        let found = format!("a share of {path}, which is 0");
        r.fault(&place, Some(at), FaultKind::OutOfRange, found, ACCEPTED, way_out);
        return None;
    }
    Some(Unknown::new(path.to_owned(), text, parts))
}

/// One standard deviation.
#[derive(Clone, Copy)]
enum Spread {
    /// A share of the value.
    Share(f64),
    /// An amount in the base unit.
    Amount(f64),
}

impl Spread {
    fn read(text: &str, scale: Scale) -> Option<Self> {
        let share = text.strip_suffix('%').map(|number| number.trim().parse::<f64>());
        match share {
            Some(share) => {
                share.ok().map(|share| share / 100.0).filter(|s| *s > 0.0 && *s <= 1.0).map(Self::Share)
            }
            None => scale.spread(text).filter(|amount| *amount > 0.0).map(Self::Amount),
        }
    }
}

/// What a key of the scheme holds, with its deviation; `None` where it cannot be read.
fn part(key: String, value: &DeValue<'_>, (doc, scale): (&KeyDoc, Scale), spread: Spread) -> Option<Part> {
    let one = |value: &DeValue<'_>| match value {
        DeValue::String(text) => scale.value(text.trim()),
        DeValue::Integer(number) => scale.value(number.as_str()),
        DeValue::Float(number) => scale.value(number.as_str()),
        _ => None,
    };
    let (values, list) = match value {
        DeValue::Array(all) => {
            (all.iter().map(|value| one(value.get_ref())).collect::<Option<Vec<f64>>>()?, true)
        }
        value => (vec![one(value)?], false),
    };
    let deviations = values.iter().map(|value| match spread {
        Spread::Share(share) => share * value.abs(),
        Spread::Amount(amount) => amount,
    });
    let deviations = deviations.collect();
    Some(Part { key, scale, range: doc.range, values, list, deviations })
}

/// What stands in the scheme at a dotted path, each with its own; `*` stands for every name.
fn written<'d>(root: &Section<'d>, path: &str) -> Vec<(String, &'d DeValue<'d>)> {
    let mut parts = path.split('.');
    let Some(first) = parts.next() else { return Vec::new() };
    let rest: Vec<&str> = parts.collect();
    let tops = root.entries.iter().filter(|entry| entry.name == first && first != TABLE);
    tops.flat_map(|entry| within(entry.name.to_owned(), entry.de, &rest)).collect()
}

fn within<'d>(path: String, de: &'d DeValue<'d>, rest: &[&str]) -> Vec<(String, &'d DeValue<'d>)> {
    match (rest.split_first(), de) {
        (None, DeValue::Table(_)) => Vec::new(),
        (None, value) => vec![(path, value)],
        (Some((first, rest)), DeValue::Table(table)) => {
            named(table, first).flat_map(|(name, de)| within(join(&path, name), de, rest)).collect()
        }
        _ => Vec::new(),
    }
}

fn named<'d>(table: &'d DeTable<'d>, wanted: &str) -> impl Iterator<Item = (&'d str, &'d DeValue<'d>)> {
    entries(table)
        .into_iter()
        .filter(move |entry| wanted == "*" || entry.name == wanted)
        .map(|entry| (entry.name, entry.de))
}
