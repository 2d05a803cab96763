//! Well, pump, coupling, pipe to the tank and panels, so sized that they fit together.

use dryspell::units::Quantity as Q;

use super::super::random::{Random, three_digits};
use super::draft::{Draft, Value, bare, quantity, text};

/// Heat of water lifted: W for each m³/h and m.
const LIFTING_W: f64 = 2.725;

/// What the lift is to do.
#[derive(Debug, Clone, Copy)]
pub struct Duty {
    /// Flow in good sun, L/min.
    pub flow_l_per_min: f64,
    pub latitude_deg: f64,
}

fn rows(list: Vec<Vec<Value>>) -> Value {
    Value::List(list.into_iter().map(Value::List).collect())
}

fn head(m: f64) -> Value {
    quantity(m, "m", Q::Length)
}

fn flow(l_per_min: f64) -> Value {
    quantity(l_per_min, "L/min", Q::Flow)
}

fn percent(share: f64) -> Value {
    quantity(three_digits(100.0 * share), "%", Q::Fraction)
}

/// Everything up to the tank's inlet.
pub fn draw(d: &mut Draft, r: &mut Random, duty: Duty) {
    let lift_m = well(d, r, duty);
    let power_w = LIFTING_W * (0.06 * duty.flow_l_per_min) * lift_m / 0.42;
    let voltage_v = *r.pick(&[24.0, 48.0, 60.0]);
    let kind = *r.pick(&[
        "duty table",
        "duty table",
        "volt table",
        "head-flow table",
        "positive displacement",
        "centrifugal",
    ]);
    let by_voltage = pump(d, r, kind, &Rated { lift_m, flow: duty.flow_l_per_min, power_w, voltage_v });
    coupling(d, r, by_voltage, power_w, voltage_v);
    panels(d, r, duty, power_w, voltage_v);
}

/// Well, pipe and inlet; the static lift.
fn well(d: &mut Draft, r: &mut Random, duty: Duty) -> f64 {
    let level_m = r.between(4.0, 55.0);
    let wiggle = 0.06 * level_m;
    if r.chance(0.3) {
        let months = (0..12).map(|_| head(three_digits(level_m + wiggle * (r.unit() - 0.5))));
        d.set("well", "static_level", Value::List(months.collect()));
    } else {
        d.set("well", "static_level", head(level_m));
    }
    // A drawdown of about 3 m at full flow.
    let capacity = duty.flow_l_per_min / r.between(1.5, 6.0);
    match r.below(5) {
        0 => {
            let steps = [0.5, 1.0, 1.5].map(|share| {
                let q = share * duty.flow_l_per_min;
                vec![flow(three_digits(q)), head(three_digits(q / capacity * (0.8 + 0.3 * share)))]
            });
            d.set("well", "step_test", rows(steps.to_vec()));
        }
        1 => {}
        _ => {
            d.set(
                "well",
                "specific_capacity",
                quantity(three_digits(capacity), "L/min/m", Q::SpecificCapacity),
            );
            if r.chance(0.4) {
                let m3_per_h = 0.06 * duty.flow_l_per_min;
                d.set(
                    "well",
                    "well_loss",
                    quantity(three_digits(0.8 * r.unit() / (m3_per_h * m3_per_h)), "h2/m5", Q::WellLoss),
                );
            }
        }
    }
    if r.chance(0.4) {
        d.set("well", "yield", flow(three_digits(duty.flow_l_per_min * r.between(0.5, 1.5))));
    }
    let known = d.has("well", "specific_capacity") || d.has("well", "step_test");
    let mut setting_m = level_m + 15.0;
    if r.chance(0.6) {
        setting_m = three_digits(level_m + wiggle + r.between(5.0, 15.0));
        d.set("well", "pump_setting", head(setting_m));
        if r.chance(0.4) {
            d.set("well", "submergence", head(r.between(0.2, 1.5)));
        }
        if r.chance(0.5) {
            d.set("well", "cut_out", head(three_digits(setting_m - 1.6)));
        }
        // A restart wants the water in the bore, and that how fast it comes back.
        if known && r.chance(0.5) {
            bore(d, r);
            if r.chance(0.5) {
                d.set("well", "restart_delay", quantity(*r.pick(&[20.0, 30.0, 90.0]), "min", Q::Duration));
            } else {
                d.set("well", "restart_level", head(three_digits(level_m + wiggle + 1.0)));
            }
        }
    }
    if known && r.chance(0.2) {
        bore(d, r);
    }
    if r.chance(0.5) {
        d.set("well", "water_temperature", quantity(r.between(4.0, 18.0), "degC", Q::Temperature));
    }
    let inlet_m = r.between(1.0, 15.0);
    d.set("tank.main", "inlet_height", head(inlet_m));
    let pressure_kpa = if r.chance(0.2) { r.between(5.0, 40.0) } else { 0.0 };
    if pressure_kpa > 0.0 {
        d.set("tank.main", "discharge_pressure", quantity(pressure_kpa, "kPa", Q::Pressure));
    }
    pipes(d, r, duty, setting_m);
    if r.chance(0.3) {
        d.set("rules", "pipe_friction", text(*r.pick(&["darcy-weisbach", "hazen-williams"])));
    }
    level_m + wiggle + inlet_m + pressure_kpa / 9.8 + 4.0
}

