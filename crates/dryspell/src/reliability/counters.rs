//! Days of shortfall, spells, dry hours: counted as the hours go by.

use super::demand::Demand;
use super::groups::{HourRuns, TankDay};
use crate::calendar::HOURS_PER_DAY;
use crate::tank::ledger::{Hour, Sink};

/// The factor by which a day's share must exceed the worst yet to be the worst day: days that differ by the grid's
/// rounding alone are a tie, and the first counts.
pub(crate) const WORSE_BY: f64 = 1.0 + 1e-5;

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

/// The runs that touch the first and the last hour or day of the stretch that was watched. Where the stretch is a ring,
/// as a year that repeats is, they are one run.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Ends {
    /// Days watched.
    pub(crate) days: u32,
    /// Longest dry run of one group over the end.
    pub(crate) dry_hours: u32,
    /// Longest time over the end in which one group drinks nothing.
    pub(crate) idle_hours: u32,
    /// Days of shortfall at the beginning.
    pub(crate) first_spell: Spell,
    /// Days of shortfall at the end.
    pub(crate) last_spell: Spell,
}

/// A run of days of shortfall.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Spell {
    /// Its days.
    pub(crate) days: u32,
    /// Volume short in them, m³.
    pub(crate) short_m3: f64,
    /// Its first day, as an index into the record.
    pub(crate) began: usize,
}

impl Counts {
    /// The counts of the same stretch when its end joins its beginning: the run that begins it goes on from the one that
    /// ends it. A spell belongs to its first day, so the joined one to that of the last. Of spells with equal volumes the
    /// one that begins earliest in the record is kept.
    #[must_use]
    pub(crate) fn joined(mut self, ends: &Ends) -> Self {
        self.longest_dry_hours = self.longest_dry_hours.max(ends.dry_hours);
        self.longest_nothing_drawn_hours = self.longest_nothing_drawn_hours.max(ends.idle_hours);
        let (first, last) = (&ends.first_spell, &ends.last_spell);
        if first.days > 0 && last.days > 0 && first.days < ends.days {
            self.spells -= 1;
            self.longest_spell_days = self.longest_spell_days.max(first.days + last.days);
            let short_m3 = first.short_m3 + last.short_m3;
            if short_m3 > self.haul_m3 {
                self.haul_m3 = short_m3;
                self.haul_by_day = Some(last.began);
            }
        }
        self
    }
}

/// Days of shortfall, spells and the water to haul, counted day by day.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Days {
    pub(crate) counts: Counts,
    /// The beginning's runs, and at the end those that still go on.
    pub(crate) ends: Ends,
}

impl Days {
    /// Counts a day on which the tank lacked so much, m³.
    fn end_day(&mut self, day: usize, tank_short_m3: f64, demand: &Demand, tolerance: f64) {
        let stock_day = demand.is_stock_day(day);
        let demand_m3 = demand.demand_m3(day);
        let short_m3 = tank_short_m3 + demand.delivery_shortage_m3(day);
        let counts = &mut self.counts;
        counts.stock_days += u32::from(stock_day);
        let ends = &mut self.ends;
        ends.days += 1;
        let spell = &mut ends.last_spell;
        if demand.is_short_day(day, tank_short_m3, tolerance) {
            counts.shortfall_days += 1;
            if spell.days == 0 {
                counts.spells += 1;
                *spell = Spell { began: day, ..Spell::default() };
            }
            spell.days += 1;
            spell.short_m3 += short_m3;
            counts.longest_spell_days = counts.longest_spell_days.max(spell.days);
            if spell.short_m3 > counts.haul_m3 {
                counts.haul_m3 = spell.short_m3;
                counts.haul_by_day = Some(spell.began);
            }
            if spell.days == ends.days {
                ends.first_spell = *spell;
            }
        } else {
            spell.days = 0;
        }
        if stock_day && short_m3 > 0.0 {
            let share = short_m3 / demand_m3;
            if share > counts.worst_day_short * WORSE_BY {
                counts.worst_day = Some(day);
            }
            counts.worst_day_short = counts.worst_day_short.max(share);
        }
    }

    /// Counts days behind troughs, once it is known what the tank lacked on each of them: it may be short of a refill for the
    /// day before.
    #[must_use]
    pub(crate) fn behind_troughs(
        mut self,
        lacked: Vec<(usize, f64)>,
        demand: &Demand,
        tolerance: f64,
    ) -> Self {
        for (day, short_m3) in demand.short_on_its_day(lacked) {
            self.end_day(day, short_m3, demand, tolerance);
        }
        self
    }
}

