//! A maker's table: rows in the scheme, or a CSV file with named columns.

use std::borrow::Cow;

use super::super::reader::{Reader, Value};
use crate::fault::{FaultKind, quoted};
use crate::scheme::keys::KeyDoc;
use toml::de::DeValue;

impl Reader<'_> {
    /// Reads the rows of a table with `read`; whether all of them are sound. A text is the name of a CSV file, whose
    /// columns are found by their names.
    pub(super) fn table_rows(
        &mut self,
        v: Value<'_>,
        doc: &KeyDoc,
        columns: &[&str],
        mut read: impl FnMut(&mut Self, &[Value<'_>]) -> Option<()>,
    ) -> bool {
        let DeValue::String(name) = v.de else {
            return self.rows(v, doc, columns.len(), |r, _, cells| read(r, cells));
        };
        let rows = match (self.files)(name).and_then(|text| csv_rows(&text, columns)) {
            Ok(rows) => rows,
            Err(found) => {
                self.refuse(
                    v,
                    FaultKind::CannotRun,
                    format!("{}: {found}", quoted(name)),
                    format!(
                        "a CSV file with a header such as {} and a row of numbers for each point",
                        quoted(&header(columns))
                    ),
                    "correct the file or its name, as a path from the scheme's own folder, or write the rows here",
                );
                return false;
            }
        };
        let mut sound = true;
        for (line, row) in rows {
            let path = format!("{}, {name} line {line}", v.path);
            let texts: Vec<DeValue<'_>> = row.into_iter().map(|t| DeValue::String(Cow::Owned(t))).collect();
            let cells: Vec<Value<'_>> = texts.iter().map(|de| Value { path: &path, at: v.at, de }).collect();
            sound &= read(self, &cells).is_some();
        }
        sound
    }
}

/// A header that would do.
fn header(columns: &[&str]) -> String {
    let unit = |name: &str| match name {
        "head" => "m",
        "power" => "W",
        "voltage" => "V",
        "current" => "A",
        "efficiency" => "%",
        _ => "L/min",
    };
    columns.iter().map(|name| format!("{name} {}", unit(name))).collect::<Vec<_>>().join(",")
}

/// The text without the mark that some programs put before it.
pub(super) fn without_mark(text: &str) -> &str {
    text.trim_start_matches('\u{feff}')
}

/// A reader of a table of the user's: remarks after #, spaces around cells and rows of any length are no faults of its.
pub(super) fn csv_reader(text: &str) -> csv::Reader<&[u8]> {
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes())
}

/// Number and unit of each cell, in the order of `columns`, with the line that the row stands on; or what is wrong with
/// the file.
fn csv_rows(text: &str, columns: &[&str]) -> Result<Vec<(u64, Vec<String>)>, String> {
    let text = without_mark(text);
    let mut reader = csv_reader(text);
    let head = reader.headers().map_err(|e| e.to_string().escape_default().to_string())?.clone();
    let mut places = Vec::new();
    for wanted in columns {
        let place = head.iter().enumerate().find_map(|(i, title)| {
            let (name, unit) = title.split_once([' ', '(', '[']).unwrap_or((title, ""));
            let unit = unit.trim_matches(|c: char| c.is_whitespace() || "()[]".contains(c));
            // A table of a booster has its heads as pressures.
            let same = name.eq_ignore_ascii_case(wanted)
                || *wanted == "head" && name.eq_ignore_ascii_case("pressure");
            same.then(|| (i, unit.to_owned()))
        });
        match place {
            Some(place) => places.push(place),
            None => return Err(format!("no column {}", quoted(wanted))),
        }
    }
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|e| e.to_string().escape_default().to_string())?;
        let line = record.position().map_or(0, |at| line_of(text, at));
        let cells: Option<Vec<String>> =
            places.iter().map(|(i, unit)| record.get(*i).map(|cell| format!("{cell} {unit}"))).collect();
        rows.push((line, cells.ok_or_else(|| format!("line {line} is cut short"))?));
    }
    if rows.is_empty() { Err("no rows below the header".into()) } else { Ok(rows) }
}

/// The line of a row, from 1: its own position is that of the empty lines and remarks before it.
pub(super) fn line_of(text: &str, at: &csv::Position) -> u64 {
    let start = usize::try_from(at.byte()).unwrap_or(usize::MAX);
    let (_, rest) = text.split_at_checked(start).unwrap_or((text, ""));
    let skipped = rest.lines().take_while(|line| line.trim().is_empty() || line.starts_with('#')).count();
    at.line() + u64::try_from(skipped).unwrap_or(0)
}
