//! Radiation outside the air, on a plane facing the sun.

use libm::sincos;
use std::f64::consts::TAU;

/// The solar constant, W/m²: the mean radiation outside the air.
pub const SOLAR_CONSTANT_W_PER_M2: f64 = 1366.1;

/// Extraterrestrial radiation normal to the sun's rays on a day of the year.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | n | `day_of_year` | – | 1 to 366 |
/// | Gsc | `solar_constant` | W/m² (or any unit, kept) | > 0 |
/// | Gon | result | as Gsc | 0.966 to 1.035 Gsc |
///
/// # Equation
///
/// `Gon = Gsc·(1.00011 + 0.034221 cos B + 0.00128 sin B + 0.000719 cos 2B + 0.000077 sin 2B)`, `B = 2π(n − 1)/365`
///
/// # Validity
///
/// Within 0.01 % of the exact distance; the leap cycle moves it by about as much.
///
/// # Example
///
/// On 1 January B is zero, so the factor is 1.00011 + 0.034221 + 0.000719 = 1.03505.
///
/// ```
/// use dryspell::sun::extraterrestrial::{SOLAR_CONSTANT_W_PER_M2, extraterrestrial_normal};
/// assert!((extraterrestrial_normal(1.0, SOLAR_CONSTANT_W_PER_M2) - 1366.1 * 1.03505).abs() < 1e-9);
/// ```
///
/// # References
///
/// J. W. Spencer, *Fourier series representation of the position of the sun*, Search 2 (1971) 172.
#[must_use]
pub fn extraterrestrial_normal(day_of_year: f64, solar_constant: f64) -> f64 {
    let (sin_b, cos_b) = sincos(TAU * (day_of_year - 1.0) / 365.0);
    let (sin_2b, cos_2b) = (2.0 * sin_b * cos_b, 2.0 * cos_b * cos_b - 1.0);
    solar_constant
        * (1.00011 + 0.034_221 * cos_b + 0.001_28 * sin_b + 0.000_719 * cos_2b + 0.000_077 * sin_2b)
}
