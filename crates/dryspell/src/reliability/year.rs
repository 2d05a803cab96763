//! The steady year and the tank year.

use std::ops::Range;

use crate::calendar::Calendar;
use crate::tank::ledger::{Flows, NoSink, State, Tanks, run};

/// Most passes of a one-year record before it is called not settled.
pub const MOST_PASSES: u32 = 20;

/// How a one-year record came to rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Steady {
    /// State at the start of the record in the pass that counts.
    pub start: State<1>,
    /// Passes gone through until level and float state repeated, or [`MOST_PASSES`].
    pub passes: u32,
    /// Whether they repeated. If not, `start` is that of the driest pass.
    pub settled: bool,
}

/// Repeats a one-year record, starting full, until level and float state at its end equal those at its start.
///
/// # Equation
/// Pass `p+1` starts as pass `p` ended; settled when start and end of a pass are equal (exactly: volumes are on a
/// grid). At most 20 passes; then the pass with the largest volume short counts and the result says "not settled".
///
/// # Validity
/// For records of one year only. Where a year's draw exceeds its supply the tank settles at its yearly low.
#[must_use]
pub fn settle(tanks: &Tanks<1>, flows: &Flows) -> Steady {
    let mut state = tanks.full();
    let mut driest = (state, -1.0);
    for pass in 1..=MOST_PASSES {
        let start = state;
        let totals = run(tanks, flows, 0..flows.hours(), &mut state, &mut NoSink);
        if state == start {
            return Steady { start, passes: pass, settled: true };
        }
        if totals.short_m3[0] > driest.1 {
            driest = (start, totals.short_m3[0]);
        }
    }
    Steady { start: driest.0, passes: MOST_PASSES, settled: false }
}

/// The month (1 to 12) in which the tank is most often full: the tank year starts with its first day, so that a winter is
/// not cut in two. Ties go to the earliest in the calendar.
///
/// `full_hours` gives the hours of a day at whose end the tank is full.
#[must_use]
pub fn fullest_month(calendar: &Calendar, full_hours: impl Fn(usize) -> u32) -> u8 {
    let mut full = [0_u32; 12];
    let mut all = [0_u32; 12];
    for (day, date) in calendar.days().iter().enumerate() {
        let month = usize::from(date.month) - 1;
        all[month] += 1;
        full[month] += full_hours(day);
    }
    let mut best = 0;
    for month in 1..12 {
        // Compared as fractions without dividing, so that ties are exact.
        if u64::from(full[month]) * u64::from(all[best]) > u64::from(full[best]) * u64::from(all[month]) {
            best = month;
        }
    }
    u8::try_from(best + 1).unwrap_or(1)
}

/// A tank year of a record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TankYear {
    /// Its days, as indices into the record, in order. For a one-year record that wraps, two stretches.
    pub stretches: Vec<Range<usize>>,
    /// Whether it is a whole year; the ends of a record of many years are cut.
    pub whole: bool,
}

impl TankYear {
    /// Day indices in order.
    pub fn days(&self) -> impl Iterator<Item = usize> + '_ {
        self.stretches.iter().cloned().flatten()
    }
}

/// Cuts a record into tank years that begin on the first of `month`. A one-year record gives one, going round.
#[must_use]
pub fn tank_years(calendar: &Calendar, month: u8) -> Vec<TankYear> {
    let days = calendar.days();
    let starts: Vec<usize> =
        (0..days.len()).filter(|d| days[*d].month == month && days[*d].day == 1).collect();
    if calendar.is_one_year() {
        let first = starts.first().copied().unwrap_or(0);
        return vec![TankYear { stretches: vec![first..days.len(), 0..first], whole: true }];
    }
    let mut edges = starts;
    if edges.first() != Some(&0) {
        edges.insert(0, 0);
    }
    edges.push(days.len());
    edges
        .windows(2)
        .filter(|edge| edge[0] < edge[1])
        .map(|edge| TankYear {
            stretches: std::iter::once(edge[0]..edge[1]).collect(),
            whole: edge[1] - edge[0] >= 365 && days[edge[0]].month == month && days[edge[0]].day == 1,
        })
        .collect()
}
