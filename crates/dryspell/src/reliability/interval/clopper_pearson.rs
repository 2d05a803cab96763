//! The interval of Clopper and Pearson: never too short, whatever the chance is.

use super::binomial::at_least;
use super::{Interval, Level, Tally};

/// The interval of Clopper and Pearson for a chance, from so many years with it out of so many.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | k, n | `tally` | years | 0 ≤ k ≤ n |
/// | 1 − α | `level` | – | above 0, below 1 |
/// | | result | chance in a year | 0 to 1 |
///
/// # Equation
/// Lower end: the `p` with `P(at least k of n; p) = α/2`, 0 when k = 0. Upper end: the `p` with
/// `P(at most k of n; p) = α/2`, 1 when k = n. Solved by halving on [`at_least`], to the last bit.
///
/// # Validity
/// Years independent and alike. It holds the truth at least as often as the level says, mostly more often. `None` of no
/// years. Not for years that were made by resampling: more of them say nothing more about the site.
///
/// # Example
/// No dry year in ten still allows a chance of 31 % a year: the upper end solves `(1 − p)¹⁰ = 0.025`.
/// ```
/// use dryspell::reliability::interval::{Level, Tally, clopper_pearson::clopper_pearson};
/// let found = clopper_pearson(Tally::new(0, 10).unwrap(), Level::default()).unwrap();
/// assert!(found.low.abs() < 1e-300 && (found.high - 0.308_497).abs() < 1e-6);
/// ```
///
/// # References
/// C. J. Clopper and E. S. Pearson, "The use of confidence or fiducial limits illustrated in the case of the binomial",
/// Biometrika 26 (1934) 404, doi 10.1093/biomet/26.4.404.
#[must_use]
pub fn clopper_pearson(tally: Tally, level: Level) -> Option<Interval> {
    let (k, n) = (tally.with(), tally.of());
    (n > 0).then(|| Interval {
        low: lower(k, n, 0.5 * level.outside()),
        high: 1.0 - lower(n - k, n, 0.5 * level.outside()),
    })
}

/// The upper end alone, with all that the level leaves outside above it: "with 95 % confidence the chance is below".
/// `None` of no years.
///
/// # Equation
/// The `p` with `P(at most k of n; p) = α`, 1 when k = n.
///
/// # Example
/// No dry year in twenty: `(1 − p)²⁰ = 0.05`, 13.9 % a year; the rule of three says 3/20.
/// ```
/// use dryspell::reliability::interval::{Level, Tally, clopper_pearson::upper_bound};
/// let high = upper_bound(Tally::new(0, 20).unwrap(), Level::default()).unwrap();
/// assert!((high - 0.139_108).abs() < 1e-6);
/// ```
///
/// # References
/// As [`clopper_pearson`].
#[must_use]
pub fn upper_bound(tally: Tally, level: Level) -> Option<f64> {
    let (k, n) = (tally.with(), tally.of());
    (n > 0).then(|| 1.0 - lower(n - k, n, level.outside()))
}

/// The chance at which at least `k` of `n` is as likely as `tail`.
fn lower(k: u32, n: u32, tail: f64) -> f64 {
    if k == 0 {
        return 0.0;
    }
    let (mut low, mut high) = (0.0, 1.0);
    loop {
        let middle = f64::midpoint(low, high);
        if middle <= low || middle >= high {
            return middle;
        }
        if at_least(k, n, middle) < tail {
            low = middle;
        } else {
            high = middle;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use statrs::distribution::{Beta, ContinuousCDF};

    #[test]
    fn the_ends_are_beta_quantiles_of_a_general_library() {
        for (k, n) in [(1, 10), (3, 20), (19, 20), (30, 1000), (1, 1)] {
            let found = clopper_pearson(Tally::new(k, n).unwrap(), Level::default()).unwrap();
            let (a, b) = (f64::from(k), f64::from(n - k));
            let low = Beta::new(a, b + 1.0).unwrap().inverse_cdf(0.025);
            assert!((found.low - low).abs() < 1e-8, "{k}/{n}: {} {low}", found.low);
            if k < n {
                let high = Beta::new(a + 1.0, b).unwrap().inverse_cdf(0.975);
                assert!((found.high - high).abs() < 1e-8, "{k}/{n}: {} {high}", found.high);
            }
        }
    }

    #[test]
    fn the_ends_of_the_range() {
        let level = Level::default();
        assert_eq!(clopper_pearson(Tally::new(0, 0).unwrap(), level), None);
        assert_eq!(upper_bound(Tally::new(0, 0).unwrap(), level), None);
        let all = clopper_pearson(Tally::new(7, 7).unwrap(), level).unwrap();
        // α/2 = pⁿ.
        assert!((all.low - libm::pow(0.025, 1.0 / 7.0)).abs() < 1e-14 && all.high >= 1.0);
        assert_eq!(upper_bound(Tally::new(7, 7).unwrap(), level), Some(1.0));
    }

    proptest::proptest! {
        #[test]
        fn it_holds_the_share_and_grows_with_the_level_and_shrinks_with_years(
            n in 1..120_u32, share in 0.0..=1.0_f64, level in 0.5..0.999_f64,
        ) {
            let k = (0..=n).rev().find(|k| f64::from(*k) <= share * f64::from(n)).unwrap_or(0);
            let tally = Tally::new(k, n).unwrap();
            let at = Level::new(level).unwrap();
            let found = clopper_pearson(tally, at).unwrap();
            proptest::prop_assert!(found.holds(tally.share().unwrap()));
            proptest::prop_assert!(found.low >= 0.0 && found.high <= 1.0);
            let wider = clopper_pearson(tally, Level::new(level + 0.5 * (1.0 - level)).unwrap()).unwrap();
            proptest::prop_assert!(wider.low <= found.low && wider.high >= found.high);
            let longer = clopper_pearson(Tally::new(4 * k, 4 * n).unwrap(), at).unwrap();
            proptest::prop_assert!(longer.high - longer.low < found.high - found.low);
            // The mirror image: years without it.
            let mirror = clopper_pearson(Tally::new(n - k, n).unwrap(), at).unwrap();
            proptest::prop_assert!((mirror.low - (1.0 - found.high)).abs() < 1e-12);
        }
    }
}
