//! Faults of TOML's syntax.

use super::lines::Lines;
use crate::fault::{Fault, FaultKind, Location, quoted};

/// One fault a line: what follows the first on a line is mostly its consequence.
pub(super) fn faults(text: &str, errors: &[toml::de::Error]) -> Vec<Fault> {
    /// Most faults listed; a text that is no TOML at all has one on every line.
    const MOST: usize = 20;
    let lines = Lines::new(text);
    let mut faults: Vec<Fault> = errors.iter().map(|e| fault(text, &lines, e)).collect();
    faults.sort_by_key(|f| (f.location.line, f.location.column));
    faults.dedup_by_key(|f| f.location.line);
    faults.truncate(MOST);
    faults
}

fn fault(text: &str, lines: &Lines<'_>, error: &toml::de::Error) -> Fault {
    let mut location = Location::default();
    let mut there = String::new();
    if let Some(span) = error.span() {
        let (line, column) = lines.place(span.start);
        location.line = Some(line);
        location.column = Some(column);
        if let Some(part) = text.get(span).filter(|t| !t.trim().is_empty()) {
            there = format!(" at {}", quoted(part.trim()));
        }
    }
    let message: String = error.message().chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    let (what, expected) = message.split_once(", expected ").unwrap_or((&message, ""));
    let way_out = match what {
        "string values must be quoted" => "put the value in quotes",
        "duplicate key" => "remove one of the two, or rename it",
        _ => "correct this line; other faults show once the file is valid TOML",
    };
    Fault {
        location,
        kind: FaultKind::Syntax,
        found: format!("not TOML: {what}{there}"),
        accepted: match expected {
            "" | "nothing" => "a line such as: key = \"value\"".to_string(),
            expected => format!("expected {expected}"),
        },
        way_out: way_out.to_string(),
    }
}
