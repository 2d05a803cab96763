//! Blocks of days: the stationary bootstrap.

use crate::fault::{Fault, FaultKind};
use crate::random::{Purpose, Stream};

/// Default mean length of a block, days.
///
/// Dull weather of hourly records is remembered for about five days (daily clearness at Davos, ten years: correlation
/// 0.29, 0.10, 0.07, 0.05, 0.02 at one to five days), so a block must be several times that. The rule of the cube root of
/// the days gives 15 for ten years. It keeps 93 % of the correlation from day to day and still joins some 24 blocks a
/// year, from which spells longer than any seen can come.
pub const MEAN_BLOCK_DAYS: f64 = 15.0;

/// Longest mean length of a block, days: whole years.
pub(crate) const LONGEST_BLOCK_DAYS: f64 = 366.0;

/// A mean block length that can be used.
///
/// # Errors
/// It lies outside 1 to 366 days.
pub(crate) fn check_mean(mean_block_days: f64) -> Result<(), Fault> {
    if (1.0..=LONGEST_BLOCK_DAYS).contains(&mean_block_days) {
        return Ok(());
    }
    Err(Fault::at_key(
        "mean_block_days",
        FaultKind::OutOfRange,
        format!("{mean_block_days} days"),
        "blocks are 1 to 366 days long on average",
        "take 15 days, or 5 to 30 to see how much it matters",
    ))
}

/// Draws a series of day indices in blocks of random length from a ring of days; every day is equally likely to begin a
/// block.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | L | `mean_block_days` | days | 1 to 366 |
/// | N | `source_days` | days | ≥ 1 |
/// | | `days` | days | ≥ 0 |
///
/// # Equation
/// The first day is drawn. Each next day is, with a chance of 1/L, drawn anew; else it is the day after the last one, the
/// first following the last of the ring. Block lengths are geometric with mean L.
///
/// # Validity
/// For a stationary series. The series drawn has the source's mean, variance and, at lag k, its (circular) correlation
/// times [`kept_correlation`]. Depends on `seed` and `number` only.
///
/// # Example
/// With L = 1 each day is drawn by itself; with a long L most days follow each other.
/// ```
/// use dryspell::resample::blocks::stationary;
/// let days = stationary(1000, 365, 366.0, 1, 0).unwrap();
/// let joins = days.windows(2).filter(|pair| pair[1] != (pair[0] + 1) % 1000).count();
/// assert!(joins < 6);
/// ```
///
/// # References
/// D. N. Politis and J. P. Romano, "The stationary bootstrap", J. Am. Stat. Assoc. 89 (1994) 1303, doi
/// 10.1080/01621459.1994.10476870, section 2 (from memory).
///
/// # Errors
/// A mean outside its range, or a ring of no days.
pub fn stationary(
    source_days: usize,
    days: usize,
    mean_block_days: f64,
    seed: u64,
    number: u64,
) -> Result<Vec<usize>, Fault> {
    check_mean(mean_block_days)?;
    if source_days == 0 {
        return Err(Fault::at_key(
            "weather.days",
            FaultKind::OutOfRange,
            "no days",
            "a source of at least one day",
            "give a record with at least one day",
        ));
    }
    let mut stream = Stream::new(seed, Purpose::Blocks, number);
    Ok(series(&mut stream, source_days, days, mean_block_days, None, |stream, _| stream.below(source_days)))
}

/// The same with a say in where a block may begin: `start` draws the source day for a day of the series. `before` is the source day
/// that the first one follows, unless a block begins there by chance.
pub(super) fn series(
    stream: &mut Stream,
    source_days: usize,
    days: usize,
    mean_block_days: f64,
    before: Option<usize>,
    mut start: impl FnMut(&mut Stream, usize) -> usize,
) -> Vec<usize> {
    let anew = 1.0 / mean_block_days;
    let mut drawn: Vec<usize> = Vec::with_capacity(days);
    for day in 0..days {
        // The coin is tossed on the first day too, so that each day uses up its number whatever came before.
        let coin = stream.uniform() < anew;
        // So is a start drawn on the first day, used or not: the days to come do not depend on what came before.
        let first = (day == 0).then(|| start(stream, day));
        let next = match drawn.last().copied().or(before) {
            Some(last) if !coin => (last + 1) % source_days,
            _ => first.unwrap_or_else(|| start(stream, day)),
        };
        drawn.push(next);
    }
    drawn
}

