//! Synthetic years: hourly weather from twelve monthly means, where there is no record, or like that of a record.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `H` | monthly mean of global radiation on the level | kWh/m² a day | 0.1 to 0.8 of the extraterrestrial |
//! | `T` | monthly mean air temperature | °C | −80 to 50 |
//! | `R` | monthly mean of the daily range of temperature | °C | 0 to 40 |
//! | `W` | monthly mean wind at 10 m | m/s | 0 to 30 |
//!
//! # Equation
//!
//! A month's mean clearness is its radiation over the extraterrestrial, hour by hour from the sun's own place. Days are
//! drawn from it ([`Method`]), hours from each day (TAG), diffuse light from each hour (Erbs), beam by closure, then
//! temperature and wind that go with the day. Years like a record's take its own days and hours ([`Generator::like`]). Each
//! part's own page gives its formulas: `bendt`, `daily`, `matrices`, `hourly`, `own_days`, `season`, `air`.
//!
//! # Validity
//!
//! Synthetic years are no evidence about a site: they are what an average climate of that brightness would do. They
//! hold no snow, no rain, no volcanic year, no trend, and from twelve means dull spells last no longer than a memory of one day
//! makes them. How far they are from measured years: [`judged`].
//! Values are rounded to a tenth of their unit. Every year has 365 days; 29 February is left out. Years are labelled from 2000 on; the label sets the sun and means
//! nothing else.
//!
//! The same seed gives the same bytes on any machine, with any number of threads, and for any number of years: year 7 is
//! the same whether 8 or 800 are made.
//!
//! # Example
//!
//! ```
//! use dryspell::record::Place;
//! use dryspell_weather::synth::{Climate, Generator, Method};
//! let place = Place {
//!     name: "somewhere dull".into(),
//!     latitude_deg: 47.0,
//!     longitude_deg: -108.0,
//!     elevation_m: 900.0,
//!     utc_offset_h: -7.0,
//! };
//! let climate = Climate {
//!     place,
//!     global_kwh_per_m2_day: [1.2, 2.0, 3.3, 4.5, 5.6, 6.2, 6.5, 5.5, 4.0, 2.4, 1.3, 0.9],
//!     air_degc: [-7.0, -5.0, 0.0, 5.0, 10.0, 15.0, 18.0, 17.0, 12.0, 6.0, -1.0, -6.0],
//!     daily_range_degc: [9.0; 12],
//!     wind_m_per_s: None,
//! };
//! let year = Generator::new(climate, Method::Free, 1).unwrap().year(0).unwrap();
//! assert_eq!(year.hours(), 8760);
//! // The sun is down at the first midnight.
//! assert_eq!(year.ghi_w_per_m2[0], 0.0);
//! ```
//!
//! # References
//!
//! Aguiar, Collares-Pereira and Conde 1988; Aguiar and Collares-Pereira 1992; Graham, Hollands and Unny 1988; Bendt,
//! Collares-Pereira and Rabl 1981; Erbs, Klein and Duffie 1982: in full on the page of each part.

mod air;
mod bendt;
mod climate;
mod climate_file;
mod daily;
mod draws;
mod hourly;
pub mod judged;
mod light;
mod matrices;
mod own_days;
mod season;
mod warmth;

pub use climate::Climate;

use draws::Stream;
use dryspell::calendar::HOURS_PER_DAY;
use dryspell::fault::{Fault, FaultKind, Faults};
use dryspell::record::{RadiationTime, Record, Source, YearKind};
use dryspell::sun::split::{Radiation, split};
use dryspell::units::counted;
use light::YearLight;
use own_days::{Memory, OwnDays};
use std::num::NonZeroUsize;
use std::sync::Arc;

pub use dryspell::record::MOST_YEARS;

/// What a stream of random numbers is for.
mod purpose {
    pub(super) const STRATA: u8 = 0;
    pub(super) const DAYS: u8 = 1;
    pub(super) const HELD: u8 = 2;
    pub(super) const HOURS: u8 = 3;
    pub(super) const AIR: u8 = 4;
    pub(super) const WIND: u8 = 5;
    pub(super) const MONTH_STRATA: u8 = 6;
    pub(super) const MONTHS: u8 = 7;
}

/// How the clearness of days is drawn, and whether months may differ between years.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Method {
    /// First-order Gaussian process with the Bendt distribution; months differ between years as they will. The mean of
    /// many years meets the one asked for.
    #[default]
    Free,
    /// The same, each month drawn again until its mean is within 1 % of the one asked for. Every year then has the same
    /// brightness month by month: too tame for asking how often a herd goes dry.
    Held,
    /// The library of ten Markov matrices; months are held within 1 %, as the matrices have means of their own.
    Matrices,
}

impl Method {
    /// All methods, in the order in which they are listed.
    pub const ALL: [Self; 3] = [Self::Free, Self::Held, Self::Matrices];

