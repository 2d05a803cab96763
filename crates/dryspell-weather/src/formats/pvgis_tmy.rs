//! PVGIS typical year as CSV (`time(UTC),T2m,RH,G(h),...`).
//!
//! Lines of the form `Name: value` about the place, the years of the months, the columns, 8760 rows stamped
//! `YYYYMMDD:HHMM` in UTC, a legend. Temperature and wind belong to the stamp. Radiation was scanned
//! `Irradiance Time Offset (h)` after it; files from before December 2024 do not say when, and the sun tells.
//! The basic variant has nothing above the columns. No file says the local clock: without one stated it is that of
//! the longitude.

use super::format::Format;
use crate::error::{Error, ErrorKind, clip};
use crate::input::{Head, Input, Rows, fields, whole};
use crate::options::Options;
use crate::place::{FilePlace, header_number, offset_of_longitude};
use crate::quantity::Quantity;
use crate::table::{Meaning, Spec, Table, bind, read_rows, width};
use crate::timing::civil_minute;
use dryspell::record::YearKind;

pub(crate) const FORMAT: Format = Format { name: "PVGIS typical year", matches, read };

/// The services fill all rows.
const fn never(_: f64) -> bool {
    false
}

pub(super) const fn spec(quantity: Quantity, names: &'static [&'static str], scale: f64) -> Spec {
    Spec { quantity, names, scale, missing: never }
}

const SPECS: &[Spec] = &[
    spec(Quantity::Ghi, &["G(h)"], 1.0),
    spec(Quantity::Dni, &["Gb(n)"], 1.0),
    spec(Quantity::Dhi, &["Gd(h)"], 1.0),
    spec(Quantity::Air, &["T2m"], 1.0),
    spec(Quantity::Wind, &["WS10m"], 1.0),
    spec(Quantity::Humidity, &["RH"], 0.01),
    spec(Quantity::Pressure, &["SP"], 1.0),
];

/// First field of the columns.
const TIME: &str = "time(UTC)";

fn matches(head: &Head) -> bool {
    head.lines.iter().take(60).any(|l| l.trim_start().starts_with(TIME))
}

/// The lines above the columns.
#[derive(Debug, Default)]
pub(crate) struct Heading {
    pub(crate) place: FilePlace,
    /// Minutes from stamp to scan.
    pub(crate) offset_min: Option<f64>,
    /// Slope of the plane, as written.
    pub(crate) slope: Option<String>,
}

impl Heading {
    /// Takes a line above the columns.
    pub(crate) fn take(&mut self, line: &str, input: &Input<'_>) -> Result<(), Error> {
        let Some((name, value)) = line.split_once(':') else { return Ok(()) };
        let (name, value) = (name.trim(), value.trim());
        let numeric = |text: &str| header_number(name, text, |kind| input.error(kind)).map(Some);
        if name.starts_with("Latitude") {
            self.place.latitude_deg = numeric(value)?;
        } else if name.starts_with("Longitude") {
            self.place.longitude_deg = numeric(value)?;
        } else if name.starts_with("Elevation") {
            self.place.elevation_m = numeric(value)?;
        } else if name.starts_with("Irradiance Time Offset") {
            self.offset_min = numeric(value)?.map(|h| 60.0 * h);
        } else if name.eq_ignore_ascii_case("Slope") {
            self.slope = Some(value.to_owned());
        }
        Ok(())
    }
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
        if line.trim_start().starts_with(TIME) {
            break fields(&line);
        }
        heading.take(&line, &input)?;
    };
    let bound = bind(&header, SPECS, str::to_owned, |kind| input.error(kind))?;
    let mut notes = Vec::new();
    let mut place = heading.place;
    offset_of_longitude(&mut place, &options.place, &mut notes);
    notes.push("air temperature and wind are those at the start of the hour".into());
    if let Some(minutes) = heading.offset_min.filter(|m| !(0.0..=60.0).contains(m)) {
        let found = format!("{} h", minutes / 60.0);
        let kind =
            ErrorKind::HeaderValue { name: "Irradiance Time Offset".into(), found, accepted: "0 to 1 h" };
        return Err(Error::new(&input.name, kind));
    }
    let rows = read_rows(input.into_rows(), &bound, width(&header), stamp)?;
    Ok(Table {
        format: FORMAT.name,
        place,
        rows_offset_h: Some(0.0),
        kind: Some(YearKind::Typical),
        meaning: Meaning::Instant { minutes_after_start: heading.offset_min },
        scenario: None,
        zero_snow_is_said: false,
        rows,
        notes,
    })
}

/// `YYYYMMDD:HHMM` at the full hour; anything that does not begin with a digit ends the data.
fn stamp(rows: &Rows<'_>) -> Result<Option<i64>, Error> {
    let Some((year, month, day, minute)) = compact(rows)? else { return Ok(None) };
    civil_minute(year, month, day, minute).map(Some).map_err(|kind| rows.error(kind))
}

/// Year, month, day and minute of the day of `YYYYMMDD:HHMM`; `None` below the data.
pub(crate) fn compact(rows: &Rows<'_>) -> Result<Option<(i32, i32, i32, i64)>, Error> {
    let text = rows.field(0);
    if rows.record().len() < 3 && !text.first().is_some_and(u8::is_ascii_digit) {
        return Ok(None);
    }
    let read = || {
        let good = text.len() == 13 && text[8] == b':';
        good.then_some(())?;
        let (hour, minute) = (whole(&text[9..11])?, whole(&text[11..])?);
        let of_day = (hour < 24 && minute < 60).then(|| i64::from(hour) * 60 + i64::from(minute))?;
        Some((whole(&text[..4])?, whole(&text[4..6])?, whole(&text[6..8])?, of_day))
    };
    read().map(Some).ok_or_else(|| {
        rows.error(ErrorKind::BadTime { found: clip(&rows.text(0)), accepted: "YYYYMMDD:HHMM" })
    })
}
