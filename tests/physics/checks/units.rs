//! Units and copper cable.

use super::{Evaluator, Row};
use dryspell::array::cable::{copper_ohm, gauge_area_m2};
use dryspell::units::{Quantity, parse, table::FOOT_M};

pub const EVALUATORS: &[(&str, Evaluator)] =
    &[("unit_in_base_unit", unit_in_base_unit), ("copper_ohm_per_kft", copper_ohm_per_kft)];

/// Inputs: `text` with `_` for spaces, `quantity`.
fn unit_in_base_unit(row: &Row) -> f64 {
    let quantity = match row.text("quantity") {
        "volume" => Quantity::Volume,
        "length" => Quantity::Length,
        "flow" => Quantity::Flow,
        "daily_volume" => Quantity::DailyVolume,
        "specific_capacity" => Quantity::SpecificCapacity,
        "mass" => Quantity::Mass,
        "pressure" => Quantity::Pressure,
        "power" => Quantity::Power,
        "energy" => Quantity::Energy,
        "area" => Quantity::Area,
        "speed" => Quantity::Speed,
        "temperature" => Quantity::Temperature,
        "temperature_difference" => Quantity::TemperatureDifference,
        other => panic!("{}: quantity {other}", row.id),
    };
    parse(&row.text("text").replace('_', " "), quantity).unwrap_or_else(|e| panic!("{}: {e}", row.id))
}

/// One wire of 1000 ft: half of a cable that is so long one way.
fn copper_ohm_per_kft(row: &Row) -> f64 {
    let gauge = row.text("awg").parse().unwrap();
    copper_ohm(1000.0 * FOOT_M, gauge_area_m2(gauge)) / 2.0
}
