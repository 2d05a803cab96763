//! Autonomy: how many days the tank carries the herd when no water comes.

use std::ops::RangeInclusive;

use crate::calendar::{Day, HOURS_PER_DAY};
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
fn draws_within_a_day(demand_m3: &[f64], wraps: bool) -> Vec<bool> {
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
    pub fn of(autonomy: &Autonomy, level_at_start_m3: impl Iterator<Item = f64>) -> Option<Self> {
        let mut slices = Slices::new(autonomy.hours);
        // While nothing flows in, the level falls by what is taken: the end stays the same.
        let mut known = (f64::NAN.to_bits(), None);
        let round_m3 = autonomy.taken_m3[autonomy.hours];
        for (start, level) in level_at_start_m3.take(autonomy.hours).enumerate() {
            if !autonomy.draws[start] {
                continue;
            }
            let level = level.max(0.0);
            let (years, left_m3) = if level < round_m3 { (0.0, level) } else { autonomy.whole_years(level) };
            let sum_m3 = autonomy.taken_m3[start] + left_m3;
            if sum_m3.to_bits() != known.0 {
                known = (sum_m3.to_bits(), autonomy.end(sum_m3));
            }
            if let Some(end) = known.1 {
                slices.add(end - hours_of(start) + years * autonomy.year_h());
            }
        }
        let last = slices.count.checked_sub(1)?;
        let [min, p05, median] = [0.0, 0.05, 0.5].map(|p| ranks(last, p));
        let found = slices.ranked([min.0..=min.0, p05.0..=p05.1, median.0..=median.1]);
        let [min, p05, median] = [min, p05, median].map(|(_, _, between)| between);
        let at = |i: usize, between: f64| (found[i].0 + between * (found[i].1 - found[i].0)) / PER_DAY;
        Some(Self { min: at(0, min), p05: at(1, p05), median: at(2, median) })
    }
}

/// Hours counted by the whole ones in them: enough order to find one by its rank without sorting all.
struct Slices {
    /// The values, as many as `count`.
    hours: Vec<f64>,
    count: usize,
    /// Values in each slice.
    within: Vec<u32>,
}

/// Slices of an hour; what lies beyond is in the last.
const SLICES: usize = 4096;

impl Slices {
    fn new(most: usize) -> Self {
        Self { hours: vec![0.0; most], count: 0, within: vec![0; SLICES] }
    }

    fn of(hours: f64) -> usize {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a cast ends at 0")]
        let slice = hours as usize;
        slice.min(SLICES - 1)
    }

    fn add(&mut self, hours: f64) {
        self.hours[self.count] = hours;
        self.count += 1;
        self.within[Self::of(hours)] += 1;
    }

    /// The values at the first and the last of each range of ranks; the ranks exist.
    fn ranked<const N: usize>(&self, ranks: [RangeInclusive<usize>; N]) -> [(f64, f64); N] {
        let places = ranks.each_ref().map(|ranks| (self.slice(*ranks.start()), self.slice(*ranks.end()).0));
        let mut near: [Vec<f64>; N] = std::array::from_fn(|_| Vec::new());
        for value in &self.hours[..self.count] {
            let slice = Self::of(*value);
            for (((first, _), last), near) in places.iter().zip(&mut near) {
                if (*first..=*last).contains(&slice) {
                    near.push(*value);
                }
            }
        }
        let mut found = [(0.0, 0.0); N];
        for (((found, near), ((_, before), _)), ranks) in
            found.iter_mut().zip(&mut near).zip(&places).zip(&ranks)
        {
            near.sort_unstable_by(f64::total_cmp);
            let at = |rank: usize| near.get(rank - before).copied().unwrap_or(f64::NAN);
            *found = (at(*ranks.start()), at(*ranks.end()));
        }
        found
    }

    /// The slice of a rank, and the number of values before that slice.
    fn slice(&self, rank: usize) -> (usize, usize) {
        let mut before = 0;
        for (slice, within) in self.within.iter().enumerate() {
            if before + *within as usize > rank {
                return (slice, before);
            }
            before += *within as usize;
        }
        (SLICES - 1, before)
    }
}

/// The order statistics on either side of percentile `p` of `last + 1` values, and how far it lies between them.
fn ranks(last: usize, p: f64) -> (usize, usize, f64) {
    #[allow(clippy::cast_precision_loss, reason = "a record has far fewer hours than 2^53")]
    let at = p * last as f64;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 <= at <= last")]
    let below = (at.floor() as usize).min(last);
    (below, (below + 1).min(last), at - at.floor())
}

