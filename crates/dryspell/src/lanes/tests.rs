//! Whatever passes several hours at once, or leaves out parts of one, against the hours it stands for, one by one.

use proptest::prelude::*;

use super::block::{Block, Row, Tank};
use super::course::{Clip, Course, Day, Days, Hour, Step};
use super::{LANES, hours, wet};
use crate::calendar::HOURS_PER_DAY;
use crate::draw::Carry;
use crate::grid;
use crate::reliability::demand::Demand;
use crate::tank::Settings;
use crate::tank::hour::{self, Levels, Losses, Met, Parts, Passed};
use crate::tank::ledger::{Flows, Tanks};

/// Every part of the hour that lanes know.
const WHOLE: Parts =
    Parts { inflow: true, free: false, garden: true, losses: Losses::AtMost, band: true, above_stop: true };

/// What one tank did in some hours, each by itself.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
struct Sum {
    level: i32,
    permits: i32,
    inflow: i32,
    over: i32,
    drawn: i32,
    evaporated: i32,
    lost: i32,
    garden: i32,
    garden_short: i32,
    short: i32,
}

/// The hours one by one: their sums, and the lowest level at the end of any.
fn one_by_one(tank: Levels<i32>, met: &[Met<i32>], level: i32, permits: i32, carries: bool) -> (Sum, i32) {
    let mut sum = Sum { level, permits, ..Sum::default() };
    let mut low = i32::MAX;
    for (h, hour_met) in met.iter().enumerate() {
        let p: Passed<i32> = hour::hour(WHOLE, tank, *hour_met, sum.level, sum.permits);
        sum.inflow += p.inflow;
        sum.over += p.over;
        sum.drawn += p.drawn;
        sum.evaporated += p.evaporated;
        sum.lost += p.lost;
        sum.garden += p.garden;
        sum.garden_short += p.garden_short;
        low = low.min(p.level);
        (sum.level, sum.permits) = (p.level, p.permits);
        if !carries || h + 1 == met.len() {
            let (short, there) = hour::book(p.level);
            sum.short += short;
            sum.level = there;
        }
    }
    (sum, low)
}

/// What a lane of a block did.
fn of_lane(block: &Block, lane: usize) -> Sum {
    let sums = &block.recent;
    Sum {
        level: block.level[lane],
        permits: block.permits[lane],
        inflow: sums.inflow[lane],
        over: sums.over[lane],
        drawn: sums.drawn[lane],
        evaporated: sums.evaporated[lane],
        lost: sums.lost[lane],
        garden: sums.garden[lane],
        garden_short: sums.garden_short[lane],
        short: sums.short[lane],
    }
}

/// Stop, start, reserve and level of some tanks as shares of a size in steps, and whether each pump may run.
type Shares = Vec<(f64, f64, f64, f64, bool)>;

fn any_shares() -> impl Strategy<Value = Shares> {
    let often_whole = || prop_oneof![Just(1.0), 0.0..=1.0_f64];
    let one = (0.1..=1.0_f64, often_whole(), 0.0..1.3_f64, often_whole(), any::<bool>());
    prop::collection::vec(one, 1..6)
}

#[expect(clippy::cast_possible_truncation, reason = "a share of a small volume")]
fn part(share: f64, whole: i32) -> i32 {
    (share * f64::from(whole)) as i32
}

/// Tanks without a band have their start at the stop, and their pumps may run.
fn tanks(shares: &Shares, size: i32, band: bool) -> Vec<(Levels<i32>, i32, i32)> {
    shares
        .iter()
        .map(|(stop, start, reserve, level, permits)| {
            let stop = part(*stop, size).max(1);
            let start = if band { part(*start, stop).max(1) } else { stop };
            let levels = Levels { stop, start, rim: stop, reserve: part(*reserve, stop) };
            (levels, part(*level, stop), -i32::from(*permits || !band))
        })
        .collect()
}

/// Five volumes of each hour in steps, nothing in many: available, requested, garden, evaporation, leak.
fn any_hours(inflow: i32, draw: i32, garden: i32, loss: i32) -> impl Strategy<Value = Vec<[i32; 5]>> {
    let some = |most: i32| prop_oneof![2 => Just(0), 1 => 0..=most];
    let one = (some(inflow), some(draw), some(garden), some(loss), some(loss));
    prop::collection::vec(one.prop_map(|(a, w, g, e, k)| [a, w, g, e, k]), HOURS_PER_DAY)
}

