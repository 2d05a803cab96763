//! Evapotranspiration of the reference grass in an hour: FAO-56 Penman-Monteith, hourly form.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `t` | middle of the hour, local standard time | h | 0 to 24 |
//! | `ω` | hour angle at the middle of the hour | rad | |
//! | `R_a`, `R_s`, `R_so` | extraterrestrial, global, clear-sky radiation | MJ/m² an hour | ≥ 0 |
//! | `T`, `RH` | air temperature, relative humidity | °C, – | 0 to 1 for `RH` |
//! | `ET_o` | reference evapotranspiration | mm an hour | ≥ 0 |
//!
//! # Equation
//!
//! `ET_o = [0.408 Δ (R_n − G) + γ 37/(T + 273) u_2 (e° − e_a)] / [Δ + γ (1 + 0.34 u_2)]` (53), with `G = 0.1 R_n` by day and
//! `0.5 R_n` by night (45, 46), `R_a` between `ω ∓ π/24` (28 to 33), and `R_nl` with σ/24 and the hour's own temperature.
//!
//! # Validity
//!
//! At night `R_s/R_so` does not exist: it is that of the last hour of the day in which the sun stood above 17° (0.3 rad).
//! A value below zero is taken as zero.
//!
//! # Example
//!
//! ```
//! use dryspell::evaporation::grass_hourly::Hour;
//! // FAO-56 example 19, N'Diaye on 1 October from 14 to 15 h: 0.63 mm.
//! let hour = Hour {
//!     latitude_deg: 16.0 + 13.0 / 60.0,
//!     longitude_deg: -16.25,
//!     utc_offset_h: -1.0,
//!     elevation_m: 8.0,
//!     day_of_year: 274,
//!     middle_h: 14.5,
//!     air_degc: 38.0,
//!     humidity: 0.52,
//!     wind_m_per_s: 3.3,
//!     global_mj: 2.450,
//! };
//! assert!((hour.grass_mm(0.8) - 0.63).abs() < 0.005);
//! ```
//!
//! # References
//!
//! - Allen, R. G., Pereira, L. S., Raes, D. and Smith, M. (1998). Crop evapotranspiration. FAO Irrigation and Drainage
//!   Paper 56, equation 53 and chapter 3.

use super::air::{pressure_kpa, psychrometric_kpa_per_k, saturation_kpa, slope_kpa_per_k, wind_at_2_m};
use super::radiation::{FAO_ZERO_K, Sun, clear_sky_mj, clearness, longwave_share};
use crate::record::Record;
use libm::{asin, cos, sin};
use std::f64::consts::PI;

const SIGMA_MJ_PER_HOUR: f64 = 4.903e-9 / 24.0;
const ALBEDO: f64 = 0.23;
/// Height of the sun above which an hour's clearness stands for the sky, rad.
const HIGH_SUN: f64 = 0.3;

/// The weather of an hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hour {
    /// Latitude, °, north positive.
    pub latitude_deg: f64,
    /// Longitude, °, east positive.
    pub longitude_deg: f64,
    /// Local standard time minus UTC, h.
    pub utc_offset_h: f64,
    /// Elevation above sea level, m.
    pub elevation_m: f64,
    /// Day of the year, 1 to 366.
    pub day_of_year: u32,
    /// Middle of the hour, local standard time, h.
    pub middle_h: f64,
    /// Air temperature, °C.
    pub air_degc: f64,
    /// Relative humidity, 0 to 1.
    pub humidity: f64,
    /// Wind at 2 m, m/s.
    pub wind_m_per_s: f64,
    /// Global radiation, MJ/m².
    pub global_mj: f64,
}

/// All that leads to the reference evapotranspiration of an hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Steps {
    /// Hour angle at the middle of the hour, rad.
    pub hour_angle: f64,
    /// Extraterrestrial radiation, MJ/m².
    pub extraterrestrial_mj: f64,
    /// Clear-sky radiation, MJ/m².
    pub clear_mj: f64,
    /// Saturation vapour pressure, kPa.
    pub saturation_kpa: f64,
    /// Vapour pressure, kPa.
    pub vapour_kpa: f64,
    /// Net shortwave radiation, MJ/m².
    pub net_shortwave_mj: f64,
    /// Net outgoing longwave radiation, MJ/m².
    pub net_longwave_mj: f64,
    /// Net radiation, MJ/m².
    pub net_mj: f64,
    /// Heat that goes into the soil, MJ/m².
    pub soil_heat_mj: f64,
    /// The radiation's part of the result, mm.
    pub radiation_mm: f64,
    /// The wind's part of the result, mm.
    pub wind_mm: f64,
}

impl Hour {
    /// Hour angle at the middle of the hour, rad (31 to 33).
    fn hour_angle(&self) -> f64 {
        let b = 2.0 * PI * (f64::from(self.day_of_year) - 81.0) / 364.0;
        let season_h = 0.1645 * sin(2.0 * b) - 0.1255 * cos(b) - 0.025 * sin(b);
        // FAO-56 counts longitudes west of Greenwich.
        let clock_h = (self.longitude_deg - 15.0 * self.utc_offset_h) / 15.0;
        let angle = PI / 12.0 * (self.middle_h + clock_h + season_h - 12.0);
        // Brought to -π to π, for clocks far from the sun.
        angle - 2.0 * PI * ((angle + PI) / (2.0 * PI)).floor()
    }

