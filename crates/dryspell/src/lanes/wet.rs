//! A day in which no lane runs dry: draw and losses are had in full, so hours without inflow go by in one step, and
//! without a band and gardens the whole day is one clip.

use super::LANES;
use super::block::{Block, Row};
use super::course::{Clip, Day, Step};
use super::hours::float;

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
            Step::Garden(hour) => {
                garden::<BAND, COUNT, SURE>(
                    block,
                    hour.available,
                    hour.requested,
                    hour.garden,
                    hour.loss,
                    &mut low,
                );
            }
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

#[inline(always)]
fn inflow<const BAND: bool, const COUNT: bool, const SURE: bool>(
    block: &mut Block,
    available: i32,
    draw: i32,
    low: &mut Row<i32>,
) {
    for i in 0..LANES {
        let inflow = if BAND { available & block.permits[i] } else { available };
        let x = block.level[i] + inflow - draw;
        let end = x.min(block.stop[i]);
        if COUNT {
            block.recent.inflow[i] += inflow;
            block.recent.over[i] += x - end;
        }
        if BAND {
            block.permits[i] = float(block.permits[i], end, end, block.stop[i], block.above_start[i]);
        }
        block.level[i] = end;
        if !SURE {
            low[i] = low[i].min(end);
        }
    }
}

#[inline(always)]
fn rest<const BAND: bool, const SURE: bool>(block: &mut Block, first: i32, draw: i32, low: &mut Row<i32>) {
    for i in 0..LANES {
        let x = block.level[i];
        let end = x - draw;
        if BAND {
            // The level only falls: if it is at the stop at all, then in the first hour; at or below the start, in the last.
            block.permits[i] = float(block.permits[i], x - first, end, block.stop[i], block.above_start[i]);
        }
        block.level[i] = end;
        if !SURE {
            low[i] = low[i].min(end);
        }
    }
}

#[inline(always)]
fn garden<const BAND: bool, const COUNT: bool, const SURE: bool>(
    block: &mut Block,
    available: i32,
    requested: i32,
    garden: i32,
    loss: i32,
    low: &mut Row<i32>,
) {
    for i in 0..LANES {
        let inflow = if BAND { available & block.permits[i] } else { available };
        let x = block.level[i] + inflow - requested;
        let to_spare = (x - block.reserve[i]).max(0);
        let given = garden.min(to_spare);
        let x = x - given - loss;
        let end = x.min(block.stop[i]);
        if COUNT {
            block.recent.inflow[i] += inflow;
            block.recent.garden[i] += given;
            block.recent.garden_short[i] += (garden - to_spare).max(0);
            block.recent.over[i] += x - end;
        }
        if BAND {
            block.permits[i] = float(block.permits[i], end, end, block.stop[i], block.above_start[i]);
        }
        block.level[i] = end;
        if !SURE {
            low[i] = low[i].min(end);
        }
    }
}
