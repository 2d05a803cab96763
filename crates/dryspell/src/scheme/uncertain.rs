//! How sure the writer is of his values: `[uncertain]`.

use toml::de::DeValue;

use super::keys::{ABOUT_VALUES, KeyDoc, fits, of_path};
use super::reader::{Reader, Section, described};
use super::section::{Entry, leaves};
use super::sources::{lines_about, stands_there};
use crate::fault::{FaultKind, quoted};
use crate::uncertain::{Part, Scale, Unknown};

/// Name of the table.
const TABLE: &str = "uncertain";

/// An example of a line.
const EXAMPLE: &str = r#""herd.cows.count" = "10 %""#;

const ACCEPTED: &str = "one standard deviation: a share of the value such as \"10 %\", or an amount with its unit such as \"2 m\"";

/// Reads the table, after all others.
pub(super) fn uncertain(r: &mut Reader<'_>, root: &Section<'_>) -> Vec<Unknown> {
    let mut found: Vec<Unknown> = Vec::new();
    for (path, entry) in lines_about(r, root, TABLE, "a table of deviations", EXAMPLE) {
        let Some(unknown) = line(r, root, &path, &entry) else { continue };
        if found.iter().any(|before| before.name == unknown.name) {
            let place = format!("{TABLE}.{}", quoted(&path));
            let (found, way_out) = ("a second deviation of the same value", "keep one of the two lines");
            let accepted = "one deviation for each value";
            r.fault(&place, Some(entry.key_at), FaultKind::Contradiction, found, accepted, way_out);
            continue;
        }
        found.push(unknown);
    }
    found
}

/// One line; its faults are noted.
fn line(r: &mut Reader<'_>, root: &Section<'_>, path: &str, entry: &Entry<'_>) -> Option<Unknown> {
    let place = format!("{TABLE}.{}", quoted(path));
    let written = written(root, path);
    if written.is_empty() {
        if stands_there(r, TABLE, path, entry.key_at) {
            let (found, accepted) =
                (format!("{path} is a table"), "a key that holds one number, or one for each month");
            r.fault(
                &place,
                Some(entry.key_at),
                FaultKind::WrongType,
                found,
                accepted,
                "name one of its keys",
            );
        }
        return None;
    }
    let Some((doc, scale)) = of_path(path).and_then(|doc| Some((doc, Part::scale(doc)?))) else {
        let found = format!("{path} holds no number");
        let accepted = "a key that holds one number, or one for each month";
        r.fault(&place, Some(entry.key_at), FaultKind::WrongType, found, accepted, "remove the line");
        return None;
    };
    let text = match entry.de {
        DeValue::String(text) => text.trim().to_owned(),
        DeValue::Integer(number) => number.as_str().to_owned(),
        DeValue::Float(number) => number.as_str().to_owned(),
        other => {
            let way_out = format!("write it like {EXAMPLE}");
            r.fault(&place, Some(entry.at), FaultKind::WrongType, described(other), ACCEPTED, way_out);
            return None;
        }
    };
    let Some(spread) = Spread::read(&text, scale) else {
        let way_out = format!("write it like {EXAMPLE}");
        r.fault(&place, Some(entry.at), FaultKind::OutOfRange, quoted(&text), ACCEPTED, way_out);
        return None;
    };
    // What stands there and cannot be read has its own fault.
    let parts: Option<Vec<Part>> =
        written.into_iter().map(|(key, value)| part(key, value, (doc, scale), spread)).collect();
    let parts = parts?;
    if parts.iter().flat_map(|part| &part.deviations).all(|deviation| *deviation == 0.0) {
        let way_out = "give an amount with its unit";
        let found = format!("a share of {path}, which is 0");
        r.fault(&place, Some(entry.at), FaultKind::OutOfRange, found, ACCEPTED, way_out);
        return None;
    }
    Some(Unknown::new(path.to_owned(), parts))
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
    let top = path.split('.').next().filter(|top| !ABOUT_VALUES.contains(top));
    let Some(entry) = top.and_then(|top| root.entries.iter().find(|entry| entry.name == top)) else {
        return Vec::new();
    };
    match entry.de {
        DeValue::Table(table) => leaves(entry.name, table)
            .into_iter()
            .filter(|(leaf, _)| fits(path, leaf))
            .map(|(leaf, entry)| (leaf, entry.de))
            .collect(),
        value if entry.name == path => vec![(path.to_owned(), value)],
        _ => Vec::new(),
    }
}
