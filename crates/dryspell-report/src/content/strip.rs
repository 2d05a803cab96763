//! The answer in one row.

use dryspell::stress::{Bearing, Kind};
use dryspell::units::{Quantity, counted};
use dryspell::worksheet::RULE_DAYS;

use super::Matter;
use crate::bearing;
use crate::mends;
use crate::model::{Align, Block, Table, Text};

/// Days short, dry years, levels, what the tank lasts, goal and rule; below it what breaks it first, or what mends it.
pub(super) fn strip(m: &Matter<'_>) -> Block {
    let run = m.run;
    let counts = &run.outcome.counts;
    let mut cells: Vec<(String, String)> = Vec::new();
    let mut cell = |head: &str, value: String| cells.push((head.to_owned(), value));
    let whole: Vec<_> = run.outcome.years.iter().filter(|(year, _)| year.whole).collect();
    // Of many years those that go short come first: a share of all days makes them small.
    if whole.len() > 1 {
        let dry = whole.iter().filter(|(_, counts)| counts.shortfall_days > 0).count();
        cell("dry years", format!("{dry} of {}", whole.len()));
    }
    cell("days short", format!("{} of {}", counts.shortfall_days, counts.stock_days));
    cell("lowest level", m.one(run.outcome.lowest_m3, Quantity::Volume));
    if let Some(service) = run.in_service {
        cell("in hand at the least", format!("{:.1} days", service.min));
    }
    if let Some(days) = run.full_tank.worst {
        cell(
            if run.tanks.is_empty() { "full tank lasts" } else { "full tanks last" },
            format!("{days:.1} days"),
        );
    }
    if let Some(goal) = run.goal() {
        cell("goal", goal.text().to_owned());
    }
    if let Some(days) = run.rule_sheet_storage_days() {
        let met = if days >= RULE_DAYS { "MET" } else { "NOT MET" };
        cell(&format!("{RULE_DAYS:.0} days' storage"), met.to_owned());
    }
    let (heads, values): (Vec<_>, Vec<_>) = cells.into_iter().unzip();
    Block::Table(Table {
        title: String::new(),
        columns: heads.into_iter().map(|head| (head, Align::Left)).collect(),
        rows: vec![values.into_iter().map(Text::strong).collect()],
        note: below(m).unwrap_or_default(),
    })
}

/// What breaks it first; of one that is broken what mends it.
fn below(m: &Matter<'_>) -> Option<String> {
    if let Some(found) = m.tried.bearing.as_ref().filter(|found| !found.broken) {
        return first(found, m).map(|first| format!("Breaks first, each by itself: {first}."));
    }
    let told = mends::told(m.run, &m.tried.mends, 1)?;
    let [what, days, ..] = told.gains.first()?.as_slice() else { return None };
    let years = if m.run.calendar.years() > 1.0 { " a year" } else { "" };
    let all = u32::try_from(m.tried.mends.len()).unwrap_or(u32::MAX);
    Some(format!("First of {} tried: {what}, then {days} days short{years}.", counted(all, "single change")))
}

/// What breaks it soonest: an outage, heads, sun, as far as each breaks it at all.
fn first(bearing: &Bearing, m: &Matter<'_>) -> Option<String> {
    let breaks = |kind: Kind| {
        let stress = bearing.stresses.iter().find(|stress| stress.kind == kind)?;
        stress.breaks_at?;
        let [what, breaks, _] = bearing::row(stress, m.run, m.system);
        Some(format!("{what}, {breaks}"))
    };
    let told: Vec<String> =
        [Kind::PumpOut, Kind::MoreHeads, Kind::LessSun].into_iter().filter_map(breaks).collect();
    (!told.is_empty()).then(|| told.join("; "))
}
