//! The tank's ledger: it closes, lanes do not see each other, and a broken term is refused.

use dryspell::calendar::Calendar;
use dryspell::draw::Carry;
use dryspell::grid;
use dryspell::reliability::books::{BookDay, HerdBook};
use dryspell::reliability::counters::{Counters, Counts};
use dryspell::reliability::demand::Demand;
use dryspell::reliability::outcome::follow;
use dryspell::reliability::storage::needed;
use dryspell::reliability::year::settle;
use dryspell::simulate::WellLedger;
use dryspell::supply::SourceLedger;
use dryspell::tank::Settings;
use dryspell::tank::balance::Ledgers;
use dryspell::tank::ledger::{Flows, Hour, NoSink, Sink, Tanks, Totals, run};
use proptest::prelude::*;

/// A tank with or without float, band and carry-over.
fn any_tank() -> impl Strategy<Value = Settings> {
    (0.05..20.0_f64, 0.2..1.0_f64, 0.0..1.0_f64, 0..3_u8, any::<bool>(), 0.0..1.0_f64).prop_map(
        |(capacity, stop, start, kind, carry, reserve)| Settings {
            garden_reserve_m3: capacity * reserve,
            float_stop_m3: (kind > 0).then_some(capacity * stop),
            float_start_m3: (kind > 1).then_some(capacity * stop * start),
            carry: if carry { Carry::WithinDay } else { Carry::None },
            ..Settings::open("main", capacity)
        },
    )
}

/// So many days of inflow, draw and losses: sun-like inflow on some days, draw on some.
fn any_flows(days: usize) -> impl Strategy<Value = Flows> {
    let hours = days * 24;
    (
        prop::collection::vec(0.0..1.0_f64, days),
        prop::collection::vec(0.0..1.0_f64, hours),
        prop::collection::vec(prop_oneof![Just(0.0), 0.0..0.5_f64], hours),
        prop::collection::vec(0.0..0.02_f64, hours),
        0.0..0.01_f64,
        0.0..0.3_f64,
    )
        .prop_map(move |(sunny, sun, requested, evaporation, leak, garden)| {
            let available: Vec<f64> = (0..hours)
                .map(|h| if (8..16).contains(&(h % 24)) { 3.0 * sunny[h / 24] * sun[h] } else { 0.0 })
                .collect();
            // Watered from 05 to 08 h.
            let garden: Vec<f64> =
                (0..hours).map(|h| if (5..8).contains(&(h % 24)) { garden } else { 0.0 }).collect();
            Flows::new(&available, &requested, &evaporation, &vec![leak; hours]).with_garden(&garden)
        })
}

fn close(totals: &Totals<1>, start: f64, end: f64, capacity_m3: f64) -> Ledgers {
    Ledgers {
        available_m3: totals.available_m3[0],
        curtailed_m3: totals.curtailed_m3[0],
        pumped_m3: totals.pumped_m3[0],
        start_m3: start,
        end_m3: end,
        drawn_m3: totals.drawn_m3[0],
        spilled_m3: totals.spilled_m3[0],
        evaporated_m3: totals.evaporated_m3[0],
        leaked_m3: totals.leaked_m3[0],
        requested_m3: totals.requested_m3[0],
        drunk_m3: totals.drawn_m3[0],
        short_m3: totals.short_m3[0],
        garden_m3: totals.garden_m3[0],
        garden_requested_m3: totals.garden_requested_m3[0],
        garden_short_m3: totals.garden_short_m3[0],
        capacity_m3,
        ..Ledgers::default()
    }
}

#[derive(Default)]
struct Keep<const N: usize>(Vec<Hour<N>>);

