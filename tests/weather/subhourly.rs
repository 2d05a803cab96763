//! Rows closer than an hour, and snapshots at the full hour.

use crate::help::{colorado, kwh, read, real, text};
use dryspell::record::{RadiationTime, Record};
use dryspell::sun;
use dryspell_weather::{Options, read_bytes};
use std::fmt::Write as _;

fn days() -> Options {
    Options { part_of_year: true, ..Options::default() }
}

#[test]
fn half_hourly_snapshots_become_means_of_whole_hours() {
    for (file, month) in [("psm3_2017_march_30min.csv", 31), ("psm4_2023_june_30min.csv", 30)] {
        let weather = real(file, &days());
        let r = &weather.record;
        assert_eq!((r.hours(), r.radiation_time), (24 * month, RadiationTime::HourMean));
        assert_eq!((r.place.name.as_str(), r.place.elevation_m), ("NSRDB 401182", 2168.0));
        let rows: Vec<Vec<f64>> = text(file)
            .lines()
            .skip(3)
            .map(|l| l.split(',').map(|f| f.parse().unwrap_or(f64::NAN)).collect())
            .collect();
        let header: Vec<String> = text(file).lines().nth(2).unwrap().split(',').map(str::to_owned).collect();
        let field = |name: &str| header.iter().position(|h| h == name).unwrap();
        // Temperature in a simple hour: a quarter of each full hour and half of the half hour between.
        let t = field("Temperature");
        let h = 30;
        let expected = 0.25 * rows[2 * h][t] + 0.5 * rows[2 * h + 1][t] + 0.25 * rows[2 * h + 2][t];
        assert!((r.air_degc[h] - expected).abs() < 1e-12);
        // Around noon the sun hardly moves in height, and light does the same within half a percent.
        let g = field("GHI");
        for day in 0..month - 1 {
            let h = 24 * day + 12;
            let expected = 0.25 * rows[2 * h][g] + 0.5 * rows[2 * h + 1][g] + 0.25 * rows[2 * h + 2][g];
            assert!((r.ghi_w_per_m2[h] / expected - 1.0).abs() < 0.005, "{file} day {day}");
        }
        // The month keeps its sum.
        let sum = rows.iter().map(|row| row[g]).sum::<f64>() / 2000.0;
        assert!((kwh(&r.ghi_w_per_m2) / sum - 1.0).abs() < 1e-3);
    }
}

/// Root mean square of global less diffuse less beam with the core's own sun, over hours that are lit throughout.
fn residual(r: &Record) -> f64 {
    let sky = sun::sky(&sun::Settings::default(), r).unwrap();
    let (dni, dhi) = (r.dni_w_per_m2.as_ref().unwrap(), r.dhi_w_per_m2.as_ref().unwrap());
    let (mut sum, mut n) = (0.0, 0.0);
    for h in 0..r.hours() {
        if sky.lit_fraction[h] > 0.999 && dni[h] > 100.0 {
            let left = r.ghi_w_per_m2[h] - dhi[h] - dni[h] * sky.direction[h][2];
            sum += left * left;
            n += 1.0;
        }
    }
    assert!(n > 100.0);
    f64::sqrt(sum / n)
}

#[test]
fn hours_made_from_snapshots_agree_with_the_sun_at_their_middle() {
    // What is left comes from skies that change within the hour, more so from one snapshot an hour. Hours that are off
    // by a quarter of an hour leave 20 W/m2 and more.
    for (r, most) in [
        (real("psm3_2017_march_30min.csv", &days()).record, 6.0),
        (real("psm4_2023_june_30min.csv", &days()).record, 6.0),
        (real("test_psm4_full_disc_2023.csv", &colorado()).record, 9.0),
    ] {
        let residual = residual(&r);
        assert!(residual < most, "{residual}");
    }
}

