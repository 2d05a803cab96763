//! The tank's ledger: a year of hours, one tank and sixteen side by side, and 64 and 1024 as integer lanes, with band,
//! losses and every counter, and bare.
//!
//! Criterion prints the time of a year and the rate in tank-hours; 1 / rate is the time of a tank-hour.
#![allow(missing_docs, reason = "criterion's macros make undocumented functions")]

use std::hint::black_box;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use dryspell::lanes::{self, Course};
use dryspell::reliability::counters::Counters;
use dryspell::reliability::demand::Demand;
use dryspell::tank::Settings;
use dryspell::tank::ledger::{Flows, NoSink, State, Tanks, run};

#[path = "ledger_case.rs"]
mod ledger_case;
use ledger_case::{HOURS, bare_flows, bare_tank, flows, tank};

fn size(i: usize) -> f64 {
    4.0 + 0.5 * f64::from(u32::try_from(i).unwrap_or(0))
}

fn side_by_side<const N: usize>(c: &mut Criterion) {
    let flows = flows();
    let settings: [Settings; N] = std::array::from_fn(|i| tank(size(i)));
    let tanks = Tanks::new(std::array::from_fn(|i| &settings[i]));
    let mut group = c.benchmark_group(format!("ledger/{N}"));
    group.throughput(Throughput::Elements((HOURS * N) as u64));
    group.bench_function("volumes", |b| {
        b.iter(|| run(&tanks, black_box(&flows), 0..HOURS, &mut tanks.full(), &mut NoSink));
    });
    group.bench_function("volumes and counters", |b| {
        b.iter(|| {
            let demand = Demand::at_tank(&flows.requested_m3);
            let mut counters = Counters::<N>::new(&demand, 0.01);
            let totals = run(&tanks, black_box(&flows), 0..HOURS, &mut tanks.full(), &mut counters);
            (totals, counters.counts())
        });
    });
    group.finish();
}

fn lanes(c: &mut Criterion, name: &str, flows: &Flows, of: fn(f64) -> Settings, count: usize) {
    // The same range of sizes, whatever the number.
    let tanks: Vec<Tanks<1>> =
        (0..count).map(|i| Tanks::new([&of(size(0) + 32.0 * i as f64 / count as f64)])).collect();
    let full: Vec<State<1>> = tanks.iter().map(Tanks::full).collect();
    let demand = Demand::at_tank(&flows.requested_m3);
    let mut group = c.benchmark_group(format!("lanes/{count}"));
    group.throughput(Throughput::Elements((HOURS * count) as u64));
    group.bench_function(name, |b| {
        b.iter(|| {
            let course = Course::new(black_box(flows), &demand, 0.01);
            lanes::run(&course, &tanks, &full, std::slice::from_ref(&(0..HOURS / 24)))
        });
    });
    group.finish();
}

fn ledger(c: &mut Criterion) {
    side_by_side::<1>(c);
    side_by_side::<16>(c);
    for count in [64, 1024] {
        lanes(c, "band, losses and every counter", &flows(), tank, count);
        lanes(c, "bare, every counter", &bare_flows(), bare_tank, count);
    }
}

criterion_group!(benches, ledger);
criterion_main!(benches);
