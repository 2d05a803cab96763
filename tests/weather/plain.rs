//! The plain format: written, read back, and put together by hand.

use crate::help::{colorado, message, read, real, text};
use crate::psm::with_temperature;
use dryspell::record::{Record, Source, YearKind};
use dryspell_weather::formats::plain;
use dryspell_weather::{Options, read_bytes};
use std::fmt::Write as _;

fn written(record: &Record) -> Vec<u8> {
    let mut out = Vec::new();
    plain::write(record, &mut out).unwrap();
    out
}

/// Everything but format and file, which name the plain file after it was read.
fn without_source(record: &Record) -> Record {
    let notes = record.source.notes.clone();
    Record { source: Source { notes, ..Source::default() }, ..record.clone() }
}

#[test]
fn what_is_written_reads_back_equal() {
    let polar = with_temperature(&text("test_psm4_polar_tmy_2023.csv"));
    let half_hour = Options {
        place: dryspell_weather::PlaceOptions { utc_offset_h: Some(-9.5), ..Default::default() },
        ..Options::default()
    };
    for record in [
        real("723170TYA.CSV", &Options::default()).record,
        real("703165TY.csv", &Options::default()).record,
        real("test_psm4_tmy-2023.csv", &colorado()).record,
        read_bytes("polar", polar.as_bytes(), &half_hour).unwrap().record,
    ] {
        let again = read_bytes("again.csv", &written(&record), &Options::default()).unwrap().record;
        assert_eq!(without_source(&again), without_source(&record));
        assert_eq!(
            (again.source.format.as_str(), again.source.files),
            ("plain CSV", vec!["again.csv".into()])
        );
    }
}

#[test]
fn humidity_without_an_exact_percentage_is_written_as_a_fraction() {
    let mut record = real("703165TY.csv", &Options::default()).record;
    let mut v: f64 = 0.29;
    let humidity: Vec<f64> = (0..record.hours())
        .map(|_| {
            v = v.next_up();
            v
        })
        .collect();
    record.relative_humidity = Some(humidity);
    let bytes = written(&record);
    let again = read_bytes("again.csv", &bytes, &Options::default()).unwrap().record;
    assert_eq!(again.relative_humidity, record.relative_humidity);
}

const HEAD: &str = "# place: Dry Creek\n# latitude: 45\n# longitude: -110.5\n# elevation: 4921.26 ft\n# utc offset: \
 -07:00\n";

/// A calendar year by hand; `row` makes the time columns of day and hour.
fn year(head: &str, columns: &str, row: impl Fn(chrono::NaiveDate, u32) -> String) -> String {
    let mut out = format!("{head}{columns},ghi_w_per_m2,air_degc,x_note\n");
    for day in chrono::NaiveDate::from_ymd_opt(2019, 1, 1).unwrap().iter_days().take(365) {
        for hour in 0..24 {
            let ghi = if (7..17).contains(&hour) { 100 + hour } else { 0 };
            writeln!(out, "{},{ghi},{},battery low", row(day, hour), -f64::from(hour) / 4.0).unwrap();
        }
    }
    out
}

#[test]
fn start_middle_end_offsets_dates_and_hours_come_to_the_same_record() {
    let all = Options::default();
    let start = year(&format!("{HEAD}# stamps: start\n"), "time", |d, h| format!("{d}T{h:02}:00"));
    let expected = read(&start, &all).unwrap().record;
    assert_eq!(expected.kind, YearKind::Calendar);
    assert_eq!((expected.place.elevation_m * 1000.0).round(), 1_500_000.0);
    assert_eq!((expected.ghi_w_per_m2[7], expected.ghi_w_per_m2[6]), (107.0, 0.0));
    assert_eq!((expected.place.name.as_str(), expected.place.utc_offset_h), ("Dry Creek", -7.0));

    let same = [
        year(&format!("{HEAD}# stamps: middle\n"), "time", |d, h| format!("{d} {h:02}:30:00")),
        year(&format!("{HEAD}# stamps: end\n"), "date,hour", |d, h| format!("{d},{}", h + 1)),
        year(&format!("{HEAD}# stamps: start\n"), "date,hour,minute", |d, h| format!("{d},{h},00")),
        year(&format!("{HEAD}# stamps: start\n"), "time", |d, h| format!("{d}T{h:02}:00-07:00")),
        start.replace('\n', "\r\n"),
    ];
    for text in same {
        assert_eq!(read(&text, &all).unwrap().record, expected, "{}", &text[..200]);
    }
    let utc = year(&format!("{HEAD}# stamps: start\n"), "time", |d, h| {
        let (d, h) = if h + 7 > 23 { (d.succ_opt().unwrap(), h - 17) } else { (d, h + 7) };
        format!("{d}T{h:02}:00Z")
    });
    let rolled = read(&utc, &all).unwrap().record;
    assert_eq!(rolled.ghi_w_per_m2, expected.ghi_w_per_m2);
    assert_eq!(rolled.calendar, expected.calendar);
}

