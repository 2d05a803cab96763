//! The words of each error: what was found, what is accepted, the way out.

use super::kind::{ErrorKind, YEARS};
use crate::options::Choice;
use crate::quantity::Quantity;
use dryspell::units::counted;

/// An error in three parts.
pub(crate) struct Parts {
    pub(crate) found: String,
    pub(crate) accepted: String,
    pub(crate) way_out: String,
}

fn parts(found: impl Into<String>, accepted: impl Into<String>, way_out: impl Into<String>) -> Parts {
    Parts { found: found.into(), accepted: accepted.into(), way_out: way_out.into() }
}

/// The words of an error; `how` says how the options that help are given. A kind that its group has no words for is told as
/// an error of this reader.
pub(crate) fn parts_of(kind: &ErrorKind, how: &dyn Fn(&[Choice]) -> String) -> Parts {
    match kind {
        ErrorKind::CannotOpen { .. }
        | ErrorKind::CannotRead { .. }
        | ErrorKind::FileTooLarge { .. }
        | ErrorKind::Empty
        | ErrorKind::Utf16
        | ErrorKind::NotText { .. }
        | ErrorKind::NotRecognised { .. }
        | ErrorKind::LineTooLong { .. }
        | ErrorKind::TooManyRows { .. } => of_file(kind),
        ErrorKind::HeaderTooLong { .. }
        | ErrorKind::HeaderCutShort { .. }
        | ErrorKind::HeaderValue { .. }
        | ErrorKind::NotSaid { .. }
        | ErrorKind::NoSuchPlace { .. }
        | ErrorKind::ClockFarFromLongitude { .. }
        | ErrorKind::TiltedPlane { .. } => of_header(kind, how),
        ErrorKind::MissingColumn { .. }
        | ErrorKind::MissingTimeColumn { .. }
        | ErrorKind::DuplicateColumn
        | ErrorKind::UnknownColumn { .. }
        | ErrorKind::WrongUnit { .. } => of_columns(kind),
        ErrorKind::RowCutShort { .. }
        | ErrorKind::NotANumber { .. }
        | ErrorKind::NegativeRadiation { .. }
        | ErrorKind::ImpossibleRadiation { .. }
        | ErrorKind::Implausible { .. } => of_row(kind),
        ErrorKind::BadTime { .. }
        | ErrorKind::ClockChanges { .. }
        | ErrorKind::NoSuchDate { .. }
        | ErrorKind::OddStep { .. }
        | ErrorKind::OffTheGrid { .. }
        | ErrorKind::DuplicateRow { .. }
        | ErrorKind::OutOfOrder { .. }
        | ErrorKind::DaylightSaving { .. } => of_times(kind),
        ErrorKind::StampsOff { .. }
        | ErrorKind::ClockMovesWithTheSeasons { .. }
        | ErrorKind::BeamAtNight { .. } => against_the_sun(kind, how),
        ErrorKind::MissingValues { .. }
        | ErrorKind::MissingRows { .. }
        | ErrorKind::WrongHourCount { .. }
        | ErrorKind::NotWholeDays { .. } => of_hours(kind, how),
        ErrorKind::OtherPlace { .. }
        | ErrorKind::NotACalendarYear
        | ErrorKind::TimeInTwoFiles { .. }
        | ErrorKind::NoFiles => of_several_files(kind),
        ErrorKind::Record { message } => of_reader(message.clone()),
    }
}

/// An error of this reader.
fn of_reader(found: String) -> Parts {
    parts(found, "a record passes its own check", "report this as a fault in the reader")
}

