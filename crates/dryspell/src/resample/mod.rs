//! Made years from a record: blocks of its days put together anew, in season.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! | --- | --- | --- | --- |
//! | L | [`Settings::mean_block_days`] | days | 1 to 366 |
//! | w | [`Settings::window_days`] | days | 0 to 183 |
//! | c, d | brightness and diffuse share of an hour (see [`archive`]) | – | 0 to 1.5, 0 to 1 |
//! | S | smooth course of temperature through the year (three waves) | °C | |
//!
//! # Equation
//!
//! Each day of a made year is, with a chance of 1/L, the first of a new block, drawn from all days of the record whose date
//! lies within w days of its own (round the year's end); else it is the day of the record that follows the last one, the
//! first day following the last. With the made day's own sun, hour by hour: global light `G = f·c·Gc` (Gc: clear light of
//! that hour), at most the extraterrestrial; diffuse light `d·G`; beam by closure. Temperature
//! `T = S(made date) + (T − S)(record's day) + t`. Wind, rain, snow depth, albedo, humidity and pressure are those of the
//! record's hour. `f` and `t` are constants of each month that give the months of the made years, on average, the record's
//! own mean light and temperature: without them a window draws a bright month towards its neighbours.
//!
//! # Validity
//!
//! - Weather is remembered within blocks only: the correlation at a lag of k days is `(1 − 1/L)^k` of the record's, and what
//!   lasts for months (a dull summer, a warm year) is lost, so that totals of made years differ too little.
//! - Nothing brighter, duller or colder than the days of the record is made, only other successions of them. What these
//!   years say is about the record; what the record says about the site is a question for [`interval`].
//! - At joins snow depth may jump. Temperature would by several degrees at midnight: half the step is laid over the twelve hours
//!   before it and half over those after, which leaves the mean of the two days as it was.
//! - A year goes on where the year before ended, unless a block begins there by chance: none is forced in the middle of the
//!   winter. The first year begins with a new block.
//! - Made years have the dates of 2000 on, leap days too. The label sets the sun and means nothing else.
//! - One typical year can be taken apart like any other, but holds no extremes and no other years.
//!
//! The same seed gives the same bytes on any machine, with any number of threads: year `i` depends on the record, the
//! settings, the seed and `i` only (of the year before it takes the last day, which follows from the same).
//!
//! # Example
//!
//! ```
//! use dryspell::calendar::Calendar;
//! use dryspell::record::{Place, RadiationTime, Record, Source, YearKind};
//! use dryspell::resample::{Archive, Resampler, Settings};
//! let calendar = Calendar::year(2011);
//! let n = calendar.hours();
//! let place = Place { name: "here".into(), latitude_deg: 45.0, longitude_deg: 0.0, elevation_m: 0.0, utc_offset_h: 0.0 };
//! // Global light of 200 W/m² from 10 to 14 o'clock, and 10 °C.
//! let ghi = (0..n).map(|h| if (10..14).contains(&(h % 24)) { 200.0 } else { 0.0 }).collect();
//! let record = Record {
//!     place, calendar, kind: YearKind::Calendar, radiation_time: RadiationTime::HourMean, ghi_w_per_m2: ghi,
//!     dni_w_per_m2: None, dhi_w_per_m2: None, air_degc: vec![10.0; n], wind_m_per_s: None, albedo: None,
//!     snow_depth_m: None, precipitation_mm: None, relative_humidity: None, pressure_pa: None, parts: Vec::new(),
//!     source: Source::default(),
//! };
//! let archive = Archive::of(&record).unwrap();
//! let year = Resampler::new(&archive, &[0], Settings::default(), 1).unwrap().year(0).unwrap();
//! // The first made year has the dates of 2000.
//! assert_eq!(year.hours(), 8784);
//! assert!((year.air_degc[4000] - 10.0).abs() < 1e-9);
//! ```
//!
//! # References
//!
//! D. N. Politis and J. P. Romano, "The stationary bootstrap", J. Am. Stat. Assoc. 89 (1994) 1303, doi
//! 10.1080/01621459.1994.10476870 (from memory). The window of dates and the index carried with the sun: common practice.

pub mod archive;
pub mod block_length;
pub mod blocks;
mod coverage;
pub mod interval;
mod pool;
mod season;
pub(crate) mod threads;
pub mod years;

pub use archive::Archive;

use crate::calendar::{Calendar, HOURS_PER_DAY};
use crate::fault::{Fault, FaultKind};
use crate::random::{Purpose, Stream};
use crate::record::{PartLight, Record, Source};
use crate::sun::split::{Light, Radiation, split};
use crate::sun::{self, Sky};
use archive::{DATES, blank, clear, date, month};
use pool::{Pool, VALUES};
use season::whole;
use std::num::NonZeroUsize;

