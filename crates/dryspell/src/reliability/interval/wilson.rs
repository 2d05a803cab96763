//! Wilson's score interval: right on average, sometimes too short.

use super::normal::two_sided;
use super::{Interval, Level, Tally};

/// Wilson's score interval for a chance, from so many years with it out of so many.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | k, n | `tally` | years | 0 ≤ k ≤ n |
/// | z | of `level`, see [`two_sided`] | – | above 0 |
/// | | result | chance in a year | 0 to 1 |
///
/// # Equation
/// With `s = k/n`: `(s + z²/2n ± z·√(s(1−s)/n + z²/4n²)) / (1 + z²/n)`; 0 at k = 0 and 1 at k = n.
///
/// # Validity
/// Years independent and alike. Without the correction for continuity it holds the truth about as often as the level says
/// on average over all chances, but for some chances less often (see [`super::coverage`]). `None` of no years.
///
/// # Example
/// No dry year in ten: `z²/(n + z²) = 3.8415/13.8415`.
/// ```
/// use dryspell::reliability::interval::{Level, Tally, wilson::wilson};
/// let found = wilson(Tally::new(0, 10).unwrap(), Level::default()).unwrap();
/// assert!((found.high - 0.277_533).abs() < 1e-6);
/// ```
///
/// # References
/// E. B. Wilson, "Probable inference, the law of succession, and statistical inference", J. Am. Stat. Assoc. 22 (1927)
/// 209, doi 10.1080/01621459.1927.10502953; L. D. Brown, T. T. Cai and A. DasGupta, "Interval estimation for a binomial
/// proportion", Statistical Science 16 (2001) 101, doi 10.1214/ss/1009213286, equation 4.
#[must_use]
pub fn wilson(tally: Tally, level: Level) -> Option<Interval> {
    let share = tally.share()?;
    let n = f64::from(tally.of());
    let z = two_sided(level);
    let middle = share + 0.5 * z * z / n;
    let half = z * (share * (1.0 - share) / n + 0.25 * z * z / (n * n)).sqrt();
    let whole = 1.0 + z * z / n;
    // The two roots meet the ends exactly there; in floating point they would miss by a rounding.
    let low = if tally.with() == 0 { 0.0 } else { (middle - half) / whole };
    let high = if tally.with() == tally.of() { 1.0 } else { (middle + half) / whole };
    Some(Interval { low, high })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ends_of_the_range() {
        assert_eq!(wilson(Tally::new(0, 0).unwrap(), Level::default()), None);
        let all = wilson(Tally::new(5, 5).unwrap(), Level::default()).unwrap();
        assert!(all.high >= 1.0 && all.low > 0.5);
    }

    proptest::proptest! {
        #[test]
        fn its_ends_solve_the_score_equation(n in 1..500_u32, share in 0.0..=1.0_f64, level in 0.5..0.999_f64) {
            let k = (0..=n).rev().find(|k| f64::from(*k) <= share * f64::from(n)).unwrap_or(0);
            let tally = Tally::new(k, n).unwrap();
            let level = Level::new(level).unwrap();
            let found = wilson(tally, level).unwrap();
            let s = tally.share().unwrap();
            proptest::prop_assert!(found.holds(s) && found.low >= 0.0 && found.high <= 1.0);
            // (s - p)² = z² p (1 - p)/n at both ends.
            let z = two_sided(level);
            for p in [found.low, found.high] {
                let miss = (s - p) * (s - p) - z * z * p * (1.0 - p) / f64::from(n);
                proptest::prop_assert!(miss.abs() < 1e-13);
            }
        }
    }
}
