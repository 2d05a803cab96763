//! What a grown meat goat needs in a day: a share of a beef cow's need.
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
//! `V = 0.15 · V_cow`, with a dry beef cow of 1100 lb (499 kg): see [`beef_cow`].
//!
//! # Validity
//!
//! The source says "15 % of beef cattle need" and not of which cattle: that it is a dry cow of 1100 lb is our own reading.
//! A weaker source has 1 to 2 US gallons for goats up to 60 lb and 2 to 3 up to 115 lb, more than this. For goats in
//! milk give your own figures: they are said to need what a dairy cow needs for her size.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::classes::{Animal, DayAir, goat};
//! // 15 % of 8.2 US gal (31.04 L) at 40 degF: 4.66 L.
//! let curve = goat::CLASS.curve(&Animal::UNKNOWN).unwrap();
//! assert!((curve.litres_per_day(DayAir::steady(0.0)) - 4.656).abs() < 0.001);
//! ```
//!
//! # References
//!
//! - Pennington, J. (2014). Lincoln University, Missouri: sheep about 20 %, meat goats about 15 % of beef cattle.

use super::{Animal, Class, Curve, KG_PER_LB, beef_cow};

/// The class.
pub const CLASS: Class = Class {
    name: "meat goat",
    formula: "15 % of the need of a dry beef cow of 1100 lb, by mean temperature",
    inputs: &[],
    source: "J. Pennington, Lincoln University (2014): meat goat about 15 % of beef cattle",
    from_memory: None,
    constructed: Some("that the 15 % refers to a dry cow of 1100 lb"),
    counts_feed_water: true,
    typical: Animal::UNKNOWN,
    law,
};

fn law(_: &Animal) -> Curve {
    (beef_cow::CLASS.law)(&Animal::in_milk(1100.0 * KG_PER_LB, 0.0)).times(0.15)
}
