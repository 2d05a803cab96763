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
    let rows = std::iter::once(told.stands).chain(told.gains).collect();
    let note: String = told.notes.iter().map(|note| format!("{}. ", capital(note))).collect();
    Some(numbers(
        "What mends it: one change at a time, each a run of its own",
        &told.head,
        rows,
        note.trim_end(),
    ))
}

/// What it bears; nothing where it is broken as it stands.
pub(super) fn bearing(m: &Matter<'_>) -> Vec<Block> {
    let Some(found) = m.tried.bearing.as_ref().filter(|found| !found.broken) else { return Vec::new() };
    let broken = if m.run.plan.goal.is_some() { "breaks the goal" } else { "leaves a day short" };
    let rows: Vec<Vec<String>> = bearing::rows(found, m.run, m.system).into_iter().map(Vec::from).collect();
    let (left, right) = rows.split_at(rows.len().div_ceil(2));
    let columns = bearing::COLUMNS.map(str::to_owned);
    let half = |title: &str, rows: &[Vec<String>]| vec![numbers(title, &columns, rows.to_vec(), "")];
    let title = format!("What breaks it first: the least that {broken}");
    vec![
        Block::Beside(vec![half(&title, left), half("each by itself", right)]),
        Block::Fine(bearing::ageing(found, m.run).into()),
    ]
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().into_iter().flat_map(char::to_uppercase).chain(letters).collect()
}
