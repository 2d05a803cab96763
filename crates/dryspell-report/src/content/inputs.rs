//! Every input with where it comes from, what is taken for granted, cautions, how to make it again, room for names.

use dryspell::results::cautions;
use dryspell::scheme::{DefaultUsed, written};
use dryspell::units::{System, retold};

use super::{Matter, fact, heading};
use crate::inputs::Role;
use crate::model::{Block, Text};
use crate::taken::granted;

pub(super) fn inputs(m: &Matter<'_>) -> Vec<Block> {
    let mut given = Text::strong("Given").then(format!(" in the scheme file {}, as written. ", m.file));
    for table in written(m.text) {
        let values: Vec<String> =
            table.values.into_iter().map(|(key, value)| format!("{key} {value}")).collect();
        if !table.table.is_empty() {
            given = given.then_strong(format!("{}: ", table.table));
        }
        given = given.then(format!("{}. ", values.join("; ")));
    }
    let defaults = merged(&m.scheme.defaults_used, m.system);
    let defaults = if defaults.is_empty() { "nothing".to_owned() } else { defaults.join("; ") };
    vec![
        heading("Inputs and their sources"),
        Block::Fine(given),
        Block::Fine(Text::strong("Not given, defaults used").then(format!(": {defaults}."))),
        Block::Fine(Text::strong("Assumptions").then(format!(": {}.", granted(m.run, m.system).join("; ")))),
    ]
}

/// Defaults in words; those of alike keys with one value and one reason are told once.
fn merged(defaults: &[DefaultUsed], system: System) -> Vec<String> {
    let leaf = |d: &DefaultUsed| d.key.rsplit('.').next().map(str::to_owned);
    let mut told: Vec<(&DefaultUsed, Vec<&str>)> = Vec::new();
    for default in defaults {
        let alike = |(first, _): &&mut (&DefaultUsed, Vec<&str>)| {
            first.value == default.value && first.why == default.why && leaf(first) == leaf(default)
        };
        match told.iter_mut().find(alike) {
            Some((_, keys)) => keys.push(&default.key),
            None => told.push((default, vec![&default.key])),
        }
    }
    told.into_iter()
        .map(|(d, keys)| {
            let [value, why] = [&d.value, &d.why].map(|text| retold(text, system));
            format!("{} {value} ({why})", keys.join(", "))
        })
        .collect()
}

pub(super) fn end(m: &Matter<'_>) -> Vec<Block> {
    let mut again = vec![
        fact("command", format!("{} (version {})", m.command, env!("CARGO_PKG_VERSION"))),
        fact("scheme", format!("{}, SHA-256 {}", m.file, m.inputs.scheme_sha256())),
    ];
    for (file, hash) in m.run.source.files.iter().zip(m.inputs.weather_sha256()) {
        again.push(fact("weather", format!("{file}, SHA-256 {hash}")));
    }
    for table in m.inputs.of(Role::Table) {
        again.push(fact("table", format!("{}, SHA-256 {}", table.name, table.sha256)));
    }
    let blanks = |names: [&str; 2]| vec![Block::Blanks(names.map(str::to_owned).to_vec())];
    vec![
        heading("Cautions"),
        Block::List(cautions(m.system).map(Into::into).collect()),
        heading("Reproduction and sign-off"),
        Block::Facts(again),
        Block::Beside(vec![blanks(["Prepared by", "Date"]), blanks(["Reviewed by", "Date of review"])]),
    ]
}
