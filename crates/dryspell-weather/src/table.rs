//! A file's rows as columns, still on the file's own clock.

use crate::admit::{Repairs, admit};
use crate::error::{Error, ErrorKind, clip};
use crate::input::{self, Rows};
use crate::options::Stamps;
use crate::place::FilePlace;
use crate::quantity::{Columns, Quantity};
use dryspell::record::YearKind;

/// What a row's stamp means.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Meaning {
    /// Means over a step whose start, middle or end the stamp names.
    Mean(Stamps),
    /// Values at the stamp, each standing for the step around it.
    Centred,
    /// Stamps name the start of an hour; radiation was taken at an instant within it.
    Instant {
        /// Minutes after the start; `None` where the file does not say.
        minutes_after_start: Option<f64>,
    },
}

impl Meaning {
    /// Minutes from the middle of a row's step to the time of its radiation.
    pub(crate) fn after_middle_min(self, step_min: i64) -> f64 {
        match self {
            Self::Mean(_) | Self::Centred => 0.0,
            Self::Instant { minutes_after_start } => {
                minutes_after_start.unwrap_or(0.0) - step_min as f64 / 2.0
            }
        }
    }

    /// In words, for the report.
    pub(crate) fn words(self, resampled: bool) -> String {
        match self {
            Self::Mean(stamps) => format!("means, stamped at the {} of their interval", stamps.word()),
            Self::Centred if resampled => "snapshots at the stamp, averaged over whole hours".into(),
            Self::Centred => "snapshots at the stamp, in the middle of their hour".into(),
            Self::Instant { minutes_after_start } => {
                format!(
                    "radiation at an instant {:.1} min after the stamp",
                    minutes_after_start.unwrap_or(0.0)
                )
            }
        }
    }
}

/// A file as read.
#[derive(Debug, Clone)]
pub(crate) struct Table {
    /// Name of the format.
    pub(crate) format: &'static str,
    /// What the file says about the place.
    pub(crate) place: FilePlace,
    /// Clock of the rows minus UTC, h; `None` where rows are in local standard time.
    pub(crate) rows_offset_h: Option<f64>,
    /// Kind of years, where the format settles it.
    pub(crate) kind: Option<YearKind>,
    /// The climate scenario that the header names.
    pub(crate) scenario: Option<String>,
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
    /// Files as the user named them, each with the number of its first row.
    pub(crate) files: Vec<(usize, String)>,
    /// Minutes of the civil calendar (days from the common era × 1440 + minute of the day), on the rows' clock.
    pub(crate) stamps: Vec<i64>,
    /// Line of each row.
    pub(crate) lines: Vec<u64>,
    /// Values in the record's units; missing ones are NaN.
    pub(crate) columns: Columns,
    /// Names of the columns, as the first file has them.
    pub(crate) names: Vec<(Quantity, String)>,
    /// What was mended.
    pub(crate) mended: Repairs,
}

impl RowData {
    /// The first file's name.
    pub(crate) fn file(&self) -> &str {
        self.files.first().map_or("", |(_, name)| name)
    }

    /// All files' names.
    pub(crate) fn file_names(&self) -> Vec<String> {
        self.files.iter().map(|(_, name)| name.clone()).collect()
    }

    /// An error of the whole.
    pub(crate) fn error(&self, kind: ErrorKind) -> Error {
        Error::new(self.file(), kind)
    }

    /// A column's name.
    pub(crate) fn name(&self, q: Quantity) -> String {
        self.names.iter().find(|(n, _)| *n == q).map_or_else(|| q.name().to_owned(), |(_, name)| name.clone())
    }

    /// An error at a row, with the file that it comes from.
    pub(crate) fn error_at(&self, row: usize, kind: ErrorKind) -> Error {
        let file = self.files.iter().rev().find(|(first, _)| *first <= row).map_or("", |(_, name)| name);
        let error = Error::new(file, kind);
        match self.lines.get(row) {
            Some(line) => error.at_line(*line),
            None => error,
        }
    }
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
    /// Added to the file's number before it is scaled: temperatures whose zero is another.
    pub(crate) offset: f64,
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
            offset: 0.0,
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
    let mut mended = Repairs::default();
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
            match admit(b.quantity, (raw + b.offset) * b.scale, &mut mended) {
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
    let names = bound.iter().map(|b| (b.quantity, b.name.clone())).collect();
    Ok(RowData { files: vec![(0, rows.name)], stamps, lines, columns, names, mended })
}
