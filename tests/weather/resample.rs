//! Made years from records of every kind of radiation time, and from many years: months, closure, memory, spread.
//!
//! Seeds fixed beforehand.

use crate::help::{colorado, real};
use crate::support::data;
use dryspell::record::{RadiationTime, Record, YearKind};
use dryspell::resample::blocks::kept_correlation;
use dryspell::resample::{Archive, Resampler, Settings};
use dryspell::sun;
use dryspell_weather::Options;
use dryspell_weather::synth::{Climate, Generator, Method};
use std::num::NonZeroUsize;

const TWO: NonZeroUsize = NonZeroUsize::new(2).unwrap();

/// What the sun stage hands on for a record, by month: global, diffuse, beam and temperature; and the root mean square of
/// global less diffuse less beam on the level while the sun is up.
struct Summary {
    global: [f64; 12],
    diffuse: [f64; 12],
    beam: [f64; 12],
    air: [f64; 12],
    closure: f64,
    /// Global light of each day, W h/m², and its date.
    days: Vec<(f64, usize)>,
}

fn summary(record: &Record) -> Summary {
    let sky = sun::sky(&sun::Settings::default(), record).unwrap();
    let mean = |column: &[f64]| -> [f64; 12] {
        let (mut sums, mut n) = ([0.0; 12], [0.0; 12]);
        for (h, value) in column.iter().enumerate() {
            let month = usize::from(record.calendar.day_of(h).month) - 1;
            sums[month] += value;
            n[month] += 1.0;
        }
        std::array::from_fn(|m| sums[m] / n[m])
    };
    let (mut miss, mut lit) = (0.0, 0.0);
    for h in 0..record.hours() {
        if sky.lit_fraction[h] > 0.0 {
            let level = sky.dni_w_per_m2[h] * sky.direction[h][2].max(0.0);
            let left = sky.ghi_w_per_m2[h] - sky.dhi_w_per_m2[h] - level;
            miss += left * left;
            lit += 1.0;
        }
    }
    let days = sky
        .ghi_w_per_m2
        .chunks(24)
        .zip(record.calendar.days())
        .map(|(hours, day)| (hours.iter().sum(), (day.day_of_year() as usize - 1).min(364)))
        .collect();
    Summary {
        global: mean(&sky.ghi_w_per_m2),
        diffuse: mean(&sky.dhi_w_per_m2),
        beam: mean(&sky.dni_w_per_m2),
        air: mean(&record.air_degc),
        closure: f64::sqrt(miss / lit),
        days,
    }
}

fn compare(name: &str, record: &Record, made: &Record) -> (Summary, Summary) {
    made.check().unwrap();
    assert_eq!((made.kind, made.radiation_time), (YearKind::Synthetic, RadiationTime::HourMean));
    let (was, is) = (summary(record), summary(made));
    println!("{name}: closure {:.3} W/m2, made {:.6}", was.closure, is.closure);
    for m in 0..12 {
        let percent = |a: [f64; 12], b: [f64; 12]| 100.0 * (b[m] / a[m] - 1.0);
        println!(
            "month {:2}: global {:+.2} %, diffuse {:+.2} %, beam {:+.2} %, air {:+.3} K",
            m + 1,
            percent(was.global, is.global),
            percent(was.diffuse, is.diffuse),
            percent(was.beam, is.beam),
            is.air[m] - was.air[m]
        );
    }
    for m in 0..12 {
        assert!((is.global[m] / was.global[m] - 1.0).abs() <= 0.01, "{name}: light of month {}", m + 1);
        assert!((is.air[m] - was.air[m]).abs() <= 0.2, "{name}: air of month {}", m + 1);
    }
    assert!(is.closure <= was.closure + 2.0, "{name}");
    (was, is)
}

