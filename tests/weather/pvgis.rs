//! PVGIS typical years and hourly series, and the EPW that the same service makes.

use crate::help::{edit, message, read, real, text};
use dryspell::record::{RadiationTime, YearKind};
use dryspell_weather::{ErrorKind, Options, PlaceOptions, Stamps};
use std::fmt::Write as _;

const TYPICAL: &str = "tmy_45.000_8.000_2005_2023.csv";
const SERIES: &str = "pvgis_hourly_Timeseries_45.000_8.000_SA_30deg_0deg_2016_2016.csv";

fn italy() -> Options {
    let place = PlaceOptions {
        name: None,
        latitude_deg: Some(45.0),
        longitude_deg: Some(8.0),
        elevation_m: Some(250.0),
        utc_offset_h: Some(1.0),
    };
    Options { place, ..Options::default() }
}

/// A column of the typical year, as the file has it.
fn column(n: usize) -> Vec<f64> {
    let text = text(TYPICAL);
    text.lines().skip(18).take(8760).map(|l| l.split(',').nth(n).unwrap().parse().unwrap()).collect()
}

#[test]
fn a_typical_year_rolls_from_utc_to_the_clock_of_its_longitude() {
    let weather = real(TYPICAL, &Options::default());
    let r = &weather.record;
    assert_eq!((r.kind, r.place.utc_offset_h, r.place.elevation_m), (YearKind::Typical, 1.0, 250.0));
    let RadiationTime::Instant { minutes_after_start } = r.radiation_time else {
        panic!("{:?}", r.radiation_time)
    };
    assert!((minutes_after_start - 60.0 * 0.1761).abs() < 1e-9);
    let ghi = column(3);
    assert_eq!(r.ghi_w_per_m2[1..], ghi[..8759]);
    assert_eq!(r.ghi_w_per_m2[0].to_bits(), ghi[8759].abs().to_bits());
    assert_eq!(r.air_degc[1], 2.04);
    // 18 January 09:00 UTC is 10:00 here.
    assert_eq!(r.ghi_w_per_m2[17 * 24 + 10], ghi[17 * 24 + 9]);
    assert_eq!(r.pressure_pa.as_ref().unwrap()[1], 99_870.0);
    assert!(r.dni_w_per_m2.as_ref().unwrap().iter().all(|v| v.is_sign_positive()), "no negative zeros");
    assert_eq!(
        weather.report.year_of_month,
        Some([2018, 2007, 2009, 2013, 2008, 2006, 2011, 2010, 2020, 2006, 2007, 2016])
    );
    assert!(
        r.source.notes.iter().any(|n| n.starts_with("local standard time taken as UTC+1 from the longitude"))
    );
}

#[test]
fn without_the_offset_the_sun_tells_the_minute_of_the_scan() {
    let without: String = text(TYPICAL)
        .lines()
        .filter(|l| !l.starts_with("Irradiance Time"))
        .fold(String::new(), |t, l| t + l + "\n");
    let weather = read(&without, &Options::default()).unwrap();
    let RadiationTime::Instant { minutes_after_start } = weather.record.radiation_time else { panic!() };
    // The header of the full file says 10.57 min.
    assert!((minutes_after_start - 10.57).abs() < 1.0, "{minutes_after_start}");
    assert!(weather.record.source.notes.iter().any(|n| n.contains("the sun agrees best there")));
}

#[test]
fn the_basic_variant_asks_for_its_place_and_then_reads_the_same() {
    let full = text(TYPICAL);
    let basic: String = full.lines().skip(17).take(8761).fold(String::new(), |t, l| t + l + "\r\n");
    assert!(message(&basic).contains("the file does not say the latitude"));
    let basic = read(&basic, &italy()).unwrap().record;
    let full = read(&full, &italy()).unwrap().record;
    assert_eq!(basic.ghi_w_per_m2, full.ghi_w_per_m2);
    assert_eq!(basic.calendar, full.calendar);
}

#[test]
fn an_offset_that_the_sun_contradicts_is_refused() {
    let wrong = text(TYPICAL).replace("(h): 0.1761", "(h): 0.9");
    assert!(
        message(&wrong).contains("times do not agree with the sun: shifted by -44 min"),
        "{}",
        message(&wrong)
    );
    let outside = text(TYPICAL).replace("(h): 0.1761", "(h): -0.8239");
    assert_eq!(
        message(&outside),
        "site.csv: Irradiance Time Offset is \"-0.8239 h\"; 0 to 1 h is accepted; correct the header"
    );
}

