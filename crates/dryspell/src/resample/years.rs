//! The years of a record, drawn with replacement.

use crate::calendar::{Calendar, Day, HOURS_PER_DAY, MonthDay};
use crate::fault::{Fault, FaultKind};
use crate::random::{Purpose, Stream};
use crate::record::Record;
use std::ops::Range;

/// The whole years of a calendar, as ranges of days: each begins on the date of the first day and has 365 or 366 days.
/// Days over are left out.
#[must_use]
pub fn whole_years(calendar: &Calendar) -> Vec<Range<usize>> {
    let days = calendar.days();
    let Some(first) = days.first().map(|d| begins(*d)) else { return Vec::new() };
    let mut edges: Vec<usize> = (1..days.len()).filter(|d| days[*d].month_day() == first).collect();
    edges.insert(0, 0);
    edges.push(days.len());
    // A record that stops on the eve of its own date ends with a whole year; one that goes on for less leaves it over.
    edges.windows(2).map(|e| e[0]..e[1]).filter(|year| matches!(year.len(), 365 | 366)).collect()
}

/// The date on which the years begin: that of the first day, the day after for 29 February.
fn begins(first: Day) -> MonthDay {
    match first.month_day() {
        MonthDay { month: 2, day: 29 } => MonthDay { month: 3, day: 1 },
        date => date,
    }
}

/// As many years as the record has, drawn from them with replacement: indices from 0.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | N | `n_years` | years | ≥ 0 |
///
/// # Equation
/// N independent draws, each year with a chance of 1/N.
///
/// # Validity
/// What is drawn depends on N and `seed` only. It keeps what happens within a year and supposes that years are
/// independent.
///
/// # Example
/// ```
/// let years = dryspell::resample::years::resampled_years(10, 1);
/// assert!(years.len() == 10 && years.iter().all(|y| *y < 10));
/// ```
///
/// # References
/// B. Efron, "Bootstrap methods: another look at the jackknife", Annals of Statistics 7 (1979) 1, doi
/// 10.1214/aos/1176344552.
#[must_use]
pub fn resampled_years(n_years: usize, seed: u64) -> Vec<usize> {
    let mut stream = Stream::new(seed, Purpose::Years, 0);
    (0..n_years).map(|_| stream.below(n_years)).collect()
}

/// The record that consists of the given years of another, in the given order; a year may come more than once. Dates stay
/// those of the source, so they need not rise.
///
/// # Errors
/// No years, or a year that the record does not have (see [`whole_years`]).
pub fn sub_record(record: &Record, years: &[usize]) -> Result<Record, Fault> {
    let ranges = ranges(&whole_years(&record.calendar), years)?;
    let days: Vec<Day> =
        ranges.iter().flat_map(|r| record.calendar.days()[r.clone()].iter().copied()).collect();
    let hours = |column: &Vec<f64>| -> Vec<f64> {
        ranges
            .iter()
            .flat_map(|r| column[r.start * HOURS_PER_DAY..r.end * HOURS_PER_DAY].iter().copied())
            .collect()
    };
    let some = |column: &Option<Vec<f64>>| column.as_ref().map(hours);
    let mut source = record.source.clone();
    source.notes.push(format!("years {years:?} of this record, counted from 0, in that order"));
    Ok(Record {
        place: record.place.clone(),
        calendar: Calendar::new(days, start_minute(&record.calendar)),
        kind: record.kind,
        radiation_time: record.radiation_time,
        ghi_w_per_m2: hours(&record.ghi_w_per_m2),
        dni_w_per_m2: some(&record.dni_w_per_m2),
        dhi_w_per_m2: some(&record.dhi_w_per_m2),
        air_degc: hours(&record.air_degc),
        wind_m_per_s: some(&record.wind_m_per_s),
        albedo: some(&record.albedo),
        snow_depth_m: some(&record.snow_depth_m),
        precipitation_mm: some(&record.precipitation_mm),
        relative_humidity: some(&record.relative_humidity),
        pressure_pa: some(&record.pressure_pa),
        parts: record.parts.iter().map(|part| part.map(hours)).collect(),
        source,
    })
}