/// Counts `N` tanks as their hours go by.
#[derive(Debug, Clone)]
pub struct Counters<'a, const N: usize> {
    demand: &'a Demand,
    tolerance: f64,
    lanes: [Lane; N],
}

#[derive(Debug, Clone, Default)]
struct Lane {
    days: Days,
    hours: u32,
    day_short_m3: f64,
    /// Whether any hour ended owing water, up to the last midnight.
    ran_dry: bool,
    /// The tank's day so far.
    tank: TankDay,
    /// The runs of each group.
    dry: Vec<HourRuns>,
    idle: Vec<HourRuns>,
    /// Behind troughs: what the tank lacked, by day.
    lacked: Vec<(usize, f64)>,
}

impl<'a, const N: usize> Counters<'a, N> {
    /// Counters for tanks that serve this demand. A day is short when its shortage exceeds `tolerance` (0 to 1) of that
    /// day's stock draw, or when a hydrant by itself is that short.
    #[must_use]
    pub fn new(demand: &'a Demand, tolerance: f64) -> Self {
        let none = vec![HourRuns::default(); demand.groups()];
        let lane = Lane { dry: none.clone(), idle: none, ..Lane::default() };
        Self { demand, tolerance, lanes: std::array::from_fn(|_| lane.clone()) }
    }

    /// The counts by lane, of a line: runs begin and end with the stretch.
    #[must_use]
    pub fn counts(&self) -> [Counts; N] {
        self.lanes.each_ref().map(|lane| self.days(lane).counts)
    }

    /// The counts by lane, of a ring: the stretch's end joins its beginning.
    #[must_use]
    pub fn ring(&self) -> [Counts; N] {
        self.lanes.each_ref().map(|lane| {
            let days = self.days(lane);
            days.counts.joined(&days.ends)
        })
    }

    /// By lane, whether any hour of the stretch ended owing water: something requested could not be given at once.
    #[must_use]
    pub fn ran_dry(&self) -> [bool; N] {
        self.lanes.each_ref().map(|lane| lane.ran_dry)
    }

    fn days(&self, lane: &Lane) -> Days {
        let mut days = lane.days;
        if self.demand.has_troughs() {
            days = days.behind_troughs(lane.lacked.clone(), self.demand, self.tolerance);
        }
        let most = |runs: &[HourRuns], of: &dyn Fn(&HourRuns) -> u32| runs.iter().map(of).max().unwrap_or(0);
        days.counts.longest_dry_hours = most(&lane.dry, &|run| run.longest);
        days.counts.longest_nothing_drawn_hours = most(&lane.idle, &|run| run.longest);
        days.ends.dry_hours = most(&lane.dry, &|run| run.around(lane.hours));
        days.ends.idle_hours = most(&lane.idle, &|run| run.around(lane.hours));
        days
    }
}

impl<const N: usize> Sink<N> for Counters<'_, N> {
    fn hour(&mut self, index: usize, hour: &Hour<N>) {
        let day = index / HOURS_PER_DAY;
        let midnight = index % HOURS_PER_DAY == HOURS_PER_DAY - 1;
        for (i, lane) in self.lanes.iter_mut().enumerate() {
            lane.tank.hour(hour.level_m3[i], hour.drawn_m3[i], hour.short_m3[i]);
            lane.day_short_m3 += hour.short_m3[i];
            if midnight {
                lane.end_day(day, self.demand, self.tolerance);
            }
        }
    }
}

impl Lane {
    fn end_day(&mut self, day: usize, demand: &Demand, tolerance: f64) {
        for ((group, dry), idle) in demand.groups_on(day).zip(&mut self.dry).zip(&mut self.idle) {
            dry.day(group.dry(&self.tank), self.hours);
            idle.day(group.idle(&self.tank), self.hours);
        }
        self.days.counts.dry_hours += demand.dry_hours(day, self.tank.empty);
        if demand.has_troughs() {
            self.lacked.push((day, self.day_short_m3));
        } else {
            self.days.end_day(day, self.day_short_m3, demand, tolerance);
        }
        self.hours += HOURS;
        self.ran_dry |= self.tank.owes != 0;
        self.day_short_m3 = 0.0;
        self.tank = TankDay::default();
    }
}

/// Hours of a day, as they are counted.
const HOURS: u32 = 24;
