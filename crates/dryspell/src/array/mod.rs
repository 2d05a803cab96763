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
pub mod soiling;

pub(crate) use columns::circuit_of;
pub use columns::{Columns, OneArray};
pub use model::{ArrayHour, ArrayModel, Conditions};
pub use settings::{ArraySettings, Datasheet, Faiman, Module, Nameplate, OneDiode, Settings, Terminals};

use crate::calendar::{HOURS_PER_DAY, MonthDay};
use crate::fault::Fault;
use crate::record::Record;
use crate::sun::plane::plane_light;
use crate::sun::{self, Sky};
use circuit::Circuit;
use snow::Cover;

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
