//! Tanks side by side: each quantity is a row with a lane for each tank.

use std::ops::{Index, IndexMut};

use super::course::{Day, Days, MOST, volume};
use super::{Course, LANES, Lane};
use crate::draw::Carry;
use crate::grid;
use crate::reliability::counters::{self, Counts, Ends, Spell};
use crate::reliability::groups::HourRuns;
use crate::tank::hour::Levels;
use crate::tank::ledger::{State, Tanks, Totals};

/// One quantity of all lanes, laid out as the machine's registers like it.
#[derive(Debug, Clone, Copy)]
#[repr(align(64))]
pub(super) struct Row<T>(pub(super) [T; LANES]);

impl<T: Copy> Row<T> {
    pub(super) fn of(value: T) -> Self {
        Self([value; LANES])
    }
}

impl<T> Index<usize> for Row<T> {
    type Output = T;

    #[inline(always)]
    fn index(&self, lane: usize) -> &T {
        &self.0[lane]
    }
}

impl<T> IndexMut<usize> for Row<T> {
    #[inline(always)]
    fn index_mut(&mut self, lane: usize) -> &mut T {
        &mut self.0[lane]
    }
}

/// A tank that fits a lane.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Tank {
    pub(super) stop: i32,
    /// Level at or below which the float opens: the stop where it only holds the level.
    start: i32,
    reserve: i32,
    level: i32,
    /// −1 while the float lets the pump run, 0 while not.
    permits: i32,
    /// Water at the start, or thirst.
    at_start: i32,
    pub(super) carries: bool,
    /// Whether the float ever keeps the pump off.
    pub(super) band: bool,
}

impl Tank {
    /// `None` for a tank that the integers cannot hold, or that starts above its stop.
    pub(super) fn new(tanks: &Tanks<1>, start: &State<1>, days: &Days) -> Option<Self> {
        let stop = volume(tanks.stop_m3[0])?;
        let level_m3 = start.level_m3[0];
        let at_start = volume(level_m3.abs())?;
        let owed = if level_m3 < 0.0 { at_start } else { 0 };
        // The largest difference is from the highest reserve down to the deepest thirst.
        let span = stop.checked_add(owed)?.checked_add(days.reach.checked_mul(2)?)?;
        if span > MOST || level_m3 > tanks.stop_m3[0] {
            return None;
        }
        let band = tanks.start_m3[0] < tanks.stop_m3[0];
        // No level is ever above the stop and an hour's inflow: a higher reserve is the same as that.
        let highest = grid::STEP_M3 * f64::from(stop + days.reach);
        let reserve = if tanks.reserve_m3[0] > highest { highest } else { tanks.reserve_m3[0] };
        Some(Self {
            stop,
            start: if band { volume(tanks.start_m3[0])? } else { stop },
            reserve: volume(reserve)?,
            level: if level_m3 < 0.0 { -at_start } else { at_start },
            permits: if start.permits[0] { -1 } else { 0 },
            at_start,
            carries: tanks.carry == Carry::WithinDay,
            band: band || !start.permits[0],
        })
    }
}

/// [`LANES`] tanks with one rule for carrying thirst: what they hold, what went through them, and their counts.
#[derive(Debug)]
pub(super) struct Block {
    pub(super) level: Row<i32>,
    pub(super) permits: Row<i32>,
    pub(super) stop: Row<i32>,
    pub(super) start: Row<i32>,
    pub(super) reserve: Row<i32>,
    pub(super) carries: bool,
    pub(super) band: bool,

    /// Sums since they were last moved to `wide`.
    pub(super) recent: Sums<i32>,
    wide: Sums<i64>,
    /// Bound of what `recent` can hold by now.
    pending: i32,
    /// Bound of what it can hold before the first hour.
    before: i32,
    /// The same for all lanes, of days on which none ran dry.
    pub(super) shared: CommonSums,

    pub(super) short_today: Row<i32>,
    /// Hours of the day in which the tank ends empty, gives something, ends owing; the first hour highest.
    pub(super) empty_bits: Row<u32>,
    pub(super) drawn_bits: Row<u32>,
    pub(super) owes_bits: Row<u32>,
    pub(super) tally: Tally,
}

/// Sums by lane.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sums<T> {
    pub(super) inflow: Row<T>,
    pub(super) over: Row<T>,
    pub(super) drawn: Row<T>,
    pub(super) evaporated: Row<T>,
    pub(super) lost: Row<T>,
    pub(super) garden: Row<T>,
    pub(super) garden_short: Row<T>,
    pub(super) short: Row<T>,
}

impl<T: Copy> Sums<T> {
    fn of(value: T) -> Self {
        let row = Row::of(value);
        Self {
            inflow: row,
            over: row,
            drawn: row,
            evaporated: row,
            lost: row,
            garden: row,
            garden_short: row,
            short: row,
        }
    }
}

