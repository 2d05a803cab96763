//! Tables with the column names of the Python library pvlib, as pandas writes them (`to_csv`).
//!
//! The first column holds the times and mostly has no name: `2021-06-01 00:00:00-07:00`, with one offset from UTC. The others
//! have the names and units of the library's glossary: `ghi`, `dni`, `dhi` in W/m², `temp_air` in °C, `wind_speed` in m/s,
//! `albedo`, `relative_humidity` in %; whatever else there is (`precipitable_water`, angles, pressure, whose unit differs
//! between its readers) is left out. Nothing is said about the place: it has to be stated. Values belong to the instant of
//! their stamp, as the library's own positions of the sun do; the sun tells where they do not.

use super::format::Format;
use super::plain::{hours_of, iso};
use super::pvgis_tmy;
use crate::error::{Error, ErrorKind, clip};
use crate::input::{Head, Input, fields};
use crate::options::Options;
use crate::place::{FilePlace, offset_of_longitude};
use crate::quantity::Quantity;
use crate::table::{Meaning, Spec, Table, bind, read_rows, width};
use crate::timing::civil_minute;

pub(crate) const FORMAT: Format = Format { name: "CSV with pvlib's column names", matches, read };

const SPECS: &[Spec] = &[
    pvgis_tmy::spec(Quantity::Ghi, &["ghi"], 1.0),
    pvgis_tmy::spec(Quantity::Dni, &["dni"], 1.0),
    pvgis_tmy::spec(Quantity::Dhi, &["dhi"], 1.0),
    pvgis_tmy::spec(Quantity::Air, &["temp_air"], 1.0),
    pvgis_tmy::spec(Quantity::Wind, &["wind_speed"], 1.0),
    pvgis_tmy::spec(Quantity::Albedo, &["albedo"], 1.0),
    pvgis_tmy::spec(Quantity::Humidity, &["relative_humidity"], 0.01),
];

/// The air temperature's name is the library's own; a nameless first column with radiation is pandas'.
fn matches(head: &Head) -> bool {
    let Some(first) = head.lines.iter().find(|l| !l.trim().is_empty()) else { return false };
    let names = fields(first);
    let has = |name: &str| names.iter().any(|n| n == name);
    has("temp_air") || (names.first().is_some_and(String::is_empty) && has("ghi"))
}

fn read(mut input: Input<'_>, options: &Options) -> Result<Table, Error> {
    let header = loop {
        let line = input.next_line()?.ok_or_else(|| Error::new(&input.name, ErrorKind::Empty))?;
        if !line.trim().is_empty() {
            break fields(&line);
        }
    };
    let bound = bind(&header, SPECS, str::to_owned, |kind| input.error(kind))?;
    let mut notes =
        vec!["units are those of pvlib's glossary: W/m2, degC, m/s, relative humidity in %".to_owned()];
    if options.stamps.is_none() {
        notes.push(
            "values taken as those of the instant of their stamp, as the library's positions of the sun are; state \
             stamps if they are means"
                .into(),
        );
    }
    let left_out: Vec<&str> = (1..header.len())
        .filter(|n| !header[*n].is_empty() && bound.iter().all(|b| b.field != *n))
        .map(|n| header[n].as_str())
        .collect();
    if !left_out.is_empty() {
        notes.push(format!("columns not used: {}", left_out.join(", ")));
    }
    let mut clock = None;
    let rows = read_rows(input.into_rows(), &bound, width(&header), |rows| {
        let found = || clip(&rows.text(0));
        let Some((year, month, day, minute, zone)) = iso(rows.field(0)) else {
            let accepted =
                "YYYY-MM-DD HH:MM:SS in the first column, with or without an offset such as -07:00,";
            return Err(rows.error(ErrorKind::BadTime { found: found(), accepted }));
        };
        if *clock.get_or_insert(zone) != zone {
            return Err(rows.error(ErrorKind::ClockChanges { found: found() }));
        }
        civil_minute(year, month, day, minute).map(Some).map_err(|kind| rows.error(kind))
    })?;
    let rows_offset_h = clock.flatten().map(hours_of);
    let mut place = FilePlace { utc_offset_h: rows_offset_h, ..FilePlace::default() };
    if clock.flatten() == Some(0) {
        offset_of_longitude(&mut place, &options.place, &mut notes);
    }
    Ok(Table {
        format: FORMAT.name,
        place,
        rows_offset_h,
        kind: None,
        scenario: None,
        meaning: Meaning::Centred,
        zero_snow_is_said: false,
        rows,
        notes,
    })
}
