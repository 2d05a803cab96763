//! A file's rows as columns, still on the file's own clock; and the way from there to a record.

use crate::Weather;
use crate::error::{Error, ErrorKind, clip};
use crate::input::{self, Rows};
use crate::options::{Options, Stamps};
use crate::place::{self, FilePlace};
use crate::quality::{self, Mended};
use crate::quantity::{Columns, Quantity};
use crate::timing;
use dryspell::record::{RadiationTime, Record, Source, YearKind};

/// What a row's stamp means.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Meaning {
    /// Means over a step whose start, middle or end the stamp names.
    Mean(Stamps),
    /// Values at the stamp, each standing for the step around it.
    Centred,
    /// Stamps name the start of an hour; radiation was taken at an instant within it.
    Instant {
        /// Minutes after the start.
        minutes_after_start: f64,
    },
}

/// A file as read.
#[derive(Debug, Clone)]
pub(crate) struct Table {
    /// File as the user named it.
    pub(crate) file: String,
    /// Name of the format.
    pub(crate) format: &'static str,
    /// What the file says about the place.
    pub(crate) place: FilePlace,
    /// Clock of the rows minus UTC, h; `None` where rows are in local standard time.
    pub(crate) rows_offset_h: Option<f64>,
    /// Kind of years, where the format settles it.
    pub(crate) kind: Option<YearKind>,
    /// What stamps mean.
    pub(crate) meaning: Meaning,
    /// Whether an all-zero snow column says that there is no snow.
    pub(crate) zero_snow_is_said: bool,
    /// Rows.
    pub(crate) rows: RowData,
    /// What was decided so far.
    pub(crate) notes: Vec<String>,
}

/// Rows as columns.
#[derive(Debug, Clone, Default)]
pub(crate) struct RowData {
    /// Minutes of the civil calendar (days from the common era × 1440 + minute of the day), on the rows' clock.
    pub(crate) stamps: Vec<i64>,
    /// Line of each row.
    pub(crate) lines: Vec<u64>,
    /// Values in the record's units; missing ones are NaN.
    pub(crate) columns: Columns,
    /// What was mended.
    pub(crate) mended: Mended,
}

/// How a format names a quantity.
#[derive(Debug)]
pub(crate) struct Spec {
    pub(crate) quantity: Quantity,
    /// Names in the header, lower case, without the unit.
    pub(crate) names: &'static [&'static str],
    /// Factor from the file's unit to the record's.
    pub(crate) scale: f64,
    /// Whether the file's number means that the value is missing.
    pub(crate) missing: fn(f64) -> bool,
}

/// A column found in a file.
#[derive(Debug, Clone)]
pub(crate) struct Bound {
    /// Field of the row, from 0.
    pub(crate) field: usize,
    pub(crate) quantity: Quantity,
    pub(crate) scale: f64,
    pub(crate) missing: fn(f64) -> bool,
    /// Name as the file has it.
    pub(crate) name: String,
}

/// Finds the columns of a header. `base` strips a header name to what [`Spec::names`] has.
pub(crate) fn bind(
    header: &[String],
    specs: &[Spec],
    base: impl Fn(&str) -> String,
    error: impl Fn(ErrorKind) -> Error,
) -> Result<Vec<Bound>, Error> {
    let bases: Vec<String> = header.iter().map(|h| base(h)).collect();
    let mut bound: Vec<Bound> = Vec::new();
    for spec in specs {
        let mut hits = bases.iter().enumerate().filter(|(_, b)| spec.names.contains(&b.as_str()));
        let Some((field, _)) = hits.next() else {
            if spec.quantity.is_needed() {
                let accepted = spec.names.iter().map(|n| format!("{n:?}")).collect::<Vec<_>>().join(" or ");
                return Err(error(ErrorKind::MissingColumn { quantity: spec.quantity, accepted }));
            }
            continue;
        };
        if let Some((second, _)) = hits.next() {
            return Err(error(ErrorKind::DuplicateColumn).in_column(header[second].clone()));
        }
        bound.push(Bound {
            field,
            quantity: spec.quantity,
            scale: spec.scale,
            missing: spec.missing,
            name: header[field].clone(),
        });
    }
    Ok(bound)
}

/// Fields of a header up to the last one that is not blank.
pub(crate) fn width(header: &[String]) -> usize {
    header.iter().rposition(|h| !h.is_empty()).map_or(0, |n| n + 1)
}

