//! Settings of the arrays: module, strings, plane, what is lost.

use super::facing::Season;
use super::incidence::Glass;
use super::snow::Snow;
use super::soiling::Soiling;

/// A module's five reference parameters (1000 W/m², 25 °C) and how its current follows temperature.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
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
    /// Band gap, eV: it sets how the saturation current grows with temperature. Silicon's unless the datasheet's voltage
    /// coefficient needs another.
    pub band_gap_ev: f64,
}

/// What a module's datasheet states (1000 W/m², 25 °C).
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
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

/// A module of which only the power and the cells are known; the rest is taken as [`super::nameplate::typical`] says.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Nameplate {
    /// Power at 1000 W/m² and 25 °C, W, > 0.
    pub power_w: f64,
    /// Cells in series, 1 to 96.
    pub cells: u32,
    /// Temperature coefficient of the short-circuit current, A/K, where it is known.
    pub isc_temperature_a_per_k: Option<f64>,
    /// Temperature coefficient of the open-circuit voltage, V/K, where it is known.
    pub voc_temperature_v_per_k: Option<f64>,
}

/// A module, by its parameters, by its datasheet or by what stands on its plate.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub enum Module {
    /// Five reference parameters.
    Parameters(OneDiode),
    /// Datasheet values, fitted when the run starts.
    Datasheet(Datasheet),
    /// Power and cells alone; the datasheet is the typical one of its class.
    Nameplate(Nameplate),
}

/// Cell temperature from air, sun and wind: `T_air + G / (u0 + u1·v)` (Faiman 2008).
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
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
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct ArraySettings {
    /// Name in the scheme, such as `roof`.
    pub name: String,
    /// Tilt from the horizontal, degrees, 0 to 90.
    pub tilt_deg: f64,
    /// Dates on which the tilt is another one; empty for a fixed rack.
    pub seasons: Vec<Season>,
    /// Azimuth the panels face, degrees from north, clockwise.
    pub azimuth_deg: f64,
    /// The module.
    pub module: Module,
    /// Modules in series in a string, ≥ 1.
    pub series: u32,
    /// Strings in parallel, ≥ 1.
    pub parallel: u32,
    /// Share of light lost to dirt.
    pub soiling: Soiling,
    /// Share of power lost because modules differ, 0 to 1.
    pub mismatch: f64,
    /// Resistance of the cable, both ways together, Ω, ≥ 0.
    pub cable_ohm: f64,
    /// What the glass throws back.
    pub glass: Glass,
    /// Cell temperature model.
    pub faiman: Faiman,
    /// Cell strings one above the other along the slope, ≥ 1: snow takes whole strings, from the lowest up.
    pub slope_strings: u32,
}

impl ArraySettings {
    /// An array with what a scheme takes for the rest: a fixed rack under plain glass, 3 % of light lost to dirt and 2 % of
    /// power to modules that differ, no resistance in the cable.
    ///
    /// `plane` is the tilt from the horizontal, 0 to 90 degrees, and the azimuth from north, clockwise, 0 to 360 degrees;
    /// `strings` the modules in series in a string and the strings in parallel, each ≥ 1.
    #[must_use]
    pub fn new(name: impl Into<String>, module: Module, plane: (f64, f64), strings: (u32, u32)) -> Self {
        Self {
            name: name.into(),
            tilt_deg: plane.0,
            seasons: Vec::new(),
            azimuth_deg: plane.1,
            module,
            series: strings.0,
            parallel: strings.1,
            soiling: Soiling::Share(0.03),
            mismatch: 0.02,
            cable_ohm: 0.0,
            glass: Glass::Fresnel,
            faiman: Faiman::default(),
            slope_strings: 1,
        }
    }
}

/// How several arrays meet what draws on them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Serialize)]
pub enum Terminals {
    /// All on one pair of terminals, at one voltage: a booster, a motor wired to them, a tracker with one input.
    #[default]
    Common,
    /// Each at its own best voltage: a tracker with an input for each.
    Separate,
}

/// Settings of the array stage.
#[derive(Debug, Clone, PartialEq, Default, serde::Serialize)]
pub struct Settings {
    /// The arrays.
    pub arrays: Vec<ArraySettings>,
    /// Whether they share one voltage.
    pub terminals: Terminals,
    /// Snow on all panels; covered panels give nothing.
    pub snow: Snow,
}
