//! A record of weather: what the sun and the air did in each hour at one place.

use crate::calendar::Calendar;
use crate::fault::{Fault, FaultKind};

/// A place on the ground and the clock used there.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// Name as the data give it.
    pub name: String,
    /// Latitude, degrees, north positive, −90 to 90.
    pub latitude_deg: f64,
    /// Longitude, degrees, east positive, −180 to 180.
    pub longitude_deg: f64,
    /// Elevation above sea level, m.
    pub elevation_m: f64,
    /// Local standard time minus UTC, h; fixed the year round.
    pub utc_offset_h: f64,
}

/// Mean radius of the Earth, km (R1 of the ellipsoid WGS 84).
const EARTH_KM: f64 = 6371.0088;

impl Place {
    /// Distance along the Earth's surface, km.
    ///
    /// # Units
    ///
    /// | symbol | name | unit | valid range |
    /// |---|---|---|---|
    /// | φ | latitude | degrees | −90 to 90 |
    /// | λ | longitude | degrees | −180 to 180 |
    /// | R | mean radius of the Earth | km | 6371.0088 |
    ///
    /// # Equation
    ///
    /// `2 R asin √(sin²(Δφ/2) + cos φ₁ cos φ₂ sin²(Δλ/2))`
    ///
    /// # Validity
    ///
    /// A sphere: within 0.6 % of the ellipsoid.
    ///
    /// # Example
    ///
    /// A quarter of the equator.
    ///
    /// ```
    /// use dryspell::record::Place;
    /// let at = |longitude_deg| Place {
    ///     name: String::new(), latitude_deg: 0.0, longitude_deg, elevation_m: 0.0, utc_offset_h: 0.0,
    /// };
    /// assert!((at(10.0).km_to(&at(100.0)) - 6371.0088 * std::f64::consts::FRAC_PI_2).abs() < 1e-6);
    /// ```
    ///
    /// # References
    ///
    /// The haversine: R. W. Sinnott, *Virtues of the Haversine*, Sky and Telescope 68 (1984) 159; from memory.
    #[must_use]
    pub fn km_to(&self, other: &Self) -> f64 {
        let half_sine = |degrees: f64| libm::sin(0.5 * degrees.to_radians());
        let cos = |degrees: f64| libm::cos(degrees.to_radians());
        let (up, across) = (
            half_sine(self.latitude_deg - other.latitude_deg),
            half_sine(self.longitude_deg - other.longitude_deg),
        );
        let share = up * up + cos(self.latitude_deg) * cos(other.latitude_deg) * across * across;
        2.0 * EARTH_KM * libm::asin(share.clamp(0.0, 1.0).sqrt())
    }
}

/// What kind of years a record holds. It decides what may be said about other years.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum YearKind {
    /// Stitched from typical months: extremes are left out by construction, so no return period.
    Typical,
    /// Calendar years as measured or modelled from satellites.
    Calendar,
    /// Made by a generator.
    Synthetic,
    /// Years of a climate projection: a scenario, not what was measured, so no return period.
    Projected,
}

impl YearKind {
    /// In a word, as weather files and results have it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Typical => "typical",
            Self::Calendar => "calendar",
            Self::Synthetic => "synthetic",
            Self::Projected => "projected",
        }
    }
}

/// Most years of a record: as many as are made from one seed, and as many as a weather file may have. Labels of made years
/// begin at 2000 and end where the sun is still worked out.
pub const MOST_YEARS: usize = MOST as usize;

const MOST: u16 = 999;

/// The last year that a record may have: made years are counted from 2000.
pub const LAST_YEAR: i32 = 1999 + MOST as i32;

/// What the radiation of an hour means.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RadiationTime {
    /// Means over the hour.
    HourMean,
    /// Values at an instant, so many minutes after the start of the hour (satellite scans): clearness and diffuse
    /// share are formed at that instant and radiation is rebuilt with the hour's own sun.
    Instant {
        /// Minutes after the hour's start, 0 to 60.
        minutes_after_start: f64,
    },
}

