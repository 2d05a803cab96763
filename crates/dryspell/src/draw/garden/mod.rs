//! Water for a garden or a small field: what the crop loses to the air, less rain, on chosen hours.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `ET_o` | reference evapotranspiration of the day | mm | ≥ 0 |
//! | `K_c` | crop coefficient of the day | – | 0 to 1.5 |
//! | `P_d` | rain of the day | mm | ≥ 0 |
//! | `B_d`, `S` | rain kept in the soil, and the most that it keeps | mm | ≥ 0 |
//! | `A` | area | m² | ≥ 0 |
//! | `e` | efficiency of the watering | – | above 0, at most 1 |
//! | `W` | demand of the day | m³ | ≥ 0 |
//!
//! # Equation
//!
//! `U = min(B_{d−1} + P_d, K_c ET_o)`, `W = (K_c ET_o − U) A/(1000 e)`, `B_d = min(B_{d−1} + P_d − U, S)`; the day's `W` in
//! equal parts on the chosen hours.
//!
//! # Validity
//!
//! The garden never lacks water and is watered on the day itself. The soil's own store is not drawn down: it only keeps
//! rain; a one-year record is a ring and begins with the rain that its end leaves there. Rain counts only where the record has rain that was found credible; else there is none (conservative). `ET_o` is
//! Penman-Monteith by the day, its hourly form summed over the day, or Hargreaves; without humidity or wind it is
//! Hargreaves whatever was asked. Garden water comes after the stock's and never makes a day of shortfall.
//!
//! # Example
//!
//! ```
//! // 3.88 mm on 100 m² with nothing lost: 388 L.
//! let m3 = dryspell::draw::garden::irrigation_m3(3.88, 100.0, 1.0);
//! assert!((m3 - 0.388).abs() < 1e-12);
//! ```
//!
//! # References
//!
//! - Allen, R. G., Pereira, L. S., Raes, D. and Smith, M. (1998). FAO Irrigation and Drainage Paper 56.

pub mod crops;

use crate::calendar::{DateSpan, Day, HOURS_PER_DAY, MonthDay};
use crate::evaporation::{day, grass_hourly, hargreaves, radiation::Sun};
use crate::fault::{Fault, FaultKind, Faults};
use crate::record::Record;
use crate::ring::come_round;
use chrono::NaiveDate;

/// How the reference evapotranspiration is worked out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub enum Method {
    /// Penman-Monteith by the day.
    Daily,
    /// Penman-Monteith by the hour, summed over the day.
    Hourly,
    /// Hargreaves, from temperature alone.
    Hargreaves,
}

impl Method {
    /// Its name in a scheme.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Daily => "penman-monteith",
            Self::Hourly => "penman-monteith hourly",
            Self::Hargreaves => "hargreaves",
        }
    }
}

/// When it grows, and with which coefficient.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub enum Growth {
    /// Stages from a date of planting.
    Stages {
        /// First day of the initial stage.
        planted: MonthDay,
        /// Lengths: initial, development, mid-season, late, days.
        days: [f64; 4],
        /// Coefficients: initial, mid-season, end.
        kc: [f64; 3],
    },
    /// One coefficient over dates.
    Season {
        /// The dates; empty means all year.
        dates: Vec<DateSpan>,
        /// The coefficient.
        kc: f64,
    },
}

impl Growth {
    /// The coefficient on a day of a record.
    #[must_use]
    pub fn coefficient(&self, date: Day) -> f64 {
        match self {
            Self::Stages { planted, days, kc } => {
                crops::coefficient(*kc, *days, days_since(*planted, date.month_day()))
            }
            Self::Season { dates, kc } => {
                let grows = dates.is_empty() || dates.iter().any(|s| s.contains(date.month_day()));
                if grows { *kc } else { 0.0 }
            }
        }
    }
}

/// Days from one date to the next time that the other comes round, in a year of 365 days; 29 February counts as the 28th.
fn days_since(from: MonthDay, to: MonthDay) -> f64 {
    let day = |d: MonthDay| {
        let last = if d.month == 2 { d.day.min(28) } else { d.day };
        NaiveDate::from_ymd_opt(2023, u32::from(d.month), u32::from(last))
            .map_or(1, |d| chrono::Datelike::ordinal(&d))
    };
    f64::from((day(to) + 365 - day(from)) % 365)
}

