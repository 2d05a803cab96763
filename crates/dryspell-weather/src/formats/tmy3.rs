//! TMY3: typical years of the US, hourly (Wilcox and Marion, *Users Manual for TMY3 Data Sets*,
//! NREL/TP-581-43156, 2008).
//!
//! Line 1: station, name, state, offset from UTC, latitude, longitude, elevation. Line 2: columns with units. Rows
//! are stamped in local standard time at the end of their hour, 01:00 to 24:00; look-alike files write the last hour
//! as 00:00 of the next day, which comes to the same.

use super::format::Format;
use crate::error::{Error, ErrorKind, clip};
use crate::input::{Head, Input, Rows, whole};
use crate::options::{Options, Stamps};
use crate::place::{FilePlace, header_number};
use crate::quantity::Quantity;
use crate::table::{Meaning, Spec, Table, bind, read_rows, width};
use crate::timing::civil_minute;

pub(crate) const FORMAT: Format = Format { name: "TMY3", matches, read };

/// Missing values are −9900; −9999 is seen in look-alike files.
fn missing(v: f64) -> bool {
    v <= -9900.0
}

const fn spec(quantity: Quantity, names: &'static [&'static str], scale: f64) -> Spec {
    Spec { quantity, names, scale, missing }
}

/// Names with the units in which they come.
const SPECS: &[Spec] = &[
    spec(Quantity::Ghi, &["ghi"], 1.0),
    spec(Quantity::Dni, &["dni"], 1.0),
    spec(Quantity::Dhi, &["dhi"], 1.0),
    spec(Quantity::Air, &["dry-bulb"], 1.0),
    spec(Quantity::Wind, &["wspd"], 1.0),
    spec(Quantity::Albedo, &["alb"], 1.0),
    spec(Quantity::Precipitation, &["lprecip depth"], 1.0),
    spec(Quantity::Humidity, &["rhum"], 0.01),
    spec(Quantity::Pressure, &["pressure"], 100.0),
];

/// Units accepted, by quantity.
fn unit(q: Quantity) -> &'static str {
    match q {
        Quantity::Ghi | Quantity::Dni | Quantity::Dhi => "W/m^2",
        Quantity::Air => "C",
        Quantity::Wind => "m/s",
        Quantity::Albedo => "unitless",
        Quantity::Precipitation => "mm",
        Quantity::Humidity => "%",
        Quantity::Pressure => "mbar",
        Quantity::Snow => "cm",
    }
}

fn matches(head: &Head) -> bool {
    let line = head.line(1).trim_start().trim_start_matches('"');
    line.starts_with("Date (MM/DD/YYYY)")
}

/// `GHI (W/m^2)` → `ghi`.
fn base(header: &str) -> String {
    header.split('(').next().unwrap_or("").trim().to_lowercase()
}

fn read(mut input: Input<'_>, _options: &Options) -> Result<Table, Error> {
    let site = input.header_fields(2)?;
    let number = |n: usize, name: &str| {
        header_number(name, site.get(n).map_or("", String::as_str), |kind| input.error(kind))
    };
    let place = FilePlace {
        name: [1, 2].iter().filter_map(|n| site.get(*n)).cloned().collect::<Vec<_>>().join(", "),
        utc_offset_h: Some(number(3, "time zone")?),
        latitude_deg: Some(number(4, "latitude")?),
        longitude_deg: Some(number(5, "longitude")?),
        elevation_m: Some(number(6, "elevation")?),
    };
    let header = input.header_fields(2)?;
    let bound = bind(&header, SPECS, base, |kind| input.error(kind))?;
    for b in &bound {
        let found = b.name.split_once('(').map_or("", |(_, u)| u.trim_end_matches(')')).trim();
        if !found.eq_ignore_ascii_case(unit(b.quantity)) {
            let kind =
                ErrorKind::WrongUnit { found: found.to_owned(), accepted: unit(b.quantity).to_owned() };
            return Err(input.error(kind).in_column(b.name.clone()));
        }
    }
    let rows = read_rows(input.into_rows(), &bound, width(&header), stamp)?;
    Ok(Table {
        format: FORMAT.name,
        place,
        rows_offset_h: None,
        kind: None,
        meaning: Meaning::Mean(Stamps::End),
        scenario: None,
        zero_snow_is_said: false,
        rows,
        notes: Vec::new(),
    })
}

/// `MM/DD/YYYY,HH:MM`.
fn stamp(rows: &Rows<'_>) -> Result<Option<i64>, Error> {
    let date = rows.field(0);
    let time = rows.field(1);
    let read = || {
        let mut parts = date.split(|b| *b == b'/');
        let (month, day, year) = (whole(parts.next()?)?, whole(parts.next()?)?, whole(parts.next()?)?);
        let mut clock = time.split(|b| *b == b':');
        let (hour, minute) = (whole(clock.next()?)?, whole(clock.next()?)?);
        let good = hour <= 24 && minute < 60 && parts.next().is_none() && clock.next().is_none();
        good.then(|| (year, month, day, i64::from(hour) * 60 + i64::from(minute)))
    };
    let Some((year, month, day, minute)) = read() else {
        let found = clip(&format!("{},{}", rows.text(0), rows.text(1)));
        return Err(
            rows.error(ErrorKind::BadTime { found, accepted: "MM/DD/YYYY,HH:MM with hours 00 to 24" })
        );
    };
    civil_minute(year, month, day, minute).map(Some).map_err(|kind| rows.error(kind))
}
