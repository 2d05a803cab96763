//! What was tried beside the run: what mends a scheme that goes short, what breaks one that does not.

use super::{Matter, numbers};
use crate::bearing;
use crate::mends;
use crate::model::Block;

/// Changes that are shown on paper.
const MOST_MENDS: usize = 6;

/// Single changes that mend it; nothing where it needs none.
pub(super) fn mending(m: &Matter<'_>) -> Option<Block> {
    let told = mends::told(m.run, &m.tried.mends, MOST_MENDS)?;
    let mut rows = told.rows.into_iter();
    let columns = rows.next()?;
    let note: String = told.notes.iter().map(|note| format!("{}. ", capital(note))).collect();
    Some(numbers(
        "What mends it: one change at a time, each a run of its own",
        &columns,
        rows.collect(),
        note.trim_end(),
    ))
}

/// What it bears; nothing where it is broken as it stands.
pub(super) fn bearing(m: &Matter<'_>) -> Option<Block> {
    let found = m.tried.bearing.as_ref().filter(|found| !found.broken)?;
    let broken = if m.run.plan.goal.is_some() { "breaks the goal" } else { "leaves a day short" };
    let rows = bearing::rows(found, m.run, m.system).into_iter().map(Vec::from).collect();
    let title = format!("What breaks it first: the least of each, by itself, that {broken}");
    Some(numbers(&title, &bearing::COLUMNS.map(str::to_owned), rows, &bearing::ageing(found, m.run)))
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().into_iter().flat_map(char::to_uppercase).chain(letters).collect()
}
