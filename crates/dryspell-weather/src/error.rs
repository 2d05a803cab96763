//! What can be wrong with a weather file, said in one line: place, found, accepted, way out.

use crate::formats;
use crate::quantity::Quantity;
use std::fmt;
use std::io;

/// Why a file was refused. One word wide; [`Error::kind`] has the facts.
#[derive(Debug, Clone, PartialEq)]
pub struct Error(Box<Inner>);

#[derive(Debug, Clone, PartialEq)]
struct Inner {
    at: At,
    kind: ErrorKind,
}

/// Where in a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct At {
    /// File as the user named it.
    pub file: String,
    /// Line, from 1.
    pub line: Option<u64>,
    /// Name of the column, as the file has it.
    pub column: Option<String>,
}

impl Error {
    /// An error of a whole file.
    pub(crate) fn new(file: &str, kind: ErrorKind) -> Self {
        Self(Box::new(Inner { at: At { file: file.to_owned(), line: None, column: None }, kind }))
    }

    /// The same at a line.
    pub(crate) fn at_line(mut self, line: u64) -> Self {
        self.0.at.line = Some(line);
        self
    }

    /// The same in a column.
    pub(crate) fn in_column(mut self, column: impl Into<String>) -> Self {
        self.0.at.column = Some(column.into());
        self
    }

    /// Which kind, with its facts.
    #[must_use]
    pub fn kind(&self) -> &ErrorKind {
        &self.0.kind
    }

    /// Where.
    #[must_use]
    pub fn at(&self) -> &At {
        &self.0.at
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let At { file, line, column } = &self.0.at;
        write!(f, "{file}: ")?;
        match (line, column) {
            (Some(line), Some(column)) => write!(f, "line {line}, column {column}: ")?,
            (Some(line), None) => write!(f, "line {line}: ")?,
            (None, Some(column)) => write!(f, "column {column}: ")?,
            (None, None) => {}
        }
        let Parts { found, accepted, way_out } = self.0.kind.parts();
        write!(f, "{found}; {accepted}; {way_out}")
    }
}

impl std::error::Error for Error {}

