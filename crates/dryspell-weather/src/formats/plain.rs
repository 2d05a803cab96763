//! The plain format: CSV of named columns with units, for a logger's or any service's data.
//!
//! ```text
//! # place: Dry Creek
//! # latitude: 45.0
//! # longitude: -110.5
//! # elevation: 1500 m
//! # utc offset: -7
//! # stamps: start
//! # kind: calendar
//! time,ghi_w_per_m2,air_degc,wind_m_per_s
//! 2020-01-01T00:00,0,-7.5,2.1
//! ```
//!
//! Lines that begin with `#` stand above the columns; those of the form `# key: value` are read. `stamps` says which
//! end of its step a row's time names: `start`, `middle` or `end`. `kind` is `typical`, `calendar`, `synthetic` or `projected`;
//! without it the dates decide. Times are local standard time, never daylight saving; with an offset (`-07:00`, `Z`)
//! they are on that clock, and all rows have the same one. In place of `time` there may be `date` and `hour` (0 to
//! 23, or 1 to 24 with `stamps: end`), and `minute`. Empty fields are missing values. Columns whose names begin with
//! `x_` are left out. The columns, in any order; each name ends in the unit of its values, and one unit is enough:
//!
//! | quantity | columns |
//! | --- | --- |
//! | radiation, means of the step | `ghi_w_per_m2` (needed), `dni_w_per_m2`, `dhi_w_per_m2` |
//! | air temperature | `air_degc` or `air_degf` (one is needed) |
//! | wind speed | `wind_m_per_s`, `wind_km_per_h`, `wind_mph`, `wind_knots` |
//! | ground albedo, 0 to 1 | `albedo` |
//! | depth of snow on the ground | `snow_depth_m`, `snow_depth_cm`, `snow_depth_in` |
//! | precipitation in the step | `precipitation_mm`, `precipitation_in` |
//! | relative humidity | `relative_humidity_percent`, `relative_humidity_fraction` (0 to 1) |
//! | air pressure at the place | `pressure_pa`, `pressure_hpa`, `pressure_kpa`, `pressure_inhg` |

use super::format::Format;
use super::plain_columns;
use crate::error::{Error, ErrorKind, clip};
use crate::input::{Head, Input, Rows, fields, number, whole};
use crate::options::{Choice, Options, Stamps};
use crate::place::{FilePlace, header_number};
use crate::quantity::Quantity;
use crate::table::{Bound, Meaning, Table, read_rows, width};
use crate::timing::civil_minute;
use dryspell::record::{RadiationTime, Record, YearKind};
use std::io::{self, Write};

pub(crate) const FORMAT: Format = Format { name: "plain CSV", matches, read };

const TIME_COLUMNS: &str = "a column named time, or date and hour, is needed";

fn matches(head: &Head) -> bool {
    let mut lines = head.lines.iter().filter(|l| !l.trim().is_empty());
    let Some(first) = lines.next() else { return false };
    if first.trim_start().starts_with('#') {
        return true;
    }
    are_columns(first)
}

/// Whether the line below those that begin with `#` names columns of this format.
pub(crate) fn has_columns(head: &Head) -> bool {
    let mut lines = head.lines.iter().map(|l| l.trim()).filter(|l| !l.is_empty() && !l.starts_with('#'));
    lines.next().is_some_and(are_columns)
}

fn are_columns(line: &str) -> bool {
    let names: Vec<String> = fields(line).iter().map(|f| f.to_lowercase()).collect();
    let timed = names.iter().any(|n| n == "time" || n == "date");
    timed && names.iter().any(|n| ["ghi", "dni", "dhi", "air"].iter().any(|q| n.starts_with(q)))
}

/// What the lines above the columns say.
#[derive(Debug, Default)]
struct Heading {
    place: FilePlace,
    stamps: Option<Stamps>,
    kind: Option<YearKind>,
    instant_min: Option<f64>,
    notes: Vec<String>,
}