#[test]
fn hourly_snapshots_at_the_full_hour_are_made_into_the_hours_between() {
    let weather = real("test_psm4_full_disc_2023.csv", &colorado());
    let r = &weather.record;
    assert_eq!((r.hours(), r.radiation_time), (8760, RadiationTime::HourMean));
    assert_eq!(r.calendar.start_text(0), "2023-01-01T00:00");
    let sum: f64 = text("test_psm4_full_disc_2023.csv")
        .lines()
        .skip(1)
        .map(|l| l.split(',').nth(10).unwrap().parse::<f64>().unwrap())
        .sum();
    assert!((kwh(&r.ghi_w_per_m2) * 1000.0 / sum - 1.0).abs() < 1e-3);
    // Each hour lies half between its two snapshots.
    assert_eq!(r.air_degc[0], 0.5 * (-1.9 + -1.7000000000000002));
}

#[test]
fn days_of_five_minutes_read_as_days() {
    for name in ["test_psm3_2019_5min.csv", "test_psm4_2023_5min.csv"] {
        let weather = real(name, &Options { part_of_year: true, ..colorado() });
        assert_eq!((weather.report.reading.rows, weather.record.hours()), (288, 24));
        assert!(
            weather.report.reading.closure.rows > 50 || weather.report.reading.closure.not_testable.is_some()
        );
    }
}

/// The March file's radiation as another service's quarter hours would have it: each half hour twice.
#[test]
fn rows_of_means_are_averaged_and_amounts_are_added() {
    let mut out = "# latitude: 45\n# longitude: -110\n# elevation: 0\n# utc offset: -7\n# stamps: end\n\
                   time,ghi_w_per_m2,air_degc,precipitation_mm\n"
        .to_owned();
    for row in 1..=96 {
        let end = row * 15;
        let (day, minute) = if end == 1440 { (2, 0) } else { (1, end) };
        let ghi = if (32..64).contains(&row) { f64::from(row) } else { 0.0 };
        writeln!(
            out,
            "2020-07-{day:02}T{:02}:{:02}Z,{ghi},{},0.1",
            minute / 60,
            minute % 60,
            0.5 * f64::from(row)
        )
        .unwrap();
    }
    let weather = read_bytes("logger.csv", out.replace("Z,", "-07:00,").as_bytes(), &days()).unwrap();
    let r = &weather.record;
    assert_eq!(r.hours(), 24);
    // The hour from 9:00 has rows 37 to 40.
    assert_eq!(r.ghi_w_per_m2[9], 38.5);
    assert_eq!(r.air_degc[9], 19.25);
    // 0.4 mm an hour adds up to an unlikely 3500 mm a year, still credible.
    assert!((r.precipitation_mm.as_ref().unwrap()[9] - 0.4).abs() < 1e-12);
}

#[test]
fn rows_without_a_minute_begin_at_their_hour() {
    // As typical years are re-exported by others: names and values, then columns without a minute.
    let mut out = "Source,Location ID,City,State,Country,Latitude,Longitude,Time Zone,Elevation\n\
                   NSRDB,723170,Greensboro,NC,USA,36.1,-79.95,-5,273\n\
                   Year,Month,Day,Hour,GHI,DNI,DHI,Tdry,Tdew,RH,Pres,Wspd,Wdir,Snow Depth\n"
        .to_owned();
    for line in text("723170TYA.CSV").lines().skip(2) {
        let f: Vec<&str> = line.split(',').collect();
        let date: Vec<&str> = f[0].split('/').collect();
        let hour: u32 = f[1][..2].parse().unwrap();
        writeln!(
            out,
            "{},{},{},{},{},{},{},{},1,{},{},{},180,{}",
            date[2],
            date[0],
            date[1],
            hour - 1,
            f[4],
            f[7],
            f[10],
            f[31],
            f[37],
            f[40],
            f[46],
            if date[0] == "01" && date[1] < "11" { 5 } else { 0 }
        )
        .unwrap();
    }
    let weather = read(&out, &Options::default()).unwrap();
    let tmy3 = real("723170TYA.CSV", &Options::default()).record;
    let r = &weather.record;
    assert_eq!((&r.ghi_w_per_m2, &r.calendar), (&tmy3.ghi_w_per_m2, &tmy3.calendar));
    assert_eq!((&r.pressure_pa, &r.relative_humidity), (&tmy3.pressure_pa, &tmy3.relative_humidity));
    assert_eq!((r.radiation_time, r.place.name.as_str()), (RadiationTime::HourMean, "Greensboro"));
    assert_eq!(r.snow_depth_m.as_ref().map(|s| (s[0], s[8000])), Some((0.05, 0.0)));
    assert_eq!(weather.report.reading.closure.best_shift_min, Some(0.0));
}

