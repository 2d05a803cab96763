//! A run of the shipped scheme on its own year, weather read before: what `benches/wheel_ratio.py` holds a run from Python against.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    reason = "a bench stops at the first surprise; criterion's macros make undocumented items"
)]

use std::hint::black_box;
use std::path::PathBuf;

use criterion::{Criterion, criterion_group, criterion_main};
use dryspell::edition::Edition;
use dryspell::scheme::Scheme;
use dryspell::simulate::simulate;

fn run(c: &mut Criterion) {
    let demo = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../data/demo");
    let text = std::fs::read_to_string(demo.join("scheme.toml")).unwrap();
    let scheme = Scheme::from_toml(&text).unwrap();
    let record = Edition::new(dryspell_weather::open(&scheme, &demo).unwrap().record);
    // As in the table of the demo: the same scheme on the same year.
    assert_eq!(simulate(&scheme.plan(), &record).unwrap().outcome.counts.shortfall_days, 7);
    c.bench_function("run/demo", |b| b.iter(|| simulate(black_box(&scheme.plan()), &record).unwrap()));
}

criterion_group!(benches, run);
criterion_main!(benches);
