//! What a ewe needs in a day, by her mass and stage.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `M` | live mass | kg | 30 to 130 |
//! | `T` | mean air temperature of the day | °C | any |
//! | `k` | water by metabolic mass | L/kg^0.75 | 0.107 to 0.359 |
//! | `V` | water a head and day, with that in the feed | L | ≥ 0 |
//!
//! # Equation
//!
//! `V = k · M^0.75`; `k` is 0.107 to 0.146 for maintenance, 0.215 to 0.290 in pregnancy, 0.359 in milk. The ranges are
//! read from a cool to a hot day ([`heat::from_cool_to_hot`]), the single figure with more in heat ([`heat::rising`]).
//!
//! # Validity
//!
//! Mass from about 59 to 91 kg is what the source's own table shows; the law is taken to hold from 30 to 130 kg. On green
//! grass (more than 70 % water) half the ewes of one study never came to the trough: take forage water off only if you
//! can rely on it. Merinos on saltbush drink up to 12 L.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::classes::{Animal, DayAir, ewe};
//! // 160 lb = 72.57 kg; 72.57^0.75 = 24.865; x 0.107 = 2.66 L on a cool day, x 0.146 = 3.63 L at 25 degC.
//! let curve = ewe::DRY.curve(&Animal::of_mass(72.5748)).unwrap();
//! assert!((curve.litres_per_day(DayAir::steady(0.0)) - 2.66).abs() < 0.005);
//! assert!((curve.litres_per_day(DayAir::steady(25.0)) - 3.63).abs() < 0.005);
//! ```
//!
//! # References
//!
//! - NRC (2007). Nutrient Requirements of Small Ruminants; by South Dakota State University Extension, Sheep Water
//!   Requirements.

use super::{Animal, Ask, Class, Fallback, Input, heat};
use libm::pow;

const INPUTS: &[Input] = &[Input { ask: Ask::Mass, least: 30.0, most: 130.0, left_out: Fallback::Needed }];

/// A ewe neither pregnant nor in milk.
pub const DRY: Class = Class {
    name: "dry ewe",
    formula: "0.107 mass^0.75 L up to 5 degC, 0.146 mass^0.75 L at 25 degC, linear between and above",
    inputs: INPUTS,
    source: "NRC 2007, Nutrient Requirements of Small Ruminants, by SDSU Extension, Sheep Water Requirements",
    from_memory: None,
    constructed: Some("the ends of the range are taken as days of 5 and 25 degC"),
    counts_feed_water: true,
    typical: Animal::of_mass(72.6),
    law: |ewe| heat::from_cool_to_hot(0.107 * metabolic(ewe), 0.146 * metabolic(ewe)),
};

/// A pregnant ewe.
pub(crate) const PREGNANT: Class = Class {
    name: "pregnant ewe",
    formula: "0.215 mass^0.75 L up to 5 degC, 0.290 mass^0.75 L at 25 degC, linear between and above",
    inputs: INPUTS,
    source: "NRC 2007, Nutrient Requirements of Small Ruminants, by SDSU Extension, Sheep Water Requirements",
    from_memory: None,
    constructed: Some("the ends of the range are taken as days of 5 and 25 degC"),
    counts_feed_water: true,
    typical: Animal::of_mass(72.6),
    law: |ewe| heat::from_cool_to_hot(0.215 * metabolic(ewe), 0.290 * metabolic(ewe)),
};

/// A ewe in milk.
pub(crate) const LACTATING: Class = Class {
    name: "lactating ewe",
    formula: "0.359 mass^0.75 L up to 20 degC, 40 % more at 32 degC, linear between and above",
    inputs: INPUTS,
    source: "NRC 2007, Nutrient Requirements of Small Ruminants, by SDSU Extension, Sheep Water Requirements",
    from_memory: None,
    constructed: Some("the rise above 20 degC, 40 % at 32 degC, is borrowed from poultry"),
    counts_feed_water: true,
    typical: Animal::of_mass(72.6),
    law: |ewe| heat::rising(0.359 * metabolic(ewe)),
};

/// Metabolic mass, kg^0.75.
fn metabolic(ewe: &Animal) -> f64 {
    pow(ewe.mass_kg.unwrap_or(0.0), 0.75)
}