    /// Height of the sun at the middle of the hour, rad.
    fn height(&self, sun: &Sun) -> f64 {
        let up = sin(sun.latitude) * sin(sun.declination)
            + cos(sun.latitude) * cos(sun.declination) * cos(self.hour_angle());
        asin(up.clamp(-1.0, 1.0))
    }

    /// Extraterrestrial radiation of the hour, MJ/m² (28).
    fn extraterrestrial_mj(&self, sun: &Sun) -> f64 {
        let angle = self.hour_angle();
        let held = |a: f64| a.clamp(-sun.sunset, sun.sunset);
        let (from, to) = (held(angle - PI / 24.0), held(angle + PI / 24.0));
        let path = (to - from) * sin(sun.latitude) * sin(sun.declination)
            + cos(sun.latitude) * cos(sun.declination) * (sin(to) - sin(from));
        (12.0 * 60.0 / PI * 0.0820 * sun.distance * path).max(0.0)
    }

    /// Every intermediate result. `clearness` is what stands for `R_s/R_so` where the sun is low or down.
    #[must_use]
    pub fn steps(&self, clearness_at_night: f64) -> Steps {
        let sun = Sun::new(self.latitude_deg, self.day_of_year);
        let extraterrestrial_mj = self.extraterrestrial_mj(&sun);
        let clear_mj = clear_sky_mj(extraterrestrial_mj, self.elevation_m);
        let share = self.clearness(&sun).unwrap_or(clearness_at_night);
        let saturation = saturation_kpa(self.air_degc);
        let vapour_kpa = saturation * self.humidity;
        let slope = slope_kpa_per_k(self.air_degc);
        let gamma = psychrometric_kpa_per_k(pressure_kpa(self.elevation_m));
        let square = (self.air_degc + FAO_ZERO_K) * (self.air_degc + FAO_ZERO_K);
        let net_longwave_mj = SIGMA_MJ_PER_HOUR * square * square * longwave_share(vapour_kpa, share);
        let net_shortwave_mj = (1.0 - ALBEDO) * self.global_mj;
        let net_mj = net_shortwave_mj - net_longwave_mj;
        let soil_heat_mj = if self.global_mj > 0.0 { 0.1 * net_mj } else { 0.5 * net_mj };
        let below = slope + gamma * (1.0 + 0.34 * self.wind_m_per_s);
        Steps {
            hour_angle: self.hour_angle(),
            extraterrestrial_mj,
            clear_mj,
            saturation_kpa: saturation,
            vapour_kpa,
            net_shortwave_mj,
            net_longwave_mj,
            net_mj,
            soil_heat_mj,
            radiation_mm: 0.408 * slope * (net_mj - soil_heat_mj) / below,
            wind_mm: gamma * 37.0 / (self.air_degc + 273.0) * self.wind_m_per_s * (saturation - vapour_kpa)
                / below,
        }
    }

    /// The hour's clearness, while the sun is high enough for it to mean something.
    fn clearness(&self, sun: &Sun) -> Option<f64> {
        let clear_mj = clear_sky_mj(self.extraterrestrial_mj(sun), self.elevation_m);
        (self.height(sun) > HIGH_SUN).then(|| clearness(self.global_mj, clear_mj))
    }

    /// Reference evapotranspiration, mm.
    #[must_use]
    pub fn grass_mm(&self, clearness_at_night: f64) -> f64 {
        let steps = self.steps(clearness_at_night);
        (steps.radiation_mm + steps.wind_mm).max(0.0)
    }
}

/// Reference evapotranspiration of every hour of a record, mm; `None` without humidity or wind. Of the night before the first
/// sun the sky is that of the last day in a year that repeats, of the first day elsewhere.
#[must_use]
pub fn column_mm(record: &Record) -> Option<Vec<f64>> {
    let humidity = record.relative_humidity.as_ref()?;
    let wind = record.wind_m_per_s.as_ref()?;
    let hour = |h: usize| Hour {
        latitude_deg: record.place.latitude_deg,
        longitude_deg: record.place.longitude_deg,
        utc_offset_h: record.place.utc_offset_h,
        elevation_m: record.place.elevation_m,
        day_of_year: record.calendar.day_of(h).day_of_year(),
        middle_h: f64::from(record.calendar.start_minute_of_day(h)) / 60.0 + 0.5,
        air_degc: record.air_degc[h],
        humidity: humidity[h].clamp(0.0, 1.0),
        wind_m_per_s: wind_at_2_m(wind[h], 10.0),
        global_mj: record.ghi_w_per_m2[h] * 3600.0 / 1e6,
    };
    let clearness = |h: usize| {
        let hour = hour(h);
        hour.clearness(&Sun::new(hour.latitude_deg, hour.day_of_year))
    };
    let mut clear = (0..record.hours()).filter_map(clearness);
    let before = if record.calendar.is_one_year() { clear.next_back() } else { clear.next() };
    let mut sky = before.unwrap_or(0.3);
    Some(
        (0..record.hours())
            .map(|h| {
                sky = clearness(h).unwrap_or(sky);
                hour(h).grass_mm(sky)
            })
            .collect(),
    )
}
