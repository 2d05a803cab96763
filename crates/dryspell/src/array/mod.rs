//! Panels: light through the glass, cell temperature, one-diode module, strings, cable, losses.

pub mod cable;
pub mod circuit;
pub mod facing;
pub mod faiman;
pub mod fit;
pub mod hills;
pub mod incidence;
pub mod one_diode;
pub mod snow;
pub mod soiling;

use crate::calendar::{HOURS_PER_DAY, MonthDay};
use crate::fault::{Fault, FaultKind};
use crate::record::Record;
use crate::sun::plane::{PlaneLight, plane_light};
use crate::sun::{self, Horizon, Sky, SkyHour, SkyModel};
use circuit::{Circuit, Wiring, array_power_w};
use facing::{Facing, Facings, Season};
use faiman::{DEFAULT_WIND_M_PER_S, cell_degc};
use fit::FittedModule;
use incidence::Glass;
use one_diode::curve;
use snow::{Cover, Snow, working_share};
use soiling::{Soiling, dust_share, dust_share_of_a_ring};

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

/// A module, by its parameters or by its datasheet.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub enum Module {
    /// Five reference parameters.
    Parameters(OneDiode),
    /// Datasheet values, fitted when the run starts.
    Datasheet(Datasheet),
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
    /// `plane` is the tilt from the horizontal and the azimuth from north, degrees; `strings` the modules in series in a
    /// string, and the strings in parallel.
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

/// What the array stage hands on: one value an hour in each column.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Columns {
    /// Light on the panels before incidence, soiling and snow, W/m²; arrays weigh by their peak power.
    pub plane_w_per_m2: Vec<f64>,
    /// Cell temperature, °C, weighed likewise.
    pub cell_degc: Vec<f64>,
    /// Power available at the coupling, W: the most that the arrays give at one common voltage, or their maximum powers
    /// added where each has terminals of its own.
    pub array_w: Vec<f64>,
    /// Each array by itself, in the order of the settings.
    pub each: Vec<OneArray>,
    /// Whether they share one voltage.
    pub terminals: Terminals,
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
    pub fitted: Option<FittedModule>,
    /// Share of the slope covered with snow, 0 to 1.
    pub snow_cover: Vec<f64>,
    /// Share of light lost to dirt, 0 to 1.
    pub soiling: Vec<f64>,
    /// Cell strings one above the other along the slope.
    pub slope_strings: u32,
}

/// Fills a circuit with the arrays' curves of an hour.
pub(crate) fn circuit_of(each: &[OneArray], h: usize, circuit: &mut Circuit) {
    circuit.strings.clear();
    for array in each {
        // Snow or a shade may leave light and take the power.
        let strings = array
            .wiring
            .filter(|_| array.power_w[h] > 0.0)
            .map(|wiring| match array.snow_cover.get(h) {
                Some(cover) if *cover > 0.0 => wiring.working(working_share(*cover, array.slope_strings)),
                _ => wiring,
            })
            .and_then(|wiring| wiring.string(array.light_w_per_m2[h], array.cell_degc[h]));
        circuit.strings.extend(strings);
    }
}

/// An array with what does not change from hour to hour worked out.
#[derive(Debug, Clone, PartialEq)]
pub struct ArrayModel<'a> {
    /// What the scheme says.
    pub settings: &'a ArraySettings,
    /// The module's five parameters, given or fitted.
    pub module: OneDiode,
    /// Peak power, W.
    pub peak_w: f64,
    /// How the module was fitted; `None` where the parameters were given.
    pub fitted: Option<FittedModule>,
    facings: Facings,
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
    /// Share of the strings free of snow, 0 to 1.
    pub working_share: f64,
    /// Maximum power at the load's end of the cable, W.
    pub power_w: f64,
}

/// What surrounds the panels in one hour, besides the sun.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conditions {
    /// The date.
    pub date: MonthDay,
    /// Air temperature, °C.
    pub air_degc: f64,
    /// Wind, m/s.
    pub wind_m_per_s: f64,
    /// Share of the slope covered with snow, 0 to 1.
    pub snow_cover: f64,
    /// Share of light lost to dirt, 0 to 1.
    pub soiling: f64,
}

