//! The freezing index.

use crate::calendar::{Calendar, Day, HOURS_PER_DAY};

/// Mean of each day's 24 hours.
#[must_use]
pub fn daily_means(hourly: &[f64]) -> Vec<f64> {
    hourly.chunks_exact(HOURS_PER_DAY).map(|day| day.iter().sum::<f64>() / 24.0).collect()
}

/// The fall of a running sum of daily mean temperatures from its peak to what follows.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Fall {
    /// The freezing index, °C·days, ≥ 0.
    pub degc_days: f64,
    /// Days from the peak to the lowest point: how long the ground freezes.
    pub days: usize,
    /// Days of the twelve months before the first day of the fall.
    pub after_days: usize,
}

/// The freezing index of a winter: the greatest fall of the running sum of daily mean temperatures.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | T | mean air temperature of each day | °C | finite |
/// | S | running sum of T, 0 before the first day | °C·day | |
/// | F | freezing index | °C·day | ≥ 0 |
///
/// # Equation
/// `F = max over i ≤ j of (S_i − S_j)`. Its days are `j − i`; of equal falls the first, and the shortest of those that
/// end alike.
///
/// # Validity
/// The days must run from summer to summer (see [`winters`]), or two half winters are taken for one. A thaw within the
/// winter is taken off; a warm spell that lifts the sum above the peak begins a new fall. The index is that of the air:
/// the ground's surface has another ([`super::SURFACES`]).
///
/// # Example
/// ```
/// use dryspell::frost::freezing_index;
/// // 10 at +5, 40 at −6 with 5 thaw days at +2 after the first 20: 240 less the 10 that the thaw gives back.
/// let mut days = vec![5.0; 10];
/// days.extend([-6.0; 20]);
/// days.extend([2.0; 5]);
/// days.extend([-6.0; 20]);
/// let fall = freezing_index(days);
/// assert_eq!((fall.degc_days, fall.days, fall.after_days), (230.0, 45, 10));
/// ```
///
/// # References
/// US Department of Defense, *Arctic and Subarctic Construction: Calculation Methods for Determination of Depths of
/// Freeze and Thaw in Soils*, UFC 3-130-06 (2004; formerly TM 5-852-6): the difference between the highest and lowest
/// points of the curve of cumulative degree-days against time for one season (wording from memory).
#[must_use]
pub fn freezing_index(daily_degc: impl IntoIterator<Item = f64>) -> Fall {
    let (mut sum, mut peak, mut peak_at) = (0.0_f64, 0.0_f64, 0);
    let mut fall = Fall::default();
    for (k, t) in daily_degc.into_iter().enumerate() {
        sum += t;
        if sum >= peak {
            (peak, peak_at) = (sum, k + 1);
        } else if peak - sum > fall.degc_days {
            fall = Fall { degc_days: peak - sum, days: k + 1 - peak_at, after_days: peak_at };
        }
    }
    fall
}

/// The frost of one winter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Winter {
    /// First day of its twelve months.
    pub from: Day,
    /// Last day.
    pub to: Day,
    /// Its freezing index.
    pub fall: Fall,
}

/// The freezing index of each winter of a record: July to June in the north, January to December in the south.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | | `daily_degc`, mean air temperature of each day | °C | as many as the calendar has days |
/// | | `north`, whether the place lies north of the equator | – | |
///
/// # Equation
/// [`freezing_index`] of each twelve months. A one-year record is one winter, wrapped round its end; in others only
/// whole winters count.
///
/// # Validity
/// A typical year is stitched from months of different years, so its winter never was; and it leaves out the extremes
/// by construction: typical winter, not design.
///
/// # Example
/// ```
/// use dryspell::{calendar::Calendar, frost::winters};
/// // 20 days at −3 across the turn of the year, in one year's days.
/// let mut days = vec![4.0; 365];
/// days[..10].fill(-3.0);
/// days[355..].fill(-3.0);
/// let winters = winters(&Calendar::year(2023), &days, true);
/// assert_eq!(winters[0].fall.degc_days, 60.0);
/// ```
///
/// # References
/// See [`freezing_index`].
#[must_use]
pub fn winters(calendar: &Calendar, daily_degc: &[f64], north: bool) -> Vec<Winter> {
    let days = calendar.days();
    let n = days.len().min(daily_degc.len());
    let (first_month, last) = if north { (7, (6, 30)) } else { (1, (12, 31)) };
    let mut begins: Vec<usize> =
        (0..n).filter(|d| (days[*d].month, days[*d].day) == (first_month, 1)).collect();
    let winter = |from: usize, length: usize| Winter {
        from: days[from],
        to: days[(from + length - 1) % n],
        fall: freezing_index((from..from + length).map(|d| daily_degc[d % n])),
    };
    if calendar.is_one_year() {
        return begins.first().map(|from| winter(*from, n)).into_iter().collect();
    }
    if days[..n].last().is_some_and(|d| (d.month, d.day) == last) {
        begins.push(n);
    }
    begins.windows(2).map(|pair| winter(pair[0], pair[1] - pair[0])).collect()
}

#[cfg(test)]
#[allow(clippy::float_cmp, reason = "sums of small whole numbers are exact")]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// The definition, word for word: every pair of days.
    fn by_all_pairs(daily: &[f64]) -> f64 {
        let mut sums = vec![0.0];
        for t in daily {
            sums.push(sums[sums.len() - 1] + t);
        }
        let mut best = 0.0_f64;
        for i in 0..sums.len() {
            for j in i..sums.len() {
                best = best.max(sums[i] - sums[j]);
            }
        }
        best
    }

    #[test]
    fn whole_winters_of_many_years_count_and_half_ones_do_not() {
        let days: Vec<Day> =
            [2021, 2022, 2023].iter().flat_map(|y| Calendar::year(*y).days().to_vec()).collect();
        let daily: Vec<f64> =
            days.iter().map(|d| if d.month == 1 { -f64::from(d.year - 2020) } else { 5.0 }).collect();
        let calendar = Calendar::new(days, 0);
        let falls = |north| -> Vec<f64> {
            winters(&calendar, &daily, north).iter().map(|w| w.fall.degc_days).collect()
        };
        assert_eq!(falls(true), [62.0, 93.0]);
        assert_eq!(falls(false), [31.0, 62.0, 93.0]);
    }

    proptest! {
        #[test]
        fn one_pass_finds_the_greatest_fall(daily in proptest::collection::vec(-20_i32..20, 0..60)) {
            let daily: Vec<f64> = daily.into_iter().map(f64::from).collect();
            let fall = freezing_index(daily.iter().copied());
            prop_assert_eq!(fall.degc_days, by_all_pairs(&daily));
            let within = &daily[fall.after_days..fall.after_days + fall.days];
            prop_assert_eq!(-within.iter().sum::<f64>(), fall.degc_days);
        }
    }
}
