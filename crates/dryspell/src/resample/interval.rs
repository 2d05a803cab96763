//! The interval of a statistic from resampling the record itself.
//!
//! Made years can be had in any number, so their own scatter says nothing about the site. What is uncertain is the record:
//! other years could have been measured. So its years are drawn with replacement, everything is worked out again from what
//! was drawn, and that is repeated.

pub use super::coverage::{COVERAGE_MEASURED, HitRate};

use super::threads::in_order;
use super::years::resampled_years;
use crate::fault::{Fault, FaultKind};
use crate::random::{Purpose, Stream};
use crate::reliability::autonomy::percentile;
use crate::reliability::interval::{Interval, Level};
use std::num::NonZeroUsize;

/// Fewest replicates: the ends of a 95 % interval are then the fifth value from either end or beyond.
pub const FEWEST_REPLICATES: usize = 200;

/// One drawing of the record's years.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Replicate {
    /// Its number, from 0.
    pub number: usize,
    /// Years of the record, from 0, in the order drawn.
    pub years: Vec<usize>,
    /// Seed for whatever is made from them.
    pub seed: u64,
}

impl Replicate {
    /// Replicate `number` of a record of `n_years` years; it depends on these and `seed` only.
    #[must_use]
    pub fn new(n_years: usize, seed: u64, number: usize) -> Self {
        let mut stream = Stream::new(seed, Purpose::Replicates, u64::try_from(number).unwrap_or(u64::MAX));
        let own = stream.bits();
        Self { number, years: resampled_years(n_years, own), seed: own }
    }
}

/// The interval of a statistic: worked out for each of `replicates` drawings of the record's years, then percentiles.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | N | `n_years`: years of the record | years | ≥ 2 |
/// | B | `replicates` | – | ≥ 200 |
/// | 1 − α | `level` | – | above 0, below 1 |
///
/// # Equation
/// `statistic` of B drawings of N years with replacement; the α/2 and 1 − α/2 percentiles of the B values
/// ([`percentile`]).
///
/// # Validity
/// `Ok(None)` for a record of fewer than two years: from one year it cannot be known how years differ. How often it holds
/// the truth is not what its level says, and depends on how many years `statistic` makes in each drawing:
///
/// - as many as the record has: their own scatter widens the interval, which then errs on the side of caution;
/// - ten times as many: near the level where weather is remembered for a few days, below it where it lasts or where the
///   tank carries the herd for longer than a block (here twice the full tank, at least 15 days), since each join cuts a dull spell;
/// - none, the drawn years alone: far below for rare events, as what never came in the record comes in no drawing.
///
/// HitRate on climates whose answer is known exactly (years of 365 days of independent or lasting weather, a tank of so many
/// days of draw; 95 % stated, 200 drawings, blocks of twice the full tank and at least 15 days; standard error 0.005 or less for
/// 2000 records, 0.03 or less for 200), and on a synthetic site whose 5000 hourly years were run through the ledger, with made years as the program makes
/// them (standard error 0.02 or less):
///
#[doc = include_str!("coverage.md")]
///
/// # Example
/// The mean of ten yearly counts.
/// ```
/// use dryspell::{reliability::interval::Level, resample::interval::by_resampling};
/// let dry_days = [0.0, 3.0, 0.0, 12.0, 1.0, 0.0, 5.0, 2.0, 0.0, 7.0];
/// let mean = |r: &dryspell::resample::interval::Replicate| {
///     Ok(r.years.iter().map(|y| dry_days[*y]).sum::<f64>() / r.years.len() as f64)
/// };
/// let found = by_resampling(10, 1000, 1, Level::default(), std::num::NonZeroUsize::MIN, mean).unwrap().unwrap();
/// assert!(found.low > 0.4 && found.low < 1.2 && found.high > 4.8 && found.high < 6.5);
/// ```
///
/// # References
/// B. Efron, "Bootstrap methods: another look at the jackknife", Annals of Statistics 7 (1979) 1, doi
/// 10.1214/aos/1176344552; the percentile interval: B. Efron and R. J. Tibshirani, *An Introduction to the Bootstrap*,
/// 1993, chapter 13 (from memory).
///
/// # Errors
/// Fewer than 200 replicates, a fault of `statistic`, or a statistic that is not finite.
pub fn by_resampling(
    n_years: usize,
    replicates: usize,
    seed: u64,
    level: Level,
    threads: NonZeroUsize,
    statistic: impl Fn(&Replicate) -> Result<f64, Fault> + Sync,
) -> Result<Option<Interval>, Fault> {
    if replicates < FEWEST_REPLICATES {
        return Err(too_few(replicates));
    }
    if n_years < 2 {
        return Ok(None);
    }
    let values = in_order(replicates, threads, |number| statistic(&Replicate::new(n_years, seed, number)))?;
    of_values(&values, level).map(Some)
}

