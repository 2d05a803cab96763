//! What the goal comes to, a row for each thing asked.

use super::{Field, Figure};
use crate::reliability::goal::{Judgement, Row};

/// A figure of a row.
macro_rules! of_row {
    ($name:literal, $meaning:literal, $get:expr $(,)?) => {
        Field {
            name: $name,
            unit: "",
            meaning: $meaning,
            get: |judged, i| {
                let get: fn(&Row) -> Figure = $get;
                judged.rows.get(i).map_or(Figure::Null, get)
            },
        }
    };
}

/// Everything asked of the scheme: a row each. Numbers are in the unit that the row names.
pub const GOAL: &[Field<Judgement>] = &[
    of_row!("what", "key of the table `goal`", |row| text(row.asked.key())),
    of_row!("limit", "whether what is asked is the most or the least", |row| text(if row.asked.at_least() {
        "at least"
    } else {
        "at most"
    })),
    of_row!("asked", "what is asked, in the unit of the row", |row| row.limit.into()),
    of_row!("found", "what was found without a backup; null where the record does not tell", |row| row
        .found
        .into()),
    of_row!("margin", "what was found less what is asked", |row| row.margin().into()),
    of_row!("unit", "unit of these three", |row| text(row.asked.unit())),
    of_row!("verdict", "MET, NOT MET or cannot be told from this record, which is not met", |row| text(
        row.verdict.text()
    )),
    of_row!(
        "interval.low",
        "dry years in ten: lower end of the 95 % interval of Clopper and Pearson; null for all else",
        |row| row.interval.map(|i| i.low).into()
    ),
    of_row!("interval.high", "its upper end", |row| row.interval.map(|i| i.high).into()),
    of_row!(
        "measured_years",
        "whole measured tank years that dry years were counted in; null for all else, and where the years were not measured",
        |row| row.years.map(|years| years.of()).into()
    ),
    of_row!("dry_years", "of them those with a day of shortfall", |row| row
        .years
        .map(|years| years.with())
        .into()),
];

fn text(text: &str) -> Figure {
    Figure::Text(text.into())
}
