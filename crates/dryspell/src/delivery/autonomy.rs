//! How long the battery carries the booster without sun.

use super::battery::Battery;
use crate::calendar::HOURS_PER_DAY;

/// Days that a full battery carries the booster without sun.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BatteryDays {
    /// The worst day to begin.
    pub worst_days: f64,
    /// The first day of the worst, counted from 0.
    pub worst_from_day: usize,
    /// The median day to begin.
    pub median_days: f64,
}

/// Longest time that is followed, days.
const LONGEST_DAYS: usize = 366;

/// Days that a full battery carries the booster without sun, from each day's start on.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | d_h | `drain_wh`: what leaves the store in an hour of unhindered delivery | W·h | ≥ 0 |
/// | E, F(t) | full store, store at the cut-out at the hour's temperature | W·h | |
/// | | result | day | at most 366 |
///
/// # Equation
/// From midnight, full: each hour takes `d_h` and the self-discharge; it ends when the store passes F(t), the last hour
/// in proportion. A one-year record goes round; in others, starts that outlast it are left out.
///
/// # Validity
/// That of [`Battery::step`]. Days on which the booster is not needed in the next 24 h are not begun from.
///
/// # References
/// This project's definition, after the tank's autonomy.
#[must_use]
pub(super) fn battery_days(
    battery: &Battery,
    drain_wh: &[f64],
    pump_wh: &[f64],
    degc: &[f64],
    wraps: bool,
) -> Option<BatteryDays> {
    let n = drain_wh.len();
    let kept = libm::pow(1.0 - battery.self_discharge_per_month, 1.0 / 730.5);
    let from = |start: usize| -> Option<f64> {
        let mut stored = battery.full_wh();
        for k in 0..LONGEST_DAYS * HOURS_PER_DAY {
            let h = if wraps { (start + k) % n } else { start + k };
            let (drain, t) = (*drain_wh.get(h)?, *degc.get(h)?);
            let floor = battery.floor_wh(t);
            let after = (stored - drain) * kept;
            if after < floor {
                let share = ((stored - floor) / (stored - after)).clamp(0.0, 1.0);
                #[allow(clippy::cast_precision_loss, reason = "hours of a year are far below 2^53")]
                return Some((k as f64 + share) / 24.0);
            }
            stored = after;
        }
        #[allow(clippy::cast_precision_loss, reason = "a small constant")]
        Some(LONGEST_DAYS as f64)
    };
    let mut all: Vec<(f64, usize)> = (0..n / HOURS_PER_DAY)
        .filter(|day| pump_wh[day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY].iter().any(|e| *e > 0.0))
        .filter_map(|day| Some((from(day * HOURS_PER_DAY)?, day)))
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let (worst, median) = (all.first()?, all.get(all.len() / 2)?);
    Some(BatteryDays { worst_days: worst.0, worst_from_day: worst.1, median_days: median.0 })
}
