//! Many tanks at once equal one at a time, to the last bit.

use dryspell::delivery::{Columns, HydrantColumns};
use dryspell::draw::Carry;
use dryspell::grid;
use dryspell::lanes::{self, Course, Lane};
use dryspell::reliability::counters::Counters;
use dryspell::reliability::demand::Demand;
use dryspell::reliability::year;
use dryspell::tank::Settings;
use dryspell::tank::ledger::{Flows, Hour, Sink, State, Tanks, Totals, run};
use proptest::prelude::*;
use std::ops::Range;

const TOLERANCE: f64 = 0.01;

/// A tank of any kind: float or none, band, carry rule, reserve (above the stop too); small ones and some that hold weeks.
fn any_tank() -> impl Strategy<Value = Settings> {
    (
        prop_oneof![4 => 0.05..8.0_f64, 2 => 8.0..60.0_f64],
        0.2..1.0_f64,
        0.0..1.2_f64,
        0..3_u8,
        any::<bool>(),
        prop_oneof![Just(0.0), 0.0..1.3_f64],
    )
        .prop_map(|(capacity, stop, start, kind, carry, reserve)| Settings {
            garden_reserve_m3: capacity * reserve,
            float_stop_m3: (kind > 0).then_some(capacity * stop),
            float_start_m3: (kind > 1).then_some(capacity * stop * start),
            carry: if carry { Carry::WithinDay } else { Carry::None },
            ..Settings::open("main", capacity)
        })
}

/// Tanks of one kind as a sweep has them: all open, or all with the same band.
fn alike() -> impl Strategy<Value = Vec<Settings>> {
    (1..200_usize, any::<bool>(), 0.2..2.0_f64).prop_map(|(count, band, step)| {
        (0..count)
            .map(|i| {
                let capacity = 0.5 + step * i as f64 / 4.0;
                Settings {
                    float_stop_m3: band.then_some(capacity),
                    float_start_m3: band.then_some(0.7 * capacity),
                    ..Settings::open("main", capacity)
                }
            })
            .collect()
    })
}

fn any_tanks() -> impl Strategy<Value = Vec<Settings>> {
    prop_oneof![prop::collection::vec(any_tank(), 1..150), alike()]
}

/// Days with and without sun, stock, gardens and losses, at random; volumes of the hours too.
fn any_flows(days: usize) -> impl Strategy<Value = Flows> {
    let hours = days * 24;
    let hourly = |most: f64| prop::collection::vec(prop_oneof![Just(0.0), 0.0..most], hours);
    let daily = || prop::collection::vec(prop_oneof![Just(0.0), Just(1.0), 0.0..1.0_f64], days);
    (
        (hourly(3.0), daily()),
        (hourly(0.5), daily()),
        (hourly(0.4), daily(), any::<bool>()),
        (hourly(0.03), any::<bool>()),
        prop_oneof![Just(0.0), 0.0..0.01_f64],
    )
        .prop_map(
            move |((sun, sunny), (requested, stock), (garden, watered, gardens), (air, losses), leak)| {
                let hour = |of: fn(usize) -> bool, column: &[f64], share: &[f64]| -> Vec<f64> {
                    (0..hours).map(|h| if of(h % 24) { column[h] * share[h / 24] } else { 0.0 }).collect()
                };
                let available = hour(|h| (8..16).contains(&h), &sun, &sunny);
                let requested = hour(|h| h % 3 != 1, &requested, &stock);
                let garden = hour(|h| (5..9).contains(&h), &garden, &watered);
                let on = f64::from(u8::from(losses));
                let air: Vec<f64> = air.iter().map(|e| e * on).collect();
                let flows = Flows::new(&available, &requested, &air, &vec![leak * on; hours]);
                if gardens { flows.with_garden(&garden) } else { flows }
            },
        )
}

