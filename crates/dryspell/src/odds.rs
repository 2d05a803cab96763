//! How often a scheme fails: years of a record, years made from it, and what the record allows one to say.
//!
//! Three kinds of numbers are kept apart:
//! - what the record's own tank years came to, with intervals of [`crate::reliability::interval`] for n = their number;
//! - what years made from the record ([`crate::resample`]) come to, with the error of having made only so many;
//! - the interval from drawing the *record's years* anew, making years from each drawing: how much the record itself could
//!   have been otherwise. That one is the answer. It does not exist for a single year.
//!
//! Binomial intervals are for years that were measured; made years are no more evidence the more of them are made.

use crate::calendar::Calendar;
use crate::edition::EditionRef;
use crate::fault::{Fault, Faults};
use crate::plan::Plan;
use crate::record::{Record, YearKind};
use crate::reliability::counters::Counts;
use crate::reliability::outcome::Outcome;
use crate::resample::interval::Replicate;
use crate::resample::threads::in_order;
use crate::resample::{self, Archive, Resampler, block_length};
use crate::simulate::{Memo, Run, outcome_at};
use std::num::NonZeroUsize;

/// What the whole tank years of a record came to.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Years {
    /// Counts of each whole tank year, in order.
    pub counts: Vec<Counts>,
    /// Demand served over the record, percent.
    pub served_percent: Option<f64>,
}

impl Years {
    /// The whole tank years of an outcome. A year of a one-year record is whole.
    #[must_use]
    pub fn of(outcome: &Outcome, calendar: &Calendar, demand_m3: f64, short_m3: f64) -> Self {
        let one = calendar.is_one_year();
        let counts = outcome.years.iter().filter(|(year, _)| year.whole || one).map(|(_, c)| *c).collect();
        let served_percent = (demand_m3 > 0.0).then(|| 100.0 * (1.0 - short_m3 / demand_m3));
        Self { counts, served_percent }
    }

    /// Years with at least one day of shortfall.
    #[must_use]
    pub fn dry(&self) -> u32 {
        let n = self.counts.iter().filter(|c| c.shortfall_days > 0).count();
        u32::try_from(n).unwrap_or(u32::MAX)
    }

    /// Number of years.
    #[must_use]
    pub fn number(&self) -> u32 {
        u32::try_from(self.counts.len()).unwrap_or(u32::MAX)
    }

    /// Share of years with at least one day of shortfall; `None` without years.
    #[must_use]
    pub fn dry_share(&self) -> Option<f64> {
        (!self.counts.is_empty()).then(|| f64::from(self.dry()) / f64::from(self.number()))
    }

    /// Mean days of shortfall in a year; `None` without years.
    #[must_use]
    pub fn mean_days(&self) -> Option<f64> {
        let sum: f64 = self.counts.iter().map(|c| f64::from(c.shortfall_days)).sum();
        (!self.counts.is_empty()).then(|| sum / f64::from(self.number()))
    }

    /// Longest spell of each year, days.
    #[must_use]
    pub fn longest_spells(&self) -> Vec<f64> {
        self.counts.iter().map(|c| f64::from(c.longest_spell_days)).collect()
    }

    /// Standard error of a mean over these years, taken as independent: that of having made only so many.
    #[must_use]
    pub fn standard_error(&self, value: impl Fn(&Counts) -> f64) -> Option<f64> {
        let n = f64::from(self.number());
        if n < 2.0 {
            return None;
        }
        let mean = self.counts.iter().map(&value).sum::<f64>() / n;
        let squares: f64 = self.counts.iter().map(|c| (value(c) - mean) * (value(c) - mean)).sum();
        Some((squares / (n - 1.0) / n).sqrt())
    }

    /// Joins the years of another stretch.
    pub fn join(&mut self, other: Self) {
        self.counts.extend(other.counts);
    }
}

/// Runs a plan on a record for its yearly counts alone. The tank year begins in the month given.
///
/// # Errors
/// As [`crate::simulate::simulate`].
pub fn years_of(plan: &Plan, record: &Record, tank_year_month: u8) -> Result<Years, Faults> {
    let upstream = Memo::default().driven(plan, EditionRef::new(record))?;
    let settings = crate::tank::Settings { year_starts_in_month: Some(tank_year_month), ..plan.tank.clone() };
    let found = outcome_at(&upstream, &Plan { tank: settings, backup: None, ..plan.clone() })?;
    Ok(Years::of(&found.outcome, &record.calendar, found.demand_m3, found.short_m3))
}

/// Years made in one stretch: short ones spread over threads, whatever their number.
pub const STRETCH: usize = 25;

/// The seed of stretch `number` of the years made from a record. It depends on the user's seed and the stretch alone, so
/// that the number of threads changes nothing, and every question asked with one seed is asked of the same years.
#[must_use]
pub fn stretch_seed(record_years: usize, seed: u64, number: usize) -> u64 {
    // Counted from the far end: the near one is for drawings.
    Replicate::new(record_years, seed, usize::MAX - number).seed
}

