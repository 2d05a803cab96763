//! What questions say of keys, and how answers are compared.

use dryspell::scheme::keys::{KeyDoc, Presence, of_path};
use dryspell::units::System;

/// A word as the reader of schemes compares it.
pub(super) fn folded(word: &str) -> String {
    word.trim().to_lowercase().replace(['_', '-'], " ")
}

/// What Enter means for a key that the starter leaves out.
pub(super) fn left_out(key: &str) -> String {
    match of_path(key).map(|doc| doc.presence) {
        Some(Presence::Default { literal, .. }) => literal.trim_matches('"').to_owned(),
        Some(Presence::Free { note }) => format!("leave out: {note}"),
        Some(Presence::Without { means, .. }) => format!("leave out: {means}"),
        Some(Presence::Needed) | None => "leave out".to_owned(),
    }
}

/// What the list of keys says of a key, and what it is for.
pub(super) fn more(key: &str, why: &str) -> String {
    let Some(KeyDoc { meaning, kind, range, example, .. }) = of_path(key) else { return why.to_owned() };
    let range = range.text(*kind, System::Si);
    let range = if range.is_empty() { range } else { format!("; {range}") };
    format!("{key}: {meaning}; {}{range}; such as {example}; {why}", kind.words().replace('`', ""))
}

/// A float a little below the top, in the user's unit.
pub(super) fn nearly(full: &str) -> String {
    let at = full.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(full.len());
    let (number, unit) = full.split_at(at);
    number
        .parse::<f64>()
        .map_or_else(|_| full.to_owned(), |n| format!("{} {}", (n * 95.0).round() / 100.0, unit.trim()))
}
