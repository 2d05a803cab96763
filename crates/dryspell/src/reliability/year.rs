//! The steady year and the tank year.

use std::ops::Range;

use crate::calendar::Calendar;
use crate::tank::ledger::{Flows, NoSink, State, Tanks, run};

/// Most passes of a one-year record before it is called not settled.
pub(crate) const MOST_PASSES: u32 = 20;

/// How a one-year record came to rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Steady {
    /// State at the start of the record in the pass that counts.
    pub start: State<1>,
    /// Passes gone through until level and float state repeated, or `MOST_PASSES`.
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

/// What the first month of the tank year is chosen by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StartsBy {
    /// The scheme names it.
    Scheme,
    /// The tank is most often full in it.
    MostOftenFull,
    /// The tank is never full: it begins with most water, and of months that begin alike has fewest days with stock.
    MostWater,
}

impl StartsBy {
    /// In words that follow "from 1 April, ".
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::Scheme => "as the scheme says",
            Self::MostOftenFull => "the month in which the tank is most often full",
            Self::MostWater => "the month that begins with most water, since the tank is full in no hour",
        }
    }
}

/// What is known of a day for choosing where the tank year begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayLevels {
    /// Hours at whose end the tank is full.
    pub full_hours: u32,
    /// Usable water at its start, m³.
    pub start_m3: f64,
    /// Whether stock draws on it.
    pub stock: bool,
}

/// The month (1 to 12) with whose first day the tank year starts, so that a winter is not cut in two: that in which the tank
/// is most often full; where it is never full, the one that begins with most water, and of those that begin alike the one
/// with the smallest share of days with stock. Ties go to the earliest in the calendar.
#[must_use]
pub fn first_month(calendar: &Calendar, seen: impl Fn(usize) -> DayLevels) -> (u8, StartsBy) {
    let mut full = [0_u32; 12];
    let mut all = [0_u32; 12];
    let mut stock = [0_u32; 12];
    let mut water_m3 = [0.0; 12];
    let mut firsts = [0_u32; 12];
    for (day, date) in calendar.days().iter().enumerate() {
        let month = usize::from(date.month) - 1;
        let seen = seen(day);
        all[month] += 1;
        full[month] += seen.full_hours;
        stock[month] += u32::from(seen.stock);
        if date.day == 1 {
            firsts[month] += 1;
            water_m3[month] += seen.start_m3;
        }
    }
    // Compared as fractions without dividing, so that ties are exact.
    let more = |counts: &[u32; 12], a: usize, b: usize| {
        u64::from(counts[a]) * u64::from(all[b]) > u64::from(counts[b]) * u64::from(all[a])
    };
    let best = |better: &dyn Fn(usize, usize) -> bool| {
        let held = (0..12).filter(|month| all[*month] > 0);
        let best = held.reduce(|best, month| if better(month, best) { month } else { best });
        u8::try_from(best.unwrap_or(0) + 1).unwrap_or(1)
    };
    if full.iter().any(|hours| *hours > 0) {
        return (best(&|a, b| more(&full, a, b)), StartsBy::MostOftenFull);
    }
    // Months that the record never begins come last.
    let mean =
        |month: usize| if firsts[month] == 0 { -1.0 } else { water_m3[month] / f64::from(firsts[month]) };
    let fuller = |a: usize, b: usize| {
        let (a_m3, b_m3): (f64, f64) = (mean(a), mean(b));
        match a_m3.total_cmp(&b_m3) {
            std::cmp::Ordering::Greater => true,
            std::cmp::Ordering::Less => false,
            std::cmp::Ordering::Equal => a_m3 >= 0.0 && more(&stock, b, a),
        }
    };
    (best(&fuller), StartsBy::MostWater)
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

#[cfg(test)]
mod tests {
    use super::*;

    const NOTHING: DayLevels = DayLevels { full_hours: 0, start_m3: 0.0, stock: true };

    #[test]
    fn the_year_begins_where_no_winter_is_cut() {
        let calendar = Calendar::year(2001);
        let month = |day: usize| calendar.days()[day].month;
        let full = |day: usize| DayLevels { full_hours: u32::from(month(day) == 7), ..NOTHING };
        assert_eq!(first_month(&calendar, full), (7, StartsBy::MostOftenFull));
        // Never full: September begins with most water.
        let some = |day: usize| DayLevels { start_m3: if month(day) == 9 { 3.0 } else { 2.0 }, ..NOTHING };
        assert_eq!(first_month(&calendar, some), (9, StartsBy::MostWater));
        // Never any water: stock is there from 20 October to 5 May; June is the first month without.
        let away = |day: usize| DayLevels { stock: !(124..292).contains(&day), ..NOTHING };
        assert_eq!(first_month(&calendar, away), (6, StartsBy::MostWater));
        assert_eq!(first_month(&calendar, |_| NOTHING), (1, StartsBy::MostWater));
    }
}
