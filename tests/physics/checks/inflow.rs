//! What runs into the tank besides the pump's water.

use super::{Evaluator, Row};
use dryspell::calendar::Calendar;
use dryspell::inflow::rain::runoff_m3;
use dryspell::inflow::{Catchment, Steady};

const L_PER_GAL: f64 = 3.785_411_784;
const M2_PER_FT2: f64 = 0.3048 * 0.3048;
const MM_PER_IN: f64 = 25.4;

pub const EVALUATORS: &[(&str, Evaluator)] = &[
    ("inflow.roof_m3", |row| {
        roof_m3(
            row.number("area_m2"),
            row.number("rain_mm"),
            row.number("coefficient"),
            row.number("flush_mm"),
        )
    }),
    ("inflow.roof_gal", |row| roof_gal(row, row.number("coefficient"), row.number("flush_in"))),
    ("inflow.flush_lost_gal", |row| roof_gal(row, 1.0, 0.0) - roof_gal(row, 1.0, row.number("flush_in"))),
    ("inflow.steady_m3_per_year", |row| {
        Steady::of(row.number("m3_per_h")).column_m3(&Calendar::year(2023)).iter().sum()
    }),
];

/// A rain that falls in three hours.
fn roof_m3(area_m2: f64, rain_mm: f64, runoff_coefficient: f64, first_flush_mm: f64) -> f64 {
    let mut hours_mm = [0.0; 24];
    (hours_mm[7], hours_mm[8], hours_mm[10]) = (0.25 * rain_mm, 0.5 * rain_mm, 0.25 * rain_mm);
    let roof = Catchment { area_m2, runoff_coefficient, first_flush_mm };
    runoff_m3(&roof, &hours_mm, false).iter().sum()
}

fn roof_gal(row: &Row, coefficient: f64, flush_in: f64) -> f64 {
    let (area_m2, rain_mm) = (row.number("area_ft2") * M2_PER_FT2, row.number("rain_in") * MM_PER_IN);
    1000.0 * roof_m3(area_m2, rain_mm, coefficient, flush_in * MM_PER_IN) / L_PER_GAL
}
