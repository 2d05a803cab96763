//! Rows on the file's clock → whole days of hours in local standard time.
//!
//! A calendar record lies in absolute time. A typical year does not: its months come from different years, so its
//! rows are placed by month, day and hour in a year without a number, and each day keeps the year of its noon.

use crate::error::{Error, ErrorKind};
use crate::options::Stamps;
use crate::table::Meaning;
use chrono::{Datelike, NaiveDate};
use dryspell::calendar::{Calendar, Day};
use dryspell::record::YearKind;

/// Minutes in a day.
pub(crate) const DAY: i64 = 1440;

/// How to lay out.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Clock {
    /// Local standard time minus the rows' clock, minutes.
    pub(crate) shift_min: i64,
    /// What stamps mean.
    pub(crate) meaning: Meaning,
    /// Kind of years, where it is known.
    pub(crate) kind: Option<YearKind>,
    /// Whether less than a year is accepted.
    pub(crate) part_of_year: bool,
}

/// Where each row goes.
#[derive(Debug, Clone)]
pub(crate) struct Laid {
    pub(crate) calendar: Calendar,
    pub(crate) kind: YearKind,
    /// Hour of the record of each row.
    pub(crate) hour_of_row: Vec<usize>,
}

/// Hours as whole minutes.
pub(crate) fn minutes(hours: f64) -> i64 {
    #[expect(clippy::cast_possible_truncation, reason = "offsets from UTC are within a day")]
    let minutes = libm::round(hours.clamp(-48.0, 48.0) * 60.0) as i64;
    minutes
}

/// A minute of the civil calendar, see [`crate::table::RowData::stamps`].
pub(crate) fn civil_minute(year: i32, month: i32, day: i32, minute: i64) -> Result<i64, ErrorKind> {
    let date = u32::try_from(month)
        .ok()
        .zip(u32::try_from(day).ok())
        .and_then(|(m, d)| NaiveDate::from_ymd_opt(year, m, d))
        .filter(|_| (1800..=2200).contains(&year))
        .ok_or(ErrorKind::NoSuchDate { year, month, day })?;
    Ok(i64::from(date.num_days_from_ce()) * DAY + minute)
}

fn date_of(minute: i64) -> NaiveDate {
    i32::try_from(minute.div_euclid(DAY))
        .ok()
        .and_then(NaiveDate::from_num_days_from_ce_opt)
        .unwrap_or_default()
}

/// A civil minute as text.
pub(crate) fn time_text(minute: i64) -> String {
    let of_day = minute.rem_euclid(DAY);
    format!("{} {:02}:{:02}", date_of(minute).format("%Y-%m-%d"), of_day / 60, of_day % 60)
}

/// Minutes between rows: the most frequent forward distance among the first rows.
fn step_of(file: &str, stamps: &[i64], lines: &[u64]) -> Result<i64, Error> {
    let mut counts = std::collections::BTreeMap::new();
    for pair in stamps.windows(2).take(500) {
        if pair[1] > pair[0] {
            *counts.entry(pair[1] - pair[0]).or_insert(0usize) += 1;
        }
    }
    let Some((&step, _)) = counts.iter().max_by_key(|(step, n)| (**n, -**step)) else {
        let last = stamps.last().map(|s| time_text(*s));
        let found = stamps.len() as f64;
        return Err(Error::new(file, ErrorKind::WrongHourCount { found, last }));
    };
    if 60 % step != 0 {
        let line = lines.get(1).copied().unwrap_or(0);
        return Err(Error::new(file, ErrorKind::OddStep { minutes: step }).at_line(line));
    }
    Ok(step)
}

/// Whether years follow each other as in the calendar.
fn kind_of(starts: &[i64]) -> YearKind {
    let mut last = None;
    for start in starts {
        let date = date_of(*start);
        let this = (date.year(), date.month());
        if let Some(last) = last
            && this != last
        {
            let (year, month) = last;
            let next = if month == 12 { (year + 1, 1) } else { (year, month + 1) };
            if this != next {
                return YearKind::Typical;
            }
        }
        last = Some(this);
    }
    YearKind::Calendar
}

/// Days before a month in a year that has or has not 29 February.
fn days_before(month: u32, leap: bool) -> i64 {
    const BEFORE: [i64; 12] = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334];
    let index = usize::try_from(month.saturating_sub(1)).unwrap_or(0);
    BEFORE.get(index).copied().unwrap_or(0) + i64::from(leap && month > 2)
}

