//! Water that finishing cattle drink in a day, by Arias and Mader: two equations.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `D` | dry matter eaten | kg a day | not stated |
//! | `S` | global radiation, mean of the day | W/m² | not stated |
//! | `T` | lowest air temperature of the day | °C | not stated |
//! | `H` | temperature-humidity index | – | not stated |
//! | `V` | water drunk | L a head and day | ≥ 0 |
//!
//! # Equation
//!
//! `V = 5.92 + 1.03 D + 0.04 S + 0.45 T`, or `V = −7.31 + 1.00 D + 0.04 S + 0.30 H`
//!
//! # Validity
//!
//! Feedlot cattle in Nebraska; R² 0.65 for the first. A second opinion; nothing is simulated with it.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::equations::arias_mader;
//! // 5.92 + 10.3 + 10 + 6.75 = 32.97.
//! assert!((arias_mader::l_per_day(10.0, 250.0, 15.0) - 32.97).abs() < 0.005);
//! ```
//!
//! # References
//!
//! - Arias, R. A. and Mader, T. L. (2011). Environmental factors affecting daily water intake on cattle finished in
//!   feedlots. Journal of Animal Science 89, 245–251.

/// Litres a head and day.
#[must_use]
pub fn l_per_day(dry_matter_kg: f64, solar_w_per_m2: f64, least_degc: f64) -> f64 {
    5.92 + 1.03 * dry_matter_kg + 0.04 * solar_w_per_m2 + 0.45 * least_degc
}

/// Litres a head and day by the temperature-humidity index.
#[must_use]
pub fn by_index_l_per_day(dry_matter_kg: f64, solar_w_per_m2: f64, temperature_humidity: f64) -> f64 {
    -7.31 + 1.00 * dry_matter_kg + 0.04 * solar_w_per_m2 + 0.30 * temperature_humidity
}
