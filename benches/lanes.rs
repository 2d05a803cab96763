//! Nanoseconds of a tank-hour for many tanks at once, on one thread and on two, and what each tank did.
//!
//! `cargo bench -p dryspell --bench lanes` prints the times; with the name of a folder it also writes the columns and every
//! tank's results there, which `ledger_ratio.py` holds against its own loop.
#![allow(missing_docs, clippy::unwrap_used, clippy::print_stdout, reason = "a bench prints and stops")]

use std::fmt::Write as _;
use std::hint::black_box;
use std::path::Path;
use std::time::Instant;

use dryspell::grid;
use dryspell::lanes::{self, Course, Lane};
use dryspell::reliability::demand::Demand;
use dryspell::tank::Settings;
use dryspell::tank::ledger::{Flows, State, Tanks};
use rayon::prelude::*;

#[path = "ledger_case.rs"]
mod ledger_case;
use ledger_case::{HOURS, bare_flows, bare_tank, flows, tank};

/// Tanks that a thread takes at a time.
const SHARE: usize = 64;

/// One way of running the case.
type Way<'a> = &'a dyn Fn(&[Tanks<1>]);

/// Best of many repetitions, nanoseconds a tank-hour.
fn best(tanks: &[Tanks<1>], work: Way) -> f64 {
    let begun = Instant::now();
    let mut best = f64::INFINITY;
    let mut times = 0;
    while times < 10 || begun.elapsed().as_secs_f64() < 1.0 {
        let start = Instant::now();
        work(tanks);
        best = best.min(start.elapsed().as_secs_f64());
        times += 1;
    }
    best * 1e9 / (tanks.len() * HOURS) as f64
}

/// Tanks of so many sizes from the least, `span` more to the largest.
fn tanks(count: usize, of: fn(f64) -> Settings, (least, span): (f64, f64)) -> Vec<Tanks<1>> {
    (0..count).map(|i| Tanks::new([&of(least + span * i as f64 / count as f64)])).collect()
}

fn full(tanks: &[Tanks<1>]) -> Vec<State<1>> {
    tanks.iter().map(Tanks::full).collect()
}

fn case(name: &str, flows: &Flows, of: fn(f64) -> Settings, sizes_m3: (f64, f64), folder: Option<&Path>) {
    let demand = Demand::at_tank(&flows.requested_m3);
    let year = 0..HOURS / 24;
    let all = |course: &Course, tanks: &[Tanks<1>]| {
        lanes::run(course, tanks, &full(tanks), std::slice::from_ref(&year))
    };
    let mut ready = f64::INFINITY;
    for _ in 0..100 {
        let start = Instant::now();
        black_box(Course::new(black_box(flows), &demand, 0.01));
        ready = ready.min(start.elapsed().as_secs_f64() * 1e6);
    }
    println!("{name} any ready_us {ready:.1}");
    for count in [64, 1024] {
        let some = tanks(count, of, sizes_m3);
        let one = best(&some, &|tanks| {
            let course = Course::new(black_box(flows), &demand, 0.01);
            black_box(all(&course, tanks));
        });
        let two = best(&some, &|tanks| {
            let course = Course::new(black_box(flows), &demand, 0.01);
            black_box(tanks.par_chunks(SHARE).map(|share| all(&course, share)).collect::<Vec<_>>());
        });
        let steady = best(&some, &|tanks| {
            let course = Course::new(black_box(flows), &demand, 0.01);
            black_box(
                tanks.par_chunks(SHARE).map(|share| lanes::steady_year(&course, share)).collect::<Vec<_>>(),
            );
        });
        println!("{name} {count} one_thread_ns {one:.4}");
        println!("{name} {count} two_threads_ns {two:.4}");
        println!("{name} {count} steady_two_threads_ns {steady:.4}");
    }
    let some = tanks(1024, of, sizes_m3);
    let course = Course::new(flows, &demand, 0.01);
    let done = all(&course, &some);
    if let Some(folder) = folder {
        std::fs::write(folder.join(format!("{name}_hours.csv")), columns(flows)).unwrap();
        std::fs::write(folder.join(format!("{name}_tanks.csv")), results(&some, &done)).unwrap();
    }
}

fn columns(flows: &Flows) -> String {
    let mut text = String::from("available,wanted,evaporation,leak\n");
    for h in 0..flows.hours() {
        let steps = [&flows.available_m3, &flows.requested_m3, &flows.evaporation_m3, &flows.leak_m3]
            .map(|column| (column[h] * grid::STEPS_PER_M3).to_string());
        writeln!(text, "{}", steps.join(",")).unwrap();
    }
    text
}

/// Volumes in steps of the grid, days as indices with −1 for none.
fn results(tanks: &[Tanks<1>], done: &[Lane]) -> String {
    let mut text = String::from(
        "full,pumped,drawn,short,curtailed,spilled,evaporated,leaked,end,stock_days,shortfall_days,spells,\
         longest_spell,dry_hours,longest_dry,longest_idle,worst_share,worst_day,haul,haul_by\n",
    );
    for (tank, lane) in tanks.iter().zip(done) {
        let (t, c) = (&lane.totals, &lane.counts);
        let volumes = [
            tank.full_m3(),
            t.pumped_m3,
            t.drawn_m3,
            t.short_m3,
            t.curtailed_m3,
            t.spilled_m3,
            t.evaporated_m3,
            t.leaked_m3,
            lane.end.level_m3,
        ];
        let day = |day: Option<usize>| day.map_or("-1".to_owned(), |d| d.to_string());
        let mut cells: Vec<String> =
            volumes.iter().map(|v| (v[0] * grid::STEPS_PER_M3).to_string()).collect();
        let counts = [
            c.stock_days,
            c.shortfall_days,
            c.spells,
            c.longest_spell_days,
            c.dry_hours,
            c.longest_dry_hours,
            c.longest_nothing_drawn_hours,
        ];
        cells.extend(counts.map(|n| n.to_string()));
        cells.extend([c.worst_day_short.to_string(), day(c.worst_day)]);
        cells.extend([(c.haul_m3 * grid::STEPS_PER_M3).to_string(), day(c.haul_by_day)]);
        writeln!(text, "{}", cells.join(",")).unwrap();
    }
    text
}

fn main() {
    let folder = std::env::args().skip(1).find(|word| !word.starts_with("--"));
    let folder = folder.as_deref().map(Path::new);
    rayon::ThreadPoolBuilder::new().num_threads(2).build_global().unwrap();
    // From two days of draw to eighteen; and from half a day to two, where every tank runs dry every other week.
    case("full", &flows(), tank, (4.0, 32.0), folder);
    case("small", &flows(), tank, (1.0, 3.0), folder);
    case("bare", &bare_flows(), bare_tank, (4.0, 32.0), folder);
}
