//! Heat that goes into the soil over a month.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `T_{i−1}`, `T_i`, `T_{i+1}` | mean air temperature of months | °C | −60 to 60 |
//! | `G` | soil heat flux | MJ/m² a day | |
//!
//! # Equation
//!
//! `G = 0.07 (T_{i+1} − T_{i−1})` (43).
//!
//! # Validity
//!
//! For months only. Over a day it is taken as zero (42).
//!
//! # Example
//!
//! ```
//! // FAO-56 example 13: March 14.1, May 18.8 °C.
//! assert!((dryspell::evaporation::soil_heat::month_mj_per_day(14.1, 18.8) - 0.33).abs() < 0.005);
//! ```
//!
//! # References
//!
//! - Allen, R. G., Pereira, L. S., Raes, D. and Smith, M. (1998). FAO Irrigation and Drainage Paper 56, chapter 3.

/// Soil heat of a month from the months before and after, MJ/m² a day (43).
#[must_use]
pub fn month_mj_per_day(before_degc: f64, after_degc: f64) -> f64 {
    0.07 * (after_degc - before_degc)
}
