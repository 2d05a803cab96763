//! Hours without a value: short gaps are bridged, long ones refused or, on request, taken from neighbouring days.

use crate::error::{Error, ErrorKind};
use crate::hours::Hours;
use crate::quantity::Quantity;
use crate::timing::time_text;
use chrono::{Datelike, Weekday};
use dryspell::calendar::{Calendar, HOURS_PER_DAY};
use dryspell::record::{Place, YearKind};
use dryspell::sun::extraterrestrial::{SOLAR_CONSTANT_W_PER_M2, extraterrestrial_normal};
use dryspell::sun::hours::hour_sun;
use dryspell::sun::position::{Ephemeris, Site, julian_date};
use serde::Serialize;

/// Longest gap that is bridged, h.
pub(crate) const BRIDGED: usize = 3;
/// Farthest day that a long gap is filled from.
const FARTHEST_DAY: usize = 15;
/// Sky below this clear-sky radiation says nothing about its clearness, W/m².
const LEAST_CLEAR: f64 = 20.0;

/// One gap that was filled.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Fill {
    /// Start of its first hour.
    pub from: String,
    /// Length, h.
    pub hours: usize,
    /// Columns filled.
    pub columns: Vec<&'static str>,
    /// How.
    pub how: How,
}

/// How a gap was filled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum How {
    /// Between the hours before and after: radiation by its share of a clear sky's, the rest by linear interpolation.
    Bridged,
    /// From the same hours of the nearest days that have them.
    NeighbouringDays,
}

/// A run of hours without a value.
#[derive(Debug, Clone, Copy)]
struct Gap {
    first: usize,
    hours: usize,
}

fn gaps_of(column: &[f64]) -> Vec<Gap> {
    let mut gaps: Vec<Gap> = Vec::new();
    for (h, _) in column.iter().enumerate().filter(|(_, v)| v.is_nan()) {
        match gaps.last_mut() {
            Some(gap) if gap.first + gap.hours == h => gap.hours += 1,
            _ => gaps.push(Gap { first: h, hours: 1 }),
        }
    }
    gaps
}

/// The clear sky of an hour.
#[derive(Debug, Clone, Copy, Default)]
struct Clear {
    level: f64,
    beam: f64,
    cosine: f64,
}

/// Clear skies of a record's hours, worked out where they are needed.
struct ClearSky<'a> {
    calendar: &'a Calendar,
    site: Site,
    offset_h: f64,
    ephemeris: Ephemeris,
}

impl ClearSky<'_> {
    /// Global light by Haurwitz (1945, Journal of Meteorology 2:154, as in pvlib `clearsky.haurwitz`), beam by Meinel and
    /// Meinel (1976, *Applied Solar Energy*: 0.7 to the power of air mass to the 0.678; from memory). Only their course
    /// within a few hours matters here.
    fn at(&mut self, h: usize) -> Clear {
        let day = self.calendar.day_of(h);
        let Some(date) = day.date() else { return Clear::default() };
        let minute = f64::from(self.calendar.start_minute_of_day(h)) - 60.0 * self.offset_h;
        let Ok(sun) = hour_sun(&mut self.ephemeris, &self.site, julian_date(date, minute)) else {
            return Clear::default();
        };
        let cosine = sun.position.direction[2];
        if cosine <= 0.01 {
            return Clear::default();
        }
        let outside = extraterrestrial_normal(f64::from(day.day_of_year()), SOLAR_CONSTANT_W_PER_M2);
        let beam = outside * libm::pow(0.7, libm::pow(1.0 / cosine, 0.678));
        let level = 1098.0 * cosine * libm::exp(-0.059 / cosine);
        Clear { level: level * sun.lit_fraction, beam: beam * sun.lit_fraction, cosine }
    }
}

/// What filling needs to know.
pub(crate) struct Filling<'a> {
    pub(crate) file: &'a str,
    pub(crate) calendar: &'a Calendar,
    pub(crate) place: &'a Place,
    /// Fill long gaps from neighbouring days.
    pub(crate) long_gaps: bool,
    /// Kind of years.
    pub(crate) kind: YearKind,
    /// Time of the file's last row.
    pub(crate) last_row: Option<i64>,
}

/// Fills the gaps of hourly columns.
pub(crate) fn fill(
    about: &Filling<'_>,
    hours: &mut Hours,
    notes: &mut Vec<String>,
) -> Result<Vec<Fill>, Error> {
    ends(about, &hours.has_row)?;
    daylight_saving(about, &hours.has_row)?;
    let mut sky = ClearSky {
        calendar: about.calendar,
        site: Site::new(about.place),
        offset_h: about.place.utc_offset_h,
        ephemeris: Ephemeris::default(),
    };
    let mut fills: Vec<Fill> = Vec::new();
    for q in Quantity::ALL {
        let Some(mut column) = hours.columns.take(q) else { continue };
        let gaps = gaps_of(&column);
        if gaps.iter().any(|g| g.hours == column.len()) && !q.is_needed() {
            notes.push(format!("the {} column is marked as missing in every row", q.words()));
            continue;
        }
        let missing: usize = gaps.iter().map(|g| g.hours).sum();
        let mut kept = true;
        for gap in &gaps {
            let how = if gap.hours <= BRIDGED && bridge(q, &mut column, *gap, hours, &mut sky) {
                How::Bridged
            } else if about.long_gaps && from_neighbours(&mut column, *gap, &gaps) {
                How::NeighbouringDays
            } else if q.is_needed() {
                let from = about.calendar.start_text(gap.first);
                let kind = if hours.has_row[gap.first] {
                    ErrorKind::MissingValues { quantity: q, from, hours: gap.hours }
                } else {
                    ErrorKind::MissingRows { from, hours: gap.hours }
                };
                return Err(Error::new(about.file, kind));
            } else {
                let all = column.len();
                let words = q.words();
                notes.push(format!("the {words} column is not used: {missing} of {all} hours are missing"));
                kept = false;
                break;
            };
            let from = about.calendar.start_text(gap.first);
            let same = |f: &&mut Fill| f.from == from && f.hours == gap.hours && f.how == how;
            match fills.iter_mut().find(same) {
                Some(fill) => fill.columns.push(q.name()),
                None => fills.push(Fill { from, hours: gap.hours, columns: vec![q.name()], how }),
            }
        }
        if kept {
            *hours.columns.get_mut(q) = Some(column);
        } else {
            for fill in &mut fills {
                fill.columns.retain(|c| *c != q.name());
            }
            fills.retain(|f| !f.columns.is_empty());
        }
    }
    fills.sort_by(|a, b| (&a.from, a.hours).cmp(&(&b.from, b.hours)));
    Ok(fills)
}