/// The share of the source's correlation at a lag that the stationary bootstrap keeps.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | L | `mean_block_days` | days | ≥ 1 |
/// | k | `lag_days` | days | ≥ 0 |
///
/// # Equation
/// `(1 − 1/L)^k`: the chance that no new block begins in k days.
///
/// # Validity
/// Exact, over all draws, for the circular correlation of a stationary source. Days either side of a join are independent.
///
/// # Example
/// ```
/// use dryspell::resample::blocks::kept_correlation;
/// assert!((kept_correlation(15.0, 1) - 14.0 / 15.0).abs() < 1e-12);
/// ```
///
/// # References
/// Politis and Romano 1994 (above), section 3 (from memory).
#[must_use]
pub fn kept_correlation(mean_block_days: f64, lag_days: u32) -> f64 {
    libm::pow(1.0 - 1.0 / mean_block_days, f64::from(lag_days))
}

/// Says so when the made years could hardly hold a dull spell longer than the longest one of the record.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | s | `longest_days`: the longest spell seen, best the critical spell from its first day to its deepest | days | ≥ 0 |
/// | N, Y | `record_years`, `made_years` | years | ≥ 1 |
/// | L | `mean_block_days` | days | ≥ 1 |
///
/// # Equation
/// A block is a copy of days of the record, so a longer spell needs a join within it. The chance of at least one join in s
/// days is `1 − (1 − 1/L)^s`; in Y years about Y/N spells of that length come; a warning where their product is below 3,
/// so that with a chance of e⁻³ = 5 % or more no such spell holds a join.
///
/// # Validity
/// An estimate of this project's own, for this warning alone. No warning does not mean that longer spells were made: that
/// is seen in the results.
///
/// # Example
/// Whole years drawn from ten, a hundred times: a spell of 6 days holds a join 0.16 times.
/// ```
/// use dryspell::resample::blocks::no_longer_spell;
/// assert!(no_longer_spell(6, 10, 100, 365.0).is_some());
/// assert!(no_longer_spell(6, 10, 100, 15.0).is_none());
/// ```
///
/// # References
/// None.
#[must_use]
pub fn no_longer_spell(
    longest_days: u32,
    record_years: u32,
    made_years: u32,
    mean_block_days: f64,
) -> Option<String> {
    const FEWEST: f64 = 3.0;
    let days = longest_days.max(1);
    let joined = 1.0 - kept_correlation(mean_block_days, days);
    let spells = f64::from(made_years) / f64::from(record_years.max(1)) * joined;
    (spells < FEWEST).then(|| {
        format!(
            "blocks of {mean_block_days} days in {made_years} made years could hardly contain a spell longer than the \
             {longest_days} days seen: only {spells:.1} spells of that length would be joined from two blocks; make \
             more years or take shorter blocks"
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A first-order series of normal-like numbers (sums of twelve), or white noise at `memory` 0.
    fn source(days: usize, memory: f64, seed: u64) -> Vec<f64> {
        let mut stream = Stream::new(seed, Purpose::Years, 99);
        let mut x = 0.0;
        (0..days)
            .map(|_| {
                let noise = (0..12).map(|_| stream.uniform()).sum::<f64>() - 6.0;
                x = memory * x + (1.0 - memory * memory).sqrt() * noise;
                x
            })
            .collect()
    }

    /// Circular covariance of a ring at a lag.
    fn ring(x: &[f64], lag: usize) -> f64 {
        let n = x.len();
        let mean = x.iter().sum::<f64>() / n as f64;
        (0..n).map(|i| (x[i] - mean) * (x[(i + lag) % n] - mean)).sum::<f64>() / n as f64
    }

    #[test]
    fn correlation_is_kept_as_the_law_says() {
        // Seeds fixed before the first run. The mean over draws, about the source's own mean, is exact in expectation.
        for (memory, lags) in [(0.7, [1_usize, 3, 8]), (0.0, [1, 2, 5])] {
            let x = source(2000, memory, 1);
            let mean = x.iter().sum::<f64>() / 2000.0;
            for block in [1.0, 4.0, 15.0, 60.0] {
                let draws: Vec<Vec<f64>> = (0..1500)
                    .map(|number| {
                        let days = stationary(2000, 1000, block, 77, number).unwrap();
                        let y: Vec<f64> = days.iter().map(|d| x[*d] - mean).collect();
                        lags.iter()
                            .map(|k| (0..1000 - k).map(|i| y[i] * y[i + k]).sum::<f64>() / (1000 - k) as f64)
                            .collect()
                    })
                    .collect();
                for (which, lag) in lags.into_iter().enumerate() {
                    let n = draws.len() as f64;
                    let found = draws.iter().map(|d| d[which]).sum::<f64>() / n;
                    let spread = draws.iter().map(|d| (d[which] - found) * (d[which] - found)).sum::<f64>();
                    let error = (spread / (n - 1.0) / n).sqrt();
                    let law = kept_correlation(block, u32::try_from(lag).unwrap()) * ring(&x, lag);
                    assert!(error < 0.02 * ring(&x, 0), "{memory} {block} {lag}: error {error}");
                    assert!(
                        (found - law).abs() < 3.0 * error,
                        "{memory} {block} {lag}: {found} ± {error}, law {law}"
                    );
                }
            }
        }
    }

    #[test]
    fn blocks_have_the_mean_length_asked_for_and_days_are_equally_likely() {
        let (source_days, days) = (40, 200_000);
        let drawn = stationary(source_days, days, 7.0, 3, 0).unwrap();
        let joins = drawn.windows(2).filter(|p| p[1] != (p[0] + 1) % source_days).count();
        // A join lands on the following day by chance once in 40.
        let chance = 1.0 / 7.0 * 39.0 / 40.0;
        let n = days as f64;
        assert!((joins as f64 - chance * n).abs() < 3.0 * (n * chance * (1.0 - chance)).sqrt(), "{joins}");
        let mut counts = [0_u32; 40];
        drawn.iter().for_each(|d| counts[*d] += 1);
        for count in counts {
            // Days of a ring are drawn in runs, but never twice in one: the error is that of single draws or less times √2.
            assert!((f64::from(count) - n / 40.0).abs() < 5.0 * (n / 40.0).sqrt(), "{counts:?}");
        }
    }

    #[test]
    fn bad_lengths_are_faults() {
        for mean in [0.0, 0.99, 366.5, -3.0, f64::NAN, f64::INFINITY] {
            let fault = stationary(10, 10, mean, 0, 0).unwrap_err();
            assert_eq!(fault.kind, FaultKind::OutOfRange);
            assert!(fault.to_string().contains("mean_block_days"));
        }
        assert!(stationary(0, 10, 5.0, 0, 0).is_err());
        assert!(stationary(10, 0, 5.0, 0, 0).unwrap().is_empty());
    }

    #[test]
    fn the_warning_comes_with_long_blocks_and_few_years() {
        assert!(no_longer_spell(0, 20, 20, 15.0).is_some());
        assert!(no_longer_spell(10, 20, 1000, 15.0).is_none());
        assert!(no_longer_spell(10, 20, 1000, 1.0).is_none());
        let text = no_longer_spell(5, 20, 40, 30.0).unwrap();
        assert!(text.contains("30 days") && text.contains("40 made years") && !text.contains('\n'));
    }

    proptest::proptest! {
        #[test]
        fn days_stay_in_the_ring_and_a_longer_series_begins_alike(
            source_days in 1..500_usize, days in 0..300_usize, mean in 1.0..366.0_f64, seed: u64, number in 0..1_u64 << 50,
        ) {
            let drawn = stationary(source_days, days, mean, seed, number).unwrap();
            proptest::prop_assert!(drawn.len() == days && drawn.iter().all(|d| *d < source_days));
            let longer = stationary(source_days, days + 50, mean, seed, number).unwrap();
            proptest::prop_assert_eq!(&longer[..days], &drawn[..]);
        }
    }
}
