//! Water that a dairy cow drinks in a day, by Little and Shaw.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `D` | dry matter eaten | kg a day | 4.6 to 14.4 |
//! | `m` | milk | kg a day | 13.7 to 30 |
//! | `V` | water drunk | L a head and day | ≥ 0 |
//!
//! # Equation
//!
//! `V = 12.3 + 2.15 D + 0.73 m`
//!
//! # Validity
//!
//! Air of 7 to 20 °C, which the equation does not hold. A second opinion; nothing is simulated with it.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::equations::little_shaw;
//! // 12.3 + 2.15 x 14 + 0.73 x 20 = 57.0.
//! assert!((little_shaw::l_per_day(14.0, 20.0) - 57.0).abs() < 0.005);
//! ```
//!
//! # References
//!
//! - Little, W. and Shaw, S. R. (1978). A note on the individuality of the intake of drinking water by dairy cows.
//!   Animal Production 26, 225–227.

/// Litres a head and day.
#[must_use]
pub fn l_per_day(dry_matter_kg: f64, milk_kg: f64) -> f64 {
    12.3 + 2.15 * dry_matter_kg + 0.73 * milk_kg
}
