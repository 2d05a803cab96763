//! The worst tank year of a record of several, month by month.

use super::{Field, Figure};
use crate::calendar::Day;
use crate::reliability::periods::{DayFigures, MonthFigures, months};
use crate::simulate::Run;

/// The worst tank year, and its months.
#[derive(Debug, Clone, PartialEq)]
pub struct WorstYear {
    /// Its first day.
    pub from: Day,
    /// Its calendar months, January first.
    pub months: [MonthFigures; 12],
}

impl WorstYear {
    /// A month from 0, January, to 11, or at 12 the sum of all.
    fn sum(&self, row: usize, get: fn(&MonthFigures) -> f64) -> Figure {
        self.months.get(row).map_or_else(|| self.months.iter().map(get).sum(), get).into()
    }

    /// Sun on the plane of a month, or at 12 of a mean day of the year.
    fn sun(&self, row: usize) -> f64 {
        let (sum, days) = self.months.iter().fold((0.0, 0.0), |(sum, days), month| {
            let length = f64::from(month.days);
            (sum + month.plane_kwh_per_m2_day * length, days + length)
        });
        self.months.get(row).map_or(sum / days, |month| month.plane_kwh_per_m2_day)
    }
}

/// The tank year with most days of shortfall, of those with as many the one with most water short, then the one with the lowest
/// level, then the first; `None` where the record holds fewer than two whole tank years.
#[must_use]
pub fn worst_year(run: &Run) -> Option<WorstYear> {
    let dates = run.calendar.days();
    let whole: Vec<(Vec<Day>, Vec<DayFigures>)> = run
        .outcome
        .years
        .iter()
        .filter(|(year, _)| year.whole)
        .map(|(year, _)| year.days().map(|day| (dates[day], run.days[day])).unzip())
        .collect();
    if whole.len() < 2 {
        return None;
    }
    let badness = |days: &[DayFigures]| {
        let short_days = days.iter().filter(|day| day.shortfall).count();
        let short_m3: f64 = days.iter().map(|day| day.short_m3).sum();
        let lowest_m3 = days.iter().map(|day| day.lowest_m3).fold(f64::INFINITY, f64::min);
        (short_days, short_m3, -lowest_m3)
    };
    let worse = |a: &(usize, f64, f64), b: &(usize, f64, f64)| {
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.total_cmp(&b.2))
    };
    // The first of equals.
    let (dates, days) = whole.iter().rev().max_by(|(_, a), (_, b)| worse(&badness(a), &badness(b)))?;
    Some(WorstYear { from: *dates.first()?, months: months(dates, days) })
}

/// The worst tank year; rows 0 to 11 are January to December, row 12 is the whole of it.
pub const WORST_YEAR: &[Field<WorstYear>] = &[
    Field {
        name: "month",
        unit: "",
        meaning: "calendar month; null for the whole tank year",
        get: |_, m| if m < 12 { Figure::Count(m as u64 + 1) } else { Figure::Null },
    },
    Field {
        name: "plane_kwh_per_m2_day",
        unit: "kWh/m2 a day",
        meaning: "sun on the panels' plane",
        get: |year, m| year.sun(m).into(),
    },
    Field {
        name: "available_m3",
        unit: "m3",
        meaning: "what the pump could lift if the float did not stop it",
        get: |year, m| year.sum(m, |month| month.available_m3),
    },
    Field {
        name: "demand_m3",
        unit: "m3",
        meaning: "demand of the stock",
        get: |year, m| year.sum(m, |month| month.demand_m3),
    },
    Field {
        name: "short_m3",
        unit: "m3",
        meaning: "short, whatever the cause",
        get: |year, m| year.sum(m, |month| month.short_m3),
    },
    Field {
        name: "shortfall_days",
        unit: "days",
        meaning: "days of shortfall",
        get: |year, m| year.sum(m, |month| month.shortfall_days),
    },
    Field {
        name: "lowest_m3",
        unit: "m3",
        meaning: "lowest level at an hour's end",
        get: |year, m| {
            let lowest = |months: &[MonthFigures]| {
                months.iter().map(|month| month.lowest_m3).fold(f64::INFINITY, f64::min)
            };
            year.months.get(m).map_or_else(|| lowest(&year.months), |month| month.lowest_m3).into()
        },
    },
];
