//! Panels: light through the glass, cell temperature, one-diode module, strings, cable, losses.

pub mod cable;
pub mod circuit;
mod columns;
pub mod facing;
pub mod faiman;
pub mod fit;
pub mod hills;
pub mod incidence;
mod model;
pub mod nameplate;
pub mod one_diode;
mod settings;
pub mod snow;
pub mod snowfall;
pub mod soiling;

pub(crate) use columns::circuit_of;
pub use columns::{Columns, OneArray};
pub use model::{ArrayHour, ArrayModel, Conditions};
pub use settings::{ArraySettings, Datasheet, Faiman, Module, Nameplate, OneDiode, Settings, Terminals};

use crate::calendar::{HOURS_PER_DAY, MonthDay};
use crate::fault::Fault;
use crate::record::Record;
use crate::sun::inside_hour::{Inside, NODES};
use crate::sun::plane::plane_light;
use crate::sun::{self, Sky};
use circuit::Circuit;
use snow::Cover;

/// The arrays over a record: light on the panels, cell temperature, power available.
///
/// Where the sky has the light of the hours' parts, or its distribution inside them, each part is worked out by itself with the snow and the
/// dirt of its hour, and the hour's columns are the means of its parts.
///
/// # Errors
/// A module's datasheet that no physical set of parameters meets.
pub fn array(settings: &Settings, sky: &Sky, sun: &sun::Settings, record: &Record) -> Result<Columns, Fault> {
    record.check_lengths()?;
    let horizon = sun.horizon.as_ref();
    let arrays =
        settings.arrays.iter().map(|a| ArrayModel::new(a, horizon)).collect::<Result<Vec<_>, _>>()?;
    let soiling = arrays.iter().map(|a| a.soiling(record)).collect::<Result<Vec<_>, _>>()?;
    let stage = Stage { settings, arrays: &arrays, soiling: &soiling, sky_model: sun.sky_model, record };
    let mut columns = stage.columns(sky, None, |_| 1.0);
    columns.parts = match &sky.inside {
        Inside::Mean => return Ok(columns),
        Inside::Spread(factors) => {
            (0..NODES).map(|k| stage.columns(sky, Some(&columns), |h| factors[h][k])).collect()
        }
        Inside::Steps(skies) => skies.iter().map(|sky| stage.columns(sky, Some(&columns), |_| 1.0)).collect(),
    };
    columns.average_parts();
    Ok(columns)
}

/// What the arrays' hours are worked out from.
struct Stage<'a> {
    settings: &'a Settings,
    arrays: &'a [ArrayModel<'a>],
    /// Share of light lost to dirt, of each array, hour by hour.
    soiling: &'a [Vec<f64>],
    sky_model: sun::SkyModel,
    record: &'a Record,
}

impl Stage<'_> {
    /// The columns under a sky, with the light on the panels times a factor. Snow lies as `snow` has it; without one it falls, melts and
    /// slides.
    fn columns(&self, sky: &Sky, snow: Option<&Columns>, factor: impl Fn(usize) -> f64) -> Columns {
        let record = self.record;
        let n = sky.hours().min(record.hours());
        let peak_w: f64 = self.arrays.iter().map(|a| a.peak_w).sum();
        let mut columns = Columns::dark(n, self.settings.terminals, peak_w);
        for (i, (array, soiling)) in self.arrays.iter().zip(self.soiling).enumerate() {
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
                soiling: soiling.clone(),
                slope_strings: array.settings.slope_strings,
            };
            let mut snow = match snow {
                Some(hours) => SnowBy::Hours(&hours.each[i].snow_cover),
                None => SnowBy::Weather(self.cover_at_start(array, sky)),
            };
            let mut facing = array.facing(MonthDay { month: 1, day: 1 });
            for h in 0..n {
                if h.is_multiple_of(HOURS_PER_DAY) {
                    facing = array.facing(record.calendar.day_of(h).month_day());
                }
                let (plane, snow_cover, light, cell, power) = if is_dark(sky, h) {
                    (0.0, snow.hour(h, facing.tilt_deg, 0.0), 0.0, record.air_degc[h], 0.0)
                } else {
                    let lit = plane_light(self.sky_model, &sky.hour(h), &facing.plane).times(factor(h));
                    let plane = lit.total();
                    let snow_cover = snow.hour(h, facing.tilt_deg, plane);
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
        if self.settings.terminals == Terminals::Common && self.arrays.len() > 1 {
            hold_at_one_voltage(&mut columns);
        }
        columns
    }

    /// The snow on an array as the record's first hour finds it.
    fn cover_at_start(&self, array: &ArrayModel<'_>, sky: &Sky) -> Option<Cover<'_>> {
        let mut cover = Cover::new(&self.settings.snow, self.record);
        if cover.is_never() {
            return None;
        }
        for h in cover.before() {
            let facing = array.facing(self.record.calendar.day_of(h).month_day());
            let plane = if is_dark(sky, h) {
                0.0
            } else {
                plane_light(self.sky_model, &sky.hour(h), &facing.plane).total()
            };
            cover.hour(h, facing.tilt_deg, plane);
        }
        Some(cover)
    }
}

/// Where the snow on an array comes from.
enum SnowBy<'a> {
    /// The weather, hour after hour; `None` where none ever lies.
    Weather(Option<Cover<'a>>),
    /// The hours' own column.
    Hours(&'a [f64]),
}

impl SnowBy<'_> {
    /// Share of the slope covered in an hour.
    fn hour(&mut self, h: usize, tilt_deg: f64, plane_w_per_m2: f64) -> f64 {
        match self {
            Self::Weather(None) => 0.0,
            Self::Weather(Some(cover)) => cover.hour(h, tilt_deg, plane_w_per_m2),
            Self::Hours(column) => column[h],
        }
    }
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