/// Lays rows out.
pub(crate) fn lay_out(
    file: &str,
    stamps: &[i64],
    lines: &[u64],
    clock: &Clock,
    notes: &mut Vec<String>,
) -> Result<Laid, Error> {
    let step = step_of(file, stamps, lines)?;
    if step != 60 {
        return Err(Error::new(file, ErrorKind::OddStep { minutes: step }));
    }
    let to_middle = match clock.meaning {
        Meaning::Mean(Stamps::Start) | Meaning::Instant { .. } => step / 2,
        Meaning::Mean(Stamps::End) => -step / 2,
        Meaning::Mean(Stamps::Middle) | Meaning::Centred => 0,
    };
    let middles: Vec<i64> = stamps.iter().map(|s| s + to_middle).collect();
    let kind = clock.kind.unwrap_or_else(|| kind_of(&middles));
    let is_leap_day = |s: &i64| {
        let date = date_of(*s);
        (date.month(), date.day()) == (2, 29)
    };
    let leap = kind == YearKind::Typical && middles.iter().any(is_leap_day);
    // Place of each row's middle on one running axis, before the shift to the local clock.
    let axis = |s: i64| match kind {
        YearKind::Typical => {
            let date = date_of(s);
            (days_before(date.month(), leap) + i64::from(date.day()) - 1) * DAY + s.rem_euclid(DAY)
        }
        YearKind::Calendar | YearKind::Synthetic => s,
    };
    let places: Vec<i64> = middles.iter().map(|s| axis(*s)).collect();
    in_order(file, &places, stamps, lines, step)?;
    match kind {
        YearKind::Typical => typical(file, &middles, &places, stamps, clock, leap, notes),
        YearKind::Calendar | YearKind::Synthetic => running(file, &places, stamps, clock, kind, notes),
    }
}

/// Refuses duplicates, rows out of order and rows off the grid.
fn in_order(file: &str, places: &[i64], stamps: &[i64], lines: &[u64], step: i64) -> Result<(), Error> {
    for (i, pair) in places.windows(2).enumerate() {
        let (before, this) = (pair[0], pair[1]);
        let time = || time_text(stamps[i + 1]);
        let kind = if (this - before) % step != 0 {
            ErrorKind::OffTheGrid { time: time(), step_min: step }
        } else if this > before {
            continue;
        } else if let Some(first) = places[..=i].iter().rposition(|p| *p == this) {
            ErrorKind::DuplicateRow { time: time(), first_line: lines[first] }
        } else {
            ErrorKind::OutOfOrder { time: time(), before: time_text(stamps[i]) }
        };
        return Err(Error::new(file, kind).at_line(lines[i + 1]));
    }
    Ok(())
}

/// The first hour without a row, and how many follow it, as an error.
fn missing(file: &str, hour_of_row: &[usize], calendar: &Calendar, stamps: &[i64]) -> Option<Error> {
    let mut seen = vec![false; calendar.hours()];
    for h in hour_of_row {
        seen[*h] = true;
    }
    let first = seen.iter().position(|s| !s)?;
    let run = seen[first..].iter().take_while(|s| !**s).count() as f64;
    let found = seen.iter().filter(|s| **s).count() as f64;
    let at_the_end = seen[first..].iter().all(|s| !s);
    let kind = if at_the_end {
        ErrorKind::WrongHourCount { found, last: stamps.last().map(|s| time_text(*s)) }
    } else {
        ErrorKind::MissingRows { from: calendar.start_text(first), hours: run }
    };
    Some(Error::new(file, kind))
}

/// Minute at which hours begin, from the full clock hour of their middle.
fn grid_minute(middle: i64) -> i8 {
    i8::try_from(middle.rem_euclid(60) - 30).unwrap_or(0)
}

