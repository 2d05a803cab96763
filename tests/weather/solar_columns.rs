//! Tables with the column names of the Python library pvlib: read, given a place.

use crate::support::data;
use dryspell_weather::{Options, PlaceOptions, read_bytes, read_file};

/// Global light of the four days, kWh/m², summed by single minutes: printed by the script (pvlib 0.16.1).
const DAYS_KWH: [f64; 4] = [9.1159, 9.1296, 9.1426, 9.1547];

/// `data/reference/solar_columns.py` made the file for this place.
fn options() -> Options {
    let place = PlaceOptions {
        latitude_deg: Some(40.0),
        longitude_deg: Some(-105.0),
        elevation_m: Some(1600.0),
        ..PlaceOptions::default()
    };
    Options { place, part_of_year: true, ..Options::default() }
}

#[test]
fn a_table_of_the_solar_library_is_read_given_a_place() {
    let weather = read_file(data("reference/solar_columns.csv"), &options()).unwrap();
    let r = &weather.record;
    assert_eq!((r.hours(), r.place.utc_offset_h), (96, -7.0));
    for (day, kwh) in DAYS_KWH.into_iter().enumerate() {
        let sum = r.ghi_w_per_m2[24 * day..][..24].iter().sum::<f64>() / 1000.0;
        assert!((sum / kwh - 1.0).abs() < 0.01, "day {day}: {sum}, {kwh}");
    }
    assert!(r.wind_m_per_s.as_ref().unwrap().iter().all(|w| *w == 3.0));
    assert!(r.source.notes.iter().any(|n| n.contains("pvlib's glossary")), "{:?}", r.source.notes);
    assert!(
        r.source.notes.contains(&"columns not used: precipitable_water".to_owned()),
        "{:?}",
        r.source.notes
    );
    assert!(weather.report.reading.closure.best_shift_min.unwrap().abs() < 2.0);
}

#[test]
fn a_named_first_column_reads_the_same_and_a_missing_place_is_asked_for() {
    let text = std::fs::read_to_string(data("reference/solar_columns.csv")).unwrap();
    let error = read_bytes("x.csv", text.as_bytes(), &Options::default()).unwrap_err().to_string();
    assert!(error.starts_with("x.csv: the file does not say the latitude, longitude, elevation;"), "{error}");
    let named = text.replacen(",ghi", "timestamp,ghi", 1);
    let same = read_bytes("x.csv", named.as_bytes(), &options()).unwrap();
    assert!(same.record == read_bytes("x.csv", text.as_bytes(), &options()).unwrap().record);
}
