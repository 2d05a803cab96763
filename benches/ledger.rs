//! The tank's ledger: a year of hours, one tank and sixteen side by side, with band, losses and every counter.
//!
//! Criterion prints the time of a year and the rate in tank-hours; 1 / rate is the time of a tank-hour.
#![allow(missing_docs, reason = "criterion's macros make undocumented functions")]

use std::hint::black_box;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use dryspell::reliability::counters::Counters;
use dryspell::reliability::demand::Demand;
use dryspell::tank::ledger::{Flows, NoSink, Tanks, run};
use dryspell::tank::{Carry, Settings};

const HOURS: usize = 8760;

/// Sun-like inflow with dull weeks, a herd that drinks twice a day, evaporation and a leak.
fn flows() -> Flows {
    let offered: Vec<f64> = (0..HOURS)
        .map(|h| {
            let (day, hour) = (h / 24, h % 24);
            let dull = day % 17 < 6;
            if (8..16).contains(&hour) { if dull { 0.05 } else { 0.6 } } else { 0.0 }
        })
        .collect();
    let wanted: Vec<f64> =
        (0..HOURS).map(|h| if matches!(h % 24, 7 | 8 | 17 | 18) { 0.5 } else { 0.0 }).collect();
    let evaporation: Vec<f64> =
        (0..HOURS).map(|h| if (10..18).contains(&(h % 24)) { 0.003 } else { 0.0 }).collect();
    Flows::new(&offered, &wanted, &evaporation, &[0.0005; HOURS])
}

fn tank(i: usize) -> Settings {
    let capacity = 4.0 + 0.5 * f64::from(u32::try_from(i).unwrap_or(0));
    Settings {
        float_stop_m3: Some(capacity),
        float_start_m3: Some(0.8 * capacity),
        carry: Carry::WithinDay,
        ..Settings::open("main", capacity)
    }
}

fn lanes<const N: usize>(c: &mut Criterion) {
    let flows = flows();
    let settings: [Settings; N] = std::array::from_fn(tank);
    let tanks = Tanks::new(std::array::from_fn(|i| &settings[i]));
    let mut group = c.benchmark_group(format!("ledger/{N}"));
    group.throughput(Throughput::Elements((HOURS * N) as u64));
    group.bench_function("volumes", |b| {
        b.iter(|| run(&tanks, black_box(&flows), 0..HOURS, &mut tanks.full(), &mut NoSink));
    });
    group.bench_function("volumes and counters", |b| {
        b.iter(|| {
            let demand = Demand::at_tank(&flows.wanted_m3);
            let mut counters = Counters::<N>::new(&demand, 0.01);
            let totals = run(&tanks, black_box(&flows), 0..HOURS, &mut tanks.full(), &mut counters);
            (totals, counters.counts())
        });
    });
    group.finish();
}

fn ledger(c: &mut Criterion) {
    lanes::<1>(c);
    lanes::<16>(c);
}

criterion_group!(benches, ledger);
criterion_main!(benches);
