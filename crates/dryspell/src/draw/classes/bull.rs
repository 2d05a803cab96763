//! What a mature bull needs in a day: feed eaten times water per feed.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `M` | live mass | kg | 635 to 726 (1400 to 1600 lb) |
//! | `D` | dry matter eaten | kg a day | 1 to 25 |
//! | `T` | mean air temperature of the day | °C | any |
//! | `V` | water a head and day, with that in the feed | L | ≥ 0 |
//!
//! # Equation
//!
//! `V = D(M) · f(T)` with `f` of [`winchester_morris`]. Unless it is given, `D` is what the printed table of needs
//! implies: 21.6, 23.4 lb a day at 1400, 1600 lb, linear between.
//!
//! # Validity
//!
//! Mature beef bulls. The table's last column is headed "1600 lb and more": for a heavier bull give 1600 lb, or his dry
//! matter.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::classes::{Animal, DayAir, bull};
//! // 1400 lb at 50 degF: 21.6 lb x 0.40 = 8.64 US gal = 32.71 L; the table prints 8.6 gal, 32.6 L.
//! let curve = bull::CLASS.curve(&Animal::of_mass(1400.0 * 0.45359237)).unwrap();
//! assert!((curve.litres_per_day(DayAir::steady(10.0)) - 32.706).abs() < 0.001);
//! ```
//!
//! # References
//!
//! - Winchester, C. F. and Morris, M. J. (1956). Water intake rates of cattle. Journal of Animal Science 15, 722–740;
//!   as carried by NRC, Nutrient Requirements of Beef Cattle (1996, 2000), and NDSU Extension AS1763 (2015).

use super::{Animal, Ask, Class, Curve, Fallback, Input, KG_PER_LB, along, winchester_morris};

/// Live mass and dry matter a day, lb.
const EATS_LB: [(f64, f64); 2] = [(1400.0, 21.6), (1600.0, 23.4)];

/// The class.
pub const CLASS: Class = Class {
    name: "bull",
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
    constructed: None,
    counts_feed_water: true,
    typical: Animal::of_mass(1600.0 * KG_PER_LB),
    law,
};

fn law(animal: &Animal) -> Curve {
    let mass_lb = animal.mass_kg.unwrap_or(0.0) / KG_PER_LB;
    winchester_morris::curve(animal.dry_matter_kg.unwrap_or_else(|| along(&EATS_LB, mass_lb) * KG_PER_LB))
}