fn bore(d: &mut Draft, r: &mut Random) {
    d.set("well", "bore", quantity(*r.pick(&[100.0, 125.0, 150.0]), "mm", Q::Length));
    if r.chance(0.6) {
        d.set("well", "drop_pipe_diameter", quantity(*r.pick(&[32.0, 40.0, 50.0]), "mm", Q::Length));
    }
}

fn pipes(d: &mut Draft, r: &mut Random, duty: Duty, setting_m: f64) {
    let bore_mm = if duty.flow_l_per_min < 25.0 {
        32.6
    } else if duty.flow_l_per_min < 70.0 {
        51.4
    } else {
        90.0
    };
    run(d, r, "pipe.drop", three_digits(setting_m), bore_mm);
    if r.chance(0.25) {
        d.set("pipe.drop", "weep_hole", quantity(*r.pick(&[1.0, 1.6, 2.4]), "mm", Q::Length));
        d.set("pipe.drop", "weep_hole_depth", head(r.between(0.5, 2.0)));
        if r.chance(0.5) {
            d.set("pipe.drop", "weep_hole_coefficient", bare(r.between(0.6, 0.85)));
        }
    }
    if r.chance(0.8) {
        let length_m = r.between(10.0, 300.0);
        run(d, r, "pipe.buried", length_m, bore_mm);
        if d.has("pipe.drop", "weep_hole") && r.chance(0.6) {
            d.set("pipe.buried", "drains_back", bare(r.chance(0.7)));
        }
    }
    if r.chance(0.3) {
        let length_m = r.between(1.0, 10.0);
        run(d, r, "pipe.riser", length_m, bore_mm);
    }
}

/// One run of pipe.
pub fn run(d: &mut Draft, r: &mut Random, path: &str, length_m: f64, bore_mm: f64) {
    d.set(path, "length", head(length_m));
    d.set(path, "bore", quantity(bore_mm, "mm", Q::Length));
    if r.chance(0.25) {
        d.set(path, "roughness", quantity(r.between(0.001, 0.05), "mm", Q::Length));
    } else {
        d.set(path, "material", text(*r.pick(&["pe", "plastic", "pvc", "steel"])));
    }
    if r.chance(0.5) {
        let kinds = ["elbow", "gate_valve", "swing_check", "tee_run"];
        let first = r.below(3);
        let fittings = kinds[first..=first + 1].iter().map(|k| ((*k).to_owned(), bare(1 + r.below(4))));
        d.set(path, "fittings", Value::Inline(fittings.collect()));
    }
    if r.chance(0.2) {
        d.set(path, "hazen_williams_c", bare(r.between(120.0, 150.0)));
    }
    if r.chance(0.2) {
        d.set(path, "pressure_class", quantity(*r.pick(&[600.0, 1000.0, 1600.0]), "kPa", Q::Pressure));
    }
}

