//! How long a full tank lasts from the worst start of each month.

use super::{Autonomy, PER_DAY, hours_of};
use crate::calendar::{Day, HOURS_PER_DAY};

/// The worst start hour of each month and of the year, from a full tank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FullTank {
    /// Days by month (January first); `None` where no start of that month counts.
    pub by_month: [Option<f64>; 12],
    /// The worst of them.
    pub worst: Option<f64>,
    /// Whether a day or more without demand lies in that time, by month: the stock leaves before the water is gone.
    pub outlasts_stay: [bool; 12],
    /// Starts left out because the water outlasts the record.
    pub left_out: u32,
}

impl FullTank {
    /// Whether the stock leaves before the water is gone, whenever it began.
    #[must_use]
    pub fn always_outlasts_stay(&self) -> bool {
        self.worst.is_some() && self.by_month.iter().zip(self.outlasts_stay).all(|(d, o)| d.is_none() || o)
    }

    /// The worst of each month, as they are, in days.
    pub(crate) fn of_months(by_month: [Option<f64>; 12], outlasts_stay: [bool; 12], left_out: u32) -> Self {
        Self { by_month, worst: by_month.iter().flatten().copied().reduce(f64::min), outlasts_stay, left_out }
    }

    /// Finds the worst start hours. `days` are the dates of the record's days.
    #[must_use]
    pub fn of(autonomy: &Autonomy, full_m3: f64, days: &[Day]) -> Self {
        let mut found = Self { by_month: [None; 12], worst: None, outlasts_stay: [false; 12], left_out: 0 };
        let (years, left_m3) = autonomy.whole_years(full_m3);
        let round_m3 = autonomy.taken_m3[autonomy.hours];
        let end = |start: usize| autonomy.end(autonomy.taken_m3[start] + left_m3);
        // No sooner does it end, by the table alone; a second round begins no sooner than the first ends.
        let earliest = |start: usize| {
            let sum_m3 = autonomy.taken_m3[start] + left_m3;
            let (rest_m3, round) =
                if sum_m3 < round_m3 { (sum_m3, 0) } else { (sum_m3 - round_m3, autonomy.hours) };
            autonomy.first_hour[autonomy.slice(rest_m3)] as usize + round
        };
        let mut worst_h = [f64::INFINITY; 12];
        let mut worst_start = [0; 12];
        for (day, date) in days.iter().enumerate() {
            let month = usize::from(date.month) - 1;
            let worst = &mut worst_h[month];
            // Whole hours above the worst so far: a start that lasts as long needs no closer look.
            let mut known = whole_hours_above(*worst);
            for first in (day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY).step_by(BLOCK) {
                let last = first + BLOCK - 1;
                // A later start never ends earlier.
                if earliest(first) >= last.saturating_add(known) {
                    continue;
                }
                for start in first..=last {
                    if earliest(start) < start.saturating_add(known)
                        && autonomy.draws[start]
                        && let Some(end) = end(start)
                    {
                        let lasts = end - hours_of(start);
                        if lasts < *worst {
                            (*worst, worst_start[month]) = (lasts, start);
                            known = whole_hours_above(lasts);
                        }
                    }
                }
            }
        }
        found.by_month = worst_h.map(|hours| {
            let days = (hours + years * autonomy.year_h()) / PER_DAY;
            days.is_finite().then_some(days)
        });
        for (month, lasts) in worst_h.into_iter().enumerate().filter(|(_, h)| h.is_finite()) {
            let until = worst_start[month] + whole_hours_above(lasts);
            found.outlasts_stay[month] = (worst_start[month]..until.min(worst_start[month] + autonomy.hours))
                .any(|h| !autonomy.draws[h % autonomy.hours]);
        }
        found.worst = found.by_month.iter().flatten().copied().reduce(f64::min);
        // The later the start, the later the end: from one hour on all starts outlast the record.
        let outlasting = (0..autonomy.hours).rev().take_while(|h| end(*h).is_none());
        found.left_out = outlasting.filter(|h| autonomy.draws[*h]).fold(0, |n, _| n + 1);
        found
    }
}

/// Hours looked at together: a divisor of the day.
const BLOCK: usize = 6;

/// The next whole number of hours; the most there is for what is not finite.
fn whole_hours_above(hours: f64) -> usize {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a cast ends at 0 and at the most"
    )]
    let above = libm::ceil(hours) as usize;
    above
}
