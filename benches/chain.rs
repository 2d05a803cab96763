//! One site-year from sun to current, timed on one thread for `pvlib_ratio.py`: the sun, the light on a tilted plane,
//! cell temperature, maximum power, and the current at 14 V. Nothing is kept between repetitions; reading the file is
//! left out. Prints nanoseconds a year, the best of many repetitions; with a file name, writes what it worked out.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    unreachable_pub,
    reason = "a bench stops at the first surprise and prints what it finds"
)]

use dryspell::array::incidence::Glass;
use dryspell::array::one_diode::{SILICON_BAND_GAP_EV, curve};
use dryspell::array::snow::Snow;
use dryspell::array::soiling::Soiling;
use dryspell::array::{self, ArraySettings, Columns, Faiman, Module, OneDiode};
use dryspell::record::Record;
use dryspell::sun::{self, Sky};
use std::fmt::Write as _;
use std::hint::black_box;
use std::path::PathBuf;
use std::time::{Duration, Instant};

#[path = "../tests/support/tmy3.rs"]
mod tmy3;

/// The 80 W module of the reference series.
const MODULE: OneDiode = OneDiode {
    photocurrent_a: 4.980938,
    saturation_current_a: 9.686902e-10,
    series_resistance_ohm: 0.326085,
    shunt_resistance_ohm: 148.161652,
    modified_ideality_v: 0.976234,
    isc_temperature_a_per_k: 0.004423,
    band_gap_ev: SILICON_BAND_GAP_EV,
};
/// Voltage at which the current is wanted, V.
const VOLTAGE_V: f64 = 14.0;

fn settings() -> array::Settings {
    array::Settings {
        terminals: array::Terminals::Common,
        arrays: vec![ArraySettings {
            name: "one".into(),
            tilt_deg: 35.0,
            seasons: vec![],
            azimuth_deg: 180.0,
            module: Module::Parameters(MODULE),
            series: 1,
            parallel: 1,
            soiling: Soiling::Share(0.0),
            mismatch: 0.0,
            cable_ohm: 0.0,
            glass: Glass::Clear,
            faiman: Faiman::default(),
            slope_strings: 1,
        }],
        snow: Snow::default(),
    }
}

/// Current at the voltage in each hour, A; none flows back.
fn currents(columns: &Columns) -> Vec<f64> {
    let one = &columns.each[0];
    one.light_w_per_m2
        .iter()
        .zip(&one.cell_degc)
        .map(|(light, cell)| curve(&MODULE, *light, *cell).map_or(0.0, |c| c.current_a(VOLTAGE_V).max(0.0)))
        .collect()
}

fn best_of(repetitions: u32, mut work: impl FnMut()) -> Duration {
    (0..repetitions)
        .map(|_| {
            let start = Instant::now();
            work();
            start.elapsed()
        })
        .min()
        .unwrap_or_default()
}

fn table(sky: &Sky, columns: &Columns, current_a: &[f64]) -> String {
    let mut text = String::from("sun_minute,zenith_deg,plane_w_per_m2,cell_degc,power_w,current_a\n");
    for (h, current) in current_a.iter().enumerate() {
        let values = [columns.plane_w_per_m2[h], columns.cell_degc[h], columns.array_w[h], *current]
            .map(|v| v.to_string());
        writeln!(text, "{},{},{}", sky.sun_minute[h], sky.zenith_deg[h], values.join(",")).unwrap();
    }
    text
}

fn main() {
    // cargo passes flags of its own; a file name has none before it.
    let args: Vec<String> = std::env::args().skip(1).collect();
    let file = args.iter().find(|a| !a.starts_with('-'));
    let repetitions = if args.iter().any(|a| a == "--test") { 1 } else { 300 };
    let record: Record =
        tmy3::read(&PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../data/weather/723170TYA.CSV"));
    let (sun, array) = (sun::Settings::default(), settings());
    let sky = sun::sky(&sun, &record).unwrap();
    let columns = array::array(&array, &sky, &sun, &record).unwrap();
    let current_a = currents(&columns);
    if let Some(file) = file {
        std::fs::write(file, table(&sky, &columns, &current_a)).unwrap();
    }
    let stages: [(&str, &mut dyn FnMut()); 4] = [
        ("sun", &mut || drop(black_box(sun::sky(&sun, black_box(&record)).unwrap()))),
        ("array", &mut || drop(black_box(array::array(&array, black_box(&sky), &sun, &record).unwrap()))),
        ("current", &mut || drop(black_box(currents(black_box(&columns))))),
        ("chain", &mut || {
            let sky = sun::sky(&sun, black_box(&record)).unwrap();
            let columns = array::array(&array, &sky, &sun, &record).unwrap();
            drop(black_box(currents(&columns)));
        }),
    ];
    for (name, work) in stages {
        println!("{name}_ns {}", best_of(repetitions, work).as_nanos());
    }
}
