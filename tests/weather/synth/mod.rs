//! Synthetic years: their means, their memory, their spread, and the same bytes from the same seed.
//!
//! Statistical checks have a seed fixed beforehand and ask for three standard errors; samples are large enough for one
//! standard error to be at most 2 % of the value.
#![allow(clippy::print_stdout, reason = "statistics are shown beside their bounds")]

mod bytes;
mod judged;
mod like;

use crate::support::data;
use dryspell::fault::FaultKind;
use dryspell::record::{Record, YearKind};
use dryspell::sun;
use dryspell_weather::formats::plain;
use dryspell_weather::synth::{Climate, Generator, MOST_YEARS, Method};
use dryspell_weather::{Options, read_bytes};
use std::num::NonZeroUsize;

const TWO: NonZeroUsize = NonZeroUsize::new(2).unwrap();
const YEARS: usize = 200;

fn demo() -> Climate {
    let text = std::fs::read_to_string(data("demo/climate.toml")).unwrap();
    Climate::from_toml(&text, "climate.toml").unwrap()
}

#[test]
fn a_climate_in_us_units_is_the_same_and_its_faults_speak_them() {
    let si = std::fs::read_to_string(data("demo/climate.toml")).unwrap();
    let swapped: Vec<String> = si
        .lines()
        .map(|line| {
            let Some((key, rest)) = line.split_once(" = ") else { return line.to_owned() };
            let (name, change): (&str, fn(f64) -> f64) = match key {
                "elevation_m" => ("elevation_ft", |x| x / 0.3048),
                "air_degc" => ("air_degf", |x| 1.8 * x + 32.0),
                "daily_range_degc" => ("daily_range_degf", |x| 1.8 * x),
                "wind_m_per_s" => ("wind_mph", |x| x * 3600.0 / 1609.344),
                _ => return line.to_owned(),
            };
            let values: Vec<String> = rest
                .trim_matches(|c| c == '[' || c == ']')
                .split(", ")
                .map(|x| format!("{:.6}", change(x.parse().unwrap())))
                .collect();
            if rest.starts_with('[') {
                format!("{name} = [{}]", values.join(", "))
            } else {
                format!("{name} = {}", values[0])
            }
        })
        .collect();
    let us = swapped.join("\n");
    assert!(
        ["elevation_ft", "air_degf", "daily_range_degf", "wind_mph"].iter().all(|name| us.contains(name))
    );
    let (found, expected) = (Climate::from_toml(&us, "us.toml").unwrap(), demo());
    let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-5, "{a} v {b}");
    near(found.place.elevation_m, expected.place.elevation_m);
    for m in 0..12 {
        near(found.air_degc[m], expected.air_degc[m]);
        near(found.daily_range_degc[m], expected.daily_range_degc[m]);
        near(found.wind_m_per_s.unwrap()[m], expected.wind_m_per_s.unwrap()[m]);
    }
    let refused = |text: &str| Climate::from_toml(text, "us.toml").unwrap_err().to_string();
    let hot = us.replacen("air_degf = [", "air_degf = [20", 1);
    let told = refused(&hot);
    assert!(told.contains("air_degf[1]") && told.contains("-112 to 122"), "{told}");
    let twice = format!("{us}\nelevation_m = 300\n");
    assert!(refused(&twice).contains("elevation_ft given as well as elevation_m"), "{}", refused(&twice));
    let none = us.lines().filter(|l| !l.starts_with("air_degf")).collect::<Vec<_>>().join("\n");
    assert!(refused(&none).contains("air_degc"), "{}", refused(&none));
}

/// A place near the equator with the same mean clearness in every month. There the leap cycle hardly moves what arrives
/// outside the air, so that each year's months have this clearness too.
fn level(k_mean: f64) -> Climate {
    let mut climate = demo();
    climate.place.latitude_deg = 10.0;
    climate.global_kwh_per_m2_day =
        climate.extraterrestrial_kwh_per_m2_day().unwrap().map(|outside| k_mean * outside);
    climate
}

fn generator(climate: Climate, method: Method, seed: u64) -> Generator {
    Generator::new(climate, method, seed).unwrap()
}

