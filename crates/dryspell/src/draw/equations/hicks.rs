//! Water that a feedlot steer drinks in a day, by Hicks and others (coefficients from memory).
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `T` | highest air temperature of the day | °F | not stated |
//! | `D` | dry matter eaten | kg a day | not stated |
//! | `r` | rain | cm a day | ≥ 0 |
//! | `s` | salt in the dry matter | % | not stated |
//! | `V` | water drunk | L a head and day | ≥ 0 |
//!
//! # Equation
//!
//! `V = −6.0716 + 0.70866 T + 2.432 D − 3.87 r − 4.437 s`
//!
//! # Validity
//!
//! Coefficients from memory: not to be quoted. A second opinion; nothing is simulated with it.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::equations::hicks;
//! // -6.0716 + 63.7794 + 24.32 - 2.2185 = 79.81.
//! assert!((hicks::l_per_day(90.0, 10.0, 0.0, 0.5) - 79.81).abs() < 0.005);
//! ```
//!
//! # References
//!
//! - Hicks, R. B. et al. (1988), as carried by NRC (1996), Nutrient Requirements of Beef Cattle.

/// Litres a head and day.
#[must_use]
pub fn l_per_day(greatest_degf: f64, dry_matter_kg: f64, rain_cm: f64, salt_percent: f64) -> f64 {
    -6.0716 + 0.70866 * greatest_degf + 2.432 * dry_matter_kg - 3.87 * rain_cm - 4.437 * salt_percent
}
