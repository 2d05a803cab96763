//! What there is to say about a file that was read: for `dryspell weather`, and for anyone who keeps a log.

use crate::closure::Closure;
use crate::gaps::Fill;
use crate::quantity::Quantity;
use crate::spells::{self, Cold, DULL_LENGTHS, Spell};
use crate::sunlight::DaySuns;
use chrono::Datelike;
use dryspell::calendar::HOURS_PER_DAY;
use dryspell::fault::Fault;
use dryspell::record::{Place, Record, YearKind};
use dryspell::sun::extraterrestrial::{SOLAR_CONSTANT_W_PER_M2, extraterrestrial_normal};
use dryspell::sun::geometry::daily_extraterrestrial_mj_per_m2;
use dryspell::sun::position::julian_date;
use serde::Serialize;

/// MJ in a kWh.
const MJ_PER_KWH: f64 = 3.6;

/// The report on a file, or on several that made one record. It serialises as it stands; unknown is `null`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Report {
    /// Name of the place.
    pub place: String,
    /// Latitude, degrees, north positive.
    pub latitude_deg: f64,
    /// Longitude, degrees, east positive.
    pub longitude_deg: f64,
    /// Elevation, m.
    pub elevation_m: f64,
    /// Local standard time minus UTC, h.
    pub utc_offset_h: f64,
    /// The file's own place, where another was stated.
    pub station: Option<Station>,
    /// Name of the format.
    pub format: String,
    /// Files read.
    pub files: Vec<String>,
    /// `typical`, `calendar`, `synthetic` or `projected`.
    pub kind: &'static str,
    /// Years that the data come from, rising.
    pub years: Vec<i32>,
    /// Source year of each month, where the record is one typical year.
    pub year_of_month: Option<[i32; 12]>,
    /// Start of the first hour.
    pub first: String,
    /// Start of the last hour.
    pub last: String,
    /// Hours of the record.
    pub hours: usize,
    /// How the file was read.
    pub reading: Reading,
    /// Columns that the record lacks.
    pub lacks: Vec<&'static str>,
    /// January to December, over all years; `None` where the record has no day of the month.
    pub months: Vec<Option<Month>>,
    /// All months together.
    pub year: Month,
    /// The dullest 3, 5, 10 and 20 days in a row: mean global radiation, kWh/m² a day.
    pub dullest: Vec<Spell>,
    /// Cold and frost.
    pub cold: Cold,
    /// What was decided, filled and left out, a line each.
    pub notes: Vec<String>,
}

/// The place that a file gives as its own, beside the one stated.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Station {
    /// Latitude, degrees, north positive.
    pub latitude_deg: f64,
    /// Longitude, degrees, east positive.
    pub longitude_deg: f64,
    /// Elevation, m.
    pub elevation_m: f64,
    /// Distance from the stated place, km.
    pub distance_km: f64,
    /// How much higher than the stated place it lies, m.
    pub higher_m: f64,
}

impl Station {
    /// A file's own place as seen from the stated one.
    #[must_use]
    pub fn of(own: &Place, stated: &Place) -> Self {
        Self {
            latitude_deg: own.latitude_deg,
            longitude_deg: own.longitude_deg,
            elevation_m: own.elevation_m,
            distance_km: own.km_to(stated),
            higher_m: own.elevation_m - stated.elevation_m,
        }
    }
}

/// How a file was read.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Reading {
    /// Rows of data.
    pub rows: usize,
    /// Minutes between them.
    pub step_min: i64,
    /// What their stamps mean, in words.
    pub stamps: String,
    /// Clock of the rows minus UTC, h.
    pub rows_clock_h: f64,
    /// Whether the stamps agree with the sun.
    pub closure: Closure,
    /// Gaps that were filled.
    pub fills: Vec<Fill>,
    /// Radiation values between −5 and 0 W/m² that were set to 0.
    pub small_negatives: usize,
    /// Rows with beam and the sun down, set to 0.
    pub beam_at_night: usize,
}

