//! Panels: light through the glass, cell temperature, one-diode module, strings, cable, losses.

pub mod cable;
pub mod circuit;
pub mod faiman;
pub mod fit;
pub mod incidence;
pub mod one_diode;

use crate::calendar::DateSpan;
use crate::fault::{Fault, FaultKind};
use crate::record::Record;
use crate::sun::plane::{Plane, PlaneLight, plane_light};
use crate::sun::{self, Sky, SkyHour, SkyModel};
use circuit::{Circuit, Wiring, array_power_w};
use faiman::{DEFAULT_WIND_M_PER_S, cell_degc};
use fit::Fitted;
use one_diode::curve;

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
    /// Band gap, eV: it sets how the saturation current grows with temperature. Silicon's unless the datasheet's voltage
    /// coefficient needs another.
    pub band_gap_ev: f64,
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

/// What the array stage hands on: one value an hour in each column.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Columns {
    /// Light on the panels before incidence, soiling and snow, W/m²; arrays weigh by their peak power.
    pub plane_w_per_m2: Vec<f64>,
    /// Cell temperature, °C, weighed likewise.
    pub cell_degc: Vec<f64>,
    /// Power available at the coupling, W: the arrays' maximum powers added.
    pub array_w: Vec<f64>,
    /// Each array by itself, in the order of the settings.
    pub each: Vec<OneArray>,
    /// Peak power of all arrays, W: modules at 1000 W/m² and 25 °C, before losses.
    pub peak_w: f64,
}

/// The columns of one array.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct OneArray {
    /// Name in the scheme.
    pub name: String,
    /// Light on the plane before incidence, soiling and snow, W/m².
    pub plane_w_per_m2: Vec<f64>,
    /// Light that reaches the cells: after glass, dirt and snow, W/m².
    pub light_w_per_m2: Vec<f64>,
    /// Cell temperature, °C.
    pub cell_degc: Vec<f64>,
    /// Maximum power at the load's end of the cable, W.
    pub power_w: Vec<f64>,
    /// Module, strings and cable: with light and cell temperature they give back the hour's curve.
    pub wiring: Option<Wiring>,
    /// Peak power, W: modules at 1000 W/m² and 25 °C, before losses.
    pub peak_w: f64,
    /// How the module was fitted to its datasheet; `None` where its parameters were given.
    pub fitted: Option<Fitted>,
}

/// Fills a circuit with the arrays' curves of an hour.
pub fn circuit_of(each: &[OneArray], h: usize, circuit: &mut Circuit) {
    circuit.strings.clear();
    for array in each {
        // Snow or a shade may leave light and take the power.
        let strings = array
            .wiring
            .filter(|_| array.power_w[h] > 0.0)
            .and_then(|wiring| wiring.string(array.light_w_per_m2[h], array.cell_degc[h]));
        circuit.strings.extend(strings);
    }
}

/// An array with what does not change from hour to hour worked out.
#[derive(Debug, Clone, PartialEq)]
pub struct Prepared<'a> {
    /// What the scheme says.
    pub settings: &'a ArraySettings,
    /// The module's five parameters, given or fitted.
    pub module: OneDiode,
    /// Peak power, W.
    pub peak_w: f64,
    /// How the module was fitted; `None` where the parameters were given.
    pub fitted: Option<Fitted>,
    plane: Plane,
}

/// One hour of one array, with everything between light and power.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ArrayHour {
    /// Light on the plane, by where it comes from.
    pub plane: PlaneLight,
    /// Share of the beam that enters the glass, 0 to 1.
    pub beam_share: f64,
    /// Light that reaches the cells: after glass, dirt and snow, W/m².
    pub light_w_per_m2: f64,
    /// Cell temperature, °C.
    pub cell_degc: f64,
    /// Maximum power at the load's end of the cable, W.
    pub power_w: f64,
}

/// The air around the panels in one hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Air temperature, °C.
    pub air_degc: f64,
    /// Wind, m/s.
    pub wind_m_per_s: f64,
    /// Whether snow covers the panels.
    pub covered: bool,
}

impl Air {
    /// The air of hour `h` of a record; wind missing counts as [`DEFAULT_WIND_M_PER_S`].
    #[must_use]
    pub fn of(settings: &Settings, record: &Record, h: usize) -> Self {
        let date = record.calendar.day_of(h).month_day();
        Self {
            air_degc: record.air_degc[h],
            wind_m_per_s: record.wind_m_per_s.as_ref().map_or(DEFAULT_WIND_M_PER_S, |w| w[h]),
            covered: settings.covered.iter().any(|span| span.contains(date)),
        }
    }
}

impl<'a> Prepared<'a> {
    /// Works out the module and the plane of an array.
    ///
    /// # Errors
    /// No physical set of five parameters meets the module's datasheet.
    pub fn new(settings: &'a ArraySettings) -> Result<Self, Fault> {
        let (module, fitted) = match &settings.module {
            Module::Parameters(module) => (*module, None),
            Module::Datasheet(sheet) => {
                let fitted = fit::fit(sheet).ok_or_else(|| no_fit(&settings.name, sheet))?;
                (fitted.module, Some(fitted))
            }
        };
        let peak = curve(&module, 1000.0, 25.0).map_or(0.0, |c| c.maximum_power().power_w);
        Ok(Self {
            settings,
            module,
            peak_w: peak * f64::from(settings.series) * f64::from(settings.parallel),
            fitted,
            plane: Plane::new(settings.tilt_deg, settings.azimuth_deg),
        })
    }

