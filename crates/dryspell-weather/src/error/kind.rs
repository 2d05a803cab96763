//! What can be wrong with a weather file.

use crate::options::Choice;
use crate::quantity::Quantity;
use dryspell::record::LAST_YEAR;
use std::io;

/// Years of rows: from where weather was first measured hour by hour to the last label of made years.
pub(crate) const YEARS: std::ops::RangeInclusive<i32> = 1800..=LAST_YEAR;

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
    /// More bytes than are read.
    FileTooLarge {
        /// The most that are read.
        limit_bytes: u64,
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
        /// Names of the formats that are known.
        known: Vec<&'static str>,
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
    /// No columns in sight.
    HeaderTooLong {
        /// Lines read.
        lines: u64,
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
        what: String,
        /// A line that says it in the file itself, where the format has one.
        line: Option<&'static str>,
        /// The options that say it.
        choices: Vec<Choice>,
    },
    /// A latitude, longitude, elevation or offset from UTC that no place has.
    NoSuchPlace {
        /// Which.
        what: &'static str,
        /// The option that states it.
        choice: Choice,
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
        /// Known names of the same quantity, each with another unit; empty where none begins alike.
        alike: Vec<&'static str>,
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
    /// Times agree with the sun in one season and not in the other.
    ClockMovesWithTheSeasons {
        /// Best shift of summer less that of winter, min.
        minutes: f64,
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
    /// Rows that begin or end within a day.
    NotWholeDays {
        /// Start of the first hour that has a row, in local standard time.
        first: String,
        /// Start of the last.
        last: String,
    },
    /// What the finished record's own check says; an error of this reader.
    Record {
        /// Its message.
        message: String,
    },
}