/// Percentile of sorted values, `p` from 0 to 1, by linear interpolation between order statistics: R. J. Hyndman and Y. Fan,
/// "Sample quantiles in statistical packages", Am. Stat. 50 (1996), definition 7. `None` for an empty slice.
#[must_use]
pub fn percentile(sorted: &[f64], p: f64) -> Option<f64> {
    let (below, above, between) = ranks(sorted.len().checked_sub(1)?, p);
    Some(sorted[below] + between * (sorted[above] - sorted[below]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calendar::Calendar;
    use proptest::prelude::*;

    /// The definition, hour after hour.
    fn by_walking(flows: &Flows, wraps: bool, start: usize, level_m3: f64) -> Days {
        let n = flows.hours();
        let hour = |t: usize| if wraps { t % n } else { t };
        let draws = |t: usize| (wraps || t < n) && flows.requested_m3[hour(t)] > 0.0;
        if !(start..start + HOURS_PER_DAY).any(draws) {
            return Days::NoDraw;
        }
        let mut left_m3 = level_m3;
        for t in start.. {
            if !wraps && t >= n {
                break;
            }
            let h = hour(t);
            if flows.requested_m3[h] > left_m3 {
                let hours = f64::from(u32::try_from(t - start).unwrap());
                return Days::Lasts((hours + left_m3 / flows.requested_m3[h]) / 24.0);
            }
            left_m3 = (left_m3 - flows.requested_m3[h] - flows.evaporation_m3[h] - flows.leak_m3[h]).max(0.0);
        }
        Days::OutlastsRecord
    }

    fn any_flows(days: usize) -> impl Strategy<Value = Flows> {
        let hours = days * HOURS_PER_DAY;
        let volumes = move |most: f64| prop::collection::vec(prop_oneof![Just(0.0), 0.0..most], hours);
        let stock = prop::collection::vec(prop_oneof![2 => Just(1.0), 1 => Just(0.0)], days);
        (volumes(0.5), stock, volumes(0.05), 0.0..0.01_f64, any::<bool>()).prop_map(
            move |(demand, stock, air, leak, losses)| {
                let demand: Vec<f64> =
                    demand.iter().enumerate().map(|(h, w)| w * stock[h / HOURS_PER_DAY]).collect();
                let on = f64::from(u8::from(losses));
                let air: Vec<f64> = air.iter().map(|e| e * on).collect();
                Flows::new(&vec![0.0; hours], &demand, &air, &vec![leak * on; hours])
            },
        )
    }

    fn same(a: Days, b: Days) -> bool {
        match (a, b) {
            (Days::Lasts(a), Days::Lasts(b)) => (a - b).abs() < 1e-9,
            _ => a == b,
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

        #[test]
        fn a_look_in_the_table_equals_walking(flows in any_flows(21), wraps: bool, level in 0.0..90.0_f64) {
            let autonomy = Autonomy::new(&flows, wraps);
            let level = crate::grid::volume_m3(level);
            for start in 0..flows.hours() {
                let (found, walked) = (autonomy.from(start, level), by_walking(&flows, wraps, start, level));
                prop_assert!(same(found, walked), "hour {start}: {found:?}, walking {walked:?}");
            }
        }

        #[test]
        fn the_worst_starts_and_the_percentiles_are_those_of_all_hours(
            flows in any_flows(59), wraps: bool, full in 0.0..90.0_f64,
            levels in prop::collection::vec(-1.0..30.0_f64, 59 * 24),
        ) {
            let autonomy = Autonomy::new(&flows, wraps);
            let full = crate::grid::volume_m3(full);
            let calendar = Calendar::new(Calendar::year(2001).days()[..59].to_vec(), 0);
            let found = FullTank::of(&autonomy, full, calendar.days());
            let (mut by_month, mut left_out) = ([None::<f64>; 12], 0);
            for h in 0..flows.hours() {
                match autonomy.from(h, full) {
                    Days::Lasts(days) => {
                        let month = &mut by_month[usize::from(calendar.day_of(h).month) - 1];
                        *month = Some(month.map_or(days, |m| m.min(days)));
                    }
                    Days::OutlastsRecord => left_out += 1,
                    Days::NoDraw => {}
                }
            }
            prop_assert_eq!(found.by_month, by_month);
            prop_assert_eq!(found.left_out, left_out);

            let levels: Vec<f64> = levels.iter().map(|l| crate::grid::volume_m3(*l)).collect();
            let mut days: Vec<f64> = (0..flows.hours())
                .filter_map(|h| match autonomy.from(h, levels[h].max(0.0)) {
                    Days::Lasts(days) => Some(days),
                    _ => None,
                })
                .collect();
            days.sort_by(f64::total_cmp);
            let sorted = days.first().map(|min| InService {
                min: *min,
                p05: percentile(&days, 0.05).unwrap(),
                median: percentile(&days, 0.5).unwrap(),
            });
            let found = InService::of(&autonomy, levels.into_iter());
            prop_assert_eq!(found.is_some(), sorted.is_some());
            if let (Some(a), Some(b)) = (found, sorted) {
                for (a, b) in [(a.min, b.min), (a.p05, b.p05), (a.median, b.median)] {
                    prop_assert!((a - b).abs() < 1e-9, "{a}, sorted {b}");
                }
            }
        }
    }
}