/// Where a record came from.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Source {
    /// Name of the format, such as `TMY3`.
    pub format: String,
    /// Files read, as named by the user.
    pub files: Vec<String>,
    /// What the reader decided, filled or left out, a line each, for the list of assumptions.
    pub notes: Vec<String>,
    /// What the reader took but should be looked at (a stated place far from the file's own, dates to come), a line each.
    pub alerts: Vec<String>,
    /// The file's own place, where the user stated another.
    pub station: Option<Place>,
}

/// Light of the same part of every hour: of its first five minutes, of the next, and so on.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PartLight {
    /// Global horizontal irradiance, W/m², ≥ 0, one value an hour.
    pub ghi_w_per_m2: Vec<f64>,
    /// Direct normal irradiance, W/m², ≥ 0; `None` when the file has none.
    pub dni_w_per_m2: Option<Vec<f64>>,
    /// Diffuse horizontal irradiance, W/m², ≥ 0; `None` when the file has none.
    pub dhi_w_per_m2: Option<Vec<f64>>,
}

impl PartLight {
    /// Its columns with their names.
    fn columns(&self) -> [(&'static str, Option<&Vec<f64>>); 3] {
        [
            ("ghi_w_per_m2", Some(&self.ghi_w_per_m2)),
            ("dni_w_per_m2", self.dni_w_per_m2.as_ref()),
            ("dhi_w_per_m2", self.dhi_w_per_m2.as_ref()),
        ]
    }

    /// The same with each column made anew.
    #[must_use]
    pub(crate) fn map(&self, each: impl Fn(&Vec<f64>) -> Vec<f64>) -> Self {
        Self {
            ghi_w_per_m2: each(&self.ghi_w_per_m2),
            dni_w_per_m2: self.dni_w_per_m2.as_ref().map(&each),
            dhi_w_per_m2: self.dhi_w_per_m2.as_ref().map(&each),
        }
    }

    /// What follows in time is put behind it; a column that one of them lacks is lost.
    pub(crate) fn extend(&mut self, other: &Self) {
        let joined = |column: &mut Option<Vec<f64>>, more: &Option<Vec<f64>>| {
            *column = column.take().zip(more.as_ref()).map(|(column, more)| [&column[..], more].concat());
        };
        self.ghi_w_per_m2.extend(&other.ghi_w_per_m2);
        joined(&mut self.dni_w_per_m2, &other.dni_w_per_m2);
        joined(&mut self.dhi_w_per_m2, &other.dhi_w_per_m2);
    }
}

/// Hourly weather at one place: columns of equal length, one value an hour.
#[derive(Debug, Clone, PartialEq)]
pub struct Record {
    /// Where.
    pub place: Place,
    /// Its hours and days.
    pub calendar: Calendar,
    /// Kind of years.
    pub kind: YearKind,
    /// What the radiation values mean in time.
    pub radiation_time: RadiationTime,
    /// Global horizontal irradiance, W/m², ≥ 0.
    pub ghi_w_per_m2: Vec<f64>,
    /// Direct normal irradiance, W/m², ≥ 0; `None` when the file has none.
    pub dni_w_per_m2: Option<Vec<f64>>,
    /// Diffuse horizontal irradiance, W/m², ≥ 0; `None` when the file has none.
    pub dhi_w_per_m2: Option<Vec<f64>>,
    /// Air temperature, °C.
    pub air_degc: Vec<f64>,
    /// Wind speed at 10 m, m/s; `None` when the file has none.
    pub wind_m_per_s: Option<Vec<f64>>,
    /// Ground albedo, 0 to 1; `None` when absent or not credible.
    pub albedo: Option<Vec<f64>>,
    /// Snow depth on the ground, m; `None` when absent or not credible.
    pub snow_depth_m: Option<Vec<f64>>,
    /// Rain and melted snow, mm in the hour; `None` when absent or not credible.
    pub precipitation_mm: Option<Vec<f64>>,
    /// Relative humidity, 0 to 1; `None` when absent.
    pub relative_humidity: Option<Vec<f64>>,
    /// Air pressure, Pa; `None` when absent.
    pub pressure_pa: Option<Vec<f64>>,
    /// Light inside the hours, where it was measured at a finer step: equal parts of each hour, in their order; else empty.
    pub parts: Vec<PartLight>,
    /// Where it came from.
    pub source: Source,
}

impl Record {
    /// The same weather with global, direct and diffuse irradiance times a factor, ≥ 0.
    #[must_use]
    pub fn with_light(&self, factor: f64) -> Self {
        let mut other = self.clone();
        let scaled = |column: &mut Vec<f64>| column.iter_mut().for_each(|w| *w *= factor);
        scaled(&mut other.ghi_w_per_m2);
        other.dni_w_per_m2.as_mut().map(scaled);
        other.dhi_w_per_m2.as_mut().map(scaled);
        let times = |column: &Vec<f64>| column.iter().map(|w| w * factor).collect();
        other.parts.iter_mut().for_each(|part| *part = part.map(times));
        other
    }

