//! Hours worked by hand, and what holds for any hour.

use std::fmt::Debug;

use proptest::prelude::*;

use super::*;
use crate::grid;

const ALL: Parts =
    Parts { inflow: true, free: true, garden: true, losses: Losses::AtMost, band: true, above_stop: true };

/// A number that cases worked by hand are written in.
trait Written: Number + From<i32> + PartialEq + Debug {}
impl Written for f64 {}
impl Written for i32 {}

fn levels<T: Written>(stop: i32, start: i32, rim: i32, reserve: i32) -> Levels<T> {
    Levels { stop: stop.into(), start: start.into(), rim: rim.into(), reserve: reserve.into() }
}

/// Available, free, requested, garden, evaporation, leak.
fn met<T: Written>(six: [i32; 6]) -> Met<T> {
    let [available, free, requested, garden, evaporation, leak] = six.map(T::from);
    Met { available, free, requested, garden, evaporation, leak }
}

fn yes<T: Written>() -> T::Flag {
    T::firm(T::ZERO.below(1.into()))
}

fn no<T: Written>() -> T::Flag {
    T::firm(T::ZERO.below(T::ZERO))
}

fn is_yes<T: Written>(flag: T::Flag) -> bool {
    T::from(1).only_if(flag) == 1.into()
}

/// An hour with all parts: level at the end and `[inflow, drawn, garden, garden short, evaporated, leaked, over, free over]`.
fn passed<T: Written>(tank: Levels<T>, six: [i32; 6], level: i32) -> (T, [T; 8]) {
    let p = hour(ALL, tank, met(six), level.into(), yes::<T>());
    (p.level, [p.inflow, p.drawn, p.garden, p.garden_short, p.evaporated, p.leaked, p.over, p.free_over])
}

fn expect<T: Written>(tank: [i32; 4], six: [i32; 6], level: i32, end: i32, terms: [i32; 8]) {
    let [stop, start, rim, reserve] = tank;
    let found = passed::<T>(levels(stop, start, rim, reserve), six, level);
    assert_eq!(found, (end.into(), terms.map(T::from)), "{tank:?} meets {six:?} at {level}");
}

/// Stop, start, rim, reserve; what is met; the level; the level at the end; the terms. All worked by hand.
fn by_hand<T: Written>() {
    let open = [10, 10, 10, 3];
    // In and out.
    expect::<T>(open, [3, 0, 2, 0, 0, 0], 5, 6, [3, 2, 0, 0, 0, 0, 0, 0]);
    // Three are owed: the two that come are drunk, and one more is owed.
    expect::<T>(open, [2, 0, 1, 0, 0, 0], -3, -2, [2, 2, 0, 0, 0, 0, 0, 0]);
    // All that is owed is drunk, with what is requested now, and two stay.
    expect::<T>(open, [6, 0, 1, 0, 0, 0], -3, 2, [6, 4, 0, 0, 0, 0, 0, 0]);
    // Two are there and five requested.
    expect::<T>(open, [0, 0, 5, 0, 0, 0], 2, -3, [0, 2, 0, 0, 0, 0, 0, 0]);
    // Above the reserve of three there are two for gardens that ask four; below it, none.
    expect::<T>(open, [0, 0, 1, 4, 0, 0], 6, 3, [0, 1, 2, 2, 0, 0, 0, 0]);
    expect::<T>(open, [0, 0, 0, 4, 0, 0], 2, 2, [0, 0, 0, 4, 0, 0, 0, 0]);
    // The air comes before the leak; thirst loses nothing.
    expect::<T>(open, [0, 0, 0, 0, 2, 5], 3, 0, [0, 0, 0, 0, 2, 1, 0, 0]);
    expect::<T>(open, [0, 0, 0, 0, 4, 1], 3, 0, [0, 0, 0, 0, 3, 0, 0, 0]);
    expect::<T>(open, [0, 0, 0, 0, 1, 1], 3, 1, [0, 0, 0, 0, 1, 1, 0, 0]);
    expect::<T>(open, [0, 0, 0, 0, 2, 5], -3, -3, [0, 0, 0, 0, 0, 0, 0, 0]);
    // Thirteen less one drawn is two above the stop.
    expect::<T>(open, [4, 0, 1, 0, 0, 0], 9, 10, [4, 1, 0, 0, 0, 0, 2, 0]);
    // A level that begins above the stop is not lowered by more than the inflow.
    expect::<T>(open, [4, 0, 0, 0, 0, 0], 15, 15, [4, 0, 0, 0, 0, 0, 4, 0]);
}