/// A file that cannot be taken as a whole.
fn of_file(kind: &ErrorKind) -> Parts {
    match kind {
        ErrorKind::CannotOpen { reason } => parts(
            format!("cannot be opened ({reason})"),
            "a weather file that can be read is needed",
            "check the name and the folder",
        ),
        ErrorKind::CannotRead { reason } => parts(
            format!("reading stopped ({reason})"),
            "the whole file is needed",
            "copy or download the file again",
        ),
        ErrorKind::FileTooLarge { limit_bytes } => parts(
            format!("larger than {} MiB", limit_bytes >> 20),
            format!("weather files of at most {} MiB ({limit_bytes} bytes) are accepted", limit_bytes >> 20),
            "give one file a year, or leave out unused columns",
        ),
        ErrorKind::Empty => {
            parts("the file is empty", "a weather file has a header and rows", "download the file again")
        }
        ErrorKind::Utf16 => parts(
            "text in two-byte characters (UTF-16)",
            "UTF-8, ASCII or Latin-1 text is accepted",
            "save the file again as UTF-8",
        ),
        ErrorKind::NotText { byte } => parts(
            format!("not text (a zero byte at position {byte})"),
            "weather files are text",
            "if it is an archive or a spreadsheet, unpack it or save it as CSV",
        ),
        ErrorKind::NotRecognised { first_line, known } => parts(
            format!("format not recognised, first line {first_line:?}"),
            format!("known formats are {}", known.join(", ")),
            "name a file of one of these, or put the data into the plain CSV format",
        ),
        ErrorKind::LineTooLong { limit_bytes } => parts(
            format!("a row longer than {} kB", limit_bytes / 1024),
            "rows must end in line ends and quotes must be closed",
            "look for a missing line end or an unclosed quote from here on",
        ),
        ErrorKind::TooManyRows { limit } => parts(
            format!("more than {limit} rows"),
            format!("at most {limit} rows are accepted"),
            "use longer steps, or one file a year",
        ),
        other => of_reader(format!("{other:?}")),
    }
}

/// What the header says or leaves out.
fn of_header(kind: &ErrorKind, how: &dyn Fn(&[Choice]) -> String) -> Parts {
    match kind {
        ErrorKind::HeaderTooLong { lines } => parts(
            format!("no columns within {}", counted(*lines, "line")),
            "column names must be near the top",
            "remove what is above them, or download the file again",
        ),
        ErrorKind::HeaderCutShort { lines, lines_needed } => parts(
            format!("the file ends after {}", counted(*lines, "line")),
            format!("the header alone has {lines_needed}"),
            "download the file again",
        ),
        ErrorKind::HeaderValue { name, found, accepted } => {
            parts(format!("{name} is {found:?}"), format!("{accepted} is accepted"), "correct the header")
        }
        ErrorKind::NotSaid { what, line: None, choices } => parts(
            format!("the file does not say the {what}"),
            "it must be known",
            format!("state what is missing ({})", how(choices)),
        ),
        ErrorKind::NotSaid { what, line: Some(line), choices } => parts(
            format!("the file does not say the {what}"),
            "it must be known",
            format!("{line}, or state it ({})", how(choices)),
        ),
        ErrorKind::NoSuchPlace { what, choice, value, from, to } => parts(
            format!("{what} is {value}"),
            format!("{what} must be between {from} and {to}"),
            format!("correct the header, or state the right value ({})", how(&[*choice])),
        ),
        ErrorKind::ClockFarFromLongitude { utc_offset_h, longitude_deg } => {
            let own = longitude_deg / 15.0;
            // With its sign the other way the longitude would fit the clock.
            let first = if (own + utc_offset_h).abs() <= FURTHEST_CLOCK_H {
                Choice::Longitude
            } else {
                Choice::UtcOffset
            };
            parts(
                first_try(first, how)
                    + &format!(
                        "the clock is UTC{utc_offset_h:+} but longitude {longitude_deg} is at UTC{own:+.1}"
                    ),
                "a clock must be within 50 degrees (3.3 hours) of its longitude",
                format!(
                    "check the sign of the longitude and the offset, and state the right one ({})",
                    how(&[Choice::Longitude, Choice::UtcOffset])
                ),
            )
        }
        ErrorKind::TiltedPlane { found } => parts(
            format!("radiation on a plane with slope {found:?}"),
            "horizontal radiation (slope 0) is needed",
            "download the series again with slope 0 and its components",
        ),
        other => of_reader(format!("{other:?}")),
    }
}

