//! How often an interval holds the truth: worked out exactly, not supposed.

use super::binomial::chances;
use super::{Interval, Level, Tally};

/// Makes an interval from a tally: [`super::clopper_pearson::clopper_pearson`] or [`super::wilson::wilson`].
pub type Method = fn(Tally, Level) -> Option<Interval>;

/// The intervals for every tally of so many years.
#[derive(Debug, Clone, PartialEq)]
pub struct Coverage {
    years: u32,
    intervals: Vec<Interval>,
}

impl Coverage {
    /// The intervals of a method for all tallies of `years` years; `None` of no years.
    #[must_use]
    pub fn new(method: Method, years: u32, level: Level) -> Option<Self> {
        let intervals = (0..=years)
            .map(|k| method(Tally::new(k, years).ok()?, level))
            .collect::<Option<Vec<Interval>>>()?;
        Some(Self { years, intervals })
    }

    /// The chance that the interval holds the true chance `p`.
    ///
    /// # Units
    /// | symbol | name | unit | valid range |
    /// | --- | --- | --- | --- |
    /// | p | true chance in one year | – | 0 to 1 |
    /// | | result | – | 0 to 1 |
    ///
    /// # Equation
    /// `Σ P(k of n; p)` over the `k` whose interval holds `p`.
    ///
    /// # Validity
    /// Exact for years that are independent and alike. It jumps with `p`, as one tally more or less holds it.
    ///
    /// # Example
    /// Ten years, a true chance of 1 %: 95 % Clopper-Pearson intervals hold it unless two or more years are dry:
    /// 0.99¹⁰ + 10·0.01·0.99⁹ = 0.99573.
    /// ```
    /// use dryspell::reliability::interval::{Level, clopper_pearson::clopper_pearson, coverage::Coverage};
    /// let coverage = Coverage::new(clopper_pearson, 10, Level::default()).unwrap();
    /// assert!((coverage.at(0.01) - 0.995_734).abs() < 1e-6);
    /// ```
    ///
    /// # References
    /// L. D. Brown, T. T. Cai and A. DasGupta, "Interval estimation for a binomial proportion", Statistical Science 16
    /// (2001) 101, doi 10.1214/ss/1009213286, section 2.
    #[must_use]
    pub fn at(&self, p: f64) -> f64 {
        let chances = chances(self.years, p);
        self.intervals.iter().zip(&chances).filter(|(i, _)| i.holds(p)).map(|(_, chance)| chance).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::super::clopper_pearson::clopper_pearson;
    use super::super::wilson::wilson;
    use super::*;

    fn grid() -> impl Iterator<Item = f64> {
        (1..2000).map(|i| f64::from(i) / 2000.0)
    }

    #[test]
    fn clopper_pearson_is_never_short() {
        for share in [0.8, 0.9, 0.95, 0.99] {
            let level = Level::new(share).unwrap();
            for years in [1, 2, 5, 10, 20, 30, 57] {
                let coverage = Coverage::new(clopper_pearson, years, level).unwrap();
                for p in grid() {
                    assert!(coverage.at(p) >= share - 1e-12, "{share} {years} {p}: {}", coverage.at(p));
                }
            }
        }
    }

    #[test]
    fn wilson_is_right_on_average_and_short_in_places() {
        for (years, least) in [(10, 0.83), (20, 0.83), (30, 0.83)] {
            let coverage = Coverage::new(wilson, years, Level::default()).unwrap();
            let all: Vec<f64> = grid().map(|p| coverage.at(p)).collect();
            let mean = all.iter().sum::<f64>() / 1999.0;
            let worst = all.iter().copied().fold(1.0, f64::min);
            assert!((mean - 0.95).abs() < 0.01, "{years}: mean {mean}");
            assert!(worst < 0.94 && worst > least, "{years}: worst {worst}");
        }
    }

    #[test]
    fn no_years_no_coverage() {
        assert_eq!(Coverage::new(wilson, 0, Level::default()), None);
    }
}
