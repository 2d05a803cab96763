//! A small reader of one TMY3 file, for tests and benches of the core alone: the columns that the sun and the panels
//! need, nothing checked. The weather crate's reader is the real one.

use dryspell::calendar::{Calendar, Day};
use dryspell::record::{Place, RadiationTime, Record, Source, YearKind};
use std::path::Path;

/// Reads a file; it stops at the first surprise.
pub fn read(path: &Path) -> Record {
    let file = std::fs::File::open(path).unwrap();
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(file);
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let number = |row: usize, field: usize| -> f64 { rows[row][field].trim().parse().unwrap() };
    let column = |name: &str| -> Vec<f64> {
        let field = rows[1].iter().position(|n| n == name).unwrap();
        (2..rows.len()).map(|row| number(row, field)).collect()
    };
    let days = (2..rows.len())
        .step_by(24)
        .map(|row| {
            let mut parts = rows[row][0].split('/');
            let mut part = || parts.next().unwrap();
            let (month, day) = (part().parse().unwrap(), part().parse().unwrap());
            Day { year: part().parse().unwrap(), month, day }
        })
        .collect();
    let record = Record {
        place: Place {
            name: rows[0][1].to_owned(),
            utc_offset_h: number(0, 3),
            latitude_deg: number(0, 4),
            longitude_deg: number(0, 5),
            elevation_m: number(0, 6),
        },
        calendar: Calendar::new(days, 0),
        kind: YearKind::Typical,
        radiation_time: RadiationTime::HourMean,
        ghi_w_per_m2: column("GHI (W/m^2)"),
        dni_w_per_m2: Some(column("DNI (W/m^2)")),
        dhi_w_per_m2: Some(column("DHI (W/m^2)")),
        air_degc: column("Dry-bulb (C)"),
        wind_m_per_s: Some(column("Wspd (m/s)")),
        albedo: None,
        snow_depth_m: None,
        precipitation_mm: None,
        relative_humidity: Some(column("RHum (%)").into_iter().map(|v| v / 100.0).collect()),
        pressure_pa: None,
        parts: Vec::new(),
        source: Source::default(),
    };
    record.check().unwrap();
    record
}
