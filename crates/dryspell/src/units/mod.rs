//! Units: text such as `1100 gal` to a number in a base unit, and back for reports.
//!
//! Inside dryspell every number has one base unit for its [`Quantity`]. SI and US customary units are equal for
//! input; the user's choice of [`System`] only decides what reports show.
//!
//! ```
//! use dryspell::units::{Quantity, System, parse, show};
//!
//! let tank = parse("1100 gal", Quantity::Volume)?;
//! assert!((tank - 4.163_952_962).abs() < 1e-9); // m³: 1100 × 231 in³
//! assert_eq!(show(tank, Quantity::Volume, System::Si), "4164 L");
//! assert_eq!(show(tank, Quantity::Volume, System::Us), "1100 gal");
//!
//! let refused = parse("4,200 L", Quantity::Volume).unwrap_err();
//! assert!(refused.to_string().ends_with("write \"4200 L\""));
//! # Ok::<(), dryspell::units::UnitError>(())
//! ```

mod number;
mod parse;
mod retell;
mod show;
pub mod table;

pub use number::typed;
#[cfg(feature = "scheme")]
pub(crate) use parse::parts;
pub use parse::{UnitError, UnitErrorKind, parse};
pub use retell::{retold, retold_fault};
pub use show::{column_number, column_unit, column_value, counted, percent_number, show, show_alike};
pub use table::Unit;

/// The units that reports use.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, PartialOrd, Ord)]
pub enum System {
    /// Metres, litres, degrees Celsius.
    #[default]
    Si,
    /// Feet, US gallons, degrees Fahrenheit.
    Us,
}

/// A kind of quantity; it decides which units are accepted and what the base unit is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Quantity {
    /// Length, depth, height, head; base unit m.
    Length,
    /// Area; base unit m².
    Area,
    /// Volume; base unit m³.
    Volume,
    /// Flow; base unit m³/h.
    Flow,
    /// Volume in a day; base unit m³/day. A bare volume (`55 L`) is accepted and means that much each day.
    DailyVolume,
    /// Flow for each metre of drawdown; base unit m³/h per m.
    SpecificCapacity,
    /// Drawdown for each square of flow; base unit m per (m³/h)².
    WellLoss,
    /// Power; base unit W.
    Power,
    /// Energy; base unit kWh.
    Energy,
    /// Voltage; base unit V.
    Voltage,
    /// Current; base unit A.
    Current,
    /// Resistance; base unit Ω.
    Resistance,
    /// Mass; base unit kg.
    Mass,
    /// Mass in a day; base unit kg/day. A bare mass is accepted and means that much each day.
    DailyMass,
    /// Pressure; base unit Pa.
    Pressure,
    /// Angle; base unit degree.
    Angle,
    /// Temperature on its scale; base unit °C.
    Temperature,
    /// Difference of two temperatures; base unit K.
    TemperatureDifference,
    /// Share of a whole; base unit 1.
    Fraction,
    /// Relative change with temperature; base unit 1/K.
    FractionPerKelvin,
    /// Change of a current with temperature; base unit A/K.
    CurrentPerKelvin,
    /// Change of a voltage with temperature; base unit V/K.
    VoltagePerKelvin,
    /// Power of radiation on an area; base unit W/m².
    Irradiance,
    /// Energy of radiation on an area in a day; base unit kWh/m² a day.
    DailyIrradiation,
    /// Speed; base unit m/s.
    Speed,
    /// Time; base unit h.
    Duration,
    /// Heat lost for each kelvin; base unit W/(m² K).
    HeatLoss,
    /// Heat lost for each kelvin and each m/s of wind; base unit W s/(m³ K).
    WindHeatLoss,
    /// Volume for each turn; base unit m³.
    Displacement,
    /// Torque; base unit N m.
    Torque,
    /// Torque for each ampere, which is also voltage for each radian a second; base unit N m/A.
    TorqueConstant,
    /// Speed of turning; base unit rad/s.
    Turning,
    /// Temperature below freezing times days; base unit °C·day.
    DegreeDays,
    /// Thermal conductivity; base unit W/(m K).
    Conductivity,
    /// Density; base unit kg/m³.
    Density,
    /// Electric charge; base unit A·h.
    Charge,
}

impl Quantity {
    /// All kinds.
    pub const ALL: [Self; 36] = [
        Self::Length,
        Self::Area,
        Self::Volume,
        Self::Flow,
        Self::DailyVolume,
        Self::SpecificCapacity,
        Self::WellLoss,
        Self::Power,
        Self::Energy,
        Self::Voltage,
        Self::Current,
        Self::Resistance,
        Self::Mass,
        Self::DailyMass,
        Self::Pressure,
        Self::Angle,
        Self::Temperature,
        Self::TemperatureDifference,
        Self::Fraction,
        Self::FractionPerKelvin,
        Self::CurrentPerKelvin,
        Self::VoltagePerKelvin,
        Self::Irradiance,
        Self::DailyIrradiation,
        Self::Speed,
        Self::Duration,
        Self::HeatLoss,
        Self::WindHeatLoss,
        Self::Displacement,
        Self::Torque,
        Self::TorqueConstant,
        Self::Turning,
        Self::DegreeDays,
        Self::Conductivity,
        Self::Density,
        Self::Charge,
    ];

