//! The days ahead of a built scheme: from today's level on today's date through every year of the record.

mod forecast;
#[cfg(test)]
mod tests;

use crate::array::{self, snow::Snow};
use crate::calendar::{Calendar, DateSpan, Day, HOURS_PER_DAY, MonthDay};
use crate::edition::Edition;
use crate::fault::{Fault, FaultKind, Faults};
use crate::grid;
use crate::inflow;
use crate::plan::Plan;
use crate::record::{Record, YearKind};
use crate::reliability::haul::{Haul, HaulDay, hauls};
use crate::reliability::interval::{Interval, Level, Tally, clopper_pearson::clopper_pearson};
use crate::reliability::periods::DayFigures;
use crate::simulate::{AnswersBy, FromLevels, Memo, Put, SNOW_MONTH_DEGC, Water, from_levels};

/// Days within which a first day of shortfall is counted.
pub const WITHIN_DAYS: [usize; 4] = [5, 10, 20, 30];

/// Most days ahead: one year's days must end before the next year's begin.
pub const MOST_DAYS: usize = 180;

/// Fewest years of which more than the count is told.
pub const FEWEST_YEARS: u32 = 10;

/// Where the tanks stand, and how far one looks.
#[derive(Debug, Clone, PartialEq)]
pub struct Today {
    /// The date, before whose first hour the levels hold.
    pub on: MonthDay,
    /// Usable water in each tank of the plan, in its order, m³, 0 to full.
    pub levels_m3: Vec<f64>,
    /// Days ahead, the first among them: 1 to [`MOST_DAYS`].
    pub days: usize,
    /// Global horizontal irradiation of the first days, kWh/m² each, by a forecast of one's own; empty without.
    pub forecast_kwh_per_m2: Vec<f64>,
}

/// What one year of the record makes of the days ahead.
#[derive(Debug, Clone, PartialEq)]
pub struct YearAhead {
    /// The first day, with the year of the record.
    pub first: Day,
    /// Each day ahead.
    pub days: Vec<DayFigures>,
    /// Water to bring, by its place among the days.
    pub hauls: Vec<Haul>,
}

impl YearAhead {
    /// The date of a day by its place among the days.
    #[must_use]
    pub fn date(&self, place: usize) -> Day {
        self.first.later(place)
    }

    /// The first day of shortfall, by its place among the days: 0 is today.
    #[must_use]
    pub fn first_short(&self) -> Option<usize> {
        self.days.iter().position(|day| day.shortfall)
    }

    /// Days of shortfall.
    #[must_use]
    pub fn short_days(&self) -> usize {
        self.days.iter().filter(|day| day.shortfall).count()
    }

    /// Whether some day of shortfall is not for want of water in the tank: no haul mends it.
    #[must_use]
    pub fn beyond_hauls(&self) -> bool {
        self.days.iter().any(|day| day.shortfall && !wants_water(day))
    }

    /// Water to bring in all, m³.
    #[must_use]
    pub fn haul_m3(&self) -> f64 {
        self.hauls.iter().map(|haul| haul.m3).sum()
    }

    /// Lowest level, m³, and its day's place.
    #[must_use]
    pub fn lowest(&self) -> Option<(usize, f64)> {
        let levels = self.days.iter().map(|day| day.lowest_m3).enumerate();
        levels.min_by(|(_, a), (_, b)| a.total_cmp(b))
    }
}

/// What the tank was short of on a day, m³.
fn short_of_water_m3(day: &DayFigures) -> f64 {
    (day.short_m3 - day.delivery_shortage_m3).max(0.0)
}

fn wants_water(day: &DayFigures) -> bool {
    short_of_water_m3(day) > grid::STEP_M3
}

/// The level of a day over the years, m³.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fan {
    /// In the driest year.
    pub least: f64,
    /// One year in ten lies at or below it; `None` of fewer than [`FEWEST_YEARS`].
    pub tenth: Option<f64>,
    /// Half of the years lie at or below it.
    pub middle: f64,
    /// Nine years in ten lie at or below it; `None` of fewer than [`FEWEST_YEARS`].
    pub ninth: Option<f64>,
    /// In the wettest year.
    pub most: f64,
}

/// The days ahead in every year of a record.
#[derive(Debug, Clone, PartialEq)]
pub struct Ahead {
    /// In the order of the record.
    pub years: Vec<YearAhead>,
    /// Years of the record whose days ahead outlast it.
    pub left_out: usize,
    /// Kind of years.
    pub kind: YearKind,
    /// The pass that answers.
    pub answers_by: AnswersBy,
}

