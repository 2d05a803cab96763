//! What lies behind the tank, and what frost reaches: hydrants, booster, battery, frost.

use dryspell::frost::{SOIL_NAMES, SURFACE_NAMES};
use dryspell::units::Quantity as Q;

use super::super::random::{Random, three_digits};
use super::draft::{Draft, Value, bare, quantity, text};
use super::{lift, panels};

fn metres(m: f64) -> Value {
    quantity(m, "m", Q::Length)
}

/// One to three hydrants, with a booster where they lie too high; their names.
pub fn hydrants(d: &mut Draft, r: &mut Random, need_l: f64, latitude_deg: f64) -> Vec<String> {
    let number = 1 + r.below(3);
    let lifted = r.chance(0.5);
    let bore_mm = if need_l < 2500.0 { 40.8 } else { 61.4 };
    for name in &["ring", "main_line"][..r.below(3).min(2)] {
        let length_m = r.between(20.0, 300.0);
        lift::run(d, r, &format!("delivery.{name}"), length_m, bore_mm);
    }
    let mut names = Vec::new();
    for name in &["brook", "hill", "moor"][..number] {
        let path = format!("hydrant.{name}");
        let height = if lifted { r.between(-4.0, 9.0) } else { -r.between(2.0, 15.0) };
        d.set(&path, "height", metres(height));
        if r.chance(0.3) {
            d.set(&path, "pressure", quantity(if lifted { 10.0 } else { 5.0 }, "kPa", Q::Pressure));
        }
        if r.chance(0.8) {
            d.set(&path, "trough", quantity(r.between(100.0, 1500.0), "L", Q::Volume));
        }
        if r.chance(0.4) {
            d.set(&path, "open_surface", quantity(r.between(0.5, 3.0), "m2", Q::Area));
        }
        if r.chance(0.15) {
            d.set(&path, "overflow", quantity(r.between(1.0, 20.0), "L/day", Q::Flow));
        }
        if r.chance(0.4) {
            d.set(&path, "walking_distance", metres(r.between(50.0, 900.0)));
        }
        let length = r.between(5.0, 400.0);
        lift::run(d, r, &format!("{path}.pipe.branch"), length, bore_mm);
        names.push((*name).to_owned());
    }
    if lifted {
        booster(d, r, need_l, latitude_deg);
    }
    names
}

fn booster(d: &mut Draft, r: &mut Random, need_l: f64, latitude_deg: f64) {
    let at = "booster";
    // Flow at a middling head that gives the day's need in some hours.
    let flow = need_l / 60.0 / r.between(2.0, 8.0);
    let ampere = |share: f64| three_digits((flow * share * 22.0 * 0.1635 / 0.4 / 24.0).max(0.3) + 1.0);
    d.set(at, "voltage", quantity(24.0, "V", Q::Voltage));
    let points = [(0.0, 42.0), (0.5, 36.0), (1.0, 28.0), (1.5, 17.0), (2.0, 3.0)];
    let rows = points.map(|(share, head)| {
        Value::List(vec![
            quantity(three_digits(share * flow), "L/min", Q::Flow),
            metres(head),
            quantity(ampere(share.max(0.4)), "A", Q::Current),
        ])
    });
    d.set(at, "table", Value::List(rows.to_vec()));
    if r.chance(0.4) {
        d.set(at, "controller_efficiency", quantity(r.between(75.0, 98.0), "%", Q::Fraction));
    }
    if r.chance(0.5) {
        d.set(at, "standby", quantity(r.between(0.2, 3.0), "W", Q::Power));
    }
    let battery_ah = three_digits(ampere(2.0) * r.between(4.0, 25.0) + 20.0);
    battery(d, r, battery_ah);
    if r.chance(0.6) {
        let at = "booster.pressure_tank";
        d.set(at, "volume", quantity(r.between(40.0, 200.0), "L", Q::Volume));
        d.set(at, "cut_in", quantity(160.0, "kPa", Q::Pressure));
        d.set(at, "cut_out", quantity(280.0, "kPa", Q::Pressure));
        if r.chance(0.5) {
            d.set(at, "precharge", quantity(140.0, "kPa", Q::Pressure));
        }
    }
    let panel = "booster.panel";
    panels::array(d, r, panel, latitude_deg, Some(2));
    d.set(panel, "series", bare(1));
    let strings = (24.0 * ampere(1.0) * r.between(2.0, 8.0) / 5.0 / 180.0).ceil();
    d.set(panel, "parallel", bare(strings.clamp(1.0, 60.0)));
}