#[test]
fn what_the_heading_leaves_out_is_asked_for() {
    let stamps = year(HEAD, "time", |d, h| format!("{d}T{h:02}:00"));
    assert_eq!(
        message(&stamps),
        "site.csv: the file does not say the meaning of the rows' times; it must be known; add a line \"# stamps: \
         start\" (or middle, or end) above the columns, or state it (option stamps)"
    );
    let elevation =
        year("# latitude: 45\n# longitude: -110\n# stamps: end\n", "time", |d, h| format!("{d}T{h:02}:00"));
    assert_eq!(
        message(&elevation),
        "site.csv: the file does not say the elevation, offset from UTC; it must be known; state what is missing \
         (options elevation, utc_offset)"
    );
}

/// One row a day long enough to be read, with the column and value given beside the needed ones.
fn two_days(columns: &str, values: &str) -> String {
    let mut out = format!("{HEAD}# stamps: start\n# kind: synthetic\ntime,{columns}\n");
    for day in 1..=2 {
        for hour in 0..24 {
            writeln!(out, "2001-01-0{day}T{hour:02}:00,{values}").unwrap();
        }
    }
    out
}

#[test]
fn customary_units_are_read_by_the_columns_name() {
    let options = Options { part_of_year: true, ..Options::default() };
    let one = |columns: &str, values: &str| {
        read(&two_days(columns, values), &options).unwrap_or_else(|e| panic!("{e}")).record
    };
    let near = |a: f64, b: f64| assert!((a - b).abs() <= 1e-12 * b.abs(), "{a} is not {b}");
    let us = one(
        "ghi_w_per_m2,Air_degF,wind_mph,snow_depth_in,precipitation_in,pressure_inhg",
        "0,23,10,2,0.01,29.92",
    );
    assert_eq!(us.air_degc[0], -5.0, "23 °F is -5 °C exactly");
    near(us.wind_m_per_s.as_ref().unwrap()[0], 4.4704);
    near(us.snow_depth_m.as_ref().unwrap()[0], 0.0508);
    near(us.precipitation_mm.as_ref().unwrap()[0], 0.254);
    near(us.pressure_pa.as_ref().unwrap()[0], 29.92 * 3386.389);
    let other = one(
        "ghi_w_per_m2,air_degc,wind_km_per_h,snow_depth_cm,pressure_hpa,relative_humidity_fraction",
        "0,-5,36,5,850,0.5",
    );
    near(other.wind_m_per_s.as_ref().unwrap()[0], 10.0);
    near(other.snow_depth_m.as_ref().unwrap()[0], 0.05);
    near(other.pressure_pa.as_ref().unwrap()[0], 85_000.0);
    near(other.relative_humidity.as_ref().unwrap()[0], 0.5);
    near(one("ghi_w_per_m2,air_degc,wind_knots", "0,-5,9").wind_m_per_s.unwrap()[0], 4.63);
}

#[test]
fn a_unit_that_is_not_known_asks_for_other_values_and_not_only_for_another_name() {
    assert_eq!(
        message(&two_days("ghi_w_per_m2,air_kelvin", "0,268.15")),
        "site.csv: line 8, column air_kelvin: no column of this name is known; the nearest known: air_degc, air_degf; \
         convert the values to the unit in one of these names and rename the column, or prefix its name with x_ to skip \
         it"
    );
    assert_eq!(
        message(&two_days("ghi_w_per_m2,air_degc,air_degf", "0,-5,23")),
        "site.csv: line 8, column air_degf: the column appears twice; each column must appear once; remove or rename \
         one of them"
    );
    assert!(
        message(&two_days("ghi_w_per_m2,wind_mph", "0,3"))
            .contains("a column named air_degc or air_degf is needed")
    );
}
