//! When in the day the animals drink: the share of a day's need in each clock hour.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `s_i` | share of the day's need in clock hour `i` (0 is midnight to one) | – | 0 to 1, summing to 1 |
//!
//! # Equation
//!
//! `demand of hour i = s_i · need of the day`
//!
//! # Validity
//!
//! The presets are **constructed profiles, not published ones**. What is published is the size of the peak and the
//! time of day: grazing steers metered round the clock drank 6.22 to 7.67 times the mean hour in the peak hour, which
//! is 26 to 32 % of the day, mostly in the afternoon; housed dairy cows took 80 % of their water between 05 and
//! 21 h, with peaks at 07 and 17 h; sheep are designed for at 10 % of the day in an hour. The presets are drawn to
//! agree with those figures and no more. They follow the clock, not the sun: "spread" is the same in December as in
//! June. A herd that comes to water when it likes differs from day to day, and none of that is here.
//!
//! All shares are whole multiples of a power of two, so that they sum to exactly 1 in any order.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::pattern;
//! // 18 of 64 parts in the hour from two to three: 28 % of the day.
//! let one = pattern::preset("one visit").unwrap();
//! assert_eq!(one[14], 0.28125);
//! assert_eq!(one.iter().sum::<f64>(), 1.0);
//! assert!(pattern::preset("midnight").is_none());
//! ```
//!
//! # References
//!
//! - Bicudo, J. R. and Gates, R. S. (2002). Water consumption, air and water temperature issues related to portable
//!   water systems for grazing cattle. ASAE paper 024052. Peak hour over mean hour 6.22 to 7.67.
//! - Krauß, M. et al. (2016). Drinking and cleaning water use in a dairy cow barn. Water 8, 302. 80 % between 05 and
//!   21 h, peaks at 07–08 h and 17–18 h.
//! - Dalton, C. (2008). Woolshed 1. Peak flow of sheep, 0.4 L/h of 4 L a day.

/// Names of the presets, in the order in which they are listed.
pub(crate) const PRESETS: [&str; 4] = ["one visit", "two visits", "spread", "even"];

/// A herd that comes to water once, after noon (constructed), in parts of 64.
const ONE_VISIT: [u8; 24] = [0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 2, 6, 12, 18, 12, 8, 4, 2, 0, 0, 0, 0, 0];

/// Two visits, the second the larger (constructed), in parts of 64.
const TWO_VISITS: [u8; 24] = [0, 0, 0, 0, 0, 0, 4, 9, 5, 2, 0, 0, 0, 0, 0, 3, 10, 18, 9, 4, 0, 0, 0, 0];

/// Animals that drink singly through the daylight hours, a little more after noon (constructed), in parts of 64.
const SPREAD: [u8; 24] = [0, 0, 0, 0, 0, 0, 2, 3, 4, 5, 5, 5, 5, 6, 6, 6, 6, 5, 4, 2, 0, 0, 0, 0];

/// A twenty-fourth, rounded down to a multiple of 2⁻⁴⁸.
const EVEN_LOW: f64 = 11_728_124_029_610.0 / 281_474_976_710_656.0;

/// A twenty-fourth, rounded up to a multiple of 2⁻⁴⁸. Two of these to one of the lower make 24 hours exactly 1.
const EVEN_HIGH: f64 = 11_728_124_029_611.0 / 281_474_976_710_656.0;

/// The shares of the preset of that name; `None` if there is no such preset (see `PRESETS`).
#[must_use]
pub fn preset(name: &str) -> Option<[f64; 24]> {
    match name {
        "one visit" => Some(ONE_VISIT.map(parts_of_64)),
        "two visits" => Some(TWO_VISITS.map(parts_of_64)),
        "spread" => Some(SPREAD.map(parts_of_64)),
        "even" => Some(std::array::from_fn(|hour| if hour.is_multiple_of(3) { EVEN_LOW } else { EVEN_HIGH })),
        _ => None,
    }
}

fn parts_of_64(parts: u8) -> f64 {
    f64::from(parts) / 64.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_preset_sums_to_exactly_one_forwards_and_backwards() {
        for name in PRESETS {
            let shares = preset(name).unwrap();
            assert!(shares.iter().all(|s| (0.0..=1.0).contains(s)), "{name}");
            assert_eq!(shares.iter().sum::<f64>().to_bits(), 1.0f64.to_bits(), "{name}");
            assert_eq!(shares.iter().rev().sum::<f64>().to_bits(), 1.0f64.to_bits(), "{name}");
        }
    }

    #[test]
    fn only_even_draws_at_night() {
        for name in PRESETS {
            let shares = preset(name).unwrap();
            let night: f64 = shares[..5].iter().chain(&shares[21..]).sum();
            if name == "even" {
                assert!((night - 8.0 / 24.0).abs() < 1e-12);
            } else {
                assert!(night <= 0.0, "{name} draws {night} between 21 and 05 h");
            }
        }
    }

    #[test]
    fn even_is_a_twenty_fourth_each_hour() {
        assert!(preset("even").unwrap().iter().all(|s| (s - 1.0 / 24.0).abs() < 1e-14));
    }

    #[test]
    fn visits_lean_towards_the_afternoon() {
        for name in ["one visit", "two visits", "spread"] {
            let shares = preset(name).unwrap();
            assert!(shares[12..].iter().sum::<f64>() > 0.5, "{name}");
        }
    }
}
