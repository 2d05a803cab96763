//! Return levels: how large a yearly value is reached once in so many years, within what the years support.

use super::autonomy::percentile;
use crate::fault::{Fault, FaultKind};

/// Yearly values in order, such as the longest spell of each tank year.
#[derive(Debug, Clone, PartialEq)]
pub struct ReturnLevels {
    ascending: Vec<f64>,
}

/// One yearly value with its place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Position {
    /// The value.
    pub value: f64,
    /// The chance that a year's value is above it.
    pub exceedance: f64,
    /// One over that: years between such years, on average.
    pub return_period_years: f64,
}

impl ReturnLevels {
    /// Puts yearly values in order.
    ///
    /// # Errors
    /// A value that is not finite.
    pub fn of(values: &[f64]) -> Result<Self, Fault> {
        if let Some(year) = values.iter().position(|v| !v.is_finite()) {
            return Err(Fault::at_key(
                "yearly_values",
                FaultKind::NotANumber,
                format!("{} in year {year}", values[year]),
                "one finite value a year",
                "leave out years without a value and count them",
            ));
        }
        let mut ascending = values.to_vec();
        ascending.sort_by(f64::total_cmp);
        Ok(Self { ascending })
    }

    /// Number of years.
    #[must_use]
    pub fn years(&self) -> usize {
        self.ascending.len()
    }

    /// The longest return period that the years support; `None` of no years.
    #[must_use]
    pub fn longest_years(&self) -> Option<f64> {
        (!self.ascending.is_empty()).then(|| count(self.years()) + 1.0)
    }

    /// The values, largest first, with their plotting positions.
    ///
    /// # Units
    /// | symbol | name | unit | valid range |
    /// | --- | --- | --- | --- |
    /// | k | rank, 1 for the largest | – | 1 to n |
    /// | n | years | – | ≥ 1 |
    ///
    /// # Equation
    /// Weibull: exceedance `k/(n + 1)`, return period `(n + 1)/k` years.
    ///
    /// # Validity
    /// Years independent and alike. Chosen of the many positions because it is the mean chance of exceeding the k-th
    /// largest value whatever the distribution is; the others suppose one. Equal values keep places of their own.
    ///
    /// # Example
    /// The largest of nine years has a chance of 1/10 a year of being exceeded.
    /// ```
    /// use dryspell::reliability::returns::ReturnLevels;
    /// let levels = ReturnLevels::of(&[1.0, 0.0, 4.0, 2.0, 0.0, 9.0, 3.0, 0.0, 1.0]).unwrap();
    /// let first = levels.positions()[0];
    /// assert!(first.value == 9.0 && first.exceedance == 0.1 && first.return_period_years == 10.0);
    /// ```
    ///
    /// # References
    /// W. Weibull, "A statistical theory of the strength of materials", Ing. Vetensk. Akad. Handl. 151 (1939), from
    /// memory; L. Makkonen, "Plotting positions in extreme value analysis", J. Appl. Meteorol. Climatol. 45 (2006) 334,
    /// doi 10.1175/JAM2349.1 (from memory).
    #[must_use]
    pub fn positions(&self) -> Vec<Position> {
        let all = count(self.years()) + 1.0;
        (1..=self.years())
            .zip(self.ascending.iter().rev())
            .map(|(k, value)| Position {
                value: *value,
                exceedance: count(k) / all,
                return_period_years: all / count(k),
            })
            .collect()
    }

    /// The value exceeded once in `return_period_years` years on average.
    ///
    /// # Units
    /// | symbol | name | unit | valid range |
    /// | --- | --- | --- | --- |
    /// | T | `return_period_years` | years | (n + 1)/n to n + 1 |
    /// | | result | as the values | |
    ///
    /// # Equation
    /// At the exceedance 1/T, by linear interpolation between the [`ReturnLevels::positions`] (in exceedance, not in years).
    ///
    /// # Validity
    /// Never beyond the largest or the smallest value: `None` outside the range of T. No distribution is fitted, so
    /// nothing is said about longer periods. The values at the long end are single years and scatter accordingly.
    ///
    /// # Example
    /// Nine years: once in five years is the second largest, 4 days; nothing is said about once in 20 years.
    /// ```
    /// use dryspell::reliability::returns::ReturnLevels;
    /// let levels = ReturnLevels::of(&[1.0, 0.0, 4.0, 2.0, 0.0, 9.0, 3.0, 0.0, 1.0]).unwrap();
    /// assert!((levels.at(5.0).unwrap() - 4.0).abs() < 1e-12);
    /// assert_eq!(levels.at(20.0), None);
    /// ```
    ///
    /// # References
    /// R. J. Hyndman and Y. Fan, "Sample quantiles in statistical packages", Am. Stat. 50 (1996) 361, definition 6.
    #[must_use]
    pub fn at(&self, return_period_years: f64) -> Option<f64> {
        let n = count(self.years());
        let t = return_period_years;
        if !(t <= self.longest_years()? && t * n >= n + 1.0) {
            return None;
        }
        // The place counted from the smallest is (n + 1)(1 - 1/T); `percentile` counts from 0 to 1 over n - 1 gaps.
        let place = (n + 1.0) * (1.0 - 1.0 / t) - 1.0;
        let share = if self.years() == 1 { 0.0 } else { (place / (n - 1.0)).clamp(0.0, 1.0) };
        percentile(&self.ascending, share)
    }
}

#[allow(clippy::cast_precision_loss, reason = "a count of years is far below 2^53")]
fn count(n: usize) -> f64 {
    n as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_said_beyond_the_years() {
        let none = ReturnLevels::of(&[]).unwrap();
        assert_eq!((none.at(2.0), none.longest_years(), none.positions().len()), (None, None, 0));
        let one = ReturnLevels::of(&[3.0]).unwrap();
        assert_eq!((one.at(2.0), one.at(1.9), one.at(2.1)), (Some(3.0), None, None));
        let ten = ReturnLevels::of(&[5.0; 10]).unwrap();
        for t in [f64::NAN, 0.0, -3.0, 1.0, 1.05, 11.000_001, f64::INFINITY] {
            assert_eq!(ten.at(t), None, "{t}");
        }
        assert_eq!((ten.at(11.0), ten.at(1.1)), (Some(5.0), Some(5.0)));
        assert!(ReturnLevels::of(&[1.0, f64::NAN]).unwrap_err().to_string().contains("year 1"));
    }

    proptest::proptest! {
        #[test]
        fn each_value_is_met_at_its_own_period_and_levels_rise(
            values in proptest::collection::vec(0.0..60.0_f64, 1..40), a in 0.0..=1.0_f64, b in 0.0..=1.0_f64,
        ) {
            let levels = ReturnLevels::of(&values).unwrap();
            for p in levels.positions() {
                // The smallest value's period may be rounded to just below its end.
                let met = levels.at(p.return_period_years).or_else(|| levels.at(p.return_period_years * (1.0 + 1e-12)));
                proptest::prop_assert!((met.unwrap() - p.value).abs() < 1e-6);
            }
            let n = count(values.len());
            let t = |share: f64| 1.0 / ((1.0 - share) * n / (n + 1.0) * (1.0 - 1e-9) + share / (n + 1.0) * (1.0 + 1e-9));
            let (short, long) = (t(a.min(b)), t(a.max(b)));
            if let (Some(x), Some(y)) = (levels.at(short), levels.at(long)) {
                proptest::prop_assert!(x <= y + 1e-9);
            }
        }
    }
}
