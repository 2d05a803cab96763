//! How long an empty tank takes to fill while the herd drinks.

use crate::calendar::{Calendar, HOURS_PER_DAY};
use crate::tank::Settings;
use crate::tank::ledger::{Flows, Hour, Sink, Tanks, run};

/// Most days that are followed: after a year the same month comes again.
const MOST_DAYS: usize = 366;

/// Days from an empty tank to a full one, for starts on the first of each calendar month.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | n | days from the start of the first of the month to the end of the day on which the tank is full | days | 1 to 366 |
///
/// # Equation
/// The tank's ledger from empty, with the inflow, draw and losses of the record; full is the float's stop level, or the
/// overflow.
///
/// # Validity
/// A one-year record goes round; in a record of many years the slowest of all years counts. `None` where the tank is not
/// full within a year, or where the record ends before.
///
/// # Example
/// Two cubic metres come each day and one goes: ten cubic metres take ten days.
/// ```
/// use dryspell::calendar::Calendar;
/// use dryspell::reliability::refill::refill_days;
/// use dryspell::tank::{Settings, ledger::Flows};
/// let noon: Vec<f64> = (0..8760).map(|h| if h % 24 == 12 { 2.0 } else { 0.0 }).collect();
/// let evening: Vec<f64> = (0..8760).map(|h| if h % 24 == 20 { 1.0 } else { 0.0 }).collect();
/// let flows = Flows::lossless(&noon, &evening);
/// let days = refill_days(&Settings::open("main", 10.0), &flows, &Calendar::year(2001));
/// // At noon of the ninth day eight nights' gain and the day's own two cubic metres make ten.
/// assert_eq!(days, [Some(9); 12]);
/// ```
///
/// # References
/// The definition is this project's.
#[must_use]
pub fn refill_days(settings: &Settings, flows: &Flows, calendar: &Calendar) -> [Option<u32>; 12] {
    let tanks = Tanks::new([settings]);
    let [full_m3] = tanks.full_m3();
    let days = calendar.days();
    let mut slowest = [Some(0); 12];
    let mut seen = [false; 12];
    for (first, date) in days.iter().enumerate().filter(|(_, date)| date.day == 1) {
        let month = usize::from(date.month) - 1;
        let mut state = tanks.empty();
        let mut highest = Highest(0.0);
        let last = if calendar.is_one_year() { first + MOST_DAYS } else { days.len().min(first + MOST_DAYS) };
        let filled = (first..last).position(|day| {
            let start = day % days.len() * HOURS_PER_DAY;
            run(&tanks, flows, start..start + HOURS_PER_DAY, &mut state, &mut highest);
            highest.0 >= full_m3
        });
        // A start that the record's end cuts off says nothing, unless it is the only one.
        if filled.is_none() && last < first + MOST_DAYS && seen[month] {
            continue;
        }
        seen[month] = true;
        let taken = filled.and_then(|days| u32::try_from(days + 1).ok());
        slowest[month] = slowest[month].zip(taken).map(|(a, b): (u32, u32)| a.max(b));
    }
    std::array::from_fn(|month| slowest[month].filter(|_| seen[month]))
}

/// The highest level: at an hour's end, or before its draw where the tank ran over.
struct Highest(f64);

impl Sink<1> for Highest {
    fn hour(&mut self, _: usize, hour: &Hour<1>) {
        let refused = hour.turned_away_m3[0] + hour.spilled_m3[0];
        self.0 = self.0.max(if refused > 0.0 { f64::INFINITY } else { hour.level_m3[0] });
    }
}