/// Two hydrants, one with a trough: short, dry and idle at random.
fn hydrants(flows: &Flows, random: &[f64]) -> Demand {
    let hours = flows.hours();
    let pick = |salt: usize, share: f64| -> Vec<f64> {
        (0..hours)
            .map(|h| {
                let r = random[(h * 7 + salt) % random.len()];
                if r < share { r } else { 0.0 }
            })
            .collect()
    };
    let one = |salt: usize, trough_m3: f64| HydrantColumns {
        level_m3: (0..hours).map(|h| random[(h + salt) % random.len()] - 0.1).collect(),
        short_frozen_m3: pick(salt, 0.05),
        short_too_small_m3: pick(salt + 1, 0.02),
        short_battery_m3: vec![0.0; hours],
        trough_m3,
        ..HydrantColumns::default()
    };
    let both = vec![one(3, 0.5), one(11, 0.0)];
    let sum = |of: fn(&HydrantColumns) -> &Vec<f64>| -> Vec<f64> {
        (0..hours).map(|h| both.iter().map(|hydrant| of(hydrant)[h]).sum()).collect()
    };
    let columns = Columns {
        requested_m3: flows.requested_m3.clone(),
        short_frozen_m3: sum(|h| &h.short_frozen_m3),
        short_too_small_m3: sum(|h| &h.short_too_small_m3),
        short_battery_m3: vec![0.0; hours],
        hydrants: both.clone(),
        ..Columns::default()
    };
    let half: Vec<f64> = flows.requested_m3.iter().map(|w| w / 2.0).collect();
    Demand::behind_hydrants(
        &flows.requested_m3,
        &[&half, &half],
        &columns,
        TOLERANCE,
        hours.is_multiple_of(48),
    )
}

/// Whether any hour ended below zero, seen hour by hour.
#[derive(Default)]
struct Owing(bool);

impl Sink<1> for Owing {
    fn hour(&mut self, _: usize, hour: &Hour<1>) {
        self.0 |= hour.level_m3[0] < 0.0;
    }
}

fn one_at_a_time(
    tank: &Tanks<1>,
    start: State<1>,
    flows: &Flows,
    demand: &Demand,
    days: &[Range<usize>],
) -> Lane {
    let mut counters = Counters::<1>::new(demand, TOLERANCE);
    let mut owing = Owing::default();
    let mut end = start;
    let mut totals = Totals::default();
    for stretch in days {
        let hours = stretch.start * 24..stretch.end * 24;
        totals.join(&run(tank, flows, hours, &mut end, &mut (&mut counters, &mut owing)));
    }
    assert_eq!(counters.ran_dry(), [owing.0]);
    Lane { totals, counts: counters.counts()[0], ring: counters.ring()[0], ran_dry: owing.0, end }
}

/// Every number of a lane, as bits: 0.0 and −0.0 are told apart.
fn bits(lane: &Lane) -> Vec<u64> {
    let t = &lane.totals;
    let volumes = [
        t.available_m3,
        t.pumped_m3,
        t.requested_m3,
        t.drawn_m3,
        t.short_m3,
        t.garden_requested_m3,
        t.garden_m3,
        t.garden_short_m3,
        t.curtailed_m3,
        t.spilled_m3,
        t.evaporated_m3,
        t.leaked_m3,
        lane.end.level_m3,
        [lane.counts.worst_day_short],
        [lane.counts.haul_m3],
        [lane.ring.haul_m3],
    ];
    volumes.iter().map(|v| v[0].to_bits()).collect()
}

fn equal(tanks: &[Tanks<1>], starts: &[State<1>], flows: &Flows, demand: &Demand, days: &[Range<usize>]) {
    let course = Course::new(flows, demand, TOLERANCE);
    let lanes = lanes::run(&course, tanks, starts, days);
    assert_eq!(lanes.len(), tanks.len());
    for (i, (lane, tank)) in lanes.iter().zip(tanks).enumerate() {
        let alone = one_at_a_time(tank, starts[i], flows, demand, days);
        assert_eq!(lane, &alone, "tank {i}: {tank:?} from {:?}", starts[i]);
        assert_eq!(bits(lane), bits(&alone), "tank {i}: {tank:?} from {:?}", starts[i]);
    }
}

/// Starts: full, empty, owing, in between; the float open or shut; one in twenty above the stop.
fn start(tank: &Tanks<1>, random: f64) -> State<1> {
    let full = tank.full_m3()[0];
    let level = match (random * 20.0) as u32 {
        0..6 => full,
        6..10 => 0.0,
        10..13 => -random,
        13 => full + 0.5,
        _ => full * random,
    };
    State { level_m3: [grid::volume_m3(level)], permits: [!((random * 1000.0) as u32).is_multiple_of(3)] }
}

