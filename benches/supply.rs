//! The supply of a year: nanoseconds for each daylight hour.
#![allow(clippy::unwrap_used, missing_docs, reason = "a bench stops at the first surprise")]

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use dryspell::array::{ArrayModel, OneArray, Terminals};
use dryspell::calendar::Calendar;
use dryspell::coupling;
use dryspell::pipe::{self, Run};
use dryspell::pump::{self, DutyPoint, Start};
use dryspell::scheme::Scheme;
use dryspell::supply::{Settings, Source, System};
use dryspell::well;
use std::hint::black_box;

/// Six heads of six powers, two runs of pipe, twelve different months.
fn settings() -> Settings {
    let mut duty = Vec::new();
    for i in 0..6_u8 {
        for j in 1..=6_u8 {
            let (head_m, power_w) = (10.0 + 12.0 * f64::from(i), 100.0 * f64::from(j) + 10.0 * f64::from(i));
            let hydraulic = 0.45 * (power_w - 40.0) * (1.0 - 0.0004 * power_w);
            duty.push(DutyPoint {
                head_m,
                power_w,
                flow_m3_per_h: hydraulic * 3.6 / 9.80665 / (head_m + 8.0),
            });
        }
    }
    let run = |name: &str, length_m, bore_m| Run {
        name: name.into(),
        length_m,
        bore_m,
        roughness_m: 1.5e-6,
        fittings_k: 4.0,
        ..Run::default()
    };
    Settings {
        pump: pump::Settings::duty(duty, Start::BestEfficiency),
        coupling: coupling::Settings::tracking(0.97),
        well: well::Settings {
            static_level_m: std::array::from_fn(|m| 28.0 + 0.5 * f64::from(u8::try_from(m).unwrap())),
            specific_capacity_m3_per_h_m: Some(0.9),
            yield_m3_per_h: Some(3.0),
            ..well::Settings::default()
        },
        pipe: pipe::Settings {
            runs: vec![run("drop", 45.0, 0.0326), run("main", 250.0, 0.0408)],
            inlet_height_m: 6.0,
            discharge_pressure_m: 0.0,
            water_degc: 12.0,
            ..pipe::Settings::default()
        },
    }
}

fn year(c: &mut Criterion) {
    let calendar = Calendar::year(2023);
    // Daylight from 6 to 18 h, a different height each day, so that no two hours are alike.
    let array_w: Vec<f64> = (0..calendar.hours())
        .map(|h| {
            let noon = 12.5 - f64::from(u8::try_from(h % 24).unwrap()) - 0.5;
            let height = 300.0 + 0.05 * f64::from(u16::try_from(h).unwrap() % 6000);
            (height * (1.0 - noon * noon / 36.0)).max(0.0)
        })
        .collect();
    let daylight = array_w.iter().filter(|w| **w > 0.0).count();
    let settings = settings();
    let system = System::new(&settings).unwrap();
    let mut group = c.benchmark_group("supply");
    group.bench_function("prepare", |b| b.iter(|| System::new(black_box(&settings)).unwrap()));
    group.throughput(Throughput::Elements(u64::try_from(daylight).unwrap()));
    group.bench_function("year, per daylight hour", |b| {
        b.iter(|| system.supply(black_box(&array_w), &calendar).unwrap());
    });
    group.finish();
}

/// A motor behind a booster on one diode, a bore with a cut-out, a weep hole: the shipped scheme.
fn motor(c: &mut Criterion) {
    let scheme = include_str!("../data/demo/brushed.toml");
    let plan = Scheme::from_toml(scheme).unwrap().plan();
    let array = ArrayModel::new(&plan.array.arrays[0], None).unwrap();
    let calendar = Calendar::year(2023);
    let mut one = OneArray { wiring: Some(array.wiring()), ..OneArray::default() };
    for h in 0..calendar.hours() {
        let noon = 12.5 - f64::from(u8::try_from(h % 24).unwrap()) - 0.5;
        let height = 300.0 + 0.1 * f64::from(u16::try_from(h).unwrap() % 6000);
        let light = (height * (1.0 - noon * noon / 36.0)).max(0.0);
        let strings = array.wiring().string(light, 30.0);
        one.light_w_per_m2.push(light);
        one.cell_degc.push(30.0);
        one.power_w.push(strings.map_or(0.0, |s| s.maximum_power().power_w));
    }
    let daylight = one.power_w.iter().filter(|w| **w > 0.0).count();
    let array_w = one.power_w.clone();
    let each = [one];
    let system = System::new(&plan.supply).unwrap();
    let mut group = c.benchmark_group("supply");
    group.throughput(Throughput::Elements(u64::try_from(daylight).unwrap()));
    group.bench_function("motor, booster, bore and weep hole, per daylight hour", |b| {
        b.iter(|| {
            system
                .supply(
                    black_box(Source {
                        array_w: &array_w,
                        each: &each,
                        terminals: Terminals::Common,
                        frozen: &[],
                        parts: &[],
                    }),
                    &calendar,
                )
                .unwrap()
        });
    });
    group.finish();
}

criterion_group!(benches, year, motor);
criterion_main!(benches);
