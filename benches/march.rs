//! One pass of the march through a year: a duty table with hydrants, gardens and extras on a tank that runs dry, and a brushed pump on a booster in a
//! weak well with standing water, a cut-out and a weep hole. Beside each the columns of the same scheme, from the supply on.
//!
//! A year is gone through until it repeats, so the time of a pass is that of the march over its passes, which the name tells.
#![allow(missing_docs, reason = "criterion's macros make undocumented functions")]
#![allow(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    unreachable_pub,
    reason = "a bench stops at the first surprise"
)]

use std::hint::black_box;
use std::path::PathBuf;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use dryspell::edition::Edition;
use dryspell::scheme::Scheme;
use dryspell::simulate::{AnswersBy, Memo, by_march};
use dryspell::supply;

#[path = "../tests/support/tmy3.rs"]
mod tmy3;

fn data(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../data").join(name)
}

fn march(c: &mut Criterion) {
    let record = Edition::new(tmy3::read(&data("weather/703165TY.csv")));
    let mut group = c.benchmark_group("march");
    group.sample_size(10);
    for (name, what) in [("rounds", "duty table, hydrants, booster"), ("brushed", "bore and current booster")]
    {
        let text = std::fs::read_to_string(data(&format!("demo/{name}.toml"))).unwrap();
        let plan = Scheme::from_toml(&text).unwrap().plan();
        // Without the questions that a whole run answers, each of which may march, too.
        let upstream = Memo::default().driven(&plan, &record).unwrap();
        let run = by_march(&upstream, &plan).unwrap();
        assert_eq!(run.answers_by, AnswersBy::March);
        let passes = run.outcome.passes.unwrap();
        group.throughput(Throughput::Elements(u64::from(passes)));
        group.bench_function(format!("{what}: {passes} passes"), |b| {
            b.iter(|| by_march(black_box(&upstream), &plan).unwrap().outcome.counts);
        });
        group.throughput(Throughput::Elements(1));
        group.bench_function(format!("{what}: the supply's columns"), |b| {
            let source = || supply::Source::from(&*upstream.array);
            b.iter(|| supply::supply(&plan.supply, black_box(source()), &upstream.calendar).unwrap());
        });
    }
    group.finish();
}

criterion_group!(benches, march);
criterion_main!(benches);
