//! Which hours are covered when the panels lie under snow for some days.

use crate::calendar::HOURS_PER_DAY;

/// The hours of `days` days from the day of hour `began`, going round the end of a record of so many hours.
pub(super) fn covered_hours(hours: usize, began: usize, days: u32) -> impl Iterator<Item = usize> {
    let first = began / HOURS_PER_DAY * HOURS_PER_DAY;
    let length = (days as usize * HOURS_PER_DAY).min(hours);
    (first..first + length).map(move |h| h % hours)
}

/// Nothing comes in these hours.
pub(super) fn cover(column: &mut [f64], began: usize, days: u32) {
    covered_hours(column.len(), began, days).for_each(|h| column[h] = 0.0);
}
