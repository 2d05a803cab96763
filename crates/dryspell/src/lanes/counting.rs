//! The counters at the end of a day, as [`crate::reliability::counters`] defines them, for all lanes at once.

use super::LANES;
use super::block::{Block, Row, Run};
use super::course::{Day, Runs};
use crate::grid;
use crate::reliability::counters::WORSE_BY;
use crate::reliability::groups::{ALL_HOURS, TankDay, lead, longest_run, trail};

/// A day on which no lane ran dry: its dry and idle hours are the same for all.
#[inline(always)]
pub(super) fn shared_hours(block: &mut Block, day: &Day) {
    let tally = &mut block.tally;
    for ((group, dry), idle) in day.groups.iter().zip(&mut tally.dry).zip(&mut tally.idle) {
        shared(dry, group.dry, tally.days);
        shared(idle, group.idle, tally.days);
    }
    if day.dry_hours > 0 {
        for i in 0..LANES {
            tally.dry_hours[i] += day.dry_hours;
        }
    }
}

/// `before`: days counted before this one.
#[inline(always)]
fn shared(run: &mut Run, runs: Runs, before: i32) {
    if run.first_goes_on {
        first(run, before, |_| runs.lead);
    }
    let (now, longest) = (&mut run.now, &mut run.longest);
    for i in 0..LANES {
        let joined = now[i] + runs.lead;
        longest[i] = longest[i].max(joined).max(runs.longest);
        now[i] = if runs.whole { joined } else { runs.trail };
    }
}

/// A day of which each lane has its own dry and idle hours, and perhaps hours that end owing water. On all other days each
/// lane ends each hour with water.
#[inline(always)]
pub(super) fn own_hours(block: &mut Block, day: &Day) {
    let tally = &mut block.tally;
    let mut any_dry = Row::of(0_u32);
    for ((group, dry_run), idle_run) in day.groups.iter().zip(&mut tally.dry).zip(&mut tally.idle) {
        let (mut dry, mut idle) = (Row::of(0), Row::of(0));
        for i in 0..LANES {
            let owes = block.owes_bits[i];
            let tank = TankDay {
                empty: block.empty_bits[i],
                drawn: block.drawn_bits[i],
                owes,
                carried: if block.carries { owes } else { 0 },
            };
            dry[i] = group.day.dry(&tank);
            idle[i] = group.day.idle(&tank);
            any_dry[i] |= dry[i];
        }
        own(dry_run, &dry, tally.days);
        own(idle_run, &idle, tally.days);
    }
    for i in 0..LANES {
        tally.dry_hours[i] += any_dry[i].count_ones().cast_signed();
        tally.ran_dry[i] |= block.owes_bits[i];
    }
    block.empty_bits = Row::of(0);
    block.drawn_bits = Row::of(0);
    block.owes_bits = Row::of(0);
}

#[inline(always)]
fn own(run: &mut Run, flagged: &Row<u32>, before: i32) {
    if run.first_goes_on {
        first(run, before, |i| lead(flagged[i]).cast_signed());
    }
    let (now, longest) = (&mut run.now, &mut run.longest);
    for i in 0..LANES {
        let bits = flagged[i];
        let trail = trail(bits).cast_signed();
        let joined = now[i] + lead(bits).cast_signed();
        longest[i] = longest[i].max(joined).max(longest_run(bits).cast_signed());
        now[i] = if bits == ALL_HOURS { joined } else { trail };
    }
}

/// Takes the run that begins with the first hour counted one day on, in the lanes in which it still goes on.
#[inline(always)]
fn first(run: &mut Run, before: i32, lead: impl Fn(usize) -> i32) {
    let all = before * 24;
    let mut goes_on = false;
    for i in 0..LANES {
        run.first[i] += if run.first[i] == all { lead(i) } else { 0 };
        goes_on |= run.first[i] == all + 24;
    }
    run.first_goes_on = goes_on;
}

/// Shortfall, spells, the worst day. `short`: some lane lacked something.
#[inline(always)]
pub(super) fn end_day(block: &mut Block, day: &Day, index: i32, short: bool) {
    block.tally.days += 1;
    if day.troughs {
        // A refill may be short for the day before: the days are counted at the end.
        block.tally.lacked.push((index.unsigned_abs() as usize, block.short_today));
        block.short_today = Row::of(0);
        return;
    }
    if !short && !day.delivery_shortage() {
        if block.tally.in_spell {
            block.tally.spell_days = Row::of(0);
            block.tally.in_spell = false;
        }
        block.tally.first_spell_goes_on = false;
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
        let share = short_m3 / day.demand_m3;
        let share = if day.stock { share } else { 0.0 };
        let worse = share > tally.worst[i] * WORSE_BY;
        tally.worst_day[i] = if worse { index } else { tally.worst_day[i] };
        tally.worst[i] = tally.worst[i].max(share);
    }
    if tally.first_spell_goes_on {
        let mut goes_on = false;
        for i in 0..LANES {
            let all = tally.spell_days[i] == tally.days;
            tally.first_spell_days[i] = if all { tally.days } else { tally.first_spell_days[i] };
            let short_m3 = &mut tally.first_spell_short_m3[i];
            *short_m3 = if all { tally.spell_short_m3[i] } else { *short_m3 };
            goes_on |= all;
        }
        tally.first_spell_goes_on = goes_on;
    }
    block.short_today = Row::of(0);
}