/// Means of a month over all years, or of the whole record.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Month {
    /// Days that it has in the record.
    pub days: usize,
    /// Global horizontal radiation, kWh/m² a day.
    pub ghi_kwh_per_m2_day: f64,
    /// Direct normal radiation, kWh/m² a day.
    pub dni_kwh_per_m2_day: Option<f64>,
    /// Diffuse horizontal radiation, kWh/m² a day.
    pub dhi_kwh_per_m2_day: Option<f64>,
    /// Share of the radiation outside the air that arrives; `None` in polar night.
    pub clearness: Option<f64>,
    /// Mean air temperature, °C.
    pub air_degc: f64,
    /// Lowest hour, °C.
    pub lowest_degc: f64,
    /// Highest hour, °C.
    pub highest_degc: f64,
}

/// Sums of a month while it is gathered.
#[derive(Debug, Clone, Copy)]
struct Sums {
    days: usize,
    ghi: f64,
    dni: f64,
    dhi: f64,
    outside: f64,
    air: f64,
    lowest: f64,
    highest: f64,
}

impl Sums {
    const NONE: Self = Self {
        days: 0,
        ghi: 0.0,
        dni: 0.0,
        dhi: 0.0,
        outside: 0.0,
        air: 0.0,
        lowest: f64::INFINITY,
        highest: f64::NEG_INFINITY,
    };

    fn add(&mut self, other: &Self) {
        self.days += other.days;
        self.ghi += other.ghi;
        self.dni += other.dni;
        self.dhi += other.dhi;
        self.outside += other.outside;
        self.air += other.air;
        self.lowest = self.lowest.min(other.lowest);
        self.highest = self.highest.max(other.highest);
    }

    fn month(&self, record: &Record) -> Option<Month> {
        let days = self.days as f64;
        (self.days > 0).then(|| Month {
            days: self.days,
            ghi_kwh_per_m2_day: self.ghi / days,
            dni_kwh_per_m2_day: record.dni_w_per_m2.as_ref().map(|_| self.dni / days),
            dhi_kwh_per_m2_day: record.dhi_w_per_m2.as_ref().map(|_| self.dhi / days),
            clearness: (self.outside > 0.01 * days).then(|| self.ghi / self.outside),
            air_degc: self.air / days,
            lowest_degc: self.lowest,
            highest_degc: self.highest,
        })
    }
}

/// Radiation outside the air on the level over each day, kWh/m².
fn outside(record: &Record, suns: &mut DaySuns) -> Vec<f64> {
    let noon_min = 720.0 - 4.0 * record.place.longitude_deg;
    record
        .calendar
        .days()
        .iter()
        .map(|day| {
            let Some(date) = day.date() else { return 0.0 };
            let sun = suns.at(julian_date(date, noon_min));
            let declination = libm::asin(sun.sin_declination).to_degrees();
            let normal = extraterrestrial_normal(f64::from(date.ordinal()), SOLAR_CONSTANT_W_PER_M2);
            let mj = daily_extraterrestrial_mj_per_m2(normal, declination, record.place.latitude_deg);
            mj / MJ_PER_KWH
        })
        .collect()
}

