//! A block through its days, compiled for what the machine offers and chosen when it runs.

use std::ops::Range;

use multiversion::multiversion;

use super::block::Block;
use super::course::Days;
use super::{counting, hours, wet};

/// Takes a block through stretches of days and moves its sums to the wide ones. Without `count`, level, float and
/// shortage alone.
///
/// `multiversion` takes the first only on machines with all of AVX-512's later parts, on which it does not slow the clock.
#[multiversion(targets("x86_64+avx512f+avx512vl+avx512dq+avx2+fma", "x86_64+avx2+fma", "aarch64+neon"))]
pub(super) fn follow(block: &mut Block, course: &Days, stretches: &[Range<usize>], count: bool) {
    match (block.band, count) {
        (true, true) => days::<true, true>(block, course, stretches),
        (true, false) => days::<true, false>(block, course, stretches),
        (false, true) => days::<false, true>(block, course, stretches),
        (false, false) => days::<false, false>(block, course, stretches),
    }
}

#[inline(always)]
fn days<const BAND: bool, const COUNT: bool>(block: &mut Block, course: &Days, stretches: &[Range<usize>]) {
    for stretch in stretches {
        for (index, day) in (0_i32..).zip(&course.days).take(stretch.end).skip(stretch.start) {
            block.make_room(day.reach);
            let least = wet::least(&block.level);
            let steps = &course.steps[day.steps.clone()];
            let wet = if least > day.draw {
                wet::pass::<BAND, COUNT, true>(block, day, steps)
            } else {
                least > 0 && wet::pass::<BAND, COUNT, false>(block, day, steps)
            };
            let short = !wet && hours::pass::<BAND, COUNT>(block, day, |_, _| ());
            if COUNT {
                block.shared.add(day);
                if wet {
                    let shared = &mut block.shared;
                    shared.drawn += i64::from(day.requested);
                    shared.evaporated += i64::from(day.evaporation);
                    shared.lost += i64::from(day.loss);
                    counting::shared_hours(block, day);
                } else {
                    counting::own_hours(block, day);
                }
                counting::end_day(block, day, index, short);
            } else if short {
                block.short_today = super::block::Row::of(0);
            }
        }
    }
    block.widen();
}