/// Two days of ten minutes with a light of its own in each, from `light`; rows for which it says nothing are left out.
fn ten_minutes(light: impl Fn(u32, u32, u32) -> Option<f64>) -> String {
    let mut out = String::from(
        "# place: Site\n# latitude: 36.1\n# longitude: -79.95\n# elevation: 273 m\n# utc offset: -5\n# stamps: start\n\
         time,ghi_w_per_m2,air_degc\n",
    );
    for (day, hour, part) in (0..2).flat_map(|d| (0..24).flat_map(move |h| (0..6).map(move |k| (d, h, k)))) {
        if let Some(ghi) = light(day, hour, part) {
            writeln!(out, "2019-06-{:02}T{hour:02}:{:02},{ghi},20", day + 10, 10 * part).unwrap();
        }
    }
    out
}

/// Low in the morning and evening, and moving inside the hour.
fn moving(hour: u32, part: u32) -> f64 {
    let level = if (8..18).contains(&hour) { 300.0 } else { 0.0 };
    level + if level > 0.0 { 20.0 * f64::from(part) } else { 0.0 }
}

#[test]
fn a_record_of_ten_minutes_keeps_its_step() {
    let options = Options { accept_shift: true, ..days() };
    let record = read(&ten_minutes(|_, hour, part| Some(moving(hour, part))), &options).unwrap().record;
    assert_eq!(record.parts.len(), 6);
    for h in 0..48_u32 {
        let at = usize::try_from(h).unwrap();
        for (part, k) in record.parts.iter().zip(0..) {
            assert!((part.ghi_w_per_m2[at] - moving(h % 24, k)).abs() < 1e-9, "{h} {k}");
        }
        let mean = record.parts.iter().map(|part| part.ghi_w_per_m2[at]).sum::<f64>() / 6.0;
        assert!((mean - record.ghi_w_per_m2[at]).abs() < 1e-9);
    }
    // Whole hours have no parts.
    assert!(real("723170TYA.CSV", &Options::default()).record.parts.is_empty());
}

#[test]
fn a_part_without_a_row_takes_the_light_of_its_hour_and_so_do_all_parts_of_a_filled_hour() {
    let options = Options { accept_shift: true, ..days() };
    let gap = |day: u32, hour: u32, part: u32| match (day, hour, part) {
        // Two of six rows are missing; then a whole hour.
        (0, 12, 1 | 4) | (1, 13, _) => None,
        _ => Some(moving(hour, part)),
    };
    let record = read(&ten_minutes(gap), &options).unwrap().record;
    let of = |h: usize| -> Vec<f64> { record.parts.iter().map(|part| part.ghi_w_per_m2[h]).collect() };
    let mean = (moving(12, 0) + moving(12, 2) + moving(12, 3) + moving(12, 5)) / 4.0;
    assert!((record.ghi_w_per_m2[12] - mean).abs() < 1e-9);
    let expected = [moving(12, 0), mean, moving(12, 2), moving(12, 3), mean, moving(12, 5)];
    assert!(of(12).iter().zip(expected).all(|(a, b)| (a - b).abs() < 1e-9), "{:?}", of(12));
    let filled = record.ghi_w_per_m2[24 + 13];
    assert!(filled > 200.0 && of(24 + 13).iter().all(|w| (w - filled).abs() < 1e-9), "{filled} {:?}", of(37));
}
