//! PVGIS hourly series as CSV (`time,Gb(i),Gd(i),...` or `time,G(i),...`).
//!
//! Radiation is on the plane that was asked for: only slope 0 can be used, where direct and diffuse add up to the
//! global radiation. Rows are stamped in UTC at the minute of the satellite's scan; each is the hour in which that minute
//! lies.

use super::format::Format;
use super::pvgis_tmy::{Heading, compact};
use crate::error::{Error, ErrorKind};
use crate::input::{Head, Input, fields};
use crate::options::Options;
use crate::place::offset_of_longitude;
use crate::quantity::Quantity;
use crate::table::{Meaning, Spec, Table, bind, read_rows, width};
use crate::timing::{civil_minute, time_text};

pub(crate) const FORMAT: Format = Format { name: "PVGIS hourly series", matches, read };

const fn never(_: f64) -> bool {
    false
}

const fn spec(quantity: Quantity, names: &'static [&'static str], scale: f64) -> Spec {
    Spec { quantity, names, scale, missing: never }
}

/// Direct radiation on the level is read in the place of global and added to the diffuse below.
const PARTS: &[Spec] = &[
    spec(Quantity::Ghi, &["Gb(i)"], 1.0),
    spec(Quantity::Dhi, &["Gd(i)"], 1.0),
    spec(Quantity::Air, &["T2m"], 1.0),
    spec(Quantity::Wind, &["WS10m"], 1.0),
];

const WHOLE: &[Spec] = &[
    spec(Quantity::Ghi, &["G(i)", "Gb(i)"], 1.0),
    spec(Quantity::Air, &["T2m"], 1.0),
    spec(Quantity::Wind, &["WS10m"], 1.0),
];

fn is_header(line: &str) -> bool {
    if !line.trim_start().trim_start_matches('"').starts_with("time") {
        return false;
    }
    let names = fields(line);
    names.first().is_some_and(|f| f == "time")
        && names.iter().any(|f| f == "H_sun" || f == "Gb(i)" || f == "G(i)")
}

fn matches(head: &Head) -> bool {
    head.lines.iter().take(60).any(|l| is_header(l))
}

fn read(mut input: Input<'_>, options: &Options) -> Result<Table, Error> {
    let mut heading = Heading::default();
    let header = loop {
        let Some(line) = input.next_line()? else {
            let lines = input.line();
            return Err(Error::new(
                &input.name,
                ErrorKind::HeaderCutShort { lines, lines_needed: lines + 1 },
            ));
        };
        if is_header(&line) {
            break fields(&line);
        }
        heading.take(&line, &input)?;
    };
    let level = |slope: &str| {
        let number: String = slope.chars().take_while(|c| c.is_ascii_digit() || *c == '.').collect();
        number.parse::<f64>().is_ok_and(|degrees| degrees < 0.01)
    };
    if let Some(found) = heading.slope.filter(|s| !level(s)) {
        return Err(Error::new(&input.name, ErrorKind::TiltedPlane { found }));
    }
    let in_parts = header.iter().any(|h| h == "Gd(i)");
    let specs = if in_parts { PARTS } else { WHOLE };
    let bound = bind(&header, specs, str::to_owned, |kind| input.error(kind))?;
    let mut notes = Vec::new();
    let mut place = heading.place;
    offset_of_longitude(&mut place, &options.place, &mut notes);
    let mut scan_minute = None;
    let mut rows = read_rows(input.into_rows(), &bound, width(&header), |rows| {
        let Some((year, month, day, minute)) = compact(rows)? else { return Ok(None) };
        let first = *scan_minute.get_or_insert(minute % 60);
        let at = civil_minute(year, month, day, minute).map_err(|kind| rows.error(kind))?;
        if minute % 60 != first {
            return Err(rows.error(ErrorKind::OffTheGrid { time: time_text(at), step_min: 60 }));
        }
        Ok(Some(at - first))
    })?;
    if in_parts {
        let diffuse = rows.columns.get(Quantity::Dhi).cloned();
        if let (Some(global), Some(diffuse)) = (rows.columns.get_mut(Quantity::Ghi), diffuse) {
            for (g, d) in global.iter_mut().zip(diffuse) {
                *g += d;
            }
        }
        notes.push("global radiation is the sum of direct and diffuse on the level".into());
    }
    Ok(Table {
        format: FORMAT.name,
        place,
        rows_offset_h: Some(0.0),
        kind: None,
        meaning: Meaning::Instant { minutes_after_start: Some(scan_minute.map_or(0.0, |m| m as f64)) },
        scenario: None,
        zero_snow_is_said: false,
        rows,
        notes,
    })
}
