//! Columns of your own (a logger's, another model's) to reliability in one call.
//!
//! `cargo run --release -p dryspell --example own_columns`
#![allow(clippy::print_stdout, reason = "an example speaks to its reader")]

use dryspell::calendar::{Calendar, Day};
use dryspell::fault::Faults;
use dryspell::plan::Plan;
use dryspell::record::Record;
use dryspell::results::NamedColumns;
use dryspell::simulate::simulate;
use dryspell::tank;

fn main() -> Result<(), Faults> {
    // A year: water at noon by the season, none on every ninth day; 1.2 m³ drunk at dusk.
    let calendar = Calendar::starting(Day { year: 2023, month: 1, day: 1 }, 365);
    let available: Vec<f64> = (0..calendar.hours())
        .map(|h| {
            let day = (h / 24) as f64;
            let season = 2.0 - libm::cos(std::f64::consts::TAU * day / 365.0);
            if h % 24 == 12 && (h / 24) % 9 != 0 { season } else { 0.0 }
        })
        .collect();
    let demand: Vec<f64> = (0..calendar.hours()).map(|h| if h % 24 == 19 { 1.2 } else { 0.0 }).collect();

    // A float stops the inflow at 5.5 m³ and lets it start again at 5 m³.
    let tank = tank::Settings {
        float_stop_m3: Some(5.5),
        float_start_m3: Some(5.0),
        ..tank::Settings::open("main", 6.0)
    };
    let run = simulate(&Plan::of_columns(available, demand, tank), &Record::without_weather(calendar))?;

    println!("days of shortfall  {}", run.outcome.counts.shortfall_days);
    println!("a full tank lasts  {:.1} days", run.full_tank.worst.unwrap_or(f64::NAN));
    println!("storage needed     {:.2} m3", run.storage.storage_m3.unwrap_or(f64::NAN));
    let stored = NamedColumns::hourly(&run);
    let lowest = stored.column("stored_m3")?.iter().copied().fold(f64::INFINITY, f64::min);
    println!("lowest level       {lowest:.2} m3");
    Ok(())
}
