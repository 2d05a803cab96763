//! Autonomy: how many days the tank carries the herd when no water comes.

mod full_tank;
mod in_service;
mod percentile;

pub use full_tank::FullTank;
pub use in_service::InService;
pub use percentile::percentile;

use crate::calendar::HOURS_PER_DAY;
use crate::tank::ledger::Flows;

/// Works out autonomy from any hour of a record and any level.
///
/// What has been taken since the record began only rises, so the hour in which a tank runs dry depends on one number: its
/// level plus what had been taken when it began. A table over that number finds the hour in one look.
#[derive(Debug, Clone)]
pub struct Autonomy {
    wraps: bool,
    /// Hours of the record.
    hours: usize,
    /// `taken[h]`: draw and losses of the hours before `h`, m³; one entry more than there are hours.
    taken_m3: Vec<f64>,
    /// Whether stock draws in the 24 hours from each hour.
    draws: Vec<bool>,
    /// The hours with draw, in order.
    drinks: Vec<Drink>,
    /// For slices of equal volume: the first drink that exceeds the slice's lower edge.
    first: Vec<u32>,
    /// The hour of that drink; the record's end where none is left.
    first_hour: Vec<u32>,
    /// Slices in a cubic metre.
    per_m3: f64,
}

/// An hour with draw.
#[derive(Debug, Clone, Copy)]
struct Drink {
    hour: usize,
    /// Taken before it, m³.
    before_m3: f64,
    /// Its draw, m³.
    demand_m3: f64,
    /// Taken before it and its own draw, m³.
    with_m3: f64,
}

/// The days from one start hour, or why there are none.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Days {
    /// So many days until the draw first exceeds the usable water.
    Lasts(f64),
    /// The water outlasts the record (many years, no wrapping): the start is left out and counted.
    OutlastsRecord,
    /// No draw in the 24 hours from the start: the question has no meaning there.
    NoDraw,
}

impl Autonomy {
    /// Prepares a record; `wraps` when it is one year that repeats.
    #[must_use]
    pub fn new(flows: &Flows, wraps: bool) -> Self {
        let hours = flows.hours();
        let mut sum = 0.0;
        let mut taken_m3 = Vec::with_capacity(hours + 1);
        let mut drinks = Vec::with_capacity(hours);
        taken_m3.push(0.0);
        for hour in 0..hours {
            let demand_m3 = flows.requested_m3[hour];
            if demand_m3 > 0.0 {
                drinks.push(Drink { hour, before_m3: sum, demand_m3, with_m3: sum + demand_m3 });
            }
            sum += demand_m3 + flows.evaporation_m3[hour] + flows.leak_m3[hour];
            taken_m3.push(sum);
        }
        let slices = 2 * hours;
        #[allow(clippy::cast_precision_loss, reason = "hours of a record are far below 2^53")]
        let per_m3 = if sum > 0.0 { slices as f64 / sum } else { 0.0 };
        let (mut first, mut first_hour) = (Vec::with_capacity(slices + 1), Vec::with_capacity(slices + 1));
        let mut next = 0_u32;
        for slice in 0..=slices {
            #[allow(clippy::cast_precision_loss, reason = "slices of a record are far below 2^53")]
            let edge = slice as f64;
            // Rounding leaves out none that exceeds: multiplied, a larger volume never becomes the smaller one.
            while drinks.get(next as usize).is_some_and(|d: &Drink| d.with_m3 * per_m3 < edge) {
                next += 1;
            }
            let hour = drinks.get(next as usize).map_or(hours, |d| d.hour);
            first.push(next);
            first_hour.push(u32::try_from(hour).unwrap_or(u32::MAX));
        }
        let draws = draws_within_a_day(&flows.requested_m3, wraps);
        Self { wraps, hours, taken_m3, draws, drinks, first, first_hour, per_m3 }
    }