    /// What the quantity is called in messages, with its article: `a length`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Area => "an area",
            Self::Volume => "a volume",
            Self::Flow => "a flow",
            Self::DailyVolume => "a volume a day",
            Self::SpecificCapacity => "a specific capacity",
            Self::WellLoss => "a well loss coefficient",
            Self::Power => "a power",
            Self::Energy => "an energy",
            Self::Voltage => "a voltage",
            Self::Current => "a current",
            Self::Resistance => "a resistance",
            Self::Mass => "a mass",
            Self::DailyMass => "a mass a day",
            Self::Pressure => "a pressure",
            Self::Angle => "an angle",
            Self::Temperature => "a temperature",
            Self::TemperatureDifference => "a difference of temperature",
            Self::Fraction => "a share",
            Self::FractionPerKelvin => "a relative temperature coefficient",
            Self::CurrentPerKelvin => "a temperature coefficient of current",
            Self::VoltagePerKelvin => "a temperature coefficient of voltage",
            Self::Irradiance => "an irradiance",
            Self::DailyIrradiation => "a daily irradiation",
            Self::Speed => "a speed",
            Self::Duration => "a time",
            Self::HeatLoss => "a heat loss factor",
            Self::WindHeatLoss => "a wind heat loss factor",
            Self::Displacement => "a displacement",
            Self::Torque => "a torque",
            Self::TorqueConstant => "a torque constant",
            Self::Turning => "a speed of turning",
            Self::DegreeDays => "a number of degree-days",
            Self::Conductivity => "a thermal conductivity",
            Self::Density => "a density",
            Self::Charge => "an electric charge",
        }
    }

    /// The unit of numbers inside dryspell.
    #[must_use]
    pub const fn base_unit(self) -> &'static str {
        match self {
            Self::Length => "m",
            Self::Area => "m²",
            Self::Volume => "m³",
            Self::Flow => "m³/h",
            Self::DailyVolume => "m³/day",
            Self::SpecificCapacity => "m³/h/m",
            Self::WellLoss => "h²/m⁵",
            Self::Power => "W",
            Self::Energy => "kWh",
            Self::Voltage => "V",
            Self::Current => "A",
            Self::Resistance => "Ω",
            Self::Mass => "kg",
            Self::DailyMass => "kg/day",
            Self::Pressure => "Pa",
            Self::Angle => "deg",
            Self::Temperature => "°C",
            Self::TemperatureDifference => "K",
            Self::Fraction => "1",
            Self::FractionPerKelvin => "1/K",
            Self::CurrentPerKelvin => "A/K",
            Self::VoltagePerKelvin => "V/K",
            Self::Irradiance => "W/m²",
            Self::DailyIrradiation => "kWh/m²/day",
            Self::Speed => "m/s",
            Self::Duration => "h",
            Self::HeatLoss => "W/m²/K",
            Self::WindHeatLoss => "W s/m³/K",
            Self::Displacement => "m³/rev",
            Self::Torque => "N m",
            Self::TorqueConstant => "N m/A",
            Self::Turning => "rad/s",
            Self::DegreeDays => "°C·day",
            Self::Conductivity => "W/m/K",
            Self::Density => "kg/m³",
            Self::Charge => "A·h",
        }
    }

    /// The same unit as names of columns end: `m3_per_h`; of a share `percent`.
    #[must_use]
    pub const fn in_names(self) -> &'static str {
        match self {
            Self::Length => "m",
            Self::Area => "m2",
            Self::Volume => "m3",
            Self::Flow => "m3_per_h",
            Self::DailyVolume => "m3_per_day",
            Self::SpecificCapacity => "m3_per_h_per_m",
            Self::WellLoss => "h2_per_m5",
            Self::Power => "w",
            Self::Energy => "kwh",
            Self::Voltage => "v",
            Self::Current => "a",
            Self::Resistance => "ohm",
            Self::Mass => "kg",
            Self::DailyMass => "kg_per_day",
            Self::Pressure => "pa",
            Self::Angle => "deg",
            Self::Temperature => "degc",
            Self::TemperatureDifference => "k",
            Self::Fraction => "percent",
            Self::FractionPerKelvin => "per_k",
            Self::CurrentPerKelvin => "a_per_k",
            Self::VoltagePerKelvin => "v_per_k",
            Self::Irradiance => "w_per_m2",
            Self::DailyIrradiation => "kwh_per_m2_day",
            Self::Speed => "m_per_s",
            Self::Duration => "h",
            Self::HeatLoss => "w_per_m2_k",
            Self::WindHeatLoss => "w_s_per_m3_k",
            Self::Displacement => "m3_per_rev",
            Self::Torque => "n_m",
            Self::TorqueConstant => "n_m_per_a",
            Self::Turning => "rad_per_s",
            Self::DegreeDays => "degc_day",
            Self::Conductivity => "w_per_m_k",
            Self::Density => "kg_per_m3",
            Self::Charge => "ah",
        }
    }

    /// The unit in which a program writes it: the base unit, of a share percent.
    #[cfg(feature = "scheme")]
    pub(crate) const fn written_unit(self) -> &'static str {
        match self {
            Self::Fraction => "%",
            Self::DegreeDays => "degC days",
            Self::Charge => "Ah",
            _ => self.base_unit(),
        }
    }

    /// Whether a US customary unit is in everyday use for it; it then stands second in the list of units.
    const fn has_us_unit(self) -> bool {
        matches!(
            self,
            Self::Length
                | Self::Volume
                | Self::Flow
                | Self::DailyVolume
                | Self::SpecificCapacity
                | Self::Mass
                | Self::DailyMass
                | Self::Pressure
                | Self::Temperature
                | Self::TemperatureDifference
                | Self::Speed
        )
    }

    /// The units accepted for this quantity; the first SI and the first US one are those that hints offer.
    #[must_use]
    pub const fn units(self) -> &'static [Unit] {
        table::units(self)
    }
}
