//! The weather of each day of a record, as the daily laws want it.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `T_max`, `T_min` | greatest and least hour of the day | °C | |
//! | `RH_max`, `RH_min` | greatest and least hour of the day | – | 0 to 1 |
//! | `u_2` | mean wind, brought from 10 m to 2 m | m/s | ≥ 0 |
//! | `R_s` | global radiation | MJ/m² | ≥ 0 |
//!
//! # Equation
//!
//! `R_s = Σ GHI · 3600 s`; vapour pressure from `RH_max` and `RH_min` (FAO-56 equation 17).
//!
//! # Validity
//!
//! Extremes of hourly values lie a little inside those of a maximum-minimum thermometer. Without humidity the dew point is
//! taken as `T_min`, without wind 2 m/s (both after FAO-56): [`MissingWeather`] says so.
//!
//! # Example
//!
//! ```
//! use dryspell::evaporation::day::global_mj;
//! // 24 hours of 100 W/m²: 8.64 MJ/m².
//! assert!((global_mj(&[100.0; 24]) - 8.64).abs() < 1e-12);
//! ```
//!
//! # References
//!
//! - Allen, R. G., Pereira, L. S., Raes, D. and Smith, M. (1998). FAO Irrigation and Drainage Paper 56, chapter 3.

use super::air::{day_vapour_kpa, saturation_kpa, wind_at_2_m};
use super::grass::Day;
use crate::calendar::HOURS_PER_DAY;
use crate::record::Record;

/// Wind at 2 m where the record has none, m/s (FAO-56: the mean of 2000 stations).
const MEAN_WIND_M_PER_S: f64 = 2.0;
/// Height at which records give the wind, m.
const WIND_HEIGHT_M: f64 = 10.0;

/// What the record lacked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct MissingWeather {
    /// The dew point is taken as the day's least temperature.
    pub humidity: bool,
    /// The wind is taken as 2 m/s.
    pub wind: bool,
}

/// Global radiation of a day, MJ/m², from its hourly means, W/m².
#[must_use]
pub fn global_mj(hours_w_per_m2: &[f64]) -> f64 {
    hours_w_per_m2.iter().sum::<f64>() * 3600.0 / 1e6
}

/// The days of a record, and what it lacked.
#[must_use]
pub fn days(record: &Record) -> (Vec<Day>, MissingWeather) {
    let assumed =
        MissingWeather { humidity: record.relative_humidity.is_none(), wind: record.wind_m_per_s.is_none() };
    let days = (0..record.calendar.days().len())
        .map(|day| {
            let hours = day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY;
            let (least_degc, greatest_degc) = ends(&record.air_degc[hours.clone()]);
            let vapour_kpa = record.relative_humidity.as_ref().map_or_else(
                || saturation_kpa(least_degc),
                |rh| {
                    let (least, greatest) = ends(&rh[hours.clone()]);
                    day_vapour_kpa(greatest_degc, least_degc, greatest.min(1.0), least.min(1.0))
                },
            );
            let wind_m_per_s = record.wind_m_per_s.as_ref().map_or(MEAN_WIND_M_PER_S, |wind| {
                wind_at_2_m(wind[hours.clone()].iter().sum::<f64>() / 24.0, WIND_HEIGHT_M)
            });
            Day {
                latitude_deg: record.place.latitude_deg,
                elevation_m: record.place.elevation_m,
                day_of_year: record.calendar.days()[day].day_of_year(),
                greatest_degc,
                least_degc,
                vapour_kpa,
                wind_m_per_s,
                global_mj: global_mj(&record.ghi_w_per_m2[hours]),
                soil_heat_mj: 0.0,
            }
        })
        .collect();
    (days, assumed)
}

/// Least and greatest of some values.
fn ends(values: &[f64]) -> (f64, f64) {
    values.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(*v), high.max(*v)))
}
