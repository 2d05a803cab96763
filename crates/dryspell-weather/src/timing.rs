//! Rows on the file's clock → whole days of hours in local standard time.
//!
//! A calendar record lies in absolute time. A typical year does not: its months come from different years, so its
//! rows are placed by month, day and hour in a year without a number, and each day keeps the year of its noon.

use crate::error::{Error, ErrorKind, YEARS};
use crate::options::Stamps;
use crate::table::{Meaning, RowData};
use chrono::{Datelike, NaiveDate};
use dryspell::calendar::{Calendar, Day};
use dryspell::record::YearKind;

/// Minutes in a day.
const DAY_MIN: i64 = 1440;
/// Seconds in a day.
pub(crate) const DAY_S: i64 = 86_400;
/// Julian date of midnight before day 0 of the common era's count.
const JULIAN_OF_DAY_0: f64 = 1_721_424.5;

/// How to lay out.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Clock {
    /// Local standard time minus the rows' clock, minutes, with any shift that was fitted and accepted.
    pub(crate) shift_min: i64,
    /// Kind of years, where it is known.
    pub(crate) kind: Option<YearKind>,
    /// Whether the user stated what the stamps mean.
    pub(crate) stamps_stated: bool,
    /// Whether less than a year is accepted.
    pub(crate) part_of_year: bool,
    /// Whether hours are made anew from the rows, so that they can begin at the full hour.
    pub(crate) resampled: bool,
}

/// Where each row goes.
#[derive(Debug, Clone)]
pub(crate) struct RowPlaces {
    pub(crate) calendar: Calendar,
    pub(crate) kind: YearKind,
    /// Middle of each row, seconds after the record's first midnight.
    pub(crate) middles_s: Vec<i64>,
}

/// Hours as whole minutes.
pub(crate) fn minutes(hours: f64) -> i64 {
    #[expect(clippy::cast_possible_truncation, reason = "offsets from UTC are within a day")]
    let minutes = libm::round(hours.clamp(-48.0, 48.0) * 60.0) as i64;
    minutes
}

/// A minute of the civil calendar, see [`RowData::stamps`].
pub(crate) fn civil_minute(year: i32, month: i32, day: i32, minute: i64) -> Result<i64, ErrorKind> {
    let date = u32::try_from(month)
        .ok()
        .zip(u32::try_from(day).ok())
        .and_then(|(m, d)| NaiveDate::from_ymd_opt(year, m, d))
        .filter(|_| YEARS.contains(&year))
        .ok_or(ErrorKind::NoSuchDate { year, month, day })?;
    Ok(i64::from(date.num_days_from_ce()) * DAY_MIN + minute)
}

fn date_of(second: i64) -> NaiveDate {
    let days = i32::try_from(second.div_euclid(DAY_S)).ok();
    days.and_then(NaiveDate::from_num_days_from_ce_opt).unwrap_or_default()
}

/// Month of a civil second, 1 to 12.
pub(crate) fn month_of(second: i64) -> u32 {
    date_of(second).month()
}

/// A civil minute as text.
pub(crate) fn time_text(minute: i64) -> String {
    let of_day = minute.rem_euclid(DAY_MIN);
    format!("{} {:02}:{:02}", date_of(minute * 60).format("%Y-%m-%d"), of_day / 60, of_day % 60)
}

/// Julian date, universal time, of a civil second on a clock so many hours ahead of UTC.
pub(crate) fn julian(second: i64, clock_offset_h: f64) -> f64 {
    let days = second.div_euclid(DAY_S) as f64;
    let of_day = second.rem_euclid(DAY_S) as f64;
    days + JULIAN_OF_DAY_0 + (of_day / 3600.0 - clock_offset_h) / 24.0
}

