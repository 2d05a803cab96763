//! What a smaller beef cow with a calf at foot needs in a day, in the first three or four months after calving.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `T` | mean air temperature of the day | °C | any |
//! | `V` | water a head and day, with that in the feed | L | 43 to 68 |
//!
//! # Equation
//!
//! 11.4, 12.6, 14.5, 16.9, 17.9 US gallons at 40, 50, 60, 70, 80 °F, linear between; level below, and held at 17.9 above.
//!
//! # Validity
//!
//! A cow of 900 lb (409 kg); heavier ones are `beef cow`. The printed table falls to 16.2 gallons at 90 °F, because the
//! cows were taken to eat less in heat; a reprint has 16.5. That fall is not followed: a scheme must not be given less
//! water in heat. A very hot week may want more than 17.9 gallons.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::classes::{Animal, DayAir, nursing_beef_cow};
//! // 55 degF lies half-way between 12.6 and 14.5 US gal at 50 and 60 degF: 13.55 US gal = 51.29 L.
//! let curve = nursing_beef_cow::CLASS.curve(&Animal::UNKNOWN).unwrap();
//! assert!((curve.litres_per_day(DayAir::steady(23.0 / 1.8)) - 51.292).abs() < 0.001);
//! ```
//!
//! # References
//!
//! - Winchester, C. F. and Morris, M. J. (1956). Water intake rates of cattle. Journal of Animal Science 15, 722–740;
//!   as carried by NRC, Nutrient Requirements of Beef Cattle (1996, 2000), NDSU Extension AS1763 (2015) and Kansas State
//!   University's livestock watering handbook.

use super::{Animal, Class, Curve, Follows, L_PER_GAL};

/// °F and US gallons a day; the last is printed lower and held.
const NEED: [(f64, f64); 6] =
    [(40.0, 11.4), (50.0, 12.6), (60.0, 14.5), (70.0, 16.9), (80.0, 17.9), (90.0, 16.2)];

/// The class.
pub const CLASS: Class = Class {
    name: "nursing beef cow",
    formula: "table by mean temperature for a cow of 900 lb; constant below 40 degF, held at the 80 degF figure above",
    inputs: &[],
    source: "Winchester and Morris 1956, as carried by NRC 2000, NDSU AS1763 and Kansas State University's watering \
     handbook",
    from_memory: Some("the cells at 50 degF, 70 degF and 90 degF"),
    constructed: Some("the printed fall from 80 to 90 degF is not followed"),
    counts_feed_water: true,
    typical: Animal::UNKNOWN,
    law,
};

fn law(_: &Animal) -> Curve {
    Curve::new(Follows::Mean, &NEED.map(|(degf, gal)| ((degf - 32.0) / 1.8, gal * L_PER_GAL)))
}