pub use crate::record::MOST_YEARS;
/// Label of the first made year.
const FIRST_LABEL: i32 = 2000;
/// Hours on either side of a join over which a step of temperature is laid; half a day, so that those of two joins do not meet.
const SMOOTHED_H: usize = 12;
/// Furthest that a block's first day may lie from its date: half a year, so that any day may stand anywhere.
const WIDEST_DAYS: u32 = 183;

/// How blocks are drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// Mean length of a block, days, 1 to 366; see [`blocks::MEAN_BLOCK_DAYS`] for the default of 15, and
    /// [`block_length`] for the length that suits a record and a tank.
    pub mean_block_days: f64,
    /// How far a block's first day may lie from the date on which it is put, days, 0 to 183. Default 15: a month of days
    /// from every year, over which the sun's height changes little enough for its light to be rebuilt.
    pub window_days: u32,
}

impl Default for Settings {
    fn default() -> Self {
        Self { mean_block_days: blocks::MEAN_BLOCK_DAYS, window_days: 15 }
    }
}

impl Settings {
    /// Checks the ranges.
    ///
    /// # Errors
    /// The first value outside its range.
    pub fn check(&self) -> Result<(), Fault> {
        blocks::check_mean(self.mean_block_days)?;
        if self.window_days > WIDEST_DAYS {
            return Err(Fault::at_key(
                "window_days",
                FaultKind::OutOfRange,
                format!("{} days", self.window_days),
                format!("a window reaches 0 to {WIDEST_DAYS} days either side of the date"),
                "take 15 days, or 5 to 30 to see how much it matters",
            ));
        }
        Ok(())
    }
}

/// Makes years from years of a record.
#[derive(Debug, Clone)]
pub struct Resampler<'a> {
    archive: &'a Archive,
    settings: Settings,
    seed: u64,
    /// Days of the archive, in the order in which they follow each other.
    ring: Vec<usize>,
    pool: Pool,
    season_degc: [f64; DATES],
    /// For each date, over the days that may stand on it: mean brightness of each hour, and mean of the day's
    /// temperature less the season's.
    means: Vec<[f64; VALUES]>,
    /// By month, means over the days of the ring: light of a day and temperature.
    record_months: [(f64, f64); 12],
}

impl<'a> Resampler<'a> {
    /// A resampler of the given years of a record, in that order (a year may come more than once).
    ///
    /// # Errors
    /// A setting outside its range, no years, or a year that the record does not have.
    pub fn new(archive: &'a Archive, years: &[usize], settings: Settings, seed: u64) -> Result<Self, Fault> {
        settings.check()?;
        let ring: Vec<usize> = years::ranges(&archive.years, years)?.into_iter().flatten().collect();
        let dates: Vec<usize> = ring.iter().map(|d| archive.date[*d]).collect();
        let window = usize::try_from(settings.window_days).unwrap_or(DATES);
        let pool = Pool::new(&dates, window);
        let (mut sums, mut counts) = ([0.0; DATES], [0.0; DATES]);
        for day in &ring {
            sums[archive.date[*day]] += archive.day_degc[*day];
            counts[archive.date[*day]] += 1.0;
        }
        let season_degc = season::smooth(&sums, &counts);
        // Every day that may stand on a date does so with the same chance, so its mean is that of the pool.
        let means = pool.means(|place| {
            let day = ring[place];
            let mut values = [0.0; VALUES];
            values[..HOURS_PER_DAY]
                .copy_from_slice(&archive.brightness[day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY]);
            values[HOURS_PER_DAY] = archive.day_degc[day] - season_degc[archive.date[day]];
            values
        });
        let mut record = [Sums::default(); 12];
        for day in &ring {
            record[month(archive.date[*day])].add(archive.global_wh_per_m2[*day], archive.day_degc[*day]);
        }
        let record_months = record.map(|month| month.means());
        Ok(Self { archive, settings, seed, ring, pool, season_degc, means, record_months })
    }

    /// A resampler of all years of a record.
    ///
    /// # Errors
    /// A setting outside its range.
    pub fn of_all(archive: &'a Archive, settings: Settings, seed: u64) -> Result<Self, Fault> {
        let years: Vec<usize> = (0..archive.years()).collect();
        Self::new(archive, &years, settings, seed)
    }