impl Conditions {
    /// Those of hour `h` of a record; wind missing counts as `DEFAULT_WIND_M_PER_S`.
    #[must_use]
    pub fn of(record: &Record, h: usize, snow_cover: f64, soiling: f64) -> Self {
        Self {
            date: record.calendar.day_of(h).month_day(),
            air_degc: record.air_degc[h],
            wind_m_per_s: record.wind_m_per_s.as_ref().map_or(DEFAULT_WIND_M_PER_S, |w| w[h]),
            snow_cover,
            soiling,
        }
    }
}

impl<'a> ArrayModel<'a> {
    /// Works out the module and the planes of an array.
    ///
    /// # Errors
    /// No physical set of five parameters meets the module's datasheet.
    pub fn new(settings: &'a ArraySettings, horizon: Option<&Horizon>) -> Result<Self, Fault> {
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
            facings: Facings::new(settings, horizon),
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

    /// Where the array faces on a date.
    #[must_use]
    pub fn facing(&self, date: MonthDay) -> &Facing {
        self.facings.on(date)
    }

    /// Light, cell temperature and power of one hour.
    #[must_use]
    pub fn hour(&self, model: SkyModel, sky: &SkyHour, conditions: &Conditions) -> ArrayHour {
        let facing = self.facing(conditions.date);
        self.lit_hour(facing, &plane_light(model, sky, &facing.plane), conditions)
    }

    /// The same from the light on the plane.
    ///
    /// Cell temperature follows all the light on the plane; power follows what passes glass and dirt. Panels that snow
    /// covers wholly are as warm as the air; strings that it covers give nothing.
    fn lit_hour(&self, facing: &Facing, plane: &PlaneLight, conditions: &Conditions) -> ArrayHour {
        let s = self.settings;
        let plane = *plane;
        let total = plane.total();
        let beam_share = s.glass.beam(plane.cos_incidence);
        let working_share = if conditions.snow_cover > 0.0 {
            working_share(conditions.snow_cover, s.slope_strings)
        } else {
            1.0
        };
        if total <= 0.0 || conditions.snow_cover >= 1.0 {
            return ArrayHour {
                plane,
                beam_share,
                light_w_per_m2: 0.0,
                cell_degc: conditions.air_degc,
                working_share,
                power_w: 0.0,
            };
        }
        let entering = beam_share * (plane.beam + plane.sky.circumsolar)
            + facing.diffuse.sky * plane.sky.isotropic
            + facing.diffuse.horizon * plane.sky.horizon
            + facing.diffuse.ground * plane.ground;
        let light_w_per_m2 = entering.max(0.0) * (1.0 - conditions.soiling);
        let cell_degc = cell_degc(&s.faiman, conditions.air_degc, total, conditions.wind_m_per_s);
        let power_w = curve(&self.module, light_w_per_m2, cell_degc)
            .map_or(0.0, |c| array_power_w(&c, s.series, s.parallel, s.cable_ohm, s.mismatch))
            * working_share;
        ArrayHour { plane, beam_share, light_w_per_m2, cell_degc, working_share, power_w }
    }

    /// Share of light lost to dirt in each hour of a record.
    fn soiling(&self, record: &Record) -> Result<Vec<f64>, Fault> {
        let dust = match &self.settings.soiling {
            Soiling::Share(share) => return Ok(vec![*share; record.hours()]),
            Soiling::Rain(dust) => dust,
        };
        let rain = record.precipitation_mm.as_ref().ok_or_else(|| no_rain(&self.settings.name))?;
        Ok(if record.calendar.is_one_year() {
            dust_share_of_a_ring(dust, rain)
        } else {
            dust_share(dust, rain, 0.0)
        })
    }
}

/// The fault for dust without rain in the record.
fn no_rain(name: &str) -> Fault {
    Fault::at_key(
        format!("array.{name}.dust"),
        FaultKind::CannotRun,
        "the weather file has no credible rain",
        "dust needs rain in the weather file to wash it off",
        "give soiling, a constant share, in place of dust",
    )
}

/// A coefficient without the tail that a conversion of units leaves.
fn six_digits(value: f64) -> f64 {
    (1e6 * value).round() / 1e6
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
            six_digits(sheet.isc_temperature_a_per_k),
            six_digits(sheet.voc_temperature_v_per_k),
            sheet.cells
        ),
        "values of one crystalline silicon module at 1000 W/m2 and 25 degC: Imp below Isc, Vmp below Voc, a negative \
         Voc coefficient, cells in series",
        "check the values and their units (A/K and V/K, not %/K; half-cut modules count half the cells), or give the \
         five parameters",
    )
}