/// A file that begins late or ends early is cut off, however little is missing.
fn ends(about: &Filling<'_>, has_row: &[bool]) -> Result<(), Error> {
    if has_row.first() != Some(&false) && has_row.last() != Some(&false) {
        return Ok(());
    }
    let kind = if about.kind == YearKind::Typical {
        let found = has_row.iter().filter(|h| **h).count() as f64;
        ErrorKind::WrongHourCount { found, last: about.last_row.map(time_text) }
    } else {
        let text = |h: Option<usize>| about.calendar.start_text(h.unwrap_or(0));
        ErrorKind::NotWholeDays {
            first: text(has_row.iter().position(|h| *h)),
            last: text(has_row.iter().rposition(|h| *h)),
        }
    };
    Err(Error::new(about.file, kind))
}

/// One hour without a row in the night of a Sunday on which clocks are put forward somewhere.
fn daylight_saving(about: &Filling<'_>, has_row: &[bool]) -> Result<(), Error> {
    for (h, _) in has_row.iter().enumerate().filter(|(_, here)| !**here) {
        let alone = h > 0 && has_row[h - 1] && has_row.get(h + 1) == Some(&true);
        let day = about.calendar.day_of(h);
        let season = matches!((day.month, day.day), (3, 8..=31) | (4, 1..=7) | (8, 24..=31) | (9 | 10, _));
        let sunday = day.date().is_some_and(|d| d.weekday() == Weekday::Sun);
        if alone && season && sunday && (1..=3).contains(&(h % HOURS_PER_DAY)) {
            let from = about.calendar.start_text(h);
            return Err(Error::new(about.file, ErrorKind::DaylightSaving { from }));
        }
    }
    Ok(())
}

/// Fills a short gap from the hours beside it; `false` where they do not tell.
fn bridge(q: Quantity, column: &mut [f64], gap: Gap, hours: &Hours, sky: &mut ClearSky<'_>) -> bool {
    let after = gap.first + gap.hours;
    if gap.first == 0 || after >= column.len() {
        return false;
    }
    let (before, after) = (gap.first - 1, after);
    let share = |h: usize| (h - before) as f64 / (after - before) as f64;
    if !q.is_radiation() {
        let (a, b) = (column[before], column[after]);
        for (h, value) in (gap.first..).zip(&mut column[gap.first..after]) {
            *value = if q == Quantity::Precipitation { 0.0 } else { a + (b - a) * share(h) };
        }
        return true;
    }
    let clear: Vec<Clear> = (before..=after).map(|h| sky.at(h)).collect();
    let reference = |c: &Clear| if q == Quantity::Dni { c.beam } else { c.level };
    let index = |h: usize, c: &Clear| (reference(c) > LEAST_CLEAR).then(|| column[h] / reference(c));
    let left = index(before, &clear[0]);
    let right = clear.last().and_then(|c| index(after, c));
    let dark = clear.iter().all(|c| reference(c) <= LEAST_CLEAR);
    let (Some(left), Some(right)) =
        (left.or(right).or(dark.then_some(0.0)), right.or(left).or(dark.then_some(0.0)))
    else {
        return false;
    };
    for (h, c) in (before..).zip(&clear).skip(1).take(gap.hours) {
        let index = left + (right - left) * share(h);
        column[h] = index * reference(c);
        // With global light and beam known, the rest is diffuse.
        if q == Quantity::Dhi
            && let (Some(ghi), Some(dni)) =
                (hours.columns.get(Quantity::Ghi), hours.columns.get(Quantity::Dni))
            && ghi[h].is_finite()
            && dni[h].is_finite()
        {
            column[h] = (ghi[h] - dni[h] * c.cosine).max(0.0);
        }
    }
    true
}

/// Fills a gap hour by hour from the nearest day that has the hour; `false`, and nothing changed, where there is none.
fn from_neighbours(column: &mut [f64], gap: Gap, gaps: &[Gap]) -> bool {
    let given = |h: usize| !gaps.iter().any(|g| (g.first..g.first + g.hours).contains(&h));
    let mut values = Vec::with_capacity(gap.hours);
    for h in gap.first..gap.first + gap.hours {
        let found = (1..=FARTHEST_DAY)
            .flat_map(|d| [h.checked_sub(d * HOURS_PER_DAY), h.checked_add(d * HOURS_PER_DAY)])
            .flatten()
            .find(|k| *k < column.len() && given(*k));
        let Some(from) = found else { return false };
        values.push(column[from]);
    }
    column[gap.first..gap.first + gap.hours].copy_from_slice(&values);
    true
}
