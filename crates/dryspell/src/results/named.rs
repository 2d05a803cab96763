//! Columns of numbers by name.

use super::{COLUMNS, DAYS, Field, MONTHS};
use crate::fault::{Fault, FaultKind};
use crate::nearest::nearest;
use crate::simulate::Run;

/// A table of a run as columns of numbers: each column of [`COLUMNS`], [`DAYS`] or [`MONTHS`] that holds numbers, counts or
/// flags (0 and 1), worked out once. What is not known is not a number (NaN), not 0; texts and dates are left out.
///
/// # Example
/// ```
/// # use dryspell::{calendar::{Calendar, Day}, plan::Plan, record::Record, simulate::simulate, tank};
/// # let calendar = Calendar::starting(Day { year: 2023, month: 3, day: 1 }, 2);
/// # let plan = Plan::of_columns(vec![0.5; 48], vec![0.25; 48], tank::Settings::open("main", 2.0));
/// # let run = simulate(&plan, &Record::without_weather(calendar))?;
/// use dryspell::results::NamedColumns;
/// let hours = NamedColumns::hourly(&run);
/// let stored: &[f64] = hours.column("stored_m3")?;
/// assert!(stored.iter().all(|m3| *m3 == 2.0));
/// assert_eq!(NamedColumns::daily(&run).column("demand_m3")?, [6.0, 6.0]);
/// # Ok::<(), dryspell::fault::Faults>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct NamedColumns {
    columns: Vec<(&'static str, Vec<f64>)>,
}

impl NamedColumns {
    /// The hours of the record, in order.
    #[must_use]
    pub fn hourly(run: &Run) -> Self {
        Self::of(run, COLUMNS, run.hours.len())
    }

    /// The days of the record, in order.
    #[must_use]
    pub fn daily(run: &Run) -> Self {
        Self::of(run, DAYS, run.days.len())
    }

    /// The twelve months.
    #[must_use]
    pub fn monthly(run: &Run) -> Self {
        Self::of(run, MONTHS, run.months.len())
    }

    fn of(run: &Run, fields: &[Field], rows: usize) -> Self {
        let columns = fields
            .iter()
            .filter_map(|field| {
                let values: Option<Vec<f64>> = (0..rows).map(|row| (field.get)(run, row).number()).collect();
                values.map(|values| (field.name, values))
            })
            .collect();
        Self { columns }
    }

    /// The names, in the order of the list.
    pub fn names(&self) -> impl Iterator<Item = &'static str> + '_ {
        self.columns.iter().map(|(name, _)| *name)
    }

    /// A column by its name.
    ///
    /// # Errors
    /// A name that is none of these; the nearest is told.
    pub fn column(&self, name: &str) -> Result<&[f64], Fault> {
        self.columns.iter().find(|(known, _)| *known == name).map(|(_, values)| values.as_slice()).ok_or_else(
            || {
                let names: Vec<&str> = self.names().collect();
                let way_out = nearest(name, names.iter().copied()).map_or_else(
                    || "see the names of this table".to_owned(),
                    |near| format!("did you mean {near}?"),
                );
                Fault::at_key(
                    name,
                    FaultKind::UnknownKey,
                    "no column of numbers of this name",
                    format!("one of {} columns", names.len()),
                    way_out,
                )
            },
        )
    }
}
