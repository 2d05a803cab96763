//! How long the tank lasts at the levels of the run.

use super::percentile::{percentile, ranks};
use super::{Autonomy, PER_DAY, hours_of};
use std::ops::RangeInclusive;

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
    /// Of the days from each hour that counts; `None` when none does.
    pub(crate) fn of_days(mut days: Vec<f64>) -> Option<Self> {
        days.sort_unstable_by(f64::total_cmp);
        let at = |p: f64| percentile(&days, p);
        Some(Self { min: at(0.0)?, p05: at(0.05)?, median: at(0.5)? })
    }

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
