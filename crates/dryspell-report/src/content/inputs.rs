//! Every input with where it comes from, what is taken for granted, cautions, how to make it again, room for names.

use dryspell::results::cautions;
use dryspell::units::{System, retold};

use super::{Matter, fact, heading};
use crate::inputs::Role;
use crate::model::{Align, Block, Span, Table, Text};
use crate::taken::granted;
use crate::values::{How, InputValue, values};

pub(super) fn inputs(m: &Matter<'_>) -> Vec<Block> {
    let all = values(m.run, m.scheme, m.text, m.inputs, m.system);
    let of = |how: How| -> Vec<&InputValue> { all.iter().filter(|value| value.how == how).collect() };
    let place: Vec<String> = of(How::File)
        .into_iter()
        .filter(|value| value.line.is_none())
        .map(|value| format!("{} {}", value.key, value.value))
        .collect();
    let fitted = of(How::Fitted).into_iter().map(|value| {
        let to = value.source.as_deref().unwrap_or_default();
        format!("{} to {to}: {}", value.key, value.value)
    });
    let gathered = [
        ("From the weather file", place),
        ("Fitted", fitted.collect()),
        ("Not given, by default", merged(&of(How::Default), m.system)),
        ("Not given, assumed", merged(&of(How::Assumed), m.system)),
        ("Assumptions", granted(m.run, m.system)),
    ];
    let rest = gathered.into_iter().filter(|(_, list)| !list.is_empty());
    let rest = rest.fold(Text::default(), |text, (name, list)| {
        text.then_strong(name).then(format!(": {}. ", list.join("; ")))
    });
    vec![heading("Inputs and their sources"), Block::Table(given(m, &all)), Block::Fine(rest)]
}

/// Parts of a scheme as one speaks of them, with the tables that belong to each.
const PARTS: [(&str, &[&str]); 7] = [
    ("place", &["", "weather", "site", "snow"]),
    ("panels", &["array", "coupling"]),
    ("well, pump, pipe", &["well", "pump", "pipe", "lift"]),
    ("stock", &["herd", "extra", "garden"]),
    ("tank", &["tank", "inflow", "backup"]),
    ("delivery", &["delivery", "hydrant", "booster"]),
    ("frost, rules", &["frost", "rules", "goal", "ageing", "price", "what_if"]),
];

/// What stands in the scheme: a row for each part of it, each table with its lines, each value with its source where one is
/// told.
fn given(m: &Matter<'_>, all: &[InputValue]) -> Table {
    let own: Vec<&InputValue> = all.iter().filter(|value| value.line.is_some()).collect();
    let first = |value: &InputValue| value.table().split('.').next().unwrap_or_default().to_owned();
    let rows = PARTS.iter().flat_map(|(part, tables)| {
        let values: Vec<&InputValue> =
            own.iter().copied().filter(|value| tables.contains(&first(value).as_str())).collect();
        let text = values
            .chunk_by(|a, b| a.table() == b.table())
            .fold(Text::default(), |text, values| of_table(m, values, text));
        cut(text).into_iter().map(|text| vec![Text::from(*part), text])
    });
    let title = format!("given in {}, as written; in brackets lines of the file and sources", m.file);
    Table {
        title: String::new(),
        columns: ["part".to_owned(), title].map(|name| (name, Align::Left)).to_vec(),
        rows: rows.collect(),
        note: String::new(),
    }
}

/// Text in pieces of which a page holds one, cut between words: a row of a table is never torn.
fn cut(text: Text) -> Vec<Text> {
    /// Letters of a piece: a page has room for twice as many.
    const MOST: usize = 3000;
    let (mut pieces, mut piece, mut length) = (Vec::new(), Text::default(), 0);
    for span in text.0 {
        let mut part = String::new();
        for word in span.text.split_inclusive(' ') {
            if length + word.len() > MOST && length > 0 {
                piece.0.push(Span { text: std::mem::take(&mut part), strong: span.strong });
                pieces.push(std::mem::take(&mut piece));
                length = 0;
            }
            length += word.len();
            part.push_str(word);
        }
        piece.0.push(Span { text: part, strong: span.strong });
    }
    if length > 0 {
        pieces.push(piece);
    }
    pieces
}