impl Heading {
    fn take(&mut self, key: &str, value: &str, input: &Input<'_>) -> Result<(), Error> {
        let wrong = |accepted| {
            input.error(ErrorKind::HeaderValue { name: key.to_owned(), found: clip(value), accepted })
        };
        let numeric = |text: &str| header_number(key, text, |kind| input.error(kind));
        match key {
            "place" => self.place.name = value.to_owned(),
            "latitude" => self.place.latitude_deg = Some(numeric(value)?),
            "longitude" => self.place.longitude_deg = Some(numeric(value)?),
            "elevation" => {
                let value = value.trim();
                self.place.elevation_m = Some(match value.strip_suffix("ft") {
                    Some(feet) => numeric(feet)? * 0.3048,
                    None => numeric(value.strip_suffix('m').unwrap_or(value))?,
                });
            }
            "utc offset" => {
                let hours = value.strip_suffix('h').unwrap_or(value).trim();
                let parsed = number(hours.as_bytes()).or_else(|| offset(hours.as_bytes()).map(hours_of));
                self.place.utc_offset_h =
                    Some(parsed.ok_or_else(|| wrong("hours such as -7, 5.5 or +05:30"))?);
            }
            "stamps" => {
                self.stamps = Some(match value {
                    "start" => Stamps::Start,
                    "middle" => Stamps::Middle,
                    "end" => Stamps::End,
                    _ => return Err(wrong("start, middle or end")),
                });
            }
            "kind" => {
                self.kind = Some(match value {
                    "typical" => YearKind::Typical,
                    "calendar" => YearKind::Calendar,
                    "synthetic" => YearKind::Synthetic,
                    "projected" => YearKind::Projected,
                    _ => return Err(wrong("typical, calendar, synthetic or projected")),
                });
            }
            "radiation" => {
                let minutes = value.strip_prefix("instant").and_then(|v| v.trim().strip_suffix("min"));
                self.instant_min = match (value, minutes.and_then(|m| number(m.trim().as_bytes()))) {
                    ("mean", _) => None,
                    (_, Some(m)) if (0.0..=60.0).contains(&m) => Some(m),
                    _ => return Err(wrong("mean, or instant N min after the hour's start (0 to 60)")),
                };
            }
            "note" => self.notes.push(value.to_owned()),
            _ => {}
        }
        Ok(())
    }
}

fn read(mut input: Input<'_>, options: &Options) -> Result<Table, Error> {
    let mut heading = Heading::default();
    let header = loop {
        let Some(line) = input.next_line()? else {
            let lines = input.line();
            let kind = ErrorKind::HeaderCutShort { lines, lines_needed: lines + 1 };
            return Err(Error::new(&input.name, kind));
        };
        match line.trim().strip_prefix('#') {
            Some(comment) => {
                if let Some((key, value)) = comment.split_once(':') {
                    heading.take(&key.trim().to_lowercase(), value.trim(), &input)?;
                }
            }
            None if line.trim().is_empty() => {}
            None => break fields(&line),
        }
    };
    let (time, bound) = columns(&header, &input)?;
    let Some(stamps) = heading.stamps.or(options.stamps) else {
        let what = "meaning of the rows' times".to_owned();
        let line = Some("add a line \"# stamps: start\" (or middle, or end) above the columns");
        let choices = vec![Choice::Stamps];
        return Err(Error::new(&input.name, ErrorKind::NotSaid { what, line, choices }));
    };
    let mut rows_offset = None;
    let rows = read_rows(input.into_rows(), &bound, width(&header), |rows| {
        let (at, zone) = time.read(rows)?;
        match rows_offset {
            None => rows_offset = Some(zone),
            Some(first) if first != zone => {
                let found = clip(&rows.text(time.first()));
                return Err(rows.error(ErrorKind::ClockChanges { found }));
            }
            Some(_) => {}
        }
        Ok(Some(at))
    })?;
    let rows_offset_h = rows_offset.flatten().map(hours_of);
    let mut place = heading.place;
    place.utc_offset_h = place.utc_offset_h.or(rows_offset_h);
    Ok(Table {
        format: FORMAT.name,
        place,
        rows_offset_h,
        kind: heading.kind,
        meaning: heading
            .instant_min
            .map_or(Meaning::Mean(stamps), |m| Meaning::Instant { minutes_after_start: Some(m) }),
        scenario: None,
        zero_snow_is_said: true,
        rows,
        notes: heading.notes,
    })
}

/// Where the time stands.
enum Time {
    Iso(usize),
    Parts { date: usize, hour: usize, minute: Option<usize> },
}

impl Time {
    const fn first(&self) -> usize {
        match self {
            Self::Iso(n) | Self::Parts { date: n, .. } => *n,
        }
    }