/// The typical year as a series of 2017 on the level, scanned ten minutes past the hour.
fn series(parts: bool) -> String {
    let mut out =
        "Latitude (decimal degrees):\t45.000\nLongitude (decimal degrees):\t8.000\nElevation (m):\t250\n\
                   Radiation database:\tPVGIS-SARAH2\n\n\nSlope: 0 deg. (optimum)\nAzimuth: 0 deg. \n"
            .to_owned();
    out += if parts {
        "time,Gb(i),Gd(i),Gr(i),H_sun,T2m,WS10m,Int\n"
    } else {
        "time,P,G(i),H_sun,T2m,WS10m,Int\n"
    };
    let (ghi, dhi, air) = (column(3), column(5), column(1));
    let first = chrono::NaiveDate::from_ymd_opt(2017, 1, 1).unwrap();
    for h in 0..8760 {
        let day = first + chrono::Days::new(h as u64 / 24);
        let time = format!("{}:{:02}10", day.format("%Y%m%d"), h % 24);
        let (g, d, t) = (ghi[h], dhi[h], air[h]);
        if parts {
            writeln!(out, "{time},{},{d},0.0,0.0,{t},1.2,0.0", g - d).unwrap();
        } else {
            writeln!(out, "{time},0.0,{g},0.0,{t},1.2,0.0").unwrap();
        }
    }
    out + "\nG(i): Global irradiance on the inclined plane (plane of the array) (W/m2)\n\n\nPVGIS (c) European Union\n"
}

#[test]
fn a_series_on_the_level_gives_global_and_diffuse() {
    for parts in [true, false] {
        let weather = read(&series(parts), &Options::default()).unwrap();
        let r = &weather.record;
        assert_eq!(r.radiation_time, RadiationTime::Instant { minutes_after_start: 10.0 });
        assert_eq!(r.kind, YearKind::Calendar);
        assert_eq!(
            (r.calendar.start_text(0), r.calendar.start_text(8759)),
            ("2017-01-01T00:00".into(), "2017-12-31T23:00".into())
        );
        let ghi = column(3);
        let worst = (1..8760).map(|h| (r.ghi_w_per_m2[h] - ghi[h - 1]).abs()).fold(0.0, f64::max);
        assert!(worst < 1e-9, "{worst}");
        assert_eq!(r.dhi_w_per_m2.is_some(), parts);
        assert_eq!(r.dni_w_per_m2, None);
        assert!(weather.report.reading.closure.not_testable.is_some());
    }
}

#[test]
fn the_real_series_on_a_tilted_plane_is_refused() {
    assert_eq!(
        message(&text(SERIES)),
        "site.csv: radiation on a plane with slope \"30 deg.\"; horizontal radiation (slope 0) is needed; download the \
         series again with slope 0 and its components"
    );
}

#[test]
fn the_services_epw_is_in_utc_whatever_its_first_line_says() {
    let epw = text("tmy_45.000_8.000_2005_2023_january.epw");
    let options = Options { part_of_year: true, kind: Some(YearKind::Calendar), ..Options::default() };
    let january = read(&epw, &options).unwrap();
    let year = real(TYPICAL, &Options::default()).record;
    // The CSV's January, hour by hour, but for the one that wraps round from another end.
    assert_eq!(january.record.ghi_w_per_m2[1..], year.ghi_w_per_m2[1..744]);
    assert_eq!(january.record.air_degc[1..], year.air_degc[1..744]);
    let RadiationTime::Instant { minutes_after_start } = january.record.radiation_time else { panic!() };
    assert!((minutes_after_start - 60.0 * 0.1761).abs() < 1e-6);
    assert!(january.report.reading.closure.best_shift_min.unwrap().abs() < 1.0);

    // Without the comment the source in the first line tells, and the sun the minute.
    let silent = epw.replace("Irradiance Time Offset (h):-0.8239", "none");
    let january = read(&silent, &options).unwrap();
    let RadiationTime::Instant { minutes_after_start } = january.record.radiation_time else { panic!() };
    assert!((minutes_after_start - 10.57).abs() < 1.0, "{minutes_after_start}");

    // Read by the rule of the format it would be most of an hour off, and refused.
    let normal = silent.replace("ECMWF/ERA", "measured");
    let error = read(&normal, &options).unwrap_err();
    let ErrorKind::StampsOff { shift_min, residual_as_read, .. } = error.kind() else { panic!("{error}") };
    assert!((shift_min - 100.0).abs() < 2.0 || (shift_min - 40.6).abs() < 2.0, "{shift_min}");
    assert!(*residual_as_read > 20.0);
}

