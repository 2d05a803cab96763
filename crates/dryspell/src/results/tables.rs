//! The tables of days, months and tank years.

use super::{Field, Figure};
use crate::calendar::HOURS_PER_DAY;
use crate::reliability::counters::Counts;
use crate::reliability::periods::MonthFigures;
use crate::simulate::{Run, Upstream};

/// The daily table.
pub const DAYS: &[Field] = &[
    Field {
        name: "date",
        unit: "",
        meaning: "local date, with the year from which the day's weather comes",
        get: |run, d| date(run, d),
    },
    Field {
        name: "plane_kwh_per_m2",
        unit: "kWh/m2",
        meaning: "sun on the panels' plane",
        get: |run, d| run.days[d].plane_kwh_per_m2.into(),
    },
    Field {
        name: "available_m3",
        unit: "m3",
        meaning: "what the pump could lift if the float did not stop it",
        get: |run, d| run.days[d].available_m3.into(),
    },
    Field {
        name: "pumped_m3",
        unit: "m3",
        meaning: "pumped into the tank",
        get: |run, d| run.days[d].pumped_m3.into(),
    },
    Field {
        name: "demand_m3",
        unit: "m3",
        meaning: "demand of the stock",
        get: |run, d| run.days[d].demand_m3.into(),
    },
    Field {
        name: "drawn_m3",
        unit: "m3",
        meaning: "drawn from the tank for the stock",
        get: |run, d| run.days[d].drawn_m3.into(),
    },
    Field {
        name: "garden_drawn_m3",
        unit: "m3",
        meaning: "drawn for gardens",
        get: |run, d| run.days[d].garden_m3.into(),
    },
    Field {
        name: "short_m3",
        unit: "m3",
        meaning: "short, whatever the cause",
        get: |run, d| run.days[d].short_m3.into(),
    },
    Field {
        name: "delivery_shortage_m3",
        unit: "m3",
        meaning: "delivery shortage, the part of it between tank and animals: frozen, pump too small, battery empty",
        get: |run, d| run.days[d].delivery_shortage_m3.into(),
    },
    Field {
        name: "lowest_m3",
        unit: "m3",
        meaning: "lowest level at an hour's end",
        get: |run, d| run.days[d].lowest_m3.into(),
    },
    Field {
        name: "end_m3",
        unit: "m3",
        meaning: "level at midnight",
        get: |run, d| run.days[d].end_m3.into(),
    },
    Field {
        name: "dry_hours",
        unit: "h",
        meaning: "hours that ended with no usable water",
        get: |run, d| run.days[d].dry_hours.into(),
    },
    Field {
        name: "shortfall",
        unit: "",
        meaning: "whether it is a day of shortfall",
        get: |run, d| Figure::Flag(run.days[d].shortfall),
    },
    Field {
        name: "highest_m3",
        unit: "m3",
        meaning: "highest level at an hour's end",
        get: |run, d| run.days[d].highest_m3.into(),
    },
    Field {
        name: "state",
        unit: "",
        meaning: "no stock, served, partly short, or a herd got nothing (one at least drank nothing all day)",
        get: |run, d| Figure::Text(run.days[d].state().word().to_owned()),
    },
    Field {
        name: "inflow_m3",
        unit: "m3",
        meaning: "let into the tank by inflows besides the pump; empty without any",
        get: |run, d| day_inflow_m3(run, d).into(),
    },
    Field {
        name: "lost_and_spilled_m3",
        unit: "m3",
        meaning: "evaporated, leaked, and gone over the top",
        get: |run, d| {
            let hours = &run.hours[d * HOURS_PER_DAY..(d + 1) * HOURS_PER_DAY];
            let gone = hours.iter().map(|h| h.evaporated_m3[0] + h.leaked_m3[0] + h.spilled_m3[0]);
            gone.sum::<f64>().into()
        },
    },
];

