//! Water that runs into a tank besides the pump's: a spring, a main, a column of one's own, rain.
//!
//! Each inflow keeps its own column. What becomes of it at a full tank is [`WhenFull`]; how much the tank takes is the
//! tank's affair.

mod backup;
mod hourly;
pub mod rain;
mod steady;

pub use backup::{Backup, BackupState, Bringing, Cost};
pub use hourly::Hourly;
pub use rain::Catchment;
pub use steady::Steady;

use crate::fault::{Fault, FaultKind, Faults};
use crate::record::{Record, YearKind};

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
    /// Rain on a catchment.
    Rain(Catchment),
    /// Rain on the tank's own open water.
    OpenWater {
        /// Area of the water, m², > 0: that of the tank.
        area_m2: f64,
    },
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
    /// Rain on a tank's own open water: what does not fit runs over the rim.
    #[must_use]
    pub fn open_water(tank: String, area_m2: f64) -> Self {
        let (name, kind) = (format!("{tank}-open-surface"), Kind::OpenWater { area_m2 });
        Self { name, kind, tank, when_full: WhenFull::Spilled }
    }

    /// The dotted key of the scheme at which a fault of this inflow is told.
    pub(crate) fn key(&self) -> String {
        let key = match &self.kind {
            Kind::Steady(_) => "flow",
            Kind::Column(_) => "file",
            Kind::Rain(_) => "catchment_area",
            Kind::OpenWater { .. } => return format!("tank.{}.rain_on_open_surface", self.tank),
        };
        format!("inflow.{}.{key}", self.name)
    }

    /// What is wrong with it on any record.
    pub(crate) fn fault(&self) -> Option<Fault> {
        match &self.kind {
            Kind::Steady(_) | Kind::Rain(_) | Kind::OpenWater { .. } => None,
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

    /// What a catchment brings, and what was assumed.
    fn runoff(&self, catchment: &Catchment, record: &Record) -> Result<(Vec<f64>, Vec<String>), Fault> {
        let Some(precipitation_mm) = &record.precipitation_mm else {
            return Err(self.no_rain(if record.kind == YearKind::Synthetic {
                "made years have no rain by the hour: monthly totals spread evenly would hide dry spells"
                    .to_owned()
            } else {
                "the weather file has no credible rain".to_owned()
            }));
        };
        if let Some(day) = rain::spread_evenly(precipitation_mm) {
            let date = record.calendar.day_of(24 * day);
            return Err(self.no_rain(format!(
                "the weather file has the same rain on each of two weeks from {:02}-{:02}: a total spread evenly",
                date.month, date.day
            )));
        }
        let name = &self.name;
        let mut assumptions = vec![format!(
            "inflow {name}: precipitation in hours below {} °C is snow and counts as nothing, nor does its melt",
            rain::SNOW_BELOW_DEGC
        )];
        if catchment.first_flush_mm > 0.0 {
            assumptions.push(format!(
                "inflow {name}: a rain is over after {} hours without rain, and the next loses its first {} mm again",
                rain::DRY_GAP_H,
                catchment.first_flush_mm
            ));
        }
        if record.kind == YearKind::Typical {
            assumptions.push(format!(
                "inflow {name}: the months of a typical year were chosen for sun and temperature, not for rain"
            ));
        }
        let liquid_mm = rain::liquid_mm(precipitation_mm, &record.air_degc);
        Ok((rain::runoff_m3(catchment, &liquid_mm, record.calendar.is_one_year()), assumptions))
    }

    fn no_rain(&self, found: String) -> Fault {
        Fault::at_key(
            self.key(),
            FaultKind::CannotRun,
            found,
            "rain as it fell, by the hour or once a day",
            "use a weather file that has it, give the inflow as a column of your own, or take it out",
        )
    }

    fn column(&self, record: &Record) -> Result<Column, Fault> {
        let (m3, assumptions) = match &self.kind {
            Kind::Steady(steady) => (steady.column_m3(&record.calendar), Vec::new()),
            Kind::Column(hourly) => match hourly.misfit(&record.calendar).or_else(|| hourly.wrong_value()) {
                Some(wrong) => return Err(self.column_fault(wrong)),
                None => (hourly.m3().to_vec(), Vec::new()),
            },
            Kind::Rain(catchment) => self.runoff(catchment, record)?,
            Kind::OpenWater { area_m2 } => self.runoff(&Catchment::open_water(*area_m2), record)?,
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
/// A record that does not hold together; else every inflow that cannot be had from it, each as a fault with its key.
pub fn columns(settings: &[Settings], record: &Record) -> Result<Vec<Column>, Faults> {
    record.check()?;
    let (mut columns, mut faults) = (Vec::with_capacity(settings.len()), Vec::new());
    for inflow in settings {
        match inflow.column(record) {
            Ok(column) => columns.push(column),
            Err(fault) => faults.push(fault),
        }
    }
    if faults.is_empty() { Ok(columns) } else { Err(faults.into()) }
}
