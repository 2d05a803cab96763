//! Evaporation from open water on a day: Penman, in the form of McMahon and others.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `R_n` | net radiation over water | MJ/m² a day | |
//! | `λ` | latent heat, 2.45 | MJ/kg | |
//! | `u_2` | wind at 2 m | m/s | ≥ 0 |
//! | `e_s`, `e_a` | saturation and actual vapour pressure | kPa | ≥ 0 |
//! | `Δ`, `γ` | slope of saturation, psychrometric constant `0.00163 P/λ` | kPa/K | > 0 |
//! | `E` | depth that evaporates | mm a day | ≥ 0 |
//!
//! # Equation
//!
//! `E = Δ/(Δ + γ) · R_n/λ + γ/(Δ + γ) · (1.313 + 1.381 u_2)(e_s − e_a)`, `R_n = (1 − 0.08) R_s − R_nl`
//!
//! # Validity
//!
//! Shallow water without heat store. A small metal trough with sunlit sides loses more, 1.0 to 1.2 times this (own
//! judgement); a covered or closed tank loses nothing. Under ice it is zero: see [`ice`](super::ice). A value below zero
//! (dew) is taken as zero.
//!
//! # Example
//!
//! ```
//! use dryspell::evaporation::{air, grass::Day, open_water};
//! // Alice Springs, 20 July 1980: 2.98 mm.
//! let day = Day {
//!     latitude_deg: -23.7951,
//!     elevation_m: 546.0,
//!     day_of_year: 202,
//!     greatest_degc: 21.0,
//!     least_degc: 2.0,
//!     vapour_kpa: air::day_vapour_kpa(21.0, 2.0, 0.71, 0.25),
//!     wind_m_per_s: 0.5903,
//!     global_mj: 17.1940,
//!     soil_heat_mj: 0.0,
//! };
//! assert!((open_water::evaporation_mm(&day) - 2.9797).abs() < 0.0001);
//! ```
//!
//! # References
//!
//! - McMahon, T. A., Peel, M. C., Lowe, L., Srikanthan, R. and McVicar, T. R. (2013). Estimating actual, potential,
//!   reference crop and pan evaporation using standard meteorological data: a pragmatic synthesis. Hydrology and Earth
//!   System Sciences 17, 1331–1363, supplement S19.
//! - Penman, H. L. (1956). Evaporation: an introductory survey. Netherlands Journal of Agricultural Science 4, 9–29.

use super::air::{day_saturation_kpa, pressure_kpa, slope_kpa_per_k};
use super::grass::Day;
use super::radiation::{Sun, clear_sky_mj, clearness, net_longwave_mj};

/// Share of light that open water throws back.
const ALBEDO: f64 = 0.08;
/// Latent heat, MJ/kg.
const LATENT_MJ_PER_KG: f64 = 2.45;
/// 0 °C in the paper's worked example, K.
const ZERO_K: f64 = 273.2;

/// Depth that evaporates on a day of that weather, mm; its soil heat is not used.
#[must_use]
pub fn evaporation_mm(day: &Day) -> f64 {
    let slope = slope_kpa_per_k(0.5 * (day.greatest_degc + day.least_degc));
    let gamma = 0.00163 * pressure_kpa(day.elevation_m) / LATENT_MJ_PER_KG;
    let clear_mj =
        clear_sky_mj(Sun::new(day.latitude_deg, day.day_of_year).extraterrestrial_mj(), day.elevation_m);
    let longwave = net_longwave_mj(
        day.greatest_degc,
        day.least_degc,
        day.vapour_kpa,
        clearness(day.global_mj, clear_mj),
        ZERO_K,
    );
    let net_mj = (1.0 - ALBEDO) * day.global_mj - longwave;
    let deficit_kpa = day_saturation_kpa(day.greatest_degc, day.least_degc) - day.vapour_kpa;
    let drying_mm = (1.313 + 1.381 * day.wind_m_per_s) * deficit_kpa;
    let depth = (slope * net_mj / LATENT_MJ_PER_KG + gamma * drying_mm) / (slope + gamma);
    depth.max(0.0)
}

/// Water that a surface of that area loses, m³ in each hour: each day's depth, spread evenly over its hours.
///
/// `depth_mm` has one value a day; `iced` says on which days ice covers the water (empty: never).
#[must_use]
pub fn column_m3(depth_mm: &[f64], iced: &[bool], area_m2: f64) -> Vec<f64> {
    depth_mm
        .iter()
        .enumerate()
        .flat_map(|(day, mm)| {
            let open = !iced.get(day).copied().unwrap_or(false);
            let hour = if open { mm / 1000.0 * area_m2 / 24.0 } else { 0.0 };
            std::iter::repeat_n(hour, 24)
        })
        .collect()
}
