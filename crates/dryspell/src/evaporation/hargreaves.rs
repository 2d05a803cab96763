//! Evapotranspiration of the reference grass from temperature alone: Hargreaves.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `T_max`, `T_min` | greatest and least temperature of the day | °C | −40 to 60 |
//! | `R_a` | extraterrestrial radiation | MJ/m² a day | ≥ 0 |
//! | `ET_o` | reference evapotranspiration | mm a day | ≥ 0 |
//!
//! # Equation
//!
//! `ET_o = 0.0023 (T + 17.8) √(T_max − T_min) · 0.408 R_a`, `T = (T_max + T_min)/2` (52)
//!
//! # Validity
//!
//! For records without humidity or wind. Too low in wind, too high in damp air. Below −17.8 °C it is taken as zero.
//!
//! # Example
//!
//! ```
//! use dryspell::evaporation::hargreaves::grass_mm;
//! // FAO-56 example 20, Lyon in July: 40.55 MJ/m² = 16.5 mm; 5.0 mm.
//! assert!((grass_mm(26.6, 14.8, 40.55) - 5.0).abs() < 0.05);
//! ```
//!
//! # References
//!
//! - Hargreaves, G. H. and Samani, Z. A. (1985), as equation 52 of Allen et al. (1998), FAO Irrigation and Drainage
//!   Paper 56.

/// Reference evapotranspiration, mm a day.
#[must_use]
pub fn grass_mm(greatest_degc: f64, least_degc: f64, extraterrestrial_mj: f64) -> f64 {
    let mean = 0.5 * (greatest_degc + least_degc);
    let range = (greatest_degc - least_degc).max(0.0).sqrt();
    (0.0023 * (mean + 17.8) * range * 0.408 * extraterrestrial_mj).max(0.0)
}