/// Minutes between rows: the most frequent forward distance among the first rows.
pub(crate) fn step_of(rows: &RowData) -> Result<i64, Error> {
    let mut counts = std::collections::BTreeMap::new();
    for pair in rows.stamps.windows(2).take(500) {
        if pair[1] > pair[0] {
            *counts.entry(pair[1] - pair[0]).or_insert(0usize) += 1;
        }
    }
    let Some((&step, _)) = counts.iter().max_by_key(|(step, n)| (**n, -**step)) else {
        let last = rows.stamps.last().map(|s| time_text(*s));
        return Err(rows.error(ErrorKind::WrongHourCount { found: rows.stamps.len() as f64, last }));
    };
    if 60 % step != 0 {
        return Err(rows.error_at(1, ErrorKind::OddStep { minutes: step }));
    }
    Ok(step)
}

/// Middle of each row's step, civil seconds on the rows' clock.
pub(crate) fn middles(rows: &RowData, meaning: Meaning, step_min: i64) -> Vec<i64> {
    let to_middle = match meaning {
        Meaning::Mean(Stamps::Start) | Meaning::Instant { .. } => step_min * 30,
        Meaning::Mean(Stamps::End) => -step_min * 30,
        Meaning::Mean(Stamps::Middle) | Meaning::Centred => 0,
    };
    rows.stamps.iter().map(|s| s * 60 + to_middle).collect()
}

