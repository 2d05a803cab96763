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
//! hole open are left out, so there is rather too much ice than too little; evaporation is small then either way. A
//! one-year record is a ring: it begins with the frost that its end leaves. Others are taken to begin without frost.
//!
//! # Example
//!
//! ```
//! use dryspell::evaporation::ice::iced_days;
//! // Two days of −3 °C, 6 degree-days, are thawed by 4 and then 2 degrees.
//! let line = iced_days(&[1.0, -3.0, -3.0, 4.0, 2.0, 3.0], false);
//! assert_eq!(line, [false, true, true, true, true, false]);
//! // The same days begun with the second frost, as a ring: the first frost comes at its end.
//! let ring = iced_days(&[-3.0, 4.0, 2.0, 3.0, 1.0, -3.0], true);
//! assert_eq!(ring, [true, true, true, false, false, true]);
//! ```
//!
//! # References
//!
//! Degree-days as in Stefan's law of ice; the balance is our own.

/// Whether ice covers the water on each day, from the days' mean temperatures, °C; `ring` where the days repeat.
#[must_use]
pub fn iced_days(mean_degc: &[f64], ring: bool) -> Vec<bool> {
    // What is left after one round is what each later one begins with: where frost never thaws, ice lies on every day.
    let start = if ring { mean_degc.iter().fold(0.0, |frost, degc| left(frost, *degc)) } else { 0.0 };
    let mut frost = start;
    mean_degc
        .iter()
        .map(|degc| {
            let before = frost;
            frost = left(frost, *degc);
            before > 0.0 || frost > 0.0
        })
        .collect()
}

/// Frost that is left at a day's end.
fn left(before: f64, mean_degc: f64) -> f64 {
    (before - mean_degc).max(0.0)
}
