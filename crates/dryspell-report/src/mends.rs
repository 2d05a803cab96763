//! What would mend a scheme, as the terminal shows it.

use std::fmt::Write;

use dryspell::mends::Mend;
use dryspell::simulate::Run;

use crate::layout::wrap_to;

/// Changes that are shown.
const MOST_SHOWN: usize = 10;

/// The list of changes with the days of shortfall and of a full tank after each; empty where there is none.
#[must_use]
pub fn mends(run: &Run, mends: &[Mend]) -> String {
    let mut out = String::new();
    if mends.is_empty() {
        return out;
    }
    let years = run.calendar.years();
    let stands = Mend {
        what: "as it stands".to_owned(),
        days: f64::from(run.outcome.counts.shortfall_days) / years,
        autonomy_days: run.full_tank.worst,
    };
    let (gain, none): (Vec<&Mend>, Vec<&Mend>) = mends.iter().partition(|mend| mend.days < stands.days);
    let shown = || std::iter::once(&stands).chain(gain.iter().copied().take(MOST_SHOWN));
    let wide = shown().map(|mend| mend.what.chars().count()).max().unwrap_or(0).max(30);
    let each = if years > 1.0 { "short a year" } else { "days short" };
    let _ = writeln!(out, "WHAT MENDS IT  one change at a time, each a run of its own");
    let _ = writeln!(out, "  {:wide$}  {each:>12}  full tank lasts", "");
    for mend in shown() {
        let days = if years > 1.0 { format!("{:.1}", mend.days) } else { format!("{:.0}", mend.days) };
        let lasts = mend.autonomy_days.map_or_else(|| "-".to_owned(), |days| format!("{days:.1} days"));
        let _ = writeln!(out, "  {:wide$}  {days:>12}  {lasts:>15}", mend.what);
    }
    if gain.len() > MOST_SHOWN {
        let _ = writeln!(out, "  and {} more that gain less", gain.len() - MOST_SHOWN);
    }
    if !none.is_empty() {
        let names: Vec<&str> = none.iter().map(|mend| mend.what.as_str()).collect();
        wrap_to(&mut out, "  ", "    ", &format!("gains no day: {}", names.join("; ")));
    }
    out
}