#[test]
fn satellite_records_keep_their_months() {
    for (name, options) in [
        ("test_psm3_tmy-2017.csv", colorado()),
        ("test_psm4_tmy-2023.csv", colorado()),
        ("tmy_45.000_8.000_2005_2023.csv", Options::default()),
    ] {
        let record = real(name, &options).record;
        assert!(matches!(record.radiation_time, RadiationTime::Instant { .. }), "{name}");
        let archive = Archive::of(&record).unwrap();
        let made = Resampler::of_all(&archive, Settings::default(), 5).unwrap().record(200, TWO).unwrap();
        compare(name, &record, &made);
    }
}

/// Anomalies of daily light: each day over the smooth mean of its date (31 dates, all years), less 1.
fn anomalies(days: &[(f64, usize)]) -> Vec<f64> {
    let (mut sums, mut n) = ([0.0; 365], [0.0; 365]);
    for (light, date) in days {
        sums[*date] += light;
        n[*date] += 1.0;
    }
    let mean = |date: usize| {
        let near = (0..31).map(|k| (date + 365 + k - 15) % 365);
        let (light, days) = near.fold((0.0, 0.0), |(s, c), d| (s + sums[d], c + n[d]));
        light / days
    };
    let means: Vec<f64> = (0..365).map(mean).collect();
    days.iter().map(|(light, date)| light / means[*date] - 1.0).collect()
}

/// Correlation at a lag, and its standard error as that of many years (batch means).
fn correlation(x: &[f64], lag: usize) -> (f64, f64) {
    let variance = x.iter().map(|v| v * v).sum::<f64>() / x.len() as f64;
    let years: Vec<f64> = x
        .chunks(365)
        .filter(|year| year.len() == 365)
        .map(|year| {
            let pairs = year.len() - lag;
            (0..pairs).map(|i| year[i] * year[i + lag]).sum::<f64>() / pairs as f64 / variance
        })
        .collect();
    let n = years.len() as f64;
    let mean = years.iter().sum::<f64>() / n;
    let spread = years.iter().map(|y| (y - mean) * (y - mean)).sum::<f64>() / (n - 1.0);
    (mean, (spread / n).sqrt())
}

#[test]
fn many_years_keep_months_and_memory() {
    let text = std::fs::read_to_string(data("demo/climate.toml")).unwrap();
    let climate = Climate::from_toml(&text, "climate.toml").unwrap();
    let record = Generator::new(climate, Method::Free, 21).unwrap().record(20, TWO).unwrap();
    let archive = Archive::of(&record).unwrap();
    assert_eq!(archive.years(), 20);
    for mean_block_days in [15.0, 5.0] {
        let settings = Settings { mean_block_days, ..Settings::default() };
        let made = Resampler::of_all(&archive, settings, 22).unwrap().record(999, TWO).unwrap();
        let (was, is) = compare("20 synthetic years", &record, &made);
        let (was, is) = (anomalies(&was.days), anomalies(&is.days));
        let sd = |x: &[f64]| (x.iter().map(|v| v * v).sum::<f64>() / x.len() as f64).sqrt();
        println!("spread of daily light {:.4}, made {:.4}", sd(&was), sd(&is));
        assert!((sd(&is) / sd(&was) - 1.0).abs() < 0.03);
        for lag in [1, 2, 5] {
            let (record, _) = correlation(&was, lag);
            let (found, error) = correlation(&is, lag);
            let law = record * kept_correlation(mean_block_days, lag as u32);
            println!("lag {lag}: record {record:.4}, law {law:.4}, made {found:.4} ± {error:.4}");
            // The law is exact for a stationary series; the seasons, taken out by a mean, leave 0.01.
            assert!((found - law).abs() < 3.0 * error + 0.01, "lag {lag}");
        }
        let totals = |x: &[f64]| {
            let years: Vec<f64> =
                x.chunks(365).filter(|y| y.len() == 365).map(|y| y.iter().sum::<f64>() / 365.0).collect();
            sd(&years)
        };
        println!("spread of yearly light {:.4}, made {:.4}", totals(&was), totals(&is));
    }
}
