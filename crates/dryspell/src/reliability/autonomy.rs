//! Autonomy: how many days the tank carries the herd when no water comes.

use crate::calendar::HOURS_PER_DAY;
use crate::tank::ledger::Flows;

/// Works out autonomy from any hour of a record and any level.
#[derive(Debug, Clone)]
pub struct Autonomy<'a> {
    flows: &'a Flows,
    wraps: bool,
    /// `taken[h]`: draw and losses of the hours before `h`, m³; one entry more than there are hours.
    taken_m3: Vec<f64>,
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

impl<'a> Autonomy<'a> {
    /// Prepares a record; `wraps` when it is one year that repeats.
    #[must_use]
    pub fn new(flows: &'a Flows, wraps: bool) -> Self {
        let mut sum = 0.0;
        let mut taken_m3 = Vec::with_capacity(flows.hours() + 1);
        taken_m3.push(0.0);
        for h in 0..flows.hours() {
            sum += flows.wanted_m3[h] + flows.evaporation_m3[h] + flows.leak_m3[h];
            taken_m3.push(sum);
        }
        Self { flows, wraps, taken_m3 }
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
        let n = self.flows.hours();
        if !self.draws_within_a_day(start) {
            return Days::NoDraw;
        }
        let year_m3 = self.taken_m3[n];
        // Whole years that the water outlasts need no search: the record repeats.
        let years = if self.wraps { (level_m3 / year_m3).floor() } else { 0.0 };
        let left_m3 = level_m3 - years * year_m3;
        let last = if self.wraps { start + 2 * n } else { n };
        // `Σ_{i<t} + W_t` never falls with t, so the first hour that exceeds can be found by halving.
        let exceeds = |t: usize| self.before(start, t) + self.flows.wanted_m3[t % n] > left_m3;
        let (mut low, mut high) = (start, last);
        while low < high {
            let middle = low.midpoint(high);
            if exceeds(middle) {
                high = middle;
            } else {
                low = middle + 1;
            }
        }
        // Losses stop when the tank is dry, so an hour without draw cannot be the one that is short.
        while low < last && self.flows.wanted_m3[low % n] <= 0.0 {
            low += 1;
        }
        if low >= last {
            return Days::OutlastsRecord;
        }
        let water = (left_m3 - self.before(start, low)).max(0.0);
        let share = water / self.flows.wanted_m3[low % n];
        #[allow(clippy::cast_precision_loss, reason = "hours of a record are far below 2^53")]
        let hours = (low - start) as f64 + years * n as f64 + share;
        #[allow(clippy::cast_precision_loss, reason = "24")]
        let per_day = HOURS_PER_DAY as f64;
        Days::Lasts(hours / per_day)
    }

    /// Draw and losses from the start of hour `start` to the start of hour `t`, m³, going round where the record wraps.
    fn before(&self, start: usize, t: usize) -> f64 {
        let n = self.flows.hours();
        #[allow(clippy::cast_precision_loss, reason = "a small count of years")]
        let rounds = (t / n) as f64 * self.taken_m3[n];
        rounds + self.taken_m3[t % n] - self.taken_m3[start]
    }

    fn draws_within_a_day(&self, start: usize) -> bool {
        let n = self.flows.hours();
        let end = start + HOURS_PER_DAY;
        if end <= n {
            return self.flows.wanted_m3[start..end].iter().any(|w| *w > 0.0);
        }
        let tail = self.flows.wanted_m3[start..].iter().any(|w| *w > 0.0);
        tail || (self.wraps && self.flows.wanted_m3[..(end - n).min(n)].iter().any(|w| *w > 0.0))
    }
}

/// The worst start hour of each month and of the year, from a full tank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FullTank {
    /// Days by month (January first); `None` where no start of that month counts.
    pub by_month: [Option<f64>; 12],
    /// The worst of them.
    pub worst: Option<f64>,
    /// Starts left out because the water outlasts the record.
    pub left_out: u32,
}

impl FullTank {
    /// Goes through every start hour. `month_of` gives the month (1 to 12) of an hour.
    #[must_use]
    pub fn of(autonomy: &Autonomy<'_>, full_m3: f64, month_of: impl Fn(usize) -> u8) -> Self {
        let mut found = Self { by_month: [None; 12], worst: None, left_out: 0 };
        for h in 0..autonomy.flows.hours() {
            match autonomy.from(h, full_m3) {
                Days::Lasts(days) => {
                    let month = &mut found.by_month[usize::from(month_of(h)) - 1];
                    *month = Some(month.map_or(days, |m| m.min(days)));
                    found.worst = Some(found.worst.map_or(days, |w| w.min(days)));
                }
                Days::OutlastsRecord => found.left_out += 1,
                Days::NoDraw => {}
            }
        }
        found
    }
}

/// Autonomy at the levels that the run really had.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InService {
    /// Smallest, days.
    pub min: f64,
    /// Fifth percentile, days.
    pub p05: f64,
    /// Median, days.
    pub median: f64,
}

impl InService {
    /// Goes through every hour with the level at its start, m³ (thirst counts as an empty tank). `None` when no hour
    /// counts.
    #[must_use]
    pub fn of(autonomy: &Autonomy<'_>, level_at_start_m3: &[f64]) -> Option<Self> {
        let mut days: Vec<f64> = level_at_start_m3
            .iter()
            .enumerate()
            .filter_map(|(h, level)| match autonomy.from(h, level.max(0.0)) {
                Days::Lasts(days) => Some(days),
                Days::OutlastsRecord | Days::NoDraw => None,
            })
            .collect();
        days.sort_by(f64::total_cmp);
        Some(Self { min: *days.first()?, p05: percentile(&days, 0.05)?, median: percentile(&days, 0.5)? })
    }
}

/// Percentile of sorted values, `p` from 0 to 1, by straight lines between order statistics: R. J. Hyndman and Y. Fan,
/// "Sample quantiles in statistical packages", Am. Stat. 50 (1996), definition 7. `None` for an empty slice.
#[must_use]
pub fn percentile(sorted: &[f64], p: f64) -> Option<f64> {
    let last = sorted.len().checked_sub(1)?;
    #[allow(clippy::cast_precision_loss, reason = "a record has far fewer hours than 2^53")]
    let at = p * last as f64;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 <= at <= last")]
    let below = (at.floor() as usize).min(last);
    let above = (below + 1).min(last);
    Some(sorted[below] + (at - at.floor()) * (sorted[above] - sorted[below]))
}
