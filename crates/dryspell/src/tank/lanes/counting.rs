//! The counters at the end of a day, as [`crate::reliability::counters`] defines them, for all lanes at once.

use super::LANES;
use super::block::{Block, Row};
use super::course::{ALL_HOURS, Day, Runs};
use crate::calendar::HOURS_PER_DAY;
use crate::tank::grid;

/// A day on which no lane ran dry: its dry and idle hours are the same for all.
#[inline(always)]
pub(super) fn shared_hours(block: &mut Block, day: &Day) {
    let tally = &mut block.tally;
    follow(&mut tally.dry_run, &mut tally.longest_dry, day.dry);
    follow(&mut tally.idle_run, &mut tally.longest_idle, day.idle);
    if day.dry.count > 0 {
        for i in 0..LANES {
            tally.dry_hours[i] += day.dry.count;
        }
    }
}

#[inline(always)]
fn follow(run: &mut Row<i32>, longest: &mut Row<i32>, runs: Runs) {
    for i in 0..LANES {
        let first = run[i] + runs.lead;
        longest[i] = longest[i].max(first).max(runs.longest);
        run[i] = if runs.whole { first } else { runs.trail };
    }
}

/// A day of which each lane has its own dry and idle hours.
#[inline(always)]
pub(super) fn own_hours(block: &mut Block, day: &Day) {
    let counted = if day.stock { ALL_HOURS } else { 0 };
    let tally = &mut block.tally;
    let dry = |bits: u32| (bits | day.way_dry) & counted;
    let idle = |bits: u32| (bits | day.way_idle) & counted;
    for i in 0..LANES {
        tally.dry_hours[i] += dry(block.dry_bits[i]).count_ones().cast_signed();
        block.dry_bits[i] = dry(block.dry_bits[i]);
        block.idle_bits[i] = idle(block.idle_bits[i]);
    }
    runs(&mut tally.dry_run, &mut tally.longest_dry, &block.dry_bits);
    runs(&mut tally.idle_run, &mut tally.longest_idle, &block.idle_bits);
    block.dry_bits = Row::of(0);
    block.idle_bits = Row::of(0);
}

#[inline(always)]
fn runs(run: &mut Row<i32>, longest: &mut Row<i32>, flagged: &Row<u32>) {
    for i in 0..LANES {
        let bits = flagged[i];
        let lead = (!(bits << (32 - HOURS_PER_DAY))).leading_zeros().cast_signed();
        let trail = (!bits).trailing_zeros().cast_signed();
        let lead = lead.min(24);
        let first = run[i] + lead;
        longest[i] = longest[i].max(first).max(longest_run(bits));
        run[i] = if bits == ALL_HOURS { first } else { trail };
    }
}

/// Length of the longest run of ones among 24: halving the length that is still to be found.
#[inline(always)]
fn longest_run(bits: u32) -> i32 {
    // Bit k of `of_n` is set where a run of n begins at k and goes up.
    let of_2 = bits & (bits >> 1);
    let of_4 = of_2 & (of_2 >> 2);
    let of_8 = of_4 & (of_4 >> 4);
    let of_16 = of_8 & (of_8 >> 8);
    let (mut found, mut length) = (u32::MAX, 0_u32);
    for (at, more) in [(of_16, 16), (of_8, 8), (of_4, 4), (of_2, 2), (bits, 1)] {
        let longer = found & (at >> length);
        found = if longer != 0 { longer } else { found };
        length += if longer != 0 { more } else { 0 };
    }
    length.cast_signed()
}

/// Shortfall, spells, the worst day. `short`: some lane lacked something.
#[inline(always)]
pub(super) fn end_day(block: &mut Block, day: &Day, index: i32, short: bool) {
    if !short && !day.short_on_the_way() {
        if block.tally.in_spell {
            block.tally.spell_days = Row::of(0);
            block.tally.in_spell = false;
        }
        return;
    }
    let tally = &mut block.tally;
    let mut in_spell = false;
    let mut goes_on = Row::of(0);
    for i in 0..LANES {
        let is_short = block.short_today[i] >= day.least_short;
        let one = i32::from(is_short);
        let begins = is_short && tally.spell_days[i] == 0;
        goes_on[i] = if is_short && !begins { 1 } else { 0 };
        tally.shortfall_days[i] += one;
        tally.spells[i] += i32::from(begins);
        tally.spell_began[i] = if begins { index } else { tally.spell_began[i] };
        tally.spell_days[i] = if is_short { tally.spell_days[i] + 1 } else { 0 };
        tally.longest_spell[i] = tally.longest_spell[i].max(tally.spell_days[i]);
        in_spell |= is_short;
    }
    tally.in_spell = in_spell;
    for i in 0..LANES {
        let short_m3 = f64::from(block.short_today[i]) * grid::STEP_M3 + day.way_short_m3;
        if in_spell {
            let before = if goes_on[i] != 0 { tally.spell_short_m3[i] } else { 0.0 };
            let spell = before + short_m3;
            tally.spell_short_m3[i] = spell;
            let most = tally.spell_days[i] > 0 && spell > tally.haul_m3[i];
            tally.haul_m3[i] = if most { spell } else { tally.haul_m3[i] };
            tally.haul_by[i] = if most { tally.spell_began[i] } else { tally.haul_by[i] };
        }
        let share = short_m3 / day.wanted_m3;
        let worse = day.stock && share > tally.worst[i];
        tally.worst[i] = if worse { share } else { tally.worst[i] };
        tally.worst_day[i] = if worse { index } else { tally.worst_day[i] };
    }
    block.short_today = Row::of(0);
}