/// What is wrong. Variants hold the facts; the words are made when the error is printed.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum ErrorKind {
    /// The file cannot be opened.
    CannotOpen {
        /// What the system says.
        reason: io::ErrorKind,
    },
    /// Reading failed half-way.
    CannotRead {
        /// What the system says.
        reason: io::ErrorKind,
    },
    /// Nothing in it.
    Empty,
    /// Text in two-byte characters.
    Utf16,
    /// Not text.
    NotText {
        /// Position of the first zero byte, from 0.
        byte: usize,
    },
    /// None of the known formats.
    NotRecognised {
        /// Its first line, clipped.
        first_line: String,
    },
    /// A line or row without end.
    LineTooLong {
        /// The longest that is read.
        limit_bytes: usize,
    },
    /// More rows than are read.
    TooManyRows {
        /// The most that are read.
        limit: usize,
    },
    /// The file ends within its header.
    HeaderCutShort {
        /// Lines that there are.
        lines: u64,
        /// Lines that the header has.
        lines_needed: u64,
    },
    /// A header value that cannot be read.
    HeaderValue {
        /// Name of the value.
        name: String,
        /// What was found.
        found: String,
        /// What is accepted.
        accepted: &'static str,
    },
    /// Something that neither the file nor the options say.
    NotSaid {
        /// What is missing.
        what: &'static str,
        /// How to say it.
        how: &'static str,
    },
    /// A latitude, longitude, elevation or offset from UTC that no place has.
    NoSuchPlace {
        /// Which.
        what: &'static str,
        /// Its value.
        value: f64,
        /// Least.
        from: f64,
        /// Most.
        to: f64,
    },
    /// The clock and the place do not belong together.
    ClockFarFromLongitude {
        /// Local standard time minus UTC, h.
        utc_offset_h: f64,
        /// Longitude, degrees.
        longitude_deg: f64,
    },
    /// A column that no record can do without.
    MissingColumn {
        /// What it holds.
        quantity: Quantity,
        /// Names that are accepted.
        accepted: String,
    },
    /// A column for the time of the row is missing.
    MissingTimeColumn {
        /// What is accepted.
        accepted: &'static str,
    },
    /// The same column twice.
    DuplicateColumn,
    /// A column of the plain format whose name is not known.
    UnknownColumn {
        /// Nearest known name.
        nearest: Option<&'static str>,
    },
    /// A column in another unit.
    WrongUnit {
        /// The unit found.
        found: String,
        /// Those accepted.
        accepted: String,
    },
    /// A row with fewer fields than the header.
    RowCutShort {
        /// Fields in the row.
        fields: usize,
        /// Fields in the header.
        expected: usize,
    },
    /// Text where a number is needed.
    NotANumber {
        /// What was found, clipped.
        found: String,
    },
    /// A time that cannot be read.
    BadTime {
        /// What was found, clipped.
        found: String,
        /// What is accepted.
        accepted: &'static str,
    },
    /// A row whose offset from UTC differs from the rows before.
    ClockChanges {
        /// The time found.
        found: String,
    },
    /// A date that the calendar does not have.
    NoSuchDate {
        /// Year.
        year: i32,
        /// Month.
        month: i32,
        /// Day.
        day: i32,
    },
    /// Rows closer together or further apart than can be made into hours.
    OddStep {
        /// Minutes between rows.
        minutes: i64,
    },
    /// A row between the steps of the other rows.
    OffTheGrid {
        /// Its time.
        time: String,
        /// Minutes between rows.
        step_min: i64,
    },
    /// Two rows for the same time.
    DuplicateRow {
        /// The time.
        time: String,
        /// Line of the first.
        first_line: u64,
    },
    /// A row earlier than the one before it.
    OutOfOrder {
        /// Its time.
        time: String,
        /// Time of the row before.
        before: String,
    },
    /// Radiation below zero.
    NegativeRadiation {
        /// Value, W/m².
        value: f64,
    },
    /// Radiation beyond what the sun and the sky can give.
    ImpossibleRadiation {
        /// Value, W/m².
        value: f64,
        /// Limit, W/m².
        limit: f64,
    },
    /// A value that no weather has.
    Implausible {
        /// What it is.
        quantity: Quantity,
        /// Value.
        value: f64,
        /// Least.
        from: f64,
        /// Most.
        to: f64,
    },
    /// Values are missing.
    MissingValues {
        /// What is missing.
        quantity: Quantity,
        /// Time of the first.
        from: String,
        /// How many hours in this run.
        hours: usize,
    },
    /// Rows are missing between others.
    MissingRows {
        /// Time of the first.
        from: String,
        /// How many hours in this run.
        hours: usize,
    },
    /// An hour missing on a Sunday night on which clocks are put forward.
    DaylightSaving {
        /// Start of the hour.
        from: String,
    },
    /// The times do not agree with the sun.
    StampsOff {
        /// Minutes to add for the best agreement.
        shift_min: f64,
        /// Root mean square residual there, W/m².
        residual: f64,
        /// The same with the times as read.
        residual_as_read: f64,
    },
    /// Beam while the sun is down.
    BeamAtNight {
        /// Rows that have it.
        rows: usize,
        /// The strongest, W/m².
        value: f64,
    },
    /// Radiation on a tilted plane.
    TiltedPlane {
        /// What the file says.
        found: String,
    },
    /// Files of different places.
    OtherPlace {
        /// The first file.
        first: String,
    },
    /// A typical or synthetic year among several files.
    NotACalendarYear,
    /// A time that another file has already.
    TimeInTwoFiles {
        /// The time.
        time: String,
        /// The other file.
        other: String,
    },
    /// A folder without files that could be weather.
    NoFiles,
    /// Fewer or more hours than a year has.
    WrongHourCount {
        /// Hours found.
        found: f64,
        /// Time of the last row; `None` where there are no rows.
        last: Option<String>,
    },
    /// What the finished record's own check says; an error of this reader.
    Record {
        /// Its message.
        message: String,
    },
}

/// The words of an error.
pub(crate) struct Parts {
    found: String,
    accepted: String,
    way_out: String,
}

fn parts(found: impl Into<String>, accepted: impl Into<String>, way_out: impl Into<String>) -> Parts {
    Parts { found: found.into(), accepted: accepted.into(), way_out: way_out.into() }
}