/// The arrays over a record: light on the panels, cell temperature, power available.
///
/// # Errors
/// A module's datasheet that no physical set of parameters meets.
pub fn array(settings: &Settings, sky: &Sky, sun: &sun::Settings, record: &Record) -> Result<Columns, Fault> {
    record.check_lengths()?;
    let horizon = sun.horizon.as_ref();
    let arrays =
        settings.arrays.iter().map(|a| ArrayModel::new(a, horizon)).collect::<Result<Vec<_>, _>>()?;
    let n = sky.hours().min(record.hours());
    let peak_w: f64 = arrays.iter().map(|a| a.peak_w).sum();
    let mut columns = Columns {
        plane_w_per_m2: vec![0.0; n],
        cell_degc: vec![0.0; n],
        array_w: vec![0.0; n],
        each: Vec::with_capacity(arrays.len()),
        terminals: settings.terminals,
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
            snow_cover: Vec::with_capacity(n),
            soiling: array.soiling(record)?,
            slope_strings: array.settings.slope_strings,
        };
        let mut cover = Cover::new(&settings.snow, record);
        let never_covered = cover.is_never();
        let mut facing = array.facing(MonthDay { month: 1, day: 1 });
        for h in cover.before() {
            let facing = array.facing(record.calendar.day_of(h).month_day());
            let plane = if is_dark(sky, h) {
                0.0
            } else {
                plane_light(sun.sky_model, &sky.hour(h), &facing.plane).total()
            };
            cover.hour(h, facing.tilt_deg, plane);
        }
        for h in 0..n {
            if h.is_multiple_of(HOURS_PER_DAY) {
                facing = array.facing(record.calendar.day_of(h).month_day());
            }
            let mut covered_by = |plane: f64| {
                if never_covered { 0.0 } else { cover.hour(h, facing.tilt_deg, plane) }
            };
            let (plane, snow_cover, light, cell, power) = if is_dark(sky, h) {
                (0.0, covered_by(0.0), 0.0, record.air_degc[h], 0.0)
            } else {
                let lit = plane_light(sun.sky_model, &sky.hour(h), &facing.plane);
                let plane = lit.total();
                let snow_cover = covered_by(plane);
                let conditions = Conditions::of(record, h, snow_cover, one.soiling[h]);
                let hour = array.lit_hour(facing, &lit, &conditions);
                (plane, snow_cover, hour.light_w_per_m2, hour.cell_degc, hour.power_w)
            };
            one.snow_cover.push(snow_cover);
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
    if settings.terminals == Terminals::Common && arrays.len() > 1 {
        hold_at_one_voltage(&mut columns);
    }
    Ok(columns)
}

/// Where more than one array gives power, what they give together at the best common voltage.
fn hold_at_one_voltage(columns: &mut Columns) {
    let mut circuit = Circuit::default();
    for h in 0..columns.array_w.len() {
        circuit_of(&columns.each, h, &mut circuit);
        if circuit.strings.len() > 1 {
            columns.array_w[h] = circuit.maximum_power().power_w;
        }
    }
}

/// No light at all: most hours of a year.
fn is_dark(sky: &Sky, h: usize) -> bool {
    sky.ghi_w_per_m2[h] <= 0.0 && sky.dni_w_per_m2[h] <= 0.0 && sky.dhi_w_per_m2[h] <= 0.0
}

#[cfg(test)]
mod tests;
