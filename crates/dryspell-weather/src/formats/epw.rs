//! EPW: weather files for building simulation (EnergyPlus *Auxiliary Programs*, weather file data dictionary).
//!
//! Eight lines of heading, then rows of fixed fields. Hours run from 1 to 24 and end at their number, in local standard
//! time. The files that PVGIS makes in this format are an exception: their rows are the UTC series unshifted, whatever
//! the time zone in the first line says, and `COMMENTS 2` holds the scan's time relative to the hour's end.

use super::format::Format;
use crate::error::{Error, ErrorKind, clip};
use crate::input::{Head, Input, Rows, fields, number, whole};
use crate::options::{Options, Stamps};
use crate::place::{FilePlace, header_number};
use crate::quantity::Quantity;
use crate::table::{Bound, Meaning, Table, read_rows};
use crate::timing::civil_minute;

pub(crate) const FORMAT: Format = Format { name: "EPW", matches, read };

/// Lines of the heading.
const HEADING: u64 = 8;
/// Fewest fields of a row: up to the wind speed.
const LEAST_FIELDS: usize = 22;

/// A field: number from 0, quantity, factor, missing at or above.
const FIELDS: [(usize, Quantity, f64, f64); 10] = [
    (6, Quantity::Air, 1.0, 99.9),
    (8, Quantity::Humidity, 0.01, 999.0),
    (9, Quantity::Pressure, 1.0, 999_999.0),
    (13, Quantity::Ghi, 1.0, 9999.0),
    (14, Quantity::Dni, 1.0, 9999.0),
    (15, Quantity::Dhi, 1.0, 9999.0),
    (21, Quantity::Wind, 1.0, 999.0),
    (30, Quantity::Snow, 0.01, 999.0),
    (32, Quantity::Albedo, 1.0, 999.0),
    (33, Quantity::Precipitation, 1.0, 999.0),
];

fn matches(head: &Head) -> bool {
    head.line(0).trim_start().to_uppercase().starts_with("LOCATION,")
}

/// A missing code of the data dictionary, by its value: at or above for each field.
fn missing(code: f64) -> fn(f64) -> bool {
    if code < 100.0 {
        // Both 99.9 and 999 are in use; 283 is a temperature in kelvin and to be refused.
        |v| v >= 999.0 || (v - 99.9).abs() < 0.01
    } else if code < 1000.0 {
        |v| v >= 999.0
    } else if code < 10_000.0 {
        |v| v >= 9999.0
    } else {
        |v| v >= 999_999.0
    }
}

fn bound() -> Vec<Bound> {
    FIELDS
        .iter()
        .map(|(field, quantity, scale, code)| Bound {
            offset: 0.0,
            field: *field,
            quantity: *quantity,
            scale: *scale,
            missing: missing(*code),
            name: format!("{} ({})", field + 1, quantity.words()),
        })
        .collect()
}

fn read(mut input: Input<'_>, _options: &Options) -> Result<Table, Error> {
    let site = input.header_fields(HEADING)?;
    let numeric = |n: usize, name: &str| {
        header_number(name, site.get(n).map_or("", String::as_str), |kind| input.error(kind)).map(Some)
    };
    let place = FilePlace {
        name: [1, 3]
            .iter()
            .filter_map(|n| site.get(*n))
            .filter(|t| !t.is_empty() && *t != "-")
            .cloned()
            .collect::<Vec<_>>()
            .join(", "),
        latitude_deg: numeric(6, "latitude")?,
        longitude_deg: numeric(7, "longitude")?,
        utc_offset_h: numeric(8, "time zone")?,
        elevation_m: numeric(9, "elevation")?,
    };
    let mut scan_after_end_h = None;
    let mut an_hour = 1;
    for _ in 1..HEADING {
        let line = input.next_line()?.ok_or_else(|| {
            Error::new(&input.name, ErrorKind::HeaderCutShort { lines: input.line(), lines_needed: HEADING })
        })?;
        if let Some((_, value)) = line.split_once("Irradiance Time Offset (h):") {
            let value = value.trim().trim_end_matches([',', '"']);
            scan_after_end_h =
                Some(header_number("Irradiance Time Offset", value, |kind| input.error(kind))?);
        }
        if line.to_uppercase().starts_with("DATA PERIODS") {
            an_hour = fields(&line).get(2).and_then(|t| whole(t.as_bytes())).unwrap_or(1);
        }
    }
    // PVGIS names its source so, and nothing else about the place, also in files without the scan's time.
    let from_pvgis = scan_after_end_h.is_some() || site.get(4).is_some_and(|s| s == "ECMWF/ERA");
    let mut notes = Vec::new();
    let (rows_offset_h, meaning) = if from_pvgis {
        notes.push("made by PVGIS: rows are in UTC, whatever the first line says".into());
        notes.push("air temperature and wind are those at the start of the hour".into());
        let minutes_after_start = scan_after_end_h.map(|h| (60.0 * (h + 1.0)).clamp(0.0, 60.0));
        (Some(0.0), Meaning::Instant { minutes_after_start })
    } else {
        (None, Meaning::Mean(Stamps::End))
    };
    let mut width = None;
    let bound = bound();
    let rows = read_rows(input.into_rows(), &bound, 0, |rows| {
        let found = rows.record().len();
        let expected = *width.get_or_insert(found.max(LEAST_FIELDS));
        if found < expected {
            return Err(rows.error(ErrorKind::RowCutShort { fields: found, expected }));
        }
        let end = stamp(rows, an_hour)?;
        Ok(Some(if from_pvgis { end - 60 } else { end }))
    })?;
    Ok(Table {
        format: FORMAT.name,
        place,
        rows_offset_h,
        kind: None,
        meaning,
        scenario: None,
        zero_snow_is_said: false,
        rows,
        notes,
    })
}

/// `year,month,day,hour,minute`: the end of the row's time. The minute counts only where an hour has several rows.
fn stamp(rows: &Rows<'_>, an_hour: i32) -> Result<i64, Error> {
    let read = || {
        let part = |n: usize| whole(rows.field(n));
        let (year, month, day, hour) = (part(0)?, part(1)?, part(2)?, part(3)?);
        let minute = number(rows.field(4)).unwrap_or(60.0);
        let of_hour = if an_hour > 1 { crate::timing::minutes(minute / 60.0) } else { 60 };
        ((1..=24).contains(&hour) && (0..=60).contains(&of_hour))
            .then(|| (year, month, day, i64::from(hour - 1) * 60 + of_hour))
    };
    let Some((year, month, day, minute)) = read() else {
        let found = clip(&(0..4).map(|n| rows.text(n)).collect::<Vec<_>>().join(","));
        return Err(
            rows.error(ErrorKind::BadTime { found, accepted: "year,month,day,hour with hours 1 to 24" })
        );
    };
    civil_minute(year, month, day, minute).map_err(|kind| rows.error(kind))
}