/// The values of a table after those of others.
fn of_table(m: &Matter<'_>, values: &[&InputValue], text: Text) -> Text {
    let sources = &m.scheme.sources;
    let (Some(first), Some(last)) = (values.first(), values.last()) else { return text };
    let lines = match (first.line, last.line) {
        (Some(first), Some(last)) if first != last => format!("{first}–{last}"),
        (line, _) => line.map(|line| line.to_string()).unwrap_or_default(),
    };
    let table = first.table();
    let source = sources.of(table).map(|source| format!(", {source}")).unwrap_or_default();
    let label = if table.is_empty() { "scheme".to_owned() } else { table.replace('.', " ") };
    let text = text.then_strong(label).then(format!(" [{lines}{source}]: "));
    let told: Vec<String> = values
        .iter()
        .map(|value| {
            let source = sources.own(&value.key).map(|source| format!(" [{source}]")).unwrap_or_default();
            format!("{} {}{source}", value.name(), value.value)
        })
        .collect();
    text.then(format!("{}. ", told.join("; ")))
}

/// Defaults in words; those of alike keys with one value and one reason are told once.
fn merged(defaults: &[&InputValue], system: System) -> Vec<String> {
    let mut told: Vec<(&InputValue, Vec<&str>)> = Vec::new();
    // Nothing of something changes nothing, and units of the pages are seen on them.
    let counts = |default: &&&InputValue| !default.value.starts_with("0 ") && default.key != "units";
    for default in defaults.iter().filter(counts) {
        let alike = |(first, _): &&mut (&InputValue, Vec<&str>)| {
            first.value == default.value && first.source == default.source && first.name() == default.name()
        };
        match told.iter_mut().find(alike) {
            Some((_, keys)) => keys.push(&default.key),
            None => told.push((default, vec![&default.key])),
        }
    }
    let one = |(d, keys): (&InputValue, Vec<&str>)| {
        let [value, why] =
            [d.value.as_str(), d.source.as_deref().unwrap_or_default()].map(|text| retold(text, system));
        format!("{} {value} ({why})", keys.join(", "))
    };
    told.into_iter().map(one).collect()
}

pub(super) fn end(m: &Matter<'_>) -> Vec<Block> {
    let mut again = vec![
        fact("made by", format!("dryspell {}", env!("CARGO_PKG_VERSION"))),
        fact("scheme", format!("{}, SHA-256 {}", m.file, m.inputs.scheme_sha256())),
    ];
    if !m.changed.is_empty() {
        again.push(fact("changed in it", m.changed.join("; ")));
    }
    for (file, hash) in m.run.source.files.iter().zip(m.inputs.weather_sha256()) {
        again.push(fact("weather", format!("{file}, SHA-256 {hash}")));
    }
    for table in m.inputs.of(Role::Table) {
        again.push(fact("table", format!("{}, SHA-256 {}", table.name, table.sha256)));
    }
    again.push(fact("attached", "scheme, tables, results, to work the figures again"));
    let blanks = ["Prepared by, date", "Reviewed by, date"].map(str::to_owned).to_vec();
    vec![Block::Beside(vec![
        vec![heading("Cautions"), Block::List(cautions(m.system).map(Into::into).collect())],
        vec![heading("Reproduction and sign-off"), Block::Facts(again), Block::Blanks(blanks)],
    ])]
}

#[cfg(test)]
mod tests {
    use dryspell::scheme::keys::{ABOUT_VALUES, SECTIONS};

    use super::*;

    #[test]
    fn every_table_of_a_scheme_belongs_to_one_part() {
        for section in SECTIONS.iter().filter(|section| !ABOUT_VALUES.contains(&section.path)) {
            let first = section.path.split('.').next().unwrap();
            let parts = PARTS.iter().filter(|(_, tables)| tables.contains(&first)).count();
            assert_eq!(parts, 1, "{}", section.path);
        }
    }

    #[test]
    fn a_long_text_is_cut_between_words_and_loses_none() {
        let long = "(20 m, 45 W, 2.5 L/min), ".repeat(400);
        let text = Text::strong("pump ").then(long.clone());
        let pieces = cut(text);
        assert_eq!(pieces.len(), 4);
        let all: String = pieces.iter().flat_map(|piece| &piece.0).map(|span| span.text.as_str()).collect();
        assert_eq!(all, format!("pump {long}"));
        assert!(pieces[0].0[0].strong && !pieces[1].0[0].strong);
        assert_eq!(cut(Text::default()), Vec::<Text>::new());
    }
}