    /// Autonomy from the start of hour `start` with `level_m3` of usable water.
    ///
    /// # Units
    /// | symbol | name | unit | valid range |
    /// | --- | --- | --- | --- |
    /// | S | usable water at the start of the hour | m³ | ≥ 0 |
    /// | W, l | draw and losses of an hour | m³ | ≥ 0 |
    ///
    /// # Equation
    /// The first hour `t` with `W_t > S − Σ_{i<t}(W_i + l_i)`; days = (whole hours before it + the share of its draw
    /// that the water left still covers) / 24.
    ///
    /// # Validity
    /// No inflow, losses included, no carry-over of thirst, no tolerance. A start with no draw in its next 24 hours
    /// does not count.
    ///
    /// # Example
    /// A herd of 1 m³ a day, drawn evenly, and 3 m³: three days.
    /// ```
    /// use dryspell::{reliability::autonomy::{Autonomy, Days}, tank::ledger::Flows};
    /// let flows = Flows::lossless(&[0.0; 8760], &[0.25; 8760]);
    /// assert_eq!(Autonomy::new(&flows, true).from(0, 18.0), Days::Lasts(3.0));
    /// ```
    ///
    /// # References
    /// The definition is this project's; "days of autonomy" is the trade's term for the same idea with daily means.
    #[must_use]
    pub fn from(&self, start: usize, level_m3: f64) -> Days {
        if !self.draws[start] {
            return Days::NoDraw;
        }
        let (years, left_m3) = self.whole_years(level_m3);
        self.end(self.taken_m3[start] + left_m3).map_or(Days::OutlastsRecord, |end| {
            Days::Lasts((end - hours_of(start) + years * self.year_h()) / PER_DAY)
        })
    }

    /// Hours of the record, as a number.
    fn year_h(&self) -> f64 {
        hours_of(self.hours)
    }

    /// Whole years that the water outlasts, which need no search where the record repeats, and what is left then.
    fn whole_years(&self, level_m3: f64) -> (f64, f64) {
        let year_m3 = self.taken_m3[self.hours];
        if !self.wraps || level_m3 < year_m3 || year_m3 <= 0.0 {
            return (0.0, level_m3);
        }
        let years = (level_m3 / year_m3).floor();
        (years, level_m3 - years * year_m3)
    }

    /// When a tank is at an end of which level and what had been taken at its start come to `sum_m3`, in hours from the
    /// record's start, in whichever round; `None` when the record ends before it. Losses stop when the tank is dry: only an
    /// hour with draw can be the one that is short.
    fn end(&self, sum_m3: f64) -> Option<f64> {
        // In the third round the first drink is short: what was left has been lost by then.
        let rounds = if self.wraps { 3 } else { 1 };
        let (mut rest_m3, mut round_h) = (sum_m3, 0.0);
        for _ in 0..rounds {
            if let Some(drink) = self.exceeding(rest_m3) {
                let share = (rest_m3 - drink.before_m3).max(0.0) / drink.demand_m3;
                return Some(hours_of(drink.hour) + round_h + share);
            }
            rest_m3 -= self.taken_m3[self.hours];
            round_h += self.year_h();
        }
        None
    }

    /// The first drink that a tank cannot give.
    fn exceeding(&self, sum_m3: f64) -> Option<&Drink> {
        let from = self.first[self.slice(sum_m3)] as usize;
        self.drinks.get(from..)?.iter().find(|drink| drink.with_m3 > sum_m3)
    }

    /// The slice of a volume.
    fn slice(&self, sum_m3: f64) -> usize {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a cast ends at 0 and at the most"
        )]
        let slice = (sum_m3 * self.per_m3) as usize;
        slice.min(self.first.len() - 1)
    }
}

/// Hours of a day, as a number to divide by.
const PER_DAY: f64 = 24.0;

/// An hour of a record, or a count of hours, as a number.
fn hours_of(hours: usize) -> f64 {
    #[allow(clippy::cast_precision_loss, reason = "hours of a record are far below 2^53")]
    let hours = hours as f64;
    hours
}

/// Whether there is draw in the 24 hours from each hour.
pub(crate) fn draws_within_a_day(demand_m3: &[f64], wraps: bool) -> Vec<bool> {
    let n = demand_m3.len();
    let mut draws = vec![false; n];
    // Hours from here to the next draw; seen backwards, from a second round where the record repeats.
    let mut next = if wraps { demand_m3.iter().position(|w| *w > 0.0) } else { None };
    for h in (0..n).rev() {
        next = if demand_m3[h] > 0.0 { Some(0) } else { next.map(|hours| hours + 1) };
        draws[h] = next.is_some_and(|hours| hours < HOURS_PER_DAY);
    }
    draws
}

#[cfg(test)]
mod tests;