    /// Its name: `free`, `held` or `matrices`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Free => "free",
            Self::Held => "held",
            Self::Matrices => "matrices",
        }
    }

    /// The method of that name.
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|m| m.name() == name)
    }

    const fn note(self) -> &'static str {
        match self {
            Self::Free => {
                "daily clearness: first-order Gaussian process (Graham, Hollands and Unny 1988) with the distribution \
                 of Bendt et al. 1981; months differ between years"
            }
            Self::Held => {
                "daily clearness: first-order Gaussian process (Graham, Hollands and Unny 1988) with the distribution \
                 of Bendt et al. 1981; each month drawn again until within 1 % of its mean, so months do not differ \
                 between years"
            }
            Self::Matrices => {
                "daily clearness: library of Markov matrices (Aguiar, Collares-Pereira and Conde 1988); each month \
                 drawn again until within 1 % of its mean, so months do not differ between years"
            }
        }
    }
}

/// From what the days are drawn.
#[derive(Debug, Clone)]
enum Days {
    /// Twelve monthly means.
    OfMeans(Method),
    /// The days of a record.
    OfRecord(Arc<OwnDays>),
}

impl Days {
    fn notes(&self) -> Vec<String> {
        let own = match self {
            Self::OfMeans(method) => {
                return vec![
                    method.note().to_owned(),
                    "hours: TAG (Aguiar and Collares-Pereira 1992); diffuse: Erbs, Klein and Duffie 1982; beam by closure"
                        .into(),
                ];
            }
            Self::OfRecord(own) => own,
        };
        let Memory { day, month } = own.memory;
        vec![
            format!(
                "daily clearness: the record's own distribution by month, first-order Gaussian process, lag-one correlation \
                 {day:.2}, and a month effect of {month:.3} of the variance{}",
                if own.borrowed() {
                    format!(
                        ": borrowed spread, since {} of record {} nothing of how years differ",
                        counted(own.years, "year"),
                        if own.years == 1 { "says" } else { "say" }
                    )
                } else {
                    format!(", fitted to {}", counted(own.years, "year"))
                }
            ),
            "hours: those of the record's day nearest in clearness within ten days of the date, brought to the day's clearness"
                .into(),
        ]
    }
}

/// Makes the years of one climate or record, method and seed.
#[derive(Debug, Clone)]
pub struct Generator {
    climate: Climate,
    days: Days,
    seed: u64,
}

impl Generator {
    /// A generator, once the climate has been found possible.
    ///
    /// # Errors
    /// All that is wrong with the climate: see [`Climate::check`].
    pub fn new(climate: Climate, method: Method, seed: u64) -> Result<Self, Faults> {
        climate.check()?;
        Ok(Self { climate, days: Days::OfMeans(method), seed })
    }

