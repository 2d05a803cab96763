//! A column of hours out of a CSV file that the scheme names.

use super::super::reader::{Reader, Section, Value};
use super::table::{csv_reader, line_of, without_mark};
use crate::calendar::MonthDay;
use crate::fault::{FaultKind, quoted};
use crate::inflow::Hourly;
use crate::nearest::nearest;
use crate::units::{Quantity, parse};

/// What is wrong with a file: the line on which it stands, where it is one, and words.
type Wrong = (Option<u64>, FaultKind, String);

impl Reader<'_> {
    /// The column of a file: `file` and `column` are the keys that name them, `own` is the column where none is named.
    pub(super) fn hourly(&mut self, s: &Section<'_>, file: &str, column: &str, own: &str) -> Option<Hourly> {
        let column = self.text(s, column);
        self.key(s, file, |r, v, doc| {
            let name = r.text_value(v, doc)?;
            let column = column.as_deref().unwrap_or(own);
            let text = (r.files)(&name).map_err(|why| (None, FaultKind::CannotRun, why));
            match text.and_then(|text| read(&text, column)) {
                Ok(hourly) => Some(hourly),
                Err((line, kind, found)) => {
                    let (path, found) = match line {
                        Some(line) => (format!("{}, {name} line {line}", v.path), found),
                        None => (v.path.to_owned(), format!("{}: {found}", quoted(&name))),
                    };
                    r.refuse(
                        Value { path: &path, ..v },
                        kind,
                        found,
                        format!(
                            "a CSV file with a header such as {} and a value of 0 or more in a row for each hour",
                            quoted(&format!("time,{column} L/min"))
                        ),
                        "correct the file or its name, as a path from the scheme's own folder, or name another column",
                    );
                    None
                }
            }
        })
    }
}

/// The volumes of the column `wanted`.
fn read(text: &str, wanted: &str) -> Result<Hourly, Wrong> {
    let text = without_mark(text);
    let mut reader = csv_reader(text);
    let unreadable = |e: csv::Error| {
        let line = e.position().map(|at| line_of(text, at));
        (line, FaultKind::CannotRun, e.to_string().escape_default().to_string())
    };
    let head = reader.headers().map_err(unreadable)?.clone();
    let place = head.iter().position(|title| split(title).0.eq_ignore_ascii_case(wanted));
    // "spring_m3" may be named whole.
    let place = place.or_else(|| head.iter().position(|title| title.eq_ignore_ascii_case(wanted)));
    let place = place.ok_or_else(|| (None, FaultKind::CannotRun, no_column(&head, wanted)))?;
    let title = head.get(place).unwrap_or_default();
    let m3 = volume_m3(&split(title).1).ok_or_else(|| {
        let found =
            format!("the column {} has no unit of flow (L/min) or of volume in the hour (m3)", quoted(title));
        (None, FaultKind::UnitMissing, found)
    })?;
    let time = head.iter().position(|title| title.eq_ignore_ascii_case("time"));
    let (mut values, mut first_day) = (Vec::new(), None);
    for row in reader.records() {
        let row = row.map_err(unreadable)?;
        let wrong = |kind, found| Err((row.position().map(|at| line_of(text, at)), kind, found));
        let cell = row.get(place).unwrap_or_default();
        let value = cell.parse::<f64>().ok().filter(|value| value.is_finite());
        let Some(value) = value else {
            return wrong(FaultKind::NotANumber, format!("{} is not a number", quoted(cell)));
        };
        if value < 0.0 {
            return wrong(FaultKind::OutOfRange, format!("{value} is below 0"));
        }
        if values.is_empty() {
            first_day = time.and_then(|at| row.get(at)).and_then(month_day);
        }
        values.push(value * m3);
    }
    if values.is_empty() {
        return Err((None, FaultKind::CannotRun, "no rows below the header".into()));
    }
    let hourly = Hourly::new(values);
    Ok(match first_day {
        Some(day) => hourly.beginning(day),
        None => hourly,
    })
}

/// Name and unit of a header: `spring L/min`, `spring (L/min)`, `spring_l_per_min`.
fn split(title: &str) -> (&str, String) {
    if let Some((name, unit)) = title.split_once([' ', '(', '[']) {
        return (name, unit.trim_matches(|c: char| c.is_whitespace() || "()[]".contains(c)).to_owned());
    }
    let ends = title.match_indices('_').map(|(at, _)| (&title[..at], title[at + 1..].replace("_per_", "/")));
    ends.into_iter().find(|(_, unit)| volume_m3(unit).is_some()).unwrap_or((title, String::new()))
}

/// m³ that one of this unit brings in an hour: of a flow, or of a volume; capitals do not count.
fn volume_m3(unit: &str) -> Option<f64> {
    let units = |quantity: Quantity| {
        let spelt = quantity.units().iter().find(|u| u.symbol.eq_ignore_ascii_case(unit)).map(|u| u.symbol);
        parse(&format!("1 {}", spelt.unwrap_or(unit)), quantity).ok()
    };
    if unit.is_empty() { None } else { units(Quantity::Flow).or_else(|| units(Quantity::Volume)) }
}

fn no_column(head: &csv::StringRecord, wanted: &str) -> String {
    let names: Vec<&str> = head.iter().map(|title| split(title).0).collect();
    match nearest(wanted, names.iter().copied()) {
        Some(near) => format!("no column {}, but {}", quoted(wanted), quoted(near)),
        None => {
            let names: Vec<String> = names.into_iter().take(8).map(quoted).collect();
            format!("no column {} among {}", quoted(wanted), names.join(", "))
        }
    }
}

/// Month and day of `2023-07-01 00:00` or `07-01 00:00`; `None` for what is no such date.
fn month_day(time: &str) -> Option<MonthDay> {
    let date = time.split([' ', 'T']).next()?;
    let mut parts = date.rsplit('-');
    let day = parts.next()?.parse().ok().filter(|day| (1..=31).contains(day))?;
    let month = parts.next()?.parse().ok().filter(|month| (1..=12).contains(month))?;
    Some(MonthDay { month, day })
}
