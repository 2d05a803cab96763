//! Water that cattle need for each kilogram of dry matter eaten, by the day's mean temperature.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `D` | dry matter eaten | kg a day | ≥ 0 |
//! | `T` | mean air temperature of the day | °C | any |
//! | `f` | water to dry matter | L/kg | 3.09 upward |
//! | `V` | water a head and day, with that in the feed | L | ≥ 0 |
//!
//! # Equation
//!
//! `V = D · f(T)`, `f` = 0.37, 0.40, 0.46, 0.54, 0.62, 0.88 US gallons a pound at 40, 50, 60, 70, 80, 90 °F and linear
//! between; 0.37 below.
//!
//! # Validity
//!
//! Bos taurus on dry feed. The step from 80 to 90 °F is by far the steepest; above 90 °F the line goes on (our own
//! extension). Not for lactating cows, whose need is not in proportion to what they eat.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::classes::{DayAir, winchester_morris};
//! // 10.8 lb of dry matter at 75 degF: 10.8 x 0.58 = 6.264 US gal = 23.71 L.
//! let curve = winchester_morris::curve(10.8 * 0.45359237);
//! assert!((curve.litres_per_day(DayAir::steady(43.0 / 1.8)) - 23.712).abs() < 0.001);
//! ```
//!
//! # References
//!
//! - Winchester, C. F. and Morris, M. J. (1956). Water intake rates of cattle. Journal of Animal Science 15, 722–740.
//! - Hall, J. B. (1999). Livestock Update, September 1999. Virginia Tech, table 1.

use super::{Curve, Follows, KG_PER_LB, L_PER_GAL};

/// °F and US gallons a pound of dry matter.
const FACTORS: [(f64, f64); 6] =
    [(40.0, 0.37), (50.0, 0.40), (60.0, 0.46), (70.0, 0.54), (80.0, 0.62), (90.0, 0.88)];

/// The need of an animal that eats so much dry matter, kg a day.
#[must_use]
pub fn curve(dry_matter_kg: f64) -> Curve {
    let points = FACTORS
        .map(|(degf, gal_per_lb)| ((degf - 32.0) / 1.8, dry_matter_kg * gal_per_lb * L_PER_GAL / KG_PER_LB));
    Curve::new(Follows::Mean, &points).eating(dry_matter_kg)
}