/// The same with an inflow that no float controls.
fn free_by_hand<T: Written>() {
    let float = [8, 8, 10, 0];
    // 7 + 2 + 4 = 13: the pump's 2 are not lifted, 11 stay, 1 goes over the rim.
    expect::<T>(float, [2, 4, 0, 0, 0, 0], 7, 10, [2, 0, 0, 0, 0, 0, 2, 1]);
    // 7 + 3 + 2 = 12: the pump's 3 are not lifted, 9 stay below the rim.
    expect::<T>(float, [3, 2, 0, 0, 0, 0], 7, 9, [3, 0, 0, 0, 0, 0, 3, 0]);
    // 7 + 3 + 0 = 10: of the pump's 3, 2 are not lifted.
    expect::<T>(float, [3, 0, 0, 0, 0, 0], 7, 8, [3, 0, 0, 0, 0, 0, 2, 0]);
    // Above the stop the pump brings nothing, and below the rim rain stays.
    expect::<T>(float, [2, 0, 0, 0, 0, 0], 9, 9, [2, 0, 0, 0, 0, 0, 2, 0]);
    expect::<T>(float, [0, 1, 0, 0, 0, 0], 9, 10, [0, 0, 0, 0, 0, 0, 0, 0]);
    // What is drawn makes room first: 9 + 2 + 1 - 5 = 7.
    expect::<T>(float, [2, 1, 5, 0, 0, 0], 9, 7, [2, 5, 0, 0, 0, 0, 0, 0]);
    // So do losses: 9 + 3 - 2 - 1 = 9.
    expect::<T>(float, [0, 3, 0, 0, 2, 1], 9, 9, [0, 0, 0, 0, 2, 1, 0, 0]);
    // Rain is drunk by the thirsty: 4 of the 5 owed.
    expect::<T>(float, [1, 3, 2, 0, 0, 0], -3, -1, [1, 4, 0, 0, 0, 0, 0, 0]);
    // Without a float, stop and rim are one: 9 + 2 + 3 = 14, and of the 4 above, 2 were the pump's and 2 not.
    let open = [10, 10, 10, 0];
    expect::<T>(open, [2, 3, 0, 0, 0, 0], 9, 10, [2, 0, 0, 0, 0, 0, 2, 2]);
    expect::<T>(open, [5, 1, 0, 0, 0, 0], 9, 10, [5, 0, 0, 0, 0, 0, 5, 0]);
}

fn band_by_hand<T: Written>() {
    // Stops at 8, starts at 5, rim at 20. Available, free, requested; level and whether the pump may run next.
    let course = [
        ([2, 0, 0], 8, false),
        ([2, 0, 2], 6, false),
        ([2, 0, 1], 5, true),
        ([2, 0, 1], 6, true),
        // Rain alone reaches the stop, which stops the pump, too; the pump's 1 is not lifted.
        ([1, 6, 0], 12, false),
        ([1, 0, 6], 6, false),
        ([1, 0, 2], 4, true),
    ];
    let (mut level, mut permits) = (T::from(7), yes::<T>());
    for ([available, free, requested], end, may_run) in course {
        let six = [available, free, requested, 0, 0, 0];
        let p = hour(ALL, levels(8, 5, 20, 0), met(six), level, permits);
        assert_eq!((p.level, is_yes::<T>(p.permits)), (end.into(), may_run), "{six:?} at {level:?}");
        assert_eq!(p.inflow, available_if::<T>(available, permits));
        (level, permits) = (p.level, p.permits);
    }
    // Start and stop in one: the float only holds the level.
    let p = hour(ALL, levels(8, 8, 8, 0), met([5, 0, 0, 0, 0, 0]), T::from(7), no::<T>());
    assert_eq!((p.level, p.inflow, is_yes::<T>(p.permits)), (7.into(), T::ZERO, true));
}

fn available_if<T: Written>(available: i32, permits: T::Flag) -> T {
    if is_yes::<T>(permits) { available.into() } else { T::ZERO }
}

#[test]
fn hours_are_those_worked_by_hand() {
    by_hand::<f64>();
    by_hand::<i32>();
    free_by_hand::<f64>();
    free_by_hand::<i32>();
    band_by_hand::<f64>();
    band_by_hand::<i32>();
}

#[test]
fn midnight_books_what_is_owed() {
    assert_eq!((book(-3), book(0), book(4)), ((3, 0), (0, 0), (0, 4)));
    assert_eq!((book(-0.75), book(0.0), book(4.5)), ((0.75, 0.0), (0.0, 0.0), (0.0, 4.5)));
}

#[test]
fn nothing_is_a_plain_zero() {
    let plain = |x: f64| assert!(x != 0.0 || x.is_sign_positive());
    for level in [-3.0, 0.0, 2.0, 10.0] {
        for six in [[0; 6], [2, 0, 2, 0, 0, 0], [0, 0, 2, 0, 0, 0], [0, 0, 0, 1, 1, 1], [3, 1, 0, 0, 0, 0]] {
            let p = hour(ALL, levels(10, 5, 10, 2), met(six), level, true);
            let terms = [
                p.level,
                p.inflow,
                p.drawn,
                p.garden,
                p.garden_short,
                p.evaporated,
                p.leaked,
                p.lost,
                p.over,
                p.free_over,
            ];
            terms.into_iter().for_each(plain);
            let (short, there) = book(p.level);
            plain(short);
            plain(there);
        }
    }
}

