//! The smallest size against a sweep of the same tanks: `dryspell size` over so many tanks, and `dryspell sweep` over the same
//! ones, as whole processes. Criterion prints a row for each; the last lines are the ratio of the two in one run, the best of
//! many that took turns.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a bench prints and stops at the first surprise; criterion's macros make undocumented items"
)]

use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use criterion::{Criterion, criterion_group, criterion_main};

/// The scheme's own array, and so many tanks from 4 m³ on.
const ARRAY: &str = "array.shed.series = 2";

fn tanks(count: u32) -> String {
    format!("4 to {} by 0.1 m3", 4.0 + 0.1 * f64::from(count - 1))
}

/// A whole process on the shipped scheme; `size` ends with 1 where no tank will do.
fn whole(arguments: &[&str]) -> Duration {
    let demo = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../data/demo");
    let start = Instant::now();
    let status = Command::new(env!("CARGO_BIN_EXE_dryspell"))
        .args(arguments)
        .current_dir(demo)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .unwrap();
    let took = start.elapsed();
    assert!(status.code().is_some_and(|code| code < 2), "dryspell {arguments:?}: {status}");
    took
}

fn against(c: &mut Criterion, count: u32) {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("sweep.csv");
    let (sizes, vary) = (tanks(count), format!("tank.main.capacity = {}", tanks(count)));
    let out = out.to_str().unwrap();
    let sweep = || whole(&["sweep", "scheme.toml", "--vary", ARRAY, "--vary", &vary, "--out", out]);
    let size = || whole(&["size", "scheme.toml", "--target", "days=0", "--array", ARRAY, "--tank", &sizes]);
    let mut group = c.benchmark_group(format!("size/{count}"));
    group.sample_size(10);
    group.bench_function("sweep", |b| b.iter(&sweep));
    group.bench_function("size", |b| b.iter(&size));
    group.finish();
    let turns = if std::env::args().any(|word| word == "--test") { 1 } else { 10 };
    let best =
        (0..turns).fold((Duration::MAX, Duration::MAX), |best, _| (best.0.min(sweep()), best.1.min(size())));
    println!("size/{count} to sweep {:.2}", best.1.as_secs_f64() / best.0.as_secs_f64());
}

fn size(c: &mut Criterion) {
    for count in [64, 1000] {
        against(c, count);
    }
}

criterion_group!(benches, size);
criterion_main!(benches);
