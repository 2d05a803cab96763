//! Days of shortfall, spells, dry hours: counted as the hours go by.

use super::demand::Demand;
use crate::calendar::HOURS_PER_DAY;
use crate::tank::ledger::{Hour, Sink};

/// The counts of one tank. Days and hours are those of the stretch that was watched.
///
/// # References
/// The terms are this project's definitions. Run-based drought accounting (runs of days below a demand) goes back to
/// V. Yevjevich, "An objective approach to definitions and investigations of continental hydrologic droughts",
/// Colorado State University Hydrology Paper 23 (1967), from memory.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Counts {
    /// Days with stock draw.
    pub stock_days: u32,
    /// Days with stock draw whose shortage exceeds the tolerance.
    pub shortfall_days: u32,
    /// Runs of consecutive days of shortfall.
    pub spells: u32,
    /// Days in the longest spell.
    pub longest_spell_days: u32,
    /// Hours that ended with no usable water in the tank, or with none before the animals at a hydrant, on days with
    /// stock draw.
    pub dry_hours: u32,
    /// Hours in the longest run of dry hours; midnight does not break it, a day without stock draw does.
    pub longest_dry_hours: u32,
    /// Hours in the longest run in which nothing was drawn (at a hydrant: nothing drunk), on days with stock draw. A herd that does not drink at night
    /// has its night here.
    pub longest_nothing_drawn_hours: u32,
    /// Largest share of a day's stock draw that was short, 0 to 1.
    pub worst_day_short: f64,
    /// The day on which that was, as an index into the record; `None` when no day was short.
    pub worst_day: Option<usize>,
    /// Volume short in the spell with the largest volume short, m³: the water to haul.
    pub haul_m3: f64,
    /// First day of that spell, by which the water must be there.
    pub haul_by_day: Option<usize>,
}

/// Counts `N` tanks as their hours go by.
#[derive(Debug, Clone)]
pub struct Counters<'a, const N: usize> {
    demand: &'a Demand,
    tolerance: f64,
    lanes: [Lane; N],
}

#[derive(Debug, Clone, Copy, Default)]
struct Lane {
    counts: Counts,
    day_short_m3: f64,
    day_dry_hours: u32,
    spell_days: u32,
    spell_short_m3: f64,
    spell_began: usize,
    dry_run: u32,
    idle_run: u32,
}

impl<'a, const N: usize> Counters<'a, N> {
    /// Counters for tanks that serve this demand. A day is short when its shortage exceeds `tolerance` (0 to 1) of that
    /// day's stock draw, or when a hydrant by itself is that short.
    #[must_use]
    pub fn new(demand: &'a Demand, tolerance: f64) -> Self {
        Self { demand, tolerance, lanes: [Lane::default(); N] }
    }

    /// The counts by lane.
    #[must_use]
    pub fn counts(&self) -> [Counts; N] {
        self.lanes.map(|lane| lane.counts)
    }
}

impl<const N: usize> Sink<N> for Counters<'_, N> {
    fn hour(&mut self, index: usize, hour: &Hour<N>) {
        let day = index / HOURS_PER_DAY;
        let stock_day = self.demand.is_stock_day(day);
        let midnight = index % HOURS_PER_DAY == HOURS_PER_DAY - 1;
        let on_the_way = self.demand.hour(index);
        for (i, lane) in self.lanes.iter_mut().enumerate() {
            let tank_empty = hour.level_m3[i] <= 0.0;
            let dry = stock_day && (tank_empty || on_the_way.dry);
            // Behind troughs the tank may rest while the herd drinks: there its rest counts only when it owes water.
            let tank_idle = hour.drawn_m3[i] <= 0.0 && (!on_the_way.troughs || hour.level_m3[i] < 0.0);
            let idle = stock_day && (tank_idle || on_the_way.idle);
            lane.day_short_m3 += hour.short_m3[i];
            lane.day_dry_hours += u32::from(dry);
            lane.dry_run = if dry { lane.dry_run + 1 } else { 0 };
            lane.idle_run = if idle { lane.idle_run + 1 } else { 0 };
            let counts = &mut lane.counts;
            counts.longest_dry_hours = counts.longest_dry_hours.max(lane.dry_run);
            counts.longest_nothing_drawn_hours = counts.longest_nothing_drawn_hours.max(lane.idle_run);
            if midnight {
                lane.end_day(day, self.demand, self.tolerance);
            }
        }
    }
}

impl Lane {
    fn end_day(&mut self, day: usize, demand: &Demand, tolerance: f64) {
        let stock_day = demand.is_stock_day(day);
        let wanted_m3 = demand.wanted_m3(day);
        let short_m3 = self.day_short_m3 + demand.short_on_the_way_m3(day);
        let counts = &mut self.counts;
        counts.stock_days += u32::from(stock_day);
        counts.dry_hours += self.day_dry_hours;
        let short_day = stock_day && demand.is_short_day(day, self.day_short_m3, tolerance);
        if short_day {
            counts.shortfall_days += 1;
            if self.spell_days == 0 {
                counts.spells += 1;
                self.spell_began = day;
                self.spell_short_m3 = 0.0;
            }
            self.spell_days += 1;
            self.spell_short_m3 += short_m3;
            counts.longest_spell_days = counts.longest_spell_days.max(self.spell_days);
            if self.spell_short_m3 > counts.haul_m3 {
                counts.haul_m3 = self.spell_short_m3;
                counts.haul_by_day = Some(self.spell_began);
            }
        } else {
            self.spell_days = 0;
        }
        if stock_day && short_m3 / wanted_m3 > counts.worst_day_short {
            counts.worst_day_short = short_m3 / wanted_m3;
            counts.worst_day = Some(day);
        }
        self.day_short_m3 = 0.0;
        self.day_dry_hours = 0;
    }
}
