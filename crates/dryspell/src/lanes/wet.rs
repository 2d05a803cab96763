//! A day in which no lane runs dry: draw and losses are had in full, so hours without inflow go by in one step, and
//! without a band and gardens the whole day is one clip.

use super::LANES;
use super::block::{Block, Row};
use super::course::{Clip, Day, Hour, Step};
use crate::tank::hour::{self, Losses, Met, Parts, float};

/// Tries the day. If some lane would have ended an hour with nothing left, the block is as before and the result is
/// `false`. `SURE`: the level at the start already says that no lane will.
#[inline(always)]
pub(super) fn pass<const BAND: bool, const COUNT: bool, const SURE: bool>(
    block: &mut Block,
    day: &Day,
    steps: &[Step],
) -> bool {
    if !BAND && let Some(clip) = &day.clip {
        return whole::<COUNT, SURE>(block, day, clip);
    }
    let before = (!SURE).then_some((block.level, block.permits, block.recent));
    let mut low = Row::of(i32::MAX);
    for step in steps {
        match *step {
            Step::Inflow { available, draw } => inflow::<BAND, COUNT, SURE>(block, available, draw, &mut low),
            Step::Rest { first, draw } => rest::<BAND, SURE>(block, first, draw, &mut low),
            Step::Garden(ref hour) => garden::<BAND, COUNT, SURE>(block, hour, &mut low),
        }
    }
    if let Some((level, permits, recent)) = before
        && least(&low) <= 0
    {
        block.level = level;
        block.permits = permits;
        block.recent = recent;
        return false;
    }
    true
}

/// The least of a row: first of sixteenths, which stays in wide registers where a plain loop is taken apart.
#[inline(always)]
pub(super) fn least(row: &Row<i32>) -> i32 {
    let mut few = [i32::MAX; 16];
    for chunk in row.0.as_chunks::<16>().0 {
        for i in 0..16 {
            few[i] = few[i].min(chunk[i]);
        }
    }
    few.into_iter().fold(i32::MAX, i32::min)
}

#[inline(always)]
fn whole<const COUNT: bool, const SURE: bool>(block: &mut Block, day: &Day, clip: &Clip) -> bool {
    if !SURE {
        let mut low = Row::of(0);
        for i in 0..LANES {
            low[i] = (block.level[i] + clip.low_sum).min(block.stop[i] + clip.low_top);
        }
        if least(&low) <= 0 {
            return false;
        }
    }
    for i in 0..LANES {
        let unclipped = block.level[i] + clip.sum;
        let most = block.stop[i] + clip.top;
        block.level[i] = unclipped.min(most);
        if COUNT {
            block.recent.over[i] += (unclipped - most).max(0);
            block.recent.inflow[i] += day.available;
        }
    }
    true
}

/// An hour with inflow and no garden, of which all that goes counts as requested.
#[inline(always)]
fn inflow<const BAND: bool, const COUNT: bool, const SURE: bool>(
    block: &mut Block,
    available: i32,
    draw: i32,
    low: &mut Row<i32>,
) {
    let parts =
        Parts { inflow: true, free: false, garden: false, losses: Losses::No, band: BAND, above_stop: false };
    let met = Met { available, free: 0, requested: draw, garden: 0, evaporation: 0, leak: 0 };
    one::<BAND, COUNT, SURE>(block, parts, met, low);
}

/// An hour in which gardens ask: losses come after them, but in full.
#[inline(always)]
fn garden<const BAND: bool, const COUNT: bool, const SURE: bool>(
    block: &mut Block,
    hour: &Hour,
    low: &mut Row<i32>,
) {
    let parts = Parts {
        inflow: true,
        free: false,
        garden: true,
        losses: Losses::InFull,
        band: BAND,
        above_stop: false,
    };
    one::<BAND, COUNT, SURE>(block, parts, hour.met(), low);
}

#[inline(always)]
fn one<const BAND: bool, const COUNT: bool, const SURE: bool>(
    block: &mut Block,
    parts: Parts,
    met: Met<i32>,
    low: &mut Row<i32>,
) {
    for i in 0..LANES {
        let passed = hour::hour(parts, block.levels(i), met, block.level[i], block.permits[i]);
        if COUNT {
            block.recent.inflow[i] += passed.inflow;
            block.recent.over[i] += passed.over;
            if parts.garden {
                block.recent.garden[i] += passed.garden;
                block.recent.garden_short[i] += passed.garden_short;
            }
        }
        if BAND {
            block.permits[i] = passed.permits;
        }
        block.level[i] = passed.level;
        if !SURE {
            low[i] = low[i].min(passed.level);
        }
    }
}

/// Hours without inflow and gardens, joined.
#[inline(always)]
fn rest<const BAND: bool, const SURE: bool>(block: &mut Block, first: i32, draw: i32, low: &mut Row<i32>) {
    for i in 0..LANES {
        let x = block.level[i];
        let end = x - draw;
        if BAND {
            // The level only falls: if it is at the stop at all, then in the first hour; at or below the start, in the last.
            block.permits[i] = float(block.permits[i], x - first, end, block.stop[i], block.start[i]);
        }
        block.level[i] = end;
        if !SURE {
            low[i] = low[i].min(end);
        }
    }
}
