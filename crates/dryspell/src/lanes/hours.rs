//! A day in which some lane may run dry, hour by hour, with thirst and the counters of dry and idle hours.

use super::LANES;
use super::block::Block;
use super::course::{Day, Hour};
use crate::tank::hour::{self, Losses, Parts};

/// The hours of a day, as [`crate::tank::ledger::run`] defines them, and midnight. Returns whether any lane was short.
///
/// `BAND`: some lane has a float that keeps the pump off. `COUNT`: with sums and counters, else level and shortage
/// alone. `each` sees every hour before anything owed is forgotten.
#[inline(always)]
pub(super) fn pass<const BAND: bool, const COUNT: bool>(
    block: &mut Block,
    day: &Day,
    mut each: impl FnMut(&Block, &Hour),
) -> bool {
    for h in &day.hours {
        // What is nothing for every lane is left out, by kind of hour.
        match (h.available > 0, h.loss > 0, h.garden > 0) {
            (_, _, true) => step::<true, true, true, BAND, COUNT>(block, h),
            (true, true, false) => step::<true, true, false, BAND, COUNT>(block, h),
            (true, false, false) => step::<true, false, false, BAND, COUNT>(block, h),
            (false, true, false) => step::<false, true, false, BAND, COUNT>(block, h),
            (false, false, false) => step::<false, false, false, BAND, COUNT>(block, h),
        }
        each(block, h);
        if !block.carries {
            book(block);
        }
    }
    book(block);
    let mut any = 0;
    for i in 0..LANES {
        block.recent.short[i] += block.short_today[i];
        any |= block.short_today[i];
    }
    any != 0
}

/// Steps 1 to 5 of the hour. The level never starts above the stop.
#[inline(always)]
fn step<const INFLOW: bool, const LOSS: bool, const GARDEN: bool, const BAND: bool, const COUNT: bool>(
    block: &mut Block,
    hour: &Hour,
) {
    let parts = Parts {
        inflow: INFLOW,
        free: false,
        garden: GARDEN,
        losses: if LOSS { Losses::AtMost } else { Losses::No },
        band: BAND,
        above_stop: false,
    };
    let met = hour.met();
    for i in 0..LANES {
        let passed = hour::hour(parts, block.levels(i), met, block.level[i], block.permits[i]);
        block.level[i] = passed.level;
        if BAND {
            block.permits[i] = passed.permits;
        }
        if COUNT {
            block.recent.drawn[i] += passed.drawn;
            if INFLOW {
                block.recent.inflow[i] += passed.inflow;
                block.recent.over[i] += passed.over;
            }
            if GARDEN {
                block.recent.garden[i] += passed.garden;
                block.recent.garden_short[i] += passed.garden_short;
            }
            if LOSS {
                block.recent.evaporated[i] += passed.evaporated;
                block.recent.lost[i] += passed.lost;
            }
            block.empty_bits[i] = block.empty_bits[i] << 1 | sign(passed.level - 1);
            block.drawn_bits[i] = block.drawn_bits[i] << 1 | sign(-passed.drawn);
            block.owes_bits[i] = block.owes_bits[i] << 1 | sign(passed.level);
        }
    }
}

/// 1 for a number below zero.
#[inline(always)]
fn sign(x: i32) -> u32 {
    x.cast_unsigned() >> (u32::BITS - 1)
}

/// Step 6: what is owed is booked as short and forgotten.
#[inline(always)]
fn book(block: &mut Block) {
    for i in 0..LANES {
        let (short, level) = hour::book(block.level[i]);
        block.short_today[i] += short;
        block.level[i] = level;
    }
}
