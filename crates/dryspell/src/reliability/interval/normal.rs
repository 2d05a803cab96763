//! The normal distribution: how many standard deviations hold a given share.

use super::Level;
use std::f64::consts::FRAC_1_SQRT_2;

/// Standard deviations either side of the mean that hold a share of a normal distribution.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | 1 − α | `level` | – | above 0, below 1 |
/// | z | result | standard deviations | above 0, to about 8.3 |
///
/// # Equation
/// `erfc(z/√2) = α`, solved by halving.
///
/// # Validity
/// Good to about 1e-15 for the usual levels; a level so near 1 that a number cannot tell it from 1 gives the last one
/// that it can.
///
/// # Example
/// 95 % lie within 1.96 standard deviations.
/// ```
/// use dryspell::reliability::interval::{Level, normal::two_sided};
/// assert!((two_sided(Level::default()) - 1.959_964).abs() < 1e-6);
/// ```
///
/// # References
/// Definition. M. Abramowitz and I. A. Stegun, *Handbook of Mathematical Functions*, 1964, equation 26.2.29 (from
/// memory).
#[must_use]
pub fn two_sided(level: Level) -> f64 {
    let outside = level.outside();
    let (mut low, mut high) = (0.0, 40.0);
    loop {
        let middle = f64::midpoint(low, high);
        if middle <= low || middle >= high {
            return middle;
        }
        if libm::erfc(middle * FRAC_1_SQRT_2) > outside {
            low = middle;
        } else {
            high = middle;
        }
    }
}
