//! A record taken apart into days that can be put on other dates: brightness, diffuse share, temperature and the rest.

use super::years::{no_year, start_minute, whole_years};
use crate::calendar::{Calendar, Day, HOURS_PER_DAY};
use crate::fault::Fault;
use crate::record::{Place, Record, Source, YearKind};
use crate::sun::clear_sky::{LEAST_COS_ZENITH, haurwitz_w_per_m2};
use crate::sun::{self, Sky};
use std::ops::Range;

/// Dates of a year, 29 February among them.
pub(crate) const DATES: usize = 366;
/// Days before each month in a year of 366 days.
const BEFORE: [usize; 12] = [0, 31, 60, 91, 121, 152, 182, 213, 244, 274, 305, 335];
/// Brightest index: clouds beside the sun can add half to an hour of clear light with the sun low, hardly more.
const MOST_BRIGHTNESS: f64 = 1.5;

/// A record taken apart into days.
#[derive(Debug, Clone)]
pub struct Archive {
    /// Where, and the clock.
    pub(super) place: Place,
    /// Minute at which the hours begin.
    pub(super) start_minute: i8,
    /// Whole years, as ranges of days.
    pub(super) years: Vec<Range<usize>>,
    /// Date of each day, 0 to 365, and its month from 0.
    pub(super) date: Vec<usize>,
    /// Global light over that of a clear sky, hour by hour.
    pub(super) brightness: Vec<f64>,
    /// Diffuse share of global light, hour by hour.
    pub(super) diffuse_share: Vec<f64>,
    /// Light of each part of an hour over that of the hour, hour by hour; empty where the record has whole hours only.
    pub(super) part_share: Vec<Vec<f64>>,
    /// Air temperature, hour by hour.
    pub(super) air_degc: Vec<f64>,
    /// Sum of global light of each day, W h/m².
    pub(super) global_wh_per_m2: Vec<f64>,
    /// Mean temperature of each day.
    pub(super) day_degc: Vec<f64>,
    /// Columns that are carried as they are: wind, albedo, snow, rain, humidity, pressure.
    pub(super) carried: [Option<Vec<f64>>; 6],
    /// What the record says about itself.
    pub(super) source: Source,
}

impl Archive {
    /// Takes a record apart.
    ///
    /// # Units
    /// | symbol | name | unit | valid range |
    /// | --- | --- | --- | --- |
    /// | G, Gd | global and diffuse light of the hour | W/m² | ≥ 0 |
    /// | Gc | clear light with the hour's sun ([`haurwitz_w_per_m2`]), times the lit share of the hour | W/m² | ≥ 0 |
    /// | c, d | brightness and diffuse share | – | 0 to 1.5, 0 to 1 |
    ///
    /// # Equation
    /// `c = G/Gc`, `d = Gd/G` for hours with the sun more than 5.7 degrees up. Other hours take both from the nearest such
    /// hour of the day (the earlier on ties); a day without one takes them from its brightest hour by Gc; a day without
    /// sun, from the nearest day with it.
    ///
    /// # Validity
    /// Clear light is the yardstick because it takes out most of what the sun's height does to an hour; the clearness index
    /// (over the extraterrestrial) would carry a low sun's haze to a higher one.
    ///
    /// # Example
    /// An hour of 400 W/m² where a clear sky would give 500 has a brightness of 0.8; on a date with 450 it gives 360.
    ///
    /// # References
    /// Common practice in resampling of solar radiation; no single source.
    ///
    /// # Errors
    /// The record does not keep what [`Record::check`] asks for, or has no whole year.
    pub fn of(record: &Record) -> Result<Self, Fault> {
        let sky = sun::sky(&sun::Settings::default(), record)?;
        let years = whole_years(&record.calendar);
        if years.is_empty() {
            return Err(no_year());
        }
        let start_minute = start_minute(&record.calendar);
        let clear = clear(&sky);
        let (brightness, diffuse_share) = indices(&sky, &clear);
        let daily = |column: &[f64]| -> Vec<f64> {
            column.chunks_exact(HOURS_PER_DAY).map(|day| day.iter().sum::<f64>()).collect()
        };
        Ok(Self {
            place: record.place.clone(),
            start_minute,
            years,
            date: record.calendar.days().iter().map(|d| date(*d)).collect(),
            brightness,
            diffuse_share,
            part_share: part_shares(record),
            air_degc: record.air_degc.clone(),
            global_wh_per_m2: daily(&sky.ghi_w_per_m2),
            day_degc: daily(&record.air_degc).into_iter().map(|sum| sum / 24.0).collect(),
            carried: [
                record.wind_m_per_s.clone(),
                record.albedo.clone(),
                record.snow_depth_m.clone(),
                record.precipitation_mm.clone(),
                record.relative_humidity.clone(),
                record.pressure_pa.clone(),
            ],
            source: record.source.clone(),
        })
    }