/// A typical year: by month, day and hour; rows pushed over the year's end by the local clock wrap round.
fn typical(
    file: &str,
    middles: &[i64],
    places: &[i64],
    stamps: &[i64],
    clock: &Clock,
    leap: bool,
    notes: &mut Vec<String>,
) -> Result<Laid, Error> {
    let days = if leap { 366 } else { 365 };
    let mut hour_of_row = Vec::with_capacity(places.len());
    let mut wrapped = 0usize;
    for place in places {
        let middle = place + clock.shift_min;
        wrapped += usize::from(!(0..days * DAY).contains(&middle));
        hour_of_row.push(usize::try_from(middle.rem_euclid(days * DAY) / 60).unwrap_or(0));
    }
    let day_count = usize::try_from(days).unwrap_or(365);
    // A day's year is that of its noon; of its first row where noon is missing.
    let mut year_of_day: Vec<Option<i32>> = vec![None; day_count];
    for (middle, hour) in middles.iter().zip(&hour_of_row) {
        let year = date_of(*middle).year();
        let of_day = &mut year_of_day[hour / 24];
        if of_day.is_none() || hour % 24 == 12 {
            *of_day = Some(year);
        }
    }
    let fallback = middles.first().map_or(2001, |m| date_of(*m).year());
    let mut list = Vec::with_capacity(day_count);
    for (month, length) in
        (1u8..).zip([31u8, if leap { 29 } else { 28 }, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
    {
        for day in 1..=length {
            let year = year_of_day.get(list.len()).copied().flatten().unwrap_or(fallback);
            list.push(Day { year, month, day });
        }
    }
    let start_minute = middles.first().map_or(0, |m| grid_minute(m + clock.shift_min));
    let calendar = Calendar::new(list, start_minute);
    if let Some(error) = missing(file, &hour_of_row, &calendar, stamps) {
        return Err(error);
    }
    note_shift(clock.shift_min, wrapped, notes);
    Ok(Laid { calendar, kind: YearKind::Typical, hour_of_row })
}

fn note_shift(shift_min: i64, wrapped: usize, notes: &mut Vec<String>) {
    if shift_min == 0 {
        return;
    }
    let hours = shift_min as f64 / 60.0;
    let end = if shift_min < 0 { "first" } else { "last" };
    let other = if shift_min < 0 { "end" } else { "beginning" };
    let mut note = format!("rows moved by {hours:+} h from the file's clock to local standard time");
    if wrapped > 0 {
        note += &format!("; the {end} {wrapped} hours of the file stand at the record's {other}");
    }
    notes.push(note);
}

/// Consecutive days; 29 February may be left out of leap years.
fn running(
    file: &str,
    places: &[i64],
    stamps: &[i64],
    clock: &Clock,
    kind: YearKind,
    notes: &mut Vec<String>,
) -> Result<Laid, Error> {
    let middles: Vec<i64> = places.iter().map(|p| p + clock.shift_min).collect();
    let (Some(&first), Some(&last)) = (middles.first(), middles.last()) else {
        return Err(Error::new(file, ErrorKind::Empty));
    };
    let (mut first_day, mut last_day) = (first.div_euclid(DAY), last.div_euclid(DAY));
    // Moved to the local clock, the file begins and ends within a day: both parts make one day.
    let (head, tail) = (first.rem_euclid(DAY) / 60, last.rem_euclid(DAY) / 60 + 1);
    let mut wrapped = 0;
    let wraps = clock.shift_min != 0 && head == tail && first_day < last_day;
    if wraps {
        if clock.shift_min < 0 {
            wrapped = 24 - head;
            first_day += 1;
        } else {
            wrapped = tail;
            last_day -= 1;
        }
    }
    let mut present = vec![false; usize::try_from(last_day - first_day + 1).unwrap_or(0)];
    let slot = |middle: i64| {
        let day = middle.div_euclid(DAY);
        let day = match day {
            d if d < first_day => last_day,
            d if d > last_day => first_day,
            d => d,
        };
        usize::try_from(day - first_day).unwrap_or(0)
    };
    for middle in &middles {
        present[slot(*middle)] = true;
    }
    // Days of the record, and where each day of the span went.
    let mut list = Vec::new();
    let mut index = vec![0usize; present.len()];
    let mut dropped = Vec::new();
    for (n, day) in (first_day..=last_day).enumerate() {
        let date = date_of(day * DAY);
        index[n] = list.len();
        if !present[n] && (date.month(), date.day()) == (2, 29) {
            dropped.push(date.year().to_string());
            continue;
        }
        let small = |n: u32| u8::try_from(n).unwrap_or(1);
        list.push(Day { year: date.year(), month: small(date.month()), day: small(date.day()) });
    }
    let hour_of_row: Vec<usize> = middles
        .iter()
        .map(|m| index[slot(*m)] * 24 + usize::try_from(m.rem_euclid(DAY) / 60).unwrap_or(0))
        .collect();
    let calendar = Calendar::new(list, grid_minute(first));
    if let Some(error) = missing(file, &hour_of_row, &calendar, stamps) {
        return Err(error);
    }
    if calendar.days().len() < 365 && !clock.part_of_year {
        let found = hour_of_row.len() as f64;
        let last = stamps.last().map(|s| time_text(*s));
        return Err(Error::new(file, ErrorKind::WrongHourCount { found, last }));
    }
    note_shift(clock.shift_min, usize::try_from(wrapped).unwrap_or(0), notes);
    if !dropped.is_empty() {
        let note = format!("29 February is not in the file and left out: {}", dropped.join(", "));
        if !notes.contains(&note) {
            notes.push(note);
        }
    }
    Ok(Laid { calendar, kind, hour_of_row })
}