    /// A record without sun, at 15 °C: for a plan that brings its own columns of water ([`crate::plan::OwnColumns`]).
    #[must_use]
    pub fn without_weather(calendar: Calendar) -> Self {
        let hours = calendar.hours();
        Self {
            place: Place {
                name: String::new(),
                latitude_deg: 0.0,
                longitude_deg: 0.0,
                elevation_m: 0.0,
                utc_offset_h: 0.0,
            },
            calendar,
            kind: YearKind::Calendar,
            radiation_time: RadiationTime::HourMean,
            ghi_w_per_m2: vec![0.0; hours],
            dni_w_per_m2: None,
            dhi_w_per_m2: None,
            air_degc: vec![15.0; hours],
            wind_m_per_s: None,
            albedo: None,
            snow_depth_m: None,
            precipitation_mm: None,
            relative_humidity: None,
            pressure_pa: None,
            parts: Vec::new(),
            source: Source::default(),
        }
    }

    /// Records of one place put together in the order given: of years, or of parts of years. A column that one of them
    /// lacks is lost.
    ///
    /// ```
    /// use dryspell::calendar::{Calendar, Day};
    /// use dryspell::record::Record;
    /// let month = |month| Record::without_weather(Calendar::starting(Day { year: 2023, month, day: 1 }, 28));
    /// assert_eq!(Record::join(&[month(1), month(2)])?.hours(), 56 * 24);
    /// # Ok::<(), dryspell::fault::Fault>(())
    /// ```
    ///
    /// # Errors
    /// No record at all, or one whose place, clock, kind of years or kind of radiation is another than the first one's.
    pub fn join(records: &[Self]) -> Result<Self, Fault> {
        let fault = |found: String| {
            Err(Fault::at_key(
                "weather",
                FaultKind::Weather,
                found,
                "records of one place, one clock and one kind",
                "join what belongs together",
            ))
        };
        let Some((first, others)) = records.split_first() else {
            return fault("no record".to_owned());
        };
        let mut all = first.clone();
        for (i, other) in others.iter().enumerate() {
            let alike = other.place == first.place
                && other.kind == first.kind
                && other.radiation_time == first.radiation_time
                && other.calendar.start_minute() == first.calendar.start_minute();
            if !alike {
                return fault(format!("record {} is of another place, clock or kind than the first", i + 2));
            }
            let days = [all.calendar.days(), other.calendar.days()].concat();
            all.calendar = Calendar::new(days, first.calendar.start_minute());
            all.ghi_w_per_m2.extend(&other.ghi_w_per_m2);
            all.air_degc.extend(&other.air_degc);
            for (column, more) in [
                (&mut all.dni_w_per_m2, &other.dni_w_per_m2),
                (&mut all.dhi_w_per_m2, &other.dhi_w_per_m2),
                (&mut all.wind_m_per_s, &other.wind_m_per_s),
                (&mut all.albedo, &other.albedo),
                (&mut all.snow_depth_m, &other.snow_depth_m),
                (&mut all.precipitation_mm, &other.precipitation_mm),
                (&mut all.relative_humidity, &other.relative_humidity),
                (&mut all.pressure_pa, &other.pressure_pa),
            ] {
                *column = column.take().zip(more.as_ref()).map(|(mut column, more)| {
                    column.extend(more);
                    column
                });
            }
            if all.parts.len() == other.parts.len() {
                all.parts.iter_mut().zip(&other.parts).for_each(|(part, more)| part.extend(more));
            } else {
                all.parts.clear();
            }
            all.source.files.extend(other.source.files.iter().cloned());
            all.source.notes.extend(other.source.notes.iter().cloned());
            // What all files share is told once.
            let told = &mut all.source.alerts;
            other.source.alerts.iter().for_each(|alert| {
                if !told.contains(alert) {
                    told.push(alert.clone());
                }
            });
        }
        Ok(all)
    }