/// The month table; rows 0 to 11 are January to December.
pub const MONTHS: &[Field] = &[
    Field { name: "month", unit: "", meaning: "calendar month", get: |_, m| Figure::Count(m as u64 + 1) },
    Field {
        name: "plane_kwh_per_m2_day",
        unit: "kWh/m2 a day",
        meaning: "sun on the panels' plane",
        get: |run, m| month(run, m, |f| f.plane_kwh_per_m2_day),
    },
    Field {
        name: "stock_days",
        unit: "days",
        meaning: "days with stock draw in the record",
        get: |run, m| month(run, m, |f| f64::from(f.stock_days)),
    },
    Field {
        name: "available_m3",
        unit: "m3",
        meaning: "what the pump could lift if the float did not stop it, mean of the month in all years that include it",
        get: |run, m| month(run, m, |f| f.available_m3),
    },
    Field {
        name: "available_with_stock_m3",
        unit: "m3",
        meaning: "of it on days with stock draw, mean of the month in all years that include it",
        get: |run, m| month(run, m, |f| f.available_with_stock_m3),
    },
    Field {
        name: "pumped_m3",
        unit: "m3",
        meaning: "pumped into the tank, mean of the month in all years that include it",
        get: |run, m| month(run, m, |f| f.pumped_m3),
    },
    Field {
        name: "demand_m3",
        unit: "m3",
        meaning: "demand of the stock, mean of the month in all years that include it",
        get: |run, m| month(run, m, |f| f.demand_m3),
    },
    Field {
        name: "drawn_m3",
        unit: "m3",
        meaning: "drawn from the tank for the stock, mean of the month in all years that include it",
        get: |run, m| month(run, m, |f| f.drawn_m3),
    },
    Field {
        name: "garden_drawn_m3",
        unit: "m3",
        meaning: "drawn for gardens, mean of the month in all years that include it",
        get: |run, m| month(run, m, |f| f.garden_m3),
    },
    Field {
        name: "short_m3",
        unit: "m3",
        meaning: "short, mean of the month in all years that include it",
        get: |run, m| month(run, m, |f| f.short_m3),
    },
    Field {
        name: "shortfall_days",
        unit: "days",
        meaning: "days of shortfall, mean of the month in all years that include it",
        get: |run, m| month(run, m, |f| f.shortfall_days),
    },
    Field {
        name: "lowest_m3",
        unit: "m3",
        meaning: "lowest level at an hour's end in any year",
        get: |run, m| month(run, m, |f| f.lowest_m3),
    },
    Field {
        name: "full_tank_autonomy_days",
        unit: "days",
        meaning: "days a full tank lasts without inflow, from the worst start hour of the month",
        get: |run, m| run.full_tank.by_month[m].into(),
    },
    Field {
        name: "full_tank_outlasts_stay",
        unit: "",
        meaning: "whether the stock is away for a day or more in that time: it leaves before the water runs out",
        get: |run, m| Figure::Flag(run.full_tank.outlasts_stay[m]),
    },
    Field {
        name: "inflow_m3",
        unit: "m3",
        meaning: "let into the tank by inflows besides the pump, mean of the month in all years that include it",
        get: |run, m| month_inflow_m3(run, m).into(),
    },
];

/// The table of tank years.
pub const YEARS: &[Field] = &[
    Field {
        name: "from",
        unit: "",
        meaning: "first day of the tank year in the record",
        get: |run, y| run.outcome.years[y].0.days().next().map_or(Figure::Null, |d| date(run, d)),
    },
    Field {
        name: "whole",
        unit: "",
        meaning: "whether the record includes all of it",
        get: |run, y| Figure::Flag(run.outcome.years[y].0.whole),
    },
    Field {
        name: "days",
        unit: "days",
        meaning: "days of it in the record",
        get: |run, y| Figure::Count(run.outcome.years[y].0.days().count() as u64),
    },
    Field {
        name: "stock_days",
        unit: "days",
        meaning: "days with stock draw",
        get: |r, y| count(r, y, |c| c.stock_days),
    },
    Field {
        name: "shortfall_days",
        unit: "days",
        meaning: "days of shortfall",
        get: |r, y| count(r, y, |c| c.shortfall_days),
    },
    Field {
        name: "spells",
        unit: "",
        meaning: "spells that began in it",
        get: |r, y| count(r, y, |c| c.spells),
    },
    Field {
        name: "longest_spell_days",
        unit: "days",
        meaning: "days in the longest spell",
        get: |r, y| count(r, y, |c| c.longest_spell_days),
    },
    Field { name: "dry_hours", unit: "h", meaning: "dry hours", get: |r, y| count(r, y, |c| c.dry_hours) },
    Field {
        name: "longest_dry_hours",
        unit: "h",
        meaning: "hours in the longest dry run",
        get: |r, y| count(r, y, |c| c.longest_dry_hours),
    },
    Field {
        name: "worst_day_short_percent",
        unit: "%",
        meaning: "largest share of a day's stock draw that was short",
        get: |run, y| (100.0 * run.outcome.years[y].1.worst_day_short).into(),
    },
];

fn count(run: &Run, year: usize, get: fn(&Counts) -> u32) -> Figure {
    get(&run.outcome.years[year].1).into()
}

/// A day of the record as `YYYY-MM-DD`.
pub(super) fn date(run: &Upstream, day: usize) -> Figure {
    let d = run.calendar.days()[day];
    Figure::Date(d.year, d.month, d.day)
}

/// Let into the tank on a day by inflows besides the pump, m³; `None` without any.
#[must_use]
pub fn day_inflow_m3(run: &Run, day: usize) -> Option<f64> {
    let hours = run.inflow_m3.get(day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY)?;
    Some(hours.iter().sum())
}

/// The same in a calendar month (0 to 11), m³: the mean of the month in all years that include it.
#[must_use]
pub fn month_inflow_m3(run: &Run, month: usize) -> Option<f64> {
    let dates = run.calendar.days().iter().enumerate();
    let days = dates.filter(|(_, date)| usize::from(date.month) == month + 1);
    let sum: Option<f64> = days.map(|(day, _)| day_inflow_m3(run, day)).sum();
    let figures = run.months.get(month).filter(|figures| figures.days > 0)?;
    sum.map(|m3| m3 / figures.times)
}

fn month(run: &Run, month: usize, get: fn(&MonthFigures) -> f64) -> Figure {
    let figures = &run.months[month];
    if figures.days == 0 { Figure::Null } else { get(figures).into() }
}