impl Ahead {
    /// Years with a day of shortfall within the first `days`.
    #[must_use]
    pub fn short_within(&self, days: usize) -> usize {
        self.years.iter().filter(|year| year.first_short().is_some_and(|first| first < days)).count()
    }

    /// The interval for the chance of a day of shortfall within the first `days`: of calendar years, [`FEWEST_YEARS`] or more.
    #[must_use]
    pub fn chance(&self, days: usize, level: Level) -> Option<Interval> {
        let years = u32::try_from(self.years.len()).ok()?;
        if self.kind != YearKind::Calendar || years < FEWEST_YEARS {
            return None;
        }
        clopper_pearson(Tally::new(u32::try_from(self.short_within(days)).ok()?, years).ok()?, level)
    }

    /// The driest year: that which needs most water brought, then that with most days of shortfall, then that with the lowest level; of
    /// equal ones the first.
    #[must_use]
    pub fn driest(&self) -> Option<&YearAhead> {
        let lowest = |year: &YearAhead| year.lowest().map_or(f64::INFINITY, |(_, m3)| m3);
        self.years.iter().reduce(|driest, year| {
            let drier = year
                .haul_m3()
                .total_cmp(&driest.haul_m3())
                .then(year.short_days().cmp(&driest.short_days()))
                .then(lowest(driest).total_cmp(&lowest(year)));
            if drier.is_gt() { year } else { driest }
        })
    }

    /// Lowest level of a day over the years; `None` without years.
    ///
    /// Of n years in order the level that a share p lies at or below is the ⌈p n⌉-th: a level that some year had.
    #[must_use]
    pub fn fan(&self, day: usize) -> Option<Fan> {
        let mut levels: Vec<f64> =
            self.years.iter().filter_map(|year| year.days.get(day)).map(|day| day.lowest_m3).collect();
        levels.sort_by(f64::total_cmp);
        let n = levels.len();
        // In tenths, so that no rounding moves a place.
        let at = |tenths: usize| levels[(tenths * n).div_ceil(10).clamp(1, n) - 1];
        let enough = n >= FEWEST_YEARS as usize;
        Some(Fan {
            least: *levels.first()?,
            tenth: enough.then(|| at(1)),
            middle: at(5),
            ninth: enough.then(|| at(9)),
            most: *levels.last()?,
        })
    }
}

/// The days ahead made ready: a record with the forecast in it, and where the days begin.
///
/// # Example
/// ```
/// use dryspell::ahead::{DaysAhead, Today};
/// use dryspell::calendar::{Calendar, Day, MonthDay};
/// use dryspell::{plan::Plan, record::Record, tank};
/// // Two years without water for the tank; a herd of 1 m³ a day.
/// let hours = 2 * 8760;
/// let plan = Plan::of_columns(vec![0.0; hours], vec![1.0 / 24.0; hours], tank::Settings::open("main", 20.0));
/// let record = Record::without_weather(Calendar::starting(Day { year: 2001, month: 1, day: 1 }, 730));
/// let today = Today {
///     on: MonthDay { month: 12, day: 1 },
///     levels_m3: vec![6.5],
///     days: 30,
///     forecast_kwh_per_m2: Vec::new(),
/// };
/// let found = DaysAhead::new(&record, today)?.through(&plan)?;
/// assert_eq!((found.short_within(6), found.short_within(7)), (0, 2));
/// # Ok::<(), dryspell::fault::Faults>(())
/// ```
#[derive(Debug, Clone)]
pub struct DaysAhead {
    record: Edition<Record>,
    today: Today,
    starts: Vec<usize>,
    left_out: usize,
    /// How often the record is its one year.
    times: usize,
    memo: Memo,
}

impl DaysAhead {
    /// Lays the forecast over the first days of each year and finds where they begin. Of a one-year record the year follows itself.
    ///
    /// # Errors
    /// Days or a forecast out of range; a date that the record does not have with all days ahead.
    pub fn new(record: &Record, today: Today) -> Result<Self, Faults> {
        check(&today)?;
        let (mut starts, left_out) = starts(record, &today);
        if starts.is_empty() {
            return Err(no_start(&today).into());
        }
        let mut record = record.clone();
        let mut times = 1;
        if record.calendar.is_one_year() {
            // The year before it leaves its snow and frost behind; the year after it goes on with it.
            times = 3;
            let year_days = record.calendar.days().len();
            record = Record::join(&vec![record; times]).map_err(Faults::from)?;
            starts.iter_mut().for_each(|start| *start += year_days);
        }
        forecast::lay(&mut record, &starts, &today.forecast_kwh_per_m2);
        Ok(Self { record: Edition::new(record), today, starts, left_out, times, memo: Memo::default() })
    }

