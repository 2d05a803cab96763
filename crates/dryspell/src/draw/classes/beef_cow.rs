//! What a beef cow drinks in a day, by her mass, her milk and the day's mean temperature.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `M` | live mass | kg | 498.95 to 680.39 (1100 to 1500 lb) |
//! | `m` | milk | kg a day | 0 to 11.34 (0 to 25 lb) |
//! | `T` | mean air temperature of the local day | °C | any |
//! | `V` | water a head and day | L | 31 upward |
//!
//! # Equation
//!
//! The published table gives `V` at three masses, three milk yields and 40, 65 and 90 °F, in US gallons. Between its
//! cells `V` is bilinear in mass and milk and linear in temperature. Below 40 °F (4.4 °C) it stays at the 40 °F
//! figure. Above 90 °F (32.2 °C) it goes on along the line from 65 to 90 °F.
//!
//! # Validity
//!
//! The slope is about 0.7 L for each °C. The table ends at 90 °F: what lies above is our own extension, so that need
//! never falls in heat. Measured curves rise faster than a line up to 100 °F, so a very hot week may need more than
//! this says. Mass and milk outside the table are refused, never extended. The figure holds the water in
//! the feed; snow eaten is not counted; waste at the trough is not added.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::classes::{Animal, DayAir, beef_cow};
//! // 1300 lb, no milk: 9.2 US gal at 40 degF and 11.8 at 65 degF; half-way (52.5 degF) 10.5 US gal = 39.75 L.
//! let cow = beef_cow::CLASS.curve(&Animal::in_milk(1300.0 * 0.45359237, 0.0)).unwrap();
//! let litres = cow.litres_per_day(DayAir::steady((52.5 - 32.0) / 1.8));
//! assert!((litres - 39.747).abs() < 0.001);
//! ```
//!
//! # References
//!
//! - Waggoner, J. (2018). Beef Tips, May 2018. Kansas State University Research and Extension; table adapted from
//!   Spencer (2016), Oklahoma State University.
//! - Winchester, C. F. and Morris, M. J. (1956). Water intake rates of cattle. Journal of Animal Science 15, 722–740
//!   (flat below 40 °F, rising at an increasing rate to 100 °F).

use super::{Animal, Ask, Class, Curve, Fallback, Follows, Input, KG_PER_LB, L_PER_GAL};

/// Masses of the table, lb.
const MASS_LB: [f64; 3] = [1100.0, 1300.0, 1500.0];

/// Milk of the table, lb a day.
const MILK_LB: [f64; 3] = [0.0, 10.0, 25.0];

/// Temperatures of the table, °F.
const AIR_DEGF: [f64; 3] = [40.0, 65.0, 90.0];

/// Need, US gallons a day: by mass, milk, temperature.
const NEED_GAL: [[[f64; 3]; 3]; 3] = [
    [[8.2, 10.8, 13.4], [10.5, 13.1, 15.7], [12.8, 15.4, 17.9]],
    [[9.2, 11.8, 14.3], [12.2, 14.8, 17.4], [14.5, 17.1, 19.7]],
    [[10.2, 12.7, 15.3], [14.0, 16.5, 19.1], [16.3, 18.8, 21.4]],
];

/// The class.
pub const CLASS: Class = Class {
    name: "beef cow",
    formula: "table by mass, milk and mean temperature, linearly interpolated; constant below 40 degF, extrapolated \
     above 90 degF",
    inputs: &[
        Input {
            ask: Ask::Mass,
            least: MASS_LB[0] * KG_PER_LB,
            most: MASS_LB[2] * KG_PER_LB,
            left_out: Fallback::Needed,
        },
        Input {
            ask: Ask::Milk,
            least: MILK_LB[0] * KG_PER_LB,
            most: MILK_LB[2] * KG_PER_LB,
            left_out: Fallback::Needed,
        },
    ],
    source: "J. Waggoner, Beef Tips, May 2018, Kansas State University, table adapted from Spencer 2016",
    from_memory: None,
    constructed: None,
    counts_feed_water: true,
    typical: Animal::in_milk(1300.0 * KG_PER_LB, 0.0),
    law,
};

/// The table's column for a cow.
fn law(cow: &Animal) -> Curve {
    let (row, across) = place(cow.mass_kg.unwrap_or(0.0), &MASS_LB);
    let (column, along) = place(cow.milk_kg.unwrap_or(0.0), &MILK_LB);
    let points: [(f64, f64); 3] = std::array::from_fn(|t| {
        let at = |i: usize, j: usize| NEED_GAL[i][j][t];
        let lighter = between(at(row, column), at(row, column + 1), along);
        let heavier = between(at(row + 1, column), at(row + 1, column + 1), along);
        ((AIR_DEGF[t] - 32.0) / 1.8, between(lighter, heavier, across) * L_PER_GAL)
    });
    Curve::new(Follows::Mean, &points)
}

/// The interval of the table in which a value lies, and how far along it, 0 to 1.
fn place(value_kg: f64, nodes_lb: &[f64; 3]) -> (usize, f64) {
    let [low, middle, high] = nodes_lb.map(|lb| lb * KG_PER_LB);
    let (interval, from, to) = if value_kg < middle { (0, low, middle) } else { (1, middle, high) };
    (interval, ((value_kg - from) / (to - from)).clamp(0.0, 1.0))
}

/// The straight line from `a` at 0 to `b` at 1.
fn between(a: f64, b: f64, share: f64) -> f64 {
    a + (b - a) * share
}
