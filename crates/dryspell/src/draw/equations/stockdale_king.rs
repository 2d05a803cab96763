//! Water that a grazing dairy cow takes in a day, drunk and eaten, by Stockdale and King.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `D` | dry matter eaten | kg a day | not stated |
//! | `d` | dry matter in the feed | g/kg | not stated |
//! | `T` | mean air temperature of the day | °C | not stated |
//! | `V` | water, with that in the feed | L a head and day | ≥ 0 |
//!
//! # Equation
//!
//! `V = 11.34 + 4.63 D − 0.036 d + 0.84 T`
//!
//! # Validity
//!
//! Cows on irrigated pasture. A second opinion beside [`dairy_cow`](crate::draw::classes::dairy_cow); nothing is simulated with it.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::equations::stockdale_king;
//! // 11.34 + 4.63 x 15 - 0.036 x 150 + 0.84 x 15 = 87.99.
//! assert!((stockdale_king::l_per_day(15.0, 150.0, 15.0) - 87.99).abs() < 0.005);
//! ```
//!
//! # References
//!
//! - Stockdale, C. R. and King, R. L. (1983). A note on some of the factors that affect the water consumption of
//!   lactating dairy cows at pasture. Animal Production 36, 53–56.

/// Litres a head and day.
#[must_use]
pub fn l_per_day(dry_matter_kg: f64, feed_dry_g_per_kg: f64, mean_degc: f64) -> f64 {
    11.34 + 4.63 * dry_matter_kg - 0.036 * feed_dry_g_per_kg + 0.84 * mean_degc
}
