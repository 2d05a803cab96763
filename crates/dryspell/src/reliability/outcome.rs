//! What a tank did over a record: the ledger run as the record's kind asks, counted by tank year.

use super::counters::{Counters, Counts};
use super::demand::Demand;
use super::year::{DayLevels, StartsBy, TankYear, first_month, settle, tank_years};
use crate::calendar::{Calendar, HOURS_PER_DAY};
use crate::fault::Faults;
use crate::tank::Settings;
use crate::tank::balance::Ledgers;
use crate::tank::ledger::{Flows, Hour, Sink, State, Tanks, Totals, run};

/// What the tank did over a record.
#[derive(Debug, Clone)]
pub struct Outcome {
    /// Counts over the record: of a ring where it is one year that settled, else of a line from its first hour.
    pub counts: Counts,
    /// The ledgers' terms.
    pub ledgers: Ledgers,
    /// Least water at the end of any hour, m³; of several tanks together.
    pub lowest_m3: f64,
    /// Passes of a one-year record until it repeated; `None` for a record of many years.
    pub passes: Option<u32>,
    /// Whether it repeated; true for a record of many years.
    pub settled: bool,
    /// State at the start of the record.
    pub start: State<1>,
    /// First month of the tank year.
    pub tank_year_month: u8,
    /// What it was chosen by.
    pub tank_year_by: StartsBy,
    /// The tank years, each with its counts.
    pub years: Vec<(TankYear, Counts)>,
}

/// Runs the ledger over a record as its kind asks: one year until it settles, many years straight through from full.
///
/// # Errors
/// A [`crate::fault::FaultKind::Ledger`] fault when a ledger does not close.
pub fn follow(
    settings: &Settings,
    flows: &Flows,
    demand: &Demand,
    calendar: &Calendar,
) -> Result<(Vec<Hour<1>>, Outcome), Faults> {
    let tanks = Tanks::new([settings]);
    let (start, passes, settled) = if calendar.is_one_year() {
        let steady = settle(&tanks, flows);
        (steady.start, Some(steady.passes), steady.settled)
    } else {
        (tanks.full(), None, true)
    };
    let mut kept = Keep(Vec::with_capacity(flows.hours()));
    let mut end = start;
    let totals = run(&tanks, flows, 0..flows.hours(), &mut end, &mut kept);
    let course = Course { passes, settled, start, ledgers: ledgers(&totals, &start, &end, settings) };
    let outcome = Outcome::of(settings, &kept.0, course, demand, calendar)?;
    Ok((kept.0, outcome))
}

/// How the hours of a tank came about.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Course {
    /// Passes of a one-year record until it repeated; `None` for a record of many years.
    pub(crate) passes: Option<u32>,
    /// Whether it repeated; true for a record of many years.
    pub(crate) settled: bool,
    /// State at the start of the record.
    pub(crate) start: State<1>,
    /// The ledgers' terms.
    pub(crate) ledgers: Ledgers,
}

impl Outcome {
    /// What the hours of a tank come to.
    ///
    /// # Errors
    /// A [`crate::fault::FaultKind::Ledger`] fault when a ledger does not close.
    pub(crate) fn of(
        settings: &Settings,
        kept: &[Hour<1>],
        course: Course,
        demand: &Demand,
        calendar: &Calendar,
    ) -> Result<Self, Faults> {
        let Course { passes, settled, start, ledgers } = course;
        ledgers.close().map_err(Faults::from)?;
        let full_m3 = Tanks::new([settings]).full_m3()[0];
        let seen = |day: usize| DayLevels {
            full_hours: {
                let hours = &kept[day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY];
                hours.iter().map(|hour| u32::from(hour.level_m3[0] >= full_m3)).sum()
            },
            start_m3: match (day * HOURS_PER_DAY).checked_sub(1) {
                Some(before) => kept[before].level_m3[0].max(0.0),
                None => start.level_m3[0].max(0.0),
            },
            stock: demand.is_stock_day(day),
        };
        let (month, tank_year_by) = match settings.year_starts_in_month {
            Some(month) => (month, StartsBy::Scheme),
            None => first_month(calendar, seen),
        };
        let count = |days: &mut dyn Iterator<Item = usize>| {
            let mut counters = Counters::<1>::new(demand, settings.tolerance);
            for day in days {
                let hours = day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY;
                hours.clone().zip(&kept[hours]).for_each(|(h, hour)| counters.hour(h, hour));
            }
            counters
        };
        let whole = count(&mut (0..kept.len() / HOURS_PER_DAY));
        let [counts] = if is_ring(calendar, demand, settled) { whole.ring() } else { whole.counts() };
        let years = tank_years(calendar, month)
            .into_iter()
            .map(|year| {
                // One year's table has one row, however it is cut.
                let [of_year] =
                    if calendar.is_one_year() { [counts] } else { count(&mut year.days()).counts() };
                (year, of_year)
            })
            .collect();
        let lowest_m3 = lowest_m3(kept.iter().map(|hour| hour.level_m3[0]));
        Ok(Self {
            counts,
            ledgers,
            lowest_m3,
            passes,
            settled,
            start,
            tank_year_month: month,
            tank_year_by,
            years,
        })
    }
}