impl<const N: usize> Sink<N> for Keep<N> {
    fn hour(&mut self, _: usize, hour: &Hour<N>) {
        self.0.push(*hour);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn ledgers_close_to_the_last_bit(tank in any_tank(), flows in any_flows(30)) {
        let tanks = Tanks::new([&tank]);
        let mut state = tanks.full();
        let start = state.level_m3[0];
        let mut kept = Keep::<1>::default();
        let totals = run(&tanks, &flows, 0..flows.hours(), &mut state, &mut kept);
        let ledgers = close(&totals, start, state.level_m3[0], tank.capacity_m3);
        prop_assert_eq!(ledgers.left_over_m3(), [0.0; 5]);
        for (h, hour) in kept.0.iter().enumerate() {
            if hour.level_m3[0] < 0.0 || hour.short_m3[0] > 0.0 {
                prop_assert_eq!(hour.garden_m3[0], 0.0, "the garden drinks before the stock in hour {}", h);
            }
            if hour.garden_m3[0] > 0.0 {
                prop_assert!(
                    hour.level_m3[0] + hour.evaporated_m3[0] + hour.leaked_m3[0] + hour.spilled_m3[0]
                        + (hour.curtailed_m3[0]).max(0.0) >= grid::volume_m3(tank.garden_reserve_m3),
                    "the reserve is touched in hour {}", h
                );
            }
            prop_assert!(hour.level_m3[0] <= grid::volume_m3(tank.full_m3()), "hour {h}");
            prop_assert!(hour.pumped_m3[0] >= 0.0 && hour.curtailed_m3[0] >= 0.0 && hour.spilled_m3[0] >= 0.0);
        }
    }

    #[test]
    fn lanes_in_any_order_and_number_equal_one_at_a_time(
        tanks in prop::collection::vec(any_tank(), 8),
        flows in any_flows(20),
        seed in any::<u64>(),
    ) {
        let mut tanks = tanks;
        for tank in &mut tanks {
            tank.carry = Carry::WithinDay;
        }
        let alone: Vec<(Totals<1>, Counts)> = tanks
            .iter()
            .map(|tank| {
                let lane = Tanks::new([tank]);
                let demand = Demand::at_tank(&flows.requested_m3);
                let mut counters = Counters::<1>::new(&demand, 0.01);
                let totals = run(&lane, &flows, 0..flows.hours(), &mut lane.full(), &mut counters);
                (totals, counters.counts()[0])
            })
            .collect();
        let mut order: [usize; 8] = std::array::from_fn(|i| i);
        for i in 0..8 {
            order.swap(i, (seed.rotate_left(8 * i as u32) % 8) as usize);
        }
        let lanes = Tanks::new(std::array::from_fn::<_, 8, _>(|i| &tanks[order[i]]));
        let demand = Demand::at_tank(&flows.requested_m3);
        let mut counters = Counters::<8>::new(&demand, 0.01);
        let totals = run(&lanes, &flows, 0..flows.hours(), &mut lanes.full(), &mut counters);
        for (lane, tank) in order.into_iter().enumerate() {
            let (one, counts) = &alone[tank];
            prop_assert_eq!(totals.drawn_m3[lane].to_bits(), one.drawn_m3[0].to_bits());
            prop_assert_eq!(totals.short_m3[lane].to_bits(), one.short_m3[0].to_bits());
            prop_assert_eq!(totals.pumped_m3[lane].to_bits(), one.pumped_m3[0].to_bits());
            prop_assert_eq!(totals.spilled_m3[lane].to_bits(), one.spilled_m3[0].to_bits());
            prop_assert_eq!(&counters.counts()[lane], counts);
        }
    }

    #[test]
    fn days_one_at_a_time_equal_the_whole(tank in any_tank(), flows in any_flows(15)) {
        let tanks = Tanks::new([&tank]);
        let mut whole = tanks.full();
        let all = run(&tanks, &flows, 0..flows.hours(), &mut whole, &mut NoSink);
        let mut state = tanks.full();
        let mut sum = Totals::<1>::default();
        for day in 0..15 {
            sum.join(&run(&tanks, &flows, day * 24..(day + 1) * 24, &mut state, &mut NoSink));
        }
        prop_assert_eq!(state, whole);
        prop_assert_eq!(sum, all);
    }

    #[test]
    fn without_band_and_losses_a_larger_tank_or_more_inflow_is_not_shorter(
        capacity in 0.1..10.0_f64,
        larger in 0.0..5.0_f64,
        flows in any_flows(25),
        more in 0.0..0.5_f64,
    ) {
        let lossless = |available: &[f64]| Flows::lossless(available, &flows.requested_m3);
        let short = |capacity: f64, flows: &Flows| {
            let tanks = Tanks::new([&Settings::open("main", capacity)]);
            run(&tanks, flows, 0..flows.hours(), &mut tanks.full(), &mut NoSink).short_m3[0]
        };
        let plain = lossless(&flows.available_m3);
        let base = short(capacity, &plain);
        prop_assert!(short(capacity + larger, &plain) <= base);
        let richer: Vec<f64> = flows.available_m3.iter().map(|q| q + if *q > 0.0 { more } else { 0.0 }).collect();
        prop_assert!(short(capacity, &lossless(&richer)) <= base + 25.0 * 24.0 / grid::STEPS_PER_M3);
    }

    #[test]
    fn the_sequent_peak_is_the_smallest_tank_that_is_not_short(flows in any_flows(20)) {
        let flows = Flows::lossless(&flows.available_m3, &flows.requested_m3);
        let found = needed(&flows, false);
        if let Some(storage) = found.storage_m3 && storage > 0.0 {
            let short = |capacity: f64| {
                let tanks = Tanks::new([&Settings { carry: Carry::None, ..Settings::open("main", capacity) }]);
                run(&tanks, &flows, 0..flows.hours(), &mut tanks.full(), &mut NoSink).short_m3[0]
            };
            prop_assert!(short(storage) <= 0.0);
            prop_assert!(short(storage - 1.0 / grid::STEPS_PER_M3) > 0.0);
        }
    }
}

/// With a band a larger tank can be shorter: the float of the smaller one happens to open in time.
#[test]
fn with_a_band_a_larger_tank_can_be_shorter() {
    // Inflow of 2 m3 at noon of each day but days 2 and 3; 1 m3 requested at night each day. The tank of 2 m3 starts again at
    // 1 m3, so it is topped up on day 1; the tank of 2.5 m3 starts again at 0.5 m3, waits, and meets the dull days low.
    let mut available = vec![0.0; 6 * 24];
    let mut requested = vec![0.0; 6 * 24];
    for day in 0..6 {
        if day != 2 && day != 3 {
            available[day * 24 + 12] = 2.0;
        }
        requested[day * 24 + 20] = 1.0;
    }
    let flows = Flows::lossless(&available, &requested);
    let short = |capacity: f64, start: f64| {
        let settings = Settings {
            float_stop_m3: Some(capacity),
            float_start_m3: Some(start),
            ..Settings::open("main", capacity)
        };
        let tanks = Tanks::new([&settings]);
        run(&tanks, &flows, 0..flows.hours(), &mut tanks.full(), &mut NoSink).short_m3[0]
    };
    let (small, large) = (short(2.0, 1.0), short(2.5, 0.5));
    assert!(large > small, "2 m3: {small}, 2.5 m3: {large}");
}

#[test]
fn a_float_holds_the_level_and_an_open_tank_spills() {
    let available: Vec<f64> = (0..48).map(|h| if (8..16).contains(&(h % 24)) { 1.0 } else { 0.0 }).collect();
    let flows = Flows::lossless(&available, &[0.25; 48]);
    let open = Settings::open("main", 4.0);
    let float = Settings { float_stop_m3: Some(4.0), ..open.clone() };
    let both = Tanks::new([&open, &float]);
    let mut state = both.full();
    let totals = run(&both, &flows, 0..48, &mut state, &mut NoSink);
    assert_eq!(totals.drawn_m3[0], totals.drawn_m3[1], "the herd sees no difference");
    assert_eq!(totals.spilled_m3, [totals.curtailed_m3[1], 0.0]);
    assert_eq!(totals.pumped_m3[0], 16.0, "without a float all is lifted");
    assert_eq!(totals.pumped_m3[1] + totals.curtailed_m3[1], 16.0);
}

#[test]
fn a_band_keeps_the_pump_off_until_the_start_level() {
    // Full at 2, starts again at 1; 0.25 requested an hour, 1 available an hour.
    let flows = Flows::lossless(&[1.0; 24], &[0.25; 24]);
    let settings =
        Settings { float_stop_m3: Some(2.0), float_start_m3: Some(1.0), ..Settings::open("main", 2.0) };
    let tanks = Tanks::new([&settings]);
    let mut kept = Keep::<1>::default();
    run(&tanks, &flows, 0..24, &mut tanks.full(), &mut kept);
    let pumped: Vec<f64> = kept.0.iter().map(|h| h.pumped_m3[0]).collect();
    // Hour 0 tops up and reaches the stop; hours 1 to 4 fall to 1.0; hour 5 pumps 1 and ends at 1.75; hour 6 tops up.
    assert_eq!(&pumped[..8], [0.25, 0.0, 0.0, 0.0, 0.0, 1.0, 0.5, 0.0]);
}

#[test]
fn thirst_is_carried_to_midnight_and_then_forgotten() {
    // Nothing in the tank; 1 m3 requested at 08 h on both days; 0.6 m3 comes at 12 h of the first.
    let mut available = vec![0.0; 48];
    let mut requested = vec![0.0; 48];
    available[12] = 0.5;
    requested[8] = 1.0;
    requested[32] = 1.0;
    let flows = Flows::lossless(&available, &requested);
    let open = Settings::open("main", 3.0);
    let tanks = Tanks::new([&open]);
    let mut kept = Keep::<1>::default();
    let demand = Demand::at_tank(&flows.requested_m3);
    let mut counters = Counters::<1>::new(&demand, 0.01);
    let totals = run(&tanks, &flows, 0..48, &mut tanks.empty(), &mut (&mut kept, &mut counters));
    assert_eq!(totals.drawn_m3[0], 0.5, "the water of noon is drunk by the thirst of the morning");
    assert_eq!(kept.0[23].short_m3[0], 0.5);
    assert_eq!(kept.0[23].level_m3[0], -0.5);
    assert_eq!(kept.0[24].level_m3[0], 0.0, "forgotten at midnight");
    assert_eq!(totals.short_m3[0], 1.5);
    let counts = counters.counts()[0];
    assert_eq!((counts.shortfall_days, counts.spells, counts.longest_spell_days), (2, 1, 2));
    assert_eq!((counts.dry_hours, counts.longest_dry_hours), (48, 48), "midnight does not break a dry run");
    assert_eq!(counts.longest_nothing_drawn_hours, 35);
    assert_eq!((counts.worst_day_short, counts.worst_day), (1.0, Some(1)));
    assert_eq!((counts.haul_m3, counts.haul_by_day), (1.5, Some(0)));
}

#[test]
fn every_broken_term_of_a_ledger_is_refused() {
    let good = Ledgers {
        available_m3: 12.0,
        curtailed_m3: 2.0,
        pumped_m3: 10.0,
        inflow_m3: 0.5,
        backup_m3: 0.25,
        start_m3: 3.0,
        end_m3: 2.5,
        drawn_m3: 8.0,
        spilled_m3: 1.5,
        evaporated_m3: 1.0,
        leaked_m3: 0.5,
        requested_m3: 9.0,
        drunk_m3: 7.5,
        short_m3: 1.0,
        delivery_shortage_m3: 0.25,
        extra_drunk_m3: 0.125,
        extra_short_m3: 0.25,
        troughs_start_m3: 1.0,
        troughs_end_m3: 1.5,
        garden_m3: 0.25,
        garden_requested_m3: 1.0,
        garden_short_m3: 0.75,
        capacity_m3: 5.0,
    };
    assert_eq!(good.close().unwrap(), 0.0);
    let terms: [fn(&mut Ledgers) -> &mut f64; 21] = [
        |l| &mut l.available_m3,
        |l| &mut l.curtailed_m3,
        |l| &mut l.pumped_m3,
        |l| &mut l.start_m3,
        |l| &mut l.end_m3,
        |l| &mut l.drawn_m3,
        |l| &mut l.spilled_m3,
        |l| &mut l.evaporated_m3,
        |l| &mut l.leaked_m3,
        |l| &mut l.requested_m3,
        |l| &mut l.short_m3,
        |l| &mut l.garden_m3,
        |l| &mut l.garden_requested_m3,
        |l| &mut l.garden_short_m3,
        |l| &mut l.inflow_m3,
        |l| &mut l.backup_m3,
        |l| &mut l.drunk_m3,
        |l| &mut l.delivery_shortage_m3,
        |l| &mut l.extra_short_m3,
        |l| &mut l.troughs_start_m3,
        |l| &mut l.troughs_end_m3,
    ];
    for (index, term) in terms.into_iter().enumerate() {
        for change in [1e-7, -1e-7, f64::NAN, f64::INFINITY] {
            let mut broken = good;
            *term(&mut broken) += change;
            let fault = broken.close().expect_err(&format!("term {index} moved by {change}"));
            assert_eq!(fault.kind, dryspell::fault::FaultKind::Ledger);
        }
    }
}

/// Pump and tank count apart: what the pump lifted, and what arrived.
#[test]
fn every_broken_term_of_the_well_with_its_float_is_refused() {
    let good = WellLedger {
        lifted_m3: 12.0,
        weep_m3: 1.5,
        riser_refill_m3: 0.5,
        arrived_m3: 10.0,
        ..WellLedger::default()
    };
    assert_eq!(good.close().unwrap(), 0.0);
    let terms: [fn(&mut WellLedger) -> &mut f64; 4] =
        [|l| &mut l.lifted_m3, |l| &mut l.weep_m3, |l| &mut l.riser_refill_m3, |l| &mut l.arrived_m3];
    for term in terms {
        for change in [1e-6, -1e-6, f64::NAN, f64::INFINITY] {
            let mut broken = good;
            *term(&mut broken) += change;
            assert_eq!(broken.close().expect_err("refused").kind, dryspell::fault::FaultKind::Ledger);
        }
    }
}

#[test]
fn every_broken_term_of_a_herds_book_is_refused() {
    let day = BookDay {
        demand_m3: 2.0,
        drunk_m3: 1.0,
        short_frozen_m3: 0.5,
        short_too_small_m3: 0.25,
        short_battery_m3: 0.125,
        short_tank_m3: 0.125,
        ..BookDay::default()
    };
    let book = |day| HerdBook { name: "cows".into(), days: vec![BookDay::default(), day] };
    assert_eq!(book(day).close().unwrap(), 0.0);
    let terms: [fn(&mut BookDay) -> &mut f64; 6] = [
        |d| &mut d.demand_m3,
        |d| &mut d.drunk_m3,
        |d| &mut d.short_frozen_m3,
        |d| &mut d.short_too_small_m3,
        |d| &mut d.short_battery_m3,
        |d| &mut d.short_tank_m3,
    ];
    for term in terms {
        for change in [1e-7, -1e-7, f64::NAN, f64::INFINITY] {
            let mut broken = day;
            *term(&mut broken) += change;
            let fault = book(broken).close().expect_err("refused");
            assert_eq!(fault.kind, dryspell::fault::FaultKind::Ledger);
        }
    }
    // More short than wanted, though the sum is right.
    let beyond = BookDay { drunk_m3: -0.5, short_tank_m3: 1.625, ..day };
    assert!(book(beyond).close().is_err());
}

#[test]
fn every_broken_term_of_the_wells_ledger_is_refused() {
    let good = SourceLedger { lifted_m3: 12.0, weep_m3: 1.5, riser_refill_m3: 0.5, available_m3: 10.0 };
    assert_eq!(good.close().unwrap(), 0.0);
    let terms: [fn(&mut SourceLedger) -> &mut f64; 4] =
        [|l| &mut l.lifted_m3, |l| &mut l.weep_m3, |l| &mut l.riser_refill_m3, |l| &mut l.available_m3];
    for term in terms {
        for change in [1e-7, -1e-7, f64::NAN, f64::INFINITY] {
            let mut broken = good;
            *term(&mut broken) += change;
            assert_eq!(broken.close().expect_err("refused").kind, dryspell::fault::FaultKind::Ledger);
        }
    }
}

#[test]
fn a_year_settles_and_repeats() {
    let calendar = Calendar::year(2001);
    // Winter too dull for the herd, summer more than enough.
    let available: Vec<f64> = (0..8760)
        .map(|h| {
            let (day, hour) = (h / 24, h % 24);
            let summer = (60..300).contains(&day);
            if (9..15).contains(&hour) { if summer { 0.5 } else { 0.1 } } else { 0.0 }
        })
        .collect();
    let flows = Flows::lossless(&available, &[0.05; 8760]);
    let settings = Settings { float_stop_m3: Some(30.0), ..Settings::open("main", 30.0) };
    let steady = settle(&Tanks::new([&settings]), &flows);
    assert!(steady.settled && steady.passes <= 3, "{steady:?}");
    let (hours, outcome) =
        follow(&settings, &flows, &Demand::at_tank(&flows.requested_m3), &calendar).unwrap();
    assert_eq!(outcome.ledgers.start_m3, outcome.ledgers.end_m3);
    assert_eq!(hours.len(), 8760);
    // The dry spell runs over the year's end: counted once.
    assert_eq!(outcome.counts.spells, 1, "{:?}", outcome.counts);
    assert!((3..=10).contains(&outcome.tank_year_month));
    let by_the_calendar = {
        let demand = Demand::at_tank(&flows.requested_m3);
        let mut counters = Counters::<1>::new(&demand, 0.01);
        hours.iter().enumerate().for_each(|(h, hour)| counters.hour(h, hour));
        counters.counts()[0]
    };
    assert_eq!(by_the_calendar.spells, 2, "a line cuts the same spell in two");
    assert_eq!(by_the_calendar.shortfall_days, outcome.counts.shortfall_days);
}

#[test]
fn the_float_band_of_a_one_year_record_is_part_of_its_state() {
    // A band tank whose float state, not its level, differs at the end of the first pass.
    let calendar = Calendar::year(2001);
    let available: Vec<f64> = (0..8760).map(|h| if h % 24 == 12 { 1.0 } else { 0.0 }).collect();
    let flows = Flows::lossless(&available, &[0.02; 8760]);
    let settings =
        Settings { float_stop_m3: Some(3.0), float_start_m3: Some(1.0), ..Settings::open("main", 3.0) };
    let (_, outcome) = follow(&settings, &flows, &Demand::at_tank(&flows.requested_m3), &calendar).unwrap();
    if outcome.settled {
        assert_eq!(outcome.ledgers.start_m3, outcome.ledgers.end_m3);
    } else {
        assert_eq!(outcome.passes, Some(20));
    }
    assert!(outcome.ledgers.residual() <= 0.0);
}
