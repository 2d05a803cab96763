//! The spell that tries a scheme most, and the hours that led to it.

use crate::calendar::HOURS_PER_DAY;
use crate::simulate::Run;

/// Days of shortfall that follow each other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spell {
    /// Its first day, counted from 0.
    pub first_day: usize,
    /// How many days.
    pub days: usize,
    /// Water short on them, m³.
    pub short_m3: f64,
    /// Of it because the line was frozen; pump, pipe and trough were too small; the booster's battery was empty; the tank was
    /// empty, m³.
    pub by_cause_m3: [f64; 4],
}

/// From the hour after a full tank to its lowest level.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Window {
    /// First hour, counted from 0.
    pub first: usize,
    /// Hour at whose end the level is lowest: the last of the window.
    pub deepest: usize,
    /// How many hours; in a year that repeats the window may go round its end.
    pub length: usize,
    /// Whether the tank was full before the first hour; else the window begins after its highest level.
    pub from_full: bool,
}

impl Window {
    /// Its hours, in order.
    pub fn hours(self, run: &Run) -> impl Iterator<Item = usize> + use<> {
        let n = run.calendar.hours();
        (self.first..self.first + self.length).map(move |h| h % n)
    }
}

/// The spell with most water short; the earliest of those that are alike. In a year that repeats a spell may go round its end.
#[must_use]
pub fn spell(run: &Run) -> Option<Spell> {
    let days = &run.days;
    let n = days.len();
    let ring = run.repeats();
    // A ring is cut at a day without shortfall; where there is none all of it is one spell.
    let from = if ring { days.iter().position(|day| !day.shortfall).unwrap_or(0) } else { 0 };
    let mut worst: Option<Spell> = None;
    let mut now: Option<Spell> = None;
    for day in (from..from + n).map(|day| day % n) {
        if !days[day].shortfall {
            now = None;
            continue;
        }
        let spell =
            now.get_or_insert(Spell { first_day: day, days: 0, short_m3: 0.0, by_cause_m3: [0.0; 4] });
        spell.days += 1;
        spell.short_m3 += days[day].short_m3;
        let before = worst.map_or(0.0, |worst| worst.short_m3);
        let earlier = worst.is_some_and(|worst| spell.first_day < worst.first_day);
        // What the grid rounds away does not part two spells.
        if spell.short_m3 > before * (1.0 + 1e-9) || spell.short_m3 >= before * (1.0 - 1e-9) && earlier {
            worst = Some(*spell);
        }
    }
    worst.map(|spell| Spell { by_cause_m3: by_cause_m3(run, &spell), ..spell })
}

fn by_cause_m3(run: &Run, spell: &Spell) -> [f64; 4] {
    let n = run.calendar.hours();
    let first = spell.first_day * HOURS_PER_DAY;
    let hours = || (first..first + spell.days * HOURS_PER_DAY).map(|h| h % n);
    let mut causes = [0.0; 4];
    for hydrant in run.delivery.iter().flat_map(|delivery| &delivery.hydrants) {
        let columns = [&hydrant.short_frozen_m3, &hydrant.short_too_small_m3, &hydrant.short_battery_m3];
        for (cause, column) in causes.iter_mut().zip(columns) {
            *cause += hours().map(|h| column.get(h).copied().unwrap_or(0.0)).sum::<f64>();
        }
    }
    causes[3] = (spell.short_m3 - causes.iter().sum::<f64>()).max(0.0);
    causes
}

/// The spell with most water short and the hours from the last full tank to the lowest level in it; where none is short, or none
/// for want of water in the tank, the hours that led to the deepest hour of the critical spell, or else to the lowest level of all. `None` where
/// the tank is full there.
#[must_use]
pub fn window(run: &Run) -> Option<(Option<Spell>, Window)> {
    let n = run.calendar.hours();
    let spell = spell(run);
    let lowest = |hours: &mut dyn Iterator<Item = usize>| {
        hours.reduce(|best, h| if run.hours[h].level_m3[0] < run.hours[best].level_m3[0] { h } else { best })
    };
    let dry = spell.filter(|spell| spell.by_cause_m3[3] > 1e-3 * spell.short_m3);
    let deepest = match (dry, run.storage.critical) {
        (Some(spell), _) => {
            let first = spell.first_day * HOURS_PER_DAY;
            lowest(&mut (first..first + spell.days * HOURS_PER_DAY).map(|h| h % n))?
        }
        (None, Some(critical)) => critical.deepest,
        (None, None) => lowest(&mut (0..n))?,
    };
    let back = if run.repeats() { n } else { deepest + 1 };
    let before = (0..back).map(|step| (deepest + n - step) % n);
    let full = before.clone().position(|h| was_full(run, h));
    let length = full.unwrap_or_else(|| {
        // The latest hour of the highest level; it ends there, so the window begins after it.
        let highest = before.clone().map(|h| run.hours[h].level_m3[0]).fold(f64::NEG_INFINITY, f64::max);
        before.clone().position(|h| run.hours[h].level_m3[0] >= highest).unwrap_or(0)
    });
    let window = Window { first: (deepest + n + 1 - length) % n, deepest, length, from_full: full.is_some() };
    (length > 0).then_some((spell, window))
}

/// Whether the tank was full within an hour: at its end, or before its draw, where the float tripped or it ran over.
fn was_full(run: &Run, h: usize) -> bool {
    let hour = &run.hours[h];
    let tripped = hour.pumped_m3[0] > 0.0 && hour.curtailed_m3[0] > 0.0;
    hour.level_m3[0] >= run.plan.all_tanks().full_m3() || tripped || hour.spilled_m3[0] > 0.0
}
