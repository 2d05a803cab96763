//! Water that a dairy cow drinks in a day, by Meyer and others (coefficients from memory).
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `T` | mean air temperature of the day | °C | not stated |
//! | `m` | milk | kg a day | not stated |
//! | `M` | live mass | kg | not stated |
//! | `Na` | sodium eaten | g a day | not stated |
//! | `V` | water drunk | L a head and day | ≥ 0 |
//!
//! # Equation
//!
//! `V = −26.12 + 1.516 T + 1.299 m + 0.058 M + 0.406 Na`
//!
//! # Validity
//!
//! Coefficients from memory: not to be quoted. A second opinion; nothing is simulated with it.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::equations::meyer;
//! // -26.12 + 22.74 + 38.97 + 37.70 + 16.24 = 89.53.
//! assert!((meyer::l_per_day(15.0, 30.0, 650.0, 40.0) - 89.53).abs() < 0.005);
//! ```
//!
//! # References
//!
//! - Meyer, U. et al. (2004). Investigations on the water intake of lactating dairy cows. Livestock Production Science
//!   90, 117–121.

/// Litres a head and day.
#[must_use]
pub fn l_per_day(mean_degc: f64, milk_kg: f64, mass_kg: f64, sodium_g: f64) -> f64 {
    -26.12 + 1.516 * mean_degc + 1.299 * milk_kg + 0.058 * mass_kg + 0.406 * sodium_g
}
