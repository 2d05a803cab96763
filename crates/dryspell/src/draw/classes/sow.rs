//! What a sow needs in a day: a published range, read as cool to hot.
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
//! `V` from 13.6 to 17.2 L in pig (or a boar), from 18 to 25 L with a litter, as in [`heat::from_cool_to_hot`].
//!
//! # Validity
//!
//! The range in pig is from memory; a list of South Africa has only 5 to 9 L for a dry sow. The range with a litter joins
//! two lists: 18 to 23 L in South Africa, 25 L in New Zealand.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::classes::{Animal, DayAir, sow};
//! let curve = sow::NURSING.curve(&Animal::UNKNOWN).unwrap();
//! assert!((curve.litres_per_day(DayAir::steady(15.0)) - 21.5).abs() < 1e-9);
//! ```
//!
//! # References
//!
//! - Ward, D. and McKague, K. (2007). Ontario factsheet 07-023 (numbers from memory).
//! - Dalton, C. (2008). Woolshed 1: 25 L. Peritum Agri, training page: 18 to 23 L.

use super::{Animal, Class, heat};

/// A sow in pig, or a boar.
pub(crate) const GESTATING: Class = Class {
    name: "sow in pig",
    formula: "13.6 L up to 5 degC, 17.2 L at 25 degC, linear between and above",
    inputs: &[],
    source: "D. Ward and K. McKague, Ontario OMAFRA factsheet 07-023 (2007)",
    from_memory: Some("all numbers"),
    constructed: Some("the ends of the range are taken as days of 5 and 25 degC"),
    counts_feed_water: false,
    typical: Animal::UNKNOWN,
    law: |_| heat::from_cool_to_hot(13.6, 17.2),
};

/// A sow with a litter.
pub const NURSING: Class = Class {
    name: "nursing sow",
    formula: "18 L up to 5 degC, 25 L at 25 degC, linear between and above",
    inputs: &[],
    source: "Peritum Agri, South African list (18 to 23 L); C. Dalton, Woolshed 1 (2008), New Zealand's design list (25 \
     L)",
    from_memory: None,
    constructed: Some("the ends of the range are taken as days of 5 and 25 degC"),
    counts_feed_water: false,
    typical: Animal::UNKNOWN,
    law: |_| heat::from_cool_to_hot(18.0, 25.0),
};
