//! Water that runs into a tank besides the pump's: a spring, a main, a column of one's own.
//!
//! Each inflow keeps its own column. What becomes of it at a full tank is [`WhenFull`]; how much the tank takes is the
//! tank's affair.

mod backup;
mod hourly;
mod steady;

pub use backup::{Backup, BackupState, Bringing, Cost};
pub use hourly::Hourly;
pub use steady::Steady;

use crate::fault::{Fault, FaultKind, Faults};
use crate::record::Record;

/// One inflow.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Settings {
    /// Name in the scheme, such as `spring`.
    pub name: String,
    /// Where its water comes from.
    pub kind: Kind,
    /// Name of the tank into which it runs.
    pub tank: String,
    /// What becomes of it when the tank is full.
    pub when_full: WhenFull,
}

/// Where the water of an inflow comes from.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub enum Kind {
    /// A stated flow.
    Steady(Steady),
    /// A column of one's own.
    Column(Hourly),
}

/// What becomes of an inflow when the tank is full.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub enum WhenFull {
    /// A valve shuts it at the level at which the float stops the pump: it stays where it was.
    Refused,
    /// It runs on, up to the rim and over it.
    Spilled,
}

/// What an inflow brings in every hour of a record.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// Name of the inflow.
    pub name: String,
    /// Name of the tank into which it runs.
    pub tank: String,
    /// What becomes of it when the tank is full.
    pub when_full: WhenFull,
    /// Volume, m³ in each hour, ≥ 0; not yet on the grid of volumes.
    pub m3: Vec<f64>,
    /// What was assumed, a line each.
    pub assumptions: Vec<String>,
}

impl Settings {
    /// The dotted key of the scheme at which a fault of this inflow is told.
    pub(crate) fn key(&self) -> String {
        let key = match &self.kind {
            Kind::Steady(_) => "flow",
            Kind::Column(_) => "file",
        };
        format!("inflow.{}.{key}", self.name)
    }

    /// What is wrong with it on any record.
    pub(crate) fn fault(&self) -> Option<Fault> {
        match &self.kind {
            Kind::Steady(_) => None,
            Kind::Column(hourly) => hourly.wrong_value().map(|wrong| self.column_fault(wrong)),
        }
    }

    fn column_fault(&self, (kind, found, accepted): (FaultKind, String, String)) -> Fault {
        Fault::at_key(
            self.key(),
            kind,
            found,
            accepted,
            "correct the column, or give the inflow as flow by month",
        )
    }

    fn column(&self, record: &Record) -> Result<Column, Fault> {
        let (m3, assumptions) = match &self.kind {
            Kind::Steady(steady) => (steady.column_m3(&record.calendar), Vec::new()),
            Kind::Column(hourly) => match hourly.misfit(&record.calendar).or_else(|| hourly.wrong_value()) {
                Some(wrong) => return Err(self.column_fault(wrong)),
                None => (hourly.m3().to_vec(), Vec::new()),
            },
        };
        let (name, tank) = (self.name.clone(), self.tank.clone());
        Ok(Column { name, tank, when_full: self.when_full, m3, assumptions })
    }
}

/// What each inflow brings in every hour of a record, in the order of the settings.
///
/// # Units
/// m³ in each hour.
///
/// # Validity
/// Each column stands by itself, whatever the tank holds.
///
/// # Example
/// ```
/// use dryspell::inflow::{self, Kind, Settings, Steady, WhenFull};
/// use dryspell::{calendar::Calendar, record::Record};
///
/// let spring = Settings {
///     name: "spring".into(),
///     kind: Kind::Steady(Steady::of(0.05)),
///     tank: "main".into(),
///     when_full: WhenFull::Spilled,
/// };
/// let found = inflow::columns(&[spring], &Record::without_weather(Calendar::year(2023)))?;
/// assert!((found[0].m3.iter().sum::<f64>() - 438.0).abs() < 1e-9);
/// # Ok::<(), dryspell::fault::Faults>(())
/// ```
///
/// # Errors
/// Every inflow that cannot be had from this record, each as a fault with its key.
pub fn columns(settings: &[Settings], record: &Record) -> Result<Vec<Column>, Faults> {
    record.check_lengths()?;
    let (mut columns, mut faults) = (Vec::with_capacity(settings.len()), Vec::new());
    for inflow in settings {
        match inflow.column(record) {
            Ok(column) => columns.push(column),
            Err(fault) => faults.push(fault),
        }
    }
    if faults.is_empty() { Ok(columns) } else { Err(faults.into()) }
}