    /// Made year `index`, counted from 0.
    ///
    /// # Errors
    /// A year beyond [`MOST_YEARS`].
    pub fn year(&self, index: usize) -> Result<Record, Fault> {
        let label = i32::try_from(index).ok().filter(|_| index < MOST_YEARS).map(|i| FIRST_LABEL + i);
        let label = label.ok_or_else(|| count_fault(index.saturating_add(1)))?;
        let days = Calendar::year(label).days().to_vec();
        let dates: Vec<usize> = days.iter().map(|d| date(*d)).collect();
        let places = self.places(index, &dates);
        let from: Vec<usize> = places.iter().map(|place| self.ring[*place]).collect();
        let mut made = blank(&self.archive.place, days, self.archive.start_minute);
        let sky = sun::sky(&sun::Settings::default(), &made)?;
        let clear = clear(&sky);
        let months = self.corrections(&clear, &dates);
        self.light(&mut made, &sky, &clear, |h| months[month(dates[h / HOURS_PER_DAY])].0, &from);
        for (day, source) in from.iter().enumerate() {
            let add = self.season_degc[dates[day]] - self.season_degc[self.archive.date[*source]]
                + months[month(dates[day])].1;
            for hour in 0..HOURS_PER_DAY {
                made.air_degc[day * HOURS_PER_DAY + hour] =
                    self.archive.air_degc[source * HOURS_PER_DAY + hour] + add;
            }
        }
        // Years that were drawn one after the other, and the record's end and beginning, meet like any blocks.
        let joins = (1..from.len()).filter(|day| from[*day] != from[day - 1] + 1);
        joins.for_each(|day| smooth_join(&mut made.air_degc, day * HOURS_PER_DAY));
        let [wind, albedo, snow, rain, humidity, pressure] = &self.archive.carried;
        let carry = |column: &Option<Vec<f64>>| -> Option<Vec<f64>> {
            let column = column.as_ref()?;
            Some(
                from.iter()
                    .flat_map(|day| &column[day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY])
                    .copied()
                    .collect(),
            )
        };
        made.wind_m_per_s = carry(wind);
        made.albedo = carry(albedo);
        made.snow_depth_m = carry(snow);
        made.precipitation_mm = carry(rain);
        made.relative_humidity = carry(humidity);
        made.pressure_pa = carry(pressure);
        made.source = self.source();
        Ok(made)
    }

    /// The first `count` made years, a record each, by so many threads.
    ///
    /// # Errors
    /// As [`Resampler::year`].
    pub fn years(&self, count: usize, threads: NonZeroUsize) -> Result<Vec<Record>, Fault> {
        if count > MOST_YEARS {
            return Err(count_fault(count));
        }
        threads::in_order(count, threads, |index| self.year(index))
    }

    /// The first `count` made years as one record.
    ///
    /// # Errors
    /// As [`Resampler::year`]; also a count of 0.
    pub fn record(&self, count: usize, threads: NonZeroUsize) -> Result<Record, Fault> {
        let mut years = self.years(count, threads)?.into_iter();
        let mut all = years.next().ok_or_else(|| count_fault(0))?;
        let mut days = all.calendar.days().to_vec();
        for year in years {
            days.extend_from_slice(year.calendar.days());
            all.parts.iter_mut().zip(&year.parts).for_each(|(part, more)| part.extend(more));
            all.ghi_w_per_m2.extend(year.ghi_w_per_m2);
            all.air_degc.extend(year.air_degc);
            for (to, from) in [
                (&mut all.dni_w_per_m2, year.dni_w_per_m2),
                (&mut all.dhi_w_per_m2, year.dhi_w_per_m2),
                (&mut all.wind_m_per_s, year.wind_m_per_s),
                (&mut all.albedo, year.albedo),
                (&mut all.snow_depth_m, year.snow_depth_m),
                (&mut all.precipitation_mm, year.precipitation_mm),
                (&mut all.relative_humidity, year.relative_humidity),
                (&mut all.pressure_pa, year.pressure_pa),
            ] {
                if let (Some(to), Some(from)) = (to.as_mut(), from) {
                    to.extend(from);
                }
            }
        }
        all.calendar = Calendar::new(days, self.archive.start_minute);
        Ok(all)
    }

    /// Places in the ring of the days that stand on the dates of made year `index`.
    fn places(&self, index: usize, dates: &[usize]) -> Vec<usize> {
        // Where in the year before its last block began follows from that year alone, as good as always.
        let before = index.checked_sub(1).and_then(|before| {
            let label = i32::try_from(before).ok()?.checked_add(FIRST_LABEL)?;
            let dates: Vec<usize> = Calendar::year(label).days().iter().map(|d| date(*d)).collect();
            self.drawn(before, &dates, None).last().copied()
        });
        self.drawn(index, dates, before)
    }

    fn drawn(&self, index: usize, dates: &[usize], before: Option<usize>) -> Vec<usize> {
        let number = u64::try_from(index).unwrap_or(u64::MAX);
        let mut stream = Stream::new(self.seed, Purpose::Blocks, number);
        let start = |stream: &mut Stream, day: usize| {
            let date = dates[day];
            self.pool.day(date, stream.below(self.pool.len(date)))
        };
        blocks::series(
            &mut stream,
            self.ring.len(),
            dates.len(),
            self.settings.mean_block_days,
            before,
            start,
        )
    }

