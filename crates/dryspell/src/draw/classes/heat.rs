//! How a need that is published without a temperature is spread over cool and hot days.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `T` | mean air temperature of the day | °C | any |
//! | `V` | water a head and day | L | ≥ 0 |
//!
//! # Equation
//!
//! A single figure `V0` ([`rising`]): `V = V0` up to 20 °C, `1.4 V0` at 32 °C, on the straight line through both between
//! and above.
//!
//! A range `low` to `high` ([`from_cool_to_hot`]): `low` up to 5 °C, `high` at 25 °C, on the line between and above.
//!
//! # Validity
//!
//! **Constructed, not published**, except for poultry, whose source says 30 to 50 % more at 32 °C than at 20 °C. For
//! the other classes the same 40 % is borrowed. That the ends of a range are those of a cool and a hot day is our own
//! reading of lists that give no cause; one of them (Alberta) calls its figures means of the year and asks for twice as
//! much for feeder cattle above 25 °C.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::classes::{DayAir, heat};
//! // 26 °C is half-way to 32: 20 % more.
//! assert!((heat::rising(10.0).litres_per_day(DayAir::steady(26.0)) - 12.0).abs() < 1e-12);
//! // 15 °C is half-way from 5 to 25.
//! assert!((heat::from_cool_to_hot(4.0, 6.0).litres_per_day(DayAir::steady(15.0)) - 5.0).abs() < 1e-12);
//! ```
//!
//! # References
//!
//! - Poultry CRC (Australia), drinking water of layers and broilers: 30 to 50 % more at 32 °C.
//! - Alberta Agriculture, Agdex 716(C01): listed values are means of the year.

use super::curve::{Curve, Follows};

/// Temperature up to which a single figure holds, °C.
const MILD_DEGC: f64 = 20.0;
/// Temperature at which it is 40 % more, °C.
const HOT_DEGC: f64 = 32.0;
/// Middle of 30 and 50 % more.
const HOT_FACTOR: f64 = 1.4;
/// Temperatures of the ends of a range, °C.
const ENDS_DEGC: (f64, f64) = (5.0, 25.0);

/// A single published figure, litres a day, with more in heat.
#[must_use]
pub fn rising(litres: f64) -> Curve {
    Curve::new(Follows::Mean, &[(MILD_DEGC, litres), (HOT_DEGC, HOT_FACTOR * litres)])
}

/// A published range, litres a day, read as a cool and a hot day.
#[must_use]
pub fn from_cool_to_hot(low: f64, high: f64) -> Curve {
    Curve::new(Follows::Mean, &[(ENDS_DEGC.0, low), (ENDS_DEGC.1, high)])
}
