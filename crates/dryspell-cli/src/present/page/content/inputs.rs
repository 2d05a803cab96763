//! Every input with where it comes from, what is taken for granted, cautions, how to make it again, room for names.

use dryspell::results::CAUTIONS;
use dryspell::scheme::written;

use super::super::model::{Block, Text};
use super::{Matter, fact, heading};
use crate::present::taken::granted;

pub(super) fn inputs(m: &Matter<'_>) -> Vec<Block> {
    let given = written(m.text)
        .into_iter()
        .map(|table| {
            let values: Vec<String> =
                table.values.into_iter().map(|(key, value)| format!("{key} {value}")).collect();
            let name = if table.table.is_empty() { "(top)".to_owned() } else { table.table };
            (name, Text::from(values.join("; ")))
        })
        .collect();
    let defaults: Vec<String> =
        m.scheme.defaults_used.iter().map(|d| format!("{} {} ({})", d.key, d.value, d.why)).collect();
    vec![
        heading("Every input and where it comes from"),
        Block::Paragraph(Text::strong("Given").then(format!(" in the scheme file {}, as written:", m.file))),
        Block::Facts(given),
        Block::Paragraph(Text::strong("Not given, and taken by default").then(format!(
            ": {}.",
            if defaults.is_empty() { "nothing".to_owned() } else { defaults.join("; ") }
        ))),
        Block::Paragraph(Text::strong("Taken for granted").then(format!(": {}.", granted(m.run).join("; ")))),
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
        heading("To make it again"),
        Block::Facts(again),
        Block::Blanks(["Prepared by", "Date", "Reviewed by", "Date of review"].map(str::to_owned).to_vec()),
    ]
}
