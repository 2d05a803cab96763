//! One site-year: sun, plane, cell temperature, maximum power. Nothing is kept between repetitions; reading the file is
//! left out. One element is one hour of the record.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    unreachable_pub,
    reason = "a bench stops at the first surprise; criterion's macros make undocumented items"
)]

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use dryspell::array::incidence::Glass;
use dryspell::array::snow::Snow;
use dryspell::array::soiling::Soiling;
use dryspell::array::{self, ArraySettings, Faiman, Module, OneDiode};
use dryspell::sun;
use std::hint::black_box;
use std::path::PathBuf;

#[path = "../tests/support/tmy3.rs"]
mod tmy3;

fn one_array() -> array::Settings {
    let module = OneDiode {
        photocurrent_a: 4.980938,
        saturation_current_a: 9.686902e-10,
        series_resistance_ohm: 0.326085,
        shunt_resistance_ohm: 148.161652,
        modified_ideality_v: 0.976234,
        isc_temperature_a_per_k: 0.004423,
        band_gap_ev: array::one_diode::SILICON_BAND_GAP_EV,
    };
    array::Settings {
        terminals: array::Terminals::Common,
        arrays: vec![ArraySettings {
            name: "one".into(),
            tilt_deg: 35.0,
            seasons: vec![],
            azimuth_deg: 180.0,
            module: Module::Parameters(module),
            series: 2,
            parallel: 1,
            soiling: Soiling::Share(0.03),
            mismatch: 0.02,
            cable_ohm: 0.3,
            glass: Glass::Fresnel,
            faiman: Faiman::default(),
            slope_strings: 1,
        }],
        snow: Snow::default(),
    }
}

fn site_year(c: &mut Criterion) {
    let file = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../data/weather/723170TYA.CSV");
    let record = tmy3::read(&file);
    let sun = sun::Settings::default();
    let array = one_array();
    let sky = sun::sky(&sun, &record).unwrap();
    let mut group = c.benchmark_group("site_year");
    group.throughput(Throughput::Elements(8760));
    group.bench_function("sun", |b| b.iter(|| sun::sky(&sun, black_box(&record)).unwrap()));
    group.bench_function("array", |b| {
        b.iter(|| array::array(black_box(&array), &sky, &sun, &record).unwrap());
    });
    group.bench_function("sun_to_power", |b| {
        b.iter(|| {
            let sky = sun::sky(&sun, black_box(&record)).unwrap();
            array::array(&array, &sky, &sun, &record).unwrap()
        });
    });
    group.finish();
}

criterion_group!(benches, site_year);
criterion_main!(benches);
