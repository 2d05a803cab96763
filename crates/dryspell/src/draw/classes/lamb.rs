//! What a feeder lamb needs in a day: a published range, read as cool to hot.
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
//! `V` from 3.6 to 5.2 L as in [`heat::from_cool_to_hot`].
//!
//! # Validity
//!
//! From memory. A list of New Zealand has 1 L for a lamb with its mother, one of South Africa 2 to 4 L; 4.4 L is this
//! list's own mean.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::classes::{Animal, DayAir, lamb};
//! // Half-way, at 15 degC: (3.6 + 5.2) / 2 = 4.4 L.
//! let curve = lamb::CLASS.curve(&Animal::UNKNOWN).unwrap();
//! assert!((curve.litres_per_day(DayAir::steady(15.0)) - 4.4).abs() < 1e-9);
//! ```
//!
//! # References
//!
//! - Ward, D. and McKague, K. (2007). Water requirements of livestock. Ontario Ministry of Agriculture, Food and Rural
//!   Affairs, factsheet 07-023 (numbers from memory).

use super::{Animal, Class, heat};

/// The class.
pub const CLASS: Class = Class {
    name: "feeder lamb",
    formula: "3.6 L up to 5 degC, 5.2 L at 25 degC, linear between and above",
    inputs: &[],
    source: "D. Ward and K. McKague, Ontario OMAFRA factsheet 07-023 (2007)",
    from_memory: Some("all numbers"),
    constructed: Some("the ends of the range are taken as days of 5 and 25 degC"),
    counts_feed_water: false,
    typical: Animal::UNKNOWN,
    law: |_| heat::from_cool_to_hot(3.6, 5.2),
};