fn battery(d: &mut Draft, r: &mut Random, ah: f64) {
    let at = "booster.battery";
    d.set(at, "capacity", quantity(ah, "Ah", Q::Charge));
    match r.below(3) {
        0 => d.set(at, "peukert", bare(r.between(1.05, 1.3))),
        1 => {
            let rows = [(5.0, 0.8), (10.0, 0.9)].map(|(h, share)| {
                Value::List(vec![
                    quantity(h, "h", Q::Duration),
                    quantity(three_digits(share * ah), "Ah", Q::Charge),
                ])
            });
            d.set(at, "capacities", Value::List(rows.to_vec()));
        }
        _ => {}
    }
    if r.chance(0.3) {
        d.set(at, "rated_hours", quantity(20.0, "h", Q::Duration));
    }
    if r.chance(0.3) {
        d.set(at, "charge_efficiency", quantity(r.between(80.0, 95.0), "%", Q::Fraction));
    }
    if r.chance(0.3) {
        d.set(at, "self_discharge", quantity(r.between(1.0, 6.0), "%", Q::Fraction));
    }
    if r.chance(0.3) {
        d.set(at, "cold", quantity(r.between(0.2, 1.0), "%/K", Q::FractionPerKelvin));
    }
    if r.chance(0.4) {
        d.set(at, "cut_out", quantity(r.between(20.0, 55.0), "%", Q::Fraction));
        if r.chance(0.6) {
            d.set(at, "reconnect", quantity(r.between(60.0, 75.0), "%", Q::Fraction));
        }
    }
    if r.chance(0.5) {
        d.set(at, "temperature", quantity(r.between(2.0, 15.0), "degC", Q::Temperature));
    }
}

/// Soil, design winter and some parts.
pub fn frost(d: &mut Draft, r: &mut Random, hydrants: &[String]) {
    let at = "frost";
    if r.chance(0.7) {
        d.set(at, "soil", text(*r.pick(SOIL_NAMES)));
    }
    for (key, low, high, unit, q) in [
        ("soil_density", 1200.0, 1700.0, "kg/m3", Q::Density),
        ("soil_water", 8.0, 25.0, "%", Q::Fraction),
        ("soil_conductivity_frozen", 1.2, 2.4, "W/m/K", Q::Conductivity),
        ("soil_conductivity_thawed", 0.9, 1.6, "W/m/K", Q::Conductivity),
    ] {
        if r.chance(0.25) {
            d.set(at, key, quantity(r.between(low, high), unit, q));
        }
    }
    if r.chance(0.6) {
        d.set(at, "surface", text(*r.pick(SURFACE_NAMES)));
    }
    if r.chance(0.5) {
        d.set(at, "design_index", quantity(r.between(100.0, 1500.0), "degC days", Q::DegreeDays));
        if r.chance(0.5) {
            d.set(at, "design_days", quantity(r.between(40.0, 150.0).round(), "days", Q::Duration));
        }
    }
    let stops = |r: &mut Random| -> Value {
        let mut ways = vec!["supply".to_owned()];
        if !hydrants.is_empty() {
            ways.push("delivery".into());
            ways.extend(hydrants.iter().cloned());
        }
        let first = r.pick(&ways).clone();
        Value::List(vec![text(first)])
    };
    for number in 0..1 + r.below(3) {
        let at = format!("frost.part.part{number}");
        match r.below(3) {
            0 => {
                d.set(&at, "location", text("buried"));
                d.set(&at, "cover", quantity(r.between(30.0, 180.0), "cm", Q::Length));
            }
            1 => exposed(d, r, &at),
            _ => {
                d.set(&at, "location", text("open water"));
                d.set(&at, "area", quantity(r.between(0.5, 5.0), "m2", Q::Area));
                d.set(&at, "depth", quantity(r.between(20.0, 90.0), "cm", Q::Length));
                if r.chance(0.5) {
                    d.set(&at, "inflow_temperature", quantity(r.between(3.0, 12.0), "degC", Q::Temperature));
                }
                if r.chance(0.5) {
                    d.set(&at, "fed_by", text(hydrants.first().map_or("supply", String::as_str)));
                }
                if r.chance(0.3) {
                    d.set(&at, "heat_to_air", quantity(r.between(8.0, 20.0), "W/m2/K", Q::HeatLoss));
                }
                continue;
            }
        }
        if r.chance(0.8) {
            let way = stops(r);
            d.set(&at, "stops", way);
        }
    }
}

fn exposed(d: &mut Draft, r: &mut Random, at: &str) {
    d.set(at, "location", text("exposed"));
    d.set(at, "bore", quantity(26.0, "mm", Q::Length));
    d.set(at, "outside", quantity(32.0, "mm", Q::Length));
    if r.chance(0.6) {
        d.set(at, "insulation", quantity(r.between(10.0, 50.0), "mm", Q::Length));
        if r.chance(0.5) {
            d.set(at, "insulation_conductivity", quantity(r.between(0.03, 0.05), "W/m/K", Q::Conductivity));
        }
    }
    if r.chance(0.4) {
        d.set(at, "heat_to_air", quantity(r.between(8.0, 30.0), "W/m2/K", Q::HeatLoss));
    }
    match r.below(3) {
        0 => {
            d.set(at, "empties", text("by itself"));
            d.set(at, "drains_in", quantity(r.between(5.0, 90.0), "min", Q::Duration));
        }
        1 => {
            d.set(at, "empties", text("by hand"));
            d.set(at, "shut", Value::List(vec![text("11-15 to 03-31")]));
        }
        _ => {}
    }
}
