//! The pump: what flow it gives against a head at a power or a voltage.
//!
//! Each kind is a file with a [`Machine`]; they are listed in [`Settings`] and made ready in [`Pump::new`].

mod centrifugal;
mod check;
mod displacement;
mod duty;
mod head_curve;
mod hydraulic_power;
mod machine;
mod motor;
mod own;
mod pchip;
pub(crate) mod surface;
mod volts;
mod worn;

pub use centrifugal::{Centrifugal, CentrifugalSettings, Motor, PumpEfficiency};
pub use displacement::{Displacement, DisplacementSettings};
pub use duty::Duty;
pub use head_curve::{HeadCurve, RatedCurve};
pub(crate) use hydraulic_power::GRAVITY_M_PER_S2;
pub use hydraulic_power::hydraulic_power_w;
pub use machine::{Breakaway, Machine, Meeting, OperatingPoint, Site};
pub use motor::PermanentMagnet;
pub use own::{FlowLaw, OwnPump};
pub use pchip::Pchip;
pub use surface::{Place, Surface};
pub use volts::VoltPump;

use crate::fault::Faults;

/// What a tabulated pump does below the lowest tabulated drive (power or voltage) at a head.
#[derive(Debug, Clone, Copy, PartialEq, Default, serde::Serialize)]
pub enum Start {
    /// Nothing: the default (conservative).
    #[default]
    Zero,
    /// Nothing below this power, W, or voltage, V; from there linear interpolation to the lowest tabulated point.
    From(f64),
    /// Linear interpolation from the lowest tabulated point down to zero flow, each watt lifting as at the table's best
    /// efficiency: the hopeful end of what a table leaves open.
    BestEfficiency,
    /// Of a positive-displacement pump by a table at one voltage: flow in proportion to voltage, from none at 0 V. The
    /// hopeful end of what one voltage leaves open.
    Proportional,
    /// Of the same pump: what each head takes of the flow, by slip or because the motor turns slower under its load, is
    /// the same at every voltage. The dry end.
    SameLoss,
}

/// One row of a duty table.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct DutyPoint {
    /// Total dynamic head, m, ≥ 0.
    pub head_m: f64,
    /// Electrical power into the pump's controller, W, > 0.
    pub power_w: f64,
    /// Flow, m³/h, ≥ 0.
    pub flow_m3_per_h: f64,
}

/// A duty table: head, power, flow.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct DutyTable {
    /// The rows as the scheme gives them.
    pub rows: Vec<DutyPoint>,
    /// What happens below the lowest tabulated power.
    pub start: Start,
}

impl DutyTable {
    fn points(&self) -> Vec<Row> {
        let row = |p: &DutyPoint| Row {
            head_m: p.head_m,
            drive: p.power_w,
            flow_m3_per_h: p.flow_m3_per_h,
            power_w: p.power_w,
        };
        self.rows.iter().map(row).collect()
    }
}

/// One row of a table with a voltage.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct VoltPoint {
    /// Total dynamic head, m, ≥ 0.
    pub head_m: f64,
    /// Voltage at the pump, V, > 0.
    pub voltage_v: f64,
    /// Flow, m³/h, ≥ 0.
    pub flow_m3_per_h: f64,
    /// Current, A, > 0.
    pub current_a: f64,
}

/// A table with a voltage: head, voltage, flow, current; or head, flow, current at one voltage.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct VoltTable {
    /// The rows as the scheme gives them.
    pub rows: Vec<VoltPoint>,
    /// What happens below the lowest tabulated voltage.
    pub start: Start,
    /// The rows are for one voltage.
    pub one_voltage: bool,
}

/// A row of any table: its drive is its power or its voltage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Row {
    head_m: f64,
    drive: f64,
    flow_m3_per_h: f64,
    power_w: f64,
}

/// Settings of the pump, by kind.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub enum Settings {
    /// A duty table of head, power and flow.
    Duty(DutyTable),
    /// A table with a voltage.
    Volts(VoltTable),
    /// Positive displacement with a permanent-magnet motor.
    Displacement(DisplacementSettings),
    /// Centrifugal, from its rated curve.
    Centrifugal(CentrifugalSettings),
    /// A law of the user's own.
    Own(OwnPump),
}

impl Settings {
    /// A duty table.
    #[must_use]
    pub const fn duty(rows: Vec<DutyPoint>, start: Start) -> Self {
        Self::Duty(DutyTable { rows, start })
    }

    /// A pump of the user's own; the name is what reports call it.
    #[must_use]
    pub fn own(name: impl Into<String>, law: impl FlowLaw + 'static) -> Self {
        Self::Own(OwnPump::new(name, law))
    }

    /// The key of a scheme under which its reach is told.
    #[must_use]
    pub const fn key(&self) -> &'static str {
        match self {
            Self::Duty(_) => "pump.duty",
            Self::Volts(table) if table.one_voltage => "pump.head_flow",
            Self::Volts(_) => "pump.voltage_table",
            Self::Displacement(_) => "pump.highest_head",
            Self::Centrifugal(_) => "pump.kind",
            Self::Own(_) => "pump",
        }
    }

    /// Whether its flow is scaled from the one voltage of its table.
    #[must_use]
    pub const fn is_scaled_by_voltage(&self) -> bool {
        matches!(self, Self::Volts(VoltTable { start: Start::Proportional | Start::SameLoss, .. }))
    }

    /// The same pump with the dry (`false`) or the hopeful end of what its table leaves open below its lowest drive;
    /// `None` where nothing is left open.
    #[must_use]
    pub fn with_start_end(&self, hopeful: bool) -> Option<Self> {
        let start = match (self.is_scaled_by_voltage(), hopeful) {
            (true, true) => Start::Proportional,
            (true, false) => Start::SameLoss,
            (false, true) => Start::BestEfficiency,
            (false, false) => Start::Zero,
        };
        match self {
            Self::Duty(table) => Some(Self::Duty(DutyTable { start, ..table.clone() })),
            Self::Volts(table) => Some(Self::Volts(VoltTable { start, ..table.clone() })),
            Self::Displacement(_) | Self::Centrifugal(_) | Self::Own(_) => None,
        }
    }
}

/// A pump of any kind, made ready.
#[derive(Debug, Clone, PartialEq)]
pub enum Pump {
    /// A duty table.
    Duty(Duty),
    /// A table with a voltage.
    Volts(VoltPump),
    /// Positive displacement.
    Displacement(Displacement),
    /// Centrifugal.
    Centrifugal(Centrifugal),
    /// The user's own.
    Own(OwnPump),
}

impl Pump {
    /// Makes a pump ready for water of a density.
    ///
    /// # Errors
    /// All faults of its settings.
    pub fn new(settings: &Settings, density_kg_per_m3: f64) -> Result<Self, Faults> {
        Ok(match settings {
            Settings::Duty(table) => Self::Duty(Duty::new(table)?),
            Settings::Volts(table) => Self::Volts(VoltPump::new(table)?),
            Settings::Displacement(s) => Self::Displacement(Displacement::new(s, density_kg_per_m3)?),
            Settings::Centrifugal(s) => Self::Centrifugal(Centrifugal::new(s, density_kg_per_m3)?),
            Settings::Own(pump) => Self::Own(pump.clone().tried()?),
        })
    }

    /// What every kind can tell.
    #[must_use]
    pub fn machine(&self) -> &dyn Machine {
        match self {
            Self::Duty(pump) => pump,
            Self::Volts(pump) => pump,
            Self::Displacement(pump) => pump,
            Self::Centrifugal(pump) => pump,
            Self::Own(pump) => pump,
        }
    }
}