    /// Whole years in it.
    #[must_use]
    pub fn years(&self) -> usize {
        self.years.len()
    }
}

/// Light of each part over that of its hour; 1 in the dark.
fn part_shares(record: &Record) -> Vec<Vec<f64>> {
    let columns = record.parts.iter().map(|part| &part.ghi_w_per_m2);
    #[expect(clippy::cast_precision_loss, reason = "sixty at most")]
    let parts = record.parts.len() as f64;
    let mean = |h: usize| columns.clone().map(|column| column[h]).sum::<f64>() / parts;
    let means: Vec<f64> =
        if record.parts.is_empty() { Vec::new() } else { (0..record.hours()).map(mean).collect() };
    let share = |(part, mean): (&f64, &f64)| if *mean > 0.0 { part / mean } else { 1.0 };
    columns.clone().map(|column| column.iter().zip(&means).map(share).collect()).collect()
}

/// Date of a day in a year of 366 days, from 0.
pub(super) fn date(day: Day) -> usize {
    let month = usize::from(day.month).clamp(1, 12) - 1;
    (BEFORE[month] + usize::from(day.day).max(1) - 1).min(DATES - 1)
}

/// Month of a date, from 0.
pub(super) fn month(date: usize) -> usize {
    BEFORE.iter().rposition(|before| *before <= date).unwrap_or(0)
}

/// A record of these days with nothing in it.
pub(super) fn blank(place: &Place, days: Vec<Day>, start_minute: i8) -> Record {
    let calendar = Calendar::new(days, start_minute);
    let zeros = vec![0.0; calendar.hours()];
    Record {
        place: place.clone(),
        kind: YearKind::Synthetic,
        ghi_w_per_m2: zeros.clone(),
        dni_w_per_m2: Some(zeros.clone()),
        dhi_w_per_m2: Some(zeros.clone()),
        air_degc: zeros,
        ..Record::without_weather(calendar)
    }
}

/// Clear light of each hour, W/m².
pub(super) fn clear(sky: &Sky) -> Vec<f64> {
    sky.direction.iter().zip(&sky.lit_fraction).map(|(sun, lit)| lit * haurwitz_w_per_m2(sun[2])).collect()
}

/// Brightness and diffuse share of each hour.
fn indices(sky: &Sky, clear: &[f64]) -> (Vec<f64>, Vec<f64>) {
    let n = clear.len();
    let (mut brightness, mut share) = (vec![0.0; n], vec![1.0; n]);
    let mut lit_days = Vec::new();
    let days = n / HOURS_PER_DAY;
    for day in 0..days {
        let hours = day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY;
        let mut sound: Vec<usize> =
            hours.clone().filter(|h| clear[*h] > 0.0 && sky.direction[*h][2] >= LEAST_COS_ZENITH).collect();
        if sound.is_empty() {
            let best = hours.clone().max_by(|a, b| clear[*a].total_cmp(&clear[*b]));
            sound.extend(best.filter(|h| clear[*h] > 0.0));
        }
        if sound.is_empty() {
            continue;
        }
        lit_days.push(day);
        for h in hours {
            let Some(from) = sound.iter().copied().min_by_key(|s| s.abs_diff(h)) else { continue };
            let global = sky.ghi_w_per_m2[from];
            brightness[h] = (global / clear[from]).clamp(0.0, MOST_BRIGHTNESS);
            if global > 0.0 {
                share[h] = (sky.dhi_w_per_m2[from] / global).clamp(0.0, 1.0);
            }
        }
    }
    // Polar nights: a day without sun may be put where there is some.
    let mut next = 0;
    for day in 0..days {
        while next < lit_days.len() && lit_days[next] < day {
            next += 1;
        }
        let near = [next.checked_sub(1).map(|n| lit_days[n]), lit_days.get(next).copied()];
        let Some(from) = near.into_iter().flatten().min_by_key(|d| d.abs_diff(day)) else { break };
        if from != day {
            let (from, to) = (from * HOURS_PER_DAY, day * HOURS_PER_DAY);
            brightness.copy_within(from..from + HOURS_PER_DAY, to);
            share.copy_within(from..from + HOURS_PER_DAY, to);
        }
    }
    (brightness, share)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_go_round_the_year() {
        let all: Vec<usize> = Calendar::year(2004).days().iter().map(|d| date(*d)).collect();
        assert_eq!(all, (0..366).collect::<Vec<_>>());
        for day in Calendar::year(2003).days() {
            assert_eq!(month(date(*day)) + 1, usize::from(day.month), "{day:?}");
        }
        assert_eq!((month(59), month(60)), (1, 2));
    }
}