/// A day for tanks of a thousand steps: with water to spare, with too little, with and without gardens and losses.
fn any_day() -> impl Strategy<Value = Vec<[i32; 5]>> {
    prop_oneof![
        any_hours(60, 10, 0, 0),
        any_hours(60, 10, 0, 2),
        any_hours(60, 10, 8, 2),
        any_hours(400, 90, 30, 20),
        any_hours(30, 60, 10, 5),
    ]
}

fn met(hours: &[[i32; 5]]) -> Vec<Met<i32>> {
    hours
        .iter()
        .map(|[available, requested, garden, evaporation, leak]| Met {
            available: *available,
            free: 0,
            requested: *requested,
            garden: *garden,
            evaporation: *evaporation,
            leak: *leak,
        })
        .collect()
}

/// The day as lanes know it.
fn with_day<T>(hours: &[[i32; 5]], work: impl FnOnce(&Days) -> T) -> T {
    let column = |place: usize| -> Vec<f64> {
        hours.iter().map(|hour| f64::from(hour[place]) * grid::STEP_M3).collect()
    };
    let flows = Flows::new(&column(0), &column(1), &column(3), &column(4)).with_garden(&column(2));
    let demand = Demand::at_tank(&flows.requested_m3);
    work(Course::new(&flows, &demand, 0.01).days.as_ref().expect("the volumes are on the grid"))
}

/// A block of the tanks; lanes left over repeat the last.
fn block(tanks: &[(Levels<i32>, i32, i32)], carry: Carry, days: &Days) -> Block {
    let any = Tanks::new([&Settings { carry, ..Settings::open("any", 1.0) }]);
    let any = Tank::new(&any, &any.full(), days).expect("one m3 fits");
    let mut block = Block::new(&[any], 1).expect("there is a tank");
    let row = |of: fn(&(Levels<i32>, i32, i32)) -> i32| {
        Row(std::array::from_fn(|i| of(tanks.get(i).unwrap_or(&tanks[tanks.len() - 1]))))
    };
    block.stop = row(|(levels, _, _)| levels.stop);
    block.start = row(|(levels, _, _)| levels.start);
    block.reserve = row(|(levels, _, _)| levels.reserve);
    block.level = row(|(_, level, _)| *level);
    block.permits = row(|(_, _, permits)| *permits);
    block
}

/// A day hour by hour, lane by lane.
fn by_hours(block: &mut Block, day: &Day, band: bool, count: bool) -> bool {
    match (band, count) {
        (true, true) => hours::pass::<true, true>(block, day, |_, _| ()),
        (true, false) => hours::pass::<true, false>(block, day, |_, _| ()),
        (false, true) => hours::pass::<false, true>(block, day, |_, _| ()),
        (false, false) => hours::pass::<false, false>(block, day, |_, _| ()),
    }
}

/// A day in which no lane runs dry; `false` where one would.
fn by_steps(block: &mut Block, days: &Days, band: bool, count: bool, sure: bool) -> bool {
    let day = &days.days[0];
    let steps = &days.steps[day.steps.clone()];
    match (band, count, sure) {
        (true, true, true) => wet::pass::<true, true, true>(block, day, steps),
        (true, true, false) => wet::pass::<true, true, false>(block, day, steps),
        (true, false, true) => wet::pass::<true, false, true>(block, day, steps),
        (true, false, false) => wet::pass::<true, false, false>(block, day, steps),
        (false, true, true) => wet::pass::<false, true, true>(block, day, steps),
        (false, true, false) => wet::pass::<false, true, false>(block, day, steps),
        (false, false, true) => wet::pass::<false, false, true>(block, day, steps),
        (false, false, false) => wet::pass::<false, false, false>(block, day, steps),
    }
}

