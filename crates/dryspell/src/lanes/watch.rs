//! Many tanks through a record with every hour seen: its level, and whether the float held the pump.

use multiversion::multiversion;

use super::block::{Block, Row, m3};
use super::course::{Day, Days};
use super::{Course, LANES, Lane, arrange, block_of, blocks, counting, hours};
use crate::calendar::HOURS_PER_DAY;
use crate::grid;
use crate::supply::Limit;
use crate::tank::ledger::{State, Tanks};

/// Kinds of hours told apart.
const KINDS: usize = Limit::ALL.len();

/// What was seen of one tank.
#[derive(Debug)]
pub struct TankWatch<'a> {
    /// Its sums and counts.
    pub lane: Lane,
    /// Hours in which the float refused some or all of the water, in the order of [`Limit::ALL`].
    pub held: [u32; KINDS],
    start: State<1>,
    /// Level at each hour's end, in steps of the grid, before anything owed is forgotten.
    ends: &'a [i32],
    /// Whether the float lets the pump run at each day's start, a bit for each lane.
    permits: &'a [u64],
    lane_bit: u64,
}

impl TankWatch<'_> {
    /// Level at each hour's end, m³: usable water, or thirst below zero, before midnight forgets it.
    pub fn ends_m3(&self) -> impl Iterator<Item = f64> + '_ {
        self.ends.iter().map(|steps| f64::from(*steps) * grid::STEP_M3)
    }

    /// Hours of a day at whose end the tank holds at least so much.
    #[must_use]
    pub fn full_hours(&self, day: usize, full_m3: f64) -> u32 {
        let full = full_m3 * grid::STEPS_PER_M3;
        let ends = &self.ends[day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY];
        ends.iter().map(|end| u32::from(f64::from(*end) >= full)).sum()
    }

    /// State at a day's start.
    #[must_use]
    pub fn state_at(&self, day: usize) -> State<1> {
        let Some(before) = (day * HOURS_PER_DAY).checked_sub(1) else { return self.start };
        State {
            level_m3: [m3(i64::from(self.ends[before].max(0)))],
            permits: [self.permits[day] & self.lane_bit != 0],
        }
    }
}

/// Runs tanks through a whole course, each from its own state, and shows each to `seen` with its place in `tanks`; in any
/// order. `limits` are the hours of the supply. Tanks that do not fit lanes are left out, and their places returned.
pub fn watch(
    course: &Course<'_>,
    tanks: &[Tanks<1>],
    starts: &[State<1>],
    limits: &[Limit],
    mut seen: impl FnMut(usize, &TankWatch<'_>),
) -> Vec<usize> {
    let (order, alone) = arrange(course, tanks, starts);
    let Some(ready) = &course.days else { return alone };
    let all_hours = ready.days.len() * HOURS_PER_DAY;
    let mut notes = Notes {
        ends: vec![0; all_hours * LANES],
        permits: vec![0; ready.days.len()],
        held: [Row::of(0); KINDS],
    };
    for group in blocks(&order) {
        let Some(mut block) = block_of(course, group) else { continue };
        notes.held = [Row::of(0); KINDS];
        follow(&mut block, ready, limits, &mut notes);
        for (lane, (place, _)) in group.iter().enumerate() {
            let float = tanks[*place].float[0];
            seen(
                *place,
                &TankWatch {
                    lane: block.lane(lane, float, course),
                    // Without a float what was refused went over the top.
                    held: notes.held.map(|row| if float { row[lane].unsigned_abs() } else { 0 }),
                    start: starts[*place],
                    ends: &notes.ends[lane * all_hours..(lane + 1) * all_hours],
                    permits: &notes.permits,
                    lane_bit: 1 << lane,
                },
            );
        }
    }
    alone
}

/// What is written down on the way.
struct Notes {
    /// Levels, one lane after the other.
    ends: Vec<i32>,
    permits: Vec<u64>,
    held: [Row<i32>; KINDS],
}

#[multiversion(targets("x86_64+avx512f+avx512vl+avx512dq+avx2+fma", "x86_64+avx2+fma", "aarch64+neon"))]
fn follow(block: &mut Block, course: &Days, limits: &[Limit], notes: &mut Notes) {
    if block.band {
        days::<true>(block, course, limits, notes)
    } else {
        days::<false>(block, course, limits, notes)
    }
}

#[inline(always)]
fn days<const BAND: bool>(block: &mut Block, course: &Days, limits: &[Limit], notes: &mut Notes) {
    for ((index, day), limits) in (0_i32..).zip(&course.days).zip(limits.chunks(HOURS_PER_DAY)) {
        block.make_room(day.reach);
        let at = index.unsigned_abs() as usize;
        notes.permits[at] = (0..LANES).fold(0, |bits, i| bits | u64::from(block.permits[i] != 0) << i);
        let short = one_day::<BAND>(block, day, limits, at, notes);
        block.shared.add(day);
        counting::own_hours(block, day);
        counting::end_day(block, day, index, short);
    }
    block.widen();
}

#[inline(always)]
fn one_day<const BAND: bool>(
    block: &mut Block,
    day: &Day,
    limits: &[Limit],
    at: usize,
    notes: &mut Notes,
) -> bool {
    let mut ends = [Row::of(0); HOURS_PER_DAY];
    let (mut inflow, mut over) = (block.recent.inflow, block.recent.over);
    let mut hour = 0;
    let held = &mut notes.held;
    let short = hours::pass::<BAND, true>(block, day, |block, h| {
        ends[hour] = block.level;
        if h.available > 0 {
            let held = &mut held[limits[hour].place()];
            let (all_inflow, all_over) = (&block.recent.inflow, &block.recent.over);
            for i in 0..LANES {
                let kept = (all_inflow[i] - inflow[i]) - (all_over[i] - over[i]);
                held[i] += i32::from(kept < h.available);
            }
            (inflow, over) = (*all_inflow, *all_over);
        }
        hour += 1;
    });
    let stride = notes.ends.len() / LANES;
    for lane in 0..LANES {
        let place = lane * stride + at * HOURS_PER_DAY;
        for (to, row) in notes.ends[place..place + HOURS_PER_DAY].iter_mut().zip(&ends) {
            *to = row[lane];
        }
    }
    short
}
