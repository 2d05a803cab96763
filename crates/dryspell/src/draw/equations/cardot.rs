//! Water that a dairy cow drinks in a day, by Cardot and others (coefficients from memory).
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `D` | dry matter eaten | kg a day | not stated |
//! | `m` | milk | kg a day | not stated |
//! | `d` | dry matter in the feed | % | not stated |
//! | `T` | lowest air temperature of the day | °C | not stated |
//! | `r` | rain | mm a day | ≥ 0 |
//! | `V` | water drunk | L a head and day | ≥ 0 |
//!
//! # Equation
//!
//! `V = −25.65 + 1.53 D + 1.33 m + 0.89 d + 0.58 T − 0.30 r`
//!
//! # Validity
//!
//! Coefficients from memory: not to be quoted. A second opinion; nothing is simulated with it.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::equations::cardot;
//! // -25.65 + 30.6 + 39.9 + 40.05 + 5.8 = 90.70.
//! assert!((cardot::l_per_day(20.0, 30.0, 45.0, 10.0, 0.0) - 90.70).abs() < 0.005);
//! ```
//!
//! # References
//!
//! - Cardot, V., Le Roux, Y. and Jurjanz, S. (2008). Drinking behavior of lactating dairy cows and prediction of their
//!   water intake. Journal of Dairy Science 91, 2257–2264.

/// Litres a head and day.
#[must_use]
pub fn l_per_day(
    dry_matter_kg: f64,
    milk_kg: f64,
    feed_dry_percent: f64,
    least_degc: f64,
    rain_mm: f64,
) -> f64 {
    -25.65 + 1.53 * dry_matter_kg + 1.33 * milk_kg + 0.89 * feed_dry_percent + 0.58 * least_degc
        - 0.30 * rain_mm
}
