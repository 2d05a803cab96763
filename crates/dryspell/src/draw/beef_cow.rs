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
//! this says. Mass and milk outside the table are refused, never extended. Water in the feed is not taken off; snow
//! eaten is not counted; waste at the trough is not added.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::beef_cow::BeefCow;
//! // 1300 lb, no milk: 9.2 US gal at 40 degF and 11.8 at 65 degF; half-way (52.5 degF) 10.5 US gal = 39.75 L.
//! let cow = BeefCow::new(1300.0 * 0.45359237, 0.0).unwrap();
//! let litres = cow.litres_per_day((52.5 - 32.0) / 1.8);
//! assert!((litres - 39.747).abs() < 0.001);
//! ```
//!
//! # References
//!
//! - Waggoner, J. (2018). Beef Tips, May 2018. Kansas State University Research and Extension; table adapted from
//!   Spencer (2016), Oklahoma State University.
//! - Winchester, C. F. and Morris, M. J. (1956). Water intake rates of cattle. Journal of Animal Science 15, 722–740
//!   (flat below 40 °F, rising at an increasing rate to 100 °F).

use crate::fault::{Fault, FaultKind};

/// Litres in a US gallon, exact by definition.
const L_PER_GAL: f64 = 3.785_411_784;

/// Kilograms in a pound, exact by definition.
const KG_PER_LB: f64 = 0.453_592_37;

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

/// A value converted to or from pounds may miss the table's edge by a rounding, kg.
const EDGE_KG: f64 = 1e-6;

/// A beef cow of one mass and milk yield: the table's column for her.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BeefCow {
    /// Litres a day at 40, 65 and 90 °F.
    need_l: [f64; 3],
}

impl BeefCow {
    /// The table's column for a cow of that mass (kg) and milk (kg a day).
    ///
    /// # Errors
    /// Mass or milk outside the table.
    pub fn new(mass_kg: f64, milk_kg: f64) -> Result<Self, Fault> {
        let (row, across) = place("mass", "kg", mass_kg, &MASS_LB)?;
        let (column, along) = place("milk", "kg a day", milk_kg, &MILK_LB)?;
        let need_l = std::array::from_fn(|t| {
            let at = |i: usize, j: usize| NEED_GAL[i][j][t];
            let lighter = between(at(row, column), at(row, column + 1), along);
            let heavier = between(at(row + 1, column), at(row + 1, column + 1), along);
            between(lighter, heavier, across) * L_PER_GAL
        });
        Ok(Self { need_l })
    }

    /// Litres a day at a mean air temperature of the day, °C.
    #[must_use]
    pub fn litres_per_day(&self, air_degc: f64) -> f64 {
        let air_degf = air_degc * 1.8 + 32.0;
        let [cold, mild, hot] = self.need_l;
        let [t_cold, t_mild, t_hot] = AIR_DEGF;
        if air_degf <= t_cold {
            cold
        } else if air_degf <= t_mild {
            between(cold, mild, (air_degf - t_cold) / (t_mild - t_cold))
        } else {
            between(mild, hot, (air_degf - t_mild) / (t_hot - t_mild))
        }
    }
}

/// The interval of the table in which a value lies, and how far along it, 0 to 1.
fn place(key: &str, unit: &str, value_kg: f64, nodes_lb: &[f64; 3]) -> Result<(usize, f64), Fault> {
    let [low, middle, high] = nodes_lb.map(|lb| lb * KG_PER_LB);
    if !(low - EDGE_KG <= value_kg && value_kg <= high + EDGE_KG) {
        return Err(Fault::at_key(
            key,
            FaultKind::OutOfRange,
            format!("{value_kg} {unit}"),
            format!("the table of beef cows goes from {low:.2} to {high:.2} {unit}"),
            "give litres a head and day instead",
        ));
    }
    let (interval, from, to) = if value_kg < middle { (0, low, middle) } else { (1, middle, high) };
    Ok((interval, ((value_kg - from) / (to - from)).clamp(0.0, 1.0)))
}

/// The straight line from `a` at 0 to `b` at 1; beyond 1 it goes on.
fn between(a: f64, b: f64, share: f64) -> f64 {
    a + (b - a) * share
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn outside_the_table_is_refused_with_the_way_out() {
        let fault = BeefCow::new(450.0, 0.0).unwrap_err();
        assert_eq!(
            fault.to_string(),
            "mass: 450 kg; the table of beef cows goes from 498.95 to 680.39 kg; give litres a head and day instead"
        );
        for (mass, milk) in [(690.0, 0.0), (f64::NAN, 0.0), (600.0, -1.0), (600.0, 12.0), (600.0, f64::NAN)] {
            assert_eq!(BeefCow::new(mass, milk).unwrap_err().kind, FaultKind::OutOfRange, "{mass} {milk}");
        }
    }

    #[test]
    fn the_edges_are_accepted_in_both_units() {
        for (mass, milk) in
            [(499.0, 0.0), (680.0, 11.3), (1100.0 * KG_PER_LB, 0.0), (680.388_555, 25.0 * KG_PER_LB)]
        {
            assert!(BeefCow::new(mass, milk).is_ok(), "{mass} {milk}");
        }
    }

    proptest! {
        #[test]
        fn need_never_falls_as_it_gets_warmer_or_the_cow_heavier_or_in_milk(
            mass in 499.0..679.0f64, milk in 0.0..11.0f64, air in -40.0..50.0f64, warmer in 0.0..20.0f64,
        ) {
            let cow = BeefCow::new(mass, milk).unwrap();
            let need = cow.litres_per_day(air);
            prop_assert!(cow.litres_per_day(air + warmer) >= need);
            if air > 4.5 {
                prop_assert!(cow.litres_per_day(air + 1.0) > need + 0.6);
            }
            prop_assert!(BeefCow::new(mass + 1.0, milk).unwrap().litres_per_day(air) > need);
            prop_assert!(BeefCow::new(mass, milk + 0.3).unwrap().litres_per_day(air) > need);
        }
    }
}