    /// Rebuilds the light of a made year with its own sun.
    fn light(
        &self,
        made: &mut Record,
        sky: &Sky,
        clear: &[f64],
        factor: impl Fn(usize) -> f64,
        from: &[usize],
    ) {
        let n = clear.len();
        let (mut beam, mut diffuse) = (Vec::with_capacity(n), Vec::with_capacity(n));
        for (h, clear) in clear.iter().enumerate() {
            let day = h / HOURS_PER_DAY;
            let source = from[day] * HOURS_PER_DAY + h % HOURS_PER_DAY;
            let light = Light {
                zenith_deg: sky.zenith_deg[h],
                cos_zenith: sky.direction[h][2],
                extraterrestrial_normal: sky.extraterrestrial_normal_w_per_m2[h],
                lit_fraction: sky.lit_fraction[h],
            };
            let outside = light.extraterrestrial_normal * light.cos_zenith.max(0.0) * light.lit_fraction;
            let ghi = (factor(h) * self.archive.brightness[source] * clear).min(outside);
            let parts = split(
                &Radiation { ghi, dni: None, dhi: Some(self.archive.diffuse_share[source] * ghi) },
                &light,
            );
            made.ghi_w_per_m2[h] = parts.ghi;
            beam.push(parts.dni);
            diffuse.push(parts.dhi);
        }
        let part = |share: &Vec<f64>| {
            let scaled = |column: &[f64]| -> Vec<f64> {
                let of_source = |h: usize| share[from[h / HOURS_PER_DAY] * HOURS_PER_DAY + h % HOURS_PER_DAY];
                column.iter().enumerate().map(|(h, light)| light * of_source(h)).collect()
            };
            PartLight {
                ghi_w_per_m2: scaled(&made.ghi_w_per_m2),
                dni_w_per_m2: Some(scaled(&beam)),
                dhi_w_per_m2: Some(scaled(&diffuse)),
            }
        };
        made.parts = self.archive.part_share.iter().map(part).collect();
        made.dni_w_per_m2 = Some(beam);
        made.dhi_w_per_m2 = Some(diffuse);
    }

    /// By month: the factor on light and the addition to temperature that give a made year of these dates and this clear
    /// light the record's months, on average over all draws.
    fn corrections(&self, clear: &[f64], dates: &[usize]) -> [(f64, f64); 12] {
        let mut made = [Sums::default(); 12];
        for (date, clear) in dates.iter().zip(clear.chunks_exact(HOURS_PER_DAY)) {
            let mean = &self.means[*date];
            let light: f64 = mean.iter().zip(clear).map(|(brightness, clear)| brightness * clear).sum();
            made[month(*date)].add(light, self.season_degc[*date] + mean[HOURS_PER_DAY]);
        }
        std::array::from_fn(|m| {
            let ((light, air), (made_light, made_air)) = (self.record_months[m], made[m].means());
            let factor = if made_light > 0.0 { light / made_light } else { 1.0 };
            (factor, air - made_air)
        })
    }

    fn source(&self) -> Source {
        let mut source = self.archive.source.clone();
        source.notes.push(format!(
            "made years: blocks of {} days on average from {} years of this record, within {} days of their date, seed \
             {}; each month keeps the record's mean radiation and temperature",
            self.settings.mean_block_days,
            self.ring.len() / 365,
            self.settings.window_days,
            self.seed
        ));
        source.notes.push(
            "made years are other sequences of the record's days, none duller or colder; year numbers are labels"
                .into(),
        );
        source
    }
}

/// Sums over days.
#[derive(Debug, Clone, Copy, Default)]
struct Sums {
    light: f64,
    air: f64,
    days: f64,
}

impl Sums {
    fn add(&mut self, light: f64, air: f64) {
        self.light += light;
        self.air += air;
        self.days += 1.0;
    }

    fn means(&self) -> (f64, f64) {
        let days = self.days.max(1.0);
        (self.light / days, self.air / days)
    }
}

/// Lays the step of temperature at a join over the hours around it.
fn smooth_join(air_degc: &mut [f64], join: usize) {
    let step = air_degc[join] - air_degc[join - 1];
    for k in 0..SMOOTHED_H {
        let share = 0.5 * step * (1.0 - (whole(k) + 0.5) / whole(SMOOTHED_H));
        air_degc[join - 1 - k] += share;
        air_degc[join + k] -= share;
    }
}

fn count_fault(count: usize) -> Fault {
    Fault::at_key(
        "count",
        FaultKind::OutOfRange,
        format!("{count} years"),
        format!("one seed gives 1 to {MOST_YEARS} years"),
        "ask for fewer, or use a second seed for more",
    )
}

#[cfg(test)]
mod tests;
