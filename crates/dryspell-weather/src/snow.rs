//! Whether a column of snow depth can be weather.

use crate::timing::DAY_S;
use dryspell::calendar::Calendar;

/// Least depth that counts as snow on the ground, m.
const LIES_M: f64 = 0.01;
/// A month with a warmer mean keeps no snow: at 3 mm of water for each degree and day (common practice) 10 degrees melt a
/// metre of snow in ten days.
const WARM_DEGC: f64 = 10.0;
/// Hours in which a depth above zero may stay the same while the air is above freezing on average: 30 days.
const SAME_IN_THAW_H: usize = 30 * 24;
/// The same in any cold: 90 days. Snow settles, and new snow falls on it.
const SAME_H: usize = 90 * 24;

/// Whether depth on the ground, m, can be weather in this air, degrees; or the reason why not.
///
/// Refused are columns with snow of 1 cm or more in half the hours of a month warmer than 10 degrees on average, and columns
/// that stand still above zero for 30 days that are above freezing on average, or for 90 days in any cold.
pub(crate) fn credible(depth_m: &[f64], air_degc: &[f64], calendar: &Calendar) -> Result<(), String> {
    warm_months(depth_m, air_degc, calendar)?;
    stands_still(depth_m, air_degc, calendar)
}

fn warm_months(depth_m: &[f64], air_degc: &[f64], calendar: &Calendar) -> Result<(), String> {
    let mut h = 0;
    while h < depth_m.len() {
        let day = calendar.day_of(h);
        let same = |h: &usize| {
            let other = calendar.day_of(*h);
            (other.year, other.month) == (day.year, day.month)
        };
        let end = (h..depth_m.len()).find(|h| !same(h)).unwrap_or(depth_m.len());
        let mean = mean(&air_degc[h..end]);
        let snowy = depth_m[h..end].iter().filter(|d| **d >= LIES_M).count();
        if mean.is_some_and(|t| t > WARM_DEGC) && 2 * snowy >= end - h {
            return Err(format!(
                "snow on the ground in {snowy} of the {} hours of {}-{:02}, whose mean air is {:.1} degC (above \
                 {WARM_DEGC} degC snow does not last)",
                end - h,
                day.year,
                day.month,
                mean.unwrap_or_default()
            ));
        }
        h = end;
    }
    Ok(())
}

fn stands_still(depth_m: &[f64], air_degc: &[f64], calendar: &Calendar) -> Result<(), String> {
    let mut first = 0;
    while first < depth_m.len() {
        let depth = depth_m[first];
        let same = |d: &&f64| (**d - depth).abs() < 1e-9;
        let hours = depth_m[first..].iter().take_while(same).count().max(1);
        let thaw = mean(&air_degc[first..first + hours]).is_some_and(|t| t > 0.0);
        if depth > 0.0 && (hours >= SAME_H || (hours >= SAME_IN_THAW_H && thaw)) {
            return Err(format!(
                "the same {:.0} cm for {} days from {} (snow settles, melts and falls)",
                100.0 * depth,
                hours as i64 * 3600 / DAY_S,
                calendar.start_text(first)
            ));
        }
        first += hours;
    }
    Ok(())
}

/// Mean of the values that are there.
fn mean(values: &[f64]) -> Option<f64> {
    let there = || values.iter().filter(|v| v.is_finite());
    let n = there().count();
    (n > 0).then(|| there().sum::<f64>() / n as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A year with this depth and air by day of the year.
    fn judged(depth_m: impl Fn(usize) -> f64, air_degc: impl Fn(usize) -> f64) -> Result<(), String> {
        let calendar = Calendar::year(2021);
        let hours = 0..calendar.hours();
        let depth: Vec<f64> = hours.clone().map(|h| depth_m(h / 24)).collect();
        let air: Vec<f64> = hours.map(|h| air_degc(h / 24)).collect();
        credible(&depth, &air, &calendar)
    }

    /// Air of a cold place: -12 degrees in January, 20 in July.
    fn air(day: usize) -> f64 {
        4.0 - 16.0 * libm::cos(std::f64::consts::TAU * (day as f64 - 15.0) / 365.0)
    }

    #[test]
    fn a_winters_snow_is_believed() {
        // Grows by a centimetre each other day until March, and melts.
        let depth = |day: usize| match day {
            0..=70 => 0.3 + 0.005 * day as f64,
            71..=90 => 0.65 - 0.0325 * (day - 70) as f64,
            330.. => 0.01 * (day - 329) as f64,
            _ => 0.0,
        };
        assert_eq!(judged(depth, air), Ok(()));
        // Two centimetres that lie for three weeks of frost.
        assert_eq!(judged(|day| if (5..26).contains(&day) { 0.02 } else { 0.0 }, air), Ok(()));
        // A late fall of snow that is gone after a week of May.
        assert_eq!(judged(|day| if (121..128).contains(&day) { 0.05 } else { 0.0 }, air), Ok(()));
    }

    #[test]
    fn two_centimetres_all_july_are_not() {
        let why = judged(|day| if (181..212).contains(&day) { 0.02 } else { 0.0 }, air).unwrap_err();
        assert!(
            why.starts_with("snow on the ground in 744 of the 744 hours of 2021-07, whose mean air is 19."),
            "{why}"
        );
    }

    #[test]
    fn a_depth_that_stands_still_is_not() {
        // From 1 March, 31 days at 1 degree: no month is warm.
        let stuck = judged(|day| if (59..90).contains(&day) { 0.02 } else { 0.0 }, |_| 1.0).unwrap_err();
        assert_eq!(stuck, "the same 2 cm for 31 days from 2021-03-01T00:00 (snow settles, melts and falls)");
        assert_eq!(judged(|day| if (59..88).contains(&day) { 0.02 } else { 0.0 }, |_| 1.0), Ok(()));
        assert_eq!(judged(|day| if day < 89 { 0.5 } else { 0.0 }, |_| -20.0), Ok(()));
        assert!(judged(|day| if day < 91 { 0.5 } else { 0.0 }, |_| -20.0).is_err());
    }
}