/// Sums that are the same for every lane.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct CommonSums {
    pub(super) drawn: i64,
    pub(super) evaporated: i64,
    pub(super) lost: i64,
    pub(super) available: i64,
    pub(super) requested: i64,
    pub(super) garden_requested: i64,
    pub(super) stock_days: u32,
}

impl CommonSums {
    /// What a day brings every lane, wet or dry.
    #[inline(always)]
    pub(super) fn add(&mut self, day: &Day) {
        self.available += i64::from(day.available);
        self.requested += i64::from(day.requested);
        self.garden_requested += i64::from(day.garden);
        self.stock_days += u32::from(day.stock);
    }
}

/// What the counters keep. Days are indices into the record, −1 for none.
#[derive(Debug)]
pub(super) struct Tally {
    pub(super) dry_hours: Row<i32>,
    /// The runs of each group of the herd.
    pub(super) dry: Vec<Run>,
    pub(super) idle: Vec<Run>,
    pub(super) shortfall_days: Row<i32>,
    pub(super) spells: Row<i32>,
    pub(super) spell_days: Row<i32>,
    pub(super) longest_spell: Row<i32>,
    pub(super) spell_began: Row<i32>,
    pub(super) spell_short_m3: Row<f64>,
    pub(super) haul_m3: Row<f64>,
    pub(super) haul_by: Row<i32>,
    pub(super) worst: Row<f64>,
    pub(super) worst_day: Row<i32>,
    /// Whether any lane is in a spell.
    pub(super) in_spell: bool,
    /// Days counted.
    pub(super) days: i32,
    /// Not 0 where some hour ended owing water.
    pub(super) ran_dry: Row<u32>,
    /// Behind troughs: what the tanks lacked, by day.
    pub(super) lacked: Vec<(usize, Row<i32>)>,
    /// The spell that begins with the first day counted.
    pub(super) first_spell_days: Row<i32>,
    pub(super) first_spell_short_m3: Row<f64>,
    /// Whether any lane is still in it.
    pub(super) first_spell_goes_on: bool,
}

/// Runs of hours of one kind.
#[derive(Debug)]
pub(super) struct Run {
    /// That which goes on.
    pub(super) now: Row<i32>,
    /// That which begins with the first hour counted.
    pub(super) first: Row<i32>,
    /// Whether any lane is still in it.
    pub(super) first_goes_on: bool,
    pub(super) longest: Row<i32>,
}

impl Run {
    fn new() -> Self {
        let none = Row::of(0);
        Self { now: none, first: none, first_goes_on: true, longest: none }
    }

    /// Of a lane.
    fn hours(&self, lane: usize) -> HourRuns {
        let of = |row: &Row<i32>| row[lane].unsigned_abs();
        HourRuns { first: of(&self.first), now: of(&self.now), longest: of(&self.longest) }
    }
}

impl Block {
    /// Fills the lanes; lanes left over repeat the last tank. `None` without a tank.
    pub(super) fn new(tanks: &[Tank], groups: usize) -> Option<Self> {
        let last = tanks.last()?;
        let row = |of: fn(&Tank) -> i32| Row(std::array::from_fn(|i| of(tanks.get(i).unwrap_or(last))));
        // What is drawn can exceed what is requested by what was owed before; what is there never exceeds stop or start.
        let before = tanks.iter().map(|tank| tank.stop.max(tank.at_start)).max().unwrap_or(0);
        let none = Row::of(0);
        Some(Self {
            level: row(|t| t.level),
            permits: row(|t| t.permits),
            stop: row(|t| t.stop),
            start: row(|t| t.start),
            reserve: row(|t| t.reserve),
            carries: last.carries,
            band: tanks.iter().any(|tank| tank.band),
            recent: Sums::of(0),
            wide: Sums::of(0),
            pending: before,
            before,
            shared: CommonSums::default(),
            short_today: none,
            empty_bits: Row::of(0),
            drawn_bits: Row::of(0),
            owes_bits: Row::of(0),
            tally: Tally {
                dry_hours: none,
                dry: (0..groups).map(|_| Run::new()).collect(),
                idle: (0..groups).map(|_| Run::new()).collect(),
                shortfall_days: none,
                spells: none,
                spell_days: none,
                longest_spell: none,
                spell_began: none,
                spell_short_m3: Row::of(0.0),
                haul_m3: Row::of(0.0),
                haul_by: Row::of(-1),
                worst: Row::of(0.0),
                worst_day: Row::of(-1),
                in_spell: false,
                days: 0,
                ran_dry: Row::of(0),
                lacked: Vec::new(),
                first_spell_days: none,
                first_spell_short_m3: Row::of(0.0),
                first_spell_goes_on: true,
            },
        })
    }

    /// Levels of a lane.
    #[inline(always)]
    pub(super) fn levels(&self, lane: usize) -> Levels<i32> {
        let stop = self.stop[lane];
        Levels { stop, start: self.start[lane], rim: stop, reserve: self.reserve[lane] }
    }

