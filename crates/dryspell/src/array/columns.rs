//! The columns that the array stage hands on, and the arrays' curves in an hour.

use super::circuit::{Circuit, Wiring};
use super::fit::FittedModule;
use super::settings::Terminals;
use super::snow::working_share;

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
    /// The same for equal parts of the hours, in their order, where the light inside the hour is known or its distribution is taken; the
    /// columns above are then their means. Else empty.
    pub parts: Vec<Columns>,
}

impl Columns {
    /// Columns of so many hours, all zero, with no array yet.
    pub(super) fn dark(n: usize, terminals: Terminals, peak_w: f64) -> Self {
        Self {
            plane_w_per_m2: vec![0.0; n],
            cell_degc: vec![0.0; n],
            array_w: vec![0.0; n],
            each: Vec::new(),
            terminals,
            peak_w,
            parts: Vec::new(),
        }
    }

    /// Makes every column of light, heat and power the mean of its parts.
    pub(super) fn average_parts(&mut self) {
        let parts = &self.parts;
        #[expect(clippy::cast_precision_loss, reason = "sixty at most")]
        let share = 1.0 / parts.len() as f64;
        let mean = |column: &mut Vec<f64>, of: &dyn Fn(&Self) -> &Vec<f64>| {
            column.fill(0.0);
            for part in parts {
                column.iter_mut().zip(of(part)).for_each(|(sum, value)| *sum += share * value);
            }
        };
        mean(&mut self.plane_w_per_m2, &|part| &part.plane_w_per_m2);
        mean(&mut self.cell_degc, &|part| &part.cell_degc);
        mean(&mut self.array_w, &|part| &part.array_w);
        for (i, one) in self.each.iter_mut().enumerate() {
            mean(&mut one.plane_w_per_m2, &|part| &part.each[i].plane_w_per_m2);
            mean(&mut one.light_w_per_m2, &|part| &part.each[i].light_w_per_m2);
            mean(&mut one.cell_degc, &|part| &part.each[i].cell_degc);
            mean(&mut one.power_w, &|part| &part.each[i].power_w);
        }
    }
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
