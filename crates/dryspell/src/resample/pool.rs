//! Which days of a ring of days may stand on a date, and the means over them.

use super::archive::DATES;

/// Values whose means are needed: brightness by hour, and the day's temperature.
pub(super) const VALUES: usize = 25;

/// The days of a ring, by date.
#[derive(Debug, Clone)]
pub(super) struct Pool {
    /// Places in the ring, by date.
    order: Vec<usize>,
    /// For each date: where in `order` its window begins, and how many days it holds.
    windows: Vec<(usize, usize)>,
}

impl Pool {
    /// The days within `window` dates either side. `dates` has the date of each day of the ring.
    pub(super) fn new(dates: &[usize], window: usize) -> Self {
        let mut order: Vec<usize> = (0..dates.len()).collect();
        order.sort_by_key(|d| (dates[*d], *d));
        let mut first = [0; DATES + 1];
        for d in dates {
            first[d + 1] += 1;
        }
        for d in 0..DATES {
            first[d + 1] += first[d];
        }
        let windows = (0..DATES).map(|date| reach(date, window, &first)).collect();
        Self { order, windows }
    }

    /// Days that may stand on a date.
    pub(super) fn len(&self, date: usize) -> usize {
        self.windows[date].1
    }

    /// The place in the ring of the `n`-th of them.
    pub(super) fn day(&self, date: usize, n: usize) -> usize {
        self.order[(self.windows[date].0 + n) % self.order.len()]
    }

    /// Means over the days that may stand on each date.
    pub(super) fn means(&self, values_of: impl Fn(usize) -> [f64; VALUES]) -> Vec<[f64; VALUES]> {
        let mut sums = Vec::with_capacity(self.order.len() + 1);
        let mut sum = [0.0; VALUES];
        sums.push(sum);
        for day in &self.order {
            for (total, value) in sum.iter_mut().zip(values_of(*day)) {
                *total += value;
            }
            sums.push(sum);
        }
        let n = self.order.len();
        self.windows
            .iter()
            .map(|(from, len)| {
                let to = from + len;
                std::array::from_fn(|v| {
                    let total = if to <= n {
                        sums[to][v] - sums[*from][v]
                    } else {
                        sums[n][v] - sums[*from][v] + sums[to - n][v]
                    };
                    #[allow(clippy::cast_precision_loss, reason = "a count of days")]
                    let days = (*len).max(1) as f64;
                    total / days
                })
            })
            .collect()
    }
}

/// Where a date's window begins in the order by date and how many days it holds. A window without a day (29 February in
/// years that lack it, with no window) is widened until it holds one.
fn reach(date: usize, window: usize, first: &[usize; DATES + 1]) -> (usize, usize) {
    let all = first[DATES];
    for width in window..=DATES {
        if 2 * width + 1 >= DATES {
            return (0, all);
        }
        let (from, to) = (date + DATES - width, date + DATES + width + 1);
        let count = |edge: usize| edge / DATES * all + first[edge % DATES];
        let (from, to) = (count(from), count(to));
        if to > from {
            return (from % all, to - from);
        }
    }
    (0, all)
}

#[cfg(test)]
mod tests {
    use super::*;

    proptest::proptest! {
        #[test]
        fn a_window_holds_exactly_the_days_within_reach(
            years in 1..4_usize, turn in 0..366_usize, window in 0..184_usize, leap: bool,
        ) {
            let ring: Vec<usize> = (0..years)
                .flat_map(|_| (0..366).map(|d| (d + turn) % 366).filter(|d| leap || *d != 59))
                .collect();
            let pool = Pool::new(&ring, window);
            let means = pool.means(|d| [ring[d] as f64; VALUES]);
            for (date, found_mean) in means.iter().enumerate() {
                let near = |d: usize, width: usize| {
                    let apart = d.abs_diff(date);
                    apart.min(366 - apart) <= width
                };
                let width = if !leap && date == 59 && window == 0 { 1 } else { window };
                let mut expected: Vec<usize> = (0..ring.len()).filter(|d| near(ring[*d], width)).collect();
                let mut found: Vec<usize> = (0..pool.len(date)).map(|n| pool.day(date, n)).collect();
                found.sort_unstable();
                expected.sort_unstable();
                let mean = found.iter().map(|d| ring[*d] as f64).sum::<f64>() / found.len() as f64;
                proptest::prop_assert!((found_mean[7] - mean).abs() < 1e-9);
                proptest::prop_assert_eq!(found, expected);
            }
        }
    }
}