/// Extraterrestrial radiation on the level, Wh/m² in each hour, and the cosine of the sun's zenith angle.
fn outside(record: &Record) -> (Vec<f64>, Vec<f64>) {
    let sky = sun::sky(&sun::Settings::default(), record).unwrap();
    let cos_zenith: Vec<f64> = sky.direction.iter().map(|d| d[2]).collect();
    let outside = cos_zenith
        .iter()
        .zip(&sky.extraterrestrial_normal_w_per_m2)
        .zip(&sky.lit_fraction)
        .map(|((c, e), lit)| c.max(0.0) * e * lit)
        .collect();
    (outside, cos_zenith)
}

fn day_sums(hours: &[f64]) -> Vec<f64> {
    hours.chunks(24).map(|d| d.iter().sum()).collect()
}

/// Clearness of each day.
fn clearness(record: &Record) -> Vec<f64> {
    let outside = day_sums(&outside(record).0);
    day_sums(&record.ghi_w_per_m2).into_iter().zip(outside).map(|(g, o)| g / o).collect()
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

fn sd(values: &[f64]) -> f64 {
    let m = mean(values);
    (values.iter().map(|v| (v - m) * (v - m)).sum::<f64>() / values.len() as f64).sqrt()
}

fn correlation(a: &[f64], b: &[f64]) -> f64 {
    let (ma, mb) = (mean(a), mean(b));
    let product: f64 = a.iter().zip(b).map(|(x, y)| (x - ma) * (y - mb)).sum();
    product / (a.len() as f64 * sd(a) * sd(b))
}

/// The values of one month, 1 to 12, of a daily column.
fn of_month(record: &Record, daily: &[f64], month: u8) -> Vec<f64> {
    record.calendar.days().iter().zip(daily).filter(|(d, _)| d.month == month).map(|(_, v)| *v).collect()
}

/// Rows of `data/reference/synthetic_daily.csv`.
fn reference() -> Vec<[f64; 5]> {
    let text = std::fs::read_to_string(data("reference/synthetic_daily.csv")).unwrap();
    let rows = text.lines().filter(|l| l.starts_with(|c: char| c.is_ascii_digit()));
    rows.map(|l| {
        let values: Vec<f64> = l.split(',').map(|v| v.parse().unwrap()).collect();
        values.try_into().unwrap()
    })
    .collect()
}

#[test]
fn months_meet_their_means_within_one_percent_over_200_years() {
    let climate = demo();
    let record = generator(climate.clone(), Method::Free, 1).record(YEARS, TWO).unwrap();
    assert_eq!(record.hours(), YEARS * 8760);
    let daily = day_sums(&record.ghi_w_per_m2);
    for month in 1..=12_u8 {
        let target = climate.global_kwh_per_m2_day[usize::from(month) - 1];
        let got = mean(&of_month(&record, &daily, month)) / 1000.0;
        println!("month {month}: {got:.4} of {target} ({:+.2} %)", 100.0 * (got / target - 1.0));
        assert!((got / target - 1.0).abs() < 0.01, "month {month}: {got} {target}");
    }
}

#[test]
fn held_months_meet_their_means_in_every_year() {
    let climate = demo();
    for method in [Method::Held, Method::Matrices] {
        for year in generator(climate.clone(), method, 2).years(10, TWO).unwrap() {
            let daily = day_sums(&year.ghi_w_per_m2);
            for month in 1..=12_u8 {
                let target = climate.global_kwh_per_m2_day[usize::from(month) - 1];
                let got = mean(&of_month(&year, &daily, month)) / 1000.0;
                // 1 % for the days; rounding to a tenth of a watt adds a trace.
                assert!((got / target - 1.0).abs() < 0.0102, "{method:?} {month}: {got} {target}");
            }
        }
    }
}

#[test]
fn days_have_the_spread_and_the_memory_of_the_model() {
    for [k_mean, _, _, expected_sd, expected_lag] in reference() {
        let record = generator(level(k_mean), Method::Free, 3).record(YEARS, TWO).unwrap();
        let k = clearness(&record);
        let n = k.len() as f64;
        let lag = correlation(&k[..k.len() - 1], &k[1..]);
        println!(
            "K {k_mean}: mean {:.4}, sd {:.4} ({expected_sd}), lag {lag:.4} ({expected_lag})",
            mean(&k),
            sd(&k)
        );
        let lag_error = (1.0 - expected_lag * expected_lag) / n.sqrt();
        assert!(lag_error / expected_lag < 0.02);
        assert!((lag - expected_lag).abs() < 3.0 * lag_error, "{k_mean}: lag {lag} {expected_lag}");
        // Standard error of a standard deviation: at most that of a normal sample of as many independent days.
        let sd_error = expected_sd * ((1.0 + 2.0 * expected_lag * expected_lag) / (2.0 * n)).sqrt();
        assert!((sd(&k) - expected_sd).abs() < 3.0 * sd_error, "{k_mean}: sd {} {expected_sd}", sd(&k));
    }
}

#[test]
fn days_are_distributed_as_bendt_says() {
    for [k_mean, k_max, slope, _, _] in reference().into_iter().step_by(2) {
        let bendt = |k: f64| libm::expm1(slope * (k - 0.05)) / libm::expm1(slope * (k_max - 0.05));
        let record = generator(level(k_mean), Method::Free, 4).record(YEARS, TWO).unwrap();
        // Every fifth day: what is left of the memory is 0.002, so the test for independent values holds.
        let mut k: Vec<f64> = clearness(&record).into_iter().step_by(5).collect();
        k.sort_by(f64::total_cmp);
        let n = k.len() as f64;
        let mut statistic = 0.0_f64;
        for (i, value) in k.iter().enumerate() {
            let f = bendt(*value);
            statistic = statistic.max((f - i as f64 / n).abs()).max((f - (i + 1) as f64 / n).abs());
        }
        let limit = 1.63 / n.sqrt();
        println!("K {k_mean}: Kolmogorov-Smirnov {statistic:.4} of {limit:.4} (1 % level, n = {n})");
        assert!(statistic < limit, "{k_mean}: {statistic} {limit}");
    }
}

#[test]
fn free_months_differ_between_years_as_their_days_make_them() {
    let row = reference()[1];
    let ([k_mean, _, _, day_sd, lag], n) = (row, 30.0_f64);
    let month_means = |method| -> Vec<f64> {
        let record = generator(level(k_mean), method, 5)
            .record(if method == Method::Free { YEARS } else { 20 }, TWO)
            .unwrap();
        let k = clearness(&record);
        // Runs of 30 days that lie within their months: the first 30 of each month, February left out.
        let mut means = Vec::new();
        let days = record.calendar.days();
        for (i, day) in days.iter().enumerate() {
            if day.day == 1 && day.month != 2 {
                means.push(mean(&k[i..i + 30]));
            }
        }
        means
    };
    // Variance of the mean of 30 days of a process whose lags fall from `lag` by the factor 0.29.
    let mut sum = 0.0;
    let mut rho = lag;
    for step in 1..30 {
        sum += (1.0 - f64::from(step) / n) * rho;
        rho *= 0.29;
    }
    let expected = day_sd * ((1.0 + 2.0 * sum) / n).sqrt();
    let free = sd(&month_means(Method::Free));
    let error = expected / (2.0 * 11.0 * YEARS as f64).sqrt();
    println!(
        "sd of a month's mean clearness: {free:.4}, expected {expected:.4}: {:.1} %",
        100.0 * free / k_mean
    );
    assert!(error / expected < 0.02 && (free - expected).abs() < 3.0 * error, "{free} {expected}");
    let held = sd(&month_means(Method::Held));
    println!("held: {held:.4}");
    assert!(held < 0.25 * free, "{held}");
}

#[test]
fn hours_remember_the_hour_before() {
    // The day's own level is taken out with the model's mean for the hour, as in the publication.
    let record = generator(level(0.5), Method::Free, 6).record(20, TWO).unwrap();
    let (outside, cos_zenith) = outside(&record);
    let days = clearness(&record);
    let (mut before, mut after) = (Vec::new(), Vec::new());
    for (day, k) in days.iter().enumerate() {
        // Middling days: the bounds of the hours then seldom cut.
        if !(0.45..0.55).contains(k) {
            continue;
        }
        let lambda = -0.19 + 1.12 * k + 0.24 * libm::exp(-8.0 * k);
        let eta = 0.32 - 1.6 * (k - 0.5) * (k - 0.5);
        let kappa = 0.19 + 2.27 * k * k - 2.51 * k * k * k;
        let spread = |s: f64| {
            0.14 * libm::exp(-20.0 * (k - 0.35) * (k - 0.35))
                * libm::exp((3.0 * (k - 0.45) * (k - 0.45) + 16.0 * k * k * k * k * k) * (1.0 - s))
        };
        let mut last: Option<f64> = None;
        for h in day * 24..(day + 1) * 24 {
            let s = cos_zenith[h];
            if s < 0.2 {
                last = None;
                continue;
            }
            let hour = record.ghi_w_per_m2[h] / outside[h];
            let y = (hour - lambda - eta * libm::exp(-kappa / s)) / spread(s);
            if let Some(last) = last {
                before.push(last);
                after.push(y);
            }
            last = Some(y);
        }
    }
    let lag = correlation(&before, &after);
    let phi = 0.38 + 0.06 * libm::cos(7.4 * 0.5 - 2.5);
    println!("hourly lag {lag:.3} over {} pairs; the model's {phi:.3}", before.len());
    // Fitting each day to its clearness takes out the day's mean noise, which lowers the lag of a short run by some 0.1
    // to 0.15: the same model written in another program gives 0.251 for an equinox day of this clearness
    // (`data/reference/synthetic_hourly.csv`, where the library's own test holds the exact comparison). Here the days
    // are of all seasons, without their lowest sun.
    assert!((lag - 0.251).abs() < 0.05 && lag < phi, "{lag} {phi}");
}

#[test]
fn light_keeps_to_the_sun() {
    for method in Method::ALL {
        let record = generator(demo(), method, 7).record(3, TWO).unwrap();
        record.check().unwrap();
        assert_eq!(record.kind, YearKind::Synthetic);
        let (outside, cos_zenith) = outside(&record);
        let (dni, dhi) = (record.dni_w_per_m2.as_ref().unwrap(), record.dhi_w_per_m2.as_ref().unwrap());
        let mut lit = 0;
        for h in 0..record.hours() {
            let ghi = record.ghi_w_per_m2[h];
            if outside[h] <= 0.0 {
                assert!(ghi <= 0.0 && dni[h] <= 0.0 && dhi[h] <= 0.0, "{method:?} {h}: light at night");
            } else {
                lit += 1;
                assert!(ghi <= 0.9 * outside[h] + 0.1, "{method:?} {h}: {ghi} of {}", outside[h]);
                let closure = ghi - dhi[h] - dni[h] * cos_zenith[h];
                assert!(closure.abs() <= 0.15 + 1e-9, "{method:?} {h}: closure {closure}");
            }
        }
        assert!(lit > 3 * 4000);
    }
}

#[test]
fn air_and_wind_keep_their_means_and_follow_the_sun() {
    let climate = demo();
    let record = generator(climate.clone(), Method::Free, 8).record(YEARS, TWO).unwrap();
    let days = |column: &[f64], f: fn(&[f64]) -> f64| -> Vec<f64> { column.chunks(24).map(f).collect() };
    let air = days(&record.air_degc, mean);
    let range = days(&record.air_degc, |d| {
        d.iter().copied().fold(f64::MIN, f64::max) - d.iter().copied().fold(f64::MAX, f64::min)
    });
    let wind = days(record.wind_m_per_s.as_ref().unwrap(), mean);
    let k = clearness(&record);
    for month in 1..=12_u8 {
        let m = usize::from(month) - 1;
        let t = of_month(&record, &air, month);
        let tie = correlation(&t, &of_month(&record, &k, month));
        let width = mean(&of_month(&record, &range, month));
        let blow = mean(&of_month(&record, &wind, month));
        println!(
            "month {month}: {:.2} degC, sd {:.2}, range {width:.2}, with clearness {tie:+.2}, wind {blow:.2}",
            mean(&t),
            sd(&t)
        );
        // A month's mean scatters by up to 1.6 degC between years: 0.11 over 200.
        assert!((mean(&t) - climate.air_degc[m]).abs() < 0.35, "month {month}");
        // Hours see the turning points only in passing, and days drift: within 8 %.
        assert!((width / climate.daily_range_degc[m] - 1.0).abs() < 0.08, "month {month}: range {width}");
        assert!((blow / climate.wind_m_per_s.unwrap()[m] - 1.0).abs() < 0.03, "month {month}: wind {blow}");
        match month {
            12 | 1 => assert!(tie < -0.15, "month {month}: {tie}"),
            6 | 7 => assert!(tie > 0.15, "month {month}: {tie}"),
            _ => {}
        }
    }
    let january = of_month(&record, &air, 1);
    let pairs: Vec<(f64, f64)> =
        january.chunks(31).flat_map(|y| y.windows(2).map(|w| (w[0], w[1])).collect::<Vec<_>>()).collect();
    let (a, b): (Vec<f64>, Vec<f64>) = pairs.into_iter().unzip();
    let lag = correlation(&a, &b);
    println!("lag of daily temperature in January: {lag:.3}");
    // Two measured typical years give 0.64 and 0.65; a trend within the month and years that differ add to it here.
    assert!((lag - 0.65).abs() < 0.08, "{lag}");
}

#[test]
fn polar_places_work() {
    let mut climate = level(0.4);
    climate.place.latitude_deg = 71.0;
    climate.global_kwh_per_m2_day =
        climate.extraterrestrial_kwh_per_m2_day().unwrap().map(|outside| 0.4 * outside);
    for method in Method::ALL {
        let year = generator(climate.clone(), method, 12).year(0).unwrap();
        year.check().unwrap();
        let december = &year.ghi_w_per_m2[334 * 24..];
        assert!(december.iter().all(|g| *g < 20.0) && year.ghi_w_per_m2[180 * 24] > 0.0);
    }
}

#[test]
fn an_impossible_climate_is_refused_with_every_fault() {
    let good = std::fs::read_to_string(data("demo/climate.toml")).unwrap();
    let faults = |text: &str| -> Vec<String> {
        Climate::from_toml(text, "c.toml").unwrap_err().iter().map(ToString::to_string).collect()
    };
    let bad = good
        .replace("latitude_deg = 47.1", "latitude_deg = \"47.1\"")
        .replace("elevation_m", "elevation")
        .replace("-7.4, -5.6", "-7.4, true")
        .replace(", 8.0, 7.0]", ", 8.0]");
    assert_eq!(
        faults(&bad),
        [
            "c.toml, line 3, column 16, latitude_deg: a value of type string; a number without quotes; its unit is in \
             the key; write it so",
            "c.toml, line 5, column 1, elevation: unknown key \"elevation\"; climate keys: name, latitude_deg, \
             longitude_deg, elevation_m, utc_offset_h, global_kwh_per_m2_day, air_degc, daily_range_degc, wind_m_per_s, \
             elevation_ft, air_degf, daily_range_degf, wind_mph; \
             correct or remove it",
            "c.toml, line 12, column 19, air_degc[2]: a value of type boolean; a number without quotes; its unit is in \
             the key; write it so",
            "c.toml, line 14, column 20, daily_range_degc: 11 values; twelve values, January first; give one value \
             for each month",
            "c.toml, elevation_m: no such key; a climate needs it; add elevation_m = NUMBER",
        ]
    );
    let hot = good
        .replace("1.06, 1.95", "3.82, 1.95")
        .replace("18.4", "184")
        .replace("longitude_deg = -108.4", "longitude_deg = 108.4");
    assert_eq!(
        faults(&hot),
        [
            "c.toml, line 6, column 16, utc_offset_h: -7 h at longitude 108.4; a clock within 3 h of solar time at its \
             longitude; check the sign of the longitude (east is positive) and of the offset",
            "c.toml, line 10, column 26, global_kwh_per_m2_day[1]: 3.82 kWh/m2 a day; 0.31 to 2.49, a tenth to four \
             fifths of extraterrestrial radiation; check the unit (kWh/m2 a day, not MJ, not the month's sum) and the \
             latitude",
            "c.toml, line 12, column 48, air_degc[7]: 184; -80 to 50; check the value, its sign and its unit",
        ]
    );
    assert_eq!(
        faults("latitude_deg = = 3"),
        [
            "c.toml, line 1, column 16: not TOML: extra `=`, expected nothing; lines such as latitude_deg = 47.1; \
             correct this line; other faults show once the file is valid TOML",
        ]
    );
    let g = generator(demo(), Method::Free, 1);
    assert_eq!(g.year(MOST_YEARS).unwrap_err().kind, FaultKind::OutOfRange);
    assert_eq!(g.record(0, TWO).unwrap_err().kind, FaultKind::OutOfRange);
    assert_eq!(g.year(MOST_YEARS - 1).unwrap().calendar.days()[0].year, 2998);
}

#[test]
fn a_held_month_that_cannot_be_met_says_so() {
    // The tenth matrix knows no month as clear as 0.79.
    let fault = generator(level(0.79), Method::Matrices, 1).year(0).unwrap_err();
    assert_eq!(fault.kind, FaultKind::CannotRun);
    assert!(fault.to_string().contains("use the method free"), "{fault}");
    generator(level(0.79), Method::Free, 1).year(0).unwrap();
}

#[test]
fn methods_have_names() {
    for method in Method::ALL {
        assert_eq!(Method::from_name(method.name()), Some(method));
    }
    assert_eq!(Method::from_name("other"), None);
}
