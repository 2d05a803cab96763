//! NSRDB PSM v3 and v4: satellite years and typical years as CSV.
//!
//! Line 1 names the facts about the place, line 2 has their values, line 3 the columns in whatever order they were
//! asked for; rows may end in empty fields. Rows are snapshots at their stamp: hourly ones stand in the middle of
//! their hour. `Time Zone` is the clock of the rows, `Local Time Zone` that of the place; both are standard time.
//! Re-exports begin with the columns; those without a `Minute` column are stamped at the start of the hour.

use super::format::Format;
use crate::error::{Error, ErrorKind, clip};
use crate::input::{Head, Input, Rows, fields, whole};
use crate::options::{Options, Stamps};
use crate::place::{FilePlace, header_number};
use crate::quantity::Quantity;
use crate::table::{Meaning, Spec, Table, bind, read_rows, width};
use crate::timing::civil_minute;

pub(crate) const FORMAT: Format = Format { name: "NSRDB PSM", matches, read };

/// Missing values in re-exports; the service itself fills all rows.
fn missing(v: f64) -> bool {
    v <= -999.0
}

const fn spec(quantity: Quantity, names: &'static [&'static str], scale: f64) -> Spec {
    Spec { quantity, names, scale, missing }
}

/// The second name is that of re-exported typical years.
const SPECS: &[Spec] = &[
    spec(Quantity::Ghi, &["ghi"], 1.0),
    spec(Quantity::Dni, &["dni"], 1.0),
    spec(Quantity::Dhi, &["dhi"], 1.0),
    spec(Quantity::Air, &["temperature", "tdry"], 1.0),
    spec(Quantity::Wind, &["wind speed", "wspd"], 1.0),
    spec(Quantity::Albedo, &["surface albedo", "albedo"], 1.0),
    spec(Quantity::Snow, &["snow depth"], 0.01),
    spec(Quantity::Humidity, &["relative humidity", "rh"], 0.01),
    spec(Quantity::Pressure, &["pressure", "pres"], 100.0),
];

/// Units accepted where line 1 and 2 state them.
fn units(q: Quantity) -> &'static [&'static str] {
    match q {
        Quantity::Ghi | Quantity::Dni | Quantity::Dhi => &["w/m2", "w/m^2"],
        Quantity::Air => &["C", "degC"],
        Quantity::Wind => &["m/s"],
        Quantity::Albedo => &["n/a"],
        Quantity::Snow => &["cm"],
        Quantity::Precipitation => &["mm"],
        Quantity::Humidity => &["%"],
        Quantity::Pressure => &["mbar", "millibar"],
    }
}

fn has(line: &str, names: &[&str]) -> bool {
    let lower = line.to_lowercase();
    if !names.iter().all(|n| lower.contains(&n.to_lowercase())) {
        return false;
    }
    let found = fields(line);
    names.iter().all(|n| found.iter().any(|f| f.eq_ignore_ascii_case(n)))
}

const TIME: [&str; 4] = ["Year", "Month", "Day", "Hour"];

fn matches(head: &Head) -> bool {
    has(head.line(0), &TIME) || has(head.line(0), &["Latitude", "Longitude", "Time Zone"])
}

/// The facts about the place: names and values.
struct Facts {
    names: Vec<String>,
    values: Vec<String>,
}

impl Facts {
    fn text(&self, name: &str) -> Option<&str> {
        let n = self.names.iter().position(|f| f.eq_ignore_ascii_case(name))?;
        self.values.get(n).map(|v| v.trim()).filter(|v| !v.is_empty() && *v != "-")
    }
}

fn read(mut input: Input<'_>, _options: &Options) -> Result<Table, Error> {
    let first = input.header_fields(1)?;
    let mut place = FilePlace::default();
    let mut rows_offset_h = None;
    let mut notes = Vec::new();
    let mut facts = Facts { names: Vec::new(), values: Vec::new() };
    let header = if first.iter().any(|f| f.eq_ignore_ascii_case(TIME[0])) {
        notes.push("a re-export without the lines about the place".to_owned());
        first
    } else {
        facts = Facts { names: first, values: input.header_fields(3)? };
        let number = |name: &str| match facts.text(name) {
            Some(text) => header_number(name, text, |kind| input.error(kind)).map(Some),
            None => Ok(None),
        };
        let rows_zone = number("Time Zone")?;
        let local = number("Local Time Zone")?.or(rows_zone);
        let id = facts.text("Location ID").map(|id| format!("NSRDB {id}"));
        let city = facts.text("City").map(str::to_owned);
        place = FilePlace {
            name: city.or(id).unwrap_or_else(|| "unnamed".into()),
            latitude_deg: number("Latitude")?,
            longitude_deg: number("Longitude")?,
            elevation_m: number("Elevation")?,
            utc_offset_h: local,
        };
        rows_offset_h = rows_zone;
        input.header_fields(3)?
    };
    let index = |name: &str| header.iter().position(|h| h.eq_ignore_ascii_case(name));
    let time =
        || input.error(ErrorKind::MissingTimeColumn { accepted: "Year, Month, Day and Hour are needed" });
    let mut at = [0usize; 4];
    for (n, name) in TIME.iter().enumerate() {
        at[n] = index(name).ok_or_else(time)?;
    }
    let minute = index("Minute");
    let bound = bind(&header, SPECS, |h| h.to_lowercase(), |kind| input.error(kind))?;
    for b in &bound {
        let Some(found) = facts.text(&format!("{} Units", b.name)) else { continue };
        if !units(b.quantity).iter().any(|u| u.eq_ignore_ascii_case(found)) {
            let kind =
                ErrorKind::WrongUnit { found: found.to_owned(), accepted: units(b.quantity)[0].to_owned() };
            return Err(Error::new(&input.name, kind).at_line(2).in_column(b.name.clone()));
        }
    }
    let meaning = if minute.is_some() {
        Meaning::Centred
    } else {
        notes.push("rows without a minute are taken to begin at their hour".into());
        Meaning::Mean(Stamps::Start)
    };
    let rows = read_rows(input.into_rows(), &bound, width(&header), |rows| stamp(rows, at, minute))?;
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

/// `Year,Month,Day,Hour[,Minute]`.
fn stamp(rows: &Rows<'_>, at: [usize; 4], minute: Option<usize>) -> Result<Option<i64>, Error> {
    let read = || {
        let part = |n: usize| whole(rows.field(n));
        let minute = minute.map_or(Some(0), part)?;
        let (year, month, day, hour) = (part(at[0])?, part(at[1])?, part(at[2])?, part(at[3])?);
        (hour < 24 && minute < 60).then(|| (year, month, day, i64::from(hour) * 60 + i64::from(minute)))
    };
    let Some((year, month, day, of_day)) = read() else {
        let mut found: Vec<String> = at.iter().map(|n| rows.text(*n)).collect();
        found.extend(minute.map(|n| rows.text(n)));
        let accepted = "whole numbers with hours 0 to 23 and minutes 0 to 59";
        return Err(rows.error(ErrorKind::BadTime { found: clip(&found.join(",")), accepted }));
    };
    civil_minute(year, month, day, of_day).map(Some).map_err(|kind| rows.error(kind))
}
