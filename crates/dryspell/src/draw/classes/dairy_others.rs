//! What dairy stock not in milk need in a day: a published range, read as cool to hot.
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
//! `V` from the low to the high end of the range as in [`heat::from_cool_to_hot`]: dry cow 34 to 49 L, heifer of 5 to 24
//! months 14.4 to 36.3 L, calf of 1 to 4 months 4.9 to 13.2 L.
//!
//! # Validity
//!
//! The ranges are from memory. A list of New Zealand has 45 L for cattle not in milk and 25 L for a calf. The lower ends
//! of the ranges for young stock are those of the youngest as well as of the coolest day: count older ones as
//! `growing cattle`.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::classes::{Animal, DayAir, dairy_others};
//! // 15 degC is half-way from 5 to 25: (34 + 49) / 2 = 41.5 L; the list's own mean is 41.
//! let curve = dairy_others::DRY_COW.curve(&Animal::UNKNOWN).unwrap();
//! assert!((curve.litres_per_day(DayAir::steady(15.0)) - 41.5).abs() < 1e-9);
//! ```
//!
//! # References
//!
//! - Ward, D. and McKague, K. (2007). Water requirements of livestock. Ontario Ministry of Agriculture, Food and Rural
//!   Affairs, factsheet 07-023 (numbers from memory).
//! - Dalton, C. (2008). Woolshed 1: New Zealand's design list.

use super::{Animal, Class, heat};

/// A dairy cow that is not in milk.
pub const DRY_COW: Class = Class {
    name: "dry dairy cow",
    formula: "34 L up to 5 degC, 49 L at 25 degC, linear between and above",
    inputs: &[],
    source: "D. Ward and K. McKague, Ontario OMAFRA factsheet 07-023 (2007)",
    from_memory: Some("all numbers"),
    constructed: Some("the ends of the range are taken as days of 5 and 25 degC"),
    counts_feed_water: false,
    typical: Animal::UNKNOWN,
    law: |_| heat::from_cool_to_hot(34.0, 49.0),
};

/// A dairy heifer of 5 to 24 months.
pub(crate) const HEIFER: Class = Class {
    name: "dairy heifer",
    formula: "14.4 L up to 5 degC, 36.3 L at 25 degC, linear between and above",
    inputs: &[],
    source: "D. Ward and K. McKague, Ontario OMAFRA factsheet 07-023 (2007)",
    from_memory: Some("all numbers"),
    constructed: Some("the ends of the range are taken as days of 5 and 25 degC"),
    counts_feed_water: false,
    typical: Animal::UNKNOWN,
    law: |_| heat::from_cool_to_hot(14.4, 36.3),
};

/// A dairy calf of 1 to 4 months.
pub(crate) const CALF: Class = Class {
    name: "dairy calf",
    formula: "4.9 L up to 5 degC, 13.2 L at 25 degC, linear between and above",
    inputs: &[],
    source: "D. Ward and K. McKague, Ontario OMAFRA factsheet 07-023 (2007)",
    from_memory: Some("all numbers"),
    constructed: Some("the ends of the range are taken as days of 5 and 25 degC"),
    counts_feed_water: false,
    typical: Animal::UNKNOWN,
    law: |_| heat::from_cool_to_hot(4.9, 13.2),
};