    /// Civil minute and the offset from UTC in minutes, where the time has one.
    fn read(&self, rows: &Rows<'_>) -> Result<(i64, Option<i64>), Error> {
        let (parts, accepted) = match self {
            Self::Iso(n) => {
                (iso(rows.field(*n)), "YYYY-MM-DDTHH:MM, with or without an offset such as -07:00")
            }
            Self::Parts { date, hour, minute } => {
                let read = || {
                    let (year, month, day) = iso_date(rows.field(*date))?;
                    let hour = whole(rows.field(*hour)).filter(|h| *h <= 24)?;
                    let minute = minute.map_or(Some(0), |n| whole(rows.field(n))).filter(|m| *m < 60)?;
                    Some((year, month, day, i64::from(hour) * 60 + i64::from(minute), None))
                };
                (read(), "date YYYY-MM-DD and hour 0 to 24")
            }
        };
        let Some((year, month, day, minute, zone)) = parts else {
            let found = clip(&rows.text(self.first()));
            return Err(rows.error(ErrorKind::BadTime { found, accepted }));
        };
        match civil_minute(year, month, day, minute) {
            Ok(at) => Ok((at, zone)),
            Err(kind) => Err(rows.error(kind)),
        }
    }
}

fn columns(header: &[String], input: &Input<'_>) -> Result<(Time, Vec<Bound>), Error> {
    let mut place: [Option<usize>; 4] = [None; 4];
    let mut bound: Vec<Bound> = Vec::new();
    for (field, name) in header.iter().enumerate() {
        let lower = name.to_lowercase();
        if lower.is_empty() || lower.starts_with("x_") {
            continue;
        }
        if let Some(n) = ["time", "date", "hour", "minute"].iter().position(|t| *t == lower) {
            if place[n].replace(field).is_some() {
                return Err(input.error(ErrorKind::DuplicateColumn).in_column(name.clone()));
            }
            continue;
        }
        let Some(column) = plain_columns::find(&lower) else {
            let alike = plain_columns::alike(&lower);
            return Err(input.error(ErrorKind::UnknownColumn { alike }).in_column(name.clone()));
        };
        let quantity = column.quantity;
        if bound.iter().any(|b| b.quantity == quantity) {
            return Err(input.error(ErrorKind::DuplicateColumn).in_column(name.clone()));
        }
        bound.push(Bound {
            field,
            quantity,
            offset: column.offset,
            scale: column.scale,
            missing: |_| false,
            name: name.clone(),
        });
    }
    let time = match place {
        [Some(time), ..] => Time::Iso(time),
        [None, Some(date), Some(hour), minute] => Time::Parts { date, hour, minute },
        _ => return Err(input.error(ErrorKind::MissingTimeColumn { accepted: TIME_COLUMNS })),
    };
    for quantity in Quantity::ALL.into_iter().filter(|q| q.is_needed()) {
        if !bound.iter().any(|b| b.quantity == quantity) {
            let accepted = plain_columns::of(quantity);
            return Err(input.error(ErrorKind::MissingColumn { quantity, accepted }));
        }
    }
    Ok((time, bound))
}

/// Minutes as hours.
pub(super) fn hours_of(minutes: i64) -> f64 {
    f64::from(i32::try_from(minutes).unwrap_or(0)) / 60.0
}

/// `+05:30`, `-0700`, `Z` → minutes.
fn offset(text: &[u8]) -> Option<i64> {
    let (sign, digits) = match text.split_first()? {
        (b'Z' | b'z', []) => return Some(0),
        (b'+', rest) => (1, rest),
        (b'-', rest) => (-1, rest),
        _ => return None,
    };
    let (hours, minutes) = match digits.len() {
        2 => (digits, &b"0"[..]),
        4 => digits.split_at(2),
        5 if digits[2] == b':' => (&digits[..2], &digits[3..]),
        _ => return None,
    };
    let (hours, minutes) = (whole(hours)?, whole(minutes)?);
    (hours <= 14 && minutes < 60).then(|| sign * (i64::from(hours) * 60 + i64::from(minutes)))
}

/// `YYYY-MM-DD`.
fn iso_date(text: &[u8]) -> Option<(i32, i32, i32)> {
    let dashes = text.len() == 10 && text[4] == b'-' && text[7] == b'-';
    dashes.then_some(())?;
    Some((whole(&text[..4])?, whole(&text[5..7])?, whole(&text[8..])?))
}