    /// A generator of years like those of a record: its own days, their memory, and months that differ between years as its
    /// months did, or by a borrowed spread where the record is short. See the page of `own_days` for the law.
    ///
    /// # Errors
    /// A record of less than a whole year, or one whose means no climate has.
    ///
    /// # Example
    /// ```
    /// use dryspell_weather::synth::Generator;
    /// use dryspell_weather::{Options, read_file};
    /// use std::path::Path;
    /// let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/demo/weather.csv");
    /// let record = read_file(file, &Options::default())?.record;
    /// let made = Generator::like(&record, 1)?.year(0)?;
    /// assert_eq!(made.hours(), 8760);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn like(record: &Record, seed: u64) -> Result<Self, Faults> {
        let (climate, own) = OwnDays::of(record)?;
        Ok(Self { climate, days: Days::OfRecord(Arc::new(own)), seed })
    }

    /// The climate it was given.
    #[must_use]
    pub const fn climate(&self) -> &Climate {
        &self.climate
    }

    /// Year `index`, counted from 0.
    ///
    /// # Errors
    /// A year beyond [`MOST_YEARS`], or a held month whose mean cannot be met.
    pub fn year(&self, index: usize) -> Result<Record, Fault> {
        self.check_count(index.saturating_add(1))?;
        let light = YearLight::new(&self.climate.place, index)?;
        let k_mean = self.climate.clearness(&light.outside_kwh_per_m2_day());
        let number = u64::try_from(index).unwrap_or(u64::MAX >> 8);
        let days = match &self.days {
            Days::OfMeans(method) => daily::days(*method, self.seed, index, &light, &k_mean)?,
            Days::OfRecord(own) => daily::like(own, self.seed, number, &light, &k_mean),
        };
        let mut stream = Stream::new(self.seed, purpose::HOURS, number);
        let n = light.hours.len();
        let (mut ghi, mut dni, mut dhi) =
            (Vec::with_capacity(n), Vec::with_capacity(n), Vec::with_capacity(n));
        for (day, hours) in light.hours.chunks(HOURS_PER_DAY).enumerate() {
            let clearness = days.clearness[day];
            let values = match &self.days {
                Days::OfMeans(_) => {
                    let global = hourly::global_w_per_m2(clearness, hours, &mut stream);
                    global.into_iter().map(|ghi| (ghi, None)).collect()
                }
                Days::OfRecord(own) => own.hours(day, clearness, &light),
            };
            for ((value, diffuse), hour) in values.into_iter().zip(hours) {
                let parts = split(&Radiation { ghi: value, dni: None, dhi: diffuse }, &hour.light);
                ghi.push(tenth(parts.ghi));
                dni.push(tenth(parts.dni));
                dhi.push(tenth(parts.dhi));
            }
        }
        let tie = match &self.days {
            Days::OfMeans(_) => warmth::Tie::COMMON,
            Days::OfRecord(own) => own.tie,
        };
        let air = air::air_degc(&self.climate, self.seed, number, &light, &days, (&k_mean, tie));
        let wind = air::wind_m_per_s(&self.climate, self.seed, number, &light, &days);
        Ok(Record {
            place: self.climate.place.clone(),
            calendar: light.calendar,
            kind: YearKind::Synthetic,
            radiation_time: RadiationTime::HourMean,
            ghi_w_per_m2: ghi,
            dni_w_per_m2: Some(dni),
            dhi_w_per_m2: Some(dhi),
            air_degc: air.into_iter().map(tenth).collect(),
            wind_m_per_s: Some(wind.into_iter().map(tenth).collect()),
            albedo: None,
            snow_depth_m: None,
            precipitation_mm: None,
            relative_humidity: None,
            pressure_pa: None,
            parts: Vec::new(),
            source: self.source(),
        })
    }

    /// The first `count` years, a record each, made by so many threads.
    ///
    /// # Errors
    /// As [`Generator::year`].
    pub fn years(&self, count: usize, threads: NonZeroUsize) -> Result<Vec<Record>, Fault> {
        self.check_count(count)?;
        let share = count.div_ceil(threads.get()).max(1);
        let indices: Vec<usize> = (0..count).collect();
        std::thread::scope(|scope| {
            let workers: Vec<_> = indices
                .chunks(share)
                .map(|part| scope.spawn(|| part.iter().map(|i| self.year(*i)).collect::<Result<Vec<_>, _>>()))
                .collect();
            let mut years = Vec::with_capacity(count);
            for worker in workers {
                years.extend(worker.join().map_err(|_| stopped())??);
            }
            Ok(years)
        })
    }

    /// The first `count` years as one record.
    ///
    /// # Errors
    /// As [`Generator::year`]; also a count of 0.
    pub fn record(&self, count: usize, threads: NonZeroUsize) -> Result<Record, Fault> {
        let mut years = self.years(count, threads)?.into_iter();
        let mut all = years.next().ok_or_else(|| count_fault(0))?;
        let mut days = all.calendar.days().to_vec();
        for year in years {
            days.extend_from_slice(year.calendar.days());
            all.ghi_w_per_m2.extend(year.ghi_w_per_m2);
            all.air_degc.extend(year.air_degc);
            for (to, from) in [
                (&mut all.dni_w_per_m2, year.dni_w_per_m2),
                (&mut all.dhi_w_per_m2, year.dhi_w_per_m2),
                (&mut all.wind_m_per_s, year.wind_m_per_s),
            ] {
                if let (Some(to), Some(from)) = (to.as_mut(), from) {
                    to.extend(from);
                }
            }
        }
        all.calendar = dryspell::calendar::Calendar::new(days, 0);
        Ok(all)
    }

    fn check_count(&self, count: usize) -> Result<(), Fault> {
        if count > MOST_YEARS { Err(count_fault(count)) } else { Ok(()) }
    }

    fn source(&self) -> Source {
        let mut notes = vec![format!(
            "synthetic years, seed {}: generated, not measured; they prove nothing about a site",
            self.seed
        )];
        notes.extend(self.days.notes());
        let tie = match &self.days {
            Days::OfRecord(own) if !own.borrowed() => {
                let warmth::Tie { dark, even, bright } = own.tie;
                format!(
                    " by {dark:.2} where days are shortest, {even:.2} at twelve hours and {bright:.2} where they are longest, fitted"
                )
            }
            _ => ": common practice".to_owned(),
        };
        notes.push(format!(
            "temperature: monthly mean and daily range, lag-one anomaly tied to clearness{tie}"
        ));
        notes.push(if self.climate.wind_m_per_s.is_some() {
            "wind: monthly means, spread and daily cycle: common practice".into()
        } else {
            format!("wind: none given, {} m/s assumed all year: common practice", air::WIND_M_PER_S)
        });
        notes.push("no snow, no rain, no albedo; 29 February is left out; year numbers are labels".into());
        Source { format: "synthetic".into(), notes, ..Source::default() }
    }
}

/// The nearest tenth: what an instrument would give, and a shorter file.
fn tenth(value: f64) -> f64 {
    // Adding zero turns a negative zero into a plain one.
    libm::round(value * 10.0) / 10.0 + 0.0
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

fn stopped() -> Fault {
    Fault::at_key(
        "synth",
        FaultKind::CannotRun,
        "a thread that stopped",
        "every year is made to its end",
        "try again with one thread",
    )
}