/// Whether years follow each other as in the calendar.
pub(crate) fn kind_of(middles: &[i64]) -> YearKind {
    let mut last = None;
    let mut last_day = None;
    for middle in middles {
        let day = middle.div_euclid(DAY_S);
        if last_day.replace(day) == Some(day) {
            continue;
        }
        let date = date_of(*middle);
        let this = (date.year(), date.month());
        if let Some((year, month)) = last {
            let next_year = month == 12 && this == (year + 1, 1);
            // Its end runs back into its own beginning.
            let round = month == 12 && this == (year, 1);
            if (this.0 != year && !next_year) || round {
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

fn is_leap_day(second: i64) -> bool {
    let date = date_of(second);
    (date.month(), date.day()) == (2, 29)
}

/// Lays rows out.
pub(crate) fn lay_out(
    rows: &RowData,
    middles: &[i64],
    step_min: i64,
    clock: &Clock,
    notes: &mut Vec<String>,
) -> Result<RowPlaces, Error> {
    let kind = clock.kind.unwrap_or_else(|| kind_of(middles));
    // Some hours of 29 February are the end of a 28th or the beginning of a first of March on the rows' clock, and no
    // leap day.
    let half_a_day = usize::try_from(720 / step_min).unwrap_or(12);
    let leap =
        kind == YearKind::Typical && middles.iter().filter(|m| is_leap_day(**m)).nth(half_a_day).is_some();
    // Place of each row's middle on one running axis, before the shift to the local clock.
    let places: Vec<i64> = match kind {
        YearKind::Typical => {
            let mut last = (i64::MIN, 0);
            let mut place = |second: i64| {
                let day = second.div_euclid(DAY_S);
                if day != last.0 {
                    let date = date_of(second);
                    last = (day, (days_before(date.month(), leap) + i64::from(date.day()) - 1) * DAY_S);
                }
                let of_day = second.rem_euclid(DAY_S);
                let stray = !leap && of_day >= DAY_S / 2 && is_leap_day(second);
                last.1 + of_day - if stray { DAY_S } else { 0 }
            };
            let mut before = 0;
            let mut turned = 0;
            let mut on_axis = |second: i64| {
                let here = place(second);
                // The months run on into January: a year that does not begin there, or a last hour beyond midnight.
                if turned == 0 && before - here > 300 * DAY_S {
                    turned = year_length(leap);
                }
                before = here;
                here + turned
            };
            middles.iter().map(|m| on_axis(*m)).collect()
        }
        YearKind::Calendar | YearKind::Synthetic | YearKind::Projected => middles.to_vec(),
    };
    let turn = (kind == YearKind::Typical).then(|| year_length(leap));
    in_order(rows, &places, step_min, turn)?;
    match kind {
        YearKind::Typical => {
            let laid = typical(middles, &places, clock, leap, notes);
            let days = laid.calendar.days();
            if clock.kind.is_none() && days.iter().all(|day| day.year == days[0].year) {
                notes.push(
                    "all rows have one year and its end joins its beginning: read as a typical year".into(),
                );
            }
            Ok(laid)
        }
        YearKind::Calendar | YearKind::Synthetic | YearKind::Projected => {
            running(rows, &places, step_min, clock, kind, notes)
        }
    }
}

/// Seconds in a typical year.
const fn year_length(leap: bool) -> i64 {
    if leap { 366 * DAY_S } else { 365 * DAY_S }
}

/// Refuses duplicates, rows out of order and rows off the grid. `turn` is the length of a year that is joined at its ends.
fn in_order(rows: &RowData, places: &[i64], step_min: i64, turn: Option<i64>) -> Result<(), Error> {
    for (i, pair) in places.windows(2).enumerate() {
        let (before, this) = (pair[0], pair[1]);
        let time = || time_text(rows.stamps[i + 1]);
        let again = turn.filter(|turn| this - places[0] >= *turn).map(|turn| this - turn);
        let kind = if (this - before) % (step_min * 60) != 0 {
            ErrorKind::OffTheGrid { time: time(), step_min }
        } else if this > before && again.is_none() {
            continue;
        } else if let Some(first) = places[..=i].iter().rposition(|p| *p == again.unwrap_or(this)) {
            ErrorKind::DuplicateRow { time: time(), first_line: rows.lines[first] }
        } else {
            ErrorKind::OutOfOrder { time: time(), before: time_text(rows.stamps[i]) }
        };
        return Err(rows.error_at(i + 1, kind));
    }
    Ok(())
}

/// Minute at which hours begin, from the full clock hour of their middle.
fn grid_minute(middle_s: i64, clock: &Clock) -> i8 {
    if clock.resampled {
        return 0;
    }
    i8::try_from(middle_s.div_euclid(60).rem_euclid(60) - 30).unwrap_or(0)
}

/// A typical year: by month, day and hour; rows pushed over the year's end by the local clock wrap round.
fn typical(middles: &[i64], places: &[i64], clock: &Clock, leap: bool, notes: &mut Vec<String>) -> RowPlaces {
    let day_count: usize = if leap { 366 } else { 365 };
    let length = year_length(leap);
    let shift = clock.shift_min * 60;
    let mut year_of_day: Vec<Option<(i64, i32)>> = vec![None; day_count];
    let mut middles_s = Vec::with_capacity(places.len());
    let (mut over, mut last) = (0i64, (i64::MIN, 0));
    for (place, middle) in places.iter().zip(middles) {
        let moved = place + shift;
        over = if (0..length).contains(&moved) { over } else { over + 1 };
        let wrapped = moved.rem_euclid(length);
        middles_s.push(wrapped);
        let day = middle.div_euclid(DAY_S);
        if day != last.0 {
            last = (day, date_of(*middle).year());
        }
        // A day keeps the year of its noon, or of the row nearest to it.
        let from_noon = (wrapped.rem_euclid(DAY_S) - DAY_S / 2 - 1800).abs();
        if let Some(of_day) = usize::try_from(wrapped / DAY_S).ok().and_then(|d| year_of_day.get_mut(d))
            && of_day.is_none_or(|(distance, _)| from_noon < distance)
        {
            *of_day = Some((from_noon, last.1));
        }
    }
    let mut list = Vec::with_capacity(day_count);
    let mut year = middles.first().map_or(2001, |m| date_of(*m).year());
    for (month, days) in
        (1u8..).zip([31u8, if leap { 29 } else { 28 }, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
    {
        for day in 1..=days {
            year = year_of_day.get(list.len()).copied().flatten().map_or(year, |(_, year)| year);
            list.push(Day { year, month, day });
        }
    }
    let start_minute = middles_s.first().map_or(0, |m| grid_minute(*m, clock));
    note_shift(clock.shift_min, (over > 0).then_some(clock.shift_min), notes);
    RowPlaces { calendar: Calendar::new(list, start_minute), kind: YearKind::Typical, middles_s }
}

/// Notes what was moved; `wrapped_min` is what went round: from the file's beginning where it is negative.
fn note_shift(shift_min: i64, wrapped_min: Option<i64>, notes: &mut Vec<String>) {
    let moved = (shift_min != 0).then(|| {
        let hours = shift_min as f64 / 60.0;
        format!("rows shifted by {hours:+} h from the file's clock to local standard time")
    });
    let round = wrapped_min.map(|minutes| {
        let (end, other) = if minutes < 0 { ("first", "end") } else { ("last", "beginning") };
        let hours = minutes.abs() as f64 / 60.0;
        format!("the {end} {hours} h of the file are moved to the record's {other}")
    });
    let note: Vec<String> = moved.into_iter().chain(round).collect();
    if !note.is_empty() {
        notes.push(note.join("; "));
    }
}

/// Consecutive days; 29 February may be left out of leap years.
fn running(
    rows: &RowData,
    places: &[i64],
    step_min: i64,
    clock: &Clock,
    kind: YearKind,
    notes: &mut Vec<String>,
) -> Result<RowPlaces, Error> {
    let step = step_min * 60;
    let moved: Vec<i64> = places.iter().map(|p| p + clock.shift_min * 60).collect();
    let (Some(&first), Some(&last)) = (moved.first(), moved.last()) else {
        return Err(rows.error(ErrorKind::WrongHourCount { found: 0.0, last: None }));
    };
    let (mut first_day, mut last_day) = (first.div_euclid(DAY_S), last.div_euclid(DAY_S));
    // Moved to the local clock, or stamped as stated, the file begins and ends within a day: both parts make one day.
    let of_first_day = first.rem_euclid(DAY_S);
    let wraps = (clock.shift_min != 0 || clock.stamps_stated)
        && of_first_day >= step
        && of_first_day == (last + step).rem_euclid(DAY_S)
        && first_day < last_day;
    // What goes round is what was moved out of the file's own days; where nothing was moved, the shorter part.
    let from_beginning = clock.shift_min < 0 || (clock.shift_min == 0 && of_first_day > DAY_S / 2);
    let wrapped_min = wraps.then(|| {
        let missing_s = of_first_day - of_first_day % step;
        if from_beginning { (missing_s - DAY_S) / 60 } else { missing_s / 60 }
    });
    if wraps && from_beginning {
        first_day += 1;
    } else if wraps {
        last_day -= 1;
    }
    let span = last_day - first_day + 1;
    let day_index = |middle: i64| {
        let day = middle.div_euclid(DAY_S) - first_day;
        if wraps { day.rem_euclid(span) } else { day }
    };
    let mut present = vec![false; usize::try_from(span).unwrap_or(0)];
    for middle in &moved {
        if let Some(day) = usize::try_from(day_index(*middle)).ok().and_then(|d| present.get_mut(d)) {
            *day = true;
        }
    }
    let mut list = Vec::new();
    let mut dropped_before = Vec::with_capacity(present.len());
    let mut dropped = Vec::new();
    for (here, day) in present.iter().zip(first_day..) {
        dropped_before.push(dropped.len() as i64);
        let date = date_of(day * DAY_S);
        if !here && is_leap_day(day * DAY_S) {
            dropped.push(date.year().to_string());
            continue;
        }
        let small = |n: u32| u8::try_from(n).unwrap_or(1);
        list.push(Day { year: date.year(), month: small(date.month()), day: small(date.day()) });
    }
    let on_record = |middle: &i64| {
        let day = day_index(*middle);
        let before = usize::try_from(day).ok().and_then(|d| dropped_before.get(d)).copied().unwrap_or(0);
        (day - before) * DAY_S + middle.rem_euclid(DAY_S)
    };
    let middles_s = moved.iter().map(on_record).collect();
    if list.len() < 365 && !clock.part_of_year {
        let found = moved.len() as f64 * step_min as f64 / 60.0;
        let last = rows.stamps.last().map(|s| time_text(*s));
        return Err(rows.error(ErrorKind::WrongHourCount { found, last }));
    }
    note_shift(clock.shift_min, wrapped_min, notes);
    if !dropped.is_empty() {
        let note = format!("29 February is missing from the file and left out: {}", dropped.join(", "));
        if !notes.contains(&note) {
            notes.push(note);
        }
    }
    Ok(RowPlaces { calendar: Calendar::new(list, grid_minute(first, clock)), kind, middles_s })
}
