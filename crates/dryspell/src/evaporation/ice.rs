//! Days on which ice covers still water, from degree-days alone.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `T_d` | mean air temperature of day `d` | °C | −60 to 60 |
//! | `F_d` | frost that is left at the day's end | °C day | ≥ 0 |
//!
//! # Equation
//!
//! `F_d = max(0, F_{d−1} − T_d)`; ice covers the water on a day that begins or ends with `F > 0`.
//!
//! # Validity
//!
//! A thaw takes away as many degree-days as frost brought. Inflow of well water, sun on the ice and animals that keep a
//! hole open are left out, so there is rather too much ice than too little; evaporation is small then either way. The
//! record is taken to begin without frost.
//!
//! # Example
//!
//! ```
//! use dryspell::evaporation::ice::iced_days;
//! // Two days of −3 °C, 6 degree-days, are thawed by 4 and then 2 degrees.
//! assert_eq!(iced_days(&[1.0, -3.0, -3.0, 4.0, 2.0, 3.0]), [false, true, true, true, true, false]);
//! ```
//!
//! # References
//!
//! Degree-days as in Stefan's law of ice; the balance is our own.

/// Whether ice covers the water on each day, from the days' mean temperatures, °C.
#[must_use]
pub fn iced_days(mean_degc: &[f64]) -> Vec<bool> {
    let mut frost = 0.0_f64;
    mean_degc
        .iter()
        .map(|degc| {
            let before = frost;
            frost = (frost - degc).max(0.0);
            before > 0.0 || frost > 0.0
        })
        .collect()
}
