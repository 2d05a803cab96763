//! What a run says: one list of hourly columns, one of headlines, and the tables of days, months and years.
//!
//! [`COLUMNS`], [`DAYS`], [`MONTHS`], [`YEARS`], [`HEADLINES`], [`DETAILS`] and those of the parts ([`ARRAYS`], [`PIPES`],
//! [`HERDS`], [`INFLOWS`], [`HYDRANTS`], [`TANKS`], [`WELLS`]) and of the [`GOAL`] are the single source for every output. A number that
//! is shown anywhere is read through one of them.

/// A field of one row, read from a type: the index is not used.
macro_rules! single {
    ($of:ty, $name:literal, $unit:literal, $meaning:literal, $get:expr $(,)?) => {
        Field {
            name: $name,
            unit: $unit,
            meaning: $meaning,
            get: |from, _| {
                let get: fn(&$of) -> Figure = $get;
                get(from)
            },
        }
    };
}

mod alerts;
mod checks;
mod columns;
mod content;
mod details;
mod dullest;
mod goal;
mod headlines;
mod heads;
mod mends;
mod named;
mod parts;
mod stores;
mod stress;
mod tables;
mod tank_result;
mod troughs;
mod why;
mod words;
mod worst_year;

use serde::ser::{Serialize, SerializeSeq, Serializer};

use crate::simulate::Run;

pub use alerts::{Alert, Severity, alerts};
pub use checks::{CHECKS, Check, Holds, Measure, checks};
pub use columns::COLUMNS;
pub use content::{Content, DAY_TABLE, HOUR_TABLE, MONTH_TABLE, RUN_TABLES, RunTable, YEAR_TABLE, content};
pub use details::{DETAILS, snow_on_panels};
pub use dullest::{DULLEST, dullest_days};
pub use goal::GOAL;
pub use headlines::HEADLINES;
pub use heads::{HEADS, HeadFor, HeadTold, heads};
pub use mends::{MENDS, WHAT_IF};
pub use named::NamedColumns;
pub use parts::{ARRAYS, HERDS, HYDRANTS, INFLOWS, PIPES, head_count};
pub use stores::{TANKS, WELLS};
pub use stress::{AGED, STRESSES};
pub use tables::{DAYS, MONTHS, YEARS, day_inflow_m3, month_inflow_m3};
pub use troughs::{TroughCheck, rule_text, troughs};
pub use why::{HELD_BACK, WHY};
pub use words::{CAUTIONS, answer, cautions, simplifications};
pub use worst_year::{WORST_YEAR, WorstYear, worst_year};

/// Version of the results' shape. Keys are only ever added; a change of meaning raises it.
pub const SCHEMA: &str = "dryspell-run-1";

/// One figure of a result.
#[derive(Debug, Clone, PartialEq)]
pub enum Figure {
    /// Not known, or without meaning here. Never absent and never 0.
    Null,
    /// A count.
    Count(u64),
    /// A number in the field's unit.
    Number(f64),
    /// Text.
    Text(String),
    /// A day: year, month, day; told as `2000-01-31`.
    Date(i32, u8, u8),
    /// Yes or no.
    Flag(bool),
    /// Several figures in order.
    List(Vec<Figure>),
}

impl Figure {
    /// As a number: what is not known is not a number (NaN), flags are 0 and 1; `None` for text, days and lists.
    #[must_use]
    pub fn number(&self) -> Option<f64> {
        match self {
            Self::Null => Some(f64::NAN),
            #[expect(clippy::cast_precision_loss, reason = "counts of a record")]
            Self::Count(n) => Some(*n as f64),
            Self::Number(x) => Some(*x),
            Self::Flag(flag) => Some(f64::from(u8::from(*flag))),
            Self::Text(_) | Self::Date(..) | Self::List(_) => None,
        }
    }
}

impl Serialize for Figure {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Null => serializer.serialize_none(),
            Self::Count(n) => serializer.serialize_u64(*n),
            Self::Number(x) if x.is_finite() => serializer.serialize_f64(*x),
            Self::Number(_) => serializer.serialize_none(),
            Self::Text(text) => serializer.serialize_str(text),
            Self::Date(..) => serializer.collect_str(self),
            Self::Flag(flag) => serializer.serialize_bool(*flag),
            Self::List(list) => {
                let mut seq = serializer.serialize_seq(Some(list.len()))?;
                for figure in list {
                    seq.serialize_element(figure)?;
                }
                seq.end()
            }
        }
    }
}

impl std::fmt::Display for Figure {
    /// As a field of a table: nothing for what is not known, the shortest digits that read back equal for numbers.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Null => Ok(()),
            Self::Count(n) => write!(f, "{n}"),
            Self::Number(x) if x.is_finite() => write!(f, "{x}"),
            Self::Number(_) => Ok(()),
            Self::Text(text) => f.write_str(text),
            Self::Date(year, month, day) => write!(f, "{year:04}-{month:02}-{day:02}"),
            Self::Flag(flag) => write!(f, "{flag}"),
            Self::List(list) => {
                for (i, figure) in list.iter().enumerate() {
                    write!(f, "{}{figure}", if i == 0 { "" } else { " " })?;
                }
                Ok(())
            }
        }
    }
}

impl From<f64> for Figure {
    fn from(x: f64) -> Self {
        Self::Number(x)
    }
}

impl From<u32> for Figure {
    fn from(n: u32) -> Self {
        Self::Count(n.into())
    }
}

impl<T: Into<Figure>> From<Option<T>> for Figure {
    fn from(x: Option<T>) -> Self {
        x.map_or(Self::Null, Into::into)
    }
}

/// One field of a table of results: its name, its unit, what it means, and how to read it from a [`Run`], or from what a
/// run has ([`TankResult`](crate::simulate::TankResult)) where no hours are needed.
#[derive(Debug, Clone, Copy)]
pub struct Field<R: ?Sized = Run> {
    /// Name, with the unit in it. Dots mean a table within a table (JSON) or a longer column name (CSV).
    pub name: &'static str,
    /// Unit in words; empty for counts, dates and text.
    pub unit: &'static str,
    /// What it means, in a sentence.
    pub meaning: &'static str,
    /// Reads row `index` of the field's table: an hour, a day, a month (0 to 11), a tank year; headlines have one row.
    pub get: fn(&R, usize) -> Figure,
}