/// The record in which `years` tank years, made from the drawn years of an archive, are whole wherever the tank year
/// begins. It is made one year longer, since the first and the last tank year are cut.
///
/// # Errors
/// As [`Resampler`].
pub fn made_record(
    archive: &Archive,
    drawn: &[usize],
    settings: resample::Settings,
    seed: u64,
    years: usize,
) -> Result<Record, Fault> {
    Resampler::new(archive, drawn, settings, seed)?.record(years + 1, NonZeroUsize::MIN)
}

/// The first `years` tank years of [`made_record`].
///
/// # Errors
/// As [`years_of`] and [`Resampler`].
pub fn made(
    plan: &Plan,
    archive: &Archive,
    drawn: &[usize],
    settings: resample::Settings,
    seed: u64,
    years: usize,
    tank_year_month: u8,
) -> Result<Years, Faults> {
    let record = made_record(archive, drawn, settings, seed, years).map_err(Faults::from)?;
    let mut found = years_of(plan, &record, tank_year_month)?;
    found.counts.truncate(years);
    Ok(found)
}

/// One drawing of the record's years with as many years made from it.
///
/// # Errors
/// As [`made`].
pub fn drawing(
    plan: &Plan,
    archive: &Archive,
    replicate: &Replicate,
    settings: resample::Settings,
    tank_year_month: u8,
) -> Result<Years, Faults> {
    made(plan, archive, &replicate.years, settings, replicate.seed, archive.years(), tank_year_month)
}

/// How years are made from a record, and how many.
#[derive(Debug, Clone, PartialEq)]
pub struct Making {
    /// Years to make; 0 for none.
    pub made_years: usize,
    /// Drawings of the record's years for the interval; 200 or more, or 0 for none.
    pub drawings: usize,
    /// Mean length of a block, days, 1 to 366; `None` for the length that suits record and tank ([`block_length`]).
    pub block_days: Option<f64>,
    /// Largest shift of a block from its date, days, 0 to 183.
    pub window_days: u32,
    /// The same seed gives the same numbers, with any number of threads.
    pub seed: u64,
}

impl Default for Making {
    fn default() -> Self {
        Self { made_years: 300, drawings: 200, block_days: None, window_days: 15, seed: 1 }
    }
}

impl Making {
    /// How blocks are drawn from a record, for a scheme whose full tank lasts so many days: as asked, else as long as suits both.
    #[must_use]
    pub fn settings(&self, archive: &Archive, full_tank_days: Option<f64>) -> resample::Settings {
        let mean_block_days =
            self.block_days.unwrap_or_else(|| block_length::mean_block_days(archive, full_tank_days));
        resample::Settings { mean_block_days, window_days: self.window_days }
    }

    /// Drawings that say something: one drawing of a single year is that year again, so it cannot be known how the record
    /// could have been otherwise. Nor can it from years that were themselves made.
    #[must_use]
    pub fn drawings_that_tell(&self, record: &Record, record_years: usize) -> usize {
        if record_years > 1 && record.kind == YearKind::Calendar { self.drawings } else { 0 }
    }
}

/// Years made from the record.
#[derive(Debug, Clone)]
pub struct MadeYears {
    /// All made years.
    pub years: Years,
    /// Each drawing of the record's years, with as many made from it.
    pub drawn: Vec<Years>,
    /// Whole years of the record.
    pub record_years: usize,
    /// How blocks were drawn.
    pub settings: resample::Settings,
}

/// Makes years from the record of a run and runs its plan on them, and on each drawing of the record's years. `done` is told how many
/// years each piece of work had.
///
/// # Errors
/// As [`made`].
pub fn make(
    run: &Run,
    record: &Record,
    making: &Making,
    threads: NonZeroUsize,
    done: impl Fn(usize) + Sync,
) -> Result<MadeYears, Faults> {
    let (plan, month) = (&run.plan, run.outcome.tank_year_month);
    let archive = Archive::of(record).map_err(Faults::from)?;
    let settings = making.settings(&archive, run.full_tank.worst);
    let n = archive.years();
    let all: Vec<usize> = (0..n).collect();
    let found: Vec<Years> = in_order(making.made_years.div_ceil(STRETCH), threads, |i| {
        let years = STRETCH.min(making.made_years - i * STRETCH);
        let found = made(plan, &archive, &all, settings, stretch_seed(n, making.seed, i), years, month);
        done(years);
        found
    })?;
    let mut years = Years::default();
    let mut served = Vec::new();
    for stretch in found {
        served.extend(stretch.served_percent.map(|s| (s, stretch.counts.len())));
        years.join(stretch);
    }
    let drawn = in_order(making.drawings_that_tell(record, n), threads, |number| {
        let found = drawing(plan, &archive, &Replicate::new(n, making.seed, number), settings, month);
        done(n);
        found
    })?;
    #[expect(clippy::cast_precision_loss, reason = "years of a run")]
    let weight = served.iter().map(|(_, n)| *n as f64).sum::<f64>();
    #[expect(clippy::cast_precision_loss, reason = "years of a run")]
    let served_percent =
        (weight > 0.0).then(|| served.iter().map(|(s, n)| s * *n as f64).sum::<f64>() / weight);
    years.served_percent = served_percent;
    Ok(MadeYears { years, drawn, record_years: n, settings })
}
