//! A thousand tanks at the end of one supply, side by side: the smallest without a day of shortfall.
//!
//! `cargo run --release -p dryspell --example many_tanks`
#![allow(clippy::print_stdout, reason = "an example speaks to its reader")]

use dryspell::calendar::{Calendar, Day};
use dryspell::edition::Edition;
use dryspell::fault::Faults;
use dryspell::plan::Plan;
use dryspell::record::Record;
use dryspell::simulate::{Memo, at_tanks};
use dryspell::tank;

fn main() -> Result<(), Faults> {
    // Ten years with a dull spell of a few days in each winter, longer every third year.
    let calendar = Calendar::starting(Day { year: 2010, month: 1, day: 1 }, 3652);
    let dull = |day: usize| {
        let (year, day) = (day / 365, day % 365);
        day < if year.is_multiple_of(3) { 11 } else { 6 }
    };
    let water = |h: usize| if h % 24 == 12 && !dull(h / 24) { 2.0 } else { 0.0 };
    let available: Vec<f64> = (0..calendar.hours()).map(water).collect();
    let demand = vec![0.06; calendar.hours()];

    let plan = Plan::of_columns(available, demand, tank::Settings::open("main", 10.0));
    let record = Edition::new(Record::without_weather(calendar));
    // All that lies before the tank is worked out once.
    let upstream = Memo::default().upstream(&plan, &record)?;
    let tanks: Vec<tank::Settings> =
        (1..=1000).map(|i| tank::Settings::open("main", 0.05 * f64::from(i))).collect();
    for (tank, result) in tanks.iter().zip(at_tanks(&upstream, &plan, &tanks)) {
        if result?.outcome.counts.shortfall_days == 0 {
            println!("the smallest tank without a day of shortfall: {:.2} m3", tank.capacity_m3);
            return Ok(());
        }
    }
    println!("no tank up to 50 m3 does");
    Ok(())
}
