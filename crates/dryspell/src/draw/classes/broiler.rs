//! What a broiler drinks in a day, by its age.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `a` | age | weeks | 1 to 8 |
//! | `T` | mean air temperature of the day | °C | any |
//! | `V` | water a head and day | L | ≥ 0 |
//!
//! # Equation
//!
//! 0.065, 0.120, 0.180, 0.245, 0.290, 0.330, 0.355, 0.370 L at 1 to 8 weeks at 20 °C, linear between, with more in heat as
//! in [`heat::rising`].
//!
//! # Validity
//!
//! Printed for 1000 birds. The age stands still over the record: give the last week's for the hardest. The temperature is
//! that of the weather, not of a heated shed.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::classes::{Animal, Ask, DayAir, broiler};
//! // 1000 birds of 4 weeks: 245 L at 20 degC, 343 L at 32 degC.
//! let curve = broiler::CLASS.curve(&Animal::UNKNOWN.with(Ask::Age, 4.0)).unwrap();
//! assert!((1000.0 * curve.litres_per_day(DayAir::steady(20.0)) - 245.0).abs() < 1e-9);
//! assert!((1000.0 * curve.litres_per_day(DayAir::steady(32.0)) - 343.0).abs() < 1e-9);
//! ```
//!
//! # References
//!
//! - Poultry CRC (Australia), drinking water of layers and broilers.

use super::{Animal, Ask, Class, Fallback, Input, along, heat};

/// Age in weeks and litres a day.
const NEED: [(f64, f64); 8] = [
    (1.0, 0.065),
    (2.0, 0.120),
    (3.0, 0.180),
    (4.0, 0.245),
    (5.0, 0.290),
    (6.0, 0.330),
    (7.0, 0.355),
    (8.0, 0.370),
];

/// The class.
pub const CLASS: Class = Class {
    name: "broiler",
    formula: "0.065, 0.12, 0.18, 0.245, 0.29, 0.33, 0.355, 0.37 L at 1 to 8 weeks up to 20 degC, 40 % more at 32 degC, linear",
    inputs: &[Input { ask: Ask::Age, least: 1.0, most: 8.0, left_out: Fallback::Needed }],
    source: "Poultry CRC (Australia), drinking water of layers and broilers",
    from_memory: None,
    constructed: None,
    counts_feed_water: false,
    typical: Animal::UNKNOWN.with(Ask::Age, 6.0),
    law: |bird| heat::rising(along(&NEED, bird.age_weeks.unwrap_or(0.0))),
};