/// Columns that are missing, or that are not known.
fn of_columns(kind: &ErrorKind) -> Parts {
    match kind {
        ErrorKind::MissingColumn { quantity, accepted } => parts(
            format!("no column of {}", quantity.words()),
            format!("a column named {accepted} is needed"),
            "ask for this column when downloading, or add it",
        ),
        ErrorKind::MissingTimeColumn { accepted } => {
            parts("no column of time", *accepted, "add it or rename the column that holds it")
        }
        ErrorKind::DuplicateColumn => {
            parts("the column appears twice", "each column must appear once", "remove or rename one of them")
        }
        ErrorKind::UnknownColumn { alike } if alike.is_empty() => parts(
            "no column of this name is known",
            format!("known names: {}", Quantity::ALL.map(Quantity::name).join(", ")),
            "rename the column and convert its values to the unit in the name, or prefix its name with x_ to skip it",
        ),
        ErrorKind::UnknownColumn { alike } => parts(
            "no column of this name is known",
            format!("the nearest known: {}", alike.join(", ")),
            "convert the values to the unit in one of these names and rename the column, or prefix its name with x_ to \
             skip it",
        ),
        ErrorKind::WrongUnit { found, accepted } => parts(
            format!("the unit is {found:?}"),
            format!("{accepted} is accepted"),
            "convert the column and rename its unit",
        ),
        other => of_reader(format!("{other:?}")),
    }
}

/// A row by itself: its fields and its values.
fn of_row(kind: &ErrorKind) -> Parts {
    match kind {
        ErrorKind::RowCutShort { fields, expected } => parts(
            format!("the row has {}", counted(*fields, "field")),
            format!("{expected} are needed"),
            "the file may be cut off here: download it again, or correct the row",
        ),
        ErrorKind::NotANumber { found } => parts(
            format!("{found:?} is not a number"),
            "a number with a decimal point is needed",
            "correct the value, or mark it as missing",
        ),
        ErrorKind::NegativeRadiation { value } => parts(
            format!("{value} W/m2 is below zero"),
            "radiation must be 0 or more, with -5 to 0 taken as 0",
            "correct the value, or mark it as missing",
        ),
        ErrorKind::ImpossibleRadiation { value, limit } => parts(
            format!("{value} W/m2 is too high"),
            format!("at most {limit:.0} W/m2 is physically possible here"),
            "correct the value, or mark it as missing",
        ),
        ErrorKind::Implausible { quantity, value, from, to } => {
            let (words, unit) = (quantity.words(), quantity.unit());
            parts(
                format!("{words} of {value} {unit}"),
                format!("{from} to {to} {unit} is accepted"),
                "check the column's unit; correct the value, or mark it as missing",
            )
        }
        other => of_reader(format!("{other:?}")),
    }
}

