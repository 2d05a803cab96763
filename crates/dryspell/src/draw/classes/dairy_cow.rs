//! What a dairy cow in milk drinks in a day, by feed, milk, sodium and the day's lowest temperature.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `D` | dry matter eaten | kg a day | 5 to 35 |
//! | `m` | milk | kg a day | 1 to 60 |
//! | `Na` | sodium eaten | g a day | 0 to 200 |
//! | `M` | live mass (only to estimate `D`) | kg | 350 to 800 |
//! | `T` | lowest air temperature of the day | °C | any |
//! | `V` | water drunk a head and day | kg, taken as L | ≥ 0 |
//!
//! # Equation
//!
//! `V = 15.99 + 1.58 D + 0.90 m + 0.05 Na + 1.20 T` (Murphy et al.), with `T` held at 0 °C in frost.
//!
//! Where `D` is not given: `D = 0.372 m + 0.0968 M^0.75` (NRC 2001, without its term for the first weeks of lactation,
//! and with all milk at 4 % fat). Where sodium is not given: 2 g for each kilogram of dry matter.
//!
//! # Validity
//!
//! Cows in milk on dry feed, measured one by one; a herd on one trough may differ. `V` is water drunk: nothing more may be
//! taken off for wet feed. Holding `T` in frost is our own, on the safe side. Water for washing is not in it.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::classes::dairy_cow::murphy_l_per_day;
//! // 15.99 + 1.58 x 20 + 0.90 x 30 + 0.05 x 40 + 1.20 x 10 = 88.59.
//! assert!((murphy_l_per_day(20.0, 30.0, 40.0, 10.0) - 88.59).abs() < 1e-9);
//! ```
//!
//! # References
//!
//! - Murphy, M. R., Davis, C. L. and McCoy, G. C. (1983). Factors affecting water consumption by Holstein cows in early
//!   lactation. Journal of Dairy Science 66, 35–38 (used in NRC 2001).
//! - NRC (2001). Nutrient Requirements of Dairy Cattle, 7th ed.: dry matter intake (from memory).

use super::{Animal, Ask, Class, Curve, Fallback, Follows, Input};
use libm::pow;

/// Sodium in dry matter where it is not given, kg/kg.
const SODIUM_SHARE: f64 = 0.002;

/// Water drunk, L a day, without holding the temperature in frost.
#[must_use]
pub fn murphy_l_per_day(dry_matter_kg: f64, milk_kg: f64, sodium_g: f64, least_degc: f64) -> f64 {
    15.99 + 1.58 * dry_matter_kg + 0.90 * milk_kg + 0.05 * sodium_g + 1.20 * least_degc
}

/// Dry matter that a cow in milk eats, kg a day (NRC 2001, from memory).
#[must_use]
pub(crate) fn dry_matter_kg_per_day(mass_kg: f64, milk_kg: f64) -> f64 {
    0.372 * milk_kg + 0.0968 * pow(mass_kg, 0.75)
}

/// The class.
pub const CLASS: Class = Class {
    name: "dairy cow",
    formula: "15.99 + 1.58 dry matter (kg) + 0.90 milk (kg) + 0.05 sodium (g) + 1.20 lowest temperature of the day (degC, at least 0)",
    inputs: &[
        Input { ask: Ask::Mass, least: 350.0, most: 800.0, left_out: Fallback::Value(600.0) },
        Input { ask: Ask::Milk, least: 1.0, most: 60.0, left_out: Fallback::Needed },
        Input {
            ask: Ask::DryMatter,
            least: 5.0,
            most: 35.0,
            left_out: Fallback::Estimated("0.372 x milk + 0.0968 x mass^0.75"),
        },
        Input {
            ask: Ask::Sodium,
            least: 0.0,
            most: 0.2,
            left_out: Fallback::Estimated("2 g for each kg of dry matter"),
        },
    ],
    source: "M. R. Murphy, C. L. Davis, G. C. McCoy, J. Dairy Sci. 66 (1983) 35-38, used in NRC 2001",
    from_memory: Some("the estimate of dry matter (NRC 2001) and of sodium"),
    constructed: Some("the temperature is held at 0 degC in frost"),
    counts_feed_water: false,
    typical: Animal::in_milk(600.0, 25.0),
    law,
};

fn law(cow: &Animal) -> Curve {
    let milk = cow.milk_kg.unwrap_or(0.0);
    let eats = cow.dry_matter_kg.unwrap_or_else(|| dry_matter_kg_per_day(cow.mass_kg.unwrap_or(600.0), milk));
    let sodium_g = 1000.0 * cow.sodium_kg.unwrap_or(SODIUM_SHARE * eats);
    let at = |degc: f64| (degc, murphy_l_per_day(eats, milk, sodium_g, degc));
    Curve::new(Follows::Least, &[at(0.0), at(30.0)]).eating(eats)
}
