//! What breaks it first.

use std::fmt::Write;

use dryspell::simulate::Run;

use crate::bearing::{COLUMNS, ageing, rows};
use crate::layout::{table, wrap_to};
use crate::report::Report;

/// A row for each stress; a line where it is broken as it stands; nothing where none was tried.
pub(super) fn bearing(run: &Run, context: &Report<'_>) -> String {
    let Some(bearing) = &context.tried.bearing else { return String::new() };
    let goal = if run.plan.goal.is_some() { "breaks the goal" } else { "leaves a day short" };
    let mut out = String::new();
    if bearing.broken {
        let _ = writeln!(
            out,
            "WHAT BREAKS IT FIRST  nothing more is needed: it goes short, or misses its goal, as it stands"
        );
        return out;
    }
    let _ = writeln!(out, "WHAT BREAKS IT FIRST  the least of each, by itself, that {goal}");
    let head = COLUMNS.map(str::to_owned).to_vec();
    let rows: Vec<Vec<String>> =
        std::iter::once(head).chain(rows(bearing, run, context.system).into_iter().map(Vec::from)).collect();
    table(&mut out, &rows);
    wrap_to(&mut out, "  ", "  ", &ageing(bearing, run));
    out
}
