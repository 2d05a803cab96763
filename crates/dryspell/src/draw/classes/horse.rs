//! What a horse needs in a day, by its mass.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `M` | live mass | kg | 100 to 1000 |
//! | `T` | mean air temperature of the day | °C | any |
//! | `V` | water a head and day | L | ≥ 0 |
//!
//! # Equation
//!
//! `V` = 1 US gallon for each 100 lb (8.35 L for each 100 kg), with more in heat as in [`heat::rising`].
//!
//! # Validity
//!
//! A horse at rest. The source says "at least". Work in heat takes two to four times as much: give your own figures then.
//! A list of Ontario (from memory) has 26 to 39 L for 454 kg, where this gives 38 L up to 20 °C.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::classes::{Animal, DayAir, horse};
//! // 1000 lb: 10 US gal = 37.85 L.
//! let curve = horse::CLASS.curve(&Animal::of_mass(453.59237)).unwrap();
//! assert!((curve.litres_per_day(DayAir::steady(10.0)) - 37.854).abs() < 0.001);
//! ```
//!
//! # References
//!
//! - Kansas State University, livestock watering handbook: at least 1 gallon for each 100 lb; exercise in heat 2 to 4
//!   times.

use super::{Animal, Ask, Class, Fallback, Input, KG_PER_LB, L_PER_GAL, heat};

/// The class.
pub const CLASS: Class = Class {
    name: "horse",
    formula: "1 US gallon for each 100 lb up to 20 degC, 40 % more at 32 degC, linear between and above",
    inputs: &[Input { ask: Ask::Mass, least: 100.0, most: 1000.0, left_out: Fallback::Needed }],
    source: "Kansas State University, livestock watering handbook",
    from_memory: None,
    constructed: Some("the rise above 20 degC, 40 % at 32 degC, is borrowed from poultry"),
    counts_feed_water: false,
    typical: Animal::of_mass(500.0),
    law: |horse| heat::rising(horse.mass_kg.unwrap_or(0.0) / (100.0 * KG_PER_LB) * L_PER_GAL),
};
