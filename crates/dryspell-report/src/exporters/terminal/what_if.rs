//! The scheme's own questions.

use std::fmt::Write;

use dryspell::simulate::Run;

use crate::layout::{table, wrap_to};
use crate::report::Report;

/// A row for each; nothing where the scheme asks none.
pub(super) fn what_if(run: &Run, context: &Report<'_>) -> String {
    let mut out = String::new();
    let lines = &context.tried.what_if;
    if lines.is_empty() {
        return out;
    }
    let _ = writeln!(out, "WHAT IF  the scheme's own questions, each a run of its own");
    let short = if run.calendar.years() > 1.0 { "short a year" } else { "days short" };
    let head = ["", short, "full tank lasts"].map(str::to_owned).to_vec();
    let number = |value: Option<f64>| value.map_or_else(|| "-".to_owned(), |x| format!("{x:.1}"));
    let rows = lines.iter().map(|line| {
        let lasts = line.autonomy_days.map_or_else(|| "-".to_owned(), |days| format!("{days:.1} days"));
        vec![line.what.trim_start_matches("what if: ").to_owned(), number(line.days), lasts]
    });
    let rows: Vec<Vec<String>> = std::iter::once(head).chain(rows).collect();
    table(&mut out, &rows);
    for line in lines {
        if let Some(note) = &line.note {
            wrap_to(&mut out, "  ", "    ", &format!("{}: {note}", line.what));
        }
    }
    out
}
