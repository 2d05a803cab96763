//! Every input with where it comes from, what is taken for granted, cautions, how to make it again, room for names.

use dryspell::results::CAUTIONS;
use dryspell::scheme::written;

use super::super::model::{Block, Text};
use super::{Matter, fact, heading};
use crate::present::taken::granted;

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
    let defaults: Vec<String> =
        m.scheme.defaults_used.iter().map(|d| format!("{} {} ({})", d.key, d.value, d.why)).collect();
    let defaults = if defaults.is_empty() { "nothing".to_owned() } else { defaults.join("; ") };
    vec![
        heading("Every input and where it comes from"),
        Block::Fine(given),
        Block::Fine(Text::strong("Not given, and taken by default").then(format!(": {defaults}."))),
        Block::Fine(Text::strong("Taken for granted").then(format!(": {}.", granted(m.run).join("; ")))),
    ]
}

pub(super) fn end(m: &Matter<'_>) -> Vec<Block> {
    let mut again = vec![
        fact("command", m.command),
        fact("program", format!("dryspell {}", env!("CARGO_PKG_VERSION"))),
        fact("scheme", format!("{}, SHA-256 {}", m.file, m.scheme_sha256)),
    ];
    for (file, hash) in m.run.source.files.iter().zip(m.weather_sha256) {
        again.push(fact("weather", format!("{file}, SHA-256 {hash}")));
    }
    vec![
        heading("Cautions"),
        Block::List(CAUTIONS.iter().map(|text| (*text).into()).collect()),
        heading("To make it again, and by whom"),
        Block::Beside(vec![
            vec![Block::Facts(again)],
            vec![Block::Blanks(
                ["Prepared by", "Date", "Reviewed by", "Date of review"].map(str::to_owned).to_vec(),
            )],
        ]),
    ]
}
