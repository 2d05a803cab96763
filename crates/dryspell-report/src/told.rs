//! What terminal and document both tell of the march: the backup, the pass, the well with the float, each herd's book.

use dryspell::calendar::HOURS_PER_DAY;
use dryspell::inflow::Bringing;
use dryspell::reliability::dullest::Dullest;
use dryspell::results::{HERDS, TANKS, WELLS, dullest_days};
use dryspell::simulate::{AnswersBy, Run};
use dryspell::sizing::EnoughTank;
use dryspell::units::{Quantity, System, column_number, column_unit, counted, show};
use dryspell::why::Why;

use crate::figures::{day_text, number};

/// What the backup brings, and what is still short with it: days of shortfall, and the rest in words.
pub(crate) fn backup(run: &Run, system: System) -> Option<(u32, String)> {
    let (with, settings) = (run.backup.as_ref()?, run.plan.backup.as_ref()?);
    let volume = |m3| show(m3, Quantity::Volume, system);
    let short = volume(with.short_m3);
    let Some(first) = with.first_day else {
        return Some((
            with.counts.shortfall_days,
            format!("days of shortfall, {short} short: {} is not called in this record", settings.name),
        ));
    };
    let how = match settings.bringing {
        Bringing::Load(_) => format!("in {}", counted(with.loads, "load")),
        Bringing::Flow(_) => format!("in {:.0} hours of running", with.running_h),
    };
    let cost = with.cost.map_or_else(String::new, |cost| format!("; cost {cost:.2}"));
    let text = format!(
        "days of shortfall, {short} short; {} brings {} {how} on {}, first on {}, at most {} on days that follow each \
         other{cost}. All else in this report is without it",
        settings.name,
        volume(with.brought_m3),
        counted(with.days, "day"),
        day_text(run, first * HOURS_PER_DAY),
        volume(with.most_in_a_spell_m3)
    );
    Some((with.counts.shortfall_days, text))
}

/// Which pass the counts come from, and why.
pub(crate) fn pass(run: &Run) -> (&'static str, &'static str) {
    let why = match run.answers_by {
        AnswersBy::Columns if run.well.is_some() => {
            "nothing acts back on what comes before it but the float on the well, which the next line counts"
        }
        AnswersBy::Columns => "nothing acts back on what comes before it",
        AnswersBy::March if !run.plan.is_one_tank() => {
            "with several tanks or wells all stores are stepped together, hour by hour"
        }
        AnswersBy::March if !run.inflows.is_empty() => {
            "with inflows besides the pump all stores are stepped together, hour by hour"
        }
        AnswersBy::March => {
            "the tank ran dry on troughs or extras, so all stores were stepped together, hour by hour"
        }
    };
    (run.answers_by.word(), why)
}

/// What the float spares the well: days of shortfall, and the rest in words.
pub(crate) fn well(run: &Run) -> Option<(u32, String)> {
    let well = run.well.as_ref()?;
    let text = format!(
        "days of shortfall with the well coming back while the float stops the pump ({} of the march{})",
        counted(well.passes, "pass"),
        if well.settled { "" } else { "; the year did not repeat" }
    );
    Some((well.shortfall_days, text))
}

/// The smallest tank that is enough: its size, and the rest in words.
pub(crate) fn enough_tank(run: &Run, enough: &EnoughTank, system: System) -> (String, String) {
    let volume = |m3| show(m3, Quantity::Volume, system);
    let serves = if enough.for_goal { "meets the goal" } else { "leaves no day of this record short" };
    match enough.capacity_m3 {
        Some(m3) => {
            let empty = match enough.longest_dry_hours {
                0 => "empty in no hour".to_owned(),
                hours => format!("empty for at most {} in a row", counted(hours, "hour")),
            };
            let text = format!(
                "usable, the smallest in steps of {} that, like all larger ones, {serves}: thirst carried to midnight, the \
                 float at the same share; {empty}",
                volume(enough.step_m3)
            );
            (volume(m3), text)
        }
        None if run.storage.missing_m3 > 0.0 && !enough.for_goal => (
            "none".to_owned(),
            "since annual supply is too small: a tank only delays the shortage".to_owned(),
        ),
        None => {
            let cure = if enough.for_goal { "meet the goal" } else { "cure the shortage" };
            ("none".to_owned(), format!("up to {}: a larger tank does not {cure}", volume(enough.largest_m3)))
        }
    }
}

/// The columns of volume in the table of the herds, with their figures; causes only where there is a way that may fail.
fn volumes(run: &Run) -> Vec<(&'static str, &'static str)> {
    let mut fields = vec![("demand", "demand_m3"), ("drunk", "drunk_m3")];
    if run.delivery.is_some() {
        fields.extend([
            ("frozen", "short_by_cause_m3.frozen"),
            ("pump small", "short_by_cause_m3.pump_too_small"),
            ("battery", "short_by_cause_m3.battery_empty"),
        ]);
    }
    fields.push(("tank empty", "short_by_cause_m3.tank_empty"));
    fields
}