    /// Number of hours.
    #[must_use]
    pub fn hours(&self) -> usize {
        self.calendar.hours()
    }

    /// Checks what every stage relies on: at least one day, columns as long as the calendar, all values finite,
    /// radiation not negative, the place on the globe.
    ///
    /// # Errors
    /// The first thing that does not hold, as a [`FaultKind::Weather`] fault.
    pub fn check(&self) -> Result<(), Fault> {
        let n = self.hours();
        let fault = |key: &str, found: String, accepted: &str| {
            Err(Fault::at_key(
                format!("weather.{key}"),
                FaultKind::Weather,
                found,
                accepted,
                "read the file again with dryspell's own reader, or correct the column",
            ))
        };
        if n == 0 {
            return fault("hours", "no hours".into(), "a record has whole days of 24 hours");
        }
        let p = &self.place;
        if !(-90.0..=90.0).contains(&p.latitude_deg) {
            return fault(
                "latitude",
                format!("{}", p.latitude_deg),
                "latitude must be between -90 and 90 degrees",
            );
        }
        if !(-180.0..=180.0).contains(&p.longitude_deg) {
            return fault(
                "longitude",
                format!("{}", p.longitude_deg),
                "longitude must be between -180 and 180 degrees",
            );
        }
        self.check_lengths()?;
        for (name, column, not_negative) in self.columns() {
            let Some(column) = column else { continue };
            let least = if not_negative { 0.0 } else { f64::MIN };
            // The whole column without a way out early: that is quicker than stopping at the first.
            let sound = column.iter().fold(true, |sound, v| sound & (*v >= least) & (*v <= f64::MAX));
            if !sound && let Some(h) = column.iter().position(|v| !(*v >= least && *v <= f64::MAX)) {
                return fault(
                    name,
                    format!("{} in hour {h}", column[h]),
                    "values must be finite and not negative",
                );
            }
        }
        let light = self.parts.iter().flat_map(PartLight::columns);
        for (name, column) in light.filter_map(|(name, column)| Some((name, column?))) {
            if let Some(h) = column.iter().position(|w| !(w.is_finite() && *w >= 0.0)) {
                return fault(
                    name,
                    format!("{} inside hour {h}", column[h]),
                    "values must be finite and not negative",
                );
            }
        }
        Ok(())
    }

    /// Whether every column has a value for each hour of the calendar: what keeps a stage from reading past an end.
    ///
    /// # Errors
    /// The first column that does not, as a [`FaultKind::Weather`] fault.
    pub fn check_lengths(&self) -> Result<(), Fault> {
        let n = self.hours();
        let whole = self.columns().into_iter().map(|(name, column, _)| (name, column));
        let mut all = whole.chain(self.parts.iter().flat_map(PartLight::columns));
        match all.find(|(_, column)| column.is_some_and(|c| c.len() != n)) {
            None => Ok(()),
            Some((name, column)) => Err(Fault::at_key(
                format!("weather.{name}"),
                FaultKind::Weather,
                format!("{} values", column.map_or(0, Vec::len)),
                format!("{n} hours need as many values"),
                "read the file again with dryspell's own reader, or correct the column",
            )),
        }
    }

    /// Every column with its name, and whether it may hold no value below 0.
    fn columns(&self) -> [(&'static str, Option<&Vec<f64>>, bool); 10] {
        [
            ("ghi_w_per_m2", Some(&self.ghi_w_per_m2), true),
            ("dni_w_per_m2", self.dni_w_per_m2.as_ref(), true),
            ("dhi_w_per_m2", self.dhi_w_per_m2.as_ref(), true),
            ("air_degc", Some(&self.air_degc), false),
            ("wind_m_per_s", self.wind_m_per_s.as_ref(), true),
            ("albedo", self.albedo.as_ref(), true),
            ("snow_depth_m", self.snow_depth_m.as_ref(), true),
            ("precipitation_mm", self.precipitation_mm.as_ref(), true),
            ("relative_humidity", self.relative_humidity.as_ref(), true),
            ("pressure_pa", self.pressure_pa.as_ref(), true),
        ]
    }
}
