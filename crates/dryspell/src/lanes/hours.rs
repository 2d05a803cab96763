//! A day in which some lane may run dry, hour by hour, with thirst and the counters of dry and idle hours.

use super::LANES;
use super::block::Block;
use super::course::{Day, Hour};

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
            (_, _, true) => hour::<true, true, true, BAND, COUNT>(block, h),
            (true, true, false) => hour::<true, true, false, BAND, COUNT>(block, h),
            (true, false, false) => hour::<true, false, false, BAND, COUNT>(block, h),
            (false, true, false) => hour::<false, true, false, BAND, COUNT>(block, h),
            (false, false, false) => hour::<false, false, false, BAND, COUNT>(block, h),
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

/// Steps 1 to 5 of the hour. The level never starts above the stop, so what lies above it afterwards is this hour's inflow.
#[inline(always)]
fn hour<const INFLOW: bool, const LOSS: bool, const GARDEN: bool, const BAND: bool, const COUNT: bool>(
    block: &mut Block,
    hour: &Hour,
) {
    let Hour { available, requested, garden, evaporation, loss } = *hour;
    let sums = &mut block.recent;
    for i in 0..LANES {
        let x = block.level[i];
        let inflow = if INFLOW { if BAND { available & block.permits[i] } else { available } } else { 0 };
        let at_hand = x + inflow;
        // min(x⁺ + Q, (−x)⁺ + W), whichever side of zero x is.
        let drawn = at_hand.min(requested) - x.min(0);
        let mut x = at_hand - requested;
        if COUNT {
            sums.drawn[i] += drawn;
            if INFLOW {
                sums.inflow[i] += inflow;
            }
        }
        if GARDEN {
            let to_spare = (x - block.reserve[i]).max(0);
            let given = garden.min(to_spare);
            x -= given;
            if COUNT {
                sums.garden[i] += given;
                sums.garden_short[i] += (garden - to_spare).max(0);
            }
        }
        if LOSS {
            let there = x.max(0);
            let lost = there.min(loss);
            x -= lost;
            if COUNT {
                sums.evaporated[i] += there.min(evaporation);
                sums.lost[i] += lost;
            }
        }
        if INFLOW {
            if COUNT {
                sums.over[i] += (x - block.stop[i]).max(0);
            }
            x = x.min(block.stop[i]);
        }
        if BAND {
            block.permits[i] = float(block.permits[i], x, x, block.stop[i], block.above_start[i]);
        }
        block.level[i] = x;
        if COUNT {
            block.empty_bits[i] = block.empty_bits[i] << 1 | sign(x - 1);
            block.drawn_bits[i] = block.drawn_bits[i] << 1 | sign(-drawn);
            block.owes_bits[i] = block.owes_bits[i] << 1 | sign(x);
        }
    }
}

/// Step 5: stays on unless the stop was reached, comes on at or below the start level.
#[inline(always)]
pub(super) fn float(permits: i32, highest: i32, end: i32, stop: i32, above_start: i32) -> i32 {
    ((permits & (highest - stop)) | (end - above_start)) >> (i32::BITS - 1)
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
        let x = block.level[i];
        block.short_today[i] += (-x).max(0);
        block.level[i] = x.max(0);
    }
}