/// The herds by their own books: a row of titles, one of units, a row each; nothing where the columns answer.
pub(crate) fn herds(run: &Run, system: System) -> Option<[Vec<Vec<String>>; 2]> {
    run.herds.as_ref()?;
    let fields = volumes(run);
    let units = fields.iter().map(|_| column_unit(Quantity::Volume, system));
    let units = std::iter::once("").chain(units).chain(["", ""]).map(str::to_owned).collect();
    let rows = (0..run.draw.by_group_m3_per_day.len())
        .filter(|row| number(HERDS, "short_days", run, *row).is_some())
        .map(|row| {
            let figure = |name: &str| number(HERDS, name, run, row).unwrap_or(0.0);
            let cells = fields.iter().map(|(_, name)| column_number(figure(name), Quantity::Volume, system));
            std::iter::once(run.draw.by_group_m3_per_day[row].0.clone())
                .chain(cells)
                .chain(["dry_hours", "short_days"].map(|name| format!("{:.0}", figure(name))))
                .collect()
        })
        .collect();
    Some([vec![herd_titles(run), units], rows])
}

/// The titles of that table.
pub(crate) fn herd_titles(run: &Run) -> Vec<String> {
    let volumes = volumes(run);
    let titles = volumes.iter().map(|(title, _)| *title);
    std::iter::once("herd").chain(titles).chain(["dry hours", "short days"]).map(str::to_owned).collect()
}

/// What the table of the herds needs to be read.
pub(crate) const HERDS_NOTE: &str = "Demand is what was drunk and what was short, by cause. Each herd has a book of its own, \
                                     wherever it drinks; a day is short for the scheme when it is so for all herds \
                                     together or for any one.";

/// The columns of volume in the table of the tanks: title and figure; only those that are not nothing for all.
fn tank_volumes(run: &Run) -> Vec<(&'static str, &'static str)> {
    let all = [
        ("usable", "capacity_m3"),
        ("lowest", "lowest_m3"),
        ("pumped", "ledger_m3.pumped"),
        ("inflows", "ledger_m3.inflow"),
        ("from tank", "ledger_m3.from_tank"),
        ("drawn", "ledger_m3.drawn"),
        ("gardens", "ledger_m3.garden"),
        ("to tanks", "ledger_m3.to_tanks"),
        ("spilled", "ledger_m3.spilled"),
        ("evaporated", "ledger_m3.evaporated"),
        ("leaked", "ledger_m3.leaked"),
    ];
    let counts = |name: &str| {
        matches!(name, "capacity_m3" | "lowest_m3" | "ledger_m3.drawn")
            || (0..run.tanks.len()).any(|row| number(TANKS, name, run, row).is_some_and(|m3| m3 > 0.0))
    };
    all.into_iter().filter(|(_, name)| counts(name)).collect()
}

/// The tanks: a row of titles, one of units, a row each; nothing where there is one.
pub(crate) fn tanks(run: &Run, system: System) -> Option<[Vec<Vec<String>>; 2]> {
    if run.tanks.is_empty() {
        return None;
    }
    let volumes = tank_volumes(run);
    let titles = volumes.iter().map(|(title, _)| *title);
    let titles = std::iter::once("tank").chain(titles).chain(["empty"]).map(str::to_owned).collect();
    let units = volumes.iter().map(|_| column_unit(Quantity::Volume, system));
    let units = std::iter::once("").chain(units).chain(["h"]).map(str::to_owned).collect();
    let rows = run.tanks.iter().enumerate().map(|(row, tank)| {
        let figure = |name: &str| number(TANKS, name, run, row).unwrap_or(0.0);
        let cells = volumes.iter().map(|(_, name)| column_number(figure(name), Quantity::Volume, system));
        std::iter::once(tank.name.clone())
            .chain(cells)
            .chain(std::iter::once(format!("{:.0}", figure("empty_hours"))))
            .collect()
    });
    Some([vec![titles, units], rows.collect()])
}

/// What the table of the tanks needs to be read.
pub(crate) const TANKS_NOTE: &str = "Short and dry are words of herds, not of tanks. A tank asks the one that feeds it for what it lacks \
                                     below its stop once its own sources have run; animals and hydrants come before other tanks, gardens \
                                     after both.";

/// The wells: a row of titles, one of units, a row each; nothing where there is one.
pub(crate) fn wells(run: &Run, system: System) -> Option<[Vec<Vec<String>>; 2]> {
    if run.lifts.is_empty() {
        return None;
    }
    let titles = ["well", "fills", "available", "pumped"].map(str::to_owned).to_vec();
    let unit = || column_unit(Quantity::Volume, system).to_owned();
    let units = vec![String::new(), String::new(), unit(), unit()];
    let rows = run.lifts.iter().enumerate().map(|(row, well)| {
        let figure = |name: &str| number(WELLS, name, run, row).unwrap_or(0.0);
        let volume = |name: &str| column_number(figure(name), Quantity::Volume, system);
        let name = if well.name.is_empty() { "the first".to_owned() } else { well.name.clone() };
        vec![name, well.into.clone(), volume("available_m3"), volume("pumped_m3")]
    });
    Some([vec![titles, units], rows.collect()])
}

