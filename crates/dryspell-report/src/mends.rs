//! What would mend a scheme, as the terminal and the document show it.

use std::fmt::Write;

use dryspell::mends::{Mend, mend};
use dryspell::simulate::Run;

use crate::layout::{table, wrap_to};

/// Changes that are shown.
const MOST_SHOWN: usize = 10;

/// The list of changes with the days of shortfall and of a full tank after each; empty where there is none.
#[must_use]
pub fn mends(run: &Run, mends: &[Mend]) -> String {
    let mut out = String::new();
    let Some(told) = told(run, mends, MOST_SHOWN) else { return out };
    let _ = writeln!(out, "WHAT MENDS IT  one change at a time, each a run of its own");
    let rows: Vec<Vec<String>> = [told.head, told.stands].into_iter().chain(told.gains).collect();
    table(&mut out, &rows);
    for line in told.notes {
        wrap_to(&mut out, "  ", "    ", &line);
    }
    out
}

/// The changes that gain something.
pub(crate) struct Told {
    /// Titles of the columns.
    pub(crate) head: Vec<String>,
    /// The scheme as it stands.
    pub(crate) stands: Vec<String>,
    /// A row for each change.
    pub(crate) gains: Vec<Vec<String>>,
    /// What is not shown, and what gains nothing.
    pub(crate) notes: Vec<String>,
}

/// The changes that gain something, so many at most; `None` where none was tried.
pub(crate) fn told(run: &Run, mends: &[Mend], most: usize) -> Option<Told> {
    if mends.is_empty() {
        return None;
    }
    let years = run.calendar.years();
    let stands = mend("as it stands".to_owned(), None, run);
    let meets = |mend: &Mend| stands.goal_met == Some(false) && mend.goal_met == Some(true);
    let (gain, none): (Vec<&Mend>, Vec<&Mend>) =
        mends.iter().partition(|mend| mend.days < stands.days || meets(mend));
    let priced = gain.iter().any(|mend| mend.cost.is_some());
    let mut head = vec!["", if years > 1.0 { "short a year" } else { "days short" }, "full tank lasts"];
    if stands.goal_met.is_some() {
        head.push("goal");
    }
    if priced {
        head.extend(["cost", "a day less"]);
    }
    let row = |mend: &Mend| {
        let days = if years > 1.0 { format!("{:.1}", mend.days) } else { format!("{:.0}", mend.days) };
        let lasts = mend.autonomy_days.map_or_else(|| "-".to_owned(), |days| format!("{days:.1} days"));
        let mut cells = vec![mend.what.clone(), days, lasts];
        if let Some(met) = mend.goal_met {
            cells.push(if met { "MET" } else { "NOT MET" }.to_owned());
        }
        if priced {
            let money = |cost: Option<f64>| cost.map_or_else(|| "-".to_owned(), |cost| format!("{cost:.0}"));
            cells.extend([money(mend.cost), money(mend.cost_per_day(&stands))]);
        }
        cells
    };
    let mut notes = Vec::new();
    if gain.len() > most {
        notes.push(format!("and {} more", gain.len() - most));
    }
    if !none.is_empty() {
        let names: Vec<&str> = none.iter().map(|mend| mend.what.as_str()).collect();
        notes.push(format!("gains no day: {}", names.join("; ")));
    }
    Some(Told {
        head: head.into_iter().map(str::to_owned).collect(),
        stands: row(&stands),
        gains: gain.iter().copied().take(most).map(row).collect(),
        notes,
    })
}