/// The time of a row, and its place among the others.
fn of_times(kind: &ErrorKind) -> Parts {
    match kind {
        ErrorKind::BadTime { found, accepted } => {
            parts(format!("{found:?} is not a time"), format!("{accepted} is accepted"), "correct the row")
        }
        ErrorKind::ClockChanges { found } => parts(
            format!("{found} is on a different clock from the rows before"),
            "all rows must be on one clock without daylight saving",
            "convert the file to local standard time or UTC",
        ),
        ErrorKind::NoSuchDate { year, month, day } if !YEARS.contains(year) => parts(
            format!("the year of {year:04}-{month:02}-{day:02}"),
            format!("years {} to {} are accepted", YEARS.start(), YEARS.end()),
            "check the order of day, month and year; give synthetic years other labels",
        ),
        ErrorKind::NoSuchDate { year, month, day } => parts(
            format!("there is no date {year:04}-{month:02}-{day:02}"),
            "a calendar date is needed",
            "check the order of day, month and year",
        ),
        ErrorKind::OddStep { minutes } => parts(
            format!("rows are {minutes} minutes apart"),
            "steps of 1, 2, 3, 4, 5, 6, 10, 12, 15, 20, 30 or 60 minutes are accepted",
            "resample the data to one of these",
        ),
        ErrorKind::OffTheGrid { time, step_min } => parts(
            format!("{time} is between the steps"),
            format!("rows must be {step_min} minutes apart"),
            "correct the time, or resample the data to even steps",
        ),
        ErrorKind::DuplicateRow { time, first_line } => parts(
            format!("{time} already appears in line {first_line}"),
            "each time must appear once",
            "remove one of the two rows; if the clock went back here, convert the file to standard time",
        ),
        ErrorKind::OutOfOrder { time, before } => parts(
            format!("{time} comes after {before}"),
            "rows must be in time order",
            "sort the rows by time",
        ),
        ErrorKind::DaylightSaving { from } => parts(
            format!("the hour from {from} is missing, on a Sunday night when clocks go forward"),
            "times must be standard time all year",
            "convert the file to standard time; if the hour is missing by chance, add it",
        ),
        other => of_reader(format!("{other:?}")),
    }
}

/// How far a clock may be from its longitude, h: 50 degrees.
const FURTHEST_CLOCK_H: f64 = 50.0 / 15.0;

/// The one option that is the likeliest to help, before all else.
fn first_try(choice: Choice, how: &dyn Fn(&[Choice]) -> String) -> String {
    format!("try {} first: ", how(&[choice]))
}

/// What a shift of the clock comes from: half an hour or one, from the end of the interval that is stamped; other whole hours,
/// from the offset; anything else is no round error.
fn of_shift(shift_min: f64) -> Choice {
    /// How far from a round number a fitted shift may be, min.
    const NEAR: f64 = 10.0;
    let size = shift_min.abs();
    let hours = (size / 60.0).round();
    if (size - 30.0).abs() <= NEAR || (size - 60.0).abs() <= NEAR {
        Choice::Stamps
    } else if hours >= 2.0 && (size - 60.0 * hours).abs() <= NEAR {
        Choice::UtcOffset
    } else {
        Choice::AcceptShift
    }
}

/// Times that do not agree with the sun.
fn against_the_sun(kind: &ErrorKind, how: &dyn Fn(&[Choice]) -> String) -> Parts {
    match kind {
        ErrorKind::StampsOff { shift_min, residual, residual_as_read } => parts(
            first_try(of_shift(*shift_min), how)
                + &format!(
                    "times do not agree with the sun: shifted by {shift_min:+.0} min, global, direct and diffuse radiation \
                 agree within {residual:.1} W/m2, as read within {residual_as_read:.1}"
                ),
            "times may be up to 10 min off",
            format!(
                "state whether the stamps mark the start, middle or end of their interval, or the offset from UTC, or \
                 accept the fitted shift ({})",
                how(&[Choice::Stamps, Choice::UtcOffset, Choice::AcceptShift])
            ),
        ),
        ErrorKind::ClockMovesWithTheSeasons { minutes } => parts(
            format!(
                "against the sun, the clock of April to September is {:.0} min from that of November to February",
                minutes.abs()
            ),
            "times must be standard time all year, without daylight saving",
            "convert the file to standard time, or export it again in UTC",
        ),
        ErrorKind::BeamAtNight { rows, value } => parts(
            first_try(Choice::UtcOffset, how)
                + &format!(
                    "direct radiation while the sun is down in {}, up to {value} W/m2",
                    counted(*rows, "row")
                ),
            "a few such rows are set to 0",
            format!(
                "check longitude and offset from UTC, and state the right ones ({})",
                how(&[Choice::Longitude, Choice::UtcOffset])
            ),
        ),
        other => of_reader(format!("{other:?}")),
    }
}