/// The point for which a pump is built.
struct Rated {
    lift_m: f64,
    flow: f64,
    power_w: f64,
    voltage_v: f64,
}

/// A pump of that kind; whether it has a voltage.
fn pump(d: &mut Draft, r: &mut Random, kind: &str, rated: &Rated) -> bool {
    if kind != "duty table" || r.chance(0.3) {
        d.set("pump", "kind", text(kind));
    }
    let heads = [0.5, 1.0, 1.7].map(|share| three_digits(share * rated.lift_m));
    let power = |h: f64| rated.power_w * h / rated.lift_m;
    match kind {
        "duty table" => {
            let row = |h: f64, share: f64| {
                let q = rated.flow * (1.2 - 0.2 * h / rated.lift_m) * (share - 0.12) / 0.88;
                vec![head(h), quantity(three_digits(share * power(h)), "W", Q::Power), flow(three_digits(q))]
            };
            let list = heads.iter().flat_map(|h| [0.25, 0.5, 0.75, 1.0].map(|share| row(*h, share)));
            d.set("pump", "duty", rows(list.collect()));
            if r.chance(0.4) {
                d.set("pump", "start_power", quantity(three_digits(0.1 * power(heads[0])), "W", Q::Power));
            }
        }
        "volt table" => {
            let row = |h: f64, share: f64| {
                let q = rated.flow * (1.2 - 0.2 * h / rated.lift_m) * (share - 0.2) / 0.8;
                let ampere = power(h) / rated.voltage_v * (0.25 + 0.75 * share);
                vec![
                    head(h),
                    quantity(share * rated.voltage_v, "V", Q::Voltage),
                    flow(three_digits(q)),
                    quantity(three_digits(ampere * 1.15), "A", Q::Current),
                ]
            };
            let list = heads.iter().flat_map(|h| [0.5, 0.75, 1.0].map(|share| row(*h, share)));
            d.set("pump", "voltage_table", rows(list.collect()));
        }
        "head-flow table" => {
            let row = |h: f64| {
                let q = rated.flow * (1.3 - 0.3 * h / rated.lift_m);
                vec![
                    head(h),
                    flow(three_digits(q)),
                    quantity(three_digits(1.15 * power(h) / rated.voltage_v), "A", Q::Current),
                ]
            };
            d.set("pump", "head_flow", rows(heads.map(row).to_vec()));
            d.set("pump", "voltage", quantity(0.9 * rated.voltage_v, "V", Q::Voltage));
        }
        "positive displacement" => displacement(d, r, rated),
        _ => centrifugal(d, r, rated),
    }
    if matches!(kind, "volt table" | "head-flow table") && r.chance(0.4) {
        d.set("pump", "start_voltage", quantity(three_digits(0.35 * rated.voltage_v), "V", Q::Voltage));
    }
    match kind {
        "duty table" => false,
        "centrifugal" => d.has("pump", "torque_constant"),
        _ => true,
    }
}

/// A permanent-magnet motor that gives a torque at a speed at the rated voltage; friction at most.
fn magnet(d: &mut Draft, r: &mut Random, rated: &Rated, rpm: f64, torque_nm: f64) {
    let constant = 0.85 * rated.voltage_v / (rpm * std::f64::consts::TAU / 60.0);
    let ampere = 1.15 * torque_nm / constant;
    d.set("pump", "torque_constant", quantity(three_digits(constant), "N m/A", Q::TorqueConstant));
    d.set(
        "pump",
        "armature_resistance",
        quantity(three_digits(0.12 * rated.voltage_v / ampere), "ohm", Q::Resistance),
    );
    if r.chance(0.6) {
        d.set("pump", "friction_torque", quantity(three_digits(0.08 * torque_nm), "N m", Q::Torque));
        if r.chance(0.6) {
            d.set("pump", "breakaway_torque", quantity(three_digits(0.2 * torque_nm), "N m", Q::Torque));
        }
    }
}