impl ErrorKind {
    #[expect(clippy::too_many_lines, reason = "one arm a kind: splitting would scatter the wording")]
    fn parts(&self) -> Parts {
        match self {
            Self::CannotOpen { reason } => parts(
                format!("cannot be opened ({reason})"),
                "a weather file that can be read is needed",
                "check the name and the folder",
            ),
            Self::CannotRead { reason } => parts(
                format!("reading stopped ({reason})"),
                "the whole file is needed",
                "copy or download the file again",
            ),
            Self::Empty => {
                parts("the file is empty", "a weather file has a header and rows", "download the file again")
            }
            Self::Utf16 => parts(
                "text in two-byte characters (UTF-16)",
                "UTF-8, ASCII or Latin-1 text is read",
                "save the file again as UTF-8",
            ),
            Self::NotText { byte } => parts(
                format!("not text (a zero byte at position {byte})"),
                "weather files are text",
                "if it is an archive or a spreadsheet, unpack it or save it as CSV",
            ),
            Self::NotRecognised { first_line } => parts(
                format!("format not recognised, first line {first_line:?}"),
                format!("known formats are {}", formats::names()),
                "name a file of one of these, or put the data into the plain CSV format",
            ),
            Self::LineTooLong { limit_bytes } => parts(
                format!("a row longer than {} kB", limit_bytes / 1024),
                "rows are separated by line ends and quotes are closed",
                "look for a missing line end or an unclosed quote from here on",
            ),
            Self::TooManyRows { limit } => parts(
                format!("more than {limit} rows"),
                format!("at most {limit} rows are read"),
                "give longer steps, or a file for each year",
            ),
            Self::HeaderCutShort { lines, lines_needed } => parts(
                format!("the file ends after {lines} lines"),
                format!("the header alone has {lines_needed}"),
                "download the file again",
            ),
            Self::HeaderValue { name, found, accepted } => parts(
                format!("{name} is {found:?}"),
                format!("{accepted} is accepted"),
                "mend the header or state the value in the options",
            ),
            Self::NotSaid { what, how } => {
                parts(format!("the file does not say the {what}"), "it has to be known", *how)
            }
            Self::NoSuchPlace { what, value, from, to } => parts(
                format!("{what} is {value}"),
                format!("{what} lies between {from} and {to}"),
                "mend the header or state the value in the options",
            ),
            Self::ClockFarFromLongitude { utc_offset_h, longitude_deg } => {
                let own = longitude_deg / 15.0;
                parts(
                    format!(
                        "the clock is UTC{utc_offset_h:+} but longitude {longitude_deg} lies at UTC{own:+.1}"
                    ),
                    "clocks lie within 50 degrees (3.3 hours) of their longitude",
                    "check the sign of the longitude and the offset, and state the right one in the options",
                )
            }
            Self::MissingColumn { quantity, accepted } => parts(
                format!("no column of {}", quantity.words()),
                format!("a column named {accepted} is needed"),
                "ask for this column when downloading, or add it",
            ),
            Self::MissingTimeColumn { accepted } => {
                parts("no column of time", *accepted, "add it or rename the column that holds it")
            }
            Self::DuplicateColumn => {
                parts("the column is there twice", "each column stands once", "remove or rename one of them")
            }
            Self::UnknownColumn { nearest } => parts(
                "no column of this name is known",
                match nearest {
                    Some(name) => format!("the nearest known is {name}"),
                    None => format!("known are {}", Quantity::ALL.map(Quantity::name).join(", ")),
                },
                "rename the column, or begin its name with x_ to have it left out",
            ),
            Self::WrongUnit { found, accepted } => parts(
                format!("the unit is {found:?}"),
                format!("{accepted} is accepted"),
                "convert the column and rename its unit",
            ),
            Self::RowCutShort { fields, expected } => parts(
                format!("the row has {fields} fields"),
                format!("the header has {expected}"),
                "the file may be cut off here: download it again, or mend the row",
            ),
            Self::NotANumber { found } => parts(
                format!("{found:?} is not a number"),
                "a number with a decimal point is needed",
                "mend the value, or mark it as missing",
            ),
            Self::BadTime { found, accepted } => {
                parts(format!("{found:?} is not a time"), format!("{accepted} is accepted"), "mend the row")
            }
            Self::ClockChanges { found } => parts(
                format!("{found} is on another clock than the rows before"),
                "all rows are on one clock without daylight saving",
                "convert the file to local standard time or UTC",
            ),
            Self::NoSuchDate { year, month, day } => parts(
                format!("there is no date {year:04}-{month:02}-{day:02}"),
                "a date of the calendar is needed",
                "check the order of day, month and year",
            ),
            Self::OddStep { minutes } => parts(
                format!("rows are {minutes} minutes apart"),
                "steps of 1, 2, 3, 4, 5, 6, 10, 12, 15, 20, 30 or 60 minutes are read",
                "resample the data to one of these",
            ),
            Self::OffTheGrid { time, step_min } => parts(
                format!("{time} lies between the steps"),
                format!("rows stand every {step_min} minutes"),
                "mend the time, or resample the data to even steps",
            ),
            Self::DuplicateRow { time, first_line } => parts(
                format!("{time} was there already in line {first_line}"),
                "each time stands once",
                "remove one of the two rows; if a clock was put back here, convert the file to standard time",
            ),
            Self::OutOfOrder { time, before } => parts(
                format!("{time} comes after {before}"),
                "rows are in order of time",
                "sort the rows by time",
            ),
            Self::NegativeRadiation { value } => parts(
                format!("{value} W/m2 is below zero"),
                "radiation is 0 or more, and -5 to 0 is taken as 0",
                "mend the value, or mark it as missing",
            ),
            Self::ImpossibleRadiation { value, limit } => parts(
                format!("{value} W/m2 is more than can arrive"),
                format!("at most {limit:.0} W/m2 is physically possible here"),
                "mend the value, or mark it as missing",
            ),
            Self::Implausible { quantity, value, from, to } => {
                let (words, unit) = (quantity.words(), quantity.unit());
                parts(
                    format!("{words} of {value} {unit}"),
                    format!("{from} to {to} {unit} is accepted"),
                    "check the column's unit; mend the value, or mark it as missing",
                )
            }
            Self::MissingValues { quantity, from, hours } => parts(
                format!("{} is missing for {hours} h from {from}", quantity.words()),
                "gaps up to 3 h are bridged",
                "fill the gap from another source, or ask for long gaps to be filled from neighbouring days",
            ),
            Self::MissingRows { from, hours } => parts(
                format!("rows are missing for {hours} h from {from}"),
                "gaps up to 3 h are bridged",
                "fill the gap from another source, or ask for long gaps to be filled from neighbouring days",
            ),
            Self::DaylightSaving { from } => parts(
                format!("the hour from {from} is missing, a Sunday night on which clocks are put forward"),
                "times are standard time all year",
                "convert the file to standard time; if the hour is missing by chance, add it",
            ),
            Self::StampsOff { shift_min, residual, residual_as_read } => parts(
                format!(
                    "times do not agree with the sun: moved by {shift_min:+.0} min global, direct and diffuse radiation \
                     fit within {residual:.1} W/m2, as read within {residual_as_read:.1}"
                ),
                "times may be off by 10 min",
                "state what the stamps mean (start, middle or end) or the offset from UTC, or accept the fitted shift",
            ),
            Self::BeamAtNight { rows, value } => parts(
                format!("direct radiation while the sun is down in {rows} rows, up to {value} W/m2"),
                "a few such rows are set to 0",
                "check longitude and offset from UTC, and state the right ones in the options",
            ),
            Self::TiltedPlane { found } => parts(
                format!("radiation on a plane of {found:?}"),
                "radiation on the level (slope 0) is needed",
                "download the series again with slope 0 and its components",
            ),
            Self::OtherPlace { first } => parts(
                "another place than the file before",
                format!("all files belong to the place of {first}"),
                "give the files of one place",
            ),
            Self::NotACalendarYear => parts(
                "a year that is no calendar year",
                "several files make one record only as calendar years",
                "give this file alone",
            ),
            Self::TimeInTwoFiles { time, other } => parts(
                format!("{time} is in {other} too"),
                "each time stands once",
                "leave one of the two files out",
            ),
            Self::NoFiles => parts(
                "no CSV or EPW file in this folder",
                "a folder of weather files is needed",
                "check the name of the folder",
            ),
            Self::WrongHourCount { found, last } => parts(
                match last {
                    Some(last) => format!("{found} hours, the last row is {last}"),
                    None => "no rows of data".to_owned(),
                },
                "a year has 8760 hours, or 8784 with 29 February",
                "the file may be cut off: download it again, or accept a part of a year in the options",
            ),
            Self::Record { message } => parts(
                message.clone(),
                "a record passes its own check",
                "report this as a fault of the reader",
            ),
        }
    }
}

/// At most 40 characters of a text, for messages.
pub(crate) fn clip(text: &str) -> String {
    let text = text.trim();
    match text.char_indices().nth(40) {
        Some((end, _)) => format!("{}…", &text[..end]),
        None => text.to_owned(),
    }
}
