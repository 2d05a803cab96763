//! What a growing pig needs in a day, by its mass.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `M` | live mass | kg | 7 to 110 |
//! | `T` | mean air temperature of the day | °C | any |
//! | `V` | water a head and day | L | ≥ 0 |
//!
//! # Equation
//!
//! 1.0, 3.2, 4.5, 7.3, 10.0 L at 7, 22, 36, 70, 110 kg, linear between, with more in heat as in [`heat::rising`].
//!
//! # Validity
//!
//! From memory: the source's ranges (7 to 22 kg 1 to 3.2 L, 23 to 36 kg 3.2 to 4.5 L, and so on) are read as a curve of
//! mass, since each begins where the one before it ends.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::classes::{Animal, DayAir, pig};
//! // 53 kg is half-way from 36 to 70 kg: (4.5 + 7.3) / 2 = 5.9 L.
//! let curve = pig::CLASS.curve(&Animal::of_mass(53.0)).unwrap();
//! assert!((curve.litres_per_day(DayAir::steady(15.0)) - 5.9).abs() < 1e-9);
//! ```
//!
//! # References
//!
//! - Ward, D. and McKague, K. (2007). Water requirements of livestock. Ontario Ministry of Agriculture, Food and Rural
//!   Affairs, factsheet 07-023 (numbers from memory).

use super::{Animal, Ask, Class, Fallback, Input, along, heat};

/// Live mass, kg, and litres a day.
const NEED: [(f64, f64); 5] = [(7.0, 1.0), (22.0, 3.2), (36.0, 4.5), (70.0, 7.3), (110.0, 10.0)];

/// The class.
pub const CLASS: Class = Class {
    name: "growing pig",
    formula: "1.0, 3.2, 4.5, 7.3, 10.0 L at 7, 22, 36, 70, 110 kg up to 20 degC, 40 % more at 32 degC, linear",
    inputs: &[Input { ask: Ask::Mass, least: 7.0, most: 110.0, left_out: Fallback::Needed }],
    source: "D. Ward and K. McKague, Ontario OMAFRA factsheet 07-023 (2007)",
    from_memory: Some("all numbers"),
    constructed: Some("the rise above 20 degC, 40 % at 32 degC, is borrowed from poultry"),
    counts_feed_water: false,
    typical: Animal::of_mass(60.0),
    law: |pig| heat::rising(along(&NEED, pig.mass_kg.unwrap_or(0.0))),
};