fn displacement(d: &mut Draft, r: &mut Random, rated: &Rated) {
    let rpm = r.between(1200.0, 2400.0);
    let ml_per_turn = three_digits(1000.0 * rated.flow / rpm);
    d.set("pump", "displacement", quantity(ml_per_turn, "mL/rev", Q::Displacement));
    if r.chance(0.5) {
        d.set(
            "pump",
            "slip",
            quantity(three_digits(0.1 * rated.flow / rated.lift_m), "L/min/m", Q::SpecificCapacity),
        );
    }
    let torque_nm = 9810.0 * rated.lift_m * ml_per_turn * 1e-6 / std::f64::consts::TAU;
    magnet(d, r, rated, rpm, torque_nm);
    d.set("pump", "highest_voltage", quantity(three_digits(1.1 * rated.voltage_v), "V", Q::Voltage));
    d.set("pump", "highest_head", head(three_digits(1.8 * rated.lift_m)));
}

fn centrifugal(d: &mut Draft, r: &mut Random, rated: &Rated) {
    d.set("pump", "rated_flow", flow(rated.flow));
    let rated_head = three_digits(1.25 * rated.lift_m);
    if r.chance(0.5) {
        d.set("pump", "rated_head", head(rated_head));
    } else {
        let curve = [(0.0, 1.3), (1.0, 1.0), (1.6, 0.5)];
        let list =
            curve.map(|(q, h)| vec![flow(three_digits(q * rated.flow)), head(three_digits(h * rated_head))]);
        d.set("pump", "curve", rows(list.to_vec()));
    }
    if r.chance(0.5) {
        d.set("pump", "efficiency", bare(r.between(0.4, 0.6)));
    } else {
        let curve = [(0.5, 0.42), (1.0, 0.55), (1.5, 0.4)];
        let list = curve.map(|(q, e)| vec![flow(three_digits(q * rated.flow)), percent(e)]);
        d.set("pump", "efficiency_curve", rows(list.to_vec()));
    }
    if r.chance(0.5) {
        d.set("pump", "motor_efficiency", bare(r.between(0.7, 0.85)));
    } else {
        let rpm = r.between(2400.0, 3000.0);
        d.set("pump", "rated_speed", quantity(rpm, "rpm", Q::Turning));
        let shaft_w = LIFTING_W * 0.06 * rated.flow * rated_head / 0.55;
        magnet(d, r, rated, rpm, shaft_w / (rpm * std::f64::consts::TAU / 60.0));
    }
}

fn coupling(d: &mut Draft, r: &mut Random, by_voltage: bool, power_w: f64, voltage_v: f64) {
    let at = "coupling";
    let kind = if by_voltage { r.below(3) } else { 0 };
    match kind {
        1 => {
            d.set(at, "kind", text("linear current booster"));
            if r.chance(0.5) {
                d.set(at, "efficiency", bare(r.between(0.9, 0.97)));
            }
            if r.chance(0.5) {
                d.set(at, "bypass", bare(r.chance(0.5)));
            }
            if r.chance(0.4) {
                d.set(
                    at,
                    "current_limit",
                    quantity(three_digits(1.5 * power_w / voltage_v), "A", Q::Current),
                );
            }
        }
        2 => d.set(at, "kind", text("direct")),
        _ => {
            if r.chance(0.3) {
                d.set(at, "kind", text("maximum power tracking"));
            }
            if r.chance(0.4) {
                d.set(at, "tracker_inputs", text(if r.chance(0.5) { "common" } else { "one each" }));
            }
            match r.below(4) {
                0 => d.set(at, "efficiency", bare(r.between(0.9, 0.98))),
                1 => {
                    let curve = [(10.0, 80.0), (50.0, 96.0), (100.0, 94.0)];
                    let list = curve.map(|(load, e)| {
                        vec![quantity(load, "%", Q::Fraction), quantity(e, "%", Q::Fraction)]
                    });
                    d.set(at, "efficiency_curve", rows(list.to_vec()));
                    d.set(at, "rated_power", quantity(three_digits(1.5 * power_w), "W", Q::Power));
                }
                2 => d.set("pump", "tracking_efficiency", bare(r.between(0.9, 0.98))),
                _ => {}
            }
            if r.chance(0.3) {
                d.set(at, "rated_power", quantity(three_digits(1.2 * power_w), "W", Q::Power));
            }
            if r.chance(0.3) {
                d.set(
                    at,
                    "lowest_tracking_voltage",
                    quantity(three_digits(0.5 * voltage_v), "V", Q::Voltage),
                );
                d.set(
                    at,
                    "highest_tracking_voltage",
                    quantity(three_digits(3.0 * voltage_v), "V", Q::Voltage),
                );
            }
            if r.chance(0.3) {
                d.set(at, "highest_voltage", quantity(600.0, "V", Q::Voltage));
                d.set(at, "record_low", quantity(-r.between(5.0, 40.0), "degC", Q::Temperature));
            }
        }
    }
}

