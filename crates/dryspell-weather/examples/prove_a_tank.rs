//! For the designer: does this tank carry this herd, and what was its worst fortnight?
//!
//! From a clean clone:
//! `cargo run --release -p dryspell-weather --example prove_a_tank`
//! or with a scheme of your own behind `--`:
//! `cargo run --release -p dryspell-weather --example prove_a_tank -- my/scheme.toml`
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "an example speaks to its reader")]

use std::error::Error;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use dryspell::results::answer;
use dryspell::scheme::Scheme;
use dryspell::simulate::simulate;
use dryspell::units::System;

fn main() -> ExitCode {
    // Errors of this library are whole sentences: they are shown as they are.
    match prove() {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("{error}");
            ExitCode::FAILURE
        }
    }
}

fn prove() -> Result<(), Box<dyn Error>> {
    // The scheme: the file named on the command line, or the demo that comes with the source.
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/demo/scheme.toml");
    let file = std::env::args().nth(1).map_or(demo, PathBuf::from);
    let text = std::fs::read_to_string(&file).map_err(|e| format!("{}: {e}", file.display()))?;

    // Reading gives a scheme, or everything that is wrong with it at once, a line each.
    let scheme = Scheme::from_toml(&text)?;

    // A scheme names its weather relative to its own folder. All that it says under [weather] counts: place, clock, kind
    // of years, or the climate from which years are made. Formats are recognised by their content.
    let folder = file.parent().unwrap_or(Path::new(""));
    let weather = dryspell_weather::open(&scheme, folder)?;

    // The plan holds the settings of every stage, from the sun to the tank. One call goes the whole way of the water.
    let plan = scheme.plan();
    let run = simulate(&plan, &weather.record)?;

    // The first lines of the report, in words.
    println!("{}\n", answer(&run, System::Si));

    // The same as numbers. A figure that the record cannot tell is `None`, never 0.
    let counts = run.outcome.counts;
    println!("days of shortfall      {:6} of {} days with stock", counts.shortfall_days, counts.stock_days);
    println!("longest spell          {:6} days", counts.longest_spell_days);
    println!("water served           {:>6} %", shown(run.volume_served_percent(), 2));
    println!(
        "a full tank lasts      {:>6} days, from the worst hour of the year",
        shown(run.full_tank.worst, 1)
    );
    println!("rule-sheet storage     {:>6} days", shown(run.rule_sheet_storage_days(), 1));

    // The dullest fortnight: the 14 days in a row with the least sun on the panels. One year goes round, so that a
    // fortnight may reach over New Year; a record of several years does not.
    let days = &run.days;
    let n = days.len();
    let starts = if run.calendar.is_one_year() { n } else { n.saturating_sub(13) };
    let fortnight = |start: usize| (start..start + 14).map(move |day| day % n);
    let light = |start: usize| fortnight(start).map(|day| days[day].plane_kwh_per_m2).sum::<f64>() / 14.0;
    let dullest =
        (0..starts).min_by(|a, b| light(*a).total_cmp(&light(*b))).ok_or("a record without a fortnight")?;

    // What came in, what the herd needed, and how low the tank went in these days.
    let sum = |value: fn(&dryspell::reliability::periods::DayFigures) -> f64| {
        fortnight(dullest).map(|day| value(&days[day])).sum::<f64>()
    };
    let lowest = fortnight(dullest).map(|day| days[day].lowest_m3).fold(f64::INFINITY, f64::min);
    let date = |day: usize| {
        let day = run.calendar.days()[day % n];
        format!("{:02}-{:02}", day.month, day.day)
    };
    println!("\nDullest fortnight: {} to {}", date(dullest), date(dullest + 13));
    println!("sun on the panels      {:6.2} kWh/m2 a day", light(dullest));
    println!("the pump could lift    {:6.2} m3", sum(|day| day.available_m3));
    println!("demand of the herd     {:6.2} m3", sum(|day| day.demand_m3));
    println!("short                  {:6.2} m3", sum(|day| day.short_m3));
    println!("lowest in the tank     {lowest:6.2} m3");
    Ok(())
}

/// A number, or a dash where the record cannot tell.
fn shown(value: Option<f64>, digits: usize) -> String {
    value.map_or_else(|| "-".to_owned(), |v| format!("{v:.digits$}"))
}