    /// Makes room in the recent sums for a day that moves at most `reach`.
    #[inline(always)]
    pub(super) fn make_room(&mut self, reach: i32) {
        if MOST - self.pending < reach {
            self.widen();
        }
        self.pending += reach;
    }

    #[inline(always)]
    pub(super) fn widen(&mut self) {
        let add = |wide: &mut Row<i64>, recent: &mut Row<i32>| {
            for i in 0..LANES {
                wide[i] += i64::from(recent[i]);
                recent[i] = 0;
            }
        };
        add(&mut self.wide.inflow, &mut self.recent.inflow);
        add(&mut self.wide.over, &mut self.recent.over);
        add(&mut self.wide.drawn, &mut self.recent.drawn);
        add(&mut self.wide.evaporated, &mut self.recent.evaporated);
        add(&mut self.wide.lost, &mut self.recent.lost);
        add(&mut self.wide.garden, &mut self.recent.garden);
        add(&mut self.wide.garden_short, &mut self.recent.garden_short);
        add(&mut self.wide.short, &mut self.recent.short);
        self.pending = self.before;
    }

    /// State of a lane.
    pub(super) fn state(&self, lane: usize) -> State<1> {
        State { level_m3: [m3(i64::from(self.level[lane]))], permits: [self.permits[lane] != 0] }
    }

    /// Volume short, m³, once the sums are wide.
    pub(super) fn short_m3(&self, lane: usize) -> f64 {
        m3(self.wide.short[lane])
    }

    /// All that a lane did, once the sums are wide.
    pub(super) fn lane(&self, lane: usize, float: bool, course: &Course<'_>) -> Lane {
        let (wide, shared, tally) = (&self.wide, &self.shared, &self.tally);
        let over = wide.over[lane];
        let (stopped_short, spilled) = if float { (over, 0) } else { (0, over) };
        let evaporated = wide.evaporated[lane] + shared.evaporated;
        let totals = Totals {
            available_m3: [m3(shared.available)],
            pumped_m3: [m3(wide.inflow[lane] - stopped_short)],
            requested_m3: [m3(shared.requested)],
            drawn_m3: [m3(wide.drawn[lane] + shared.drawn)],
            short_m3: [m3(wide.short[lane])],
            garden_requested_m3: [m3(shared.garden_requested)],
            garden_m3: [m3(wide.garden[lane])],
            garden_short_m3: [m3(wide.garden_short[lane])],
            curtailed_m3: [m3(shared.available - wide.inflow[lane] + stopped_short)],
            spilled_m3: [m3(spilled)],
            evaporated_m3: [m3(evaporated)],
            leaked_m3: [m3(wide.lost[lane] + shared.lost - evaporated)],
        };
        let count = |row: &Row<i32>| row[lane].unsigned_abs();
        let most = |runs: &[Run], of: &dyn Fn(&HourRuns) -> u32| {
            runs.iter().map(|run| of(&run.hours(lane))).max().unwrap_or(0)
        };
        let hours = 24 * tally.days.unsigned_abs();
        let counts = Counts {
            stock_days: shared.stock_days,
            shortfall_days: count(&tally.shortfall_days),
            spells: count(&tally.spells),
            longest_spell_days: count(&tally.longest_spell),
            dry_hours: count(&tally.dry_hours),
            longest_dry_hours: most(&tally.dry, &|run| run.longest),
            longest_nothing_drawn_hours: most(&tally.idle, &|run| run.longest),
            worst_day_short: tally.worst[lane],
            worst_day: usize::try_from(tally.worst_day[lane]).ok(),
            haul_m3: tally.haul_m3[lane],
            haul_by_day: usize::try_from(tally.haul_by[lane]).ok(),
        };
        let began = usize::try_from(tally.spell_began[lane]).unwrap_or(0);
        let ends = Ends {
            days: tally.days.unsigned_abs(),
            dry_hours: most(&tally.dry, &|run| run.around(hours)),
            idle_hours: most(&tally.idle, &|run| run.around(hours)),
            first_spell: Spell {
                days: count(&tally.first_spell_days),
                short_m3: tally.first_spell_short_m3[lane],
                ..Spell::default()
            },
            last_spell: Spell { days: count(&tally.spell_days), short_m3: tally.spell_short_m3[lane], began },
        };
        let mut days = counters::Days { counts, ends };
        if course.demand.has_troughs() {
            days.counts.stock_days = 0;
            days.ends.days = 0;
            let lacked = tally.lacked.iter().map(|(day, row)| (*day, m3(row[lane].into()))).collect();
            days = days.behind_troughs(lacked, course.demand, course.tolerance);
        }
        Lane {
            totals,
            counts: days.counts,
            ring: days.counts.joined(&days.ends),
            ran_dry: tally.ran_dry[lane] != 0,
            end: self.state(lane),
        }
    }
}

/// Steps of the grid in m³: exact below 2³³ m³.
#[expect(clippy::cast_precision_loss, reason = "sums of the grid stay below 2^53 steps")]
pub(super) fn m3(steps: i64) -> f64 {
    steps as f64 * grid::STEP_M3
}