/// Modules: short-circuit current, open-circuit voltage, current and voltage at maximum power, cells.
const MODULES: [(f64, f64, f64, f64, u32); 4] = [
    (6.1, 22.6, 5.7, 18.3, 36),
    (9.6, 40.2, 9.05, 33.4, 60),
    (5.6, 43.5, 5.2, 36.0, 72),
    (10.4, 48.9, 9.9, 40.6, 72),
];

fn panels(d: &mut Draft, r: &mut Random, duty: Duty, power_w: f64, voltage_v: f64) {
    let wanted_w = power_w * r.between(1.0, 2.2);
    let number = *r.pick(&[1, 1, 1, 2, 2, 3]);
    for name in &["shed", "roof", "slope"][..number] {
        let path = format!("array.{name}");
        let (_, _, imp, vmp, _) = array(d, r, &path, duty.latitude_deg, None);
        // Strings near the pump's voltage; arrays beside each other may differ by a module.
        let series = ((1.15 * voltage_v / vmp).round() as u32).max(1) + u32::from(r.chance(0.2));
        let strings = (wanted_w / number as f64 / (imp * vmp * f64::from(series))).round() as u32;
        d.set(&path, "series", bare(series));
        if strings > 1 || r.chance(0.3) {
            d.set(&path, "parallel", bare(strings.clamp(1, 60)));
        }
    }
    if r.chance(0.4) {
        snow(d, r, duty.latitude_deg < 0.0);
    }
    let at = "site";
    if r.chance(0.3) {
        d.set(at, "albedo", bare(r.between(0.1, 0.4)));
    }
    if r.chance(0.4) {
        d.set(at, "sky", text(*r.pick(&["perez", "hay-davies", "isotropic"])));
    }
    if r.chance(0.3) {
        let list = [30.0, 110.0, 200.0, 300.0]
            .map(|a| vec![quantity(a, "deg", Q::Angle), quantity(r.between(0.0, 12.0), "deg", Q::Angle)]);
        d.set(at, "horizon", rows(list.to_vec()));
    }
}