/// Makes the report on a record.
pub(crate) fn report(record: &Record, reading: Reading, suns: &mut DaySuns) -> Result<Report, Fault> {
    let calendar = &record.calendar;
    let outside = outside(record, suns);
    let daily = |column: Option<&Vec<f64>>| -> Vec<f64> {
        let kwh = |day: &[f64]| day.iter().sum::<f64>() / 1000.0;
        column
            .map_or_else(|| vec![0.0; calendar.days().len()], |c| c.chunks(HOURS_PER_DAY).map(kwh).collect())
    };
    let ghi = daily(Some(&record.ghi_w_per_m2));
    let (dni, dhi) = (daily(record.dni_w_per_m2.as_ref()), daily(record.dhi_w_per_m2.as_ref()));
    let air: Vec<f64> = record
        .air_degc
        .chunks(HOURS_PER_DAY)
        .map(|day| day.iter().sum::<f64>() / HOURS_PER_DAY as f64)
        .collect();
    let mut months = [Sums::NONE; 12];
    for (d, (day, hours)) in calendar.days().iter().zip(record.air_degc.chunks(HOURS_PER_DAY)).enumerate() {
        let Some(sums) = months.get_mut(usize::from(day.month).saturating_sub(1)) else { continue };
        sums.add(&Sums {
            days: 1,
            ghi: ghi[d],
            dni: dni[d],
            dhi: dhi[d],
            outside: outside[d],
            air: air[d],
            lowest: hours.iter().copied().fold(f64::INFINITY, f64::min),
            highest: hours.iter().copied().fold(f64::NEG_INFINITY, f64::max),
        });
    }
    let mut all = Sums::NONE;
    months.iter().for_each(|m| all.add(m));
    let place = &record.place;
    Ok(Report {
        place: place.name.clone(),
        latitude_deg: place.latitude_deg,
        longitude_deg: place.longitude_deg,
        elevation_m: place.elevation_m,
        utc_offset_h: place.utc_offset_h,
        station: record.source.station.as_ref().map(|own| Station::of(own, place)),
        format: record.source.format.clone(),
        files: record.source.files.clone(),
        kind: record.kind.word(),
        years: years(record),
        year_of_month: year_of_month(record),
        first: calendar.start_text(0),
        last: calendar.start_text(calendar.hours().saturating_sub(1)),
        hours: calendar.hours(),
        reading,
        lacks: lacks(record),
        months: months.iter().map(|m| m.month(record)).collect(),
        year: all.month(record).ok_or_else(|| no_days(record))?,
        dullest: DULL_LENGTHS.into_iter().filter_map(|n| spells::lowest_run(calendar, &ghi, n)).collect(),
        cold: spells::cold(calendar, &air, &record.air_degc, place.latitude_deg),
        notes: record.source.notes.clone(),
    })
}

/// Cannot happen after the record's own check.
fn no_days(record: &Record) -> Fault {
    Fault::at_key(
        "weather.hours",
        dryspell::fault::FaultKind::Weather,
        format!("{} hours", record.hours()),
        "a record has whole days of 24 hours",
        "read the file again",
    )
}

fn years(record: &Record) -> Vec<i32> {
    let mut years: Vec<i32> = record.calendar.days().iter().map(|d| d.year).collect();
    years.sort_unstable();
    years.dedup();
    years
}

/// The year of each month's middle, in a typical year.
fn year_of_month(record: &Record) -> Option<[i32; 12]> {
    if record.kind != YearKind::Typical || !record.calendar.is_one_year() {
        return None;
    }
    let mut years = [0; 12];
    for day in record.calendar.days().iter().filter(|d| d.day == 15) {
        *years.get_mut(usize::from(day.month).checked_sub(1)?)? = day.year;
    }
    Some(years)
}

/// Columns that a record lacks, in words.
fn lacks(record: &Record) -> Vec<&'static str> {
    let has = |q: Quantity| match q {
        Quantity::Ghi | Quantity::Air => true,
        Quantity::Dni => record.dni_w_per_m2.is_some(),
        Quantity::Dhi => record.dhi_w_per_m2.is_some(),
        Quantity::Wind => record.wind_m_per_s.is_some(),
        Quantity::Albedo => record.albedo.is_some(),
        Quantity::Snow => record.snow_depth_m.is_some(),
        Quantity::Precipitation => record.precipitation_mm.is_some(),
        Quantity::Humidity => record.relative_humidity.is_some(),
        Quantity::Pressure => record.pressure_pa.is_some(),
    };
    Quantity::ALL.into_iter().filter(|q| !has(*q)).map(Quantity::words).collect()
}
