//! From one tank to the next: a pipe with a float valve, a transfer pump, a column of one's own.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `H` | fall: from the outlet of the tank that feeds to the inlet of the tank that is fed, less the pressure that its valve keeps | m | > 0 |
//! | `Q` | flow through the open pipe | m³/h | ≥ 0 |
//! | `L`, `x` | stop level and level of the tank that is fed | m³ | |
//! | `w`, `i` | asked of that tank in the hour; offered to it by its own sources | m³ | ≥ 0 |
//!
//! # Equation
//!
//! - Pipe: `loss(Q) = H`, with the losses of [`pipe::Line`].
//! - What the tank that is fed asks of the other: `min(Q · 1 h, max(0, L − x + w − i))`. Its own sources come first; a valve shuts at
//!   `L`. It is given what animals and hydrants at the tank that feeds leave.
//!
//! # Validity
//!
//! The tank that feeds stands at its outlet: what stands above it helps and is not counted. A transfer pump heeds the float of the
//! tank that it fills, band included; a valve holds the level. A link's request that is not met is not short: only herds are.
//!
//! # Example
//! ```
//! use dryspell::link::{Settings, Way};
//! use dryspell::pipe::Run;
//! let run = Run { name: "line".into(), length_m: 100.0, bore_m: 0.026, roughness_m: 1.5e-6, ..Run::default() };
//! let line = Settings { into: "low".into(), from: "main".into(), way: Way::pipe(vec![run], -4.5, 15.0) };
//! // Half a litre a second loses 4.45 m in 100 m of this pipe.
//! let q = line.flow_m3_per_h().map_err(|faults| faults[0].to_string())? / 3.6;
//! assert!((q - 0.5).abs() < 0.01);
//! # Ok::<(), String>(())
//! ```
//!
//! # References
//!
//! Those of [`pipe::Line`]; the rule of sharing is this project's definition.

mod tree;

pub use tree::Tree;
pub(crate) use tree::no_tank;

use crate::calendar::Calendar;
use crate::fault::{Fault, FaultKind, Faults};
use crate::inflow::{Hourly, Steady};
use crate::pipe::{self, FrictionLaw, Line, Run};

/// One link.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Settings {
    /// Name of the tank that is fed.
    pub into: String,
    /// Name of the tank that feeds it.
    pub from: String,
    /// What lies between.
    pub way: Way,
}

/// What lies between two tanks.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub enum Way {
    /// A pipe in which the water runs down, with a float valve at its end.
    Pipe {
        /// The runs, in the water's order; at least one.
        runs: Vec<Run>,
        /// Height of the inlet of the tank that is fed above the outlet of the other, m; negative below.
        height_m: f64,
        /// Pressure that its valve keeps, m of water, ≥ 0.
        pressure_m: f64,
        /// Law of friction.
        friction: FrictionLaw,
        /// Water temperature, °C; it sets the viscosity.
        water_degc: f64,
    },
    /// A transfer pump with a stated flow.
    Pump {
        /// Its flow.
        flow: Steady,
        /// Whether it runs on the sun: then it stands still where days without sun are counted.
        needs_sun: bool,
    },
    /// A transfer pump whose flow is a column of one's own.
    Column {
        /// The column.
        hourly: Hourly,
        /// Whether it runs on the sun.
        needs_sun: bool,
    },
}

impl Way {
    /// A pipe with a valve that keeps no pressure, by Darcy and Weisbach.
    #[must_use]
    pub const fn pipe(runs: Vec<Run>, height_m: f64, water_degc: f64) -> Self {
        Self::Pipe { runs, height_m, pressure_m: 0.0, friction: FrictionLaw::DarcyWeisbach, water_degc }
    }

    /// Whether it stands still without sun.
    #[must_use]
    pub const fn needs_sun(&self) -> bool {
        match self {
            Self::Pipe { .. } => false,
            Self::Pump { needs_sun, .. } | Self::Column { needs_sun, .. } => *needs_sun,
        }
    }

    /// Whether a pump fills the tank: it heeds the float, band included.
    #[must_use]
    pub const fn is_pump(&self) -> bool {
        !matches!(self, Self::Pipe { .. })
    }
}

impl Settings {
    /// Flow through the open pipe, or the highest of a pump's stated flows, m³/h.
    ///
    /// # Errors
    /// Every value of the pipe out of its range, an inlet that the water does not run down to.
    pub fn flow_m3_per_h(&self) -> Result<f64, Faults> {
        match &self.way {
            Way::Pipe { runs, height_m, pressure_m, friction, water_degc } => {
                let key = |key: &str| format!("tank.{}.feed.{key}", self.into);
                if runs.is_empty() {
                    return Err(Faults::from(Fault::at_key(
                        key("pipe"),
                        FaultKind::MissingKey,
                        "no pipe",
                        "at least one run of pipe",
                        "give its length and bore, however short",
                    )));
                }
                let (runs, water_degc, friction) = (runs.clone(), *water_degc, *friction);
                let line =
                    Line::new(&pipe::Settings { runs, water_degc, friction, ..pipe::Settings::default() })?;
                let needs_m = height_m + pressure_m;
                let flow = line.flow_m3_per_h(-needs_m);
                if flow > 0.0 {
                    return Ok(flow);
                }
                Err(Faults::from(Fault::at_key(
                    key("height"),
                    FaultKind::CannotRun,
                    format!(
                        "{needs_m} m above the outlet of the tank {}, its valve's pressure included",
                        self.from
                    ),
                    "below that outlet where no pump lifts the water",
                    "set this tank lower, or give pump_flow",
                )))
            }
            Way::Pump { flow, .. } => Ok(flow.flow_m3_per_h.iter().copied().fold(0.0, f64::max)),
            Way::Column { hourly, .. } => Ok(hourly.m3().iter().copied().fold(0.0, f64::max)),
        }
    }

    /// Most that it passes in each hour, m³.
    ///
    /// # Errors
    /// As [`Self::flow_m3_per_h`]; a column that does not fit the record.
    pub fn column_m3(&self, calendar: &Calendar) -> Result<Vec<f64>, Faults> {
        let flow_m3_per_h = self.flow_m3_per_h()?;
        match &self.way {
            Way::Pipe { .. } => Ok(vec![flow_m3_per_h; calendar.hours()]),
            Way::Pump { flow, .. } => Ok(flow.column_m3(calendar)),
            Way::Column { hourly, .. } => match hourly.misfit(calendar).or_else(|| hourly.wrong_value()) {
                Some((kind, found, accepted)) => Err(Faults::from(Fault::at_key(
                    format!("tank.{}.feed.file", self.into),
                    kind,
                    found,
                    accepted,
                    "correct the column, or give pump_flow",
                ))),
                None => Ok(hourly.m3().to_vec()),
            },
        }
    }
}