/// The interval from the values of the replicates, where they were worked out elsewhere.
///
/// # Errors
/// Fewer than 200 values, or one that is not finite.
pub fn of_values(values: &[f64], level: Level) -> Result<Interval, Fault> {
    if values.len() < FEWEST_REPLICATES {
        return Err(too_few(values.len()));
    }
    if let Some(number) = values.iter().position(|v| !v.is_finite()) {
        return Err(Fault::at_key(
            "replicates",
            FaultKind::NotANumber,
            format!("{} in replicate {number}", values[number]),
            "a finite value from each replicate",
            "take a statistic that exists for any years drawn, such as days of shortfall",
        ));
    }
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let at = |p: f64| percentile(&sorted, p).unwrap_or(f64::NAN);
    let tail = 0.5 * level.outside();
    Ok(Interval { low: at(tail), high: at(1.0 - tail) })
}

fn too_few(found: usize) -> Fault {
    Fault::at_key(
        "replicates",
        FaultKind::OutOfRange,
        format!("{found} replicates"),
        format!("at least {FEWEST_REPLICATES}"),
        format!(
            "ask for {FEWEST_REPLICATES} or more: with fewer the ends of the interval are a matter of chance"
        ),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_page_shows_the_table() {
        use std::fmt::Write;
        let mut page = String::from(
            "| climate, tank in days of draw | years of record | made years | records | holds mean days of shortfall | \
             holds chance of a dry year |\n| --- | --- | --- | --- | --- | --- |\n",
        );
        for HitRate { climate, years, made_years, records, days, dry_year } in &COVERAGE_MEASURED {
            writeln!(page, "| {climate} | {years} | {made_years} | {records} | {days:.3} | {dry_year:.3} |")
                .unwrap();
        }
        assert_eq!(include_str!("coverage.md"), page);
    }

    const ONE: NonZeroUsize = NonZeroUsize::MIN;

    #[test]
    fn any_number_of_threads_gives_the_same_interval() {
        let values: Vec<f64> = (0..23).map(|i| f64::from(i * i % 17)).collect();
        let statistic = |r: &Replicate| Ok(r.years.iter().map(|y| values[*y]).sum::<f64>() / 23.0);
        let found: Vec<_> = [1, 2, 5]
            .into_iter()
            .map(|t| {
                let threads = NonZeroUsize::new(t).unwrap();
                by_resampling(23, 333, 9, Level::default(), threads, statistic).unwrap().unwrap()
            })
            .collect();
        assert!(found[0] == found[1] && found[1] == found[2]);
        assert_ne!(by_resampling(23, 333, 10, Level::default(), ONE, statistic).unwrap().unwrap(), found[0]);
    }

    #[test]
    fn one_year_gives_no_interval_and_bad_input_a_fault() {
        let level = Level::default();
        assert_eq!(by_resampling(1, 200, 0, level, ONE, |_| Ok(1.0)).unwrap(), None);
        assert_eq!(by_resampling(0, 200, 0, level, ONE, |_| Ok(1.0)).unwrap(), None);
        let few = by_resampling(10, 199, 0, level, ONE, |_| Ok(1.0)).unwrap_err();
        assert!(few.to_string().contains("199 replicates"), "{few}");
        let nan = by_resampling(10, 200, 0, level, ONE, |r| Ok(if r.number == 7 { f64::NAN } else { 1.0 }));
        assert!(nan.unwrap_err().to_string().contains("replicate 7"));
        let first = by_resampling(10, 200, 0, level, NonZeroUsize::new(3).unwrap(), |r| {
            if r.number >= 150 { Err(too_few(r.number)) } else { Ok(0.0) }
        });
        assert!(first.unwrap_err().found.contains("150"));
    }

    #[test]
    fn the_mean_of_normal_values_has_its_known_interval() {
        // The percentile interval of a mean is mean ± 1.96 s/√N (s with N in its divisor) for many replicates.
        let values: Vec<f64> = (0..200).map(|i| f64::from(i * 37 % 200) / 200.0).collect();
        let (n, mean) = (200.0, values.iter().sum::<f64>() / 200.0);
        let s = (values.iter().map(|v| (v - mean) * (v - mean)).sum::<f64>() / n).sqrt();
        let statistic = |r: &Replicate| Ok(r.years.iter().map(|y| values[*y]).sum::<f64>() / n);
        let found = by_resampling(200, 20_000, 4, Level::default(), ONE, statistic).unwrap().unwrap();
        let half = 1.959_964 * s / n.sqrt();
        // Standard error of a 2.5 % percentile of 20 000 values: sqrt(pq/B)/density = 0.019 standard deviations.
        for (end, law) in [(found.low, mean - half), (found.high, mean + half)] {
            assert!((end - law).abs() < 3.0 * 0.019 * s / n.sqrt(), "{end} {law}");
        }
    }
}
