//! Radiation of a day at the ground and what is left of it, as FAO-56 takes it.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `φ` | latitude, north positive | ° | −90 to 90 |
//! | `J` | day of the year | – | 1 to 366 |
//! | `d_r`, `δ`, `ω_s` | distance factor, declination, sunset angle | –, rad, rad | |
//! | `R_a` | extraterrestrial radiation | MJ/m² a day | ≥ 0 |
//! | `N`, `n` | longest and actual sunshine | h | 0 to 24 |
//! | `R_s`, `R_so` | global radiation, of the day and of a clear one | MJ/m² a day | ≥ 0 |
//! | `R_nl` | net outgoing longwave radiation | MJ/m² a day | |
//!
//! # Equation
//!
//! - `d_r = 1 + 0.033 cos(2πJ/365)` (23), `δ = 0.409 sin(2πJ/365 − 1.39)` (24), `ω_s = acos(−tan φ tan δ)` (25)
//! - `R_a = (24·60/π) 0.0820 d_r (ω_s sin φ sin δ + cos φ cos δ sin ω_s)` (21), `N = 24 ω_s/π` (34)
//! - `R_s = (a + b n/N) R_a` (35), `R_so = (0.75 + 2·10⁻⁵ z) R_a` (37), `R_s = k √(T_max − T_min) R_a` (50)
//! - `R_nl = σ (T_max⁴ + T_min⁴)/2 (0.34 − 0.14 √e_a)(1.35 R_s/R_so − 0.35)` (39), σ = 4.903·10⁻⁹ MJ/K⁴m² a day
//!
//! # Validity
//!
//! `R_s/R_so` is held between 0.3 and 1.0: above 1 it is an error of the data, below 0.3 the law of cloud no longer
//! holds. Where the sun does not rise it is taken as 0.3. Beyond the polar circles `ω_s` is held at 0 or π.
//!
//! # Example
//!
//! ```
//! use dryspell::evaporation::radiation::Sun;
//! // FAO-56 example 8: 20° S on 3 September, 32.2 MJ/m² a day; example 9: 11.7 h.
//! let sun = Sun::new(-20.0, 246);
//! assert!((sun.extraterrestrial_mj() - 32.2).abs() < 0.05 && (sun.daylight_h() - 11.7).abs() < 0.05);
//! ```
//!
//! # References
//!
//! - Allen, R. G., Pereira, L. S., Raes, D. and Smith, M. (1998). Crop evapotranspiration. FAO Irrigation and Drainage
//!   Paper 56, chapter 3. The lower limit of `R_s/R_so`: ASCE (2005), The ASCE Standardized Reference
//!   Evapotranspiration Equation.

use libm::{acos, cos, sin, tan};
use std::f64::consts::PI;

/// Stefan-Boltzmann constant, MJ/K⁴m² a day.
const SIGMA_MJ_PER_DAY: f64 = 4.903e-9;

/// 0 °C in FAO-56, K.
pub const FAO_ZERO_K: f64 = 273.16;

/// The sun's course on a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sun {
    /// Latitude, rad.
    pub latitude: f64,
    /// Factor of the distance.
    pub distance: f64,
    /// Declination, rad.
    pub declination: f64,
    /// Hour angle of sunset, rad.
    pub sunset: f64,
}

impl Sun {
    /// The course on a day of the year, at a latitude in degrees.
    #[must_use]
    pub fn new(latitude_deg: f64, day_of_year: u32) -> Self {
        let latitude = latitude_deg.to_radians();
        let turn = 2.0 * PI * f64::from(day_of_year) / 365.0;
        let declination = 0.409 * sin(turn - 1.39);
        let sunset = acos((-tan(latitude) * tan(declination)).clamp(-1.0, 1.0));
        Self { latitude, distance: 1.0 + 0.033 * cos(turn), declination, sunset }
    }

    /// Extraterrestrial radiation of the day, MJ/m² (21).
    #[must_use]
    pub fn extraterrestrial_mj(&self) -> f64 {
        let Self { latitude, distance, declination, sunset } = *self;
        let path = sunset * sin(latitude) * sin(declination) + cos(latitude) * cos(declination) * sin(sunset);
        (24.0 * 60.0 / PI * 0.0820 * distance * path).max(0.0)
    }

    /// Longest sunshine, h (34).
    #[must_use]
    pub fn daylight_h(&self) -> f64 {
        24.0 / PI * self.sunset
    }
}

/// Global radiation from hours of sunshine, MJ/m² (35); FAO-56 has `a` = 0.25 and `b` = 0.5.
#[must_use]
pub fn from_sunshine_mj(sun: &Sun, sunshine_h: f64, a: f64, b: f64) -> f64 {
    (a + b * sunshine_h / sun.daylight_h()) * sun.extraterrestrial_mj()
}

/// Global radiation from the day's range of temperature, MJ/m² (50); `k` is 0.16 inland and 0.19 at coasts, per √K.
#[must_use]
pub fn from_range_mj(extraterrestrial_mj: f64, greatest_degc: f64, least_degc: f64, k: f64) -> f64 {
    k * (greatest_degc - least_degc).max(0.0).sqrt() * extraterrestrial_mj
}

/// Global radiation of a clear day, MJ/m² (37).
#[must_use]
pub fn clear_sky_mj(extraterrestrial_mj: f64, elevation_m: f64) -> f64 {
    (0.75 + 2e-5 * elevation_m) * extraterrestrial_mj
}

/// Global over clear-sky radiation, held between 0.3 and 1.
#[must_use]
pub fn clearness(global_mj: f64, clear_mj: f64) -> f64 {
    if clear_mj > 0.0 { (global_mj / clear_mj).clamp(0.3, 1.0) } else { 0.3 }
}

/// The part of outgoing longwave radiation that air and cloud let through (39).
pub(super) fn longwave_share(vapour_kpa: f64, clearness: f64) -> f64 {
    (0.34 - 0.14 * vapour_kpa.max(0.0).sqrt()) * (1.35 * clearness - 0.35)
}

/// Net outgoing longwave radiation of a day, MJ/m² (39). `zero_k` is 0 °C in kelvin: [`FAO_ZERO_K`] in FAO-56.
#[must_use]
pub fn net_longwave_mj(
    greatest_degc: f64,
    least_degc: f64,
    vapour_kpa: f64,
    clearness: f64,
    zero_k: f64,
) -> f64 {
    let fourth = |degc: f64| {
        let square = (degc + zero_k) * (degc + zero_k);
        square * square
    };
    let body = SIGMA_MJ_PER_DAY * 0.5 * (fourth(greatest_degc) + fourth(least_degc));
    body * longwave_share(vapour_kpa, clearness)
}
