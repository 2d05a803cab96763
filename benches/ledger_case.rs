//! The case that the ledger's benches share: a year of sun with dull weeks, a herd that drinks twice a day.
#![allow(missing_docs, dead_code, unreachable_pub, reason = "shared by benches that each use a part")]

use dryspell::tank::Settings;
use dryspell::tank::ledger::Flows;

pub const HOURS: usize = 8760;

fn available_and_requested() -> (Vec<f64>, Vec<f64>) {
    let available = (0..HOURS)
        .map(|h| {
            let (day, hour) = (h / 24, h % 24);
            let dull = day % 17 < 6;
            if (8..16).contains(&hour) { if dull { 0.05 } else { 0.6 } } else { 0.0 }
        })
        .collect();
    let requested = (0..HOURS).map(|h| if matches!(h % 24, 7 | 8 | 17 | 18) { 0.5 } else { 0.0 }).collect();
    (available, requested)
}

/// With evaporation and a leak.
pub fn flows() -> Flows {
    let (available, requested) = available_and_requested();
    let evaporation: Vec<f64> =
        (0..HOURS).map(|h| if (10..18).contains(&(h % 24)) { 0.003 } else { 0.0 }).collect();
    Flows::new(&available, &requested, &evaporation, &[0.0005; HOURS])
}

/// Inflow and draw alone.
pub fn bare_flows() -> Flows {
    let (available, requested) = available_and_requested();
    Flows::lossless(&available, &requested)
}

/// With a float that lets the pump start again at four fifths.
pub fn tank(capacity_m3: f64) -> Settings {
    Settings {
        float_stop_m3: Some(capacity_m3),
        float_start_m3: Some(0.8 * capacity_m3),
        ..Settings::open("main", capacity_m3)
    }
}

/// Without a float.
pub fn bare_tank(capacity_m3: f64) -> Settings {
    Settings::open("main", capacity_m3)
}
