//! What a pullet drinks in a day, by her age.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `a` | age | weeks | 4 to 18 |
//! | `T` | mean air temperature of the day | °C | any |
//! | `V` | water a head and day | L | ≥ 0 |
//!
//! # Equation
//!
//! 0.100, 0.160, 0.200 L at 4, 12, 18 weeks at about 21 °C, linear between, with more in heat as in [`heat::rising`].
//!
//! # Validity
//!
//! Printed for 1000 birds at 21 °C. The age stands still over the record: give the age of the week that matters.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::classes::{Animal, Ask, DayAir, pullet};
//! // 1000 pullets of 15 weeks, half-way from 12 to 18: 180 L.
//! let curve = pullet::CLASS.curve(&Animal::UNKNOWN.with(Ask::Age, 15.0)).unwrap();
//! assert!((1000.0 * curve.litres_per_day(DayAir::steady(15.0)) - 180.0).abs() < 1e-9);
//! ```
//!
//! # References
//!
//! - Poultry CRC (Australia), drinking water of layers and broilers.

use super::{Animal, Ask, Class, Fallback, Input, along, heat};

/// Age in weeks and litres a day.
const NEED: [(f64, f64); 3] = [(4.0, 0.100), (12.0, 0.160), (18.0, 0.200)];

/// The class.
pub const CLASS: Class = Class {
    name: "pullet",
    formula: "0.10, 0.16, 0.20 L at 4, 12, 18 weeks up to 20 degC, 40 % more at 32 degC, linear",
    inputs: &[Input { ask: Ask::Age, least: 4.0, most: 18.0, left_out: Fallback::Needed }],
    source: "Poultry CRC (Australia), drinking water of layers and broilers",
    from_memory: None,
    constructed: None,
    counts_feed_water: false,
    typical: Animal::UNKNOWN.with(Ask::Age, 12.0),
    law: |bird| heat::rising(along(&NEED, bird.age_weeks.unwrap_or(0.0))),
};