#[expect(clippy::cast_possible_truncation, reason = "a share of a small volume")]
fn part(share: f64, whole: i32) -> i32 {
    (share * f64::from(whole)) as i32
}

/// Levels of a tank that make sense together, in steps, with a level and what is met; many of them nothing or equal.
fn any_hour() -> impl Strategy<Value = (Levels<i32>, [i32; 6], i32)> {
    let volume = || prop_oneof![Just(0), 0..12, 0..500_000];
    let met = [volume(), volume(), volume(), volume(), volume(), volume()];
    (prop_oneof![1..20, 1..900_000], 0.0..=1.0_f64, volume(), volume(), met, -1.0..=1.3_f64).prop_map(
        |(stop, start, above, reserve, met, level)| {
            let tank = Levels { stop, start: part(start, stop).max(1), rim: stop + above, reserve };
            (tank, met, part(level, stop))
        },
    )
}

fn any_parts() -> impl Strategy<Value = Parts> {
    let losses = prop_oneof![Just(Losses::No), Just(Losses::AtMost), Just(Losses::InFull)];
    (any::<[bool; 5]>(), losses).prop_map(|([inflow, free, garden, band, above_stop], losses)| Parts {
        inflow,
        free,
        garden,
        losses,
        band,
        above_stop,
    })
}

fn m3(steps: i32) -> f64 {
    f64::from(steps) * grid::STEP_M3
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn either_number_gives_the_same_hour(
        parts in any_parts(), (tank, six, level) in any_hour(), permits in any::<bool>(),
    ) {
        let steps = hour(parts, tank, met(six), level, -i32::from(permits));
        let tank = Levels {
            stop: m3(tank.stop), start: m3(tank.start), rim: m3(tank.rim), reserve: m3(tank.reserve),
        };
        let [available, free, requested, garden, evaporation, leak] = six.map(m3);
        let met = Met { available, free, requested, garden, evaporation, leak };
        let volumes = hour(parts, tank, met, m3(level), permits);
        prop_assert_eq!(
            volumes,
            Passed {
                level: m3(steps.level),
                permits: steps.permits != 0,
                inflow: m3(steps.inflow),
                drawn: m3(steps.drawn),
                garden: m3(steps.garden),
                garden_short: m3(steps.garden_short),
                evaporated: m3(steps.evaporated),
                leaked: m3(steps.leaked),
                lost: m3(steps.lost),
                over: m3(steps.over),
                free_over: m3(steps.free_over),
            }
        );
    }

    #[test]
    fn every_term_is_what_it_says((tank, six, level) in any_hour(), permits in any::<bool>()) {
        let p = hour(ALL, tank, met(six), level, -i32::from(permits));
        let [available, free, requested, garden, evaporation, leak] = six;
        prop_assert_eq!(
            p.level, level + p.inflow + free - requested - p.garden - p.lost - p.over - p.free_over
        );
        prop_assert_eq!(p.inflow, if permits { available } else { 0 });
        // The lesser of all that is at hand and all that is owed.
        let (there, owed) = (level.max(0), (-level).max(0));
        prop_assert_eq!(p.drawn, (there + p.inflow + free).min(owed + requested));
        prop_assert_eq!((p.garden + p.garden_short, p.evaporated + p.leaked), (garden, p.lost));
        // One loss after the other.
        let x = level + p.inflow + free - requested - p.garden;
        prop_assert_eq!(p.evaporated, evaporation.min(x.max(0)));
        prop_assert_eq!(p.leaked, leak.min((x - p.evaporated).max(0)));
        if tank.stop == tank.rim {
            prop_assert_eq!(p.over + p.free_over, (x - p.lost - tank.rim).max(0).min(p.inflow + free));
        }
        prop_assert!(p.level <= tank.rim.max(level));
    }

    #[test]
    fn what_is_left_out_was_nothing(
        parts in any_parts(), (tank, six, level) in any_hour(), permits in any::<bool>(),
    ) {
        let mut six = six;
        let mut take = |part: bool, places: &[usize]| {
            places.iter().for_each(|place| six[*place] *= i32::from(part));
        };
        take(parts.inflow, &[0]);
        take(parts.free, &[1]);
        take(parts.garden, &[3]);
        take(parts.losses != Losses::No, &[4, 5]);
        let level = if parts.above_stop || parts.free { level } else { level.min(tank.stop) };
        let permits = -i32::from(permits || !parts.band);
        let whole = hour(ALL, tank, met(six), level, permits);
        let mut short = hour(parts, tank, met(six), level, permits);
        if !parts.band {
            short.permits = whole.permits;
        }
        // Losses in full are those of a tank that has water left.
        if parts.losses != Losses::InFull || whole.level > 0 {
            prop_assert_eq!(short, whole);
        }
    }
}