/// What the table of the wells needs to be read.
pub(crate) const WELLS_NOTE: &str = "Available is what the pump could lift if no float stopped it. The head, the start power and what limited the flow are told of \
     the first well.";

/// The hours that the flow is judged over.
pub(crate) fn window(run: &Run, why: &Why) -> String {
    let days = |n: usize| counted(n, "day");
    if let Some(spell) = why.spell.filter(|_| !tank_ran_out(why)) {
        return format!(
            "the worst spell, {} from {}",
            days(spell.days),
            day_text(run, spell.first_day * HOURS_PER_DAY)
        );
    }
    let window = &why.window;
    let began = if window.from_full { "full" } else { "highest" };
    format!(
        "from {}, {began}, to {}, lowest: {}",
        day_text(run, window.first),
        day_text(run, window.deepest),
        days(window.length.div_ceil(HOURS_PER_DAY))
    )
}

/// Whether water in the tank is what was wanting in the worst spell, or would be next.
pub(crate) fn tank_ran_out(why: &Why) -> bool {
    why.spell.is_none_or(|spell| spell.by_cause_m3[3] > 0.0)
}

/// What was short in the worst spell for want of something between tank and trough; `None` where all of it was for want of water in the
/// tank.
pub(crate) fn spell_causes(why: &Why, system: System) -> Option<String> {
    let spell = why.spell.as_ref()?;
    let [frozen, small, battery, tank] = spell.by_cause_m3;
    if frozen + small + battery <= 0.0 {
        return None;
    }
    let mut causes = [
        (frozen, "the line was frozen"),
        (small, "pump, pipe and trough were too small for the rush"),
        (battery, "the booster's battery was empty"),
        (tank, "the tank was empty"),
    ];
    causes.sort_by(|a, b| b.0.total_cmp(&a.0));
    let list: Vec<String> = causes
        .iter()
        .filter(|(m3, _)| *m3 > 0.0)
        .map(|(m3, why)| format!("{} because {why}", show(*m3, Quantity::Volume, system)))
        .collect();
    Some(format!("short in the worst spell, {}: {}", counted(spell.days, "day"), list.join("; ")))
}

/// What the herd needed, what came, and what could have come.
pub(crate) fn came(why: &Why, system: System) -> String {
    let volume = |m3| show(m3, Quantity::Volume, system);
    format!(
        "demand {}, pumped {}; with all the power that it can take the pump would have given {} in the {} lit hours",
        volume(why.demand_m3),
        volume(why.pumped_m3),
        volume(why.at_full_input_m3()),
        why.lit_hours
    )
}

/// From which sun on the pump starts, and from which it runs at full flow.
pub(crate) fn thresholds(why: &Why, system: System) -> String {
    let at = |w: Option<f64>| w.map(|w| format!("{w:.0} W/m²"));
    let cells = format!(
        "cells at {} {}",
        column_number(why.cell_degc, Quantity::Temperature, system),
        column_unit(Quantity::Temperature, system)
    );
    match (at(why.starts_at_w_per_m2), at(why.full_from_w_per_m2)) {
        (None, _) => format!("no sun up to 1500 W/m² on the panels starts the pump ({cells})"),
        (Some(start), None) => {
            format!(
                "the pump starts at {start} on the panels; no sun up to 1500 W/m² gives its full flow ({cells})"
            )
        }
        (Some(start), Some(full)) => {
            format!("the pump starts at {start} on the panels and has its full flow from {full} ({cells})")
        }
    }
}

/// The dullest days in a row: head and rows of a table, a row for each length.
pub(crate) fn dullest(run: &Run, system: System) -> Vec<Vec<String>> {
    let found = dullest_days(run);
    if found.is_empty() {
        return Vec::new();
    }
    let unit = column_unit(Quantity::Volume, system);
    let volume = |m3: f64| column_number(m3, Quantity::Volume, system);
    let available = format!("available {unit}");
    let head =
        ["days", "from", "sun kWh/m²", &available, "pumped", "demand", "short", "tank from", "lowest", "to"]
            .map(str::to_owned)
            .to_vec();
    let row = |d: &Dullest| {
        let volumes = [d.available_m3, d.pumped_m3, d.demand_m3, d.short_m3, d.from_m3, d.lowest_m3, d.to_m3];
        [d.days.to_string(), day_text(run, d.first_day * HOURS_PER_DAY), format!("{:.1}", d.plane_kwh_per_m2)]
            .into_iter()
            .chain(volumes.map(volume))
            .collect()
    };
    std::iter::once(head).chain(found.iter().map(row)).collect()
}