fn tanks_of(settings: &[Settings]) -> Vec<Tanks<1>> {
    settings.iter().map(|s| Tanks::new([s])).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn lanes_equal_one_at_a_time(
        settings in any_tanks(),
        flows in any_flows(25),
        random in prop::collection::vec(0.0..1.0_f64, 211),
        troughs in any::<bool>(),
    ) {
        let tanks = tanks_of(&settings);
        let starts: Vec<State<1>> = tanks.iter().enumerate().map(|(i, t)| start(t, random[i])).collect();
        let demand =
            if troughs { hydrants(&flows, &random) } else { Demand::at_tank(&flows.requested_m3) };
        equal(&tanks, &starts, &flows, &demand, std::slice::from_ref(&(0..25)));
        // From the tenth day round to it.
        equal(&tanks, &starts, &flows, &demand, &[10..25, 0..10]);
    }

    #[test]
    fn the_order_and_number_of_tanks_change_nothing(
        settings in any_tanks(),
        flows in any_flows(15),
        turn in any::<prop::sample::Index>(),
    ) {
        let tanks = tanks_of(&settings);
        let full = |tanks: &[Tanks<1>]| tanks.iter().map(Tanks::full).collect::<Vec<_>>();
        let demand = Demand::at_tank(&flows.requested_m3);
        let course = Course::new(&flows, &demand, TOLERANCE);
        let all = |tanks: &[Tanks<1>]| lanes::run(&course, tanks, &full(tanks), std::slice::from_ref(&(0..15)));
        let mut lanes = all(&tanks);
        let at = turn.index(tanks.len());
        let mut turned = tanks.clone();
        turned.rotate_left(at);
        turned.reverse();
        lanes.rotate_left(at);
        lanes.reverse();
        prop_assert_eq!(&all(&turned), &lanes);
        let (first, rest) = turned.split_at(at);
        let parts: Vec<Lane> = all(first).into_iter().chain(all(rest)).collect();
        prop_assert_eq!(parts, lanes);
    }

    #[test]
    fn the_steady_year_equals_settle_and_run(
        settings in any_tanks(),
        flows in any_flows(12),
        troughs in any::<bool>(),
        random in prop::collection::vec(0.0..1.0_f64, 97),
        drier in 0.0..1.0_f64,
    ) {
        // From far too little to plenty, so that some settle at once, some late, some never.
        let available: Vec<f64> = flows.available_m3.iter().map(|q| q * drier).collect();
        let flows = Flows { available_m3: grid::column_m3(&available), ..flows };
        let demand =
            if troughs { hydrants(&flows, &random) } else { Demand::at_tank(&flows.requested_m3) };
        let course = Course::new(&flows, &demand, TOLERANCE);
        let tanks = tanks_of(&settings);
        let steady = lanes::settle(&course, &tanks);
        let years = lanes::steady_year(&course, &tanks);
        prop_assert_eq!(years.len(), tanks.len());
        for ((tank, (found, lane)), steady) in tanks.iter().zip(&years).zip(&steady) {
            let alone = year::settle(tank, &flows);
            prop_assert_eq!(found, &alone);
            prop_assert_eq!(steady, &alone);
            prop_assert_eq!(lane, &one_at_a_time(tank, alone.start, &flows, &demand, std::slice::from_ref(&(0..12))));
        }
    }
}

/// A tank of 1 m³ of which 1/8 m³ is requested each hour, eight times: it ends empty, but all was given at once. One step
/// of the grid more, in one hour, is owed, and is paid by the next hour's inflow: nothing is short, yet it ran dry.
#[test]
fn a_tank_ran_dry_when_something_had_to_wait() {
    let mut requested = vec![0.0; 48];
    requested[..8].fill(0.125);
    let mut available = vec![0.0; 48];
    available[8] = 2.0;
    // The second tank is too large for lanes: it goes by itself.
    let ran_dry = |flows: &Flows, stop_m3: f64, level_m3: f64| {
        let tanks = [Tanks::new([&Settings::open("main", stop_m3)])];
        let demand = Demand::at_tank(&flows.requested_m3);
        let start = [State { level_m3: [level_m3], permits: [true] }];
        equal(&tanks, &start, flows, &demand, std::slice::from_ref(&(0..2)));
        let course = Course::new(flows, &demand, TOLERANCE);
        let lane = lanes::run(&course, &tanks, &start, std::slice::from_ref(&(0..2)))[0];
        assert_eq!(lane.totals.short_m3, [0.0]);
        lane.ran_dry
    };
    for stop_m3 in [1.0, 5000.0] {
        assert!(!ran_dry(&Flows::lossless(&available, &requested), stop_m3, 1.0));
        let mut more = requested.clone();
        more[7] += grid::STEP_M3;
        assert!(ran_dry(&Flows::lossless(&available, &more), stop_m3, 1.0));
    }
}