/// What is known of a lane without sums and counters.
fn uncounted(sum: &Sum) -> Sum {
    Sum { level: sum.level, permits: sum.permits, short: sum.short, ..Sum::default() }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1500))]

    #[test]
    fn a_day_of_lanes_is_its_hours(
        shares in any_shares(), size in prop_oneof![1..60, 1..3000], hours in any_day(),
        band in any::<bool>(), count in any::<bool>(), carries in any::<bool>(),
    ) {
        let tanks = tanks(&shares, size, band);
        let carry = if carries { Carry::WithinDay } else { Carry::None };
        let met = met(&hours);
        let block = with_day(&hours, |days| {
            let mut block = block(&tanks, carry, days);
            by_hours(&mut block, &days.days[0], band, count);
            block
        });
        for lane in 0..LANES {
            let (levels, level, permits) = tanks[lane.min(tanks.len() - 1)];
            let sum = one_by_one(levels, &met, level, permits, carries).0;
            prop_assert_eq!(of_lane(&block, lane), if count { sum } else { uncounted(&sum) });
        }
    }

    /// Rest steps, hours with inflow, gardens, and without band and gardens the clip of the whole day.
    #[test]
    fn a_day_with_water_left_is_its_hours(
        shares in any_shares(), size in prop_oneof![300..3000, 1..60], hours in any_day(),
        band in any::<bool>(), count in any::<bool>(),
    ) {
        let tanks = tanks(&shares, size, band);
        let met = met(&hours);
        let (before, after, wet, sure) = with_day(&hours, |days| {
            let before = block(&tanks, Carry::WithinDay, days);
            let mut after = block(&tanks, Carry::WithinDay, days);
            let sure = wet::least(&before.level) > days.days[0].draw;
            let wet = by_steps(&mut after, days, band, count, sure);
            (before, after, wet, sure)
        });
        let mut lowest = i32::MAX;
        for lane in 0..LANES {
            let (levels, level, permits) = tanks[lane.min(tanks.len() - 1)];
            let (mut sum, low) = one_by_one(levels, &met, level, permits, true);
            lowest = lowest.min(low);
            if !wet {
                prop_assert_eq!(of_lane(&after, lane), of_lane(&before, lane), "as it was before the day");
                continue;
            }
            // Draw and losses are had in full and counted once for all lanes.
            let of = |volume: fn(&Met<i32>) -> i32| met.iter().map(volume).sum::<i32>();
            prop_assert_eq!(sum.drawn, of(|m| m.requested));
            prop_assert_eq!((sum.evaporated, sum.lost), (of(|m| m.evaporation), of(|m| m.evaporation + m.leak)));
            (sum.drawn, sum.evaporated, sum.lost) = (0, 0, 0);
            prop_assert_eq!(of_lane(&after, lane), if count { sum } else { uncounted(&sum) });
        }
        // It is refused where, and only where, some lane ends an hour with nothing left.
        prop_assert_eq!(wet, lowest > 0);
        prop_assert!(wet || !sure);
    }

    /// Hours without inflow as one step, for a tank that has water left.
    #[test]
    fn a_rest_is_its_hours(
        shares in any_shares(), size in 1..3000, goes in prop::collection::vec(prop_oneof![Just(0), 0..30], 1..24),
    ) {
        for (levels, level, permits) in tanks(&shares, size, true) {
            let met: Vec<_> = met(&goes.iter().map(|goes| [0, *goes, 0, 0, 0]).collect::<Vec<_>>());
            let all: i32 = goes.iter().sum();
            if level > all {
                let (sum, low) = one_by_one(levels, &met, level, permits, true);
                let end = level - all;
                prop_assert_eq!((sum.level, low), (end, end));
                let permits = hour::float(permits, level - goes[0], end, levels.stop, levels.start);
                prop_assert_eq!(sum.permits, permits);
            }
        }
    }

    /// A day as one clip, for a tank without a band that has water left.
    #[test]
    fn a_clip_is_its_hours(share in any_shares(), size in 1..3000, hours in any_hours(90, 30, 0, 5)) {
        let clip: Clip = with_day(&hours, |days| days.days[0].clip.expect("no gardens"));
        for (levels, level, permits) in tanks(&share, size, false) {
            let (sum, low) = one_by_one(levels, &met(&hours), level, permits, true);
            let lowest = (level + clip.low_sum).min(levels.stop + clip.low_top);
            prop_assert_eq!(lowest > 0, low > 0);
            if low > 0 {
                let (unclipped, most) = (level + clip.sum, levels.stop + clip.top);
                prop_assert_eq!((sum.level, low), (unclipped.min(most), lowest));
                prop_assert_eq!(sum.over, (unclipped - most).max(0));
            }
        }
    }

    /// The steps of a day are its hours in order: no hour is lost and none is joined that brings water or waters gardens.
    #[test]
    fn steps_hold_all_hours(hours in any_day()) {
        with_day(&hours, |days| {
            let mut sums = [0_i64; 2];
            for step in &days.steps[days.days[0].steps.clone()] {
                let (comes, goes) = match step {
                    Step::Inflow { available, draw } => (*available, *draw),
                    Step::Rest { draw, .. } => (0, *draw),
                    Step::Garden(Hour { available, requested, garden, loss, .. }) => {
                        (*available, requested + garden + loss)
                    }
                };
                sums[0] += i64::from(comes);
                sums[1] += i64::from(goes);
            }
            let of = |places: &[usize]| -> i64 {
                hours.iter().map(|hour| places.iter().map(|p| i64::from(hour[*p])).sum::<i64>()).sum()
            };
            prop_assert_eq!(sums, [of(&[0]), of(&[1, 2, 3, 4])]);
            Ok(())
        })?;
    }
}
