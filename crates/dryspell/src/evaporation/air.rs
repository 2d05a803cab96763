//! Pressure, humidity and wind of the air, as FAO-56 takes them.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `z` | elevation above sea level | m | −500 to 9000 |
//! | `P` | air pressure | kPa | > 0 |
//! | `γ` | psychrometric constant | kPa/K | > 0 |
//! | `T` | air temperature | °C | −60 to 60 |
//! | `e°` | saturation vapour pressure | kPa | > 0 |
//! | `Δ` | its slope | kPa/K | > 0 |
//! | `e_a` | vapour pressure | kPa | ≥ 0 |
//! | `u` | wind speed at height `h` above grass | m/s | ≥ 0 |
//!
//! # Equation
//!
//! - `P = 101.3 ((293 − 0.0065 z)/293)^5.26` (7), `γ = 0.000665 P` (8)
//! - `e°(T) = 0.6108 exp(17.27 T/(T + 237.3))` (11), `Δ = 4098 e°/(T + 237.3)²` (13)
//! - `e_s = (e°(T_max) + e°(T_min))/2` (12)
//! - `e_a = (e°(T_min) RH_max + e°(T_max) RH_min)/2` (17); by wet bulb `e_a = e°(T_wet) − a P (T_dry − T_wet)` (15, 16)
//! - `u_2 = u 4.87/ln(67.8 h − 5.42)` (47)
//!
//! # Validity
//!
//! The pressure is a mean for the elevation. The wind profile is that over short grass and wants `h` above 0.1 m.
//!
//! # Example
//!
//! ```
//! use dryspell::evaporation::air;
//! // FAO-56 examples 2, 3 and 14.
//! assert!((air::pressure_kpa(1800.0) - 81.8).abs() < 0.05);
//! assert!((air::saturation_kpa(24.5) - 3.075).abs() < 0.0005);
//! assert!((air::wind_at_2_m(3.2, 10.0) - 2.4).abs() < 0.05);
//! ```
//!
//! # References
//!
//! - Allen, R. G., Pereira, L. S., Raes, D. and Smith, M. (1998). Crop evapotranspiration. FAO Irrigation and Drainage
//!   Paper 56, chapter 3.

use libm::{exp, log, pow};

/// Air pressure at an elevation, kPa (7).
#[must_use]
pub fn pressure_kpa(elevation_m: f64) -> f64 {
    101.3 * pow((293.0 - 0.0065 * elevation_m) / 293.0, 5.26)
}

/// Psychrometric constant, kPa/K (8).
#[must_use]
pub fn psychrometric_kpa_per_k(pressure_kpa: f64) -> f64 {
    0.665e-3 * pressure_kpa
}

/// Saturation vapour pressure, kPa (11).
#[must_use]
pub fn saturation_kpa(degc: f64) -> f64 {
    0.6108 * exp(17.27 * degc / (degc + 237.3))
}

/// Slope of the saturation vapour pressure, kPa/K (13).
#[must_use]
pub fn slope_kpa_per_k(degc: f64) -> f64 {
    4098.0 * saturation_kpa(degc) / ((degc + 237.3) * (degc + 237.3))
}

/// Saturation vapour pressure of a day, kPa (12).
#[must_use]
pub fn day_saturation_kpa(greatest_degc: f64, least_degc: f64) -> f64 {
    0.5 * (saturation_kpa(greatest_degc) + saturation_kpa(least_degc))
}

/// Vapour pressure of a day from its relative humidities as shares, kPa (17).
#[must_use]
pub fn day_vapour_kpa(greatest_degc: f64, least_degc: f64, greatest_rh: f64, least_rh: f64) -> f64 {
    0.5 * (saturation_kpa(least_degc) * greatest_rh + saturation_kpa(greatest_degc) * least_rh)
}

/// Vapour pressure from a wet and a dry bulb, kPa (15); `a_per_k` is 0.000662 for an aspirated instrument.
#[must_use]
pub fn wet_bulb_vapour_kpa(dry_degc: f64, wet_degc: f64, pressure_kpa: f64, a_per_k: f64) -> f64 {
    saturation_kpa(wet_degc) - a_per_k * pressure_kpa * (dry_degc - wet_degc)
}

/// Wind speed at 2 m from that at another height, m/s (47).
#[must_use]
pub fn wind_at_2_m(wind_m_per_s: f64, height_m: f64) -> f64 {
    wind_m_per_s * 4.87 / log(67.8 * height_m - 5.42)
}