/// Year, month, day, minute of the day, offset.
pub(super) type Iso = (i32, i32, i32, i64, Option<i64>);

/// `YYYY-MM-DDTHH:MM[:00][offset]`, with `T` or a space.
pub(super) fn iso(text: &[u8]) -> Option<Iso> {
    if text.len() < 16 || !matches!(text[10], b'T' | b't' | b' ') || text[13] != b':' {
        return None;
    }
    let (year, month, day) = iso_date(&text[..10])?;
    let (hour, minute) = (whole(&text[11..13])?, whole(&text[14..16])?);
    let rest = text[16..].strip_prefix(b":00").unwrap_or(&text[16..]);
    let zone = if rest.is_empty() { None } else { Some(offset(rest)?) };
    let good = minute < 60 && (hour < 24 || (hour == 24 && minute == 0));
    good.then(|| (year, month, day, i64::from(hour) * 60 + i64::from(minute), zone))
}

/// Writes a record in the plain format; reading it gives the same record back.
///
/// # Errors
/// Those of the writer.
pub fn write(record: &Record, mut out: impl Write) -> io::Result<()> {
    let place = &record.place;
    let line = |text: &str| text.replace(['\n', '\r'], " ");
    writeln!(out, "# hourly weather in local standard time; columns carry their units")?;
    writeln!(out, "# place: {}", line(&place.name))?;
    writeln!(out, "# latitude: {}", place.latitude_deg)?;
    writeln!(out, "# longitude: {}", place.longitude_deg)?;
    writeln!(out, "# elevation: {} m", place.elevation_m)?;
    writeln!(out, "# utc offset: {}", place.utc_offset_h)?;
    writeln!(out, "# stamps: start")?;
    writeln!(out, "# kind: {}", record.kind.word())?;
    if let RadiationTime::Instant { minutes_after_start } = record.radiation_time {
        writeln!(out, "# radiation: instant {minutes_after_start} min")?;
    }
    for note in &record.source.notes {
        writeln!(out, "# note: {}", line(note))?;
    }
    let humidity = record.relative_humidity.as_ref().map(|column| percent(column));
    let columns: Vec<(&str, &[f64])> = Quantity::ALL
        .into_iter()
        .filter_map(|q| match q {
            Quantity::Humidity => humidity.as_ref().map(|(name, column)| (*name, column.as_slice())),
            q => column_of(record, q).map(|column| (q.name(), column.as_slice())),
        })
        .collect();
    write!(out, "time")?;
    for (name, _) in &columns {
        write!(out, ",{name}")?;
    }
    writeln!(out)?;
    for h in 0..record.hours() {
        write!(out, "{}", record.calendar.start_text(h))?;
        for (_, column) in &columns {
            write!(out, ",{}", column.get(h).copied().unwrap_or(f64::NAN))?;
        }
        writeln!(out)?;
    }
    Ok(())
}

/// A record's column.
fn column_of(record: &Record, q: Quantity) -> Option<&Vec<f64>> {
    match q {
        Quantity::Ghi => Some(&record.ghi_w_per_m2),
        Quantity::Dni => record.dni_w_per_m2.as_ref(),
        Quantity::Dhi => record.dhi_w_per_m2.as_ref(),
        Quantity::Air => Some(&record.air_degc),
        Quantity::Wind => record.wind_m_per_s.as_ref(),
        Quantity::Albedo => record.albedo.as_ref(),
        Quantity::Snow => record.snow_depth_m.as_ref(),
        Quantity::Precipitation => record.precipitation_mm.as_ref(),
        Quantity::Humidity => record.relative_humidity.as_ref(),
        Quantity::Pressure => record.pressure_pa.as_ref(),
    }
}

/// Humidity as percentages that read back to the same fractions; as fractions where there are no such numbers.
fn percent(fractions: &[f64]) -> (&'static str, Vec<f64>) {
    let exact = |v: f64| {
        let p = v * 100.0;
        let shorter = libm::round(p * 1000.0) / 1000.0;
        [shorter, p, p.next_up(), p.next_down()].into_iter().find(|p| (p * 0.01).to_bits() == v.to_bits())
    };
    match fractions.iter().map(|v| exact(*v)).collect::<Option<Vec<f64>>>() {
        Some(percentages) => (Quantity::Humidity.name(), percentages),
        None => ("relative_humidity_fraction", fractions.to_vec()),
    }
}