/// One garden.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Garden {
    /// Name in the scheme, such as `beds`.
    pub name: String,
    /// Watered area, m².
    pub area_m2: f64,
    /// When it grows.
    pub growth: Growth,
    /// Share of the water that reaches the roots.
    pub efficiency: f64,
    /// Clock hours in which it is watered; at least one.
    pub hours: [bool; 24],
    /// Rain that the soil keeps for later days, mm.
    pub soil_holds_mm: f64,
    /// How the reference evapotranspiration is worked out.
    pub method: Method,
    /// Name of the tank that it is watered from; `None` is the tank that the pump fills.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tank: Option<String>,
}

/// The columns of the gardens.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Columns {
    /// Demand of all gardens, m³ in each hour.
    pub demand_m3: Vec<f64>,
    /// Each garden, in the order of the settings.
    pub gardens: Vec<GardenDays>,
    /// What was assumed because the record lacks it, a line each.
    pub assumptions: Vec<String>,
}

/// One garden over the record.
#[derive(Debug, Clone, PartialEq)]
pub struct GardenDays {
    /// Name in the scheme.
    pub name: String,
    /// The method that was used.
    pub method: Method,
    /// Reference evapotranspiration of each day, mm.
    pub reference_mm: Vec<f64>,
    /// What the crop takes on each day, mm.
    pub crop_mm: Vec<f64>,
    /// Of that from rain, mm.
    pub rain_used_mm: Vec<f64>,
    /// Demand of each day, m³.
    pub demand_m3: Vec<f64>,
}

/// Water for a depth on an area, m³.
#[must_use]
pub fn irrigation_m3(depth_mm: f64, area_m2: f64, efficiency: f64) -> f64 {
    depth_mm / 1000.0 * area_m2 / efficiency
}

/// What the gardens want over a record.
///
/// # Errors
/// All that is no area, efficiency, coefficient, stage or hour.
pub fn garden(gardens: &[Garden], record: &Record) -> Result<Columns, Faults> {
    record.check_lengths().map_err(Faults::from)?;
    let faults = faults(gardens);
    if !faults.is_empty() {
        return Err(faults.into());
    }
    if gardens.is_empty() {
        return Ok(Columns { demand_m3: vec![0.0; record.hours()], ..Columns::default() });
    }
    let mut out = Columns { demand_m3: vec![0.0; record.hours()], ..Columns::default() };
    let thin = record.relative_humidity.is_none() || record.wind_m_per_s.is_none();
    for garden in gardens {
        let method = if thin { Method::Hargreaves } else { garden.method };
        if method != garden.method {
            out.assumptions.push(format!(
                "garden {}: the record lacks humidity or wind, so evapotranspiration is by Hargreaves in place of {}",
                garden.name,
                garden.method.name()
            ));
        }
        let days = grow(garden, method, &reference_mm(method, record), record);
        let hours = garden.hours.iter().filter(|h| **h).count();
        #[expect(clippy::cast_precision_loss, reason = "at most 24")]
        let share = 1.0 / hours as f64;
        for (day, demand) in days.demand_m3.iter().enumerate() {
            let first = day * HOURS_PER_DAY;
            for (slot, on) in out.demand_m3[first..first + HOURS_PER_DAY].iter_mut().zip(garden.hours) {
                if on {
                    *slot += demand * share;
                }
            }
        }
        out.gardens.push(days);
    }
    if record.precipitation_mm.is_none() {
        out.assumptions.push("gardens: the record has no credible rain, so none falls on them".to_string());
    }
    Ok(out)
}

/// Reference evapotranspiration of each day of a record, mm. Without humidity or wind, the daily form takes the dew point
/// as the day's least temperature and the wind as 2 m/s; the hourly form falls back to the daily.
#[must_use]
pub fn reference_mm(method: Method, record: &Record) -> Vec<f64> {
    if method == Method::Hourly
        && let Some(hours) = grass_hourly::column_mm(record)
    {
        return hours.chunks(HOURS_PER_DAY).map(|day| day.iter().sum()).collect();
    }
    let (days, _) = day::days(record);
    days.iter()
        .map(|d| match method {
            Method::Hargreaves => {
                let sky_mj = Sun::new(d.latitude_deg, d.day_of_year).extraterrestrial_mj();
                hargreaves::grass_mm(d.greatest_degc, d.least_degc, sky_mj)
            }
            Method::Daily | Method::Hourly => d.grass_mm(),
        })
        .collect()
}

