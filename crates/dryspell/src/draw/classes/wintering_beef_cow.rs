//! What a smaller pregnant beef cow, not in milk, needs in a day: feed eaten times water per feed.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `M` | live mass | kg | 408 to 499 (900 to 1100 lb) |
//! | `D` | dry matter eaten | kg a day | 1 to 25 |
//! | `T` | mean air temperature of the day | °C | any |
//! | `V` | water a head and day, with that in the feed | L | ≥ 0 |
//!
//! # Equation
//!
//! `V = D(M) · f(T)` with `f` of [`winchester_morris`]. Unless it is given, `D` is what the printed table of needs
//! implies: 18, 16.1 lb a day at 900, 1100 lb, linear between.
//!
//! # Validity
//!
//! Pregnant cows on a wintering ration, 900 to 1100 lb; heavier ones are `beef cow`. The lighter cow of the table eats more
//! (she is younger and still grows), so need falls with mass here. The table has no cells above 70 °F; the factor goes on,
//! in agreement with another published table (14.5 US gal at 90 °F, 14.2 by this).
//!
//! # Example
//!
//! ```
//! use dryspell::draw::classes::{Animal, DayAir, wintering_beef_cow};
//! // 1100 lb at 60 degF: 16.1 lb x 0.46 = 7.406 US gal = 28.03 L; the table prints 7.4 gal, 28.0 L.
//! let curve = wintering_beef_cow::CLASS.curve(&Animal::of_mass(1100.0 * 0.45359237)).unwrap();
//! assert!((curve.litres_per_day(DayAir::steady(28.0 / 1.8)) - 28.035).abs() < 0.001);
//! ```
//!
//! # References
//!
//! - Winchester, C. F. and Morris, M. J. (1956). Water intake rates of cattle. Journal of Animal Science 15, 722–740;
//!   as carried by NRC, Nutrient Requirements of Beef Cattle (1996, 2000), and NDSU Extension AS1763 (2015).

use super::{Animal, Ask, Class, Curve, Fallback, Input, KG_PER_LB, along, winchester_morris};

/// Live mass and dry matter a day, lb.
const EATS_LB: [(f64, f64); 2] = [(900.0, 18.0), (1100.0, 16.1)];

/// The class.
pub const CLASS: Class = Class {
    name: "wintering beef cow",
    formula: "dry matter by mass x water per dry matter by mean temperature; constant below 40 degF, extrapolated above \
     90 degF",
    inputs: &[
        Input {
            ask: Ask::Mass,
            least: EATS_LB[0].0 * KG_PER_LB,
            most: EATS_LB[1].0 * KG_PER_LB,
            left_out: Fallback::Needed,
        },
        Input {
            ask: Ask::DryMatter,
            least: 1.0,
            most: 25.0,
            left_out: Fallback::Estimated("as the printed table implies at that mass"),
        },
    ],
    source: "Winchester and Morris 1956, as carried by NRC 2000 and NDSU AS1763; factor by Virginia Tech, Livestock \
     Update, September 1999",
    from_memory: Some("cells of the table beyond 40 degF; each agrees with the published factor"),
    constructed: Some("above 70 degF, where the table ends, the factor is extrapolated"),
    counts_feed_water: true,
    typical: Animal::of_mass(1100.0 * KG_PER_LB),
    law,
};

fn law(animal: &Animal) -> Curve {
    let mass_lb = animal.mass_kg.unwrap_or(0.0) / KG_PER_LB;
    winchester_morris::curve(animal.dry_matter_kg.unwrap_or_else(|| along(&EATS_LB, mass_lb) * KG_PER_LB))
}
