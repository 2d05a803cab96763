//! How sure the result is, and what one thing changed does.

use dryspell::sensitivity::Line;

use super::{Matter, days, fact, heading, numbers};
use crate::model::{Block, Text};

pub(super) fn odds(m: &Matter<'_>) -> Vec<Block> {
    let mut blocks =
        vec![heading("How certain this is"), Block::Paragraph(Text::strong(m.odds.answer.clone()))];
    // The figures of a single year stand above.
    if !m.odds.lines.is_empty() && m.run.outcome.years.len() > 1 {
        blocks
            .push(Block::Facts(m.odds.lines.iter().map(|(name, text)| fact(name, text.as_str())).collect()));
    }
    blocks.push(Block::List(m.odds.limits.iter().map(|text| text.as_str().into()).collect()));
    blocks
}

pub(super) fn sensitivity(m: &Matter<'_>) -> Vec<Block> {
    let row = |line: &Line| {
        vec![
            line.what.clone(),
            line.days.map_or_else(|| "-".to_owned(), days),
            line.autonomy_days.map_or_else(|| "-".to_owned(), |d| format!("{d:.1}")),
        ]
    };
    let columns = ["days", "short a year", "tank lasts"].map(str::to_owned);
    // What changes nothing is told in a line: a table of noughts hides what counts. What the pump's table leaves open is always told.
    let stands = m.sensitivity.first();
    let counts = |line: &&Line| {
        stands.is_none_or(|stands| (line.days, line.autonomy_days) != (stands.days, stands.autonomy_days))
            || line.what.starts_with("pump:")
            || stands.is_some_and(|stands| stands == *line)
    };
    let (told, alike): (Vec<&Line>, Vec<&Line>) = m.sensitivity.iter().partition(counts);
    let (left, right) = told.split_at(told.len().div_ceil(2));
    let half = |title: &str, lines: &[&Line]| {
        numbers(title, &columns, lines.iter().map(|line| row(line)).collect(), "")
    };
    let mut notes: Vec<String> = m
        .sensitivity
        .iter()
        .filter_map(|line| line.note.as_ref().map(|note| format!("{}: {note}.", line.what)))
        .collect();
    if !alike.is_empty() {
        let names: Vec<&str> = alike.iter().map(|line| line.what.as_str()).collect();
        notes.insert(0, format!("As it stands, too, with: {}.", names.join("; ")));
    }
    if !m.run.covered.is_empty() {
        notes.push(
            "Snow cases begin with the critical spell: on other dates the same snow may cost more days."
                .to_owned(),
        );
    }
    if !m.run.calendar.is_one_year() {
        let years = m.run.calendar.years();
        notes.push(format!(
            "Days short a year: those of the record over its {years:.1} years, incomplete tank years included."
        ));
    }
    let halves = vec![vec![half("One change at a time", left)], vec![half("continued", right)]];
    let mut blocks = vec![Block::Beside(halves)];
    if !notes.is_empty() {
        blocks.push(Block::Fine(notes.join(" ").into()));
    }
    blocks
}
