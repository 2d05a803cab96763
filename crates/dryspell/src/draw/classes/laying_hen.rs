//! What a laying hen drinks in a day, by how many of the flock lay.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `y` | share of hens that lay on a day | – | 0.5 to 0.9 |
//! | `T` | mean air temperature of the day | °C | any |
//! | `V` | water a head and day | L | ≥ 0 |
//!
//! # Equation
//!
//! 0.220 L at 50 % and 0.270 L at 90 % lay, linear between, with more in heat as in [`heat::rising`].
//!
//! # Validity
//!
//! Printed for 1000 hens at 21 °C. A list of New Zealand has 20 L for 100 birds of any kind.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::classes::{Animal, Ask, DayAir, laying_hen};
//! // 1000 hens at 70 % lay, half-way: 245 L.
//! let curve = laying_hen::CLASS.curve(&Animal::UNKNOWN.with(Ask::Laying, 0.7)).unwrap();
//! assert!((1000.0 * curve.litres_per_day(DayAir::steady(15.0)) - 245.0).abs() < 1e-9);
//! ```
//!
//! # References
//!
//! - Poultry CRC (Australia), drinking water of layers and broilers.

use super::{Animal, Ask, Class, Fallback, Input, along, heat};

/// Share that lays, and litres a day.
const NEED: [(f64, f64); 2] = [(0.5, 0.220), (0.9, 0.270)];

/// The class.
pub const CLASS: Class = Class {
    name: "laying hen",
    formula: "0.22 L at 50 % lay, 0.27 L at 90 % lay up to 20 degC, 40 % more at 32 degC, linear",
    inputs: &[Input { ask: Ask::Laying, least: 0.5, most: 0.9, left_out: Fallback::Value(0.9) }],
    source: "Poultry CRC (Australia), drinking water of layers and broilers",
    from_memory: None,
    constructed: None,
    counts_feed_water: false,
    typical: Animal::UNKNOWN,
    law: |bird| heat::rising(along(&NEED, bird.laying.unwrap_or(0.9))),
};