    /// Module, strings and cable.
    #[must_use]
    pub const fn wiring(&self) -> Wiring {
        let s = self.settings;
        Wiring {
            module: self.module,
            series: s.series,
            parallel: s.parallel,
            cable_ohm: s.cable_ohm,
            mismatch: s.mismatch,
        }
    }

    /// Light, cell temperature and power of one hour.
    ///
    /// Cell temperature follows all the light on the plane; power follows what passes glass and dirt. Covered panels
    /// are as warm as the air and give nothing.
    #[must_use]
    pub fn hour(&self, model: SkyModel, sky: &SkyHour, air: &Air) -> ArrayHour {
        let s = self.settings;
        let plane = plane_light(model, sky, &self.plane);
        let total = plane.total();
        let beam_share = if s.incidence_loss { incidence::share(plane.cos_incidence) } else { 1.0 };
        if air.covered || total <= 0.0 {
            let cell_degc = air.air_degc;
            return ArrayHour { plane, beam_share, light_w_per_m2: 0.0, cell_degc, power_w: 0.0 };
        }
        let light_w_per_m2 = (total - plane.beam * (1.0 - beam_share)) * (1.0 - s.soiling);
        let cell_degc = cell_degc(&s.faiman, air.air_degc, total, air.wind_m_per_s);
        let power_w = curve(&self.module, light_w_per_m2, cell_degc)
            .map_or(0.0, |c| array_power_w(&c, s.series, s.parallel, s.cable_ohm, s.mismatch));
        ArrayHour { plane, beam_share, light_w_per_m2, cell_degc, power_w }
    }
}

/// The fault for a datasheet that nothing fits.
fn no_fit(name: &str, sheet: &Datasheet) -> Fault {
    Fault::at_key(
        format!("array.{name}.module"),
        FaultKind::CannotRun,
        format!(
            "no one-diode module has Isc {} A, Voc {} V, Imp {} A, Vmp {} V, {} A/K, {} V/K with {} cells",
            sheet.isc_a,
            sheet.voc_v,
            sheet.imp_a,
            sheet.vmp_v,
            sheet.isc_temperature_a_per_k,
            sheet.voc_temperature_v_per_k,
            sheet.cells
        ),
        "values of one crystalline silicon module at 1000 W/m2 and 25 degC: Imp below Isc, Vmp below Voc, a negative Voc \
         coefficient, cells in series",
        "check the values and their units (A/K and V/K, not %/K; half-cut modules count half the cells), or give the five \
         parameters",
    )
}

/// The arrays over a record: light on the panels, cell temperature, power available.
///
/// # Errors
/// A module's datasheet that no physical set of parameters meets.
pub fn array(settings: &Settings, sky: &Sky, sun: &sun::Settings, record: &Record) -> Result<Columns, Fault> {
    let arrays = settings.arrays.iter().map(Prepared::new).collect::<Result<Vec<_>, _>>()?;
    let n = sky.hours().min(record.hours());
    let peak_w: f64 = arrays.iter().map(|a| a.peak_w).sum();
    let mut columns = Columns {
        plane_w_per_m2: vec![0.0; n],
        cell_degc: vec![0.0; n],
        array_w: vec![0.0; n],
        each: Vec::with_capacity(arrays.len()),
        peak_w,
    };
    for array in &arrays {
        let weight = if peak_w > 0.0 { array.peak_w / peak_w } else { 0.0 };
        let mut one = OneArray {
            name: array.settings.name.clone(),
            plane_w_per_m2: Vec::with_capacity(n),
            light_w_per_m2: Vec::with_capacity(n),
            cell_degc: Vec::with_capacity(n),
            power_w: Vec::with_capacity(n),
            wiring: Some(array.wiring()),
            peak_w: array.peak_w,
            fitted: array.fitted,
        };
        for h in 0..n {
            let (plane, light, cell, power) = if is_dark(sky, h) {
                (0.0, 0.0, record.air_degc[h], 0.0)
            } else {
                let hour = array.hour(sun.sky_model, &sky.hour(h), &Air::of(settings, record, h));
                (hour.plane.total(), hour.light_w_per_m2, hour.cell_degc, hour.power_w)
            };
            one.plane_w_per_m2.push(plane);
            one.light_w_per_m2.push(light);
            one.cell_degc.push(cell);
            one.power_w.push(power);
            columns.plane_w_per_m2[h] += weight * plane;
            columns.cell_degc[h] += weight * cell;
            columns.array_w[h] += power;
        }
        columns.each.push(one);
    }
    Ok(columns)
}

/// No light at all: most hours of a year.
fn is_dark(sky: &Sky, h: usize) -> bool {
    sky.ghi_w_per_m2[h] <= 0.0 && sky.dni_w_per_m2[h] <= 0.0 && sky.dhi_w_per_m2[h] <= 0.0
}

#[cfg(test)]
mod tests;