/// The day ranges of the years asked for.
pub(super) fn ranges(all: &[Range<usize>], years: &[usize]) -> Result<Vec<Range<usize>>, Fault> {
    if all.is_empty() {
        return Err(no_year());
    }
    if years.is_empty() {
        return Err(year_fault("no years".into(), all.len()));
    }
    years
        .iter()
        .map(|y| all.get(*y).cloned().ok_or_else(|| year_fault(format!("year {y}"), all.len())))
        .collect()
}

/// Minute at which the hours of a calendar begin.
pub(super) fn start_minute(calendar: &Calendar) -> i8 {
    if calendar.hours() == 0 { 0 } else { i8::try_from(calendar.start_minute_of_day(0)).unwrap_or(0) }
}

/// The record has no whole year.
pub(super) fn no_year() -> Fault {
    Fault::at_key(
        "weather.years",
        FaultKind::Weather,
        "a record without a whole year",
        "years are drawn from whole years of 365 or 366 days",
        "give at least one whole year of weather, and many for an answer about other years",
    )
}

fn year_fault(found: String, n: usize) -> Fault {
    Fault::at_key(
        "weather.years",
        FaultKind::OutOfRange,
        found,
        format!("years of the record, counted from 0: 0 to {}", n.saturating_sub(1)),
        "draw them with resampled_years for the record's number of years",
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn days(from: (i32, u32, u32), count: usize) -> Calendar {
        let first = chrono::NaiveDate::from_ymd_opt(from.0, from.1, from.2).unwrap();
        let days = first.iter_days().take(count).map(|d| {
            use chrono::Datelike;
            let small = |n: u32| u8::try_from(n).unwrap();
            Day { year: d.year(), month: small(d.month()), day: small(d.day()) }
        });
        Calendar::new(days.collect(), 0)
    }

    #[test]
    fn years_are_cut_at_the_first_date() {
        assert_eq!(whole_years(&days((2003, 1, 1), 365 + 366)), [0..365, 365..731]);
        assert_eq!(whole_years(&days((2003, 7, 1), 366 + 365 + 40)), [0..366, 366..731]);
        assert_eq!(whole_years(&days((2003, 7, 1), 366)), std::slice::from_ref(&(0..366)));
        assert!(whole_years(&days((2003, 7, 1), 364)).is_empty());
        assert!(whole_years(&Calendar::new(Vec::new(), 0)).is_empty());
        // 29 February: the years begin on 1 March, but the first keeps its odd day.
        assert_eq!(whole_years(&days((2004, 2, 29), 1 + 365 + 365)), [1..366, 366..731]);
        // Years of 365 days, as generators make them.
        let all: Vec<Day> = (2000..2003)
            .flat_map(|y| Calendar::year(y).days().to_vec())
            .filter(|d| (d.month, d.day) != (2, 29))
            .collect();
        assert_eq!(whole_years(&Calendar::new(all, 0)), [0..365, 365..730, 730..1095]);
    }

    #[test]
    fn draws_are_uniform_and_repeat() {
        let mut counts = [0_u32; 12];
        for seed in 0..2000 {
            resampled_years(12, seed).iter().for_each(|y| counts[*y] += 1);
        }
        for count in counts {
            assert!(
                (f64::from(count) - 2000.0).abs() < 3.0 * (24_000.0_f64 * 11.0 / 144.0).sqrt(),
                "{counts:?}"
            );
        }
        assert_eq!(resampled_years(30, 4), resampled_years(30, 4));
        assert_ne!(resampled_years(30, 4), resampled_years(30, 5));
        assert!(resampled_years(0, 4).is_empty());
    }
}
