//! Panels: light through the glass, cell temperature, one-diode module, strings, cable, losses.

pub mod cable;

use crate::calendar::DateSpan;

/// A module's five reference parameters (1000 W/m², 25 °C) and how its current follows temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OneDiode {
    /// Light current, A, > 0.
    pub photocurrent_a: f64,
    /// Diode saturation current, A, > 0.
    pub saturation_current_a: f64,
    /// Series resistance, Ω, ≥ 0.
    pub series_resistance_ohm: f64,
    /// Shunt resistance, Ω, > 0.
    pub shunt_resistance_ohm: f64,
    /// Modified ideality factor n·Ns·k·T/q, V, > 0.
    pub modified_ideality_v: f64,
    /// Change of the light current with cell temperature, A/K.
    pub isc_temperature_a_per_k: f64,
}

/// What a module's datasheet states (1000 W/m², 25 °C).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Datasheet {
    /// Short-circuit current, A.
    pub isc_a: f64,
    /// Open-circuit voltage, V.
    pub voc_v: f64,
    /// Current at maximum power, A.
    pub imp_a: f64,
    /// Voltage at maximum power, V.
    pub vmp_v: f64,
    /// Temperature coefficient of the short-circuit current, A/K.
    pub isc_temperature_a_per_k: f64,
    /// Temperature coefficient of the open-circuit voltage, V/K.
    pub voc_temperature_v_per_k: f64,
    /// Cells in series.
    pub cells: u32,
}

/// A module, by its parameters or by its datasheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Module {
    /// Five reference parameters.
    Parameters(OneDiode),
    /// Datasheet values, fitted when the run starts.
    Datasheet(Datasheet),
}

/// Cell temperature from air, sun and wind: `T_air + G / (u0 + u1·v)` (Faiman 2008).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Faiman {
    /// Constant heat loss factor, W/(m²·K), > 0.
    pub u0: f64,
    /// Wind heat loss factor, W·s/(m³·K), ≥ 0.
    pub u1: f64,
}

impl Default for Faiman {
    fn default() -> Self {
        Self { u0: 25.0, u1: 6.84 }
    }
}

/// One array: modules of one kind in one plane.
#[derive(Debug, Clone, PartialEq)]
pub struct ArraySettings {
    /// Name in the scheme, such as `roof`.
    pub name: String,
    /// Tilt from the horizontal, degrees, 0 to 90.
    pub tilt_deg: f64,
    /// Azimuth the panels face, degrees from north, clockwise.
    pub azimuth_deg: f64,
    /// The module.
    pub module: Module,
    /// Modules in series in a string, ≥ 1.
    pub series: u32,
    /// Strings in parallel, ≥ 1.
    pub parallel: u32,
    /// Share of light lost to dirt, 0 to 1.
    pub soiling: f64,
    /// Share of power lost because modules differ, 0 to 1.
    pub mismatch: f64,
    /// Resistance of the cable, both ways together, Ω, ≥ 0.
    pub cable_ohm: f64,
    /// Whether beam light lost at the glass is counted (Fresnel, one cover).
    pub incidence_loss: bool,
    /// Cell temperature model.
    pub faiman: Faiman,
}

/// Settings of the array stage.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// The arrays; their power is added.
    pub arrays: Vec<ArraySettings>,
    /// Dates on which snow covers all panels; they then give nothing.
    pub covered: Vec<DateSpan>,
}