    /// Whether the air over the days ahead of all years is cold enough in the mean that snow must be spoken of.
    #[must_use]
    pub fn are_cold(&self) -> bool {
        self.air_degc() < SNOW_MONTH_DEGC
    }

    /// Mean temperature of the air over the days ahead of all years, °C.
    fn air_degc(&self) -> f64 {
        let of = |start: &usize| {
            &self.record.air_degc[start * HOURS_PER_DAY..(start + self.today.days) * HOURS_PER_DAY]
        };
        let hours = self.starts.len() * self.today.days * HOURS_PER_DAY;
        #[expect(clippy::cast_precision_loss, reason = "hours of a record")]
        let hours = hours as f64;
        self.starts.iter().flat_map(of).sum::<f64>() / hours
    }

    /// Runs a plan, without its backup, from today's levels through every year. What two plans share is worked out once.
    ///
    /// # Errors
    /// A level that a tank cannot have; everything that keeps the scheme from running.
    pub fn through(&mut self, plan: &Plan) -> Result<Ahead, Faults> {
        check_levels(plan, &self.today)?;
        let mut plan = Plan { backup: None, ..plan.clone() };
        if self.times > 1 {
            repeat_columns(&mut plan, self.times);
        }
        let water = || Water::Levels(self.today.levels_m3.clone());
        let puts: Vec<Put> = self.starts.iter().map(|day| Put { day: *day, water: water() }).collect();
        let upstream = self.memo.driven(&plan, &self.record)?;
        let found = from_levels(&upstream, &plan, &puts)?;
        Ok(Ahead {
            years: self.starts.iter().map(|start| self.year(&plan, &found, *start)).collect(),
            left_out: self.left_out,
            kind: self.record.kind,
            answers_by: found.answers_by,
        })
    }

    /// The days ahead from one start.
    fn year(&self, plan: &Plan, found: &FromLevels, start: usize) -> YearAhead {
        let days = &found.days[start..start + self.today.days];
        let losses = &found.losses_left_m3[start..start + self.today.days];
        let before_m3 = |at: usize| match at.checked_sub(1) {
            Some(before) => days[before].end_m3,
            None => self.today.levels_m3.iter().sum(),
        };
        let haul_days = days.iter().zip(losses).enumerate().map(|(at, (day, losses_left_m3))| HaulDay {
            start_m3: before_m3(at),
            highest_m3: day.highest_m3,
            short_m3: short_of_water_m3(day),
            losses_left_m3: *losses_left_m3,
            shortfall: day.shortfall && wants_water(day),
        });
        YearAhead {
            first: self.record.calendar.days()[start],
            days: days.to_vec(),
            hauls: hauls(&haul_days.collect::<Vec<_>>(), grid::volume_m3(plan.all_tanks().full_m3())),
        }
    }
}

/// The plan with panels on which snow never lies.
#[must_use]
pub fn swept(plan: &Plan) -> Plan {
    let mut swept = plan.clone();
    for array in arrays(&mut swept) {
        array.snow = Snow { from_weather: false, ..Snow::default() };
    }
    swept
}

/// The plan with snow on all panels for the first days from a date on, on which nobody sweeps; else as the scheme says.
#[must_use]
pub fn under_snow(plan: &Plan, on: MonthDay, days: usize) -> Plan {
    let mut covered = plan.clone();
    let Some(more) = days.checked_sub(1) else { return covered };
    let span = DateSpan { from: on, to: on.later(more) };
    for array in arrays(&mut covered) {
        array.snow.covered.push(span);
        array.snow.swept = without(&array.snow.swept, span);
    }
    covered
}

