//! Many tanks at once: the same inflow, the same herd, integers on the grid, a lane for each tank.
//!
//! The hour is the very function that [`crate::tank::ledger::run`] calls (`tank/hour`), in integers; what passes several hours in one
//! go is tested against those hours. The counts are those of
//! [`crate::reliability::counters`]; results are equal to theirs to the last bit. A record's inflow and draw are made
//! ready once as a [`Course`]; [`run`] takes any number of tanks through it, [`steady_year`] until each repeats.
//!
//! Tanks too large for the integers (level and two days' flow together over 2047 m³), volumes off the grid and tanks that
//! start above their stop go through the one-at-a-time ledger instead.

mod block;
mod counting;
mod course;
mod follow;
mod hours;
mod steady;
#[cfg(test)]
mod tests;
mod watch;
mod wet;

use std::ops::Range;

pub use course::Course;
pub use steady::{settle, steady_year};
pub use watch::{TankWatch, watch};

use block::{Block, Tank};
use follow::follow;

use crate::calendar::HOURS_PER_DAY;
use crate::reliability::counters::{Counters, Counts};
use crate::tank::ledger::{self, State, Tanks, Totals};

/// Tanks in a block.
const LANES: usize = 64;

/// What one tank did.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lane {
    /// Sums of every term.
    pub totals: Totals<1>,
    /// The counts, of a line: runs begin and end with the stretches.
    pub counts: Counts,
    /// The counts of a ring: the end of the last stretch joins the beginning of the first.
    pub ring: Counts,
    /// Whether any hour ended owing water: something requested could not be given at once. A tank that only ends an hour
    /// empty has given all.
    pub ran_dry: bool,
    /// State at the end.
    pub end: State<1>,
}

/// Runs tanks through stretches of days of a course, each from its own state. Results are in the order of the tanks.
///
/// # Units
/// As in [`crate::tank::ledger::run`].
///
/// # Equation
/// That of [`crate::tank::ledger::run`] and [`crate::reliability::counters`]. On days on which no lane of a block can end an
/// hour empty, draw and losses are had in full: hours without inflow add up to one step, and without band and gardens
/// the day composes to one clip, `x ← min(x + s, L + t)` with `s` the day's change and `t` the least sum of changes
/// after any hour of it.
///
/// # Validity
/// `days` are stretches of day indices of the course, met one after the other; counters go on from one stretch to the
/// next. One for each start and tank: surplus tanks or starts are left out.
///
/// # Example
/// A tank of 1 m³, full; a day without inflow in which 0.125 m³ is requested each hour: eight hours are served.
/// ```
/// use dryspell::reliability::demand::Demand;
/// use dryspell::{lanes, tank, tank::ledger};
/// let flows = ledger::Flows::lossless(&[0.0; 24], &[0.125; 24]);
/// let demand = Demand::at_tank(&flows.requested_m3);
/// let course = lanes::Course::new(&flows, &demand, 0.01);
/// let tanks = [1.0, 4.0].map(|m3| ledger::Tanks::new([&tank::Settings::open("main", m3)]));
/// let done = lanes::run(&course, &tanks, &tanks.map(|t| t.full()), &[0..1]);
/// assert_eq!(done[0].totals.drawn_m3, [1.0]);
/// assert_eq!(done[0].totals.short_m3, [2.0]);
/// assert_eq!(done[0].counts.dry_hours, 17);
/// assert_eq!(done[1].totals.short_m3, [0.0]);
/// ```
///
/// # References
/// Those of [`crate::tank::ledger::run`].
#[must_use]
pub fn run(course: &Course, tanks: &[Tanks<1>], starts: &[State<1>], days: &[Range<usize>]) -> Vec<Lane> {
    let mut results = vec![None; tanks.len().min(starts.len())];
    let (order, alone) = arrange(course, tanks, starts);
    for group in blocks(&order) {
        if let Some(mut block) = block_of(course, group)
            && let Some(ready) = &course.days
        {
            follow(&mut block, ready, days, true);
            for (lane, (index, _)) in group.iter().enumerate() {
                results[*index] = Some(block.lane(lane, tanks[*index].float[0], course));
            }
        }
    }
    for index in alone {
        results[index] = Some(one(course, &tanks[index], starts[index], days));
    }
    results.into_iter().flatten().collect()
}

/// One tank by the one-at-a-time ledger.
fn one(course: &Course, tank: &Tanks<1>, start: State<1>, days: &[Range<usize>]) -> Lane {
    let mut counters = Counters::<1>::new(course.demand, course.tolerance);
    let mut end = start;
    let mut totals = Totals::default();
    for days in days {
        let hours = days.start * HOURS_PER_DAY..days.end * HOURS_PER_DAY;
        totals.join(&ledger::run(tank, course.flows, hours, &mut end, &mut counters));
    }
    let ([counts], [ring], [ran_dry]) = (counters.counts(), counters.ring(), counters.ran_dry());
    Lane { totals, counts, ring, ran_dry, end }
}

/// Tanks that fit lanes, with their place, sorted so that neighbours run dry together; and the places of the others.
fn arrange(course: &Course, tanks: &[Tanks<1>], starts: &[State<1>]) -> (Vec<(usize, Tank)>, Vec<usize>) {
    let mut order = Vec::with_capacity(tanks.len());
    let mut alone = Vec::new();
    for (index, (tank, start)) in tanks.iter().zip(starts).enumerate() {
        match course.days.as_ref().and_then(|days| Tank::new(tank, start, days)) {
            Some(tank) => order.push((index, tank)),
            None => alone.push(index),
        }
    }
    order.sort_by_key(|(index, tank)| (tank.carries, tank.band, tank.stop, *index));
    (order, alone)
}

/// Blocks of tanks with one carry rule.
fn blocks(order: &[(usize, Tank)]) -> impl Iterator<Item = &[(usize, Tank)]> {
    order.chunk_by(|a, b| a.1.carries == b.1.carries).flat_map(|same| same.chunks(LANES))
}

fn block_of(course: &Course<'_>, group: &[(usize, Tank)]) -> Option<Block> {
    let tanks: Vec<Tank> = group.iter().map(|(_, tank)| *tank).collect();
    Block::new(&tanks, course.demand.groups())
}
