//! How long an empty tank takes to fill while the herd drinks.

use crate::calendar::{Calendar, HOURS_PER_DAY};
use crate::tank::Settings;
use crate::tank::ledger::{Flows, Hour, Sink, Tanks, run};

/// Most days that are followed: after a year the same month comes again.
const MOST_DAYS: usize = 366;

/// The slowest filling of those that begin in a month.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Refill {
    /// Day of the record, from 0, at whose start the tank is empty.
    pub from_day: usize,
    /// Days until it is full, that of the start and that of the end included; `None` where a year is not enough.
    pub days: Option<u32>,
}

/// The slowest filling of an empty tank by calendar month of its start; every day of the record is tried as a start.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | n | days from the start of the first day to the end of the day on which the tank is full | days | 1 to 366 |
///
/// # Equation
/// The tank's ledger from empty, with the inflow, draw and losses of the record; full is the float's stop level, or the
/// overflow.
///
/// # Validity
/// A one-year record goes round; in a record of many years the slowest of all years counts, and starts that the record's
/// end cuts off say nothing. `None` for a month of which no start could be followed.
///
/// # Example
/// Two cubic metres come each day and one goes: ten cubic metres take nine days.
/// ```
/// use dryspell::calendar::Calendar;
/// use dryspell::reliability::refill::slowest_refills;
/// use dryspell::tank::{Settings, ledger::Flows};
/// let noon: Vec<f64> = (0..8760).map(|h| if h % 24 == 12 { 2.0 } else { 0.0 }).collect();
/// let evening: Vec<f64> = (0..8760).map(|h| if h % 24 == 20 { 1.0 } else { 0.0 }).collect();
/// let flows = Flows::lossless(&noon, &evening);
/// let found = slowest_refills(&Settings::open("main", 10.0), &flows, &Calendar::year(2001));
/// // At noon of the ninth day eight nights' gain and the day's own two cubic metres make ten.
/// assert!(found.iter().all(|month| month.and_then(|refill| refill.days) == Some(9)));
/// ```
///
/// # References
/// The definition is this project's.
#[must_use]
pub fn slowest_refills(settings: &Settings, flows: &Flows, calendar: &Calendar) -> [Option<Refill>; 12] {
    let tanks = Tanks::new([settings]);
    let [full_m3] = tanks.full_m3();
    let days = calendar.days();
    let mut slowest: [Option<Refill>; 12] = [None; 12];
    for (from_day, date) in days.iter().enumerate() {
        let kept = &mut slowest[usize::from(date.month) - 1];
        // Nothing is slower than never.
        if kept.is_some_and(|refill| refill.days.is_none()) {
            continue;
        }
        let mut state = tanks.empty();
        let mut highest = Highest(0.0);
        let last =
            if calendar.is_one_year() { from_day + MOST_DAYS } else { days.len().min(from_day + MOST_DAYS) };
        let filled = (from_day..last).position(|day| {
            let start = day % days.len() * HOURS_PER_DAY;
            run(&tanks, flows, start..start + HOURS_PER_DAY, &mut state, &mut highest);
            highest.0 >= full_m3
        });
        if filled.is_none() && last < from_day + MOST_DAYS {
            // Each later start would be cut off, too.
            break;
        }
        let taken = filled.and_then(|days| u32::try_from(days + 1).ok());
        if kept.is_none_or(|k| taken.is_none() || taken > k.days) {
            *kept = Some(Refill { from_day, days: taken });
        }
    }
    slowest
}

/// The highest level: at an hour's end, or before its draw where the tank ran over.
struct Highest(f64);

impl Sink<1> for Highest {
    fn hour(&mut self, _: usize, hour: &Hour<1>) {
        let refused = hour.curtailed_m3[0] + hour.spilled_m3[0];
        self.0 = self.0.max(if refused > 0.0 { f64::INFINITY } else { hour.level_m3[0] });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A pump that stands for the first fifteen days of the year: the slowest January start is the first, and a start on the
    /// last of December is slower than one on the first.
    #[test]
    fn every_day_is_tried() {
        let noon: Vec<f64> =
            (0..8760).map(|h| if h % 24 == 12 && h >= 15 * 24 { 5.0 } else { 0.0 }).collect();
        let flows = Flows::lossless(&noon, &vec![0.0; 8760]);
        let found = slowest_refills(&Settings::open("main", 10.0), &flows, &Calendar::year(2001));
        assert_eq!(found[0], Some(Refill { from_day: 0, days: Some(17) }));
        // Empty at the start of 31 December, its own noon, fifteen days without, one more noon.
        assert_eq!(found[11], Some(Refill { from_day: 364, days: Some(17) }));
        assert_eq!(found[5].and_then(|r| r.days), Some(2));
    }

    #[test]
    fn never_is_said() {
        let flows = Flows::lossless(&[0.0; 8760], &[0.1; 8760]);
        let found = slowest_refills(&Settings::open("main", 10.0), &flows, &Calendar::year(2001));
        assert!(found.iter().all(|m| m.is_some_and(|r| r.days.is_none())));
    }
}
