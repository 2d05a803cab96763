//! What finishing cattle need in a day: feed eaten times water per feed.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `M` | live mass | kg | 272 to 544 (600 to 1200 lb) |
//! | `D` | dry matter eaten | kg a day | 1 to 25 |
//! | `T` | mean air temperature of the day | °C | any |
//! | `V` | water a head and day, with that in the feed | L | ≥ 0 |
//!
//! # Equation
//!
//! `V = D(M) · f(T)` with `f` of [`winchester_morris`]. Unless it is given, `D` is what the printed table of needs
//! implies: 16.2, 19.8, 23.4, 27 lb a day at 600, 800, 1000, 1200 lb, linear between.
//!
//! # Validity
//!
//! Cattle on a finishing ration. The table ends at 1000 lb; 1200 lb is our own line on (27.0 lb): within 4 % of another
//! published table at 90 °F, up to 0.8 gal (6 %) off elsewhere. Lists of yearly means are no measure of a hot week: feeder cattle are
//! said to want twice as much above 25 °C.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::classes::{Animal, DayAir, finishing_cattle};
//! // 1000 lb at 90 degF: 23.4 lb x 0.88 = 20.59 US gal = 77.95 L; the table prints 20.6 gal, 78.0 L.
//! let curve = finishing_cattle::CLASS.curve(&Animal::of_mass(1000.0 * 0.45359237)).unwrap();
//! assert!((curve.litres_per_day(DayAir::steady(58.0 / 1.8)) - 77.949).abs() < 0.001);
//! ```
//!
//! # References
//!
//! - Winchester, C. F. and Morris, M. J. (1956). Water intake rates of cattle. Journal of Animal Science 15, 722–740;
//!   as carried by NRC, Nutrient Requirements of Beef Cattle (1996, 2000), and NDSU Extension AS1763 (2015).

use super::{Animal, Ask, Class, Curve, Fallback, Input, KG_PER_LB, along, winchester_morris};

/// Live mass and dry matter a day, lb.
const EATS_LB: [(f64, f64); 4] = [(600.0, 16.2), (800.0, 19.8), (1000.0, 23.4), (1200.0, 27.0)];

/// The class.
pub const CLASS: Class = Class {
    name: "finishing cattle",
    formula: "dry matter by mass x water per dry matter by mean temperature; constant below 40 degF, extrapolated above \
     90 degF",
    inputs: &[
        Input {
            ask: Ask::Mass,
            least: EATS_LB[0].0 * KG_PER_LB,
            most: EATS_LB[3].0 * KG_PER_LB,
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
    constructed: Some("from 1000 to 1200 lb the dry matter is extrapolated along the table's line"),
    counts_feed_water: true,
    typical: Animal::of_mass(1000.0 * KG_PER_LB),
    law,
};

fn law(animal: &Animal) -> Curve {
    let mass_lb = animal.mass_kg.unwrap_or(0.0) / KG_PER_LB;
    winchester_morris::curve(animal.dry_matter_kg.unwrap_or_else(|| along(&EATS_LB, mass_lb) * KG_PER_LB))
}