/// Least water at the end of any hour, m³: water owed is an empty tank.
pub(crate) fn lowest_m3(ends_m3: impl Iterator<Item = f64>) -> f64 {
    ends_m3.fold(f64::INFINITY, f64::min).max(0.0)
}

/// Whether a record is counted as a ring: one year that repeats, once it has settled. All else is a line from its first
/// hour.
pub(crate) fn is_ring(calendar: &Calendar, demand: &Demand, settled: bool) -> bool {
    calendar.is_one_year() && settled && demand.comes_round()
}

/// Days of shortfall alone, for the variants of a run, and whether any hour ended with water owed.
#[must_use]
pub fn shortfall_days(
    settings: &Settings,
    flows: &Flows,
    demand: &Demand,
    calendar: &Calendar,
) -> (u32, bool) {
    let tanks = Tanks::new([settings]);
    let mut counters = Counters::<1>::new(demand, settings.tolerance);
    let mut thirst = Thirst(false);
    let mut state = if calendar.is_one_year() { settle(&tanks, flows).start } else { tanks.full() };
    run(&tanks, flows, 0..flows.hours(), &mut state, &mut (&mut counters, &mut thirst));
    (counters.counts()[0].shortfall_days, thirst.0)
}

/// Looks for an hour that ends with water owed.
struct Thirst(bool);

impl Sink<1> for Thirst {
    fn hour(&mut self, _: usize, hour: &Hour<1>) {
        self.0 |= hour.level_m3[0] < 0.0;
    }
}

/// Days of shortfall of a record of many years that starts with an empty tank.
#[must_use]
pub(crate) fn shortfall_days_from_empty(settings: &Settings, flows: &Flows, demand: &Demand) -> u32 {
    let tanks = Tanks::new([settings]);
    let mut counters = Counters::<1>::new(demand, settings.tolerance);
    run(&tanks, flows, 0..flows.hours(), &mut tanks.empty(), &mut counters);
    counters.counts()[0].shortfall_days
}

/// The ledgers' terms.
pub(crate) fn ledgers(totals: &Totals<1>, start: &State<1>, end: &State<1>, settings: &Settings) -> Ledgers {
    Ledgers {
        available_m3: totals.available_m3[0],
        curtailed_m3: totals.curtailed_m3[0],
        pumped_m3: totals.pumped_m3[0],
        start_m3: start.level_m3[0].max(0.0),
        end_m3: end.level_m3[0].max(0.0),
        drawn_m3: totals.drawn_m3[0],
        garden_m3: totals.garden_m3[0],
        spilled_m3: totals.spilled_m3[0],
        evaporated_m3: totals.evaporated_m3[0],
        leaked_m3: totals.leaked_m3[0],
        requested_m3: totals.requested_m3[0],
        drunk_m3: totals.drawn_m3[0],
        short_m3: totals.short_m3[0],
        garden_requested_m3: totals.garden_requested_m3[0],
        garden_short_m3: totals.garden_short_m3[0],
        capacity_m3: settings.capacity_m3,
        ..Ledgers::default()
    }
}

/// Keeps every hour of one tank.
pub(crate) struct Keep(pub(crate) Vec<Hour<1>>);

impl Sink<1> for Keep {
    fn hour(&mut self, _: usize, hour: &Hour<1>) {
        self.0.push(*hour);
    }
}