fn grow(garden: &Garden, method: Method, reference_mm: &[f64], record: &Record) -> GardenDays {
    let n = reference_mm.len();
    let mut out = GardenDays {
        name: garden.name.clone(),
        method,
        reference_mm: reference_mm.to_vec(),
        crop_mm: Vec::with_capacity(n),
        rain_used_mm: Vec::with_capacity(n),
        demand_m3: Vec::with_capacity(n),
    };
    let rain_mm: Vec<f64> = (0..n)
        .map(|day| {
            let hours = day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY;
            record.precipitation_mm.as_ref().map_or(0.0, |rain| rain[hours].iter().sum())
        })
        .collect();
    let crop_mm: Vec<f64> = reference_mm
        .iter()
        .zip(record.calendar.days())
        .map(|(reference, date)| reference * garden.growth.coefficient(*date))
        .collect();
    let day_of = |kept_mm: f64, rain: f64, crop: f64| {
        let used = (kept_mm + rain).min(crop);
        (used, (kept_mm + rain - used).min(garden.soil_holds_mm))
    };
    let round = |start: f64| {
        rain_mm.iter().zip(&crop_mm).fold(start, |kept, (rain, crop)| day_of(kept, *rain, *crop).1)
    };
    let mut kept_mm = if record.calendar.is_one_year() { come_round(0.0, round) } else { 0.0 };
    for (rain, crop) in rain_mm.iter().zip(&crop_mm) {
        let (used, kept) = day_of(kept_mm, *rain, *crop);
        kept_mm = kept;
        let crop = *crop;
        out.crop_mm.push(crop);
        out.rain_used_mm.push(used);
        out.demand_m3.push(irrigation_m3(crop - used, garden.area_m2, garden.efficiency));
    }
    out
}

/// All that is no area, efficiency, coefficient, stage or hour.
pub(crate) fn faults(gardens: &[Garden]) -> Vec<Fault> {
    gardens.iter().flat_map(check).collect()
}

fn check(garden: &Garden) -> Vec<Fault> {
    let mut faults = Vec::new();
    let mut refuse = |key: &str, found: String, accepted: &str, way_out: &str| {
        let key = format!("garden.{}.{key}", garden.name);
        faults.push(Fault::at_key(key, FaultKind::OutOfRange, found, accepted, way_out));
    };
    if !(garden.area_m2.is_finite() && garden.area_m2 >= 0.0) {
        refuse(
            "area",
            format!("{} m2", garden.area_m2),
            "an area must be 0 or more",
            "give the watered area",
        );
    }
    if !(garden.efficiency > 0.0 && garden.efficiency <= 1.0) {
        refuse(
            "efficiency",
            format!("{}", garden.efficiency),
            "an efficiency must be above 0 and at most 1",
            "give the share of the water that reaches the roots",
        );
    }
    if !(garden.soil_holds_mm.is_finite() && garden.soil_holds_mm >= 0.0) {
        refuse(
            "soil_storage",
            format!("{} mm", garden.soil_holds_mm),
            "a depth of water must be 0 or more",
            "give the rain the soil stores",
        );
    }
    if !garden.hours.contains(&true) {
        refuse("hours", "no hour".into(), "at least one hour of the day", "name the hours of watering");
    }
    let kc: &[f64] = match &garden.growth {
        Growth::Stages { kc, days, .. } => {
            let year: f64 = days.iter().sum();
            if !(days.iter().all(|d| *d >= 0.0) && (1.0..=365.0).contains(&year)) {
                refuse(
                    "stages",
                    format!("stages of {days:?} days"),
                    "four lengths of 0 or more that sum to 1 to 365 days",
                    "give the days of each stage",
                );
            }
            kc
        }
        Growth::Season { kc, .. } => std::slice::from_ref(kc),
    };
    if let Some(k) = kc.iter().find(|k| !(0.0..=1.5).contains(*k)) {
        refuse(
            "kc",
            format!("{k}"),
            "a crop coefficient must be between 0 and 1.5",
            "give the coefficient of the crop",
        );
    }
    faults
}

#[cfg(test)]
mod tests;