/// Two days that differ by a step of the grid alone are a tie: the first is the worst day, in lanes as one at a time.
#[test]
fn of_days_alike_but_for_the_grid_the_first_is_the_worst() {
    let requested = vec![0.125; 48];
    let mut available = vec![0.0; 48];
    available[0] = grid::STEP_M3;
    let flows = Flows::lossless(&available, &requested);
    let demand = Demand::at_tank(&flows.requested_m3);
    let tanks = [Tanks::new([&Settings::open("main", 1.0)])];
    let start = [State { level_m3: [0.0], permits: [true] }];
    equal(&tanks, &start, &flows, &demand, std::slice::from_ref(&(0..2)));
    let course = Course::new(&flows, &demand, TOLERANCE);
    let counts = lanes::run(&course, &tanks, &start, std::slice::from_ref(&(0..2)))[0].counts;
    assert_eq!((counts.worst_day, counts.worst_day_short), (Some(0), 1.0));
}

#[test]
fn tanks_and_hours_too_large_for_the_integers_are_equal_too() {
    let hours = 30 * 24;
    let sun = |most: f64| -> Vec<f64> {
        (0..hours).map(|h| if (8..16).contains(&(h % 24)) && h / 24 % 9 < 5 { most } else { 0.0 }).collect()
    };
    let requested =
        |most: f64| -> Vec<f64> { (0..hours).map(|h| if h % 6 == 1 { most } else { 0.0 }).collect() };
    // 2047 m³ is the edge: tanks on either side of it, flows on either side of it, and a flow off the grid.
    let sizes = [
        0.0, 5.0, 400.0, 900.0, 1000.0, 1900.0, 2030.0, 2040.0, 2046.999, 2047.0, 2048.0, 2049.0, 5000.0,
        80_000.0,
    ];
    let tanks: Vec<Tanks<1>> = sizes
        .iter()
        .map(|size| {
            Tanks::new([&Settings {
                float_stop_m3: Some(*size),
                float_start_m3: Some(0.9 * size),
                garden_reserve_m3: 1.5 * size,
                ..Settings::open("main", *size)
            }])
        })
        .collect();
    let full: Vec<State<1>> = tanks.iter().map(Tanks::full).collect();
    for (inflow, draw) in [(1.5, 2.0), (30.0, 60.0), (50.0, 150.0), (250.0, 300.0), (3000.0, 2900.0)] {
        let flows = Flows::new(&sun(inflow), &requested(draw), &vec![0.01; hours], &vec![0.001; hours])
            .with_garden(&vec![0.5; hours]);
        let demand = Demand::at_tank(&flows.requested_m3);
        equal(&tanks, &full, &flows, &demand, std::slice::from_ref(&(0..30)));
    }
    let mut flows = Flows::lossless(&sun(1.5), &requested(2.0));
    flows.available_m3[100] += 1e-9;
    equal(&tanks, &full, &flows, &Demand::at_tank(&flows.requested_m3), std::slice::from_ref(&(0..30)));
}

/// Four hundred days of over a thousand m³ each: the sums of a lane pass 2³¹ steps many times over.
#[test]
fn sums_over_many_days_do_not_run_over() {
    let days = 400;
    let hours = days * 24;
    let available: Vec<f64> =
        (0..hours).map(|h| if h % 24 == 10 && h / 24 % 3 != 0 { 700.0 } else { 0.0 }).collect();
    let requested: Vec<f64> = (0..hours).map(|h| if h % 24 == 20 { 500.0 } else { 0.0 }).collect();
    let flows = Flows::new(&available, &requested, &vec![0.5; hours], &vec![0.25; hours]);
    let tanks: Vec<Tanks<1>> = [1.0, 100.0, 300.0, 500.0, 600.0, 700.0, 800.0]
        .iter()
        .flat_map(|size| {
            let open = Settings::open("main", *size);
            [Tanks::new([&open]), Tanks::new([&Settings { carry: Carry::None, ..open.clone() }])]
        })
        .collect();
    let full: Vec<State<1>> = tanks.iter().map(Tanks::full).collect();
    equal(&tanks, &full, &flows, &Demand::at_tank(&flows.requested_m3), std::slice::from_ref(&(0..days)));
}