/// Hours that are missing from the record.
fn of_hours(kind: &ErrorKind, how: &dyn Fn(&[Choice]) -> String) -> Parts {
    match kind {
        ErrorKind::MissingValues { quantity, from, hours } => parts(
            format!("{} is missing for {hours} h from {from}", quantity.words()),
            "gaps up to 3 h are bridged",
            format!(
                "fill the gap from another source, or allow filling from neighbouring days ({})",
                how(&[Choice::FillLongGaps])
            ),
        ),
        ErrorKind::MissingRows { from, hours } => parts(
            format!("rows are missing for {hours} h from {from}"),
            "gaps up to 3 h are bridged",
            format!(
                "fill the gap from another source, or allow filling from neighbouring days ({})",
                how(&[Choice::FillLongGaps])
            ),
        ),
        ErrorKind::WrongHourCount { last: None, .. } => parts(
            "no rows of data",
            "a row for each hour must follow the column names",
            "download the file again",
        ),
        ErrorKind::WrongHourCount { found, last: Some(last) } => parts(
            format!("{}, the last row is {last}", counted(*found, "hour")),
            "a year has 8760 hours, or 8784 with 29 February",
            format!(
                "the file may be cut off: download it again, or accept a part of a year ({})",
                how(&[Choice::PartOfYear])
            ),
        ),
        ErrorKind::NotWholeDays { first, last } => parts(
            format!("the hours run from {first} to {last} in local standard time"),
            "a record must begin with the first hour of a day and end with the last",
            format!(
                "state which end of their interval the stamps mark, if the file is wrong ({}); cut the file at midnight \
                 or, if it was cut off, download it again",
                how(&[Choice::Stamps])
            ),
        ),
        other => of_reader(format!("{other:?}")),
    }
}

/// Files that do not go together.
fn of_several_files(kind: &ErrorKind) -> Parts {
    match kind {
        ErrorKind::OtherPlace { first } => parts(
            "a different place from the file before",
            format!("all files must be for the place of {first}"),
            "give files for one place",
        ),
        ErrorKind::NotACalendarYear => parts(
            "not a calendar year",
            "several files make one record only if they hold calendar years",
            "give this file alone",
        ),
        ErrorKind::TimeInTwoFiles { time, other } => parts(
            format!("{time} is in {other} too"),
            "each time must appear once",
            "leave one of the two files out",
        ),
        ErrorKind::NoFiles => parts(
            "no CSV or EPW file in this folder",
            "a folder of weather files is needed",
            "check the name of the folder",
        ),
        other => of_reader(format!("{other:?}")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(kind: &ErrorKind) -> String {
        let how = |choices: &[Choice]| choices.iter().map(|c| c.name()).collect::<Vec<_>>().join(" ");
        parts_of(kind, &how).found
    }

    #[test]
    fn what_disagrees_with_the_sun_begins_with_the_one_option_to_try() {
        for (shift_min, option) in [
            (30.0, "stamps"),
            (-61.0, "stamps"),
            (118.0, "utc_offset"),
            (-180.0, "utc_offset"),
            (-44.0, "accept_shift"),
            (15.0, "accept_shift"),
        ] {
            let kind = ErrorKind::StampsOff { shift_min, residual: 1.0, residual_as_read: 80.0 };
            let found = found(&kind);
            assert!(
                found.starts_with(&format!("try {option} first: times do not agree with the sun")),
                "{found}"
            );
        }
        for (utc_offset_h, longitude_deg, option) in [(-5.0, 79.95, "longitude"), (1.0, -110.0, "utc_offset")]
        {
            let found = found(&ErrorKind::ClockFarFromLongitude { utc_offset_h, longitude_deg });
            assert!(found.starts_with(&format!("try {option} first: the clock is ")), "{found}");
        }
    }
}
