//! A whole run of a year by the hour's mean, by the distribution inside the hour, and at steps of five minutes: reading the file is left
//! out, nothing is kept between repetitions. The distribution's nodes are kept from the first repetition on, as in a sweep.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    unreachable_pub,
    reason = "a bench stops at the first surprise; criterion's macros make undocumented items"
)]

use std::hint::black_box;
use std::path::PathBuf;

use criterion::{Criterion, criterion_group, criterion_main};
use dryspell::record::{PartLight, Record};
use dryspell::scheme::Scheme;
use dryspell::simulate::simulate;
use dryspell::sun::inside_hour::InsideHour;

#[path = "../tests/support/tmy3.rs"]
mod tmy3;

fn data(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../data").join(name)
}

/// The same year at five minutes: light that moves to and fro about the hour's mean.
fn five_minutes(record: &Record) -> Record {
    let part = |k: u32| {
        let factor = 1.0 + 0.05 * (f64::from((k * 5) % 12) - 5.5);
        let scaled = |column: &Vec<f64>| column.iter().map(|w| w * factor).collect();
        PartLight { ghi_w_per_m2: scaled(&record.ghi_w_per_m2), dni_w_per_m2: None, dhi_w_per_m2: None }
    };
    Record { parts: (0..12).map(part).collect(), ..record.clone() }
}

fn inside_hour(c: &mut Criterion) {
    let hours = tmy3::read(&data("weather/703165TY.csv"));
    let fine = five_minutes(&hours);
    let mut group = c.benchmark_group("inside the hour");
    group.sample_size(10);
    for name in ["scheme", "five_herds", "brushed"] {
        let text = std::fs::read_to_string(data(&format!("demo/{name}.toml"))).unwrap();
        let plan = Scheme::from_toml(&text).unwrap().plan();
        let mut spread = plan.clone();
        spread.sun.inside_hour = InsideHour::Spread;
        for (what, plan, record) in [
            ("hourly means", &plan, &hours),
            ("distribution", &spread, &hours),
            ("five minutes", &plan, &fine),
        ] {
            group.bench_function(format!("{name}: {what}"), |b| {
                b.iter(|| simulate(black_box(plan), record).unwrap().outcome.counts);
            });
        }
    }
    group.finish();
}

criterion_group!(benches, inside_hour);
criterion_main!(benches);
