//! What several tests need.

use crate::support::data;
use dryspell::record::Record;
use dryspell_weather::{Error, Options, PlaceOptions, Weather, read_bytes, read_file};

/// A real file below `data/weather`.
pub fn real(name: &str, options: &Options) -> Weather {
    read_file(data("weather").join(name), options).unwrap_or_else(|e| panic!("{e}"))
}

/// Its bytes.
pub fn bytes(name: &str) -> Vec<u8> {
    std::fs::read(data("weather").join(name)).unwrap()
}

/// Its text.
pub fn text(name: &str) -> String {
    String::from_utf8(bytes(name)).unwrap()
}

/// Reads text as a file called `site.csv`.
pub fn read(text: &str, options: &Options) -> Result<Weather, Error> {
    read_bytes("site.csv", text.as_bytes(), options)
}

/// The message of the error that the text gives.
pub fn message(text: &str) -> String {
    match read(text, &Options::default()) {
        Ok(_) => panic!("read without error"),
        Err(e) => e.to_string(),
    }
}

/// Place of the satellite re-exports that come without one (as in the tests of the package that they come from; the
/// elevation is that of the full file of the same cell).
pub fn colorado() -> Options {
    let place = PlaceOptions {
        name: Some("north-west Colorado".into()),
        latitude_deg: Some(40.53),
        longitude_deg: Some(-108.54),
        elevation_m: Some(2168.0),
        utc_offset_h: Some(-7.0),
    };
    Options { place, ..Options::default() }
}

/// kWh/m² of a column of hourly W/m².
pub fn kwh(column: &[f64]) -> f64 {
    column.iter().sum::<f64>() / 1000.0
}

/// The sum that was printed with one decimal.
#[track_caller]
pub fn same_sum(what: &str, column: &[f64], printed: f64) {
    let sum = kwh(column);
    assert!((sum - printed).abs() <= 0.0501, "{what}: {sum}, printed {printed}");
}

/// The source year of each month's fifteenth.
pub fn years(record: &Record) -> Vec<i32> {
    record.calendar.days().iter().filter(|d| d.day == 15).map(|d| d.year).collect()
}

/// Changes one line (counted from 1) of a text.
pub fn edit(text: &str, line: usize, change: impl FnOnce(&str) -> String) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    lines[line - 1] = change(&lines[line - 1]);
    lines.join("\n") + "\n"
}

/// Replaces a field (counted from 1) of a line without quotes.
pub fn with_field(line: &str, field: usize, value: &str) -> String {
    let mut fields: Vec<&str> = line.split(',').collect();
    fields[field - 1] = value;
    fields.join(",")
}