/// One array but for its number of modules; the module it has.
pub fn array(
    d: &mut Draft,
    r: &mut Random,
    path: &str,
    latitude_deg: f64,
    kind: Option<usize>,
) -> (f64, f64, f64, f64, u32) {
    let tilt = (latitude_deg.abs() + r.between(-15.0, 15.0)).round().clamp(5.0, 80.0);
    d.set(path, "tilt", quantity(tilt, "deg", Q::Angle));
    if r.chance(0.2) {
        let seasons = [("10-15 to 02-28", 15.0), ("05-01 to 08-15", -20.0)].map(|(dates, more)| {
            vec![text(dates), quantity((tilt + more).clamp(0.0, 85.0), "deg", Q::Angle)]
        });
        d.set(path, "seasonal_tilt", rows(seasons.to_vec()));
    }
    let faces = if latitude_deg < 0.0 { 0.0 } else { 180.0 };
    if r.chance(0.5) {
        d.set(path, "azimuth", text(if latitude_deg < 0.0 { "north" } else { "south" }));
    } else {
        d.set(path, "azimuth", bare((faces + r.between(-50.0, 50.0).round() + 360.0) % 360.0));
    }
    match r.below(3) {
        0 => d.set(path, "soiling", percent(r.between(0.0, 0.06))),
        1 if r.chance(0.5) => {
            d.set(path, "dust", quantity(r.between(0.02, 0.3), "%", Q::Fraction));
            if r.chance(0.5) {
                d.set(path, "cleaning_rain", quantity(r.between(1.0, 8.0), "mm", Q::Length));
            }
            if r.chance(0.5) {
                d.set(path, "dust_free_for", quantity(*r.pick(&[3.0, 7.0, 14.0]), "days", Q::Duration));
            }
        }
        _ => {}
    }
    if r.chance(0.3) {
        d.set(path, "slope_strings", bare(1 + r.below(3)));
    }
    if r.chance(0.5) {
        d.set(path, "mismatch", percent(r.between(0.0, 0.03)));
    }
    if r.chance(0.2) {
        d.set(path, "incidence_loss", bare(false));
    } else if r.chance(0.25) {
        d.set(path, "ashrae_coefficient", bare(0.05));
    }
    if r.chance(0.2) {
        d.set(path, "heat_loss", quantity(r.between(20.0, 35.0), "W/m2/K", Q::HeatLoss));
        d.set(path, "wind_heat_loss", quantity(r.between(0.0, 8.0), "W s/m3/K", Q::WindHeatLoss));
    }
    cable(d, r, &format!("{path}.cable"));
    let module = MODULES[kind.unwrap_or_else(|| r.below(MODULES.len()))];
    let at = format!("{path}.module");
    let (isc, voc, imp, vmp, cells) = module;
    d.set(&at, "isc_temperature", quantity(0.05, "%/K", Q::FractionPerKelvin));
    if r.chance(0.25) {
        // About the same module by the five parameters.
        let ideality = 0.0275 * f64::from(cells);
        d.set(&at, "photocurrent", quantity(isc, "A", Q::Current));
        d.set(
            &at,
            "saturation_current",
            quantity(three_digits(isc * (-voc / ideality).exp() * 1e9), "nA", Q::Current),
        );
        d.set(&at, "series_resistance", quantity(0.3, "ohm", Q::Resistance));
        d.set(&at, "shunt_resistance", quantity(400.0, "ohm", Q::Resistance));
        d.set(&at, "ideality", quantity(three_digits(ideality), "V", Q::Voltage));
        return module;
    }
    for (key, value, unit, q) in [
        ("isc", isc, "A", Q::Current),
        ("voc", voc, "V", Q::Voltage),
        ("imp", imp, "A", Q::Current),
        ("vmp", vmp, "V", Q::Voltage),
    ] {
        d.set(&at, key, quantity(value, unit, q));
    }
    d.set(&at, "cells", bare(cells));
    d.set(&at, "voc_temperature", quantity(-0.3, "%/K", Q::FractionPerKelvin));
    module
}

fn cable(d: &mut Draft, r: &mut Random, at: &str) {
    match r.below(5) {
        0 => d.set(at, "resistance", quantity(r.between(0.01, 0.3), "ohm", Q::Resistance)),
        1 => {
            d.set(at, "length", head(r.between(5.0, 60.0)));
            d.set(at, "awg", bare(r.pick(&[4, 6, 8, 10])));
        }
        2 => {
            d.set(at, "length", head(r.between(5.0, 60.0)));
            d.set(at, "area", quantity(*r.pick(&[4.0, 6.0, 10.0]), "mm2", Q::Area));
        }
        _ => {}
    }
}

fn snow(d: &mut Draft, r: &mut Random, south: bool) {
    let at = "snow";
    let dates = |a: &str, b: &str| Value::List(vec![text(if south { a } else { b })]);
    match r.below(3) {
        0 => d.set(at, "covered", dates("07-05 to 07-09", "12-28 to 01-04")),
        1 => {
            let days = (0..12).map(|_| quantity(r.below(4) as f64, "days", Q::Duration));
            d.set(at, "covered_days", Value::List(days.collect()));
        }
        _ => {}
    }
    if r.chance(0.5) {
        d.set(at, "from_weather", bare(r.chance(0.6)));
    }
    if r.chance(0.4) {
        d.set(at, "swept", dates("06-20 to 08-10", "12-20 to 02-20"));
        d.set(at, "swept_at", quantity(r.between(8.0, 14.0), "h", Q::Duration));
    }
}