/// Greensboro's year in the fields of an EPW.
fn epw_of_greensboro() -> String {
    let mut out = "LOCATION,Greensboro,NC,USA,TMY3,723170,36.10,-79.95,-5.0,273.0\nDESIGN CONDITIONS,0\nTYPICAL/EXTREME \
     PERIODS,0\nGROUND TEMPERATURES,0\nHOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,\"an unclosed quote, and a \
     comma\nCOMMENTS 2,none\nDATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31\n"
        .to_owned();
    for line in text("723170TYA.CSV").lines().skip(2) {
        let f: Vec<&str> = line.split(',').collect();
        let date: Vec<&str> = f[0].split('/').collect();
        let hour: u32 = f[1][..2].parse().unwrap();
        writeln!(
            out,
            "{},{},{},{hour},60,?9?9,{},1.0,{},99000,0,0,300,{},{},{},999900,0,0,0,180,{},5,5,9999,99999,9,999999999,\
             20,0.1,999,99,0.000,999,99",
            date[2], date[0], date[1], f[31], f[37], f[4], f[7], f[10], f[46]
        )
        .unwrap();
    }
    out
}

#[test]
fn an_epw_in_local_time_reads_like_the_tmy3_that_it_was_made_from() {
    let weather = read(&epw_of_greensboro(), &Options::default()).unwrap();
    let tmy3 = real("723170TYA.CSV", &Options::default()).record;
    let r = &weather.record;
    assert_eq!(
        (&r.ghi_w_per_m2, &r.dni_w_per_m2, &r.dhi_w_per_m2),
        (&tmy3.ghi_w_per_m2, &tmy3.dni_w_per_m2, &tmy3.dhi_w_per_m2)
    );
    assert_eq!((&r.air_degc, &r.wind_m_per_s), (&tmy3.air_degc, &tmy3.wind_m_per_s));
    assert_eq!(
        (&r.calendar, r.kind, r.radiation_time),
        (&tmy3.calendar, YearKind::Typical, RadiationTime::HourMean)
    );
    assert_eq!((&r.albedo, &r.snow_depth_m, &r.precipitation_mm), (&None, &None, &None));
    let notes = r.source.notes.join("\n");
    assert!(notes.contains("the snow depth column is marked as missing in every row"), "{notes}");
    assert!(notes.contains("ground albedo is 0 in every row of the file: treated as missing"), "{notes}");
}

#[test]
fn temperatures_that_are_marked_as_missing_either_way_are_bridged() {
    let epw = epw_of_greensboro();
    for code in ["99.9", "999"] {
        let gap = edit(&epw, 20, |l| crate::help::with_field(l, 7, code));
        let weather = read(&gap, &Options::default()).unwrap();
        let r = &weather.record;
        assert_eq!(r.air_degc[11], 0.5 * (r.air_degc[10] + r.air_degc[12]));
        assert_eq!(weather.report.reading.fills.len(), 1);
    }
}

#[test]
fn four_rows_an_hour_use_the_minute() {
    let mut quarter = String::new();
    for (n, line) in epw_of_greensboro().lines().enumerate() {
        if n < 8 {
            quarter += &line.replace("PERIODS,1,1,Data", "PERIODS,1,4,Data");
            quarter.push('\n');
            continue;
        }
        for minute in ["15", "30", "45", "60"] {
            quarter += &crate::help::with_field(line, 5, minute);
            quarter.push('\n');
        }
    }
    // Radiation that stands still for an hour does not follow the sun within it: what the stamps mean is stated.
    let options = Options { stamps: Some(Stamps::End), ..Options::default() };
    let weather = read(&quarter, &options).unwrap();
    let tmy3 = real("723170TYA.CSV", &Options::default()).record;
    assert_eq!(weather.report.reading.step_min, 15);
    assert_eq!(weather.record.ghi_w_per_m2, tmy3.ghi_w_per_m2);
    let worst =
        weather.record.air_degc.iter().zip(&tmy3.air_degc).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
    assert!(worst < 1e-9);
}