/// The dates of spans that do not lie in another.
fn without(spans: &[DateSpan], cut: DateSpan) -> Vec<DateSpan> {
    let kept = |date: MonthDay| spans.iter().any(|span| span.contains(date)) && !cut.contains(date);
    let mut left: Vec<DateSpan> = Vec::new();
    let mut goes_on = false;
    // A leap year has all dates.
    for day in Calendar::year(2000).days() {
        let date = day.month_day();
        match left.last_mut() {
            Some(last) if goes_on && kept(date) => last.to = date,
            _ if kept(date) => left.push(DateSpan { from: date, to: date }),
            _ => {}
        }
        goes_on = kept(date);
    }
    left
}

/// The settings of all panels: of every pump and of the booster.
fn arrays(plan: &mut Plan) -> impl Iterator<Item = &mut array::Settings> {
    let lifts = plan.lifts.iter_mut().map(|lift| &mut lift.array);
    let booster = plan.delivery.iter_mut().flat_map(|delivery| &mut delivery.booster);
    std::iter::once(&mut plan.array).chain(lifts).chain(booster.map(|booster| &mut booster.panel))
}

/// Columns of one's own for a record that is its year so many times.
fn repeat_columns(plan: &mut Plan, times: usize) {
    for column in [&mut plan.columns.available_m3, &mut plan.columns.demand_m3].into_iter().flatten() {
        *column = Edition::new(column.repeat(times));
    }
    for inflow in &mut plan.inflows {
        if let inflow::Kind::Column(hourly) = &mut inflow.kind {
            *hourly = hourly.repeated(times);
        }
    }
}

/// Days of a record on which the days ahead begin, and of how many the record ends before them.
fn starts(record: &Record, today: &Today) -> (Vec<usize>, usize) {
    let days = record.calendar.days();
    let all = (0..days.len()).filter(|number| days[*number].month_day() == today.on);
    if record.calendar.is_one_year() {
        return (all.take(1).collect(), 0);
    }
    let (within, outlast): (Vec<usize>, Vec<usize>) = all.partition(|start| start + today.days <= days.len());
    (within, outlast.len())
}

fn no_start(today: &Today) -> Fault {
    Fault::at_key(
        "weather",
        FaultKind::Weather,
        format!(
            "no {:02}-{:02} in the record with the {} days from it",
            today.on.month, today.on.day, today.days
        ),
        "a record that holds the date and the days ahead",
        "take a longer record, another date (29 February: 28 February) or fewer days",
    )
}

fn fault(key: &str, found: String, accepted: String, way_out: &str) -> Faults {
    Fault::at_key(key, FaultKind::OutOfRange, found, accepted, way_out).into()
}

fn check(today: &Today) -> Result<(), Faults> {
    if !(1..=MOST_DAYS).contains(&today.days) {
        let found = format!("{} days ahead", today.days);
        return Err(fault("days", found, format!("1 to {MOST_DAYS}"), "give a number of days"));
    }
    let sun = |kwh: &f64| (0.0..=forecast::MOST_KWH_PER_M2).contains(kwh);
    if let Some(kwh) = today.forecast_kwh_per_m2.iter().find(|kwh| !sun(kwh)) {
        let found = format!("{kwh} kWh/m2 in a day");
        let accepted = format!("0 to {} kWh/m2", forecast::MOST_KWH_PER_M2);
        return Err(fault("forecast", found, accepted, "give the sum of each day on the level"));
    }
    if today.forecast_kwh_per_m2.len() > today.days {
        let found = format!("a forecast of {} days", today.forecast_kwh_per_m2.len());
        let accepted = format!("at most the {} days ahead", today.days);
        return Err(fault("forecast", found, accepted, "leave out the rest"));
    }
    Ok(())
}

fn check_levels(plan: &Plan, today: &Today) -> Result<(), Faults> {
    let tanks: Vec<_> = plan.tanks().collect();
    if tanks.len() != today.levels_m3.len() {
        let found = format!("{} levels for {} tanks", today.levels_m3.len(), tanks.len());
        return Err(fault("level", found, "one level for each tank".to_owned(), "give the level of each"));
    }
    for (tank, level_m3) in tanks.iter().zip(&today.levels_m3) {
        let full_m3 = tank.full_m3();
        // A run's own level lies on the grid, which may be a hair above.
        if !(0.0..=full_m3.max(grid::volume_m3(full_m3))).contains(level_m3) {
            let found = format!("{level_m3} m3 in tank {}", tank.name);
            let accepted = format!("0 to {full_m3} m3, its full level");
            return Err(fault("level", found, accepted, "give the usable water that stands in it now"));
        }
    }
    Ok(())
}