/// Reads all rows. Empty fields are missing values; `stamp` reads the time and gives `None` below the data.
pub(crate) fn read_rows(
    mut rows: Rows<'_>,
    bound: &[Bound],
    width: usize,
    mut stamp: impl FnMut(&Rows<'_>) -> Result<Option<i64>, Error>,
) -> Result<RowData, Error> {
    let mut stamps = Vec::new();
    let mut lines = Vec::new();
    let mut mended = Mended::default();
    let mut values: Vec<Vec<f64>> = bound.iter().map(|_| Vec::new()).collect();
    while rows.advance()? {
        let found = rows.record().len();
        let Some(at) = stamp(&rows)? else { break };
        if found < width {
            return Err(rows.error(ErrorKind::RowCutShort { fields: found, expected: width }));
        }
        for (b, column) in bound.iter().zip(&mut values) {
            let bytes = rows.field(b.field);
            if bytes.is_empty() || bytes.eq_ignore_ascii_case(b"nan") {
                column.push(f64::NAN);
                continue;
            }
            let Some(raw) = input::number(bytes) else {
                let kind = ErrorKind::NotANumber { found: clip(&rows.text(b.field)) };
                return Err(rows.error(kind).in_column(b.name.clone()));
            };
            if (b.missing)(raw) {
                column.push(f64::NAN);
                continue;
            }
            match quality::admit(b.quantity, raw * b.scale, &mut mended) {
                Ok(value) => column.push(value),
                Err(kind) => return Err(rows.error(kind).in_column(b.name.clone())),
            }
        }
        stamps.push(at);
        lines.push(rows.line());
    }
    let mut columns = Columns::default();
    for (b, column) in bound.iter().zip(values) {
        *columns.get_mut(b.quantity) = Some(column);
    }
    Ok(RowData { stamps, lines, columns, mended })
}

/// Makes the record.
pub(crate) fn finish(table: Table, options: &Options) -> Result<Weather, Error> {
    let Table { file, format, place, rows_offset_h, kind, meaning, zero_snow_is_said, rows, mut notes } =
        table;
    let place = place::settle(&file, &place, &options.place, &mut notes)?;
    let meaning = match options.stamps {
        Some(stamps) if meaning != Meaning::Mean(stamps) => {
            notes.push(format!(
                "rows taken to be means, stamped at the {} of their time, as stated",
                stamps.word()
            ));
            Meaning::Mean(stamps)
        }
        _ => meaning,
    };
    let RowData { stamps, lines, columns: row_columns, mended } = rows;
    let clock = timing::Clock {
        shift_min: timing::minutes(place.utc_offset_h - rows_offset_h.unwrap_or(place.utc_offset_h)),
        meaning,
        kind: options.kind.or(kind),
        part_of_year: options.part_of_year,
    };
    let laid = timing::lay_out(&file, &stamps, &lines, &clock, &mut notes)?;
    let mut columns = Columns::default();
    for q in Quantity::ALL {
        if let Some(values) = row_columns.get(q) {
            let mut hours = vec![f64::NAN; laid.calendar.hours()];
            for (slot, value) in laid.hour_of_row.iter().zip(values) {
                hours[*slot] = *value;
            }
            *columns.get_mut(q) = Some(hours);
        }
    }
    if mended.negatives > 0 {
        let n = mended.negatives;
        notes.push(format!("{n} radiation values between -5 and 0 W/m2 set to 0"));
    }
    quality::whole(&file, &mut columns, |h| laid.calendar.start_text(h), &mut notes)?;
    quality::distrust(&mut columns, zero_snow_is_said, &mut notes);
    let record = Record {
        place,
        calendar: laid.calendar,
        kind: laid.kind,
        radiation_time: match meaning {
            Meaning::Mean(_) => RadiationTime::HourMean,
            Meaning::Centred => RadiationTime::Instant { minutes_after_start: 30.0 },
            Meaning::Instant { minutes_after_start } => RadiationTime::Instant { minutes_after_start },
        },
        ghi_w_per_m2: columns.take(Quantity::Ghi).unwrap_or_default(),
        dni_w_per_m2: columns.take(Quantity::Dni),
        dhi_w_per_m2: columns.take(Quantity::Dhi),
        air_degc: columns.take(Quantity::Air).unwrap_or_default(),
        wind_m_per_s: columns.take(Quantity::Wind),
        albedo: columns.take(Quantity::Albedo),
        snow_depth_m: columns.take(Quantity::Snow),
        precipitation_mm: columns.take(Quantity::Precipitation),
        relative_humidity: columns.take(Quantity::Humidity),
        pressure_pa: columns.take(Quantity::Pressure),
        source: Source { format: format.to_owned(), files: vec![file.clone()], notes },
    };
    if let Err(fault) = record.check() {
        return Err(Error::new(&file, ErrorKind::Record { message: fault.to_string() }));
    }
    Ok(Weather { record })
}
