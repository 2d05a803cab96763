//! A year is a ring: where it is begun, and how often it is given, changes nothing.

use dryspell::calendar::{Calendar, HOURS_PER_DAY};
use dryspell::reliability::storage::CriticalSpell;
use dryspell::simulate::Run;

use super::{Outcome, held, refused};
use crate::case::{Bench, Case};
use crate::compare::{STEP_M3, columns_differ};
use crate::random::Random;
use crate::schemes::weather::for_each_column;

/// The record turned so that it begins with another month.
pub fn rotated(case: &Case, r: &mut Random, bench: &Bench) -> Outcome {
    if !case.one_year() {
        return Outcome::NotHere;
    }
    let days = case.record.calendar.days();
    let month = 1 + r.below(12);
    let Some(first) =
        days.iter().position(|d| usize::from(d.month) == month && d.day == 1).filter(|d| *d > 0)
    else {
        return Outcome::NotHere;
    };
    let mut record = case.record.as_ref().clone();
    let minute = record.calendar.start_minute_of_day(0) as i8;
    let mut turned = days.to_vec();
    turned.rotate_left(first);
    record.calendar = Calendar::new(turned, minute);
    for_each_column(&mut record, |column| column.rotate_left(first * HOURS_PER_DAY));
    let other = match bench.run_on(&case.draft, record) {
        Ok(other) => other,
        Err(faults) => return refused(&faults),
    };
    // Turned back, the columns are the same; so are all figures.
    let back = |column: &[f64]| {
        let mut column = column.to_vec();
        column.rotate_right(first * HOURS_PER_DAY);
        column
    };
    let (a, b) = (&case.run.flows, &other.run.flows);
    let mut found: Vec<String> = [
        ("available", &a.available_m3, &b.available_m3),
        ("requested", &a.requested_m3, &b.requested_m3),
        ("garden", &a.garden_m3, &b.garden_m3),
        ("evaporation", &a.evaporation_m3, &b.evaporation_m3),
        ("leak", &a.leak_m3, &b.leak_m3),
    ]
    .into_iter()
    .filter_map(|(name, a, b)| columns_differ(name, a, &back(b), super::apart_m3(case, name)))
    .collect();
    if found.is_empty() && case.run.outcome.settled && other.run.outcome.settled {
        found = super::differences(&super::figures(&case.run), &super::figures(&other.run), &allowed(case));
        if case.run.storage.missing_m3 <= 0.0 {
            found.extend(other_spell(&case.run, &other.run, first * HOURS_PER_DAY));
        }
    }
    held(found)
}

/// The critical spell of a record turned by some hours, where it needs another volume in the record as it was.
fn other_spell(run: &Run, turned: &Run, by: usize) -> Option<String> {
    let flows = run.requests.with_demand(&run.flows);
    let n = flows.hours();
    // Demand less what is available, from the spell's first hour to its deepest one.
    let needs_m3 = |spell: CriticalSpell, by: usize| -> f64 {
        let (began, deepest) = ((spell.began + by) % n, (spell.deepest + by) % n);
        let length = (deepest + n - began) % n;
        (began..=began + length).map(|h| flows.requested_m3[h % n] - flows.available_m3[h % n]).sum()
    };
    let (here, there) = match (run.storage.critical, turned.storage.critical) {
        (None, None) => return None,
        (Some(here), Some(there)) => (needs_m3(here, 0), needs_m3(there, by)),
        (here, there) => return Some(format!("critical spell {here:?} against {there:?}")),
    };
    let alike = (here - there).abs() <= 2.0 * STEP_M3 * n as f64;
    (!alike).then(|| format!("the critical spell needs {here} m3, that of the turned year {there} m3 here"))
}

/// What hangs on the record's own beginning.
fn allowed(case: &Case) -> super::Allow {
    let mut allow = super::Allow::grid(&case.run).skipping(&[
        "ledger_residual",
        "passes",
        // Of two months as often full, two hours that flow alike, two days as short, the record's first is taken.
        "tank_year_starts",
        "years",
        "design_point",
        "worst_day",
        "haul_by_day",
        // Likewise of two spells that need as much water: see `other_spell`.
        "critical_spell.began",
        "critical_spell.deepest",
        "critical_spell.refilled",
        // The level at the record's own beginning.
        "start_m3",
        "end_m3",
    ]);
    // A year that lacks water is never full again: its critical spell begins with the record.
    if case.run.storage.missing_m3 > 0.0 {
        allow = allow.skipping(&["critical_spell", "panels_covered"]);
    }
    if case.has_band() { allow.skipping(super::OF_THE_TANK) } else { allow }
}

/// A record of two equal years: its second is the settled one.
pub fn twice(case: &Case, _: &mut Random, bench: &Bench) -> Outcome {
    let run = &case.run;
    if !case.one_year() || !run.outcome.settled || run.outcome.passes.is_none_or(|p| p > 2) {
        return Outcome::NotHere;
    }
    let mut record = case.record.as_ref().clone();
    let minute = record.calendar.start_minute_of_day(0) as i8;
    let hours = record.hours();
    record.calendar = Calendar::new(record.calendar.days().repeat(2), minute);
    for_each_column(&mut record, |column| column.extend_from_within(..));
    let other = match bench.run_on(&case.draft, record) {
        Ok(other) => other,
        Err(faults) => return refused(&faults),
    };
    let (a, b) = (&run.flows, &other.run.flows);
    let mut found: Vec<String> = [
        ("available", &a.available_m3, &b.available_m3),
        ("requested", &a.requested_m3, &b.requested_m3),
        ("garden", &a.garden_m3, &b.garden_m3),
        ("evaporation", &a.evaporation_m3, &b.evaporation_m3),
        ("leak", &a.leak_m3, &b.leak_m3),
    ]
    .into_iter()
    .filter_map(|(name, a, b)| columns_differ(name, a, &b[hours..], super::apart_m3(case, name)))
    .collect();
    if !case.has_band() {
        let level = |run: &Run| run.hours.iter().map(|h| h.level_m3[0]).collect::<Vec<f64>>();
        let short = |run: &Run| run.hours.iter().map(|h| h.short_m3[0]).collect::<Vec<f64>>();
        let apart = STEP_M3 * hours as f64;
        found.extend(columns_differ("level", &level(run), &level(&other.run)[hours..], apart));
        found.extend(columns_differ("short", &short(run), &short(&other.run)[hours..], apart));
    }
    held(found)
}
